"""The rows of one sheet of the import format as an answer, each with the number that names it to 'wearlog change' and 'undo'."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from wearlog.present.answer_sheet import AnswerColumn, AnswerSheet
from wearlog.present.digits import Measures
from wearlog.present.words import counted

#: a column is not wider than this, however long a note is
_MOST: Final = 28


@dataclass(frozen=True, slots=True)
class SheetRow:
    """A row: its number, and what stands under each heading."""

    number: str
    cells: Mapping[str, str]

    def __hash__(self) -> int:
        return hash(self.number)


def row_sheet(
    sheet: str, headings: Sequence[str], rows: Sequence[SheetRow], measures: Measures, *, in_all: int
) -> AnswerSheet[SheetRow]:
    """Return rows of one sheet; headings under which nothing stands in any row are left out of the table.

    Parameters
    ----------
    headings : sequence of str
        In the order of the format.
    in_all : int
        How many rows of the sheet there are.
    """
    used = [heading for heading in headings if any(row.cells.get(heading) for row in rows)]
    columns: tuple[AnswerColumn[SheetRow], ...] = (
        AnswerColumn("no.", lambda row, _: row.number, "entry_number", lambda row, _: row.number, least=6, most=18),
        *(_column(heading, place, rows) for place, heading in enumerate(used)),
    )
    more = f"The latest {counted(len(rows), 'row')} of {in_all}; --last shows more." if in_all > len(rows) else ""
    return AnswerSheet(
        "rows",
        columns,
        rows,
        measures,
        sentences=(more,) if more else (),
        empty=f"The sheet {sheet} has no row. 'wearlog enter {sheet} ...' enters one.",
        beside={"sheet": sheet, "in_all": in_all},
        key_of=lambda row: row.number,
    )


def _column(heading: str, place: int, rows: Sequence[SheetRow]) -> AnswerColumn[SheetRow]:
    widest = max((len(row.cells.get(heading, "")) for row in rows), default=0)
    cell = _cell(heading)
    return AnswerColumn(
        heading,
        lambda row, _: cell(row),
        heading,
        lambda row, _: cell(row) or None,
        least=min(max(widest, 4), _MOST),
        most=min(max(widest, len(heading)), _MOST),
        # what identifies a row stands first in the format; what stands last gives way first
        gives=0 if place < 3 else min(1 + place, 8),
    )


def _cell(heading: str) -> Callable[[SheetRow], str]:
    return lambda row: row.cells.get(heading, "")


def one_row_lines(called: str, cells: Mapping[str, str], choices: Mapping[str, str]) -> list[str]:
    """Return one row whole: a line for each heading, with what may stand there where it is one of a few words."""
    width = max((len(heading) for heading in cells), default=0)
    lines = [f"{called[:1].upper()}{called[1:]}"]
    for heading, text in cells.items():
        may = f"   ({choices[heading]})" if heading in choices else ""
        lines.append(f"  {heading:<{width}}  {text or '-'}{may}")
    return lines
