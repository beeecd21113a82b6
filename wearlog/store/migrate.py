"""Bringing an older log to this program's shape: backup first, then every step, all or nothing."""

from __future__ import annotations

import gzip
import os
import re
import shutil
import subprocess
from collections.abc import Iterator
from pathlib import Path
from typing import Final

from alembic import command
from alembic.config import Config
from sqlalchemy import Connection, MetaData, inspect
from sqlalchemy.schema import CreateIndex, CreateTable

from wearlog.disk import put_in_place, take_away_if_it_can_be
from wearlog.errors import RefusedError
from wearlog.settings import data_folder, shipped
from wearlog.store.backup import CopyFailedError, copy_log
from wearlog.store.engine import WRITES, explained, look_at_header, make_engine
from wearlog.store.location import Location
from wearlog.store.opening import check_revision, stored_revision
from wearlog.store.revision import APPLICATION_ID, HEAD, REVISIONS

#: the tool that writes a database as SQL; it comes with the server and its clients
_TOOL: Final = "pg_dump"


def copy_server_log(connection: Connection, location: Location, label: str) -> Path:
    """Write the whole log as compressed SQL that `psql` reads, into this machine's folder of the farm, and return the file.

    Parameters
    ----------
    label : str
        Says before what: `before-0002`.

    Raises
    ------
    CopyFailedError
        When it cannot be written; nothing was changed then.
    """
    name = re.sub(r"[^A-Za-z0-9_.-]+", "-", connection.engine.url.database or "farm")
    target = _free(data_folder() / "server-copies" / f"{name}.{label}.sql.gz")
    part = target.with_name(f"{target.name}.{os.getpid()}.part")
    try:
        target.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
        os.close(os.open(part, os.O_CREAT | os.O_WRONLY | os.O_TRUNC, 0o600))
        if not _by_tool(location, part):
            with gzip.open(part, "wb") as file:
                file.writelines(_by_hand(connection))
        put_in_place(part, target)
    except OSError as error:
        raise CopyFailedError(
            f"The copy {target} could not be written: {error.strerror}.", "Check the disk and the folder's permissions."
        ) from error
    finally:
        take_away_if_it_can_be(part)
    return target


def _free(target: Path) -> Path:
    """A name that no earlier copy has: each upgrade of each server keeps its own."""
    found, number = target, 1
    while found.exists():
        number += 1
        found = target.with_name(target.name.replace(".sql.gz", f"-{number}.sql.gz"))
    return found


def _by_tool(location: Location, part: Path) -> bool:
    """Pack what the server's tool writes, as it comes; False where it is missing, older than the server, or not let in."""
    tool = shutil.which(_TOOL)
    if tool is None:
        return False
    words = [tool, "--no-password", "--no-owner", "--dbname", location.url.replace("+psycopg", "", 1)]
    with (
        gzip.open(part, "wb") as file,
        subprocess.Popen(words, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL) as running,  # noqa: S603
    ):
        assert running.stdout is not None
        shutil.copyfileobj(running.stdout, file)
        told = file.tell() > 0
    return running.returncode == 0 and told


def _by_hand(connection: Connection) -> Iterator[bytes]:
    tables = MetaData()
    tables.reflect(connection)
    inspector = inspect(connection)
    yield b"BEGIN;\n"
    for table in tables.sorted_tables:
        yield f"{str(CreateTable(table).compile(connection)).strip()};\n".encode()
        for check in inspector.get_check_constraints(table.name):
            adding = f"ALTER TABLE {table.name} ADD CONSTRAINT {check['name']} CHECK ({check['sqltext']});\n"
            yield adding.encode()
    # COPY hands the rows over as the server itself writes them: no value is read and written back on the way
    driver = connection.connection.driver_connection
    assert driver is not None
    for table in tables.sorted_tables:
        columns = ", ".join(column.name for column in table.columns)
        yield f"COPY {table.name} ({columns}) FROM stdin;\n".encode()
        with driver.cursor() as cursor, cursor.copy(f"COPY {table.name} ({columns}) TO STDOUT") as rows:
            for row in rows:
                yield bytes(row)
        yield b"\\.\n"
    for table in tables.sorted_tables:
        for index in sorted(table.indexes, key=lambda one: str(one.name)):
            yield f"{CreateIndex(index).compile(connection)};\n".encode()
    yield b"COMMIT;\n"


def migration_config(connection: Connection | None = None) -> Config:
    """Return the configuration alembic needs; with a connection it works inside that connection's transaction."""
    config = Config()
    config.set_main_option("script_location", str(shipped("migrations")))
    config.attributes["connection"] = connection
    return config


def upgrade(location: Location) -> Path | None:
    """Upgrade a log to this program's revision and return the copy that was made first (None: there was nothing to do).

    Raises
    ------
    VersionError
        When the log is newer than this program.
    RefusedError
        When a row would be left pointing at nothing; the log is as it was then.
    """
    if location.file is not None:
        look_at_header(location, APPLICATION_ID)
    engine = make_engine(location)
    try:
        with explained(location), engine.connect() as connection:
            revision = stored_revision(connection)
            if revision not in REVISIONS:
                check_revision(location, revision)
            # looking began a transaction, and keys can be switched off only outside of one
            connection.rollback()
            return None if revision == HEAD else _run_steps(connection, location)
    finally:
        engine.dispose()


def _run_steps(connection: Connection, location: Location) -> Path | None:
    kept = None
    if location.file is not None:
        # outside the transaction, where it still works: a table that is rebuilt must not take its children with it
        connection.connection.driver_connection.execute("PRAGMA foreign_keys=OFF").close()  # type: ignore[union-attr]
    writer = connection.execution_options(**{WRITES: True})
    with writer.begin():
        # looked at again under the lock: who waited for it may find the work done, and must not copy that as the old log
        if stored_revision(writer) == HEAD:
            return None
        if location.file is not None:
            kept = location.file.with_name(f"{location.file.name}.before-{HEAD}")
            copy_log(location.file, kept)
        else:
            kept = copy_server_log(writer, location, f"before-{HEAD}")
        command.upgrade(migration_config(writer), "head")
        if location.file is not None and (orphan := writer.exec_driver_sql("PRAGMA foreign_key_check").first()):
            raise RefusedError(
                f"A row of {orphan[0]} would point at nothing; the log was left as it was.", "Run 'wearlog check'."
            )
    if location.file is not None:
        # tables that were made anew leave their old pages behind, as much as the log itself
        connection.connection.driver_connection.execute("VACUUM").close()  # type: ignore[union-attr]
    return kept
