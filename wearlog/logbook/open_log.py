"""Opening a log for those above the logbook, who never import the store themselves. What is done with it is not here."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import datetime

from wearlog.store.connection import Connection
from wearlog.store.finding import settings_of
from wearlog.store.journal import journal_end
from wearlog.store.location import locate, risk_of
from wearlog.store.opening import Store, open_store

__all__ = [
    "Connection",
    "Store",
    "by_farms_clock",
    "location_name",
    "log_state",
    "open_log",
    "opened",
    "pack_older_copies",
    "settings_of",
]


def open_log(location_text: str) -> Store:
    """Open the log at a path or an address; empty text means the usual place.

    Raises
    ------
    NotFoundError, RefusedError, VersionError, UsageError
        When there is none, it is not ours, it needs an upgrade, or the text names no place.
    """
    return open_store(locate(location_text))


def log_state(store: Store) -> tuple[object, ...]:
    """Return what is another after every entry, and where another file lies in the place of this one."""
    with store.reading() as connection:
        return store.identity, journal_end(connection)


def location_name(location_text: str) -> str:
    """Return how to call the place in a sentence."""
    return locate(location_text).name


def location_risk(location_text: str) -> str:
    """Say why the log should not lie where it lies; empty where nothing is known against it."""
    file = locate(location_text).file
    return risk_of(file) if file is not None else ""


def by_farms_clock(store: Store, now: datetime) -> datetime:
    """Return a moment as the farm's clock shows it; as it is where the farm named no clock."""
    with store.reading() as connection:
        return settings_of(connection).by_clock(now)


def pack_older_copies(store: Store, most: int | None = None, goes_on: Callable[[], bool] = lambda: True) -> None:
    """Pack the older daily copies of a log file, of many at most so many while it goes on; for a moment when nobody waits."""
    if store.location.file is not None:
        from wearlog.store.packed_copies import pack_older

        pack_older(store.location.file, most, goes_on)


@contextmanager
def opened(location_text: str = "", *, start: bool = False) -> Iterator[Store]:
    """Open a log for the length of a block; with `start` one is begun where there is none yet. Errors as `open_log`."""
    location = locate(location_text)
    if start:
        from wearlog.logbook.farm.first_day import open_or_start

        store = open_or_start(location)
    else:
        store = open_store(location)
    try:
        yield store
    finally:
        store.close()
