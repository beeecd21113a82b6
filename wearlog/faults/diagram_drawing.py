"""A diagram drawn as a tree in text, cut to a width. Reads no text form and knows no colours."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final
from unicodedata import combining, east_asian_width

from wearlog.facts.closed_lists import NodeKind
from wearlog.faults.circuit import Circuit
from wearlog.faults.diagram_text import node_words


@dataclass(frozen=True, slots=True)
class Beside:
    """A short remark to set right of a node, such as its chance."""

    node: str
    text: str


@dataclass(frozen=True, slots=True)
class _Strokes:
    branch: str
    last: str
    through: str
    blank: str
    cut: str


_BOX: Final = _Strokes("├─ ", "└─ ", "│  ", "   ", "…")
_ASCII: Final = _Strokes("+- ", "`- ", "|  ", "   ", "~")


def draw_diagram(
    circuit: Circuit, *, width: int = 80, ascii_only: bool = False, beside: tuple[Beside, ...] = ()
) -> str:
    """Return the circuit as a tree, fed from the top.

    Parameters
    ----------
    circuit : Circuit
    width : int
        Columns; a longer line is cut, and a remark beside it stays whole if the width allows.
    ascii_only : bool
        Draw the strokes with ASCII characters.
    beside : tuple of Beside
        Remarks, set at the right edge.

    Returns
    -------
    str
        One line a node, without a line break at the end.
    """
    strokes = _ASCII if ascii_only else _BOX
    remarks = {remark.node: remark.text for remark in beside}
    lines = []
    waiting = [(name, "", "") for name in reversed(circuit.tree_children(None))]
    while waiting:
        name, lead, stem = waiting.pop()
        lines.append(_fitted(lead + _label(circuit, name), remarks.get(name, ""), width, strokes.cut))
        children = circuit.tree_children(name)
        for child in reversed(children):
            is_last = child == children[-1]
            stroke, further = (strokes.last, strokes.blank) if is_last else (strokes.branch, strokes.through)
            waiting.append((child, stem + stroke, stem + further))
    return "\n".join(lines)


def columns(text: str) -> int:
    """Return how many terminal columns a text takes: two for wide letters, none for combining marks.

    Parameters
    ----------
    text : str
        What was written.
    """
    return sum(0 if combining(letter) else 2 if east_asian_width(letter) in "WF" else 1 for letter in text)


def _label(circuit: Circuit, name: str) -> str:
    node = circuit.node(name)
    words = node_words(node)
    # a name that already says what it is needs no second saying
    parts = [name if words.lower() in name.lower() and node.kind is not NodeKind.FUSE else f"{name} ({words})"]
    others = circuit.fed_by(name)[1:]
    if others:
        parts.append(f"also fed by {', '.join(others)}")
    if circuit.returns_to(name):
        parts.append(f"returns by {', '.join(circuit.returns_to(name))}")
    if circuit.bus_neighbours(name):
        parts.append(f"bus with {', '.join(circuit.bus_neighbours(name))}")
    return "; ".join(parts)


def _fitted(line: str, remark: str, width: int, cut: str) -> str:
    if not remark:
        return _cut(line, width, cut)
    room = width - columns(remark) - 1
    if room < 1:
        return _cut(remark, width, cut)
    left = _cut(line, room, cut)
    return left + " " * (room - columns(left) + 1) + remark


def _cut(line: str, width: int, cut: str) -> str:
    if columns(line) <= width:
        return line
    kept = line
    while kept and columns(kept) + 1 > width:
        kept = kept[:-1]
    return kept + cut if width > 0 else ""
