"""Migrations: one line of revisions, the same shape as the tables of the program, every row kept on the way, all or nothing."""

from __future__ import annotations

import gzip
import json
import shutil
import sqlite3
import stat
import tracemalloc
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path
from typing import Any
from uuid import UUID

import pytest
from alembic import command
from alembic.autogenerate import compare_metadata
from alembic.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy import Connection, Engine, select, text

from tests.store.dumping import DUMPS, fill, load
from tests.store.shapes import shape
from wearlog.errors import NotFoundError, RefusedError, VersionError
from wearlog.facts.bookkeeping import Setting
from wearlog.facts.fact import Fact
from wearlog.settings import shipped
from wearlog.store import migrate, opening
from wearlog.store.content import canonical, content_of
from wearlog.store.engine import make_engine
from wearlog.store.finding import read_facts
from wearlog.store.inspection import inspect_log
from wearlog.store.location import Location
from wearlog.store.opening import Store, create_store, open_store, stored_revision
from wearlog.store.packing import unpacked
from wearlog.store.revision import HEAD, REVISIONS, lifted
from wearlog.store.schema import TABLE_OF_FACT, metadata


def migrated(location: Location) -> Engine:
    """Bring an empty place to the newest revision by the migrations alone."""
    engine = make_engine(location)
    with engine.begin() as connection:
        command.upgrade(migrate.migration_config(connection), "head")
    return engine


def facts_in(connection: Connection) -> list[Fact]:
    found: list[Fact] = []
    for fact_type, table in TABLE_OF_FACT.items():
        found += read_facts(connection, fact_type, select(table))
    return found


def everything_in(store: Store) -> dict[str, set[tuple[Any, ...]]]:
    with store.reading() as connection:
        return {name: {tuple(row) for row in connection.execute(select(t))} for name, t in metadata.tables.items()}


def test_there_is_one_line_of_revisions_and_the_program_knows_it() -> None:
    """What the program takes for the list of revisions is what the folder of migrations holds, oldest first."""
    script = ScriptDirectory.from_config(migrate.migration_config())
    assert script.get_heads() == [HEAD]
    assert [step.revision for step in script.walk_revisions()][::-1] == list(REVISIONS)
    assert all(step.branch_labels == set() and not step.dependencies for step in script.walk_revisions())


def test_the_migrations_make_the_tables_of_the_program(empty_location: Location) -> None:
    """Alembic finds nothing to add, to drop or to change."""
    engine = migrated(empty_location)
    with engine.connect() as connection:
        options = {"compare_type": True, "compare_server_default": True, "render_as_batch": True}
        context = MigrationContext.configure(connection, opts=options)
        assert compare_metadata(context, metadata) == []
    engine.dispose()


def test_a_migrated_log_has_the_shape_of_a_new_one(empty_location: Location, tmp_path: Path) -> None:
    """Columns, types, keys, references, checks and indexes, each by name; what alembic does not compare is compared here."""
    engine = migrated(empty_location)
    with engine.begin() as connection:
        by_steps = shape(connection)
        metadata.drop_all(connection)
        connection.execute(text("DROP TABLE alembic_version"))
        assert shape(connection) == {}
    with engine.begin() as connection:
        opening._make_tables(connection)
        at_once = shape(connection)
    engine.dispose()
    assert by_steps == at_once
    assert set(at_once) == {*metadata.tables, "alembic_version"}


def test_the_shape_tells_tables_apart(file_store: Store) -> None:
    """A check on the check: each kind of difference shows."""
    with file_store.engine.connect() as connection:
        before = shape(connection)["field"]
        connection.execute(text("DROP TABLE field"))
        connection.execute(text("CREATE TABLE field (id BLOB, voided INTEGER NOT NULL CHECK (voided IN (0, 1)))"))
        after = shape(connection)["field"]
    assert {part for part in before if before[part] != after[part]} == {"columns", "key", "checks", "strict"}


@pytest.mark.parametrize("revision", REVISIONS[1:])
def test_no_step_is_taken_back(filled: Store, revision: str) -> None:
    """An older shape has no room for what the newer one holds; the way back is the copy made before, and nothing is touched."""
    before = everything_in(filled)
    down_to = ScriptDirectory.from_config(migrate.migration_config()).get_revision(revision).down_revision
    with pytest.raises(NotImplementedError, match="The backup made before"), filled.engine.begin() as connection:
        command.downgrade(migrate.migration_config(connection), str(down_to))
    assert everything_in(filled) == before
    with filled.engine.connect() as connection:
        assert stored_revision(connection) == HEAD


def test_every_released_revision_has_a_kept_dump() -> None:
    assert sorted(file.stem for file in DUMPS.glob("*.sql")) == sorted(REVISIONS)


@pytest.mark.parametrize("revision", REVISIONS)
def test_a_kept_dump_opens_at_the_newest_revision_with_all_its_rows(revision: str, file_location: Location) -> None:
    """What lies on the farms: a row in every table, an edit, a void and its undo; all there after the upgrade, as it was said."""
    assert file_location.file is not None
    load(revision, file_location.file)
    said = contents_in(file_location.file, revision)
    kept = migrate.upgrade(file_location)
    assert (kept is None) == (revision == HEAD)
    store = open_store(file_location)
    with store.reading() as connection:
        found = {fact.id: fact for fact in facts_in(connection)}
        deeds = connection.execute(text("SELECT said FROM deed ORDER BY recorded_at")).scalars().all()
        orphans = connection.exec_driver_sql("PRAGMA foreign_key_check").all()
    assert deeds == ["deed 0", "deed 1", "deed 2", "undid: deed 2"]
    assert orphans == []
    # the dump has one row of each table that there was then, and every row is what its versions said in the words of then
    assert {key: content_of(fact) for key, fact in found.items()} == {
        key: canonical(lifted(table, json.loads(content), revision)) for key, (table, content) in said.items()
    }
    assert len(found) >= FACTS_OF_0001
    assert [fact.content for fact in found.values() if isinstance(fact, Setting)] == ["edited"]
    assert inspect_log(store).problems == ()
    store.close()


def contents_in(file: Path, revision: str) -> dict[UUID, tuple[str, str]]:
    """Return what the last version of each row says, read past the program as the revision keeps it."""
    with closing(sqlite3.connect(file)) as connection:
        rows = connection.execute(
            "SELECT v.row_id, v.table_name, v.content FROM version v JOIN deed d ON d.id = v.deed_id "
            "ORDER BY d.recorded_at, v.id"
        ).fetchall()
    return {
        UUID(bytes=row_id): (table, content if revision == "0001" else unpacked(table, content))
        for row_id, table, content in rows
    }


#: what 0001 had tables of, by the kept dump
FACTS_OF_0001 = 34


# ------------------------------------------------------------------------------------------------ a revision after this one

NEXT = '''
"""A colour for machines."""

import sqlalchemy as sa
from alembic import op

revision = "9001"
down_revision = {head!r}
branch_labels = None
depends_on = None


def upgrade() -> None:
    # a file builds the table anew for this, a server alters it
    with op.batch_alter_table("machine", table_kwargs={{"sqlite_strict": True}}) as machine:
        machine.add_column(sa.Column("colour", sa.Text(), nullable=True))
        machine.create_check_constraint("ck_machine_colour", "colour <> ''")
    {more}


def downgrade() -> None:
    with op.batch_alter_table("machine") as machine:
        machine.drop_column("colour")
'''


def come_with_a_later_revision(monkeypatch: pytest.MonkeyPatch, tmp_path: Path, more: str = "") -> None:
    """Make this the program of a year from now, whose migrations rebuild the table that most others point at."""
    folder = tmp_path / "migrations"
    shutil.copytree(shipped("migrations"), folder)
    folder.joinpath("versions", "9001_next.py").write_text(NEXT.format(head=HEAD, more=more), "utf-8")
    monkeypatch.setattr(migrate, "shipped", lambda name: tmp_path / name)
    for module in (migrate, opening):
        monkeypatch.setattr(module, "HEAD", "9001")
        monkeypatch.setattr(module, "REVISIONS", (*REVISIONS, "9001"))


@pytest.fixture
def filled(store: Store, request: pytest.FixtureRequest) -> Iterator[Store]:
    """A log with rows in every table, in a file and in a database of its own."""
    made = store if store.location.file else create_store(request.getfixturevalue("empty_server_location"))
    fill(made)
    yield made
    made.close()


def test_a_parent_table_is_rebuilt_without_losing_its_children(
    filled: Store, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    """From an older to a newer revision: every row of every table is there afterwards, and the references hold again."""
    before = everything_in(filled)
    with filled.reading() as connection:
        old_machine = shape(connection)["machine"]
    filled.close()
    come_with_a_later_revision(monkeypatch, tmp_path)
    with pytest.raises(VersionError, match="is from an older wearlog"):
        open_store(filled.location)
    kept = migrate.upgrade(filled.location)
    later = open_store(filled.location)
    assert everything_in(later) == before
    with later.reading() as connection:
        machine = shape(connection)["machine"]
    assert machine["columns"].pop()[0] == "colour"
    assert "colour" in machine["checks"].pop("ck_machine_colour")
    assert machine == old_machine
    with pytest.raises(RefusedError, match=r"(?i)foreign key"), later.writing() as connection:
        connection.execute(text("DELETE FROM machine"))
    later.close()
    if filled.location.file is None:
        assert kept is not None
        assert kept.name.endswith(".before-9001.sql.gz")
    else:
        assert kept == filled.location.file.with_name("farm.db.before-9001")


@pytest.mark.promise(
    about="upgrades",
    fault="somebody regrets an upgrade",
    holds="the copy made before it is the log as it was",
    on="a file",
)
def test_the_backup_before_an_upgrade_is_the_log_as_it_was(
    file_store: Store, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    fill(file_store)
    before = everything_in(file_store)
    file_store.close()
    with monkeypatch.context() as later:
        come_with_a_later_revision(later, tmp_path)
        kept = migrate.upgrade(file_store.location)
        assert migrate.upgrade(file_store.location) is None
    assert kept is not None
    assert stat.S_IMODE(kept.stat().st_mode) == 0o600
    old = open_store(Location(file=kept))
    assert everything_in(old) == before
    old.close()


@pytest.mark.postgres
@pytest.mark.parametrize(("ending", "begins"), [(0, b"\0\0\0\0"), (1, b"BEGIN;")], ids=["to its end", "fails half-way"])
def test_what_the_servers_tool_writes_is_packed_as_it_comes(
    server_store: Store, monkeypatch: pytest.MonkeyPatch, tmp_path: Path, ending: int, begins: bytes
) -> None:
    """A large log is never held in memory whole; a tool that fails half-way leaves nothing of it in the copy."""
    tool = tmp_path / "pg_dump"
    tool.write_text(f"#!/bin/sh\nhead -c 64000000 /dev/zero\nexit {ending}\n", encoding="utf-8")
    tool.chmod(0o700)
    monkeypatch.setenv("PATH", f"{tmp_path}:/usr/bin:/bin")
    tracemalloc.start()
    try:
        with server_store.reading() as connection:
            kept = migrate.copy_server_log(connection, server_store.location, "before-test")
        peak = tracemalloc.get_traced_memory()[1]
    finally:
        tracemalloc.stop()
    with gzip.open(kept) as copy:
        said = copy.read()
    assert said.startswith(begins)
    assert (b"\0" in said) is (ending == 0)
    assert stat.S_IMODE(kept.stat().st_mode) == 0o600
    assert peak < 32_000_000


@pytest.mark.parametrize("more", ['op.execute("DROP TABLE no_such_table")', "1 // 0"], ids=["SQL", "Python"])
@pytest.mark.promise(about="upgrades", fault="an upgrade fails half-way", holds="the log is as it was", on="both")
def test_a_step_that_fails_leaves_the_log_as_it_was(
    filled: Store, monkeypatch: pytest.MonkeyPatch, tmp_path: Path, more: str
) -> None:
    """All or nothing: the table that was rebuilt before the failure is the old one again, and the old program opens it."""
    before = everything_in(filled)
    with filled.reading() as connection:
        old_shape = shape(connection)
    filled.close()
    with monkeypatch.context() as later:
        come_with_a_later_revision(later, tmp_path, more)
        with pytest.raises(Exception, match=r"no_such_table|integer division"):
            migrate.upgrade(filled.location)
    again = open_store(filled.location)
    assert everything_in(again) == before
    with again.reading() as connection:
        assert shape(connection) == old_shape
    again.close()


@pytest.mark.promise(
    about="upgrades",
    fault="an upgrade would leave rows pointing at nothing",
    holds="it is refused, the log is as it was",
    on="a file",
)
def test_a_step_that_would_orphan_rows_is_refused(
    file_store: Store, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    """Foreign keys are off while tables are rebuilt, so they are checked before anything is kept."""
    fill(file_store)
    before = everything_in(file_store)
    file_store.close()
    with monkeypatch.context() as later:
        come_with_a_later_revision(later, tmp_path, 'op.execute("DELETE FROM machine")')
        with pytest.raises(RefusedError, match=r"^A row of \w+ would point at nothing; the log was left as it was\.$"):
            migrate.upgrade(file_store.location)
    again = open_store(file_store.location)
    assert everything_in(again) == before
    again.close()


def test_a_newer_log_is_not_touched(filled: Store) -> None:
    with filled.engine.begin() as connection:
        connection.execute(text("UPDATE alembic_version SET version_num = '9999'"))
    with pytest.raises(VersionError, match="was written by a newer wearlog"):
        migrate.upgrade(filled.location)
    with filled.engine.connect() as connection:
        assert stored_revision(connection) == "9999"
    if filled.location.file:
        assert list(filled.location.file.parent.glob("*.before-*")) == []


def test_an_upgrade_of_the_newest_does_nothing(filled: Store) -> None:
    before = everything_in(filled)
    assert migrate.upgrade(filled.location) is None
    assert everything_in(filled) == before
    if filled.location.file:
        assert list(filled.location.file.parent.glob("*.before-*")) == []


def test_an_upgrade_of_nothing_says_that_there_is_none(empty_location: Location) -> None:
    with pytest.raises(NotFoundError, match=r"^There is no log at .* yet"):
        migrate.upgrade(empty_location)
