"""Committing on a server for certain: when the connection breaks just then, the server is asked afterwards how it ended."""

from __future__ import annotations

import time
from typing import Final
from uuid import UUID

from sqlalchemy import Connection, Engine, RootTransaction, select, text
from sqlalchemy.exc import DBAPIError

from wearlog.errors import NoAnswerError
from wearlog.store import engine
from wearlog.store.location import Location
from wearlog.store.schema.journal_tables import deed

_BETWEEN_TRIES: Final = 0.2


def commit_for_certain(connection: Connection, transaction: RootTransaction, location: Location) -> None:
    """Commit; a connection that breaks in the middle neither loses an entry nor lets it be entered twice.

    Raises
    ------
    NoAnswerError
        When nothing was saved, or when the server stays away and nobody can know.
    """
    number = connection.execute(text("SELECT pg_current_xact_id_if_assigned()::text")).scalar()
    deed_id = connection.info.get(engine.WRITTEN)
    try:
        transaction.commit()
    except DBAPIError as error:
        if number is None or not error.connection_invalidated:
            raise
        saved = None if deed_id is None else was_saved(connection.engine, str(number), deed_id)
        if saved:
            return
        if saved is False:
            raise NoAnswerError(
                f"The connection to {location.name} broke, so nothing was saved.", "Enter it again."
            ) from error
        raise NoAnswerError(
            f"The connection to {location.name} broke while this was being saved; whether it was is not known.",
            "When the server is back look at 'wearlog history' before you enter it again.",
        ) from error


def was_saved(database: Engine, number: str, deed_id: UUID) -> bool | None:
    """Ask on a new connection whether a deed is there; None when the server does not come back within the usual wait.

    The number of the transaction only tells whether it still goes on. What it says of an end is not to be believed: a server that
    crashed gives the numbers of what it lost to other transactions.
    """
    deadline = time.monotonic() + engine.BUSY_SECONDS
    going_on = text("SELECT pg_xact_status(CAST(CAST(:number AS text) AS xid8)) = 'in progress'")
    looking = select(deed.c.id).where(deed.c.id == deed_id)
    while time.monotonic() < deadline:
        try:
            with database.connect() as fresh:
                # a server that has not noticed yet goes on for a moment
                if not fresh.execute(going_on, {"number": number}).scalar():
                    # a view of its own: the first is of a moment at which it may not have ended
                    fresh.rollback()
                    return fresh.execute(looking).first() is not None
        except DBAPIError:
            pass
        time.sleep(_BETWEEN_TRIES)
    return None
