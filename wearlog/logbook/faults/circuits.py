"""Bringing in a circuit: from the indented text form, a second time as an edit; and starting diagrams put onto a machine."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from uuid import UUID

from wearlog.errors import RefusedError
from wearlog.facts.closed_lists import EdgeKind
from wearlog.facts.electrics import CircuitEdge, CircuitNode, FaultCheck, FaultFinding, FaultSign
from wearlog.facts.fact import Fact
from wearlog.facts.machines import Machine
from wearlog.faults.circuit import Circuit, Edge, Mark, Node, circuit_from_facts
from wearlog.faults.circuit_order import circuit_in_order
from wearlog.faults.diagram_text import parse_diagram
from wearlog.faults.starting_diagrams import starting_diagram
from wearlog.logbook.names import known_names
from wearlog.logbook.saving import Done, save
from wearlog.store.connection import Connection
from wearlog.store.finding import find_all
from wearlog.store.opening import Store

#: what a circuit is called when nobody says
USUAL_NAME = "main"


@dataclass(frozen=True, slots=True)
class _Drawn:
    """The diagram of one machine as it stands in the log, and what history rests on its nodes."""

    nodes: tuple[CircuitNode, ...]
    edges: tuple[CircuitEdge, ...]
    rested_on: frozenset[UUID]

    def named(self) -> dict[str, CircuitNode]:
        return {node.name.casefold(): node for node in self.nodes}


@dataclass(frozen=True, slots=True)
class _Change:
    """What an edit does: rows that come, rows that change, rows that go, and what it tells."""

    new: tuple[Fact, ...] = ()
    changed: tuple[Fact, ...] = ()
    gone: tuple[Fact, ...] = ()
    also: tuple[str, ...] = ()


def circuit_on(connection: Connection, machine_id: UUID) -> Circuit:
    """Return everything that is drawn of a machine, all its circuits together: connections cross their borders."""
    drawn = _read(connection, machine_id)
    return circuit_in_order(drawn.nodes, drawn.edges)


def bring_in_diagram(store: Store, machine: Machine, text: str, *, circuit: str = "") -> Done:
    """Enter a diagram, or edit the one that is there: afterwards it stands in the log as the text has it.

    Parameters
    ----------
    text : str
        As `parse_diagram` reads it. Nodes are known by their names, which are the machine's own, in any case of letters.
    circuit : str
        Only this circuit is edited; nodes of others may stand in the text to hang on, and stay. Empty: the text is all of the
        machine.

    Raises
    ------
    UsageError, DataError
        As `parse_diagram`, and when the whole of the machine would be no circuit any more.
    RefusedError
        When nothing would change.

    Notes
    -----
    A node that is gone from the text is withdrawn only if nothing rests on it: no sign, check or finding of a fault, and no
    connection of another circuit. Otherwise it stays, and the answer says so.
    """
    wanted = parse_diagram(text)
    with store.writing() as connection:
        drawn = _read(connection, machine.id)
        change = _edit(drawn, wanted, machine, circuit)
        return _save(store, connection, machine, drawn, change, circuit or "the diagram")


def put_starting_diagram(store: Store, machine: Machine, name: str, *, circuit: str = "") -> Done:
    """Put a starting diagram onto a machine, to be adapted. What is drawn already stays as it is.

    Raises
    ------
    NotFoundError
        When there is no starting diagram of that name.
    RefusedError
        When all of it is there already.
    """
    start = starting_diagram(name)
    with store.writing() as connection:
        drawn = _read(connection, machine.id)
        change = _edit(drawn, start.circuit(), machine, circuit or start.name, only_add=True)
        also = (f"{start.label}; layout and ratings are common practice, without a source",)
        return _save(store, connection, machine, drawn, replace(change, also=also), f"starting diagram '{start.name}'")


def _read(connection: Connection, machine_id: UUID) -> _Drawn:
    nodes = tuple(find_all(connection, CircuitNode, machine_id=machine_id))
    ids = {node.id for node in nodes}
    edges = tuple(
        edge for edge in find_all(connection, CircuitEdge) if edge.from_node_id in ids and edge.to_node_id in ids
    )
    return _Drawn(nodes, edges, frozenset(_history(connection) & ids))


def _history(connection: Connection) -> set[UUID]:
    """Return the nodes that the history of a fault speaks of."""
    pointed_at = {sign.node_id for sign in find_all(connection, FaultSign)}
    pointed_at |= {check.node_id for check in find_all(connection, FaultCheck)}
    pointed_at |= {finding.node_id for finding in find_all(connection, FaultFinding)}
    return {node_id for node_id in pointed_at if node_id is not None}


def _edit(drawn: _Drawn, wanted: Circuit, machine: Machine, circuit: str, *, only_add: bool = False) -> _Change:
    there = drawn.named()
    after: dict[str, CircuitNode] = {}
    for node in wanted.nodes:
        old = there.get(node.name.casefold())
        if old is None:
            after[node.name] = _new_node(wanted, node, machine, circuit, after)
        else:
            after[node.name] = old if only_add else _with_looks(old, node)
    new_edges, lost_edges = _edges(drawn, wanted, after, circuit)
    fresh = [row for row in after.values() if row.name.casefold() not in there]
    changed = [row for row in after.values() if (old := there.get(row.name.casefold())) is not None and row != old]
    if only_add:
        # how two places that are drawn hang together is known better there than on a diagram to start from
        known = {row.id for row in drawn.nodes}
        joining = [edge for edge in new_edges if not {edge.from_node_id, edge.to_node_id} <= known]
        return _Change((*fresh, *joining))
    gone, kept = _gone(drawn, after, circuit, lost_edges)
    return _Change((*fresh, *new_edges), tuple(changed), (*lost_edges, *gone), tuple(kept))


def _new_node(
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
    return _with_looks(blank, node)


def _with_looks(row: CircuitNode, node: Node) -> CircuitNode:
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
    drawn: _Drawn, wanted: Circuit, after: Mapping[str, CircuitNode], circuit: str
) -> tuple[list[CircuitEdge], list[CircuitEdge]]:
    """Return the connections to add, and those among the text's nodes that the text does not have any more."""
    there = {_key(edge.from_node_id, edge.to_node_id, edge.kind): edge for edge in drawn.edges}
    asked = {_key(after[e.start].id, after[e.end].id, e.kind): e for e in wanted.edges}
    new = [_new_edge(after, edge) for key, edge in asked.items() if key not in there]
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


def _key(start: UUID, end: UUID, kind: EdgeKind) -> tuple[frozenset[UUID] | tuple[UUID, UUID], EdgeKind]:
    """A data line runs both ways: which end is written first does not matter there."""
    return (frozenset((start, end)) if kind is EdgeKind.BUS else (start, end)), kind


def _new_edge(after: Mapping[str, CircuitNode], edge: Edge) -> CircuitEdge:
    return CircuitEdge(from_node_id=after[edge.start].id, to_node_id=after[edge.end].id, kind=edge.kind)


def _gone(
    drawn: _Drawn, after: Mapping[str, CircuitNode], circuit: str, lost: list[CircuitEdge]
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


def _save(store: Store, connection: Connection, machine: Machine, drawn: _Drawn, change: _Change, what: str) -> Done:
    new, changed, gone = change.new, change.changed, change.gone
    if not (new or changed or gone):
        raise RefusedError(f"{machine.name} has all of this already.", "Change the text first, or look at the drawing.")
    _refuse_no_circuit(drawn, (*new, *changed, *(replace(fact, voided=True) for fact in gone)))
    counts = (("added", new), ("changed", changed), ("took out", gone))
    said = f"drew {what} of {machine.name}: " + "; ".join(f"{did} {_counted(rows)}" for did, rows in counts if rows)
    known = known_names(connection)
    return save(store, connection, said, new=new, changed=changed, gone=gone, known=known, also=change.also)


def _counted(rows: Sequence[Fact]) -> str:
    """Return "2 places and 1 connection"."""
    nodes = sum(isinstance(row, CircuitNode) for row in rows)
    pairs = ((nodes, "place"), (len(rows) - nodes, "connection"))
    return " and ".join(f"{count} {one}{'' if count == 1 else 's'}" for count, one in pairs if count)


def _refuse_no_circuit(drawn: _Drawn, touched: Sequence[Fact]) -> None:
    """Raise DataError when the machine as a whole would be no circuit: a ring through two of its circuits, say."""
    rows = {row.id: row for row in (*drawn.nodes, *drawn.edges, *touched)}
    circuit_from_facts(
        [row for row in rows.values() if isinstance(row, CircuitNode)],
        [row for row in rows.values() if isinstance(row, CircuitEdge)],
    )
