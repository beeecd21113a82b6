"""Beginning a log: a new file that already holds the trade's part kinds with their starting guesses."""

from __future__ import annotations

from wearlog.errors import NotFoundError
from wearlog.facts.starting_guesses import STARTING_KINDS
from wearlog.store.ledger import Entry, record
from wearlog.store.location import Location
from wearlog.store.opening import Store, create_store, open_store


def start_log(location: Location) -> Store:
    """Make a new log with the starting kinds in it and return it open. RefusedError when there is one already."""
    store = create_store(location)
    with store.writing() as connection:
        record(
            connection,
            device=store.device,
            said=f"began the log with {len(STARTING_KINDS)} kinds of part and their starting guesses",
            entries=[Entry(kind) for kind in STARTING_KINDS],
        )
    return store


def open_or_start(location: Location) -> Store:
    """Open the log, or begin one where there is none yet."""
    try:
        return open_store(location)
    except NotFoundError:
        return start_log(location)
