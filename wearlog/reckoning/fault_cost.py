"""What the faults of one trail have cost so far: repairs, stops and parts that belong to their moments. Each cent once."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from wearlog.costs.repair_cost import PartsOfRepairs, parts_of_repairs, price_of_time
from wearlog.facts.closed_lists import StockChange, Subsystem
from wearlog.facts.electrics import Fault
from wearlog.facts.wearing import Breakage, Repair
from wearlog.facts.work import Stoppage
from wearlog.reckoning.farm import Farm
from wearlog.reckoning.fault_log import FaultLog
from wearlog.reckoning.stock import costed_moves
from wearlog.reckoning.stops import COSTLY_STOPS, counted_seconds
from wearlog.store.connection import Connection
from wearlog.store.finding import find_all
from wearlog.store.histories import NONE


@dataclass(frozen=True, slots=True)
class TrailCost:
    """Cost of a trail in minor units, and what was counted for it.

    Attributes
    ----------
    repairs, stops, parts : int
        How many repairs, stops and pieces were counted.
    search_seconds : int
        Time of checks in episodes without a repair; it is priced as labour.
    unknown_parts : int
        Pieces whose cost nobody knows; they are in no sum.
    """

    labour_minor: int
    hired_minor: int
    downtime_minor: int
    parts_minor: int
    repairs: int
    stops: int
    parts: int
    search_seconds: int
    unknown_parts: int

    @property
    def total_minor(self) -> int:
        return self.labour_minor + self.hired_minor + self.downtime_minor + self.parts_minor


@dataclass(frozen=True, slots=True, eq=False)
class CostFacts:
    """What costs are counted from, read once for all trails.

    `stood` is how long each stop counts, in seconds; `parts` is what came off the shelf for each of the `repairs`, in their order,
    and `pieces` how many that were.
    """

    repairs: tuple[Repair, ...]
    stops: tuple[Stoppage, ...]
    stood: dict[UUID, int]
    parts: PartsOfRepairs
    pieces: Mapping[UUID, int]
    electrical: frozenset[UUID]


def read_cost_facts(connection: Connection, farm: Farm) -> CostFacts:
    """Read the repairs, stops and stock moves of the farm."""
    kinds = {kind.id for kind in farm.part_kinds if kind.subsystem is Subsystem.ELECTRICAL}
    stops = find_all(connection, Stoppage)
    repairs = tuple(find_all(connection, Repair))
    parts, pieces = _parts(connection, repairs)
    return CostFacts(
        repairs=repairs,
        stops=tuple(stop for stop in stops if stop.reason in COSTLY_STOPS),
        stood=counted_seconds(farm, stops),
        parts=parts,
        pieces=pieces,
        electrical=frozenset(component.id for component in farm.components if component.part_kind_id in kinds),
    )


def _parts(connection: Connection, repairs: Sequence[Repair]) -> tuple[PartsOfRepairs, Mapping[UUID, int]]:
    """Return what came off the shelf for each repair, by itself or by a breakage that it mended, and how many pieces."""
    of_breakage = {row.id: row.repair_id for row in find_all(connection, Breakage) if row.repair_id}
    moves = costed_moves(connection)
    place_of = {repair.id: place for place, repair in enumerate(repairs)}
    pieces: Counter[UUID] = Counter()
    rows = []
    for move in moves.moves:
        repair_id = move.repair_id or (of_breakage.get(move.breakage_id) if move.breakage_id else None)
        rows.append(place_of.get(repair_id, NONE) if repair_id else NONE)
        if repair_id and move.change is StockChange.USED:
            pieces[repair_id] += move.quantity
    return parts_of_repairs(moves.costs, rows, len(repairs)), pieces


def trail_cost(facts: CostFacts, log: FaultLog, farm: Farm, faults: Sequence[Fault]) -> TrailCost:
    """Return what the faults of a trail have cost.

    Notes
    -----
    Counted are the machine's repairs of electrical parts (or of no part in particular) that were going on when a fault of the
    trail was opened, checked or closed; the breakdown stops of those moments that belong to such a repair or to none; and the parts
    taken off the shelf for those repairs. Where a fault has no repair, the minutes of its checks count as labour.
    """
    repairs = {one.id: one for fault in faults for one in facts.repairs if _is_of(facts, log, fault, one)}
    stops = {one.id: one for fault in faults for one in facts.stops if _stood_for(log, fault, one, set(repairs))}
    search = sum(_search_seconds(log, fault) for fault in faults if not _repaired(facts, log, fault))
    rows = [place for place, one in enumerate(facts.repairs) if one.id in repairs]
    labour = sum(one.labour_seconds or 0 for one in repairs.values()) + search
    stood = sum(facts.stood.get(stop_id, 0) for stop_id in stops)
    return TrailCost(
        labour_minor=int(price_of_time([labour], farm.settings.labour_rate_minor)[0]),
        hired_minor=sum(one.hired_minor or 0 for one in repairs.values()),
        downtime_minor=int(price_of_time([stood], farm.settings.downtime_minor)[0]),
        parts_minor=int(facts.parts.parts_minor[rows].sum()),
        repairs=len(repairs),
        stops=len(stops),
        parts=sum(facts.pieces.get(one, 0) for one in repairs),
        search_seconds=search,
        unknown_parts=int(facts.parts.unknown_units[rows].sum()),
    )


def _moments(log: FaultLog, fault: Fault) -> tuple[datetime, ...]:
    checked = (check.at for check in log.checks(fault) if check.at is not None)
    return (fault.opened_at, *checked, *((fault.closed_at,) if fault.closed_at else ()))


def _is_of(facts: CostFacts, log: FaultLog, fault: Fault, repair: Repair) -> bool:
    fits = repair.component_id is None or repair.component_id in facts.electrical
    return (
        fits
        and repair.machine_id == fault.machine_id
        and _covers(repair.started_at, repair.ended_at, _moments(log, fault))
    )


def _stood_for(log: FaultLog, fault: Fault, stop: Stoppage, repairs: set[UUID]) -> bool:
    fits = stop.repair_id is None or stop.repair_id in repairs
    return (
        fits and stop.machine_id == fault.machine_id and _covers(stop.started_at, stop.ended_at, _moments(log, fault))
    )


def _covers(start: datetime, end: datetime | None, moments: Sequence[datetime]) -> bool:
    return any(start <= moment and (end is None or moment <= end) for moment in moments)


def _repaired(facts: CostFacts, log: FaultLog, fault: Fault) -> bool:
    return any(_is_of(facts, log, fault, repair) for repair in facts.repairs)


def _search_seconds(log: FaultLog, fault: Fault) -> int:
    return sum(check.duration_seconds or 0 for check in log.checks(fault))
