"""A machine's circuit as a frozen graph, and what lies above, below or beside a node. Knows no faults and no text form."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, fields
from enum import StrEnum, unique
from typing import Final

from wearlog.errors import DataError, NotFoundError
from wearlog.facts.closed_lists import EdgeKind, NodeKind
from wearlog.facts.electrics import CircuitEdge, CircuitNode

#: kinds that do something an operator can see stop
CONSUMERS: Final = frozenset({NodeKind.DEVICE, NodeKind.SENSOR, NodeKind.CONTROLLER})

Links = dict[str, tuple[str, ...]]


@unique
class Mark(StrEnum):
    """What makes a node likelier to fail than others of its kind."""

    PASSES_EDGE = "passes_edge"
    MOVES_WITH_HEADER = "moves_with_header"
    NEAR_HEAT = "near_heat"
    OUTSIDE = "outside"


@dataclass(frozen=True, slots=True, kw_only=True)
class WireMarks:
    """What one sees of the wire at a node, in words: the field's name is what it is called on the diagram."""

    colour: str = ""
    wire: str = ""
    gauge: str = ""
    pin: str = ""
    splice: str = ""
    photo: str = ""

    def told(self) -> tuple[tuple[str, str], ...]:
        """Return (what it is, words) of all that is known."""
        return tuple((one.name, said) for one in fields(self) if (said := getattr(self, one.name)))


NO_MARKS: Final = WireMarks()


@dataclass(frozen=True, slots=True, kw_only=True)
class Node:
    """A place on a circuit; its name is unique on the diagram. Only fuses have a rating."""

    name: str
    kind: NodeKind
    place: str = ""
    rating_milliamperes: int | None = None
    marks: frozenset[Mark] = frozenset()
    wire: WireMarks = NO_MARKS


@dataclass(frozen=True, slots=True)
class Edge:
    """Current flows from `start` to `end` (feed), or back towards the battery (return), or data runs both ways (bus)."""

    start: str
    end: str
    kind: EdgeKind = EdgeKind.FEED


@dataclass(frozen=True, slots=True)
class Circuit:
    """Nodes and edges that hang together; refuses what cannot be a circuit.

    Attributes
    ----------
    nodes : tuple of Node
    edges : tuple of Edge

    Raises
    ------
    DataError
        For a name used twice, an edge to a node that is not there, an edge entered twice or onto itself, or feed (or return)
        edges that run in a ring. All complaints stand in one message.

    Notes
    -----
    A node with two feeds needs both (a relay: coil and contact). A second feed that could stand in for the first is not
    modelled.
    """

    nodes: tuple[Node, ...]
    edges: tuple[Edge, ...] = ()
    _by_name: dict[str, Node] = field(init=False, repr=False, compare=False)
    _out: dict[EdgeKind, Links] = field(init=False, repr=False, compare=False)
    _into: dict[EdgeKind, Links] = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        complaints = [*_name_complaints(self.nodes), *_edge_complaints(self.nodes, self.edges)]
        out = {kind: _links((e.start, e.end) for e in self.edges if e.kind is kind) for kind in EdgeKind}
        complaints += [_ring_complaint(out[kind], kind) for kind in (EdgeKind.FEED, EdgeKind.RETURN)]
        found = [complaint for complaint in complaints if complaint]
        if found:
            raise DataError(" ".join(found), "Correct these lines of the diagram; the rest can stay as it is.")
        object.__setattr__(self, "_by_name", {node.name: node for node in self.nodes})
        object.__setattr__(self, "_out", out)
        into = {kind: _links((e.end, e.start) for e in self.edges if e.kind is kind) for kind in EdgeKind}
        object.__setattr__(self, "_into", into)

    def node(self, name: str) -> Node:
        """Return the node of that name. NotFoundError if the diagram has none.

        Parameters
        ----------
        name : str
            Of a node, as the diagram has it.
        """
        try:
            return self._by_name[name]
        except KeyError:
            raise NotFoundError(f'The diagram has no "{name}".', "Pick a name that stands on the diagram.") from None

    def fed_by(self, name: str) -> tuple[str, ...]:
        """Return the nodes that feed this one directly, in the order of the edges.

        Parameters
        ----------
        name : str
            Of a node, as the diagram has it.
        """
        return self._into[EdgeKind.FEED].get(name, ())

    def feeds(self, name: str) -> tuple[str, ...]:
        """Return the nodes that this one feeds directly.

        Parameters
        ----------
        name : str
            Of a node, as the diagram has it.
        """
        return self._out[EdgeKind.FEED].get(name, ())

    def returns_to(self, name: str) -> tuple[str, ...]:
        """Return the next nodes on the way back to the battery.

        Parameters
        ----------
        name : str
            Of a node, as the diagram has it.
        """
        return self._out[EdgeKind.RETURN].get(name, ())

    def returned_from(self, name: str) -> tuple[str, ...]:
        """Return the nodes whose return current reaches this one directly.

        Parameters
        ----------
        name : str
            Of a node, as the diagram has it.
        """
        return self._into[EdgeKind.RETURN].get(name, ())

    def bus_neighbours(self, name: str) -> tuple[str, ...]:
        """Return the nodes that share a stretch of data line with this one.

        Parameters
        ----------
        name : str
            Of a node, as the diagram has it.
        """
        both = (*self._out[EdgeKind.BUS].get(name, ()), *self._into[EdgeKind.BUS].get(name, ()))
        return tuple(dict.fromkeys(both))

    def downstream(self, name: str) -> frozenset[str]:
        """Return every node that is fed through this one, not itself.

        Parameters
        ----------
        name : str
            Of a node, as the diagram has it.
        """
        return _reach(self.feeds(name), self._out[EdgeKind.FEED])

    def upstream(self, name: str) -> frozenset[str]:
        """Return every node through which this one is fed, not itself.

        Parameters
        ----------
        name : str
            Of a node, as the diagram has it.
        """
        return _reach(self.fed_by(name), self._into[EdgeKind.FEED])

    def sharing_ground(self, name: str) -> frozenset[str]:
        """Return every node whose return current passes through this one, not itself.

        Parameters
        ----------
        name : str
            Of a node, as the diagram has it.
        """
        return _reach(self.returned_from(name), self._into[EdgeKind.RETURN])

    def on_the_bus_of(self, name: str) -> frozenset[str]:
        """Return every node on the same data line, itself included; empty for a node on no data line.

        Parameters
        ----------
        name : str
            Of a node, as the diagram has it.
        """
        reached: set[str] = set()
        waiting = [name] if self.bus_neighbours(name) else []
        while waiting:
            here = waiting.pop()
            reached.add(here)
            waiting += [other for other in self.bus_neighbours(here) if other not in reached]
        return frozenset(reached)

    def first_fuses_above(self, name: str) -> tuple[str, ...]:
        """Return the nearest fuse on each feed path above this node: those that a short to ground here would blow.

        Parameters
        ----------
        name : str
            Of a node, as the diagram has it.
        """
        found: dict[str, None] = {}
        waiting, seen = list(self.fed_by(name)), set[str]()
        while waiting:
            here = waiting.pop(0)
            if here in seen:
                continue
            seen.add(here)
            if self.node(here).kind is NodeKind.FUSE:
                found[here] = None
            else:
                waiting += self.fed_by(here)
        return tuple(found)

    def tree_parent(self, name: str) -> str | None:
        """Return the node under which this one is drawn: the first that feeds it, or None at the top.

        Parameters
        ----------
        name : str
            Of a node, as the diagram has it.
        """
        above = self.fed_by(name)
        return above[0] if above else None

    def tree_children(self, name: str | None) -> tuple[str, ...]:
        """Return what is drawn under a node, or what stands at the top (`name` None).

        Parameters
        ----------
        name : str or None
            Of a node; None for the top.
        """
        candidates = [node.name for node in self.nodes] if name is None else self.feeds(name)
        return tuple(child for child in candidates if self.tree_parent(child) == name)

    def of_kind(self, *kinds: NodeKind) -> tuple[Node, ...]:
        """Return the nodes of these kinds in the order of the diagram.

        Parameters
        ----------
        *kinds : NodeKind
        """
        return tuple(node for node in self.nodes if node.kind in kinds)


def circuit_from_facts(nodes: Sequence[CircuitNode], edges: Sequence[CircuitEdge]) -> Circuit:
    """Return the circuit that stored facts describe; voided facts count for nothing.

    Parameters
    ----------
    nodes : sequence of CircuitNode
        Stored nodes of one circuit, in the order to be kept.
    edges : sequence of CircuitEdge
        What feeds, grounds or carries data from node to node.

    Raises
    ------
    DataError
        As `Circuit`, and for an edge whose node is not among `nodes`.
    """
    names = {fact.id: fact.name for fact in nodes if not fact.voided}
    drawn = []
    for edge in edges:
        if edge.voided:
            continue
        if edge.from_node_id not in names or edge.to_node_id not in names:
            known = names.get(edge.from_node_id) or names.get(edge.to_node_id) or "nowhere"
            raise DataError(
                f'A connection of "{known}" leads to a node that is not on this diagram.',
                "Take the connection out, or bring the missing node back.",
            )
        drawn.append(Edge(names[edge.from_node_id], names[edge.to_node_id], edge.kind))
    return Circuit(tuple(_node_of(fact) for fact in nodes if not fact.voided), tuple(drawn))


def _node_of(fact: CircuitNode) -> Node:
    flags = (
        (Mark.PASSES_EDGE, fact.passes_edge),
        (Mark.MOVES_WITH_HEADER, fact.moves_with_header),
        (Mark.NEAR_HEAT, fact.near_heat),
        (Mark.OUTSIDE, fact.outside),
    )
    return Node(
        name=fact.name,
        kind=fact.kind,
        place=fact.place,
        rating_milliamperes=fact.rating_milliamperes,
        marks=frozenset(mark for mark, is_set in flags if is_set),
        wire=WireMarks(
            colour=fact.wire_colour,
            wire=fact.wire_number,
            gauge=fact.wire_gauge,
            pin=fact.pins,
            splice=fact.splice_place,
            photo=fact.photo,
        ),
    )


def _links(pairs: Iterable[tuple[str, str]]) -> Links:
    gathered: dict[str, list[str]] = {}
    for start, end in pairs:
        gathered.setdefault(start, []).append(end)
    return {start: tuple(ends) for start, ends in gathered.items()}


def _reach(first: Iterable[str], links: Links) -> frozenset[str]:
    reached: set[str] = set()
    waiting = list(first)
    while waiting:
        here = waiting.pop()
        if here not in reached:
            reached.add(here)
            waiting += links.get(here, ())
    return frozenset(reached)


def _name_complaints(nodes: Sequence[Node]) -> list[str]:
    names = [node.name for node in nodes]
    complaints = [
        f'The name "{name}" stands on the diagram twice.' for name, count in Counter(names).items() if count > 1
    ]
    if any(not name.strip() for name in names):
        complaints.append("A node has no name.")
    odd = [name for name in names if name.strip() and (name != name.strip() or not name.isprintable())]
    complaints += [f"The name {name!r} begins or ends with a blank or does not fit on one line." for name in odd]
    complaints += [
        f'"{node.name}" has a rating, but only a fuse can have one.'
        for node in nodes
        if node.rating_milliamperes is not None and node.kind is not NodeKind.FUSE
    ]
    return complaints


def _edge_complaints(nodes: Sequence[Node], edges: Sequence[Edge]) -> list[str]:
    names = {node.name for node in nodes}
    complaints, seen = [], set[tuple[frozenset[str], EdgeKind]]()
    for edge in edges:
        unknown = dict.fromkeys(end for end in (edge.start, edge.end) if end not in names)
        complaints += [f'A {edge.kind} connection names "{end}", which is not on the diagram.' for end in unknown]
        if edge.start == edge.end:
            complaints.append(f'"{edge.start}" is connected to itself.')
        key = (frozenset((edge.start, edge.end)), edge.kind)
        # a feed there and another back is a ring and gets its own sentence
        if key in seen and (edge.kind is EdgeKind.BUS or edges.count(edge) > 1):
            complaints.append(f'The {edge.kind} connection of "{edge.start}" and "{edge.end}" is entered twice.')
        seen.add(key)
    return complaints


def _ring_complaint(links: Links, kind: EdgeKind) -> str:
    ring = _ring(links)
    if not ring:
        return ""
    way = " -> ".join(f'"{name}"' for name in ring)
    return f"The {kind} connections run in a ring: {way}."


def _ring(links: Links) -> tuple[str, ...]:
    """Return the nodes of one ring, the first repeated at the end, or nothing."""
    leads_to = {start: len(ends) for start, ends in links.items()}
    into = _links((end, start) for start, ends in links.items() for end in ends)
    # a node that leads nowhere is on no ring: strip such nodes until only rings and what leads into them are left
    waiting = [name for name in into if not leads_to.get(name)]
    while waiting:
        for start in into.get(waiting.pop(), ()):
            leads_to[start] -= 1
            if not leads_to[start]:
                waiting.append(start)
    path = [name for name, left in leads_to.items() if left][:1]
    while path and path.count(path[-1]) == 1:
        path.append(next(end for end in links[path[-1]] if leads_to.get(end)))
    return tuple(path[path.index(path[-1]) :]) if path else ()
