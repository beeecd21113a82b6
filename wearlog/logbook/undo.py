"""Taking an entry back: the last one of this device, or any one by its id."""

from __future__ import annotations

from uuid import UUID

from wearlog.facts.bookkeeping import Deed
from wearlog.store.journal import deed_by_id, last_deed, take_back
from wearlog.store.opening import Store


def undo(store: Store, deed_id: UUID | None = None) -> Deed:
    """Undo one deed, whole, and return the deed that did it.

    Raises
    ------
    NotFoundError, RefusedError, ConflictError
        When there is nothing to undo, it was undone before, or what it entered was changed or built upon since.
    """
    with store.writing() as connection:
        deed = last_deed(connection, store.device) if deed_id is None else deed_by_id(connection, deed_id)
        return take_back(connection, device=store.device, deed=deed)
