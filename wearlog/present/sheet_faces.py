"""An answer as a table of text in a terminal, and as JSON. The columns are the answer's own."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

from wearlog.present.answer_sheet import ONLY_WITH_ROOM, AnswerColumn, AnswerSheet, Row
from wearlog.present.digits import Measures
from wearlog.present.tables import WIDEST, Column, folded, text_table, width

_GAP = 2


def table_lines(sheet: AnswerSheet[Row], wide: int | None = None) -> list[str]:
    """Return the table of an answer in at most `wide` columns of a terminal (None: as wide as it is), or why it has no row."""
    if not sheet.listed:
        return folded([sheet.empty], width=wide or WIDEST) if sheet.empty else []
    rows = sheet.listed if sheet.foot is None else [*sheet.listed, sheet.foot]
    columns = sheet.shown
    cells = [[column.cell(row, sheet.measures) for column in columns] for row in rows]
    kept = _kept(columns, _needs(columns, cells, sheet), wide)
    lines = text_table(
        [_narrowed(columns[place], most, sheet) for place, most in kept],
        [[row[place] for place, _ in kept] for row in cells],
    )
    return lines if sheet.foot is None else [*lines[:-1], lines[1], lines[-1]]


def answer_lines(sheet: AnswerSheet[Row], wide: int | None = None) -> list[str]:
    """Return the table, and under it the legends of its columns and what the answer says beside."""
    said, table = said_under(sheet), table_lines(sheet, wide)
    return [*table, "", *folded(said, width=wide or WIDEST)] if said else table


def said_under(sheet: AnswerSheet[Row]) -> list[str]:
    """Return what stands under the table: the answer's sentences, then the legends of its columns."""
    above = [sheet.rest] if sheet.rest else []
    said = [line.replace("{area}", sheet.measures.area_unit) for line in (*above, *sheet.sentences)]
    return [*said, *(column.meaning(sheet.measures) for column in sheet.shown if column.legend and sheet.rows)]


def sheet_json(sheet: AnswerSheet[Row]) -> dict[str, Any]:
    """Return the rows under the answer's name, each with the keys of its columns, and what else it tells beside them."""
    rows = [row_json(sheet.columns, row, sheet.measures) for row in sheet.rows]
    return {sheet.name: rows, **sheet.beside}


def row_json(columns: Sequence[AnswerColumn[Row]], row: Row, measures: Measures) -> dict[str, Any]:
    """Return one row with the keys of its columns."""
    return {column.json_key(measures): column.value(row, measures) for column in columns if column.key}


def _needs(columns: Sequence[AnswerColumn[Row]], cells: Sequence[Sequence[str]], sheet: AnswerSheet[Row]) -> list[int]:
    """How wide each column would be if it had all the room it may have."""
    return [
        min(max([width(column.heading(sheet.measures)), *(width(row[place]) for row in cells)]), column.most)
        for place, column in enumerate(columns)
    ]


def _kept(columns: Sequence[AnswerColumn[Row]], needs: Sequence[int], wide: int | None) -> list[tuple[int, int]]:
    """Which columns stay, each with the most cells it gets: the heaviest go until the least widths fit, then the longest is cut."""
    kept = list(range(len(columns)))
    if wide is None:
        return [(place, needs[place]) for place in kept]
    kept = [place for place in kept if columns[place].gives < ONLY_WITH_ROOM or _together(needs) <= wide]
    least = [min(column.least, need) for column, need in zip(columns, needs, strict=True)]
    while len(kept) > 1 and _together(least[place] for place in kept) > wide:
        heaviest = max(kept, key=lambda place: (columns[place].gives, place))
        if columns[heaviest].gives == 0:
            break
        kept.remove(heaviest)
    sizes = {place: needs[place] for place in kept}
    over = _together(sizes.values()) - wide
    while over > 0:
        place = max(kept, key=lambda one: sizes[one] - least[one])
        if sizes[place] <= least[place]:
            break
        sizes[place] -= 1
        over -= 1
    return list(sizes.items())


def _together(sizes: Iterable[int]) -> int:
    sizes = list(sizes)
    return sum(sizes) + _GAP * (len(sizes) - 1)


def _narrowed(column: AnswerColumn[Row], most: int, sheet: AnswerSheet[Row]) -> Column:
    return Column(column.heading(sheet.measures), figures=column.figures, widest=most)
