"""What an edited text of a circuit changes: rows that come, that change and that go. Saves nothing."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from uuid import UUID

from wearlog.facts.electrics import CircuitEdge, CircuitNode
from wearlog.facts.fact import Fact
from wearlog.facts.machines import Machine
from wearlog.faults.circuit import Circuit, Edge, Mark, Node
from wearlog.faults.type_diagram import edge_key

#: what a circuit is called when nobody says
USUAL_NAME = "main"


@dataclass(frozen=True, slots=True)
class DiagramRows:
    """The diagram of one machine as it stands in the log, and what history rests on its nodes."""

    nodes: tuple[CircuitNode, ...]
    edges: tuple[CircuitEdge, ...]
    rested_on: frozenset[UUID]

    def named(self) -> dict[str, CircuitNode]:
        return {node.name.casefold(): node for node in self.nodes}


@dataclass(frozen=True, slots=True)
class DiagramChange:
    """What an edit does: rows that come, rows that change, rows that go, and what it tells."""

    new: tuple[Fact, ...] = ()
    changed: tuple[Fact, ...] = ()
    gone: tuple[Fact, ...] = ()
    also: tuple[str, ...] = ()


def edited(
    drawn: DiagramRows, wanted: Circuit, machine: Machine, circuit: str, *, only_add: bool = False
) -> DiagramChange:
    there = drawn.named()
    after: dict[str, CircuitNode] = {}
    for node in wanted.nodes:
        old = there.get(node.name.casefold())
        if old is None:
            after[node.name] = new_node(wanted, node, machine, circuit, after)
        else:
            after[node.name] = old if only_add else with_looks(old, node)
    new_edges, lost_edges = _edges(drawn, wanted, after, circuit)
    fresh = [row for row in after.values() if row.name.casefold() not in there]
    changed = [row for row in after.values() if (old := there.get(row.name.casefold())) is not None and row != old]
    if only_add:
        # how two places that are drawn hang together is known better there than on a diagram to start from
        known = {row.id for row in drawn.nodes}
        joining = [edge for edge in new_edges if not {edge.from_node_id, edge.to_node_id} <= known]
        return DiagramChange((*fresh, *joining))
    gone, kept = _gone(drawn, after, circuit, lost_edges)
    return DiagramChange((*fresh, *new_edges), tuple(changed), (*lost_edges, *gone), tuple(kept))


def new_node(
    wanted: Circuit, node: Node, machine: Machine, circuit: str, before: Mapping[str, CircuitNode]
) -> CircuitNode:
    """Make a row; without a circuit said it belongs to that of the node it hangs under."""
    above = before.get(wanted.tree_parent(node.name) or "")
    blank = CircuitNode(
        machine_id=machine.id,
        circuit=circuit or (above.circuit if above else USUAL_NAME),
        name=node.name,
        kind=node.kind,
    )
    return with_looks(blank, node)


def with_looks(row: CircuitNode, node: Node) -> CircuitNode:
    return replace(
        row,
        name=node.name,
        kind=node.kind,
        place=node.place,
        rating_milliamperes=node.rating_milliamperes,
        passes_edge=Mark.PASSES_EDGE in node.marks,
        moves_with_header=Mark.MOVES_WITH_HEADER in node.marks,
        near_heat=Mark.NEAR_HEAT in node.marks,
        outside=Mark.OUTSIDE in node.marks,
        wire_colour=node.wire.colour,
        wire_number=node.wire.wire,
        wire_gauge=node.wire.gauge,
        pins=node.wire.pin,
        splice_place=node.wire.splice,
        photo=node.wire.photo,
    )


def _edges(
    drawn: DiagramRows, wanted: Circuit, after: Mapping[str, CircuitNode], circuit: str
) -> tuple[list[CircuitEdge], list[CircuitEdge]]:
    """Return the connections to add, and those among the text's nodes that the text does not have any more."""
    there = {edge_key(edge.from_node_id, edge.to_node_id, edge.kind): edge for edge in drawn.edges}
    asked = {edge_key(after[e.start].id, after[e.end].id, e.kind): e for e in wanted.edges}
    new = [new_edge(after, edge) for key, edge in asked.items() if key not in there]
    on_text = {row.id for row in after.values()}
    own = {row.id for row in after.values() if not circuit or row.circuit == circuit}
    lost = [
        edge
        for key, edge in there.items()
        if key not in asked
        and {edge.from_node_id, edge.to_node_id} <= on_text
        and {edge.from_node_id, edge.to_node_id} & own
    ]
    return new, lost


def new_edge(after: Mapping[str, CircuitNode], edge: Edge) -> CircuitEdge:
    return CircuitEdge(from_node_id=after[edge.start].id, to_node_id=after[edge.end].id, kind=edge.kind)


def _gone(
    drawn: DiagramRows, after: Mapping[str, CircuitNode], circuit: str, lost: list[CircuitEdge]
) -> tuple[list[CircuitNode], list[str]]:
    """Return the nodes to withdraw and what stays all the same; the connections of both are added to `lost`."""
    on_text = {row.id for row in after.values()}
    missing = [row for row in drawn.nodes if row.id not in on_text and (not circuit or row.circuit == circuit)]
    scope = on_text | {row.id for row in missing}
    held = {
        end
        for edge in drawn.edges
        if not {edge.from_node_id, edge.to_node_id} <= scope
        for end in (edge.from_node_id, edge.to_node_id)
    }
    at_missing = {row.id for row in missing}
    lost += [e for e in drawn.edges if {e.from_node_id, e.to_node_id} & at_missing and _within(e, scope)]
    gone = [row for row in missing if row.id not in drawn.rested_on | held]
    kept = [
        f"kept {row.name}: {'faults of the past rest on it' if row.id in drawn.rested_on else 'another circuit hangs on it'}"
        for row in missing
        if row not in gone
    ]
    return gone, kept


def _within(edge: CircuitEdge, scope: Iterable[UUID]) -> bool:
    return {edge.from_node_id, edge.to_node_id} <= set(scope)
