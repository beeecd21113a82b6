"""How long replacing a kind takes in the shop and in the field, and how long the machine stands: own records, else a guess."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, field
from enum import StrEnum, unique
from statistics import median
from typing import Final
from uuid import UUID

import numpy as np

from wearlog.costs.repair_cost import price_of_time
from wearlog.facts.closed_lists import Removal, RepairKind, StopReason
from wearlog.facts.parts import PartKind
from wearlog.facts.wearing import Repair
from wearlog.facts.work import Stoppage
from wearlog.reckoning.farm import Farm
from wearlog.reckoning.work.stops import seconds_alone
from wearlog.store.connection import Connection
from wearlog.store.finding import find_all
from wearlog.store.histories import OPEN, Ints, LogHistories, code_of
from wearlog.store.paid_rows import positions_replaced
from wearlog.store.plain_reader import PlainReader
from wearlog.store.schema.types import microseconds

#: half of the usual time of one position is opening up and closing, once for all of them (common practice, no source)
OPENING_SHARE: Final = 0.5
#: from so many own stops on they alone say how long one takes; below, the guess counts as one more
ENOUGH_STOPS: Final = 3
_NEVER: Final = np.zeros(0, dtype=np.int64)


@unique
class TimeSource(StrEnum):
    """Where a time comes from."""

    OWN = "own_records"
    MIXED = "own_records_and_guess"
    GUESS = "usual_labour"
    UNKNOWN = "unknown"


@dataclass(frozen=True, slots=True)
class Habit:
    """A time in seconds, how many records it rests on, and where it comes from; None when nobody knows."""

    seconds: float | None
    records: int
    source: TimeSource

    def minor(self, minor_per_hour: int) -> int:
        """Return what so much time costs in whole minor units; 0 where nobody knows the time."""
        return int(price_of_time(round(self.seconds or 0.0), minor_per_hour))


@dataclass(frozen=True, slots=True)
class RepairHabits:
    """Times of one kind.

    Attributes
    ----------
    shop_opening, shop_each : Habit
        Man-time of planned work: once however many positions, and for each position.
    field_labour : Habit
        Man-time of one failure in the field.
    standing : Habit
        How long the machine stands for one failure.
    """

    shop_opening: Habit
    shop_each: Habit
    field_labour: Habit
    standing: Habit


@dataclass(slots=True)
class _Seen:
    """What the log holds of one kind, in seconds."""

    in_field: list[float] = field(default_factory=list)
    shop_single: list[float] = field(default_factory=list)
    shop_per_position: list[float] = field(default_factory=list)
    #: of each stop how long it was, and how many positions failed in it
    stops: list[tuple[float, int]] = field(default_factory=list)


def repair_habits(connection: Connection, farm: Farm) -> dict[UUID, RepairHabits]:
    """Return the habits of every kind that sits on the fleet, by id of the kind."""
    kind_of = {component.id: component.part_kind_id for component in farm.components}
    repairs = {repair.id: repair for repair in find_all(connection, Repair) if repair.started_at <= farm.now}
    seen: dict[UUID, _Seen] = defaultdict(_Seen)
    broken = positions_replaced(PlainReader(connection))
    fitted = _planned_changes(farm.histories)
    for repair in repairs.values():
        kind = kind_of.get(repair.component_id) if repair.component_id else None
        if kind is None or not repair.labour_seconds or repair.component_id is None:
            continue
        if repair.kind is RepairKind.BREAKDOWN:
            seen[kind].in_field.append(repair.labour_seconds / max(broken.get(repair.id.bytes, 1), 1))
        else:
            _note_planned(seen[kind], repair, fitted.get(repair.component_id, _NEVER))
    for seconds, repair in _stops(connection, farm, repairs):
        kind = kind_of.get(repair.component_id) if repair.component_id else None
        if kind is not None:
            seen[kind].stops.append((seconds, max(broken.get(repair.id.bytes, 1), 1)))
    kinds = {kind.id: kind for kind in farm.part_kinds}
    return {kind_id: _habits(kinds[kind_id], seen[kind_id]) for kind_id in set(kind_of.values()) if kind_id in kinds}


def _planned_changes(histories: LogHistories) -> dict[UUID, Ints]:
    """When parts came off in planned work, by component, in order."""
    rows = np.flatnonzero(
        (histories.fittings.removal == code_of(Removal.PLANNED)) & (histories.fittings.removed_at < OPEN)
    )
    component, removed_at = histories.fittings.component[rows], histories.fittings.removed_at[rows]
    order = np.lexsort((removed_at, component))
    places, starts = np.unique(component[order], return_index=True)
    each = np.split(removed_at[order], starts[1:]) if rows.size else []
    return {histories.components.ids[place]: its for place, its in zip(places.tolist(), each, strict=True)}


def _note_planned(seen: _Seen, repair: Repair, changes: Ints) -> None:
    ended = repair.ended_at or repair.started_at
    first, last = (
        np.searchsorted(changes, microseconds(repair.started_at)),
        np.searchsorted(changes, microseconds(ended), "right"),
    )
    done = int(last - first)
    if done > 1:
        seen.shop_per_position.append((repair.labour_seconds or 0) / done)
    elif done:
        seen.shop_single.append(float(repair.labour_seconds or 0))


def _stops(connection: Connection, farm: Farm, repairs: dict[UUID, Repair]) -> list[tuple[float, Repair]]:
    """Seconds of each breakdown that was over, and its repair; nights count as in the costs."""
    stops, found = [], []
    for stop in find_all(connection, Stoppage, reason=StopReason.BREAKDOWN):
        repair = repairs.get(stop.repair_id) if stop.repair_id else None
        if repair is None or repair.component_id is None or stop.ended_at is None or stop.ended_at > farm.now:
            continue
        stops.append(stop)
        found.append(repair)
    # alone: that another stop ran beside it made this one no shorter
    return [(float(seconds), repair) for seconds, repair in zip(seconds_alone(farm, stops), found, strict=True)]


def _habits(kind: PartKind, seen: _Seen) -> RepairHabits:
    usual = None if kind.usual_labour_seconds is None else float(kind.usual_labour_seconds)
    in_field = _middle(seen.in_field, usual)
    single = _middle(seen.shop_single or seen.in_field, usual)
    if seen.shop_per_position:
        each = Habit(median(seen.shop_per_position), len(seen.shop_per_position), TimeSource.OWN)
        # what one position alone takes beyond its share is the opening
        rest = max((single.seconds or 0.0) - (each.seconds or 0.0), 0.0)
        opening = Habit(rest, single.records, single.source)
    elif single.seconds is None:
        opening = each = single
    else:
        opening = Habit(single.seconds * OPENING_SHARE, single.records, single.source)
        each = Habit(single.seconds * (1 - OPENING_SHARE), single.records, single.source)
    return RepairHabits(opening, each, in_field, _standing(seen.stops, in_field))


def _middle(own: list[float], usual: float | None) -> Habit:
    if own:
        return Habit(median(own), len(own), TimeSource.OWN)
    return Habit(usual, 0, TimeSource.UNKNOWN if usual is None else TimeSource.GUESS)


def _standing(stops: list[tuple[float, int]], labour: Habit) -> Habit:
    """How long it stands for each position that fails: the mean, since the few long stops are what costs."""
    if stops and (len(stops) >= ENOUGH_STOPS or labour.seconds is None):
        return Habit(_per_position(stops), len(stops), TimeSource.OWN)
    if labour.seconds is not None and stops:
        return Habit(_per_position([*stops, (labour.seconds, 1)]), len(stops), TimeSource.MIXED)
    # nobody stood for it yet: as long as one person works on it
    return Habit(labour.seconds, 0, TimeSource.UNKNOWN if labour.seconds is None else TimeSource.GUESS)


def _per_position(stops: list[tuple[float, int]]) -> float:
    """Two sections changed in one stop stood half of it each."""
    return sum(seconds for seconds, _ in stops) / sum(positions for _, positions in stops)
