"""How wide the columns of a sheet are, and their headings in words. Reads no log."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING, Final

from wearlog.present.tables import width

if TYPE_CHECKING:
    from wearlog.present.files.row_sheet import SheetRow
    from wearlog.tui.widgets.list_rows import ListColumn

#: three such columns find room on a phone
_NARROW: Final = 14
_ENOUGH: Final = 24
_WIDE: Final = 80


def spoken(sheet: str) -> str:
    """Return a sheet or a heading in words: "part kind", "area ac"."""
    return sheet.replace("_", " ")


def listed_column(column: ListColumn, rows: Sequence[SheetRow]) -> ListColumn:
    """Return a column, wide where there is room: else its words end with a whole clause, and stand whole below the list."""
    title = spoken(column.title)
    least = min(max(column.least, len(title)), _NARROW)
    needs = max((width(row.cells.get(column.title, "")) for row in rows), default=0)
    most = max(least, min(needs, _WIDE))
    # what says which row it is stays before its number
    room = min(most, _ENOUGH) if column.weight == 0 else 0
    return replace(column, title=title, least=least, most=most, room=room, clauses=True)
