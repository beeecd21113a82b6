"""Engines with the settings the log relies on, a plain file or a PostgreSQL server, and what can go wrong with either in sentences.

A file survives a pulled plug. When a server's connection breaks at a commit, the server is asked afterwards how it ended. A
server that refuses a connection gives no code for why, only its text; a text in another language is shown as it is.
"""

from __future__ import annotations

import logging
import re
import sqlite3
import time
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any, Final
from uuid import UUID

from sqlalchemy import URL, Connection, Engine, RootTransaction, create_engine, event, make_url, select, text
from sqlalchemy.exc import DBAPIError

from wearlog.errors import ConflictError, NoAnswerError, NotFoundError, RefusedError, WearlogError
from wearlog.store.location import PACKED, Location, copies_words
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


_MAGIC = b"SQLite format 3\x00"


def not_ours(location: Location) -> RefusedError:
    if location.file is not None and location.file.suffix == PACKED:
        return RefusedError(
            f"{location.name} is packed.", f"'wearlog restore {location.name} --db ANOTHER.db' makes a log file of it."
        )
    return RefusedError(
        f"{location.name} is not a wearlog file.", "Name the right file with --db, or move this one out of the way."
    )


def damaged(location: Location) -> RefusedError:
    return RefusedError(
        f"{location.name} is damaged.",
        "Keep a copy of it, then run 'wearlog restore' to go back to the last good backup.",
    )


@contextmanager
def explained(location: Location, *, writes: bool = True) -> Iterator[None]:
    """Turn an error of the database driver into one of ours; anything else passes through.

    Parameters
    ----------
    writes : bool
        Whether what is done in the block was to save something.
    """
    try:
        yield
    except DBAPIError as error:
        raise _explain(location, error.orig, writes=writes) from error
    except sqlite3.Error as error:
        raise _explain_file(location, error) from error
    except UnicodeDecodeError as error:
        # what the driver quotes of a spoilt file is no text either
        raise damaged(location) from error
    except Exception as error:
        # histories are read past SQLAlchemy; the server's driver is loaded only where there is a server
        if type(error).__module__.partition(".")[0] != "psycopg":
            raise
        raise _explain(location, error, writes=writes) from error


def _explain(location: Location, error: BaseException | None, *, writes: bool) -> WearlogError:
    if isinstance(error, sqlite3.Error):
        return _explain_file(location, error)
    return explain_server(location, error, writes=writes)


def _explain_file(location: Location, error: sqlite3.Error) -> WearlogError:
    name = getattr(error, "sqlite_errorname", "") or ""
    place = location.name
    if name.startswith(("SQLITE_BUSY", "SQLITE_LOCKED")):
        return ConflictError(
            f"{place} is in use by another program.", "Close the other window, or try again in a moment."
        )
    if name.startswith("SQLITE_READONLY"):
        return RefusedError(
            f"{place} can only be read, so nothing was saved.", "Check the file's and the folder's permissions."
        )
    if name.startswith("SQLITE_FULL"):
        return RefusedError(
            "The disk is full, so nothing was saved.", "Make room and enter it again; what was saved before is safe."
        )
    if name.startswith("SQLITE_NOTADB"):
        return not_ours(location)
    if name.startswith("SQLITE_CORRUPT"):
        return damaged(location)
    if name.startswith("SQLITE_CANTOPEN"):
        return NotFoundError(
            f"{place} cannot be opened.", "Check that the folder is there and that you may write to it."
        )
    if name.startswith("SQLITE_IOERR"):
        return RefusedError(f"Reading or writing {place} failed ({error}).", "Check the disk or stick it lies on.")
    # by its class too: the driver has no name for every kind of constraint (a text in a column of whole numbers)
    if name.startswith("SQLITE_CONSTRAINT") or isinstance(error, sqlite3.IntegrityError):
        return RefusedError(f"That does not fit the log ({error}).", "Nothing was saved.")
    return WearlogError(f"{place}: {error}.", "Run 'wearlog check'.")


def look_at_header(location: Location, application_id: int) -> None:
    """Read the first 100 bytes of the file: refuse one that is not ours before any database code touches it."""
    assert location.file is not None
    try:
        with location.file.open("rb") as opened:
            header = opened.read(100)
    except (FileNotFoundError, NotADirectoryError) as error:
        if copies := copies_words(location.file):
            raise NotFoundError(
                f"There is no log at {location.name}, but there are copies of it: {copies}.",
                "'wearlog restore' lists them, 'wearlog restore NAME' brings one back; "
                "to begin anew move them away, or name another file with --db.",
            ) from error
        raise NotFoundError(
            f"There is no log at {location.name} yet.",
            "Start one with 'wearlog import' or 'wearlog add', or name a file with --db.",
        ) from error
    except IsADirectoryError as error:
        raise not_ours(location) from error
    except OSError as error:
        raise RefusedError(
            f"{location.name} cannot be read: {error.strerror}.", "Check the disk and the file's permissions."
        ) from error
    if not header.startswith(_MAGIC) or int.from_bytes(header[68:72]) != application_id:
        raise not_ours(location)


KEEPER: Final = "Ask whoever keeps the server."

_AGAIN: Final = "Try again in a moment; what was saved before is safe."

#: what the text of a refused or broken connection holds -> the sentence, what to do
_CONNECTING: Final = tuple(
    (re.compile(found, re.IGNORECASE), sentence, hint)
    for found, sentence, hint in (
        (
            "password authentication failed|no password supplied",
            "{place} does not let you in: the password is missing or wrong.",
            "Put it into ~/.pgpass (a line HOST:PORT:NAME:USER:PASSWORD, the file for you alone: chmod 600), into a PGSERVICE "
            "entry or into PGPASSWORD.",
        ),
        (
            "no pg_hba.conf entry|peer authentication failed|ident authentication failed",
            "{place} lets nobody in from this machine under this name.",
            "Name the user (postgresql://USER@HOST/NAME), or ask whoever keeps the server to let this machine in.",
        ),
        (
            'role ".*" does not exist|is not permitted to log in',
            "{place} does not know you under this name.",
            "Name another user (postgresql://USER@HOST/NAME), or have one made: 'wearlog roles' says how.",
        ),
        (
            "permission denied for database",
            "{place} is not open to you.",
            "Ask whoever keeps the server for the role of a clerk or a reader: 'wearlog roles' says how.",
        ),
        (
            'database ".*" does not exist',
            "There is no database of that name on the server: {place}.",
            "Check the name, or have it made (createdb NAME); 'wearlog move-log' then brings a log there.",
        ),
        (
            "could not translate host name|name or service not known|nodename nor servname|name resolution",
            "{place}: nobody on this network has that name.",
            "Check the name of the server, and that this machine is on the farm's network.",
        ),
        (
            "connection refused|no such file or directory",
            "{place} does not answer: no server listens there (connection refused).",
            "See that the server is on and its PostgreSQL runs; check host and port.",
        ),
        (
            "timeout|timed out|no route to host|network is unreachable|host is down",
            "{place} does not answer: nothing came back in time.",
            "See that the server is on and that this machine is on its network, then try again.",
        ),
        (
            "starting up|shutting down|in recovery mode|not accepting connections|not yet accepting",
            "{place} is just being started or stopped.",
            _AGAIN,
        ),
        (
            "too many clients|connection slots|too many connections",
            "{place} has as many connections as it takes.",
            "Close a window of wearlog somewhere, or ask whoever keeps the server.",
        ),
        (
            "ssl|certificate",
            "{place} and this machine do not agree on a safe connection ({reason}).",
            KEEPER,
        ),
        (
            "server closed the connection|connection is lost|connection is closed|terminating connection|consuming input"
            "|connection reset|broken pipe|terminated|sending query failed|could not receive data|could not send data",
            "The connection to {place} broke, so nothing was saved.",
            _AGAIN,
        ),
    )
)


def explain_server(location: Location, error: BaseException | None, *, writes: bool) -> WearlogError:
    """Return the error of ours that says what the driver of the server met."""
    state = getattr(error, "sqlstate", None) or ""
    first_line = (str(error).strip().splitlines() or [""])[0]
    if state in ("55P03", "40001", "40P01"):
        return ConflictError("Somebody else is saving at this moment.", "Try again.")
    if state.startswith(("22", "23")) or (not state and type(error).__name__ in ("DataError", "IntegrityError")):
        return RefusedError(f"That does not fit the log ({first_line}).", "Nothing was saved.")
    if state in ("42501", "25006"):
        return _not_allowed(first_line, writes=writes)
    if state == "53300" or not state or state.startswith(("08", "28", "3D", "57P")):
        return _no_answer(location, str(error).strip(), first_line, writes=writes)
    if state.startswith("53"):
        return RefusedError(f"The server has no room left ({first_line}).", KEEPER)
    return WearlogError(f"{location.name}: {first_line}.", "Run 'wearlog check'.")


def _not_allowed(first_line: str, *, writes: bool) -> RefusedError:
    if "for schema" in first_line or "for database" in first_line or "must be owner" in first_line:
        return RefusedError("You may not make or change tables on this server, so nothing was done.", KEEPER)
    if writes:
        return RefusedError("You may only read this log, so nothing was saved.", KEEPER)
    return RefusedError("You may not read this log.", KEEPER)


def _no_answer(location: Location, text: str, first_line: str, *, writes: bool) -> NoAnswerError:
    for found, sentence, hint in _CONNECTING:
        if found.search(text):
            said = sentence.format(place=location.name, reason=first_line)
            return NoAnswerError(said if writes else said.replace(", so nothing was saved", ""), hint)
    return NoAnswerError(f"{location.name} does not answer: {first_line}.", "Check the network, the name and the user.")
