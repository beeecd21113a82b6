"""The order in which stored nodes and connections stand on a diagram: as entered here, imported ones by name. Draws nothing."""

from __future__ import annotations

from collections.abc import Sequence

from wearlog.facts.electrics import CircuitEdge, CircuitNode
from wearlog.faults.circuit import Circuit, circuit_from_facts

#: ids of this version were made when the row was entered here, one after another (see ids.py)
_ENTERED_HERE = 7


def circuit_in_order(nodes: Sequence[CircuitNode], edges: Sequence[CircuitEdge]) -> Circuit:
    """Return the circuit that stored facts describe, in an order that is the same wherever it is read.

    Parameters
    ----------
    nodes : sequence of CircuitNode
        Stored nodes of one circuit, in any order.
    edges : sequence of CircuitEdge
        What feeds, grounds or carries data from node to node.

    Notes
    -----
    The order decides where a branch is drawn and at which plug the data line is measured, so that every reader must use this one.

    Raises
    ------
    DataError
        As `circuit_from_facts`.
    """
    names = {node.id: node.name for node in nodes}
    ends = {edge.id: (names.get(edge.from_node_id, ""), names.get(edge.to_node_id, "")) for edge in edges}
    return circuit_from_facts(
        sorted(nodes, key=lambda node: ("", str(node.id)) if _entered(node) else (node.name, str(node.id))),
        sorted(edges, key=lambda edge: (("", ""), str(edge.id)) if _entered(edge) else (ends[edge.id], str(edge.id))),
    )


def _entered(row: CircuitNode | CircuitEdge) -> bool:
    return row.id.version == _ENTERED_HERE
