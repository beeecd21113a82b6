"""Who may do what with a log on a server: the SQL that makes the roles of owner, clerk and reader."""

from __future__ import annotations

from typing import Final

from wearlog.store.schema import metadata
from wearlog.store.schema.catalogue import OWNED
from wearlog.store.schema.journal_tables import deed, version, version_parent

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
