"""Services due in words, and as JSON."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any
from uuid import UUID

from wearlog.present.digits import NOTHING, Measures
from wearlog.present.json_form import rounded
from wearlog.present.tables import Column, text_table
from wearlog.reckoning.due import ServiceDue, Standing

_STANDING = {
    Standing.OVERDUE: "OVERDUE",
    Standing.SOON: "soon",
    Standing.LATER: "later",
    Standing.NEVER_NOTED: "never noted",
}


def due_lines(rows: Sequence[ServiceDue], names: Mapping[UUID, str], measures: Measures) -> list[str]:
    """Return the table of services."""
    columns = (
        Column("", widest=11),
        Column("machine", widest=20),
        Column("service", widest=44),
        Column("left", figures=True),
        Column("by"),
        Column("last done"),
    )
    return text_table(columns, [_cells(row, names, measures) for row in rows])


def _cells(row: ServiceDue, names: Mapping[UUID, str], measures: Measures) -> tuple[str, ...]:
    return (
        _STANDING[row.standing],
        names.get(row.machine_id, NOTHING),
        row.item.name,
        left(row, measures),
        measures.day(row.due_on),
        measures.day(row.last_done),
    )


def left(row: ServiceDue, measures: Measures) -> str:
    """Return "38 h", or "12 h over" when it is past."""
    if row.left_usage is None or row.item.meter_kind is None:
        return NOTHING
    text = measures.usage(row.item.meter_kind, abs(row.left_usage))
    return f"{text} over" if row.left_usage < 0 else text


def due_sentence(row: ServiceDue, names: Mapping[UUID, str], measures: Measures) -> str:
    """Return one service as a sentence for a page."""
    when = left(row, measures)
    until = f" (by {measures.day(row.due_on)})" if row.due_on else ""
    state = _STANDING[row.standing]
    return f"{state}: {names.get(row.machine_id, '')}, {row.item.name}{'' if when == NOTHING else f', {when}'}{until}"


def due_json(rows: Sequence[ServiceDue], names: Mapping[UUID, str], measures: Measures) -> dict[str, Any]:
    """Return the services as JSON."""
    return {"services": [_json(row, names, measures) for row in rows]}


def _json(row: ServiceDue, names: Mapping[UUID, str], measures: Measures) -> dict[str, Any]:
    kind = row.item.meter_kind
    number = None if row.left_usage is None or kind is None else measures.usage_number(kind, row.left_usage)
    return {
        "machine": names.get(row.machine_id),
        "service": row.item.name,
        "standing": row.standing,
        "meter": kind,
        "left": rounded(number, 1),
        "left_unit": None if kind is None else measures.usage_unit(kind),
        "due_on": row.due_on,
        "last_done": row.last_done,
        "evidence": row.item.evidence,
    }
