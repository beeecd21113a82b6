"""Whole columns out of either database: in pieces or at once, with or without empty references, and what no column may hold."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from datetime import UTC, datetime, timedelta
from pathlib import Path
from uuid import UUID

import pytest
from sqlalchemy import text

from wearlog.errors import DataError
from wearlog.facts.closed_lists import MachineKind
from wearlog.facts.machines import Machine
from wearlog.facts.work import Run
from wearlog.store import plain_reader
from wearlog.store.ledger import Entry, record
from wearlog.store.location import Location
from wearlog.store.opening import Store, create_store
from wearlog.store.plain_reader import NONE, OPEN, PlainReader

START = datetime(2024, 7, 20, 12, tzinfo=UTC)
COMBINE, OTHER = (Machine(name=name, kind=MachineKind.COMBINE) for name in ("Kestrel", "Merlin"))
HEADER = Machine(name="Draper", kind=MachineKind.HEADER)
COLUMNS = ("run", ("combine_id", "header_id"), ("{us:started_at}", "COALESCE(separator_seconds, -1)"))


@pytest.fixture
def log(store: Store) -> Store:
    """Seven runs: two of each combine in turn, every third with a header, one voided."""
    runs = [
        Run(
            combine_id=(COMBINE, COMBINE, OTHER, OTHER)[number % 4].id,
            header_id=HEADER.id if number % 3 == 0 else None,
            started_at=START + timedelta(hours=number),
            ended_at=START + timedelta(hours=number + 1),
            area_square_metres=number,
            separator_seconds=None if number == 2 else 60 * number,
            voided=number == 5,
        )
        for number in range(7)
    ]
    with store.writing() as connection:
        entries = [Entry(fact) for fact in (COMBINE, OTHER, HEADER, *runs)]
        record(connection, device="shop", said="entered", entries=entries)
    return store


def read(store: Store) -> list[tuple[int, int, int, int]]:
    """Combine, header, hours since the start and seconds of each run, in the order of time."""
    places = {machine.id.bytes: place for place, machine in enumerate((COMBINE, OTHER, HEADER))}
    with store.reading() as connection:
        (combine, header), (start, seconds) = PlainReader(connection).columns(*COLUMNS)
    began = int(START.timestamp()) * 1_000_000
    hours = ((start - began) // 3_600_000_000).tolist()
    return sorted(
        zip(combine.pointing(places).tolist(), header.pointing(places).tolist(), hours, seconds.tolist(), strict=True),
        key=lambda row: row[2],
    )


EXPECTED = [(0, 2, 0, 0), (0, NONE, 1, 60), (1, NONE, 2, -1), (1, 2, 3, 180), (0, NONE, 4, 240), (1, 2, 6, 360)]


@pytest.mark.parametrize("rows_at_once", [1, 2, 100])
def test_columns_are_the_same_in_few_pieces_or_many(
    log: Store, rows_at_once: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(plain_reader, "_ROWS_AT_ONCE", rows_at_once)
    assert read(log) == EXPECTED


def test_columns_are_the_same_where_the_database_cannot_join_bytes(log: Store, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(PlainReader, "_joins_bytes", lambda _: False)
    assert read(log) == EXPECTED


def test_an_empty_table_has_empty_columns(store: Store) -> None:
    with store.reading() as connection:
        (combine, _), (start, _) = PlainReader(connection).columns(*COLUMNS)
    assert (combine.ids, combine.repeats.sum(), start.size) == ([], 0, 0)


def test_ids_and_instants_are_spelled_alike_on_both_databases(log: Store) -> None:
    with log.reading() as connection:
        rows = PlainReader(connection).rows(
            "SELECT {id:r.combine_id}, {us:r.started_at}, {us:r.ended_at} FROM run r WHERE {stands} ORDER BY r.started_at",
            "r",
        )
    began = int(START.timestamp()) * 1_000_000
    assert rows[0] == (COMBINE.id.bytes, began, began + 3_600_000_000)
    assert rows[-1][2] < OPEN


def test_a_row_number_far_away_costs_no_more_pieces(file_store: Store, monkeypatch: pytest.MonkeyPatch) -> None:
    with file_store.writing() as connection:
        record(connection, device="shop", said="entered", entries=[Entry(COMBINE), Entry(OTHER)])
        connection.execute(text("UPDATE machine SET rowid = 4000000000000000000 WHERE name = 'Merlin'"))
    monkeypatch.setattr(plain_reader, "_MOST_PIECES", 8)
    with file_store.reading() as connection:
        (machine,), _ = PlainReader(connection).columns("machine", ("id",), ("voided",))
    assert {UUID(bytes=one) for one in machine.ids} == {COMBINE.id, OTHER.id}


def test_an_id_that_is_none_is_refused(file_store: Store) -> None:
    with file_store.writing() as connection:
        record(connection, device="shop", said="entered", entries=[Entry(COMBINE)])
        connection.execute(text("UPDATE machine SET id = x'01'"))
    with file_store.reading() as connection, pytest.raises(DataError, match="The table machine holds an id"):
        PlainReader(connection).columns("machine", ("id",), ("voided",))


@pytest.mark.parametrize("together", [1, 3])
def test_two_connections_read_what_one_reads(log: Store, monkeypatch: pytest.MonkeyPatch, together: int) -> None:
    monkeypatch.setattr(plain_reader, "_ROWS_AT_ONCE", together)
    monkeypatch.setattr(plain_reader, "_WORTH_A_SECOND", 1)
    assert read(log) == EXPECTED


def test_a_second_connection_is_let_in_only_beside_a_reader_and_only_without_a_waiting_writer(tmp_path: Path) -> None:
    file = tmp_path / "farm.db"
    create_store(Location(file=file)).close()
    first, writer = (sqlite3.connect(file, isolation_level=None, timeout=0) for _ in range(2))
    with closing(first), closing(writer):
        first.execute("PRAGMA journal_mode=TRUNCATE").close()
        # nobody holds the rows still
        assert plain_reader._beside(first) is None
        first.execute("BEGIN").close()
        first.execute("SELECT COUNT(*) FROM run").fetchone()
        second = plain_reader._beside(first)
        assert second is not None
        with closing(second):
            writer.execute("BEGIN IMMEDIATE").close()
            writer.execute("DELETE FROM part_kind").close()
            with pytest.raises(sqlite3.OperationalError, match="locked"):
                writer.execute("COMMIT")
        # now the writer waits for the readers to end
        assert plain_reader._beside(first) is None


def test_a_log_that_is_written_ahead_is_read_by_one_connection(tmp_path: Path) -> None:
    with closing(sqlite3.connect(tmp_path / "ahead.db", isolation_level=None)) as first:
        first.execute("PRAGMA journal_mode=WAL").close()
        first.execute("CREATE TABLE run (id)").close()
        first.execute("BEGIN").close()
        first.execute("SELECT COUNT(*) FROM run").fetchone()
        assert plain_reader._beside(first) is None
