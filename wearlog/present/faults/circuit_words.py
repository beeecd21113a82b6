"""A machine's diagram in words and as JSON, with what it still lacks; and trouble codes of the open standard."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any, Final

from wearlog.facts.farm_settings import FarmSettings
from wearlog.faults.circuit import Circuit
from wearlog.faults.codes import FAILURE_MODES, FailureMode, TroubleCode
from wearlog.faults.diagram_drawing import draw_diagram
from wearlog.faults.diagram_gaps import gaps
from wearlog.faults.diagram_text import write_diagram
from wearlog.present.answer_sheet import AnswerColumn, AnswerSheet, data
from wearlog.present.digits import Measures
from wearlog.reckoning.faults.fault_list import Diagram


def diagram_lines(diagram: Diagram, *, width: int, ascii_only: bool = False) -> list[str]:
    """Return the diagram as a tree, and what is missing on it."""
    lines = draw_diagram(diagram.part, width=width, ascii_only=ascii_only).splitlines()
    missing = gap_lines(diagram.whole)
    return [*lines, *(["", *missing] if missing else [])]


def gap_lines(circuit: Circuit) -> list[str]:
    """Return what a diagram still lacks, one line each."""
    return [f"missing: {gap.sentence} {gap.hint}" for gap in gaps(circuit)]


def diagram_text(diagram: Diagram) -> str:
    """Return the text form to edit and set again."""
    remark = f"{diagram.machine_name}{f', {diagram.circuit}' if diagram.circuit else ''}"
    return write_diagram(diagram.part, remark=remark)


def diagram_json(diagram: Diagram) -> dict[str, Any]:
    """Return nodes, connections and gaps."""
    return {
        "machine": diagram.machine_name,
        "circuit": diagram.circuit or None,
        "nodes": [
            {
                "node": node.name,
                "kind": node.kind,
                "place": node.place,
                "rating_amperes": None if node.rating_milliamperes is None else node.rating_milliamperes / 1000,
                "marks": sorted(node.marks),
                "wire": dict(node.wire.told()),
            }
            for node in diagram.part.nodes
        ],
        "edges": [{"from": edge.start, "to": edge.end, "kind": edge.kind} for edge in diagram.part.edges],
        "gaps": [{"node": gap.node, "message": gap.sentence, "hint": gap.hint} for gap in gaps(diagram.whole)],
    }


def code_lines(code: TroubleCode) -> list[str]:
    """Return what a trouble code says by the open standard, and what to suspect first."""
    mode = code.failure_mode
    count = "" if code.occurrences is None else f", counted {code.occurrences} times"
    return [
        f"SPN {code.spn}, FMI {code.fmi}{count}: {mode.meaning}.",
        f"Suspect first (common practice, no source): {mode.suspicion}.",
        "What the SPN stands for is in the machine's own book.",
    ]


_MODES: Final[tuple[AnswerColumn[FailureMode], ...]] = (
    AnswerColumn("FMI", lambda mode, _: str(mode.fmi), "fmi", lambda mode, _: mode.fmi, least=3, figures=True),
    AnswerColumn("meaning", lambda mode, _: mode.meaning, "meaning", lambda mode, _: mode.meaning, most=58),
    AnswerColumn("suspect first", lambda mode, _: mode.suspicion, "suspicion", lambda mode, _: mode.suspicion, most=48),
    data("evidence", lambda mode, _: mode.evidence),
)


def mode_sheet(
    modes: Sequence[FailureMode] = FAILURE_MODES, codes: Iterable[TroubleCode] = ()
) -> AnswerSheet[FailureMode]:
    """Return failure modes as an answer; `codes` are those that were looked up."""
    return AnswerSheet(
        name="failure_modes",
        columns=_MODES,
        rows=modes,
        measures=Measures(FarmSettings()),
        beside={"codes": [{"spn": code.spn, "fmi": code.fmi, "count": code.occurrences} for code in codes]},
        key_of=lambda mode: mode.fmi,
    )
