"""Looking through a log page by page finds what is spoilt, in whatever table and wherever on a page, and says nothing else."""

from __future__ import annotations

import shutil
import sqlite3
from collections.abc import Iterator, Sequence
from contextlib import closing
from dataclasses import replace
from pathlib import Path
from uuid import UUID

import pytest

from tests.farm_fixtures import demo_file, demo_store
from tests.strategies import one_of_each
from wearlog.facts.bookkeeping import Setting
from wearlog.facts.closed_lists import Cause, Doing
from wearlog.facts.fact import Fact
from wearlog.facts.wearing import Breakage, Fitting
from wearlog.store import inspection, readable
from wearlog.store.content import content_of
from wearlog.store.finding import find_all, find_voided
from wearlog.store.inspection import inspect_log
from wearlog.store.ledger import Entry, record
from wearlog.store.location import Location
from wearlog.store.opening import Store, open_store
from wearlog.store.readable import pages
from wearlog.store.row_content import row_content
from wearlog.store.schema import TABLE_OF_FACT

__all__ = ["demo_file", "demo_store"]

#: rows of a page here, so that every table but the smallest has several
ROWS = 100


@pytest.fixture
def file(demo_file: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The demo fleet's log, looked through in small pages; all that is found is told."""
    monkeypatch.setattr(readable, "PAGE", ROWS)
    monkeypatch.setattr(inspection, "MOST_TOLD", 1_000_000)
    return Path(shutil.copyfile(demo_file, tmp_path / "spoilt.db"))


def found_in(file: Path) -> list[str]:
    store = open_store(Location(file=file))
    try:
        return list(inspect_log(store).problems)
    finally:
        store.close()


def borders(connection: sqlite3.Connection, table: str) -> Sequence[tuple[int, UUID]]:
    """The first and last row of a table, the last of its first page, and the first and last of its second: numbers and ids."""
    numbers = [number for (number,) in connection.execute(f"SELECT rowid FROM {table} ORDER BY rowid")]
    wanted = {0, ROWS - 1, ROWS, 2 * ROWS - 1, len(numbers) - 1}
    chosen = [numbers[place] for place in sorted(wanted) if 0 <= place < len(numbers)]
    return [
        (number, UUID(bytes=connection.execute(f"SELECT id FROM {table} WHERE rowid = {number}").fetchone()[0]))
        for number in chosen
    ]


def spoilt(file: Path, statement: str, tables: Sequence[str]) -> dict[str, Sequence[tuple[int, UUID]]]:
    """Do something to the rows at the borders of pages; return which rows these are, table by table."""
    with closing(sqlite3.connect(file)) as connection:
        connection.execute("PRAGMA foreign_keys = OFF")
        connection.execute("PRAGMA ignore_check_constraints = ON")
        rows = {table: borders(connection, table) for table in tables}
        for table, its in rows.items():
            for number, _ in its:
                connection.execute(f"{statement.format(table=table)} WHERE rowid = {number}")
        connection.commit()
    return rows


TABLES = [table.name for table in TABLE_OF_FACT.values()]


def test_a_row_that_says_other_things_is_found_in_every_table_and_at_every_border(file: Path) -> None:
    rows = spoilt(file, "UPDATE {table} SET voided = 1 - voided", TABLES)
    assert sum(map(len, rows.values())) > 100
    assert found_in(file) == [
        f"row {row_id} of {table} is not what its last version says" for table, its in rows.items() for _, row_id in its
    ]


def test_a_row_that_is_gone_is_found_in_every_table_and_at_every_border(file: Path) -> None:
    rows = spoilt(file, "DELETE FROM {table}", TABLES)
    found = found_in(file)
    missing = [one for one in found if not one.startswith("a row of ")]
    assert sorted(missing) == sorted(
        f"row {row_id} of {table} is missing" for table, its in rows.items() for _, row_id in its
    )


def test_a_row_that_cannot_be_read_is_found_in_every_table_and_at_every_border(file: Path) -> None:
    rows = spoilt(
        file, "UPDATE {table} SET voided = 9223372036854775807, id = CAST(substr(id, 1, 7) AS BLOB)", ["reading"]
    )
    found = found_in(file)
    assert sum("of reading cannot be read" in one for one in found) == len(rows["reading"])
    texts = {
        "machine": "name",
        "field": "name",
        "part": "number",
        "repair": "note",
        "stoppage": "note",
        "component": "place",
    }
    for table, column in texts.items():
        its = spoilt(file, f"UPDATE {{table}} SET {column} = CAST(x'ff00fe' AS TEXT)", [table])[table]
        found = found_in(file)
        for _, row_id in its:
            assert f"row {row_id} of {table} cannot be read" in found
        assert sum(f"of {table} cannot be read" in one for one in found) == len(its)


def test_a_version_that_was_altered_is_found_at_every_border_with_its_entry(file: Path) -> None:
    rows = spoilt(file, "UPDATE {table} SET digest = zeroblob(32)", ["version"])["version"]
    found = found_in(file)
    altered = [one for one in found if one.startswith("version ") and one.endswith(" was altered")]
    assert [one.split()[1] for one in altered] == [str(version_id) for _, version_id in rows]
    assert all(one.startswith(("version ", "deed ")) for one in found)
    assert any(one.startswith("deed ") for one in found)


def test_a_version_that_cannot_be_unpacked_is_found_at_every_border(file: Path) -> None:
    rows = spoilt(file, "UPDATE {table} SET content = x'00'", ["version"])["version"]
    found = found_in(file)
    unpacked = [one.split()[1] for one in found if one.startswith("version ") and one.endswith(" cannot be read")]
    assert unpacked == [str(version_id) for _, version_id in rows]
    # what the digest of the version says was not touched, nor that of its entry; only the rows have nothing to be held against
    assert sum("is not what its last version says" in one for one in found) == len(rows)
    assert len(found) == 2 * len(rows)


def test_an_entry_that_was_altered_is_found_wherever_it_lies(file: Path) -> None:
    store = open_store(Location(file=file))
    with store.writing() as connection:
        for number in range(2 * ROWS):
            breakage = find_all(connection, Breakage)[number]
            record(
                connection,
                device="shop",
                said=f"once more {number}",
                entries=[Entry(breakage.__class__(**_again(breakage)))],
            )
    store.close()
    assert found_in(file) == []
    rows = spoilt(file, "UPDATE {table} SET said = said || ', they say'", ["deed"])["deed"]
    assert found_in(file) == [f"deed {deed_id} was altered" for _, deed_id in rows]


def _again(breakage: Breakage) -> dict[str, object]:
    return {
        "component_id": breakage.component_id,
        "positions": breakage.positions,
        "at": breakage.at,
        "cause": Cause.UNKNOWN,
    }


def test_however_long_pages_are_the_same_is_found(file: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    spoilt(file, "UPDATE {table} SET voided = 1 - voided", ["fitting", "run", "breakage"])
    spoilt(file, "DELETE FROM {table}", ["reading"])
    spoilt(file, "UPDATE {table} SET digest = zeroblob(32)", ["version"])
    whole = found_in(file)
    for rows in (7, 1_000, 1_000_000):
        monkeypatch.setattr(readable, "PAGE", rows)
        assert found_in(file) == whole


def facts_read(store: Store, fact_type: type[Fact]) -> Iterator[str]:
    with store.reading() as connection:
        for fact in (*find_all(connection, fact_type), *find_voided(connection, fact_type)):
            yield content_of(fact)


def test_what_the_driver_gives_says_what_the_facts_say(demo_store: Store) -> None:
    """Every row of every table of the demo fleet, and some with lists that end early, letters of other scripts and line ends."""
    with demo_store.writing() as connection:
        first = find_all(connection, Fitting)[0]
        odd = Breakage(
            component_id=first.component_id,
            positions=(1, 2, 3),
            at=first.fitted_at,
            note='"größer"\n\\ 刀\t\x7f',
            broke_fitting_ids=(None, first.id),
        )
        more = [fact for fact in one_of_each() if not isinstance(fact, Setting)]
        record(connection, device="shop", said="odd", entries=[Entry(fact) for fact in (*more, odd)])
    for fact_type, table in TABLE_OF_FACT.items():
        read: list[str] = []
        with demo_store.reading() as connection:
            for page in pages(connection, table):
                ids, says = row_content(fact_type).page(connection.connection.driver_connection, page.first, page.last)
                assert len(ids) == len(says)
                read += says
        assert sorted(read) == sorted(facts_read(demo_store, fact_type)), table.name


def test_rows_of_which_nothing_tells_have_no_history(file: Path) -> None:
    with closing(sqlite3.connect(file)) as connection:
        connection.execute("DELETE FROM version")
        connection.commit()
        rows = sum(connection.execute(f"SELECT count(*) FROM {table}").fetchone()[0] for table in TABLES)
    assert sum(one.endswith(" has no history") for one in found_in(file)) == rows


def test_a_row_of_several_versions_is_weighed_though_the_index_of_versions_is_gone_or_damaged(file: Path) -> None:
    store = open_store(Location(file=file))
    with store.writing() as connection:
        changed = [replace(one, note="changed") for one in find_all(connection, Breakage)[:3]]
        record(connection, device="shop", said="changed", entries=[Entry(one, Doing.EDITED) for one in changed])
    store.close()
    spoilt(file, "UPDATE {table} SET voided = 1 - voided", ["machine"])
    before = found_in(file)
    with closing(sqlite3.connect(file)) as connection:
        (page,) = connection.execute("SELECT rootpage FROM sqlite_schema WHERE name = 'ix_version_row_id'").fetchone()
        (size,) = connection.execute("PRAGMA page_size").fetchone()
    content = bytearray(file.read_bytes())
    content[(page - 1) * size : page * size] = bytes(size)
    file.write_bytes(content)
    found = found_in(file)
    assert len(found) > len(before)
    assert found[-len(before) :] == before
