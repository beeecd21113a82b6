"""Questions about the history: what a deed did row by row, and taking one back. The deeds as a list are in listing.py."""

from __future__ import annotations

from collections.abc import Hashable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING
from uuid import UUID

from wearlog.facts.farm_settings import FarmSettings
from wearlog.present.digits import Measures
from wearlog.tui.widgets.list_rows import ListColumn, ListOrder, ListRow
from wearlog.tui.widgets.sheet_rows import list_columns

if TYPE_CHECKING:
    from wearlog.tui.door import Door


@dataclass(frozen=True, slots=True)
class DeedRows:
    """The rows that one deed wrote, in words; their details are kept beside the rows of the list."""

    deed_id: UUID

    @property
    def columns(self) -> Sequence[ListColumn]:
        from wearlog.present.files.deed_row_sheet import DEED_ROW_COLUMNS

        # no heading of these tells a unit
        return list_columns(DEED_ROW_COLUMNS, Measures(FarmSettings()))

    def count(self, door: Door, order: ListOrder) -> int:
        from wearlog.reckoning.files.history import count_rows, version_query

        with door.log.reading() as connection:
            return count_rows(connection, version_query(connection, self.deed_id, order.words))

    def page(self, door: Door, order: ListOrder, first: int, size: int) -> Sequence[ListRow]:
        from wearlog.logbook.doors import settings_of
        from wearlog.present.files.deed_row_sheet import deed_row, deed_row_sheet
        from wearlog.reckoning.files.history import deed_rows

        with door.log.reading() as connection:
            measures = Measures(settings_of(connection))
            changes, names = deed_rows(connection, self.deed_id, order.words, first, size)
        sheet = deed_row_sheet([deed_row(change, names, measures) for change in changes], measures)
        return [ListRow(RowKey(row.version_id, row.details), sheet.cells(row)) for row in sheet.rows]

    def place_of(self, door: Door, order: ListOrder, key: Hashable) -> int | None:
        from wearlog.reckoning.files.history import place_of, version_query

        if not isinstance(key, RowKey):
            return None
        with door.log.reading() as connection:
            return place_of(connection, version_query(connection, self.deed_id, order.words), key.version_id)


@dataclass(frozen=True, slots=True)
class RowKey:
    """A row of a deed with its details: what stands under the list while the cursor is on it."""

    version_id: UUID
    details: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class UndoAnswer:
    """What was taken back, in words; or nothing yet, and the question that comes before."""

    deed_id: UUID
    said: str = ""
    question: str = ""


def undo_deed(door: Door, deed_id: UUID | None = None, *, agreed: bool = False) -> UndoAnswer:
    """Take a deed back (the last one of this device, if none is named) and say which; before much is taken back, ask."""
    from wearlog.logbook.files.undo import undo, undo_ahead
    from wearlog.present.files.deed_sheet import undo_question

    ahead = undo_ahead(door.log, deed_id)
    if ahead.is_large and not agreed:
        return UndoAnswer(ahead.deed.id, question=undo_question(ahead.deed.said, ahead.rows))
    return UndoAnswer(ahead.deed.id, said=undo(door.log, ahead.deed.id).said)
