"""Committing on a server for certain: when the connection breaks just then, the server is asked afterwards how it ended."""

from __future__ import annotations

import time
from typing import Final

from sqlalchemy import Connection, RootTransaction, text
from sqlalchemy.exc import DBAPIError

from wearlog.errors import NoAnswerError
from wearlog.store import engine
from wearlog.store.location import Location

_BETWEEN_TRIES: Final = 0.2


def commit_for_certain(connection: Connection, transaction: RootTransaction, location: Location) -> None:
    """Commit; a connection that breaks in the middle neither loses an entry nor lets it be entered twice.

    Raises
    ------
    NoAnswerError
        When nothing was saved, or when the server stays away and nobody can know.
    """
    number = connection.execute(text("SELECT pg_current_xact_id_if_assigned()::text")).scalar()
    try:
        transaction.commit()
    except DBAPIError as error:
        if number is None or not error.connection_invalidated:
            raise
        ended = _how_it_ended(connection, str(number))
        if ended == "committed":
            return
        if ended == "aborted":
            raise NoAnswerError(
                f"The connection to {location.name} broke, so nothing was saved.", "Enter it again."
            ) from error
        raise NoAnswerError(
            f"The connection to {location.name} broke while this was being saved; whether it was is not known.",
            "When the server is back look at 'wearlog history' before you enter it again.",
        ) from error


def _how_it_ended(broken: Connection, number: str) -> str:
    """Ask on a new connection: 'committed', 'aborted', or '' when the server does not come back within the usual wait."""
    deadline = time.monotonic() + engine.BUSY_SECONDS
    asking = text("SELECT pg_xact_status(CAST(CAST(:number AS text) AS xid8))")
    while time.monotonic() < deadline:
        try:
            with broken.engine.connect() as fresh:
                state = fresh.execute(asking, {"number": number}).scalar()
        except DBAPIError:
            state = None
        # a server that has not noticed yet goes on for a moment
        if state in ("committed", "aborted"):
            return str(state)
        time.sleep(_BETWEEN_TRIES)
    return ""
