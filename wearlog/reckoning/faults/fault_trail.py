"""A fault over the seasons: how often it came, what was found each time, what it cost, and whether the last fix has held."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from wearlog.costs.repair_cost import PartsOfRepairs, parts_of_repairs, price_of_time
from wearlog.facts.closed_lists import Condition, FixEvidence, StockChange, Subsystem
from wearlog.facts.electrics import Fault
from wearlog.facts.machines import Machine
from wearlog.facts.wearing import Breakage, Repair
from wearlog.facts.work import Stoppage
from wearlog.faults.association import fisher_exact, holm
from wearlog.faults.condition_groups import groups_said
from wearlog.faults.held_by_trail import ConditionBound, HeldByTrail, held_by_trail
from wearlog.faults.trail import ConditionShare, Trail
from wearlog.reckoning.farm import Farm
from wearlog.reckoning.faults.fault_case import PastTime, past_time
from wearlog.reckoning.faults.fault_links import linked_faults
from wearlog.reckoning.faults.fault_log import FaultLog, engine_hours
from wearlog.reckoning.parts.stock import costed_moves
from wearlog.reckoning.work.stops import COSTLY_STOPS, counted_seconds
from wearlog.store.connection import Connection
from wearlog.store.finding import find_all
from wearlog.store.histories import NONE, code_of


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
    of_breakage = {row.id.bytes: row.repair_id.bytes for row in find_all(connection, Breakage) if row.repair_id}
    moves = costed_moves(connection)
    taken_for = [
        repair or (of_breakage.get(breakage) if breakage else None)
        for repair, breakage in zip(moves.moves.repair, moves.moves.breakage, strict=True)
    ]
    place_of = {repair.id.bytes: place for place, repair in enumerate(repairs)}
    pieces: Counter[UUID] = Counter()
    used = moves.moves.change == code_of(StockChange.USED)
    for repair_id, was_used, quantity in zip(taken_for, used.tolist(), moves.moves.quantity.tolist(), strict=True):
        if repair_id and was_used:
            pieces[UUID(bytes=repair_id)] += quantity
    rows = [place_of.get(repair_id, NONE) if repair_id else NONE for repair_id in taken_for]
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


@dataclass(frozen=True, slots=True, eq=False)
class FaultTrail:
    """One fault with all its returns.

    Attributes
    ----------
    machine : Machine
    times : tuple of PastTime
        By opening.
    trail : Trail
        Hours are engine hours and areas square metres since the machine's first reading; `gaps` lie between the times.
    conditions : tuple of ConditionShare
        Those noted in the trail, against all other faults of the farm, most telling first.
    cost : TrailCost
    held : HeldByTrail or None
        Whether the last fix has; None while the last one is open.
    evidence : FixEvidence or None
        What the last fix rests on.
    """

    machine: Machine
    times: tuple[PastTime, ...]
    trail: Trail
    conditions: tuple[ConditionShare, ...]
    cost: TrailCost
    held: HeldByTrail | None
    evidence: FixEvidence | None

    @property
    def is_open(self) -> bool:
        return self.times[-1].fault.closed_at is None


def fault_trails(connection: Connection, log: FaultLog, farm: Farm) -> tuple[FaultTrail, ...]:
    """Return the trails of all machines, those that came most often first; a fault that came once is a trail of one.

    Raises
    ------
    DataError
        When what is drawn of a machine is no circuit.
    """
    facts = read_cost_facts(connection, farm)
    found = []
    for machine in farm.machines:
        linked = linked_faults(log, farm, machine.id, log.circuit(machine.id))
        for trail in linked.trails:
            faults = tuple(linked.faults[number] for number in trail.episodes)
            found.append(_told(facts, log, farm, machine, trail, faults))
    return tuple(sorted(found, key=lambda one: (-len(one.times), -one.times[-1].fault.opened_at.timestamp())))


def trail_of(connection: Connection, log: FaultLog, farm: Farm, fault: Fault) -> FaultTrail:
    """Return the trail that a fault belongs to. Errors as `fault_trails`."""
    linked = linked_faults(log, farm, fault.machine_id, log.circuit(fault.machine_id))
    faults = linked.trail_of(fault)
    trail = next(one for one in linked.trails if linked.faults[one.episodes[0]].id == faults[0].id)
    machine = next(one for one in farm.machines if one.id == fault.machine_id)
    return _told(read_cost_facts(connection, farm), log, farm, machine, trail, faults)


def _told(
    facts: CostFacts, log: FaultLog, farm: Farm, machine: Machine, trail: Trail, faults: tuple[Fault, ...]
) -> FaultTrail:
    times = tuple(past_time(log, fault) for fault in faults)
    evidence = _evidence(times[-1])
    return FaultTrail(
        machine=machine,
        times=times,
        trail=trail,
        conditions=_conditions(log, faults),
        cost=trail_cost(facts, log, farm, faults),
        held=None if evidence is None else _held(farm, times, trail, evidence),
        evidence=evidence,
    )


def _conditions(log: FaultLog, inside: tuple[Fault, ...]) -> tuple[ConditionShare, ...]:
    """Compare with the whole farm: a machine whose only fault is this one has nothing to compare with."""
    outside = [fault for fault in log.faults if all(fault.id != one.id for one in inside)]
    noted = [condition for condition in Condition if any(condition in fault.conditions for fault in inside)]
    counts = [(sum(c in one.conditions for one in inside), sum(c in one.conditions for one in outside)) for c in noted]
    p_values = holm([fisher_exact(a, len(inside) - a, b, len(outside) - b).p_more for a, b in counts])
    shares = [
        ConditionShare(condition, a, len(inside), b, len(outside), p)
        for condition, (a, b), p in zip(noted, counts, p_values, strict=True)
    ]
    return tuple(sorted(shares, key=lambda share: share.p))


def _evidence(last: PastTime) -> FixEvidence | None:
    """Return what the last fix rests on; a fault that was closed without a word cleared by itself."""
    if last.fault.closed_at is None:
        return None
    return last.finding.evidence if last.finding else FixEvidence.CLEARED_BY_ITSELF


def _held(farm: Farm, times: Sequence[PastTime], trail: Trail, evidence: FixEvidence) -> HeldByTrail:
    """Return whether the last fix has held, by what became of such fixes of this trail and by the condition the fault shows in."""
    last = times[-1].fault
    assert last.closed_at is not None
    quiet = engine_hours(farm, last.machine_id, farm.now) - engine_hours(farm, last.machine_id, last.closed_at)
    return held_by_trail(
        evidence,
        max(0.0, quiet),
        [gap.hours for gap in trail.gaps],
        failed_before=sum(_evidence(time) is evidence for time in times[:-1]),
        bound=_bound(times),
    )


def _bound(times: Sequence[PastTime]) -> ConditionBound | None:
    """Return the condition that was noted in most times of those in which any was; words that mean the same are one."""
    noted = [groups_said(time.fault.conditions) for time in times if time.fault.conditions]
    counts = Counter(group for groups in noted for group in groups)
    if not counts:
        return None
    # which hours since were so is not known; it is averaged over
    return ConditionBound(shown=counts.most_common(1)[0][1], episodes=len(noted))
