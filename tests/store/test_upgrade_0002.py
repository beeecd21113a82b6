"""A log of 0001 out on a farm (kept from the demo, with undone and voided rows) after its upgrade, in a file and on a server."""

from __future__ import annotations

import csv
import gzip
import hashlib
import io
import lzma
import sqlite3
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path
from typing import Any, Final
from uuid import UUID

import pytest
from alembic import command
from sqlalchemy import Connection, MetaData, create_engine, insert, text

from tests.store.dumping import DUMPS
from wearlog.exchange.export import export_folder
from wearlog.exchange.sheets import SHEETS
from wearlog.facts.bookkeeping import Setting
from wearlog.facts.electrics import Fault
from wearlog.facts.parts import PartKind
from wearlog.facts.wearing import Breakage
from wearlog.logbook.farm.first_day import bring_kinds
from wearlog.reckoning.files import deed_rows
from wearlog.store.engine import make_engine
from wearlog.store.finding import find_all
from wearlog.store.inspection import inspect_log
from wearlog.store.journal import deed_lines
from wearlog.store.location import Location
from wearlog.store.migrate import migration_config, upgrade
from wearlog.store.opening import Store, open_store
from wearlog.store.taking_back import take_back

#: what 0001 itself counted in this log
ROWS, VERSIONS, DEEDS = 4_683, 4_692, 12
#: headings that 0001 had for a field of another name
_OTHER_FIELD: Final = ("price_per_tonne",)


def load_demo(file: Path) -> None:
    with closing(sqlite3.connect(file)) as connection:
        connection.executescript(lzma.decompress(DUMPS.joinpath("demo-0001.sql.xz").read_bytes()).decode())


@pytest.fixture(scope="module")
def demo_0001(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The log as 0001 left it."""
    file = tmp_path_factory.mktemp("demo") / "farm.db"
    load_demo(file)
    return file


@pytest.fixture(params=["file", "server"])
def old(request: pytest.FixtureRequest, demo_0001: Path, tmp_path: Path) -> Location:
    """The same log of 0001 in a file and on a server."""
    if request.param == "file":
        file = tmp_path / "farm.db"
        file.write_bytes(demo_0001.read_bytes())
        return Location(file=file)
    location: Location = request.getfixturevalue("empty_server_location")
    onto_server(demo_0001, location)
    return location


def onto_server(file: Path, location: Location) -> None:
    """Make the tables of 0001 there by its own migration, and copy every row."""
    server, source = make_engine(location), create_engine(f"sqlite:///{file}")
    with server.begin() as connection:
        command.upgrade(migration_config(connection), "0001")
        there = MetaData()
        there.reflect(connection)
        with source.connect() as old:
            for table in there.sorted_tables:
                if table.name != "alembic_version":
                    _copy(old, connection, table)
    server.dispose()
    source.dispose()


def _copy(old: Connection, new: Connection, table: Any) -> None:
    kinds = {column.name: column.type.__class__.__name__ for column in table.columns}
    rows = [
        {name: _value(kinds[name], value) for name, value in row.items()}
        for row in old.execute(text(f"SELECT * FROM {table.name}")).mappings()
    ]
    if rows:
        # a deed may undo a later one of the list: the order of entry holds
        new.execute(insert(table), sorted(rows, key=lambda row: str(row["id"])))


def _value(kind: str, value: Any) -> Any:
    if value is None:
        return None
    if kind == "UUID":
        return UUID(bytes=value)
    if kind == "TIMESTAMP":
        from wearlog.store.schema.types import instant

        return instant(value)
    if kind == "BOOLEAN":
        return bool(value)
    return value


@pytest.fixture
def upgraded(old: Location) -> Iterator[Store]:
    upgrade(old)
    store = open_store(old)
    yield store
    store.close()


def test_the_log_is_in_order_and_nothing_is_lost(upgraded: Store) -> None:
    found = inspect_log(upgraded)
    assert found.problems == ()
    assert (found.rows, found.versions, found.deeds) == (ROWS, VERSIONS, DEEDS)


def test_what_was_said_in_lists_is_in_rows(upgraded: Store) -> None:
    with upgraded.reading() as connection:
        (flicker,) = find_all(connection, Fault, title="stubble lights flicker")
        (section,) = find_all(connection, PartKind, name="knife section")
        breakages = find_all(connection, Breakage)
    assert [str(one) for one in flicker.conditions] == ["rain", "rough_ground"]
    assert "section" in section.words
    assert (4, 5, 6) in {one.positions for one in breakages}


def test_history_is_readable_back_to_the_first_entry(upgraded: Store) -> None:
    """Each row of each deed, with what it said and what it said before."""
    with upgraded.reading() as connection:
        lines = deed_lines(connection, limit=100)
        assert lines[-1].deed.said == "began the log with 63 kinds of part and their starting guesses"
        assert [line.undone for line in lines].count(True) == 3
        for line in lines:
            changes, _names = deed_rows(connection, line.deed.id, "", 0, 20)
            assert len(changes) == min(line.rows, 20)
            matching, _names = deed_rows(connection, line.deed.id, changes[0].table_name, 0, 3)
            assert matching


def test_the_oldest_entries_can_be_taken_back(upgraded: Store) -> None:
    """From the last to the first, each as if it had been entered by this program; the first deed of all among them."""
    with upgraded.writing() as connection:
        standing = [
            one.deed for one in deed_lines(connection, limit=100) if not one.undone and not one.deed.undoes_deed_id
        ]
        for deed in standing:
            take_back(connection, device="shop", deed=deed)
        left = [len(find_all(connection, kind)) for kind in (Breakage, PartKind, Fault, Setting)]
    assert left == [0, 0, 0, 0]
    assert inspect_log(upgraded).problems == ()


def test_an_export_says_the_same_as_before(demo_0001: Path, upgraded: Store, tmp_path: Path) -> None:
    """By the digests of the sheets that the program of 0001 wrote of this very log."""
    export_folder(upgraded, tmp_path / "out")
    kept = DUMPS.joinpath("demo-0001-export.txt").read_text("utf-8").split("\n")
    with closing(sqlite3.connect(demo_0001)) as connection:
        said = {file.name: _without_newer(file, connection) for file in tmp_path.joinpath("out").glob("*.csv")}
    digests = [f"{name} {hashlib.sha256(text).hexdigest()}" for name, text in said.items()]
    assert sorted(digests) == sorted(line for line in kept if line)


def _without_newer(file: Path, of_0001: sqlite3.Connection) -> bytes:
    """The sheet without the columns that 0001 had not; nothing may stand in them."""
    had = {name for _, name, *_ in of_0001.execute("SELECT * FROM pragma_table_info(?)", (file.stem,))}
    new = [one.heading for one in SHEETS[file.stem] if one.field not in had and one.heading not in _OTHER_FIELD]
    with file.open(encoding="utf-8", newline="") as lines:
        rows = list(csv.DictReader(lines))
    # with its unit: length_ft
    newer = [one for one in rows[0] if any(one == name or one.startswith(f"{name}_") for name in new)]
    if not newer:
        return file.read_bytes()
    assert [row[column] for row in rows for column in newer if row[column]] == []
    written = io.StringIO(newline="")
    writer = csv.DictWriter(
        written, [one for one in rows[0] if one not in newer], lineterminator="\n", extrasaction="ignore"
    )
    writer.writeheader()
    writer.writerows(rows)
    return written.getvalue().encode()


def test_a_copy_of_the_old_log_stands_before_it(old: Location, demo_0001: Path) -> None:
    """A file beside the log; of a server what psql reads, with every row in it."""
    kept = upgrade(old)
    assert kept is not None
    if old.file is not None:
        with closing(sqlite3.connect(kept)) as connection:
            assert connection.execute("SELECT count(*) FROM version").fetchone() == (VERSIONS,)
            assert connection.execute("SELECT version_num FROM alembic_version").fetchone() == ("0001",)
        return
    said = gzip.decompress(kept.read_bytes()).decode()
    rows = said.split("COPY version (", 1)[1] if "COPY version (" in said else said.split("COPY public.version (", 1)[1]
    assert rows.split("\n\\.\n", 1)[0].count("\n") == VERSIONS
    assert "CREATE TABLE" in said
    assert "stubble lights flicker" in said


def test_kinds_that_are_new_come_in_as_one_entry_that_can_be_undone(upgraded: Store) -> None:
    """Those that the log lacks come, and newer guesses for those that nobody has touched; a second time does nothing."""
    with upgraded.reading() as connection:
        before = {kind.id: kind for kind in find_all(connection, PartKind)}
    bring_kinds(upgraded)
    assert bring_kinds(upgraded) == []
    with upgraded.writing() as connection:
        after = {kind.id: kind for kind in find_all(connection, PartKind)}
        assert set(before) <= set(after)
        last = deed_lines(connection, limit=1)[0].deed
        if set(after) != set(before):
            take_back(connection, device="shop", deed=last)
            assert {kind.id: kind for kind in find_all(connection, PartKind)} == before


def test_entering_a_breakage_goes_along_indexes(demo_0001: Path, tmp_path: Path) -> None:
    """What is asked for the latest machine reads the end of an index and sorts nothing; what points at a row is looked up."""
    file = tmp_path / "farm.db"
    file.write_bytes(demo_0001.read_bytes())
    upgrade(Location(file=file))
    with closing(sqlite3.connect(file)) as connection:

        def plan(query: str) -> str:
            return " ".join(row[-1] for row in connection.execute(f"EXPLAIN QUERY PLAN {query}"))

        for table, column in (("run", "started_at"), ("breakage", "at")):
            latest = plan(f"SELECT * FROM {table} WHERE voided = 0 ORDER BY {column} DESC LIMIT 1")
            assert "USING INDEX" in latest
            assert "TEMP B-TREE" not in latest
        for child, column in (
            ("breakage_position", "broke_fitting_id"),
            ("stock_move", "repair_id"),
            ("run", "field_id"),
        ):
            assert "SEARCH" in plan(f"SELECT 1 FROM {child} WHERE {column} = x'00'")
