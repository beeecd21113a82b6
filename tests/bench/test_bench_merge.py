"""Merging 200,000 versions of another laptop against a raw insert of the same rows into the same tables, on a file."""

from __future__ import annotations

import shutil
import sqlite3
import statistics
import time
from collections.abc import Callable
from contextlib import closing
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from wearlog.exchange.bundle_file import Bundle, read_bundle
from wearlog.exchange.bundles import merge, pack
from wearlog.facts.closed_lists import MachineKind
from wearlog.facts.machines import Machine
from wearlog.facts.work import Run
from wearlog.logbook.farm.first_day import start_log
from wearlog.store.ledger import Entry, record
from wearlog.store.location import Location
from wearlog.store.opening import open_store

pytestmark = pytest.mark.bench

#: what reading the bundle, every digest looked at, and merging it may take together, against a raw insert of the same rows
ALLOWED = 3.0
DEEDS, ROWS_OF_EACH, TURNS = 2_000, 100, 3
TABLES = ("deed", "version", "version_parent", "run", "machine")


def make_logs(folder: Path, deeds: int, rows_of_each: int) -> tuple[Path, Path]:
    """Return a log, and a copy of it in which another laptop entered so many runs."""
    base, other = folder / "base.db", folder / "other.db"
    start_log(Location(file=base)).close()
    shutil.copyfile(base, other)
    store = open_store(Location(file=other))
    combine = Machine(name="Kestrel", kind=MachineKind.COMBINE)
    at = datetime(2026, 7, 1, tzinfo=UTC)
    with store.writing() as connection:
        record(connection, device="cab 2", said="added the combine Kestrel", entries=[Entry(combine)])
        for number in range(deeds):
            runs = [
                Run(combine_id=combine.id, started_at=at, ended_at=at + timedelta(hours=1), area_square_metres=one + 1)
                for one in range(rows_of_each)
            ]
            record(connection, device="cab 2", said=f"a day's runs, {number}", entries=[Entry(run) for run in runs])
    store.close()
    return base, other


def new_rows(base: Path, other: Path) -> dict[str, list[tuple[object, ...]]]:
    with closing(sqlite3.connect(other)) as connection:
        connection.execute("ATTACH ? AS base", (str(base),))
        return {
            table: connection.execute(f"SELECT * FROM main.{table} EXCEPT SELECT * FROM base.{table}").fetchall()
            for table in TABLES
        }


def insert_raw(file: Path, rows: dict[str, list[tuple[object, ...]]]) -> None:
    with closing(sqlite3.connect(file)) as connection:
        connection.execute("PRAGMA synchronous = FULL")
        for table, content in rows.items():
            if content:
                marks = ", ".join("?" * len(content[0]))
                connection.executemany(f"INSERT INTO {table} VALUES ({marks})", content)
        connection.commit()


def seconds(doing: Callable[[], object]) -> float:
    """Return the processor seconds of something, with what the system does for it."""
    began = time.process_time()
    doing()
    return time.process_time() - began


def measured(folder: Path, deeds: int, rows_of_each: int) -> list[tuple[float, float, float]]:
    """Return the processor seconds of a raw insert, of reading the bundle, and of merging what was read, in turns."""
    base, other = make_logs(folder, deeds, rows_of_each)
    rows = new_rows(base, other)
    assert len(rows["version"]) == deeds * rows_of_each + 1
    store = open_store(Location(file=other))
    pack(store, folder / "stick.bundle")
    store.close()
    return [one_turn(folder, base, rows) for _ in range(TURNS)]


def one_turn(folder: Path, base: Path, rows: dict[str, list[tuple[object, ...]]]) -> tuple[float, float, float]:
    raw, merged = folder / "raw.db", folder / "merged.db"
    shutil.copyfile(base, raw)
    shutil.copyfile(base, merged)
    floor = seconds(lambda: insert_raw(raw, rows))
    read: list[Bundle] = []
    reading = seconds(lambda: read.append(read_bundle(folder / "stick.bundle")))
    store = open_store(Location(file=merged))
    merging = seconds(lambda: merge(store, read.pop()))
    store.close()
    assert new_rows(base, merged) == rows, "the merge wrote something else"
    return floor, reading, merging


def test_merging_takes_at_most_three_times_a_raw_insert(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    turns = measured(tmp_path, DEEDS, ROWS_OF_EACH)
    with capsys.disabled():
        for floor, reading, merging in turns:
            print(
                f"\nraw insert {floor:.2f} s, reading {reading:.2f} s, merging {merging:.2f} s: "
                f"{(reading + merging) / floor:.2f} times"
            )
    assert statistics.median((reading + merging) / floor for floor, reading, merging in turns) <= ALLOWED
