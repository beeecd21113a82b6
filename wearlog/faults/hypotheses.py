"""What could be wrong on a diagram: every node with every way it can fail, steady or coming and going. Not how likely."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from wearlog.facts.closed_lists import FaultMode, NodeKind
from wearlog.faults.circuit import Circuit, Node
from wearlog.faults.severity import Variant

_OPEN, _SHORT, _HIGH = FaultMode.OPEN, FaultMode.SHORT_TO_GROUND, FaultMode.HIGH_RESISTANCE
_FAILED, _OVERLOAD = FaultMode.FAILED_DEVICE, FaultMode.OVERLOAD

#: the ways a node of each kind can fail
MODES: Final[dict[NodeKind, tuple[FaultMode, ...]]] = {
    NodeKind.BATTERY: (_HIGH, _FAILED, _OPEN),
    NodeKind.FUSE: (_OPEN, _HIGH),
    NodeKind.RELAY: (_FAILED, _HIGH),
    NodeKind.SWITCH: (_FAILED, _HIGH),
    NodeKind.CONNECTOR: (_HIGH, _OPEN, _SHORT),
    NodeKind.WIRE_RUN: (_SHORT, _OPEN, _HIGH),
    NodeKind.SPLICE: (_HIGH, _OPEN, _SHORT),
    NodeKind.DEVICE: (_FAILED, _SHORT, _OVERLOAD),
    NodeKind.SENSOR: (_FAILED, _SHORT),
    NodeKind.CONTROLLER: (_FAILED, _SHORT),
    NodeKind.TERMINATOR: (_OPEN, _SHORT),
    NodeKind.GROUND: (_HIGH, _OPEN),
    NodeKind.ALTERNATOR: (_FAILED, _HIGH),
}

#: kinds that carry several wires, of which one alone may fail
_MANY_WIRES: Final = frozenset({NodeKind.CONNECTOR, NodeKind.WIRE_RUN, NodeKind.SPLICE, NodeKind.GROUND})


@dataclass(frozen=True, slots=True, kw_only=True)
class Hypothesis:
    """One thing that could be wrong.

    Attributes
    ----------
    node : str or None
        None: the fault is not on this diagram.
    mode : FaultMode
    intermittent : bool
        It comes and goes.
    branch : str
        The neighbour towards which one wire or pin has failed; empty when the whole node has.
    variant : Variant
        Which size or sort of its mode, where sizes are told apart (`sized_hypotheses`).
    """

    node: str | None
    mode: FaultMode
    intermittent: bool = False
    branch: str = ""
    variant: Variant = Variant.NONE


NOT_ON_DIAGRAM: Final = Hypothesis(node=None, mode=FaultMode.NOT_FOUND)


def hypotheses(circuit: Circuit) -> tuple[Hypothesis, ...]:
    """Return everything that could be wrong on a circuit; the last is "not on this diagram".

    Parameters
    ----------
    circuit : Circuit
        The circuit as it is drawn.
    """
    found = [hypothesis for node in circuit.nodes for hypothesis in _at_node(circuit, node)]
    return (*found, NOT_ON_DIAGRAM)


def branches(circuit: Circuit, node: Node) -> tuple[str, ...]:
    """Return the neighbours to each of which a wire of its own leads through this node; empty when there is but one.

    Parameters
    ----------
    circuit : Circuit
        The circuit as it is drawn.
    node : Node
        A node of the circuit; None for what is not on the diagram.
    """
    if node.kind not in _MANY_WIRES:
        return ()
    ends = dict.fromkeys((*circuit.feeds(node.name), *circuit.returned_from(node.name)))
    has_bus = bool(circuit.bus_neighbours(node.name))
    return tuple(ends) if len(ends) + has_bus > 1 else ()


def _at_node(circuit: Circuit, node: Node) -> Iterator[Hypothesis]:
    name = node.name
    carries_current = bool(circuit.fed_by(name) or circuit.feeds(name) or circuit.bus_neighbours(name))
    if not carries_current and not circuit.returned_from(name):
        return
    for mode in MODES[node.kind]:
        # a wire that only leads to ground cannot be shorted to it
        if mode is _SHORT and not carries_current:
            continue
        for intermittent in (False, True):
            yield Hypothesis(node=name, mode=mode, intermittent=intermittent)
            if mode in (_OPEN, _HIGH):
                for branch in branches(circuit, node):
                    yield Hypothesis(node=name, mode=mode, intermittent=intermittent, branch=branch)
