"""An answer as the rows of a list: its columns with the room they need and which gives way first. Fetches nothing."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

from wearlog.facts.plain_text import one_line
from wearlog.present.answer_sheet import AnswerColumn, AnswerSheet, Row
from wearlog.present.digits import Measures
from wearlog.present.tables import width
from wearlog.tui.widgets.list_rows import FixedSource, ListColumn, ListOrder, ListRow


def list_columns(columns: Sequence[AnswerColumn[Row]], measures: Measures) -> tuple[ListColumn, ...]:
    """Return the columns of a list whose rows come page by page: nobody knows yet how much room they need."""
    return tuple(_list_column(column, measures, [column.most]) for column in columns if column.is_shown)


def _list_column(column: AnswerColumn[Row], measures: Measures, needs: Sequence[int]) -> ListColumn:
    """`needs` are the cells that the words need, and those of each shorter form."""
    forms = tuple(min(column.most, need) for need in needs)
    return ListColumn(
        column.heading(measures),
        min(column.least, forms[-1]),
        forms[0],
        column.figures,
        column.gives,
        column.order_name,
        min(column.room, forms[0]),
        forms if column.short else (),
        tuple(column.titles),
    )


@dataclass(frozen=True, slots=True)
class SheetSource(FixedSource):
    """The rows of an answer that is known whole. Unordered they stand as the answer has them."""

    orders: dict[str, Callable[[int], Any]] = field(default_factory=dict)

    def filtered(self, order: ListOrder) -> Sequence[ListRow]:
        """Return the rows that pass the filter, in the order that is asked for; what has no figure stands last either way."""
        # not by super(): a slotted dataclass is made anew and its own name then means another class
        found = FixedSource.filtered(self, order)
        by = self.orders.get(order.sort)
        if by is None:
            return found
        place_of = {id(row): place for place, row in enumerate(self.rows)}
        with_value = [row for row in found if by(place_of[id(row)]) is not None]
        without = [row for row in found if by(place_of[id(row)]) is None]
        ordered = sorted(with_value, key=lambda row: by(place_of[id(row)]), reverse=order.backwards)
        return [*ordered, *without]


def sheet_source(sheet: AnswerSheet[Row]) -> SheetSource:
    """Return the source of a list that shows an answer; no column is wider than what stands in it."""
    rows = _rows(sheet, sheet.listed)
    listed = _columns_for([sheet], rows)
    orders = {column.order_name: _by(column.order, sheet.listed) for column in sheet.shown if column.order is not None}
    return SheetSource(listed, rows, orders)


def blocks_source(sheets: Sequence[AnswerSheet[Row]], below: Sequence[str] = ()) -> FixedSource:
    """Return the rows of several answers with the same columns, each under its headline; sentences stand `below` the last."""
    rows: list[ListRow] = []
    for sheet in sheets:
        if sheet.headline and sheet.rows:
            rows.append(ListRow(sheet.headline, (one_line(sheet.headline),), heading=True))
        rows += _rows(sheet, sheet.listed)
    listed = _columns_for(sheets, [row for row in rows if not row.heading])
    rows += [ListRow(said, (one_line(said),), heading=True) for said in below]
    return FixedSource(listed, rows)


def headed_source(sheet: AnswerSheet[Row], over: str) -> FixedSource:
    """Return rows under headings: what the column of the key `over` says stands over its rows, and not in them."""
    (heading,) = (column for column in sheet.columns if column.key == over)
    within = replace(sheet, columns=[column for column in sheet.columns if column is not heading], made={})
    plain = _rows(within, within.listed)
    rows: list[ListRow] = []
    said = ""
    for row, listed in zip(within.listed, plain, strict=True):
        if (words := heading.cell(row, sheet.measures)) != said:
            said = words
            rows.append(ListRow(said, (said.upper(),), heading=True))
        rows.append(listed)
    return FixedSource(_columns_for([within], plain), rows)


def list_with_sums(sheet: AnswerSheet[Row]) -> tuple[Sequence[ListColumn], Sequence[ListRow]]:
    """Return columns and rows of a list that is only looked at: the sums stand last."""
    rows = _rows(sheet, sheet.listed if sheet.foot is None or not sheet.listed else [*sheet.listed, sheet.foot])
    return _columns_for([sheet], rows), rows


def _rows(sheet: AnswerSheet[Row], rows: Sequence[Row]) -> list[ListRow]:
    return [
        ListRow(sheet.key_of(row), cells, alarm=sheet.shouts(row), shorter=tuple(shorter))
        for row in rows
        for cells, *shorter in (sheet.forms(row),)
    ]


def _columns_for(sheets: Sequence[AnswerSheet[Row]], rows: Sequence[ListRow]) -> list[ListColumn]:
    """The columns, as wide as what stands in them."""
    if not sheets:
        return []
    columns, measures = sheets[0].shown, sheets[0].measures

    def needs(place: int, column: AnswerColumn[Row]) -> list[int]:
        titles = [column.heading(measures), *column.titles]
        return [
            max([width(titles[min(form, len(titles) - 1)]), *(width(row.cell(place, form)) for row in rows)])
            for form in range(len(column.short) + 1)
        ]

    return [_list_column(column, measures, needs(place, column)) for place, column in enumerate(columns)]


def _by(order: Callable[[Row], Any], rows: Sequence[Row]) -> Callable[[int], Any]:
    return lambda place: order(rows[place])
