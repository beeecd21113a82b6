"""What each column of a table holds: by the heading above it, by what stands in it, or as a person said."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum, unique
from itertools import pairwise
from typing import Final

from wearlog.facts.closed_lists import MachineKind
from wearlog.facts.plain_text import folded
from wearlog.logbook.notebook.cell_words import CellWords
from wearlog.logbook.notebook.days_and_figures import day_in, duration_in, figure_in
from wearlog.logbook.notebook.happened import move_in
from wearlog.logbook.notebook.holds import Holds, heading_of, is_money
from wearlog.logbook.notebook.layout import NoteSheet, NoteTable, says_nothing
from wearlog.logbook.notebook.machine_names import MachineNames

_LOOKED_AT: Final = 300
_POSITIONS: Final = re.compile(
    r"(?:#|no\.?|pos\.?)?\s*\d{1,4}(?:\s*(?:[,;&+/-]|–|to|thru|and)\s*\d{1,4})*\s*$", re.IGNORECASE
)
_YEAR: Final = re.compile(r"(?:season |harvest )?((?:19|20)\d\d)(?: season| harvest)?$", re.IGNORECASE)


@unique
class SaidBy(StrEnum):
    """What a proposal rests on."""

    PERSON = "you said so"
    HEADING = "its heading"
    CONTENT = "what stands in it"
    NOBODY = "nothing"


@dataclass(frozen=True, slots=True)
class BookColumn:
    """One column as it is proposed.

    Attributes
    ----------
    at : int
        Its place in the sheet, from 0.
    unit : str
        The unit of a bare figure, by its heading or by most of its cells.
    year : int or None
        Of a column of a grid by season.
    """

    at: int
    heading: str
    holds: Holds
    by: SaidBy
    unit: str = ""
    year: int | None = None


@dataclass(frozen=True, slots=True)
class TableSeen:
    """A table with what its columns are taken for."""

    sheet: str
    table: NoteTable
    columns: tuple[BookColumn, ...]


def columns_of(
    sheet: NoteSheet, table: NoteTable, names: MachineNames, words: CellWords, said: Mapping[str, Holds]
) -> tuple[BookColumn, ...]:
    """Propose what each column of a table holds.

    Parameters
    ----------
    said : mapping of str to Holds
        What a person said, by the heading (or the letter of the column) in one case.
    """
    found: list[BookColumn] = []
    for place, heading in enumerate(table.headings):
        at = table.first + place
        cells = _cells(sheet, table, at)
        column = _column(at, heading, cells, names, words, said, sheet.decimal_comma)
        found.append(column)
    return tuple(_numbered(sheet, table, _settle(found)))


def _numbered(sheet: NoteSheet, table: NoteTable, columns: list[BookColumn]) -> list[BookColumn]:
    """Read "No." beside a part as its positions, where no other column has them and the figures do not count the rows."""
    held = {one.holds for one in columns}
    if Holds.POSITIONS in held or Holds.PART not in held:
        return columns
    for place, one in enumerate(columns):
        numbered = folded(one.heading).strip(" .") in ("no", "nr", "#", "num")
        if one.holds is Holds.NOTHING and numbered and one.by is SaidBy.HEADING:
            cells = _cells(sheet, table, one.at)
            figures = [int(cell) for cell in cells if cell.isdigit()]
            rising = sum(later > earlier for earlier, later in pairwise(figures)) >= 0.8 * (len(figures) - 1)
            if cells and all(_POSITIONS.match(cell) for cell in cells) and not (rising and len(figures) > 3):
                columns[place] = BookColumn(one.at, one.heading, Holds.POSITIONS, SaidBy.CONTENT)
    return columns


def letter(at: int) -> str:
    """Return the letter that a spreadsheet shows above a column."""
    said = ""
    at += 1
    while at:
        at, rest = divmod(at - 1, 26)
        said = chr(65 + rest) + said
    return said


def _cells(sheet: NoteSheet, table: NoteTable, at: int) -> list[str]:
    found: list[str] = []
    for index in range(table.begin, table.end):
        row = sheet.rows[index]
        if at < len(row) and row[at] and not says_nothing(row[at]):
            found.append(row[at])
            if len(found) >= _LOOKED_AT:
                break
    return found


def _column(
    at: int,
    heading: str,
    cells: Sequence[str],
    names: MachineNames,
    words: CellWords,
    said: Mapping[str, Holds],
    decimal_comma: bool | None,  # noqa: FBT001 - as the sheet says it
) -> BookColumn:
    told = said.get(folded(heading)) if heading else None
    told = told or said.get(letter(at).casefold())
    read = heading_of(heading)
    if told is not None:
        return BookColumn(at, heading, told, SaidBy.PERSON, read.unit or _unit_of(cells, told))
    year = _YEAR.match(heading)
    if year is not None:
        return BookColumn(at, heading, Holds.YEAR, SaidBy.HEADING, "", int(year[1]))
    holds = read.holds
    by = SaidBy.HEADING
    seen = held_by(cells, names, words, decimal_comma=decimal_comma)
    if holds is None and heading and names.one(heading) is not None and cells:
        # a grid by machine: its columns are the machines
        return BookColumn(at, heading, seen or Holds.NOTE, SaidBy.CONTENT, _unit_of(cells, Holds.AREA))
    if holds is None or _contradicts(holds, seen, cells):
        holds, by = seen or Holds.NOTE, SaidBy.CONTENT if seen else SaidBy.NOBODY
    return BookColumn(at, heading, holds, by, read.unit or _unit_of(cells, holds))


def held_by(cells: Sequence[str], names: MachineNames, words: CellWords, *, decimal_comma: bool | None) -> Holds | None:
    """Return what cells hold by themselves; None where they do not show it."""
    if not cells:
        return None
    some = list(dict.fromkeys(cells))[:80]
    if _share(some, lambda one: (day := day_in(one, "month_first")) is not None and day.day is not None) >= 0.6 and (
        _share(some, lambda one: _is_dated(one)) >= 0.4
    ):
        return Holds.DAY
    if _share(some, lambda one: move_in(one) is not None) >= 0.8:
        return Holds.MOVE
    if names.share(some) >= 0.7:
        return Holds.MACHINE
    read = [words.read(one) for one in some]
    if sum(bool(one.kinds) for one in read) >= 0.6 * len(read):
        return Holds.PART if max(len(one) for one in some) <= 30 else Holds.NOTE
    by_unit = _by_unit(some, decimal_comma)
    if by_unit is not None:
        return by_unit
    if sum(bool(one.said) and not one.kinds for one in read) >= 0.5 * len(read):
        return Holds.WHY
    if _share(some, lambda one: _POSITIONS.match(one) is not None and any(c in one for c in ",-;&+")) >= 0.3:
        return Holds.POSITIONS
    return None


def _by_unit(cells: Sequence[str], decimal_comma: bool | None) -> Holds | None:  # noqa: FBT001 - as the sheet says it
    figures = [figure for one in cells if (figure := figure_in(one, decimal_comma=decimal_comma)) is not None]
    if len(figures) < 0.6 * len(cells):
        return None
    units = [one.unit for one in figures]
    if sum(one in ("ac", "ha") for one in units) >= 0.3 * len(cells):
        return Holds.AREA
    if sum(is_money(one) for one in units) >= 0.3 * len(cells):
        return Holds.COST
    if sum(one in ("min", "h") for one in units) >= 0.3 * len(cells):
        return Holds.STOOD
    return None


def _share(cells: Sequence[str], is_so: object) -> float:
    assert callable(is_so)
    return sum(bool(is_so(one)) for one in cells) / len(cells)


def _is_dated(cell: str) -> bool:
    """A day in words, with a year, or parted by strokes; "1.5" and "41-43" alone are no days."""
    return (
        "/" in cell
        or any(one.isalpha() for one in cell)
        or re.search(r"\d{4}", cell) is not None
        or cell.count(".") > 1
    )


def _contradicts(holds: Holds, seen: Holds | None, cells: Sequence[str]) -> bool:
    """Say whether what stands in a column cannot be what its heading says."""
    if seen is None or seen is holds or not cells:
        return False
    if holds is Holds.DAY:
        return seen is not Holds.DAY and not any(day_in(one, "month_first") for one in cells)
    if holds in _FIGURES:
        return not any(one[0].isdigit() or one[0] in "-+.$€£?½" for one in cells) and seen is not Holds.POSITIONS
    if holds in (Holds.HEADER, Holds.COMBINE, Holds.MACHINE):
        return seen in (Holds.DAY, Holds.PART, Holds.AREA, Holds.COST)
    if holds in (Holds.PAPER, Holds.NOTHING, Holds.NOTE, Holds.FIELD, Holds.CROP, Holds.NUMBER):
        return False
    if holds in (Holds.PART, Holds.SERVICE):
        return seen in (Holds.DAY, Holds.MACHINE, Holds.MOVE)
    if holds is Holds.POSITIONS:
        return seen in (Holds.MACHINE, Holds.FIELD)
    return seen in (Holds.DAY, Holds.MACHINE, Holds.PART) and holds in (Holds.WHY, Holds.DONE, Holds.MOVE, Holds.TIME)


_FIGURES: Final = frozenset(
    {
        *(Holds.STOOD, Holds.LABOUR, Holds.COST, Holds.PRICE, Holds.COUNT, Holds.AREA, Holds.SEPARATOR, Holds.ENGINE),
        *(Holds.METER, Holds.AREA_METER, Holds.WORKED),
    }
)


def _unit_of(cells: Sequence[str], holds: Holds) -> str:
    """Return the unit that most cells of a column write, where there is one that fits it."""
    counts: dict[str, int] = {}
    for one in cells:
        unit = ""
        if holds in (Holds.STOOD, Holds.LABOUR):
            duration = duration_in(one)
            unit = duration[1] if duration is not None else ""
        elif holds in (Holds.AREA, Holds.AREA_METER):
            figure = figure_in(one)
            unit = figure.unit if figure is not None and figure.unit in ("ac", "ha") else ""
        if unit:
            counts[unit] = counts.get(unit, 0) + 1
    return max(counts, key=lambda one: counts[one]) if counts and holds in (Holds.AREA, Holds.AREA_METER) else ""


#: of these a row has one only; what comes second is a remark
_ONCE: Final = frozenset({Holds.DAY, Holds.PART, Holds.POSITIONS, Holds.MOVE, Holds.COUNT, Holds.AREA, Holds.YEAR})


def _settle(columns: Sequence[BookColumn]) -> list[BookColumn]:
    """Let each thing be held by one column where a row has only one of it; what a heading says goes before content."""
    ranked = sorted(columns, key=lambda one: (list(SaidBy).index(one.by), one.at))
    taken: set[Holds] = set()
    kept: dict[int, BookColumn] = {}
    for one in ranked:
        again = one.holds in _ONCE and one.holds in taken and one.year is None
        kept[one.at] = (
            BookColumn(one.at, one.heading, Holds.NOTE, SaidBy.NOBODY, "", None)
            if again and one.by is not SaidBy.PERSON
            else one
        )
        if one.year is None:
            taken.add(one.holds)
    return [kept[one.at] for one in columns]


_SORTS: Final = {Holds.COMBINE: MachineKind.COMBINE, Holds.HEADER: MachineKind.HEADER}


def sort_of(holds: Holds) -> MachineKind | None:
    """Return which sort of machine a column names, where it says so."""
    return _SORTS.get(holds)
