"""The history as one answer: who entered what, on every face. Paged lists and the command make their rows of the same columns."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from typing import Final, Protocol
from uuid import UUID

from wearlog.facts.plain_text import one_line
from wearlog.ids import short_number
from wearlog.present.answer_sheet import AnswerColumn, AnswerSheet, data
from wearlog.present.digits import Measures, number


class DeedShown(Protocol):
    """A deed with how many rows it wrote and whether it was taken back."""

    @property
    def id(self) -> UUID: ...
    @property
    def recorded_at(self) -> datetime: ...
    @property
    def device(self) -> str: ...
    @property
    def person(self) -> str: ...
    @property
    def said(self) -> str: ...
    @property
    def rows(self) -> int: ...
    @property
    def undone(self) -> bool: ...
    @property
    def undoes_deed_id(self) -> UUID | None: ...


#: what a list shows, where the cursor says which entry is meant
DEED_COLUMNS: Final[tuple[AnswerColumn[DeedShown], ...]] = (
    AnswerColumn(
        "entered",
        lambda row, measures: measures.moment(row.recorded_at),
        "recorded_at",
        lambda row, _: row.recorded_at,
        least=16,
        most=16,
        sort="when",
    ),
    AnswerColumn(
        "by", lambda row, _: row.person or row.device, "device", lambda row, _: row.device, most=12, gives=2, sort="who"
    ),
    AnswerColumn("undo", lambda row, _: _mark(row), "undone", lambda row, _: bool(row.undone), most=6),
    AnswerColumn(
        "what", lambda row, _: row.said, "said", lambda row, _: row.said, least=20, most=90, sort="what", clauses=True
    ),
    AnswerColumn(
        "rows",
        lambda row, _: number(row.rows),
        "rows",
        lambda row, _: row.rows,
        least=6,
        most=8,
        figures=True,
        gives=1,
    ),
)
#: what names an entry to a command
_NUMBER: Final[AnswerColumn[DeedShown]] = AnswerColumn(
    "no.", lambda row, _: short_number(row.id), "entry_number", lambda row, _: short_number(row.id), least=6, most=6
)


def deed_sheet(rows: Sequence[DeedShown], measures: Measures) -> AnswerSheet[DeedShown]:
    """Return the deeds as they are given, each with the number that names it to `wearlog undo`."""
    further: tuple[AnswerColumn[DeedShown], ...] = (
        data("entry", lambda row, _: row.id),
        data("undoes", lambda row, _: row.undoes_deed_id),
        data("person", lambda row, _: row.person or None),
    )
    columns = (_NUMBER, *DEED_COLUMNS, *further)
    return AnswerSheet("entries", columns, rows, measures, empty="Nothing was entered yet.", key_of=lambda row: row.id)


def undo_question(said: str, rows: int) -> str:
    """Say what an undo would take back, before somebody agrees to it."""
    return f"This takes back {number(rows)} {'row' if rows == 1 else 'rows'} of the log at once: '{one_line(said)}'."


def _mark(row: DeedShown) -> str:
    if row.undone:
        return "undone"
    return "undo" if row.undoes_deed_id is not None else ""


def entry_sentences(rows: Sequence[DeedShown], count: int, measures: Measures) -> tuple[str, str]:
    """Say the last of so many entries; `rows` begin with it."""
    if not rows:
        return "Nothing is entered.", "b logs a breakage, c an area cut."
    said = f"The last entry: {one_line(rows[0].said)}, {measures.time_said(rows[0].recorded_at)}."
    return (
        said,
        f"{number(count)} {'entry' if count == 1 else 'entries'} in all; u takes back the one under the cursor.",
    )
