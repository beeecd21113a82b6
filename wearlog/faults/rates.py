"""Starting rates: how often nodes of each kind fail in each way, what marks and conditions change. Common practice, no source.

Only their ratios matter for the suspects of one fault; the farm's own findings soon outweigh them (see priors.py).
"""

from __future__ import annotations

from typing import Final

from wearlog.facts.closed_lists import Condition, FaultMode, NodeKind
from wearlog.faults.circuit import Mark, Node

_OPEN, _SHORT, _HIGH = FaultMode.OPEN, FaultMode.SHORT_TO_GROUND, FaultMode.HIGH_RESISTANCE
_FAILED, _OVERLOAD = FaultMode.FAILED_DEVICE, FaultMode.OVERLOAD

#: faults per 10,000 machine hours of one node without marks
RATES_PER_10000_HOURS: Final[dict[tuple[NodeKind, FaultMode], float]] = {
    (NodeKind.BATTERY, _HIGH): 0.6,
    (NodeKind.BATTERY, _FAILED): 0.6,
    (NodeKind.BATTERY, _OPEN): 0.2,
    (NodeKind.FUSE, _OPEN): 0.15,
    (NodeKind.FUSE, _HIGH): 0.15,
    (NodeKind.RELAY, _FAILED): 0.6,
    (NodeKind.RELAY, _HIGH): 0.2,
    (NodeKind.SWITCH, _FAILED): 0.5,
    (NodeKind.SWITCH, _HIGH): 0.2,
    (NodeKind.CONNECTOR, _HIGH): 0.9,
    (NodeKind.CONNECTOR, _OPEN): 0.5,
    (NodeKind.CONNECTOR, _SHORT): 0.15,
    (NodeKind.WIRE_RUN, _SHORT): 0.6,
    (NodeKind.WIRE_RUN, _OPEN): 0.5,
    (NodeKind.WIRE_RUN, _HIGH): 0.15,
    (NodeKind.SPLICE, _HIGH): 0.25,
    (NodeKind.SPLICE, _OPEN): 0.15,
    (NodeKind.SPLICE, _SHORT): 0.05,
    (NodeKind.DEVICE, _FAILED): 0.5,
    (NodeKind.DEVICE, _SHORT): 0.1,
    (NodeKind.DEVICE, _OVERLOAD): 0.15,
    (NodeKind.SENSOR, _FAILED): 0.8,
    (NodeKind.SENSOR, _SHORT): 0.05,
    (NodeKind.CONTROLLER, _FAILED): 0.15,
    (NodeKind.CONTROLLER, _SHORT): 0.03,
    (NodeKind.TERMINATOR, _OPEN): 0.25,
    (NodeKind.TERMINATOR, _SHORT): 0.03,
    (NodeKind.GROUND, _HIGH): 0.7,
    (NodeKind.GROUND, _OPEN): 0.25,
    (NodeKind.ALTERNATOR, _FAILED): 0.6,
    (NodeKind.ALTERNATOR, _HIGH): 0.2,
}

#: share of all electrical faults that sit on nothing that is drawn
NOT_ON_DIAGRAM_SHARE: Final = 0.05

#: of faults on a kind with several wires, the share that takes the whole node; the rest falls on single wires
WHOLE_NODE_SHARE: Final = 0.4

#: how often a mark multiplies each mode
_MARK_FACTORS: Final[dict[Mark, dict[FaultMode, float]]] = {
    Mark.PASSES_EDGE: {_SHORT: 4.0, _OPEN: 2.0},
    Mark.MOVES_WITH_HEADER: {_SHORT: 2.0, _OPEN: 3.0, _HIGH: 2.0, _FAILED: 1.5},
    Mark.NEAR_HEAT: {_SHORT: 2.0, _OPEN: 1.5, _HIGH: 1.5, _FAILED: 1.5},
    Mark.OUTSIDE: {_HIGH: 3.0, _OPEN: 1.5, _SHORT: 1.5, _FAILED: 1.3},
}

_INTERMITTENT_SHARE: Final[dict[FaultMode, float]] = {
    _OPEN: 0.4,
    _SHORT: 0.4,
    _HIGH: 0.6,
    _FAILED: 0.25,
    _OVERLOAD: 0.5,
}
_INTERMITTENT_SHARE_WHERE_IT_MOVES: Final = 0.65

#: a condition, and the marks that it works on; the share of intermittent faults there that show in it
_WORKS_ON: Final[dict[Condition, frozenset[Mark]]] = {
    Condition.RAIN: frozenset({Mark.OUTSIDE}),
    Condition.DEW: frozenset({Mark.OUTSIDE}),
    Condition.AFTER_WASH: frozenset({Mark.OUTSIDE}),
    Condition.DUST: frozenset({Mark.OUTSIDE}),
    Condition.ROUGH_GROUND: frozenset({Mark.PASSES_EDGE, Mark.MOVES_WITH_HEADER}),
    Condition.TURNING: frozenset({Mark.MOVES_WITH_HEADER, Mark.PASSES_EDGE}),
    Condition.HEADER_RAISED: frozenset({Mark.MOVES_WITH_HEADER}),
    Condition.TANK_FULL: frozenset({Mark.PASSES_EDGE}),
    Condition.HOT: frozenset({Mark.NEAR_HEAT}),
    Condition.COLD: frozenset(),
}
_CONDITION_AS_A_RULE: Final = 0.15
_CONDITION_WHERE_IT_WORKS: Final = 0.60
_CONDITION_STEADY_FAULT: Final = 0.25


def mark_factor(node: Node, mode: FaultMode) -> float:
    """Return how many times likelier the marks of a node make a mode.

    Parameters
    ----------
    node : Node
        A node of the circuit; None for what is not on the diagram.
    mode : FaultMode
        How the node fails.
    """
    factor = 1.0
    for mark in node.marks:
        factor *= _MARK_FACTORS[mark].get(mode, 1.0)
    return factor


def intermittent_share(node: Node, mode: FaultMode) -> float:
    """Return the share of a node's faults of that mode that come and go.

    Parameters
    ----------
    node : Node
        A node of the circuit; None for what is not on the diagram.
    mode : FaultMode
        How the node fails.
    """
    share = _INTERMITTENT_SHARE.get(mode, 0.0)
    if Mark.MOVES_WITH_HEADER in node.marks and mode in (_OPEN, _SHORT, _HIGH):
        return max(share, _INTERMITTENT_SHARE_WHERE_IT_MOVES)
    return share


def condition_chance(node: Node | None, condition: Condition, *, intermittent: bool) -> float:
    """Return the chance that somebody notes a condition with a fault at that node (None: not on the diagram).

    Parameters
    ----------
    node : Node or None
        A node of the circuit; None for what is not on the diagram.
    condition : Condition
        What was noted: heat, wet, rough ground and the like.
    intermittent : bool
        Whether the fault comes and goes.
    """
    if node is None or not _WORKS_ON[condition] & node.marks:
        return _CONDITION_AS_A_RULE
    return _CONDITION_WHERE_IT_WORKS if intermittent else _CONDITION_STEADY_FAULT
