"""Electrical faults in words, and as JSON."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any
from uuid import UUID

from wearlog.present.digits import NOTHING, Measures, number
from wearlog.present.fault_trail_words import ordinal
from wearlog.present.json_form import rounded
from wearlog.present.tables import Column, text_table
from wearlog.present.words import word
from wearlog.reckoning.fault_list import FaultLine


def fault_table(rows: Sequence[FaultLine], names: Mapping[UUID, str], measures: Measures) -> list[str]:
    """Return the table of faults, open ones first."""
    columns = (
        Column("no.", figures=True),
        Column("", widest=6),
        Column("machine", widest=16),
        Column("fault", widest=44),
        Column("opened"),
        Column("time", widest=8),
        Column("found", widest=40),
        Column("quiet for", figures=True),
    )
    return text_table(columns, [_cells(row, names, measures) for row in rows])


def _cells(row: FaultLine, names: Mapping[UUID, str], measures: Measures) -> tuple[str, ...]:
    return (
        str(row.number),
        "OPEN" if row.fault.closed_at is None else "closed",
        names.get(row.fault.machine_id, NOTHING),
        row.fault.title,
        measures.day(row.fault.opened_at),
        f"{row.nth} of {row.of}" if row.of > 1 else "first",
        finding(row),
        NOTHING if row.quiet_seconds is None else f"{number(row.quiet_seconds / 3600)} h",
    )


def finding(row: FaultLine) -> str:
    """Return what was found, where, or that nothing was."""
    if row.finding is None:
        return NOTHING
    at = f" at {row.node}" if row.node else ""
    return f"{word(row.finding.mode)}{at}"


def fault_sentence(row: FaultLine, names: Mapping[UUID, str], measures: Measures) -> str:
    """Return one open fault as a sentence for a page."""
    again = f"; here for the {ordinal(row.nth)} time" if row.nth > 1 else ""
    return f"{names.get(row.fault.machine_id, '')}: {row.fault.title}, since {measures.day(row.fault.opened_at)}{again}"


def fault_json(rows: Sequence[FaultLine], names: Mapping[UUID, str]) -> dict[str, Any]:
    """Return the faults as JSON."""
    return {
        "faults": [
            {
                "number": row.number,
                "id": row.fault.id,
                "machine": names.get(row.fault.machine_id),
                "circuit": row.fault.circuit,
                "title": row.fault.title,
                "opened": row.fault.opened_at,
                "closed": row.fault.closed_at,
                "conditions": list(row.fault.conditions),
                "signs": len(row.signs),
                "checks": len(row.checks),
                "mode": row.finding.mode if row.finding else None,
                "node": row.node or None,
                "fix": row.finding.fix if row.finding else None,
                "evidence": row.finding.evidence if row.finding else None,
                "episode": row.nth,
                "episodes": row.of,
                "quiet_engine_hours": None if row.quiet_seconds is None else rounded(row.quiet_seconds / 3600, 1),
            }
            for row in rows
        ]
    }
