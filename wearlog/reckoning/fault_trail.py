"""A fault over the seasons: how often it came, what was found each time, what it cost, and whether the last fix has held."""

from __future__ import annotations

from dataclasses import dataclass

from wearlog.facts.closed_lists import Condition, FixEvidence
from wearlog.facts.electrics import Fault
from wearlog.facts.machines import Machine
from wearlog.faults.association import fisher_exact, holm
from wearlog.faults.held import Held, ReturnRate, has_it_held
from wearlog.faults.trail import ConditionShare, Trail
from wearlog.reckoning.farm import Farm
from wearlog.reckoning.fault_case import PastTime, past_time
from wearlog.reckoning.fault_cost import CostFacts, TrailCost, read_cost_facts, trail_cost
from wearlog.reckoning.fault_links import linked_faults
from wearlog.reckoning.fault_log import FaultLog, engine_hours
from wearlog.store.connection import Connection


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
    held : Held or None
        Whether the last fix has; None while the last one is open.
    evidence : FixEvidence or None
        What the last fix rests on.
    """

    machine: Machine
    times: tuple[PastTime, ...]
    trail: Trail
    conditions: tuple[ConditionShare, ...]
    cost: TrailCost
    held: Held | None
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
        held=None if evidence is None else _held(farm, times[-1].fault, trail, evidence),
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


def _held(farm: Farm, last: Fault, trail: Trail, evidence: FixEvidence) -> Held:
    assert last.closed_at is not None
    quiet = engine_hours(farm, last.machine_id, farm.now) - engine_hours(farm, last.machine_id, last.closed_at)
    return has_it_held(evidence, max(0.0, quiet), [gap.hours for gap in trail.gaps], starting_rate=ReturnRate())
