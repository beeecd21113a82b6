"""Which faults of a machine are the same one come back. It loads all that weighs a diagram; a list of open faults does not."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import timedelta
from uuid import UUID

import numpy as np
from numpy.typing import NDArray

from wearlog.facts.closed_lists import FixEvidence, SignKind
from wearlog.facts.electrics import Fault
from wearlog.faults.circuit import Circuit
from wearlog.faults.signs import Sign
from wearlog.faults.suspects import Case, suspects_of
from wearlog.faults.trail import Episode, Trail, trails
from wearlog.reckoning.farm import Farm
from wearlog.reckoning.faults.fault_log import FaultLog, area_cut, engine_hours

#: how much of an episode's whereabouts the damage that was seen tells; the rest its signs (common practice, no source)
SEEN_WEIGHT = 0.5
#: a fault that was opened while another like it was open, sooner than this after it, is told twice (common practice, no source)
_SAME_TIME = timedelta(days=1)
#: signs that say nothing without a place
_NEED_A_NODE = frozenset(
    {
        SignKind.DEAD,
        SignKind.ERRATIC,
        SignKind.WORKING,
        SignKind.WEAK,
        SignKind.STAYS_ON,
        SignKind.WRONG_THING,
    }
)


@dataclass(frozen=True, slots=True, eq=False)
class LinkedFaults:
    """The faults of one machine in the order of opening, and the trails they form; a trail's numbers point into `faults`.

    `beside` names for a fault that was opened while another of its trail was open, not a day before, that other one: the same time.
    """

    faults: tuple[Fault, ...]
    trails: tuple[Trail, ...]
    beside: Mapping[UUID, Fault] = field(default_factory=dict)

    def trail_of(self, fault: Fault) -> tuple[Fault, ...]:
        """Return the faults of the trail that holds this one, by opening."""
        place = next(number for number, one in enumerate(self.faults) if one.id == fault.id)
        trail = next(trail for trail in self.trails if place in trail.episodes)
        return tuple(self.faults[number] for number in trail.episodes)

    def came_back_by(self, fault: Fault, later: Fault) -> bool:
        """Return whether this fault was open again by the time the later one opened."""
        return any(fault.opened_at < one.opened_at <= later.opened_at for one in self.trail_of(fault))


def linked_faults(log: FaultLog, farm: Farm, machine_id: UUID, circuit: Circuit) -> LinkedFaults:
    """Link the faults of a machine into trails.

    Notes
    -----
    An episode is told by what showed itself: its signs and conditions on the diagram of today, without its checks and without what
    earlier faults taught. So a wrong guess breaks no trail, and a trail does not change while one is searching. Where damage was
    seen and repaired, that place counts for half of the suspicion. An episode without signs is linked with none.
    """
    mine = tuple(fault for fault in log.faults if fault.machine_id == machine_id)
    episodes = [_episode(log, farm, fault, circuit) for fault in mine]
    if not episodes:
        return LinkedFaults((), ())
    now = max(engine_hours(farm, mine[0].machine_id, farm.now), *(one.opened_hours for one in episodes))
    start = min(0.0, *(one.opened_hours for one in episodes))
    twice = _beside(mine)
    found = trails(episodes, start_hours=start, now_hours=now)
    of = {number: trail.episodes for trail in found for number in trail.episodes}
    twice = {later: first for later, first in twice.items() if first in of[later]}
    if twice:
        found = trails(episodes, start_hours=start, now_hours=now, beside=twice)
    return LinkedFaults(mine, found, {mine[later].id: mine[first] for later, first in twice.items()})


def _beside(faults: Sequence[Fault]) -> dict[int, int]:
    """Return for each fault that was opened within a day of an earlier one, that being open still, the first such."""
    found: dict[int, int] = {}
    for later, fault in enumerate(faults):
        for first, one in enumerate(faults[:later]):
            still_open = one.closed_at is None or one.closed_at > fault.opened_at
            if first not in found and still_open and fault.opened_at - one.opened_at < _SAME_TIME:
                found[later] = first
                break
    return found


def signs_of(log: FaultLog, fault: Fault, circuit: Circuit) -> tuple[Sign, ...]:
    """Return the signs of a fault that the diagram can be asked about."""
    drawn = {node.name for node in circuit.nodes}
    signs = []
    for row in log.signs(fault):
        name = log.node_name(row.node_id)
        if row.node_id is None or name in drawn:
            signs.append(Sign(kind=row.sign, node=name or None, spn=row.spn, fmi=row.fmi, told=row.told))
    return tuple(sign for sign in signs if sign.node or sign.kind not in _NEED_A_NODE)


def _episode(log: FaultLog, farm: Farm, fault: Fault, circuit: Circuit) -> Episode:
    signs = signs_of(log, fault, circuit)
    opened = engine_hours(farm, fault.machine_id, fault.opened_at)
    closed = None if fault.closed_at is None else engine_hours(farm, fault.machine_id, fault.closed_at)
    return Episode(
        node_chances=_whereabouts(log, fault, circuit, signs),
        signs=frozenset(replace(sign, told=None) for sign in signs),
        conditions=frozenset(fault.conditions),
        opened_hours=opened,
        closed_hours=None if closed is None else max(opened, closed),
        opened_acres=area_cut(farm, fault.machine_id, fault.opened_at),
        closed_acres=None if fault.closed_at is None else area_cut(farm, fault.machine_id, fault.closed_at),
    )


def _whereabouts(log: FaultLog, fault: Fault, circuit: Circuit, signs: tuple[Sign, ...]) -> NDArray[np.float64]:
    if not signs:
        return np.append(np.zeros(len(circuit.nodes)), 1.0)
    chances = suspects_of(Case(circuit=circuit, signs=signs, conditions=fault.conditions)).node_chances()
    finding = log.finding(fault)
    names = [node.name for node in circuit.nodes]
    if finding is None or finding.evidence is not FixEvidence.SEEN or log.node_name(finding.node_id) not in names:
        return chances
    found = np.zeros(len(chances))
    found[names.index(log.node_name(finding.node_id))] = 1.0
    return SEEN_WEIGHT * found + (1 - SEEN_WEIGHT) * chances
