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
    said = [sheet.headline, *told, *under] if headed else [*under, *told]
    folds = folded(said, width=min(wide or WIDEST, WIDEST))
    return [*table, "", *folds] if folds else table


def said_under(sheet: AnswerSheet[Row]) -> list[str]:
    """Return what stands under the whole table: the answer's sentences, then the legends of its columns."""
    return [*_sentences(sheet), *sheet.legends]


def _sentences(sheet: AnswerSheet[Row]) -> list[str]:
    above = [sheet.rest] if sheet.rest else []
    return [line.replace("{area}", sheet.measures.area_unit) for line in (*above, *sheet.sentences)]


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


def _table(sheet: AnswerSheet[Row], wide: int | None) -> tuple[list[str], list[AnswerColumn[Row]]]:
    """Return the lines of the table and the columns that found room."""
    if not sheet.listed:
        return folded([sheet.empty] if sheet.empty else [], width=min(wide or WIDEST, WIDEST)), []
    rows = sheet.listed if sheet.foot is None else [*sheet.listed, sheet.foot]
    columns = sheet.shown
    forms = list(zip(*(sheet.forms(row) for row in rows), strict=True))
    needs = [_needs(columns, cells, sheet) for cells in forms]
    kept = _kept(columns, needs[-1], wide)
    shorter = next((place for place, need in enumerate(needs) if _fits([need[one] for one in kept], wide)), -1)
    sizes = _cut({place: needs[shorter][place] for place in kept}, columns, wide)
    lines = text_table(
        [_narrowed(columns[place], most, sheet) for place, most in sizes.items()],
        [[row[place] for place in kept] for row in forms[shorter]],
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


def _kept(columns: Sequence[AnswerColumn[Row]], needs: Sequence[int], wide: int | None) -> list[int]:
    """Which columns stay: the heaviest go until the least widths fit, those of 2 and more also until there is `room`."""
    kept = list(range(len(columns)))
    kept = [place for place in kept if columns[place].gives < ONLY_WITH_ROOM or _fits(needs, wide)]
    for lightest, least in ((2, [max(one.least, one.room) for one in columns]), (1, [one.least for one in columns])):
        asked = [min(one, need) for one, need in zip(least, needs, strict=True)]
        while len(kept) > 1 and not _fits([asked[place] for place in kept], wide):
            heaviest = max(kept, key=lambda place: (columns[place].gives, place))
            if columns[heaviest].gives < lightest:
                break
            kept.remove(heaviest)
    return kept


def _cut(sizes: dict[int, int], columns: Sequence[AnswerColumn[Row]], wide: int | None) -> dict[int, int]:
    """Cut what is longest beyond its least width, cell by cell, until all fits."""
    least = {place: min(columns[place].least, size) for place, size in sizes.items()}
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
    return Column(column.heading(sheet.measures), figures=column.figures, widest=most)
