"""The history in words, and as JSON."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from typing import Any, Protocol
from uuid import UUID

from wearlog.facts.bookkeeping import Deed
from wearlog.facts.farm_settings import FarmSettings
from wearlog.facts.plain_text import one_line
from wearlog.present.digits import Measures, number
from wearlog.present.tables import Column, text_table


class Line(Protocol):
    """What a line of history has."""

    @property
    def deed(self) -> Deed: ...
    @property
    def rows(self) -> int: ...
    @property
    def undone(self) -> bool: ...


def history_lines(rows: Sequence[Line], settings: FarmSettings) -> list[str]:
    """Return the table of entries."""
    measures = Measures(settings)
    columns = (
        Column("entered"),
        Column("on", widest=16),
        Column("what", widest=64),
        Column("rows", figures=True),
        Column("", widest=6),
        Column("entry", widest=36),
    )
    cells = [
        (
            measures.moment(row.deed.recorded_at),
            row.deed.device,
            row.deed.said,
            number(row.rows),
            "undone" if row.undone else "",
            str(row.deed.id),
        )
        for row in rows
    ]
    return text_table(columns, cells)


def undo_question(said: str, rows: int) -> str:
    """Say what an undo would take back, before somebody agrees to it."""
    return f"This takes back {number(rows)} {'row' if rows == 1 else 'rows'} of the log at once: '{one_line(said)}'."


def history_json(rows: Sequence[Line]) -> dict[str, Any]:
    """Return the history as JSON."""
    return {"entries": [_json(row) for row in rows]}


def _json(row: Line) -> dict[str, UUID | datetime | str | int | bool | None]:
    return {
        "entry": row.deed.id,
        "recorded_at": row.deed.recorded_at,
        "device": row.deed.device,
        "said": row.deed.said,
        "rows": row.rows,
        "undone": row.undone,
        "undoes": row.deed.undoes_deed_id,
    }
