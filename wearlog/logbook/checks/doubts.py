"""What is possible but so unlikely that a person is asked before it is saved: the rules alone. Reads and writes nothing.

An entry that meets one of these raises `DoubtError`; whoever is sure saves again and names the doubt.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from enum import StrEnum
from itertools import pairwise
from typing import Final
from uuid import UUID

from wearlog.errors import DoubtError
from wearlog.facts.closed_lists import Cause, MeterKind
from wearlog.facts.machines import Machine, Meter, Reading
from wearlog.facts.wearing import Breakage, Fitting
from wearlog.logbook.checks.row_rules import MOST_SQUARE_METRES_PER_SECOND
from wearlog.logbook.deed_sentences import place_of
from wearlog.logbook.names import KnownNames, known_names
from wearlog.logbook.said.measures import FarmSpeaker
from wearlog.store.connection import Connection
from wearlog.store.finding import find_all, find_among
from wearlog.store.opening import Store

__all__ = [
    "EVERY_DOUBT",
    "NO_DOUBT_SETTLED",
    "READING_SLACK",
    "TOLD_AGAIN_WITHIN",
    "TWIN_WITHIN",
    "Doubt",
    "DoubtError",
    "StandingDoubt",
    "came_off_before",
    "fast_pairs",
    "first_fittings",
    "fitted_only_later",
    "meters_in_doubt",
    "outruns_the_clock",
    "same_time",
    "standing_doubts",
    "told_twice",
    "twin_of",
]


class Doubt(StrEnum):
    """What is asked about."""

    EARLIER_PART = "earlier_part"
    EMPTY_PLACE = "empty_place"
    SAME_BREAKAGE = "same_breakage"
    FAST_METER = "fast_meter"
    NO_HEADER = "no_header"
    SAME_ROW = "same_row"
    SAME_RUN = "same_run"
    TOLD_OTHERWISE = "told_otherwise"
    OTHER_VOLTAGE = "other_voltage"
    CLOSED_BEFORE_CHECK = "closed_before_check"


#: nobody was asked yet
NO_DOUBT_SETTLED: Final[frozenset[str]] = frozenset()
#: a person said yes to whatever may be asked
EVERY_DOUBT: Final[frozenset[str]] = frozenset(Doubt)
#: the same part does not break twice in a minute; the same key pressed twice does that
TWIN_WITHIN: Final = timedelta(minutes=1)
#: the same line typed in the cab and again at night; the same positions can break twice in a day, so it is only asked
TOLD_AGAIN_WITHIN: Final = timedelta(hours=14)
#: readings that came with a day alone stand anywhere in it
READING_SLACK: Final = timedelta(days=1)


def twin_of(breakage: Breakage, others: Iterable[Breakage]) -> Breakage | None:
    """Return a breakage of the same component, of a position in common, within a minute; None when there is none."""
    wanted = set(breakage.positions)
    return next(
        (
            one
            for one in others
            if one.id != breakage.id
            and one.component_id == breakage.component_id
            and abs(one.at - breakage.at) <= TWIN_WITHIN
            and wanted.intersection(one.positions)
        ),
        None,
    )


def told_twice(breakage: Breakage, others: Iterable[Breakage]) -> Breakage | None:
    """Return a breakage that this one may be, told a second time: the twin of the same minute, else one of the same positions,
    cause and action within `TOLD_AGAIN_WITHIN` with nothing told of them in between; None when there is none.

    What was left or mended first and replaced later broke twice, and so did what broke by two causes that are known and differ.
    """
    others = [one for one in others if one.id != breakage.id]
    twin = twin_of(breakage, others)
    if twin is not None:
        return twin
    wanted = set(breakage.positions)
    near = sorted(
        (one for one in others if one.component_id == breakage.component_id and wanted.intersection(one.positions)),
        key=lambda one: one.at,
    )
    before = [one for one in near if one.at <= breakage.at][-1:]
    after = [one for one in near if one.at > breakage.at][:1]
    alike = [one for one in (*before, *after) if _is_alike(one, breakage)]
    return min(alike, key=lambda one: abs(one.at - breakage.at), default=None)


def _is_alike(one: Breakage, other: Breakage) -> bool:
    causes = {one.cause, other.cause} - {Cause.UNKNOWN}
    return (
        one.positions == other.positions
        and one.action is other.action
        and len(causes) < 2
        and abs(one.at - other.at) <= TOLD_AGAIN_WITHIN
    )


def same_time(start: datetime, end: datetime, other_start: datetime, other_end: datetime) -> bool:
    """Tell whether half of the shorter of two spans lies in the other: two that touch at a slip of minutes are two."""
    shared = min(end, other_end) - max(start, other_start)
    return shared > timedelta(0) and 2 * shared >= min(end - start, other_end - other_start)


def outruns_the_clock(kind: MeterKind, earlier: Reading, later: Reading) -> bool:
    """Tell whether a meter gained more between two readings than any machine works day and night in that time.

    A meter that was replaced in between says nothing.
    """
    if later.new_leg:
        return False
    per_second = MOST_SQUARE_METRES_PER_SECOND if kind is MeterKind.AREA else 1
    seconds = (later.at - earlier.at + READING_SLACK).total_seconds()
    return later.shown_usage - earlier.shown_usage > per_second * seconds


def fast_pairs(kind: MeterKind, readings: Iterable[Reading]) -> Iterator[tuple[Reading, Reading]]:
    """Yield neighbouring readings of one meter of which the later outruns the clock."""
    ordered = sorted(readings, key=lambda one: (one.at, one.new_leg, one.shown_usage))
    for earlier, later in pairwise(ordered):
        if outruns_the_clock(kind, earlier, later):
            yield earlier, later


def first_fittings(fittings: Iterable[Fitting]) -> dict[int, Fitting]:
    """Return the first fitting of each position of one component."""
    first: dict[int, Fitting] = {}
    for one in fittings:
        if one.position not in first or one.fitted_at < first[one.position].fitted_at:
            first[one.position] = one
    return first


def fitted_only_later(breakage: Breakage, fittings: Sequence[Fitting]) -> tuple[Fitting, ...]:
    """Return the first fittings of those broken positions where no part was noted yet when it broke."""
    first = first_fittings(fittings)
    return tuple(
        first[position]
        for position in breakage.positions
        if position in first and first[position].fitted_at > breakage.at
    )


def came_off_before(breakage: Breakage, fittings: Sequence[Fitting]) -> tuple[Fitting, ...]:
    """Return what was last on at those broken positions that were empty when it broke, though a part was on there before."""
    last: list[Fitting] = []
    for position in breakage.positions:
        begun = [one for one in fittings if one.position == position and one.fitted_at < breakage.at]
        if begun and all(one.removed_at is not None and one.removed_at < breakage.at for one in begun):
            last.append(max(begun, key=lambda one: one.fitted_at))
    return tuple(last)


@dataclass(frozen=True, slots=True)
class StandingDoubt:
    """One thing that looks wrong: which rule, and what there is in a sentence."""

    doubt: Doubt
    message: str


def standing_doubts(store: Store) -> tuple[StandingDoubt, ...]:
    """Return what looks wrong, readings first, then breakages place by place; the database looks which may be asked about."""
    with store.reading() as connection:
        known = known_names(connection)
        speak = FarmSpeaker(known.farm)
        return (*_fast_readings(connection, known, speak), *_odd_breakages(connection, known, speak))


def meters_in_doubt(connection: Connection) -> set[UUID]:
    """Return the meters that may run backwards or outrun the clock, so that only their readings are read."""
    from wearlog.store.screening import odd_meters

    return odd_meters(connection, MOST_SQUARE_METRES_PER_SECOND, READING_SLACK)


def _fast_readings(connection: Connection, known: KnownNames, speak: FarmSpeaker) -> Iterator[StandingDoubt]:
    of_meter: dict[UUID, list[Reading]] = defaultdict(list)
    for reading in find_among(connection, Reading, "meter_id", meters_in_doubt(connection)):
        of_meter[reading.meter_id].append(reading)
    names = {machine.id: machine.name for machine in find_all(connection, Machine)}
    for meter in find_all(connection, Meter):
        for earlier, later in fast_pairs(meter.kind, of_meter[meter.id]):
            yield StandingDoubt(
                Doubt.FAST_METER,
                f"{names.get(meter.machine_id, '')} showed {speak.usage(meter.kind, earlier.shown_usage)} on "
                f"{speak.time_said(earlier.at)} and {speak.usage(meter.kind, later.shown_usage)} on {speak.time_said(later.at)}: "
                "more than it can have worked.",
            )


def _odd_breakages(connection: Connection, known: KnownNames, speak: FarmSpeaker) -> Iterator[StandingDoubt]:
    from wearlog.store.screening import broken_before_fitted, near_in_time

    components = {one.id: one for one in known.components}
    by_component: dict[UUID, list[Breakage]] = defaultdict(list)
    doubtful = near_in_time(connection, "breakage", "component_id", "at", within=TWIN_WITHIN)
    doubtful |= broken_before_fitted(connection)
    for breakage in sorted(find_among(connection, Breakage, "component_id", doubtful), key=lambda one: one.at):
        by_component[breakage.component_id].append(breakage)
    fittings: dict[UUID, list[Fitting]] = defaultdict(list)
    for fitting in find_among(connection, Fitting, "component_id", doubtful):
        fittings[fitting.component_id].append(fitting)
    for component_id, its in by_component.items():
        component, first = components[component_id], 0
        for place, breakage in enumerate(its):
            where = place_of(known, component, breakage.positions)
            # what else broke in the same minute may stand between the two
            while breakage.at - its[first].at > TWIN_WITHIN:
                first += 1
            if twin_of(breakage, its[first:place]) is not None:
                yield StandingDoubt(
                    Doubt.SAME_BREAKAGE, f"{where}: two breakages within a minute of {speak.time_said(breakage.at)}."
                )
            late = fitted_only_later(breakage, fittings[component_id])
            if late:
                yield StandingDoubt(
                    Doubt.EARLIER_PART,
                    f"{where} broke on {speak.time_said(breakage.at)}, but was noted as fitted only on "
                    f"{speak.time_said(min(one.fitted_at for one in late))}: its life is not counted.",
                )
