"""What mending parts of one kind took: work, hired help, and how long the machine stood for it."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from statistics import median
from uuid import UUID

from wearlog.facts.closed_lists import Action, StopReason
from wearlog.facts.parts import PartKind
from wearlog.facts.wearing import Breakage, Repair
from wearlog.facts.work import Stoppage
from wearlog.reckoning.farm import Farm
from wearlog.reckoning.work.stops import seconds_alone
from wearlog.store.connection import Connection
from wearlog.store.finding import find_all


@dataclass(frozen=True, slots=True)
class MendingHabit:
    """Mending one part of a kind.

    Attributes
    ----------
    times : int
        How often that was done.
    labour_seconds, standing_seconds : float
        The median of the records of man-time; the mean of the stops, where there are none as long as one person works on it.
    hired_minor : float
        Hired help, on the mean.
    timed : int
        Records of man-time; 0: the kind's usual time stands in.
    """

    times: int
    labour_seconds: float
    standing_seconds: float
    hired_minor: float
    timed: int


def mending_habit(connection: Connection, farm: Farm, kind: PartKind) -> MendingHabit | None:
    """Return what mending took so far; None where none of the kind was ever mended, or nobody knows how long that takes."""
    mine = {one.id for one in farm.components if one.part_kind_id == kind.id}
    repairs = {one.id: one for one in find_all(connection, Repair) if one.started_at <= farm.now}
    pieces: dict[UUID, int] = defaultdict(int)
    replaced: set[UUID] = set()
    times = 0
    for one in find_all(connection, Breakage):
        if one.component_id not in mine or one.at > farm.now:
            continue
        if one.action is Action.MENDED:
            times += 1
            if one.repair_id in repairs and one.repair_id is not None:
                pieces[one.repair_id] += len(one.positions)
        elif one.repair_id is not None:
            replaced.add(one.repair_id)
    if not times:
        return None
    # of a repair that mended some and replaced others nobody knows what which of them took
    alone = {key: count for key, count in pieces.items() if key not in replaced}
    labour = [seconds / count for key, count in alone.items() if (seconds := repairs[key].labour_seconds)]
    usual = kind.usual_labour_seconds
    if not labour and usual is None:
        return None
    each = float(median(labour)) if labour else float(usual or 0)
    stops = [
        stop
        for stop in find_all(connection, Stoppage, reason=StopReason.BREAKDOWN)
        if stop.repair_id in alone and stop.ended_at is not None and stop.ended_at <= farm.now
    ]
    mended = sum(alone[stop.repair_id] for stop in stops if stop.repair_id)
    stood = sum(seconds_alone(farm, stops)) / mended if stops else each
    hired = sum(repairs[key].hired_minor or 0 for key in alone) / max(sum(alone.values()), 1)
    return MendingHabit(times, each, stood, hired, len(labour))


def said_mending(seconds: float) -> MendingHabit:
    """Return the same where somebody says how long it takes."""
    return MendingHabit(0, seconds, seconds, 0.0, 0)
