"""What is drawn of one machine where machines of a type share a diagram: the shared places, what differs here. Saves nothing."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, fields, replace
from typing import Final
from uuid import UUID

from wearlog.facts.closed_lists import EdgeKind
from wearlog.facts.electrics import CircuitCut, CircuitEdge, CircuitNode
from wearlog.facts.machines import Machine

#: what a field of a place is called where it differs
_LOOKS: Final = {
    "circuit": "circuit",
    "name": "name",
    "kind": "kind",
    "place": "place",
    "rating_milliamperes": "rating",
    **dict.fromkeys(("passes_edge", "moves_with_header", "near_heat", "outside"), "marks"),
    **dict.fromkeys(("wire_colour", "wire_number", "wire_gauge", "pins", "splice_place", "length_millimetres"), "wire"),
    "photo": "photo",
}
_Key = tuple[frozenset[UUID] | tuple[UUID, UUID], EdgeKind]


@dataclass(frozen=True, slots=True)
class OnMachine:
    """The rows that stand for one machine; the ends of a shared connection are the rows that stand here.

    Attributes
    ----------
    shared, own : tuple of CircuitNode
        Places of the type's diagram, and places that this machine alone has or has otherwise.
    shared_edges, own_edges : tuple of CircuitEdge
        A connection between two places of its own is its own; every other one is of the type.
    lacks : tuple of CircuitNode
        Places of the type's diagram that are not here.
    hides : tuple of CircuitNode
        Places of the type's diagram instead of which one of its own stands.
    """

    shared: tuple[CircuitNode, ...]
    own: tuple[CircuitNode, ...]
    shared_edges: tuple[CircuitEdge, ...]
    own_edges: tuple[CircuitEdge, ...]
    lacks: tuple[CircuitNode, ...]
    hides: tuple[CircuitNode, ...]

    @property
    def nodes(self) -> tuple[CircuitNode, ...]:
        return (*self.shared, *self.own)

    @property
    def differs(self) -> bool:
        """Whether anything is otherwise here than on the type's diagram; where none is shared nothing can be."""
        return bool(self.lacks) or (bool(self.own) and bool(self.shared or self.hides))

    @property
    def edges(self) -> tuple[CircuitEdge, ...]:
        return (*self.shared_edges, *self.own_edges)


def of_one_type(machine: Machine, machines: Iterable[Machine]) -> tuple[Machine, ...]:
    """Return the machines of the same type, this one first; it alone where its type is not said.

    Parameters
    ----------
    machine : Machine
    machines : iterable of Machine
        Of the farm; a type is the same in any case of letters.
    """
    name = _type(machine)
    others = (one for one in machines if name and one.id != machine.id and _type(one) == name and not one.voided)
    return (machine, *sorted(others, key=lambda one: one.name.casefold()))


def _type(machine: Machine) -> str:
    return " ".join(machine.type_name.split()).casefold()


def drawn_on(
    machines: Sequence[Machine],
    nodes: Iterable[CircuitNode],
    edges: Iterable[CircuitEdge],
    cuts: Iterable[CircuitCut] = (),
) -> OnMachine:
    """Return what is drawn of the first of some machines of a type.

    Parameters
    ----------
    machines : sequence of Machine
        As `of_one_type` returns them.
    nodes, edges, cuts : iterable of CircuitNode, CircuitEdge, CircuitCut
        Of all machines, or of these at least; voided ones count for nothing.

    Notes
    -----
    A place of its own stands instead of the shared one of that name, with the connections of both; but how two places of its own
    hang together the machine alone says. What hangs in the shared diagram on nothing but places that are not here is not here.
    """
    machine, ids = machines[0], {one.id for one in machines}
    rows = {row.id: row for row in nodes if row.machine_id in ids and not row.voided}
    own = {_name(row): row for row in rows.values() if row.machine_id == machine.id and not row.shared}
    out = {cut.node_id for cut in cuts if cut.machine_id == machine.id and not cut.voided}
    lines = [e for e in edges if not e.voided and e.from_node_id in rows and e.to_node_id in rows]
    of_type: dict[str, CircuitNode] = {}
    for row in sorted((row for row in rows.values() if row.shared), key=lambda row: str(row.id)):
        of_type.setdefault(_name(row), row)
    shared = {name: row for name, row in of_type.items() if name not in own and row.id not in out}
    here = _hanging({**shared, **own}, shared, [e for e in lines if _is_shared(e, rows)], rows)
    found: dict[_Key, CircuitEdge] = {}
    for edge in lines:
        if not _is_shared(edge, rows):
            continue
        ends = [here.get(_name(rows[end])) for end in (edge.from_node_id, edge.to_node_id)]
        if None not in ends and any(end.shared for end in ends if end):
            start, end = (row.id for row in ends if row)
            found.setdefault(edge_key(start, end, edge.kind), replace(edge, from_node_id=start, to_node_id=end))
    mine = {row.id for row in own.values()}
    return OnMachine(
        shared=tuple(row for row in here.values() if row.shared),
        own=tuple(own.values()),
        shared_edges=tuple(found.values()),
        own_edges=tuple(e for e in lines if {e.from_node_id, e.to_node_id} <= mine),
        lacks=tuple(row for name, row in of_type.items() if name not in here),
        hides=tuple(row for name, row in of_type.items() if name in own),
    )


def edge_key(start: UUID, end: UUID, kind: EdgeKind) -> _Key:
    """Return what makes two connections the same: a data line runs both ways, whichever end is written first.

    Parameters
    ----------
    start, end : UUID
        Of the nodes.
    kind : EdgeKind
    """
    return (frozenset((start, end)) if kind is EdgeKind.BUS else (start, end)), kind


def differences(here: OnMachine) -> tuple[str, ...]:
    """Return what a machine has otherwise than its type, a few words each.

    Parameters
    ----------
    here : OnMachine
    """
    if not here.differs:
        return ()
    hidden = {row.name.casefold(): row for row in here.hides}
    pairs = [(row, old) for row in here.own if (old := hidden.get(row.name.casefold()))]
    changed = [f"{row.name}: {what} otherwise here" for row, old in pairs if (what := _otherwise(row, old))]
    added = [row for row in here.own if row.name.casefold() not in hidden]
    told = changed + [f"{row.name}: only here" for row in added]
    told += [f"{row.name}: not here" for row in here.lacks]
    return tuple(told or ["connected otherwise here"])


def _otherwise(row: CircuitNode, old: CircuitNode) -> str:
    differ = [one.name for one in fields(row) if getattr(row, one.name) != getattr(old, one.name)]
    return " and ".join(dict.fromkeys(_LOOKS[name] for name in differ if name in _LOOKS))


def looks_of(looks: CircuitNode, row: CircuitNode) -> CircuitNode:
    """Return a row that looks like another and stays what it is.

    Parameters
    ----------
    looks, row : CircuitNode
    """
    return replace(looks, id=row.id, machine_id=row.machine_id, shared=row.shared, voided=row.voided)


def _name(row: CircuitNode) -> str:
    return row.name.casefold()


def _is_shared(edge: CircuitEdge, rows: dict[UUID, CircuitNode]) -> bool:
    return rows[edge.from_node_id].shared or rows[edge.to_node_id].shared


def _hanging(
    here: dict[str, CircuitNode],
    shared: dict[str, CircuitNode],
    lines: Sequence[CircuitEdge],
    rows: dict[UUID, CircuitNode],
) -> dict[str, CircuitNode]:
    """Leave out the shared places that nothing here feeds, though something feeds them in the shared diagram."""
    feeds: dict[str, list[str]] = {}
    for edge in lines:
        if edge.kind is EdgeKind.FEED:
            feeds.setdefault(_name(rows[edge.to_node_id]), []).append(_name(rows[edge.from_node_id]))
    while True:
        loose = [n for n in here if n in shared and n in feeds and not any(above in here for above in feeds[n])]
        if not loose:
            return here
        here = {name: row for name, row in here.items() if name not in loose}
