"""Questions about the shelf: all parts as rows that a list filters and orders."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from wearlog.tui.widgets.list_rows import FixedSource, ListColumn, ListOrder, ListRow

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from wearlog.present.shelf_page import ShelfPage, ShelfRow
    from wearlog.tui.gateway import Door

COLUMNS: Final = (
    ListColumn("", 8, 10),
    ListColumn("number", 8, 12, sort="number"),
    ListColumn("part", 12, 30, sort="part"),
    ListColumn("on hand", 7, 8, figures=True, sort="on_hand"),
    ListColumn("keep", 5, 6, figures=True, weight=1),
    ListColumn("order", 5, 6, figures=True, weight=1, sort="order"),
    ListColumn("each", 11, 14, figures=True, weight=2),
    ListColumn("supplier", 8, 20, weight=3, sort="supplier"),
)


def shelf(door: Door) -> ShelfPage:
    """Return every part in words, the low ones first."""
    from wearlog.present.digits import Measures
    from wearlog.present.shelf_page import shelf_page
    from wearlog.reckoning.named_things import kind_names, settings_of
    from wearlog.reckoning.stock import shelves

    with door.log.reading() as connection:
        return shelf_page(shelves(connection), kind_names(connection), Measures(settings_of(connection)))


@dataclass(frozen=True, slots=True)
class ShelfSource(FixedSource):
    """The parts of a farm: a few hundred, all read at once. Unordered they stand as the page has them, the low ones first."""

    shelf_rows: Sequence[ShelfRow] = ()

    def filtered(self, order: ListOrder) -> Sequence[ListRow]:
        """Return the rows that pass the filter, in the order that is asked for."""
        # not by super(): a slotted dataclass is made anew and its own name then means another class
        found = FixedSource.filtered(self, order)
        key = _KEYS.get(order.sort)
        if key is None:
            return found
        row_of = {row.part.id: row for row in self.shelf_rows}
        return sorted(found, key=lambda row: key(row_of[row.key]), reverse=order.backwards)  # type: ignore[index]


_KEYS: Final[dict[str, Callable[[ShelfRow], str | int]]] = {
    "number": lambda row: row.number.casefold(),
    "part": lambda row: row.name.casefold(),
    "on_hand": lambda row: row.on_hand,
    "order": lambda row: -int(row.order.replace(",", "")) if row.order != "-" else 0,
    "supplier": lambda row: row.supplier.casefold(),
}


def shelf_source(page: ShelfPage) -> ShelfSource:
    """Return the source of a list of parts."""
    return ShelfSource(COLUMNS, tuple(_cells(row) for row in page.rows), page.rows)


def _cells(row: ShelfRow) -> ListRow:
    on_hand = f"{row.on_hand:,}"
    cells = (row.standing, row.number, row.name, on_hand, row.keep, row.order, row.each, row.supplier)
    return ListRow(row.part.id, cells, alarm=bool(row.standing))
