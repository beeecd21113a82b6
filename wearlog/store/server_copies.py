"""Backups of a log on a server, each a log file that every wearlog opens; and the SQL of roles: owner, clerk, reader."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from itertools import chain, count
from pathlib import Path
from typing import Final

from sqlalchemy import Connection

from wearlog.errors import ConflictError, NotFoundError, RefusedError
from wearlog.settings import data_folder
from wearlog.store.copying import LogMark, copy_log_rows, empty_log, is_empty
from wearlog.store.inspection import inspect_log
from wearlog.store.location import Location
from wearlog.store.opening import Store, create_store, open_store
from wearlog.store.packed_copies import plain_copy
from wearlog.store.schema import metadata
from wearlog.store.schema.catalogue import OWNED
from wearlog.store.schema.journal_tables import deed, version, version_parent

_ONLY_OWNER: Final = "Only who has the role of an owner may put another log in the place of this one."


@dataclass(frozen=True, slots=True)
class Copied:
    """A copy and what is in it; after a restore also where the log that was there is kept (None where there was nothing)."""

    file: Path
    mark: LogMark
    kept: Path | None = None


def copies_of(location: Location) -> list[Path]:
    """Return the copies of a server's log that lie with this device, oldest first."""
    return sorted(_folder().glob(f"{_name(location)}.*.db"), key=lambda one: one.name.rpartition(".20")[2])


def back_up(store: Store, target: Path | None = None) -> Copied:
    """Copy a server's log, as it stands at this moment, into a log file; others go on working meanwhile.

    Every row is read again from the file and compared before the file gets its name. Who may read the log may copy it.

    Raises
    ------
    RefusedError
        When there is a file of that name, or it cannot be written.
    """
    chosen = target or _free(store.location, "by-hand")
    with store.reading() as connection:
        return Copied(chosen, _into_file(connection, chosen))


def restore_on_server(location: Location, source: Path) -> Copied:
    """Put a copy in the place of the log on a server: in one step, nobody saves meanwhile, who reads sees the old or the new.

    The log that was there is copied into a file on this device first. Rights on the tables stay as they are.

    Raises
    ------
    NotFoundError, RefusedError, ConflictError
        When the copy is missing, not ours or not in order; the log on the server is as it was then.
    """
    if not source.exists():
        raise NotFoundError(f"There is no copy {source}.", "'wearlog restore' without a name lists what there is.")
    with plain_copy(source, beside=_folder() / "copy") as plain:
        return _restore_plain(location, plain, source)


def _restore_plain(location: Location, plain: Path, source: Path) -> Copied:
    copy = open_store(Location(file=plain))
    try:
        if problems := inspect_log(copy).problems:
            raise ConflictError(
                f"{len(problems)} things in {source} are not in order, so it was not put in the place of the log.",
                f"'wearlog check --db {source}' names them; take another copy.",
            )
        with copy.reading() as reader:
            return _put_there(location, reader, source)
    finally:
        copy.close()


def _put_there(location: Location, copy: Connection, source: Path) -> Copied:
    found: list[LogMark] = []

    def fill(connection: Connection) -> None:
        found.append(copy_log_rows(copy, connection))

    try:
        there = open_store(location)
    except NotFoundError:
        create_store(location, fill=fill).close()
        return Copied(source, found[0])
    try:
        kept = _replace(there, fill)
    finally:
        there.close()
    return Copied(source, found[0], kept)


def _replace(there: Store, fill: Callable[[Connection], None]) -> Path | None:
    with there.writing() as connection:
        kept = None
        if not is_empty(connection):
            if not _may_empty(connection):
                raise RefusedError(_ONLY_OWNER, "Ask whoever keeps the server.")
            kept = _free(there.location, "before-restore")
            _into_file(connection, kept)
        empty_log(connection)
        fill(connection)
    return kept


def _may_empty(connection: Connection) -> bool:
    asking = "SELECT has_table_privilege('deed', 'DELETE') AND has_table_privilege('version', 'DELETE')"
    return bool(connection.exec_driver_sql(asking).scalar())


def _into_file(connection: Connection, file: Path) -> LogMark:
    found: list[LogMark] = []
    create_store(Location(file=file), fill=lambda copy: found.append(copy_log_rows(connection, copy))).close()
    return found[0]


def _folder() -> Path:
    return data_folder() / "server-copies"


def _name(location: Location) -> str:
    database = re.split(r"[?#]", location.url)[0].rpartition("/")[2]
    return re.sub(r"[^A-Za-z0-9_.-]+", "-", database) or "farm"


def _free(location: Location, label: str) -> Path:
    stamp = datetime.now().astimezone().strftime("%Y-%m-%d-%H%M%S")
    names = (
        _folder() / f"{_name(location)}.{label}.{stamp}{tail}.db" for tail in chain([""], (f"-{n}" for n in count(2)))
    )
    return next(name for name in names if not name.exists())


OWNER, CLERK, READER = "wearlog_owner", "wearlog_clerk", "wearlog_reader"

#: what was entered, by whom and when: a clerk adds to it and changes nothing of it
HISTORY: Final = (deed.name, version.name, version_parent.name)

_REVISION: Final = "alembic_version"


def roles_script() -> str:
    """Return the script as `psql` reads it; running it again changes nothing, after an upgrade it takes in new tables."""
    owned = sorted(one.table.name for its in OWNED.values() for one in its)
    rows = sorted(set(metadata.tables) - set(HISTORY) - set(owned))
    tables = sorted([*metadata.tables, _REVISION])
    return _SCRIPT.format(
        owner=OWNER,
        clerk=CLERK,
        reader=READER,
        making="\n".join(_MAKING.format(role=role) for role in (OWNER, CLERK, READER)),
        owning="\n".join(f"ALTER TABLE public.{table} OWNER TO {OWNER};" for table in tables),
        tables=_listed(tables),
        history=_listed(HISTORY),
        rows=_listed(rows),
        owned=_listed(owned),
    )


def _listed(names: list[str] | tuple[str, ...]) -> str:
    lines, line = [], ""
    for name in names:
        if len(line) + len(name) > 100:
            lines.append(line)
            line = ""
        line += f"public.{name}, "
    return "\n    ".join(one.rstrip() for one in [*lines, line]).rstrip(",")


_MAKING: Final = """\
DO $$ BEGIN
  IF NOT EXISTS (SELECT FROM pg_roles WHERE rolname = '{role}') THEN CREATE ROLE {role} NOLOGIN; END IF;
END $$;"""

_SCRIPT: Final = """\
-- Who may do what with a wearlog on this PostgreSQL server: owner, clerk, reader.
--
-- An administrator of the server runs it on the farm's database once the log is there, and again after each upgrade:
--     wearlog roles > roles.sql
--     psql -v ON_ERROR_STOP=1 -f roles.sql farm
-- Then each person gets a name of their own and one of the roles:
--     CREATE ROLE ann LOGIN;      -- the password by \\password ann, so that it stands in no file
--     GRANT {clerk} TO ann;
--
--   {owner}   upgrades the log, restores it, makes and drops its tables
--   {clerk}   enters, edits and takes back; the history of it can be added to, and neither changed nor dropped
--   {reader}  looks at everything, saves nothing
-- Who has none of them cannot even connect.

BEGIN;

{making}

-- the tables belong to the role, so that every owner may upgrade them
{owning}
GRANT USAGE, CREATE ON SCHEMA public TO {owner};
GRANT USAGE ON SCHEMA public TO {clerk}, {reader};
REVOKE CREATE ON SCHEMA public FROM PUBLIC, {clerk}, {reader};

-- whatever was granted before is taken away first
REVOKE ALL ON
    {tables}
    FROM PUBLIC, {clerk}, {reader};
GRANT SELECT ON
    {tables}
    TO {clerk}, {reader};

-- the history: written once. A deed takes back another by being added, too
GRANT INSERT ON
    {history}
    TO {clerk};
-- rows: entered and changed. Nothing is ever deleted, what is taken away stays in its row as voided
GRANT INSERT, UPDATE ON
    {rows}
    TO {clerk};
-- what belongs to a row is written anew with it
GRANT INSERT, UPDATE, DELETE ON
    {owned}
    TO {clerk};

DO $$ BEGIN
  EXECUTE format('REVOKE ALL ON DATABASE %I FROM PUBLIC', current_database());
  EXECUTE format('GRANT CONNECT ON DATABASE %I TO {owner}, {clerk}, {reader}', current_database());
END $$;

COMMIT;
"""
