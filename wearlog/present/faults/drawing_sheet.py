"""The drawing of a circuit as an answer: line by line, each with the chance that the fault sits there. Judges nothing."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final

from wearlog.facts.closed_lists import FaultMode
from wearlog.faults.circuit import Circuit
from wearlog.faults.diagram_drawing import draw_diagram
from wearlog.faults.suspects import Suspects
from wearlog.present.answer_sheet import AnswerColumn, AnswerSheet
from wearlog.present.digits import Measures, percent
from wearlog.present.json_form import rounded
from wearlog.present.words import word

#: so wide that no line of a drawing is cut: each face cuts it to its own width
_WIDE: Final = 400
_NARROW: Final = MappingProxyType({"├─ ": "├ ", "└─ ": "└ ", "│  ": "│ ", "   ": "  "})
#: chances from here on are told
TOLD: Final = 0.005


@dataclass(frozen=True, slots=True)
class DrawnNode:
    """One line of the drawing. `line` keeps the strokes before the name; `mode` is what is likeliest wrong there."""

    node: str
    line: str
    chance: float
    mode: FaultMode | None

    @property
    def percent(self) -> str:
        """The chance in words; empty where it is hardly there."""
        return percent(self.chance) if self.chance >= TOLD else ""

    @property
    def what(self) -> str:
        return word(self.mode) if self.mode is not None and self.chance >= TOLD else ""


def drawing_sheet(rows: Sequence[DrawnNode], measures: Measures) -> AnswerSheet[DrawnNode]:
    """Return the answer, in the order of the drawing."""
    return AnswerSheet("drawing", COLUMNS, rows, measures, key_of=lambda row: row.node)


def drawn_nodes(
    circuit: Circuit, suspects: Suspects | None = None, *, ascii_only: bool = False
) -> tuple[DrawnNode, ...]:
    """Return the drawing line by line, each with its node, its chance and what is likeliest wrong there."""
    shares = node_shares(suspects) if suspects is not None else {}
    modes: dict[str, FaultMode] = {}
    for one in suspects.ranked() if suspects is not None else ():
        modes.setdefault(one.node or "", one.mode)
    lines = draw_diagram(circuit, width=_WIDE, ascii_only=ascii_only).splitlines()
    return tuple(
        DrawnNode(
            node=name,
            line=_narrower(line),
            chance=shares.get(name, 0.0),
            mode=modes.get(name),
        )
        for name, line in zip(_in_drawing_order(circuit), lines, strict=True)
    )


def node_shares(suspects: Suspects) -> dict[str, float]:
    """Return the chance of each place of the drawing by its name."""
    nodes = suspects.case.circuit.nodes
    return dict(zip((node.name for node in nodes), suspects.node_chances()[:-1].tolist(), strict=True))


def _narrower(line: str) -> str:
    """The same line with strokes of two columns: a deep circuit still shows its names on a small screen."""
    lead = ""
    while (stroke := _NARROW.get(line[:3])) is not None:
        lead, line = lead + stroke, line[3:]
    return lead + line


def _in_drawing_order(circuit: Circuit) -> list[str]:
    found, waiting = [], list(reversed(circuit.tree_children(None)))
    while waiting:
        name = waiting.pop()
        found.append(name)
        waiting += reversed(circuit.tree_children(name))
    return found


COLUMNS: Final[tuple[AnswerColumn[DrawnNode], ...]] = (
    AnswerColumn(
        "here",
        lambda row, _: row.percent,
        "chance",
        lambda row, _: rounded(row.chance, 6),
        least=6,
        most=9,
        figures=True,
        tells_more=True,
    ),
    AnswerColumn(
        "circuit",
        lambda row, _: row.line,
        "node",
        lambda row, _: row.node,
        least=24,
        most=70,
        drawn=True,
        # where it leads to goes before the name of the place is cut
        clauses=True,
    ),
    AnswerColumn("likeliest", lambda row, _: row.what, "mode", lambda row, _: row.mode, least=15, most=30, gives=1),
)
