"""The plain text form of a diagram: one node a line, indented under what feeds it. Reads and writes it; draws nothing.

    # a line that starts so is a remark
    Battery: battery, at battery box
      Light fuse: fuse 15 A, at fuse block
        Header plug: connector, at feeder house, outside, moves with header
          Stubble light: device, returns by Header ground
    Header ground: ground, returns by Battery

After the kind come, in any order: `at PLACE`, the four marks, `returns by NAME`, `also fed by NAME`, `bus with NAME`; and what one
sees of the wire: `colour yellow/black`, `wire 214`, `gauge 16`, `pin 3`, `splice 20 in behind the plug`, `photo plug.jpg`. A
name or other words with a comma, a colon or a quote in them stand in double quotes.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field, fields, replace
from decimal import Decimal
from typing import Final

from wearlog.errors import UsageError
from wearlog.facts.closed_lists import EdgeKind, NodeKind
from wearlog.faults.circuit import Circuit, Edge, Mark, Node, WireMarks
from wearlog.units import milliamperes

INDENT: Final = "  "
#: letters of a name or a place: it stands in every line of a checklist and on a screen of 46 columns
LONGEST_NAME: Final = 60
_KINDS: Final = {kind.replace("_", " "): kind for kind in NodeKind}
_MARKS: Final = {mark.replace("_", " "): mark for mark in Mark}
_OF_A_WIRE: Final = frozenset(one.name for one in fields(WireMarks))
_LINKS: Final = (
    ("returns by ", EdgeKind.RETURN),
    ("also fed by ", EdgeKind.FEED),
    ("bus with ", EdgeKind.BUS),
)
_KIND_SHAPE: Final = re.compile(r"(?P<kind>[a-z ]+?)(?:\s+(?P<amperes>\d+(?:[.,]\d+)?)\s*A)?", re.IGNORECASE)


@dataclass(slots=True)
class _Line:
    """One line as read: the node, its indentation, and the connections it names."""

    number: int
    indent: int
    node: Node
    links: list[tuple[EdgeKind, str]] = field(default_factory=list)


def parse_diagram(text: str) -> Circuit:
    """Read a diagram.

    Parameters
    ----------
    text : str
        Lines of `Name: kind, options`; indented under the node that feeds them. Blank lines and lines that start with # are
        skipped.

    Returns
    -------
    Circuit
        With the nodes in the order of the lines.

    Raises
    ------
    UsageError
        For a line that does not fit the form, with its number.
    DataError
        For a diagram that no circuit can have; see `Circuit`.
    """
    lines = [
        _read_line(number, line)
        for number, line in enumerate(text.expandtabs(4).splitlines(), start=1)
        if line.strip() and not line.lstrip().startswith("#")
    ]
    known = {line.node.name for line in lines}
    feeds, others = list(_indented_feeds(lines)), []
    for line in lines:
        for kind, target in line.links:
            if target not in known:
                raise _wrong(
                    line.number, f'"{target}" is not on the diagram', "Write the name as it stands on its own line."
                )
            ends = (target, line.node.name) if kind is EdgeKind.FEED else (line.node.name, target)
            others.append(Edge(*ends, kind))
    return Circuit(tuple(line.node for line in lines), (*feeds, *others))


def write_diagram(circuit: Circuit, *, remark: str = "") -> str:
    """Return the text form of a circuit, which `parse_diagram` reads back to the same nodes and edges.

    Parameters
    ----------
    circuit : Circuit
        The circuit as it is drawn.
    remark : str
        Put on the first line behind a #.
    """
    lines = [f"# {part}" for part in remark.splitlines()]
    waiting = [(name, 0) for name in reversed(circuit.tree_children(None))]
    while waiting:
        name, depth = waiting.pop()
        lines.append(INDENT * depth + _written(circuit, circuit.node(name)))
        waiting += [(child, depth + 1) for child in reversed(circuit.tree_children(name))]
    return "\n".join(lines) + "\n"


def node_words(node: Node) -> str:
    """Return the kind of a node in words, with its rating: "fuse 7.5 A", "wire run".

    Parameters
    ----------
    node : Node
        A node of the circuit; None for what is not on the diagram.
    """
    words = node.kind.replace("_", " ")
    if node.rating_milliamperes is None:
        return words
    return f"{words} {Decimal(node.rating_milliamperes) / 1000:f} A"


def _written(circuit: Circuit, node: Node) -> str:
    options = [node_words(node)]
    if node.place:
        options.append(f"at {_quoted(node.place)}")
    options += [mark.replace("_", " ") for mark in Mark if mark in node.marks]
    options += [f"{what} {_quoted(said)}" for what, said in node.wire.told()]
    for edge in circuit.edges:
        if edge.kind is EdgeKind.FEED:
            if edge.end == node.name and edge.start != circuit.tree_parent(node.name):
                options.append(f"also fed by {_quoted(edge.start)}")
        elif edge.start == node.name:
            words = "returns by" if edge.kind is EdgeKind.RETURN else "bus with"
            options.append(f"{words} {_quoted(edge.end)}")
    return f"{_quoted(node.name)}: {', '.join(options)}"


def _quoted(name: str) -> str:
    if re.search(r'[,:"]', name) or name.startswith("#") or name != name.strip():
        return '"' + name.replace('"', '""') + '"'
    return name


def _unquoted(piece: str) -> str:
    piece = piece.strip()
    if len(piece) > 1 and piece[0] == piece[-1] == '"':
        return piece[1:-1].replace('""', '"')
    return piece


def _pieces(text: str, separator: str) -> list[str]:
    """Split at a separator that stands outside double quotes."""
    pieces, within = [""], False
    for letter in text:
        within ^= letter == '"'
        if letter == separator and not within:
            pieces.append("")
        else:
            pieces[-1] += letter
    return pieces


def _read_line(number: int, line: str) -> _Line:
    name, *rest = _pieces(line, ":")
    if len(rest) != 1:
        raise _wrong(
            number, "a line needs a name, one colon and a kind", 'Write it like "Header plug: connector, outside".'
        )
    kind_words, *options = (piece.strip() for piece in _pieces(rest[0], ","))
    kind, rating = _read_kind(number, kind_words)
    place, marks, links, wire = "", set[Mark](), list[tuple[EdgeKind, str]](), dict[str, str]()
    for option in options:
        if option.lower() in _MARKS:
            marks.add(_MARKS[option.lower()])
        elif option.lower().startswith("at "):
            place = _unquoted(option[3:])
        elif (what := option.partition(" ")[0].lower()) in _OF_A_WIRE:
            wire[what] = _unquoted(option[len(what) :])
        else:
            links.append(_read_link(number, option))
    for what, words in (("name", _unquoted(name)), ("place", place), *wire.items()):
        if len(words) > LONGEST_NAME:
            said = f'the {what} "{words[:20]}..." has {len(words)} letters, and {LONGEST_NAME} are the most'
            raise _wrong(number, said, "Shorten it; what more there is to say belongs in a remark.")
    node = Node(name=_unquoted(name), kind=kind, place=place, rating_milliamperes=rating, marks=frozenset(marks))
    node = replace(node, wire=WireMarks(**wire)) if wire else node
    return _Line(number, len(line) - len(line.lstrip()), node, links)


def _read_kind(number: int, words: str) -> tuple[NodeKind, int | None]:
    shape = _KIND_SHAPE.fullmatch(" ".join(words.split()))
    kind = _KINDS.get(shape["kind"].lower()) if shape else None
    if shape is None or kind is None:
        raise _wrong(number, f'"{words}" is no kind of node', f"Kinds are: {', '.join(_KINDS)}.")
    amperes = shape["amperes"]
    if amperes is None:
        return kind, None
    try:
        return kind, milliamperes(amperes)
    except UsageError as error:
        raise _wrong(number, error.message.removesuffix("."), error.hint) from error


def _read_link(number: int, option: str) -> tuple[EdgeKind, str]:
    for words, kind in _LINKS:
        if option.lower().startswith(words):
            return kind, _unquoted(option[len(words) :])
    options = ", ".join(
        [*_MARKS, "at PLACE", *(f"{words}NAME" for words, _ in _LINKS), "colour, wire, gauge, pin, splice, photo"]
    )
    raise _wrong(number, f'"{option}" is not understood', f"After the kind may stand: {options}.")


def _indented_feeds(lines: list[_Line]) -> Iterator[Edge]:
    above: list[_Line] = []
    for line in lines:
        while above and above[-1].indent >= line.indent:
            above.pop()
        if above:
            yield Edge(above[-1].node.name, line.node.name)
        elif line.indent:
            raise _wrong(line.number, "the line is indented, but nothing above it feeds it", "Move it to the left.")
        above.append(line)


def _wrong(number: int, what: str, hint: str) -> UsageError:
    return UsageError(f"Line {number} of the diagram: {what}.", hint)
