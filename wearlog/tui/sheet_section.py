"""An answer as a section of a screen: its list with the sums under it, and what it says beside. Draws nothing."""

from __future__ import annotations

from collections.abc import Callable, Hashable

from wearlog.present.answer_sheet import AnswerSheet, Row
from wearlog.present.sheet_faces import said_under
from wearlog.tui.section import Picture, Section
from wearlog.tui.widgets.sheet_rows import list_with_sums


def sheet_section(
    name: str,
    sheet: AnswerSheet[Row],
    *,
    picture: Callable[[Hashable | None], Picture | None] | None = None,
    picture_lines: int = 14,
) -> Section:
    """Return the section of this name; `picture` takes the answer's key of the row under the cursor."""
    columns, rows = list_with_sums(sheet)
    return Section(
        name,
        columns=columns,
        rows=rows,
        empty=sheet.empty,
        picture=picture if sheet.listed else None,
        after=tuple(said_under(sheet)) if sheet.listed else (),
        picture_lines=picture_lines,
    )
