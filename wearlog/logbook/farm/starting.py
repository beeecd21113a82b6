"""Beginning a log: a new file that already holds the trade's part kinds with their starting guesses."""

from __future__ import annotations

from wearlog.errors import NotFoundError
from wearlog.facts.closed_lists import Doing
from wearlog.facts.parts import PartKind
from wearlog.facts.starting_guesses import STARTING_KINDS
from wearlog.facts.wearing import Component
from wearlog.store.finding import find_all, find_many
from wearlog.store.journal import rows_changed_since
from wearlog.store.kept_copies import copies_words
from wearlog.store.ledger import Entry, record
from wearlog.store.location import Location
from wearlog.store.opening import Store, create_store, open_store

#: the ids of the starting kinds, which are derived from their names and so the same in every log
KINDS_BY_ID = tuple(kind.id for kind in STARTING_KINDS)
_METERS = {kind.id: kind.meter_kind for kind in STARTING_KINDS}


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


def bring_kinds(store: Store) -> list[str]:
    """Bring the starting kinds that the log lacks, and the guesses of those that nobody has touched, to this program's.

    One deed, undone like any other; returns what was done in words, nothing where there was nothing to do. A kind that was taken
    away stays away, one that was changed by hand stays as it is.
    """
    with store.writing() as connection:
        there = {kind.id: kind for kind in find_many(connection, PartKind, KINDS_BY_ID, voided_too=True)}
        fresh = [kind for kind in STARTING_KINDS if kind.id not in there]
        touched = rows_changed_since(connection, there)
        # the ages of parts that are on count on the meter that their kind had when they were entered
        touched |= {
            one.part_kind_id
            for one in find_all(connection, Component)
            if one.part_kind_id in there and there[one.part_kind_id].meter_kind is not _METERS[one.part_kind_id]
        }
        better = [
            kind for kind in STARTING_KINDS if kind.id in there and kind.id not in touched and there[kind.id] != kind
        ]
        if not fresh and not better:
            return []
        said = f"brought {counted(len(fresh))} of part and {len(better)} newer starting guesses"
        entries = [*map(Entry, fresh), *(Entry(kind, Doing.EDITED) for kind in better)]
        record(connection, device=store.device, said=said, entries=entries)
    return [f"{said[:1].upper()}{said[1:]}; 'wearlog undo' takes that back."]


def counted(count: int) -> str:
    return "1 new kind" if count == 1 else f"{count} new kinds"


def open_or_start(location: Location) -> Store:
    """Open the log, or begin one where there is none yet.

    Raises
    ------
    NotFoundError
        When there is none but copies of one lie there: whoever begins anew beside them would miss the old log too late.
    """
    try:
        return open_store(location)
    except NotFoundError:
        if location.file is not None and copies_words(location.file):
            raise
        return start_log(location)
