"""The log, reached when a command runs: what opens it loads the database, which a help must not wait for."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from contextlib import AbstractContextManager
    from datetime import datetime

    from wearlog.exchange.row_book import RowBook
    from wearlog.logbook.doors import Store


def opened(location_text: str = "", *, start: bool = False) -> AbstractContextManager[Store]:
    """Open a log for the length of a block, as `wearlog.logbook.doors.opened` does; errors as there."""
    from wearlog.logbook import doors

    return doors.opened(location_text, start=start)


def by_farms_clock(store: Store, now: datetime) -> datetime:
    """Return a moment as the farm's clock shows it; as it is where the farm named no clock."""
    from wearlog.logbook import doors

    return doors.by_farms_clock(store, now)


def rows_to_change(store: Store, now: datetime) -> RowBook:
    """Return the rows of the log as hands may change them, in the farm's clock."""
    from wearlog.exchange.row_book import row_book

    return row_book(store, by_farms_clock(store, now))
