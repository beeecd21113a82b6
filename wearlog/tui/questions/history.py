"""Questions about the history: the last of each section, what a deed did row by row, and taking one back.

The deeds as a list are in work.py.
"""

from __future__ import annotations

from collections.abc import Hashable, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING
from uuid import UUID

from wearlog.facts.farm_settings import FarmSettings
from wearlog.present.digits import Measures
from wearlog.tui.widgets.list_rows import ListColumn, ListOrder, ListRow, list_columns

if TYPE_CHECKING:
    from wearlog.tui.door import Door


@dataclass(frozen=True, slots=True)
class DeedRows:
    """The rows that one deed wrote, in words; their details are kept beside the rows of the list."""

    deed_id: UUID
    #: made once: a list looks at them for every line that it draws
    columns: Sequence[ListColumn] = field(init=False)

    def __post_init__(self) -> None:
        from wearlog.present.files.row_sheet import DEED_ROW_COLUMNS

        # no heading of these tells a unit
        object.__setattr__(self, "columns", list_columns(DEED_ROW_COLUMNS, Measures(FarmSettings())))

    def count(self, door: Door, order: ListOrder) -> int:
        from wearlog.reckoning.files import count_rows, version_query

        with door.log.reading() as connection:
            return count_rows(connection, version_query(connection, self.deed_id, order.words))

    def page(self, door: Door, order: ListOrder, first: int, size: int) -> Sequence[ListRow]:
        from wearlog.logbook.open_log import settings_of
        from wearlog.present.files.row_sheet import deed_row, deed_row_sheet
        from wearlog.reckoning.files import deed_rows

        with door.log.reading() as connection:
            measures = Measures(settings_of(connection))
            changes, names = deed_rows(connection, self.deed_id, order.words, first, size)
        sheet = deed_row_sheet([deed_row(change, names, measures) for change in changes], measures)
        return [ListRow(RowKey(row.version_id, row.details), sheet.cells(row)) for row in sheet.rows]

    def place_of(self, door: Door, order: ListOrder, key: Hashable) -> int | None:
        from wearlog.reckoning.files import place_of, version_query

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


def last_breakage(door: Door) -> tuple[str, str]:
    """Return the last breakage, and how many there are."""
    from wearlog.logbook.open_log import settings_of
    from wearlog.present.digits import Measures
    from wearlog.present.work.daybook_sheet import breakage_sentences, short_word
    from wearlog.reckoning.files import breakage_query, count_rows, page_of, stood_seconds

    query = breakage_query("", "when", backwards=True, spoken=short_word)
    with door.log.reading() as connection:
        rows = page_of(connection, query, 0, 1)
        stood = stood_seconds(connection, rows[0].repair_id) if rows else None
        measures = Measures(settings_of(connection))
        return breakage_sentences(rows, count_rows(connection, query), measures, stood=stood)


def last_run(door: Door, combine_id: UUID, combine: str) -> tuple[str, str]:
    """Return what a combine cut last, and how many runs it has."""
    from wearlog.logbook.open_log import settings_of
    from wearlog.present.digits import Measures
    from wearlog.present.work.daybook_sheet import run_sentences
    from wearlog.reckoning.files import count_rows, page_of, run_query

    query = run_query(combine_id, "", "when", backwards=True)
    with door.log.reading() as connection:
        rows = page_of(connection, query, 0, 1)
        return run_sentences(rows, count_rows(connection, query), combine, Measures(settings_of(connection)))


def last_entry(door: Door) -> tuple[str, str]:
    """Return the last entry, and how many there are."""
    from wearlog.logbook.open_log import settings_of
    from wearlog.present.digits import Measures
    from wearlog.present.files.deed_sheet import entry_sentences
    from wearlog.reckoning.files import count_rows, deed_query, page_of

    query = deed_query("", "when", backwards=True)
    with door.log.reading() as connection:
        rows = page_of(connection, query, 0, 1)
        return entry_sentences(rows, count_rows(connection, query), Measures(settings_of(connection)))
