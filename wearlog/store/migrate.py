"""Bringing an older log to this program's shape: backup first, then every step, all or nothing."""

from __future__ import annotations

from pathlib import Path

from alembic import command
from alembic.config import Config
from sqlalchemy import Connection

from wearlog.errors import RefusedError
from wearlog.places import shipped
from wearlog.store.backup import copy_log
from wearlog.store.engine import WRITES, make_engine
from wearlog.store.location import Location
from wearlog.store.mishaps import explained, look_at_header
from wearlog.store.opening import check_revision, stored_revision
from wearlog.store.revision import APPLICATION_ID, HEAD, REVISIONS
from wearlog.store.server_copy import copy_server_log


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
