"""The rate of one node, each finding looked at again; the program sums what the nodes of a kind have in common once."""

from __future__ import annotations

from wearlog.facts.closed_lists import FaultMode
from wearlog.faults.circuit import Circuit, Node
from wearlog.faults.priors import (
    KIND_SHAPE,
    NODE_SHAPE,
    OTHER_MODE_WEIGHT,
    SISTER_WEIGHT,
    Experience,
    gamma_poisson_rate,
)
from wearlog.faults.rates import RATES_PER_10000_HOURS, mark_factor


def node_rate(circuit: Circuit, node: Node, mode: FaultMode, experience: Experience) -> float:
    """Return the rate of a node's mode per 10,000 h: the other nodes of its kind move the kind's, its own findings move its own."""
    watched = (experience.hours + SISTER_WEIGHT * experience.sister_hours) / 10_000
    own = others = 0.0
    for finding in experience.findings:
        weight = 1.0 if finding.on_this_machine else SISTER_WEIGHT
        if finding.node == node.name:
            own += weight * (1.0 if finding.mode is mode else OTHER_MODE_WEIGHT)
        elif finding.kind is node.kind and finding.mode is mode:
            others += weight
    peers = sum(mark_factor(peer, mode) for peer in circuit.of_kind(node.kind) if peer.name != node.name)
    start = RATES_PER_10000_HOURS.get((node.kind, mode), 0.0)
    of_kind = gamma_poisson_rate(KIND_SHAPE, start, others, watched * peers)
    return gamma_poisson_rate(NODE_SHAPE, of_kind * mark_factor(node, mode), own, watched)
