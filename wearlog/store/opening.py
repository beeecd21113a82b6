"""Opening a log: checks that it is ours and of this program's shape; making a new one."""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Final, TypeAlias

from sqlalchemy import Connection, Engine, Text, column, inspect, select, table, text
from sqlalchemy.exc import DBAPIError

from wearlog.disk import put_in_place, take_away_if_it_can_be
from wearlog.errors import NotFoundError, RefusedError, ReplacedError, VersionError, WearlogError
from wearlog.settings import device_name, load_preferences
from wearlog.store.by_driver import plain_rows
from wearlog.store.engine import WRITES, WRITTEN, commit_for_certain, explained, look_at_header, make_engine
from wearlog.store.location import Location, clear_leftovers, copies_words, put_journals_aside, told_once
from wearlog.store.revision import APPLICATION_ID, HEAD, REVISIONS
from wearlog.store.schema import metadata

#: what writes the first rows of a new log
Fill: TypeAlias = Callable[[Connection], object]
_AGAIN: Final = "Nothing was saved. Open it again; 'wearlog restore' lists the copies there are."
_REVISION: Final = select(column("version_num", Text)).select_from(table("alembic_version"))


def _identity(location: Location) -> tuple[int, int] | None:
    """Which file it is that has this name now."""
    try:
        found = location.file.stat() if location.file is not None else None
    except OSError:
        return None
    return None if found is None else (found.st_dev, found.st_ino)


class Store:
    """An open log. Threads may share it; each `reading` or `writing` block has a connection of its own."""

    def __init__(self, location: Location, engine: Engine, device: str) -> None:
        self.location = location
        self.engine = engine
        self.device = device
        #: who enters things on this device; empty when nobody said
        self.person = load_preferences().person
        #: why today's backup is missing; empty when it is there
        self.trouble = ""
        #: what a person should know of this log's place, told once
        self.notices: list[str] = []
        # taken before the first connection: whatever is opened later under this name must be the same file
        self._identity = _identity(location)

    @property
    def identity(self) -> tuple[int, int] | None:
        """Which file is open, by its device and number there; None on a server."""
        return self._identity

    @contextmanager
    def reading(self) -> Iterator[Connection]:
        """One consistent view of the log; nothing can be written through it."""
        with self._explained(writes=False), self.engine.connect() as connection:
            # begun here and not by the first statement: histories are read past SQLAlchemy, which would not begin for them
            connection.begin()
            self._look_again(connection)
            yield connection

    @contextmanager
    def writing(self) -> Iterator[Connection]:
        """One transaction that holds the write lock from its start: saved whole at the end of the block, or not at all."""
        # before the lock is taken: nobody else should have to wait for a copy
        self._back_up()
        with self._explained(), self.engine.connect() as connection:
            writer = connection.execution_options(**{WRITES: True})
            with writer.begin() as transaction:
                # under the lock: until now another window could still restore or upgrade
                self._look_again(writer)
                writer.info.pop(WRITTEN, None)
                yield writer
                if self.location.file is None:
                    commit_for_certain(writer, transaction, self.location)

    @contextmanager
    def _explained(self, *, writes: bool = True) -> Iterator[None]:
        """As `explained`; what the database met in a log that was replaced just then is told as that, and not as a broken disk."""
        try:
            with explained(self.location, writes=writes):
                yield
        except WearlogError as error:
            if isinstance(error.__cause__, DBAPIError | sqlite3.Error):
                self._refuse_replaced()
            raise

    def _refuse_replaced(self) -> None:
        file = self.location.file
        if file is not None and _identity(self.location) != self._identity:
            self.engine.dispose()
            if not file.exists():
                raise ReplacedError(f"{file} is not there any more: it was moved, or its disk was taken out.", _AGAIN)
            raise ReplacedError(f"{file} was replaced by another file while it was open here.", _AGAIN)

    def _look_again(self, connection: Connection) -> None:
        """Refuse to go on with a log that another program replaced or upgraded since it was opened."""
        self._refuse_replaced()
        check_revision(self.location, next((revision for (revision,) in plain_rows(connection, _REVISION)), ""))

    def to_tell(self) -> tuple[str, ...]:
        """Return what a person should be told beside an entry that was saved; each notice once."""
        told = (*self.notices, *([self.trouble] if self.trouble else ()))
        self.notices.clear()
        return told

    def _back_up(self) -> None:
        """Make the day's backup. Where it cannot be written the entry is still saved, and `trouble` says why it is missing."""
        if self.location.file is None:
            return
        from wearlog.store.backup import CopyFailedError, daily_backup

        try:
            first_today = daily_backup(self.location.file) is not None
            self.trouble = ""
            if first_today and (said := told_once(self.location.file)):
                self.notices.append(said)
        except CopyFailedError as error:
            self.trouble = error.message

    def close(self) -> None:
        self.engine.dispose()


def open_store(location: Location) -> Store:
    """Open an existing log of this program's shape.

    Raises
    ------
    NotFoundError, RefusedError, VersionError
        When there is none, it is not ours, or it needs an upgrade or a newer program.
    """
    if location.file is not None:
        look_at_header(location, APPLICATION_ID)
    store = Store(location, make_engine(location), device_name())
    with closed_on_error(store.engine), explained(location, writes=False), store.engine.connect() as connection:
        check_revision(location, stored_revision(connection))
    return store


@contextmanager
def closed_on_error(engine: Engine) -> Iterator[None]:
    """Close the connections of an engine that is not going to be used."""
    try:
        yield
    except BaseException:
        engine.dispose()
        raise


def create_store(location: Location, fill: Fill | None = None) -> Store:
    """Make a new log, empty or filled; a file can be read and written by its owner only (0600) and is there whole or not at all.

    Parameters
    ----------
    fill : callable
        Writes into the new tables, in the transaction that makes them.

    Raises
    ------
    RefusedError
        When there is something already.
    """
    if location.file is None:
        engine = make_engine(location)
        with closed_on_error(engine), explained(location), engine.begin() as connection:
            if inspect(connection).has_table("deed"):
                raise RefusedError(f"There is a log at {location.name} already.", "Open it, or name another place.")
            _make_tables(connection)
            if fill is not None:
                fill(connection)
        return Store(location, engine, device_name())
    part = _reserve_part(location.file)
    try:
        _build(part, fill)
        # an unfinished write of a log that is gone would be played into the new one, which has its name
        aside = put_journals_aside(location.file)
        _publish(part, location.file)
    finally:
        take_away_if_it_can_be(part)
        take_away_if_it_can_be(part.with_name(f"{part.name}-journal"))
    store = open_store(location)
    store.notices += _beginnings(location.file, aside)
    return store


def _beginnings(file: Path, aside: Path | None) -> list[str]:
    """What a person should know who begins a log where there was one."""
    told = [f"An unfinished write of a log that is gone lay here; it is kept as {aside}."] if aside else []
    if copies := copies_words(file):
        told.append(f"This is a new log. Copies of an earlier one are kept ({copies}): 'wearlog restore' lists them.")
    return told


def _build(part: Path, fill: Fill | None) -> None:
    location = Location(file=part)
    engine = make_engine(location)
    with closed_on_error(engine), explained(location), engine.begin() as connection:
        _make_tables(connection)
        connection.exec_driver_sql(f"PRAGMA application_id = {APPLICATION_ID}")
        if fill is not None:
            fill(connection)
    engine.dispose()


def _make_tables(connection: Connection) -> None:
    # at once and not step by step: a test holds that the migrations lead to the same shape
    metadata.create_all(connection)
    connection.exec_driver_sql(
        "CREATE TABLE alembic_version (version_num VARCHAR(32) NOT NULL, "
        "CONSTRAINT alembic_version_pkc PRIMARY KEY (version_num))"
    )
    connection.execute(text("INSERT INTO alembic_version VALUES (:head)"), {"head": HEAD})


def _reserve_part(file: Path) -> Path:
    """Make an empty private file beside `file` to build the log in."""
    if file.exists():
        raise RefusedError(f"There is a file at {file} already.", "Open it, or name another place with --db.")
    clear_leftovers(file)
    part = file.with_name(f".{file.name}.{os.getpid()}.part")
    try:
        file.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
        part.unlink(missing_ok=True)
        os.close(os.open(part, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600))
    except OSError as error:
        raise RefusedError(
            f"{file} cannot be made: {error.strerror}.", "Check the folder and its permissions."
        ) from error
    return part


def _publish(part: Path, file: Path) -> None:
    """Give the finished file its name, unless somebody else took the name meanwhile."""
    try:
        os.link(part, file)
    except FileExistsError as error:
        raise RefusedError(f"There is a file at {file} already.", "Open it, or name another place.") from error
    except OSError:
        # sticks with a simple file system know no links; the check and the rename are then two steps
        if file.exists():
            raise
        put_in_place(part, file)


def stored_revision(connection: Connection) -> str:
    """Return the revision that the tables have; empty when there are none."""
    if not inspect(connection).has_table("alembic_version"):
        return ""
    return connection.execute(text("SELECT version_num FROM alembic_version")).scalar() or ""


def check_revision(location: Location, revision: str) -> None:
    """Refuse a log that has no tables, is older (upgrade it) or newer (get a newer program)."""
    if revision == HEAD:
        return
    if not revision:
        raise NotFoundError(
            f"There is no log at {location.name} yet.", "Start one with 'wearlog import' or 'wearlog add'."
        )
    if revision in REVISIONS:
        raise VersionError(
            f"{location.name} is from an older wearlog.", "Run 'wearlog upgrade'; it makes a backup first."
        )
    raise VersionError(f"{location.name} was written by a newer wearlog.", "Install the newer program to open it.")
