"""The rows of a table before they are understood: ditto marks resolved, totals and headings told apart, days with their year."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from typing import Final

from wearlog.facts.plain_text import folded
from wearlog.logbook.notebook.columns import BookColumn
from wearlog.logbook.notebook.days_and_figures import DayCell, day_in, figure_in, year_between
from wearlog.logbook.notebook.holds import Holds
from wearlog.logbook.notebook.layout import NoteSheet, NoteTable, says_nothing
from wearlog.logbook.notebook.machine_names import MachineNames
from wearlog.logbook.notebook.note_entry import Means
from wearlog.logbook.quickline.vocabulary import KnownMachine

_DITTO: Final = frozenset(
    {
        '"',
        "''",
        '""',
        "``",
        "''.",
        "″",
        "〃",
        "do",
        "do.",
        "ditto",
        "ditto.",
        "dito",
        "same",
        "as above",
        ",,",
        '- " -',
        '-"-',
        "^",
        "id.",
        "idem",
    }
)
_TOTAL: Final = re.compile(
    r"(?:[a-z]+ly |grand |season |invoice |order |sub[- ]?|year |field )?(?:totals?|tot|sum|carried forward|c/?f|average|avg)\b",
    re.IGNORECASE,
)
_BARE: Final = " \t#*=_-–—:."


@dataclass(slots=True, eq=False)
class RawRow:
    """A row of a table.

    Attributes
    ----------
    index : int
        In the sheet, from 0.
    cells : dict of Holds to str
        What stands in it by column, ditto marks resolved; columns of one sort joined.
    grid : dict of int to str
        What stands in the columns of a grid by season, by year.
    dittos : frozenset of Holds
        Of which columns a ditto mark stands in it.
    means : Means or None
        Set where it saves nothing.
    machine : KnownMachine or None
        Of the heading above it.
    known_day : date or None
        Its day without any answer: by this it is the same row the next time.
    """

    index: int
    cells: dict[Holds, str]
    said: str
    grid: dict[int, str] = field(default_factory=dict)
    dittos: frozenset[Holds] = frozenset()
    means: Means | None = None
    machine: KnownMachine | None = None
    day_cell: DayCell | None = None
    day: date | None = None
    known_day: date | None = None
    day_above: date | None = None
    usual_year: int | None = None
    year_granted: bool = False


def raw_rows(
    sheet: NoteSheet, table: NoteTable, columns: Sequence[BookColumn], names: MachineNames, machine: KnownMachine | None
) -> list[RawRow]:
    """Return the rows of a table that hold something."""
    found: list[RawRow] = []
    above: dict[int, str] = {}
    sums: dict[int, Decimal] = {}
    held = {one.at: one for one in columns}
    for index in range(table.begin, table.end):
        cells = _cells(sheet.rows[index], table, above)
        if not cells:
            continue
        row = _row(index, cells, held)
        written = sheet.rows[index]
        repeated = [held[at].holds for at, cell in cells.items() if cell is not written[at]]
        row.dittos = frozenset(repeated) if repeated else _NO_DITTOS
        _look_alone(row, cells, held, names, sums)
        _add_up(sums, cells, row, held)
        if row.means is Means.HEADINGS and row.machine is not None:
            machine = row.machine
        row.machine = machine
        if row.means is None:
            above.update(cells)
        found.append(row)
    return found


def _cells(row: Sequence[str], table: NoteTable, above: Mapping[int, str]) -> dict[int, str]:
    found: dict[int, str] = {}
    for at, cell in enumerate(row[table.first : table.stop], table.first):
        # a letter or a figure at its head is no mark of emptiness and, but for "do.", no ditto
        if not cell or not (cell[0].isalnum() or not says_nothing(cell)):
            continue
        meant = above.get(at, "") if len(cell) < 9 and cell.casefold() in _DITTO else cell
        if meant:
            found[at] = meant
    return found


def _row(index: int, cells: Mapping[int, str], held: Mapping[int, BookColumn]) -> RawRow:
    by: dict[Holds, str] = {}
    grid: dict[int, str] = {}
    for at, cell in cells.items():
        column = held[at]
        if column.year is not None:
            grid[column.year] = cell
            continue
        holds = column.holds
        if holds is Holds.NOTHING:
            continue
        by[holds] = f"{by[holds]}, {cell}" if holds in by else cell
    return RawRow(index, by, " | ".join(cells.values()), grid)


def _add_up(sums: dict[int, Decimal], cells: Mapping[int, str], row: RawRow, held: Mapping[int, BookColumn]) -> None:
    """Keep the sum of each column since the last total: a figure alone in its row is a total where it is that sum."""
    if row.means is not None:
        sums.clear()
        return
    for at, cell in cells.items():
        if "0" <= cell[0] <= "9" and held[at].holds in _FIGURES and (figure := figure_in(cell)) is not None:
            sums[at] = sums.get(at, Decimal(0)) + figure.value


def _look_alone(
    row: RawRow,
    cells: Mapping[int, str],
    held: Mapping[int, BookColumn],
    names: MachineNames,
    sums: Mapping[int, Decimal],
) -> None:
    """Tell rows apart that save nothing: totals, and what stands alone in its row."""
    first = next(iter(cells.values()))
    if _TOTAL.match(first.strip(_BARE)) or (
        len(cells) <= 3 and any(_TOTAL.match(one.strip(_BARE)) for one in cells.values())
    ):
        row.means = Means.TOTAL
        return
    if len(cells) > 1:
        return
    at, text = next(iter(cells.items()))
    bare = text.strip(_BARE)
    day = day_in(bare, "month_first")
    if held[at].year is not None:
        return
    if day is not None and day.year and not day.month and held[at].holds is not Holds.COUNT:
        row.means, row.usual_year = Means.SEASON_HEADING, day.year
    elif bare.isdigit() or (bare and bare[0].isdigit() and held[at].holds in _FIGURES):
        figure = figure_in(bare)
        if held[at].holds not in _FIGURES:
            row.means = Means.COMMENT
        elif figure is not None and figure.value == sums.get(at):
            row.means = Means.TOTAL
    elif (machine := names.one(bare.rstrip(":"))) is not None and held[at].holds not in (Holds.HEADER, Holds.COMBINE):
        row.means, row.machine = Means.HEADINGS, machine
    elif (year := re.search(r"\b((?:19|20)\d\d)\b", bare)) is not None and len(bare) < 40 and not _says_work(bare):
        row.means, row.usual_year = Means.SEASON_HEADING, int(year[1])


_NO_DITTOS: Final[frozenset[Holds]] = frozenset()
_FIGURES: Final = frozenset({Holds.AREA, Holds.COST, Holds.STOOD, Holds.COUNT, Holds.PRICE, Holds.WORKED})


def _says_work(text: str) -> bool:
    words = folded(text).split()
    return len(words) > 6


def with_days(rows: Sequence[RawRow], order: str, usual: int | None, latest: date) -> None:
    """Give each row its day: the cell's own, with the year of the season heading or of the dated rows around it.

    Parameters
    ----------
    usual : int or None
        The year that the sheet's name or title tells, for rows with nothing dated around them.
    latest : date
        No day is later.
    """
    year: int | None = None
    heading: DayCell | None = None
    for row in rows:
        if row.means is Means.SEASON_HEADING:
            year, heading = row.usual_year, None
        text = row.cells.get(Holds.DAY, "")
        cell = day_in(text, order) if text else None
        if cell is not None and cell.day is not None and len(row.cells) == 1 and not row.grid and row.means is None:
            row.means, heading = Means.SEASON_HEADING, cell
            row.usual_year = cell.year
        row.day_cell = cell if cell is not None else (heading if not text else None)
        if year is not None:
            row.usual_year = year
        if row.day_cell is not None and row.day_cell.year is None and Holds.YEAR in row.cells:
            told = day_in(row.cells[Holds.YEAR], order)
            row.usual_year = told.year if told is not None and told.year else row.usual_year
    _with_years(rows, usual, latest)


def _with_years(rows: Sequence[RawRow], usual: int | None, latest: date) -> None:
    before: list[date | None] = []
    last: date | None = None
    for row in rows:
        before.append(last)
        last = _whole(row) or last
    following: date | None = None
    for place in range(len(rows) - 1, -1, -1):
        row = rows[place]
        row.day_above = before[place]
        whole = _whole(row)
        if whole is not None:
            following = row.day = whole
        elif row.day_cell is not None and row.day_cell.day is not None and not row.day_cell.problem:
            near = before[place], following
            told = row.usual_year if row.usual_year is not None else (usual if near == (None, None) else None)
            row.day = year_between(row.day_cell, *near, told)
            row.year_granted = row.day is not None and row.usual_year is None
        if row.day is not None and row.day > latest:
            row.day_cell = DayCell(problem="impossible") if row.day_cell is not None else None
            row.day = None


def _whole(row: RawRow) -> date | None:
    return row.day_cell.on() if row.day_cell is not None and not row.day_cell.problem else None
