"""Where tables lie in a sheet: titles, headings (of one row or two), rows, tables beside and below one another."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Final

from wearlog.logbook.notebook.holds import Holds, heading_of

_FIGURE: Final = re.compile(r"[-+$€£]?\s*\d[\d.,:/ -]*\s*\S{0,8}$")

_YEAR: Final = re.compile(r"(19|20)\d\d$")

_SAYS_NOTHING: Final = re.compile(r"[\s\-–—_=.~*]*$")


@dataclass(frozen=True, slots=True)
class NoteTable:
    """A table: its columns [first, stop) of the sheet, its headings by column, and the rows [begin, end) below them.

    Attributes
    ----------
    headings : tuple of str
        One for each column, two rows of them joined; empty where none stands.
    heading_rows : tuple of int
        Indices of the rows that hold them.
    side_by_side : bool
        Another table stands beside it.
    """

    sheet: int
    first: int
    stop: int
    headings: tuple[str, ...]
    heading_rows: tuple[int, ...]
    begin: int
    end: int
    side_by_side: bool = False


@dataclass(frozen=True, slots=True)
class Layout:
    """What a sheet is made of: its tables, and the rows above the first of them, by index."""

    tables: tuple[NoteTable, ...]
    above: tuple[int, ...]


def layout_of(sheet: NoteSheet, number: int) -> Layout:
    """Find the tables of a sheet."""
    rows = sheet.rows
    found = [index for index in range(len(rows)) if is_heading_row(rows, index)]
    # headings right above headings are names of groups of them ("Header", "Combine"), and no table without a row
    marks = [one for one in found if one + 1 not in found or not _is_upper(rows, one)]
    if not marks:
        return _without_headings(rows, number)
    tables: list[NoteTable] = []
    for place, index in enumerate(marks):
        end = marks[place + 1] if place + 1 < len(marks) else len(rows)
        upper = index - 1 if index and _is_upper(rows, index - 1) and index - 1 not in marks else None
        if place + 1 < len(marks) and end and _is_upper(rows, end - 1):
            end -= 1
        tables += _beside(rows, number, index, upper, end)
    first = tables[0].heading_rows[0] if tables else 0
    return Layout(tuple(tables), tuple(one for one in range(first) if any(rows[one])))


def is_heading_row(rows: Sequence[Sequence[str]], index: int) -> bool:
    """Say whether a row is headings: two known ones and more, they the most of it, and no figure but years."""
    cells = [cell for cell in rows[index] if cell]
    if len(cells) < 2 or len(max(cells, key=len)) > 40:
        return False
    marks = [_mark(cell) for cell in cells]
    years = marks.count(_IS_YEAR)
    if years >= 2 and years >= len(cells) - 2 and marks[0] is not _IS_YEAR:
        return True
    if _IS_FIGURE in marks:
        return False
    known = [holds for cell in cells if (holds := _holds(cell)) is not None]
    return len(known) >= 2 and 2 * len(known) >= len(cells) and len(set(known)) * 2 > len(known)


#: what a cell looks like, in one letter
_IS_YEAR: Final = "y"
_IS_FIGURE: Final = "f"


@lru_cache(maxsize=65_536)
def _mark(cell: str) -> str:
    return _IS_YEAR if _YEAR.match(cell) else _IS_FIGURE if _FIGURE.match(cell) else ""


@lru_cache(maxsize=8192)
def _holds(cell: str) -> Holds | None:
    return heading_of(cell).holds


def _is_upper(rows: Sequence[Sequence[str]], index: int) -> bool:
    """Say whether a row above headings names groups of them: several words, no figures, and not all columns filled."""
    cells = [cell for cell in rows[index] if cell]
    below = [cell for cell in rows[index + 1] if cell]
    return 2 <= len(cells) <= len(below) and not any(any(one.isdigit() for one in cell) for cell in cells)


def _beside(rows: Sequence[Sequence[str]], number: int, index: int, upper: int | None, end: int) -> list[NoteTable]:
    """Return the tables of one row of headings: one, or several with an empty column or a second day between them."""
    headings = _joined(rows, index, upper, end)
    cuts = _cuts(rows, headings, index + 1, end)
    heading_rows = (index,) if upper is None else (upper, index)
    return [
        NoteTable(number, first, stop, tuple(headings[first:stop]), heading_rows, index + 1, end, len(cuts) > 1)
        for first, stop in cuts
    ]


def _joined(rows: Sequence[Sequence[str]], index: int, upper: int | None, end: int) -> list[str]:
    width = max(len(rows[one]) for one in range(index, max(end, index + 1)))
    lower = [*rows[index], *[""] * (width - len(rows[index]))]
    if upper is None:
        return lower
    above = [*rows[upper], *[""] * (width - len(rows[upper]))]
    return [_one_heading(over, under) for over, under in zip(above, lower, strict=False)]


def _one_heading(over: str, under: str) -> str:
    if not under or not over:
        return under or over
    together = f"{over} {under}"
    if _holds(together) is not None:
        return together
    return under


def _cuts(rows: Sequence[Sequence[str]], headings: Sequence[str], begin: int, end: int) -> list[tuple[int, int]]:
    """Return the spans of columns: a column that is empty from the headings on parts two tables that each have two headings."""
    width = len(headings)
    used = [bool(headings[at]) for at in range(width)]
    for index in range(begin, min(end, begin + 400)):
        for at, cell in enumerate(rows[index]):
            used[at] = used[at] or bool(cell)
    spans: list[tuple[int, int]] = []
    start = 0
    days = 0
    for at in range(width):
        is_day = _holds(headings[at]) is Holds.DAY
        parts = (is_day and days) or (not used[at] and at > start and _is_table(headings[at + 1 :]))
        if parts and _is_table(headings[start:at]):
            spans.append((start, at))
            start, days = at, 0
        days += is_day
    spans.append((start, width))
    return spans


def _is_table(headings: Sequence[str]) -> bool:
    known = [holds for one in headings if (holds := _holds(one)) is not None]
    return len(known) >= 2 and (Holds.DAY in known or Holds.MACHINE in known or Holds.HEADER in known)


def _without_headings(rows: Sequence[Sequence[str]], number: int) -> Layout:
    """A sheet without a known heading is one table; what stands alone at its top is its title."""
    filled = [index for index, row in enumerate(rows) if any(row)]
    width = max((len(row) for row in rows), default=0)
    begin = next((index for index in filled if sum(map(bool, rows[index])) > 1), filled[0] if filled else 0)
    headings: tuple[str, ...] = ("",) * width
    heading_rows: tuple[int, ...] = ()
    if begin + 1 < len(rows) and _looks_like_headings(rows, begin):
        headings = (*rows[begin], *("",) * (width - len(rows[begin])))
        heading_rows, begin = (begin,), begin + 1
    table = NoteTable(number, 0, width, headings, heading_rows, begin, len(rows))
    above = tuple(index for index in filled if index < (heading_rows[0] if heading_rows else begin))
    return Layout((table,) if width else (), above)


def _looks_like_headings(rows: Sequence[Sequence[str]], index: int) -> bool:
    """Say whether a row of unknown words stands above figures: no figure in it, and figures below it."""
    cells = [cell for cell in rows[index] if cell]
    if len(cells) < 2 or any(any(one.isdigit() for one in cell) or len(cell) > 24 for cell in cells):
        return False
    below = rows[index + 1 : index + 6]
    return any(any(cell and cell[0].isdigit() for cell in row) for row in below)


@lru_cache(maxsize=65_536)
def says_nothing(cell: str) -> bool:
    """Say whether a cell holds only marks of emptiness."""
    return _SAYS_NOTHING.fullmatch(cell) is not None


@dataclass(frozen=True, slots=True)
class NoteSheet:
    """One sheet.

    Attributes
    ----------
    name : str
        As the workbook calls it; "csv" of a text file.
    rows : sequence of sequence of str
        Every row from the first on, blank ones too; each as long as it is written. Cells are plain text without controls.
    decimal_comma : bool or None
        How its figures are written; None where its cells were numbers and not text.
    """

    name: str
    rows: Sequence[Sequence[str]]
    decimal_comma: bool | None = None
