"""Taking an entry back, and settling what two laptops changed apart.

A settled row gets a version that follows both sides, so that it holds on every laptop.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final
from uuid import UUID

from wearlog.errors import NotFoundError, RefusedError
from wearlog.facts.bookkeeping import Deed, ImportBatch
from wearlog.facts.closed_lists import Doing
from wearlog.facts.parts import PartKind
from wearlog.logbook.deed_sentences import settled_sentence
from wearlog.store.connection import Connection
from wearlog.store.journal import contents_of, deed_by_id, deed_of_version, first_deed_id, last_deed, rows_of_deed
from wearlog.store.ledger import Entry, Head, record, rows_apart
from wearlog.store.opening import Store
from wearlog.store.schema import table_of
from wearlog.store.taking_back import refuse_if_undone, take_back

#: nobody types so many rows by hand: taking back more than these is asked about first
MANY_ROWS: Final = 200


@dataclass(frozen=True, slots=True)
class UndoAhead:
    """What an undo would take back: the deed, how many rows it wrote, whether it was an import or the log's beginning."""

    deed: Deed
    rows: int
    is_import: bool
    is_beginning: bool

    @property
    def is_large(self) -> bool:
        """Tell whether a person should be asked before."""
        return self.is_import or self.is_beginning or self.rows > MANY_ROWS


def undo_ahead(store: Store, deed_id: UUID | None = None) -> UndoAhead:
    """Look at what an undo would take back. NotFoundError when there is nothing, RefusedError when it was undone before."""
    with store.reading() as connection:
        deed = _deed(connection, store, deed_id)
        refuse_if_undone(connection, deed)
        rows, imports = rows_of_deed(connection, deed.id, of_type=ImportBatch)
        begins = is_beginning(connection, deed)
    return UndoAhead(deed, rows, imports > 0, begins)


def undo(store: Store, deed_id: UUID | None = None) -> Deed:
    """Undo one deed, whole, and return the deed that did it.

    Raises
    ------
    NotFoundError, RefusedError, ConflictError
        When there is nothing to undo, it was undone before, or what it entered was changed or built upon since.
    """
    with store.writing() as connection:
        return take_back(connection, device=store.device, person=store.person, deed=_deed(connection, store, deed_id))


def _deed(connection: Connection, store: Store, deed_id: UUID | None) -> Deed:
    """Return the entry that is meant; the log's own beginning only when it is named.

    Raises
    ------
    NotFoundError, RefusedError
        When there is none, or nothing but the beginning is left.
    """
    if deed_id is not None:
        return deed_by_id(connection, deed_id)
    last = last_deed(connection, store.device)
    if is_beginning(connection, last):
        raise RefusedError(
            f"Nothing is left to take back but the log's own beginning: '{last.said}'.",
            f"'wearlog undo --entry {last.id}' takes that back too.",
        )
    return last


def is_beginning(connection: Connection, deed: Deed) -> bool:
    """Tell whether a deed is the first of a copy of the log and brought the trade's kinds of part in."""
    rows, kinds = rows_of_deed(connection, deed.id, of_type=PartKind)
    # an upgrade that brings kinds writes kinds alone too, but never as the first entry of its device
    return rows == kinds > 1 and first_deed_id(connection, deed.device) == deed.id


def settle(store: Store, kept: Mapping[UUID, int] | None = None) -> Deed:
    """Keep one side of each row named, as one deed.

    Parameters
    ----------
    kept : mapping of UUID to int, optional
        Row -> which of its sides, counted from 1 (the one that is shown). None: of every row what is shown.

    Raises
    ------
    NotFoundError
        When such a row is not apart, or has no such side.
    RefusedError
        When nothing is to be settled.
    """
    with store.writing() as connection:
        found = rows_apart(connection)
        if not found:
            raise RefusedError("Nothing is to be settled.", "'wearlog check' lists what is.")
        chosen = {row_id: _side(found, row_id, number) for row_id, number in (kept or dict.fromkeys(found, 1)).items()}
        # written anew, also where the side that is shown stays: it must follow both, or other laptops would still see two
        facts = contents_of(connection, chosen.values())
        entries = [Entry(facts[version_id], Doing.SETTLED) for version_id in chosen.values()]
        first = next(iter(chosen.values()))
        said = settled_sentence(
            table_of(facts[first]).name.replace("_", " "), deed_of_version(connection, first).device, len(entries)
        )
        return record(connection, device=store.device, person=store.person, said=said, entries=entries)


def _side(found: Mapping[UUID, tuple[Head, ...]], row_id: UUID, number: int) -> UUID:
    heads = found.get(row_id, ())
    if not heads:
        raise NotFoundError("This row is not to be settled any more.", "'wearlog settle' lists what is.")
    if not 1 <= number <= len(heads):
        raise NotFoundError(f"There is no side {number}: it has {len(heads)}.", "'wearlog settle' lists them.")
    return heads[number - 1].version_id
