"""What happened last, as one sentence for each section of the daybook. Questions run in a thread of the gateway."""

from __future__ import annotations

from typing import TYPE_CHECKING
from uuid import UUID

if TYPE_CHECKING:
    from wearlog.tui.door import Door


def last_breakage(door: Door) -> tuple[str, str]:
    """Return the last breakage, and how many there are."""
    from wearlog.logbook.doors import settings_of
    from wearlog.present.digits import Measures
    from wearlog.present.work.daybook_sheet import breakage_sentences, short_word
    from wearlog.reckoning.files.history import breakage_query, count_rows, page_of

    query = breakage_query("", "when", backwards=True, spoken=short_word)
    with door.log.reading() as connection:
        rows = page_of(connection, query, 0, 1)
        return breakage_sentences(rows, count_rows(connection, query), Measures(settings_of(connection)))


def last_run(door: Door, combine_id: UUID, combine: str) -> tuple[str, str]:
    """Return what a combine cut last, and how many runs it has."""
    from wearlog.logbook.doors import settings_of
    from wearlog.present.digits import Measures
    from wearlog.present.work.daybook_sheet import run_sentences
    from wearlog.reckoning.files.history import count_rows, page_of, run_query

    query = run_query(combine_id, "", "when", backwards=True)
    with door.log.reading() as connection:
        rows = page_of(connection, query, 0, 1)
        return run_sentences(rows, count_rows(connection, query), combine, Measures(settings_of(connection)))


def last_entry(door: Door) -> tuple[str, str]:
    """Return the last entry, and how many there are."""
    from wearlog.logbook.doors import settings_of
    from wearlog.present.digits import Measures
    from wearlog.present.files.deed_sheet import entry_sentences
    from wearlog.reckoning.files.history import count_rows, deed_query, page_of

    query = deed_query("", "when", backwards=True)
    with door.log.reading() as connection:
        rows = page_of(connection, query, 0, 1)
        return entry_sentences(rows, count_rows(connection, query), Measures(settings_of(connection)))
