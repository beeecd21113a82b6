"""Engines with the settings the log relies on: one plain file that survives a pulled plug, or a PostgreSQL server.

When a server's connection breaks at a commit, the server is asked afterwards how it ended.
"""

from __future__ import annotations

import logging
import sqlite3
import time
from typing import Any, Final
from uuid import UUID

from sqlalchemy import URL, Connection, Engine, RootTransaction, create_engine, event, make_url, select, text
from sqlalchemy.exc import DBAPIError

from wearlog.errors import NoAnswerError, RefusedError
from wearlog.store.location import Location
from wearlog.store.schema.journal_tables import deed

_BETWEEN_TRIES: Final = 0.2

# what breaks is told in our words: where nobody listens to them, the drivers' own logs are printed over those, with a traceback
for _driver in ("sqlalchemy", "psycopg"):
    logging.getLogger(_driver).addHandler(logging.NullHandler())


def commit_for_certain(connection: Connection, transaction: RootTransaction, location: Location) -> None:
    """Commit; a connection that breaks in the middle neither loses an entry nor lets it be entered twice.

    Raises
    ------
    NoAnswerError
        When nothing was saved, or when the server stays away and nobody can know.
    """
    # asked before the commit: after it there may be nobody left to ask
    number = connection.execute(text("SELECT pg_current_xact_id_if_assigned()::text")).scalar()
    deed_id = connection.info.get(WRITTEN)
    try:
        transaction.commit()
    except DBAPIError as error:
        # a transaction that wrote nothing has no number, and nothing of it can be lost
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
    deadline = time.monotonic() + BUSY_SECONDS
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


BUSY_SECONDS = 10

#: execution option of a connection that will write: it takes the write lock when it begins, not half-way
WRITES = "wearlog_writes"

#: under which a connection remembers the last deed that was written through it
WRITTEN = "wearlog_written"

# One writer at a time, as in the file: checks made inside a deed still hold when it is saved. The lock is on `setting`, since who
# may lock a table like this may change its rows, and nobody but the owner may change deeds. An earlier wearlog locks `deed` so:
# the weaker lock on it, which writing a deed needs anyway, waits for that one.
_ONE_WRITER: Final = "LOCK TABLE setting IN SHARE ROW EXCLUSIVE MODE; LOCK TABLE deed IN ROW EXCLUSIVE MODE"

# after the locks: looking at anything begins the view of the log
_ON_THE_DISK: Final = (
    "SELECT CASE current_setting('synchronous_commit') WHEN 'off' THEN set_config('synchronous_commit', 'on', true) END"
)


def make_engine(location: Location) -> Engine:
    """Return an engine for `location`; nothing is opened yet."""
    return _server_engine(location.url) if location.file is None else _file_engine(location)


def _file_engine(location: Location) -> Engine:
    # isolation_level None: the driver must not begin transactions by itself, we say BEGIN or BEGIN IMMEDIATE
    engine = create_engine(
        URL.create("sqlite+pysqlite", database=str(location.file)),
        connect_args={"timeout": BUSY_SECONDS, "isolation_level": None, "check_same_thread": False},
    )
    event.listen(engine, "connect", _prepare_file_connection)
    event.listen(engine, "begin", _begin_in_file)
    return engine


def _prepare_file_connection(raw: sqlite3.Connection, _record: Any) -> None:
    # TRUNCATE and not WAL: one file that a person can copy to a stick, and no shared-memory file beside it
    # what a stranger's file holds besides rows must not call functions
    for pragma in ("journal_mode=TRUNCATE", "synchronous=EXTRA", "foreign_keys=ON", "trusted_schema=OFF"):
        raw.execute(f"PRAGMA {pragma}").close()


def _begin_in_file(connection: Connection) -> None:
    writes = connection.get_execution_options().get(WRITES, False)
    connection.exec_driver_sql("BEGIN IMMEDIATE" if writes else "BEGIN")


def _server_engine(url: str) -> Engine:
    try:
        # repeatable read: a block sees one state of the log, as in the file; a writer's view begins when it has the lock
        engine = create_engine(
            url,
            isolation_level="REPEATABLE READ",
            pool_pre_ping=True,
            connect_args=_patience(url),
        )
    except ModuleNotFoundError as missing:
        raise RefusedError(
            "The driver for PostgreSQL is not installed.",
            "Install wearlog[postgres]; on Windows for ARM there is none: work in a log file, and swap bundles by 'wearlog pack'.",
        ) from missing
    event.listen(engine, "begin", _begin_on_server)
    return engine


def _patience(url: str) -> dict[str, int]:
    """How long a server may keep silent: what the address itself says goes before."""
    usual = {
        "connect_timeout": BUSY_SECONDS,
        # a cable that was pulled is noticed within as long; the system would wait for hours
        "keepalives_idle": BUSY_SECONDS // 2,
        "keepalives_interval": 2,
        "keepalives_count": 3,
        "tcp_user_timeout": BUSY_SECONDS * 1000,
    }
    said = make_url(url).query
    return {name: seconds for name, seconds in usual.items() if name not in said}


def _begin_on_server(connection: Connection) -> None:
    if connection.get_execution_options().get(WRITES, False):
        connection.exec_driver_sql(f"SET LOCAL lock_timeout = '{BUSY_SECONDS}s'; {_ONE_WRITER}; {_ON_THE_DISK}")
