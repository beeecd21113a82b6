"""An answer as a table of text in a terminal, and as JSON. The columns are the answer's own."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

from wearlog.present.answer_sheet import ONLY_WITH_ROOM, AnswerColumn, AnswerSheet, Row, legends
from wearlog.present.digits import Measures
from wearlog.present.tables import WIDEST, Column, folded, text_table, width

_GAP = 2


def table_lines(sheet: AnswerSheet[Row], wide: int | None = None) -> list[str]:
    """Return the table of an answer in at most `wide` columns of a terminal (None: as wide as it is), or why it has no row."""
    return _table(sheet, wide)[0]


def answer_lines(sheet: AnswerSheet[Row], wide: int | None = None, *, headed: bool = False) -> list[str]:
    """Return the table, and under it what the answer says beside and what the columns mean that found room.

    `headed`: the headline stands first under the table, then the legends.
    """
    table, columns = _table(sheet, wide)
    under, told = _sentences(sheet), legends(columns, sheet.measures)
    said = [*sheet.said, *told, *under] if headed else [*under, *told]
    folds = folded(said, width=min(wide or WIDEST, WIDEST))
    return [*table, "", *folds] if folds else table


def said_under(sheet: AnswerSheet[Row]) -> list[str]:
    """Return what stands under the whole table: the answer's sentences, then the legends of its columns."""
    return [*_sentences(sheet), *sheet.legends]


def _sentences(sheet: AnswerSheet[Row]) -> list[str]:
    above = [sheet.rest] if sheet.rest else []
    unit = sheet.measures.area_unit
    return [line.replace("{area}", unit) if "{area}" in line else line for line in (*above, *sheet.sentences)]


def sheet_json(sheet: AnswerSheet[Row]) -> dict[str, Any]:
    """Return the rows under the answer's name, each with the keys of its columns, and what else it tells beside them."""
    rows = [row_json(sheet.columns, row, sheet.measures) for row in sheet.rows]
    return {sheet.name: rows, **sheet.beside}


def row_json(columns: Sequence[AnswerColumn[Row]], row: Row, measures: Measures) -> dict[str, Any]:
    """Return one row with the keys of its columns."""
    found: dict[str, Any] = {}
    for column in columns:
        if column.inlaid:
            found.update(column.value(row, measures))
        elif column.key:
            found[column.json_key(measures)] = column.value(row, measures)
    return found


def said_and_listed(sheet: AnswerSheet[Row]) -> list[str]:
    """Return what a sheet says and its table behind it, as lines of a command; of an empty one why it is, once."""
    return [*said_first(sheet), "", *answer_lines(sheet)] if sheet.said else answer_lines(sheet)


def said_first(sheet: AnswerSheet[Row]) -> list[str]:
    """Return the headline as lines of a command, else why there is no row."""
    return folded(sheet.said or [sheet.empty], width=WIDEST)


def _table(sheet: AnswerSheet[Row], wide: int | None) -> tuple[list[str], list[AnswerColumn[Row]]]:
    """Return the lines of the table and the columns that found room."""
    if not sheet.listed:
        return folded([sheet.empty] if sheet.empty else [], width=min(wide or WIDEST, WIDEST)), []
    rows = sheet.listed if sheet.foot is None else [*sheet.listed, sheet.foot]
    columns = sheet.shown
    forms = list(zip(*(sheet.forms(row) for row in rows), strict=True))
    needs = [_needs(columns, cells, sheet) for cells in forms]
    kept = _kept(columns, needs, wide)
    held = _held(columns, needs, kept, wide)
    # how often the words of each column are shortened: as often as all others, or not at all (or to the last) where it has room
    levels = [[held.get(place, level) for place in range(len(columns))] for level in range(len(needs))]
    wanted = [{place: needs[level[place]][place] for place in kept} for level in levels]
    shorter = next((place for place, sizes in enumerate(wanted) if _fits(sizes.values(), wide)), -1)
    least = {
        place: size if place in held else min(columns[place].least, size) for place, size in wanted[shorter].items()
    }
    sizes = _cut(wanted[shorter], least, wide)
    lines = text_table(
        [_narrowed(columns[place], most, sheet) for place, most in sizes.items()],
        [[forms[levels[shorter][place]][row][place] for place in kept] for row in range(len(rows))],
    )
    # the foot stands under a rule of its own
    drawn = lines if sheet.foot is None else [*lines[:-1], lines[1], lines[-1]]
    return drawn, [columns[place] for place in kept]


def _needs(columns: Sequence[AnswerColumn[Row]], cells: Sequence[Sequence[str]], sheet: AnswerSheet[Row]) -> list[int]:
    """How wide each column would be if it had all the room it may have."""
    return [
        min(max([width(column.heading(sheet.measures)), *(width(row[place]) for row in cells)]), column.most)
        for place, column in enumerate(columns)
    ]


def _kept(columns: Sequence[AnswerColumn[Row]], needs: Sequence[Sequence[int]], wide: int | None) -> list[int]:
    """Which columns stay: the heaviest go until the least widths fit, those of 2 and more also until there is `room`.

    `needs` are what the columns need whole, then once shortened, twice, ...: words that may be shortened are to find room whole.
    """
    shortest, kept = needs[-1], list(range(len(columns)))
    kept = [place for place in kept if columns[place].gives < ONLY_WITH_ROOM or _fits(shortest, wide)]
    whole = [needs[0 if column.room else -1][place] for place, column in enumerate(columns)]
    passes = (
        (2, [min(max(one.least, one.room), need) for one, need in zip(columns, whole, strict=True)]),
        (1, _least(columns, shortest)),
    )
    for lightest, asked in passes:
        while len(kept) > 1 and not _fits([asked[place] for place in kept], wide):
            heaviest = max(kept, key=lambda place: (columns[place].gives, place))
            if columns[heaviest].gives < lightest:
                break
            kept.remove(heaviest)
    return kept


def _held(
    columns: Sequence[AnswerColumn[Row]], needs: Sequence[Sequence[int]], kept: Sequence[int], wide: int | None
) -> dict[int, int]:
    """How often the words of the columns with `room` are shortened: not at all where the others' least width leaves so much."""
    sizes, held = dict(enumerate(_least(columns, needs[-1]))), {}
    for place in kept:
        if columns[place].room and columns[place].short:
            whole = {one: needs[0][one] if one == place else sizes[one] for one in kept}
            held[place] = 0 if _fits(whole.values(), wide) else len(needs) - 1
            sizes = whole if not held[place] else sizes
    return held


def _least(columns: Sequence[AnswerColumn[Row]], needs: Sequence[int]) -> list[int]:
    return [min(column.least, need) for column, need in zip(columns, needs, strict=True)]


def _cut(sizes: dict[int, int], least: dict[int, int], wide: int | None) -> dict[int, int]:
    """Cut what is longest beyond its least width, cell by cell, until all fits."""
    while not _fits(sizes.values(), wide):
        place = max(sizes, key=lambda one: sizes[one] - least[one])
        if sizes[place] <= least[place]:
            break
        sizes[place] -= 1
    return sizes


def _fits(sizes: Iterable[int], wide: int | None) -> bool:
    return wide is None or _together(sizes) <= wide


def _together(sizes: Iterable[int]) -> int:
    sizes = list(sizes)
    return sum(sizes) + _GAP * (len(sizes) - 1)


def _narrowed(column: AnswerColumn[Row], most: int, sheet: AnswerSheet[Row]) -> Column:
    return Column(column.heading(sheet.measures), figures=column.figures, widest=most, drawn=column.drawn)
