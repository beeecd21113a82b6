"""Taking an entry back: the last one of this device, or any one by its id; and how much that would take, for whoever asks first."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final
from uuid import UUID

from wearlog.facts.bookkeeping import Deed, ImportBatch
from wearlog.store.connection import Connection
from wearlog.store.journal import deed_by_id, last_deed, refuse_if_undone, rows_of_deed, take_back
from wearlog.store.opening import Store

#: nobody types so many rows by hand: taking back more than these is asked about first
MANY_ROWS: Final = 200


@dataclass(frozen=True, slots=True)
class UndoAhead:
    """What an undo would take back: the deed, how many rows of the log it wrote, and whether it was an import."""

    deed: Deed
    rows: int
    is_import: bool

    @property
    def is_large(self) -> bool:
        """Tell whether a person should be asked before."""
        return self.is_import or self.rows > MANY_ROWS


def undo_ahead(store: Store, deed_id: UUID | None = None) -> UndoAhead:
    """Look at what an undo would take back. NotFoundError when there is nothing, RefusedError when it was undone before."""
    with store.reading() as connection:
        deed = _deed(connection, store, deed_id)
        refuse_if_undone(connection, deed)
        rows, imports = rows_of_deed(connection, deed.id, of_type=ImportBatch)
    return UndoAhead(deed, rows, imports > 0)


def undo(store: Store, deed_id: UUID | None = None) -> Deed:
    """Undo one deed, whole, and return the deed that did it.

    Raises
    ------
    NotFoundError, RefusedError, ConflictError
        When there is nothing to undo, it was undone before, or what it entered was changed or built upon since.
    """
    with store.writing() as connection:
        return take_back(connection, device=store.device, deed=_deed(connection, store, deed_id))


def _deed(connection: Connection, store: Store, deed_id: UUID | None) -> Deed:
    return last_deed(connection, store.device) if deed_id is None else deed_by_id(connection, deed_id)
