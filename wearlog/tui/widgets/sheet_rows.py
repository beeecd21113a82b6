"""An answer as the rows of a list: its columns with the room they need and which gives way first. Fetches nothing."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from typing import Any

from wearlog.present.answer_sheet import AnswerColumn, AnswerSheet, Row
from wearlog.present.digits import Measures
from wearlog.present.tables import width
from wearlog.tui.widgets.list_rows import FixedSource, ListColumn, ListOrder, ListRow


def list_columns(columns: Sequence[AnswerColumn[Row]], measures: Measures) -> tuple[ListColumn, ...]:
    """Return the columns of a list whose rows come page by page: nobody knows yet how much room they need."""
    return tuple(_list_column(column, measures, column.most) for column in columns)


def _list_column(column: AnswerColumn[Row], measures: Measures, need: int) -> ListColumn:
    most = min(column.most, need)
    return ListColumn(
        column.heading(measures), min(column.least, most), most, column.figures, column.gives, column.order_name
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
    columns, measures = sheet.shown, sheet.measures
    rows = [ListRow(sheet.key_of(row), sheet.cells(row), alarm=sheet.shouts(row)) for row in sheet.rows]
    needs = [
        max([width(column.heading(measures)), *(width(row.cells[place]) for row in rows)])
        for place, column in enumerate(columns)
    ]
    listed = [_list_column(column, measures, need) for column, need in zip(columns, needs, strict=True)]
    orders = {column.order_name: _by(column.order, sheet.rows) for column in columns if column.order is not None}
    return SheetSource(listed, rows, orders)


def _by(order: Callable[[Row], Any], rows: Sequence[Row]) -> Callable[[int], Any]:
    return lambda place: order(rows[place])
