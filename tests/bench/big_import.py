"""A sheet of 100,000 meter readings brought in: as CSV beside its rows and versions sent raw, as a workbook beside reading it."""

from __future__ import annotations

import csv
import shutil
import sqlite3
import time
from collections.abc import Callable
from contextlib import closing
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path

import openpyxl
from python_calamine import CalamineWorkbook

from wearlog.exchange.importer import ImportReport, import_source
from wearlog.facts.closed_lists import MachineKind, MeterKind
from wearlog.facts.machines import Machine, Meter
from wearlog.logbook.farm.first_day import start_log
from wearlog.store.ledger import Entry, record
from wearlog.store.location import Location
from wearlog.store.opening import open_store

ROWS = 100_000
TURNS = 3
MACHINES = 10
TABLES = ("deed", "version", "version_parent", "import_batch", "reading")
HEADINGS = ("machine", "meter", "at", "shown_h", "note")

Sent = dict[str, list[tuple[object, ...]]]


@dataclass(frozen=True)
class BroughtIn:
    """Processor seconds: importing the CSV, its rows raw, importing the workbook, reading it with the same library."""

    csv: float
    raw: float
    workbook: float
    reading: float

    @property
    def csv_times(self) -> float:
        """How many times the raw insert."""
        return self.csv / self.raw

    @property
    def workbook_times(self) -> float:
        """How many times reading the workbook."""
        return self.workbook / self.reading


def make_log(file: Path) -> None:
    """A log with machines and their engine hours, and no reading."""
    start_log(Location(file=file)).close()
    store = open_store(Location(file=file))
    machines = [Machine(name=f"combine {number}", kind=MachineKind.COMBINE) for number in range(MACHINES)]
    meters = [Meter(machine_id=one.id, kind=MeterKind.ENGINE_HOURS) for one in machines]
    with store.writing() as connection:
        record(connection, device="shop", said="began", entries=[Entry(fact) for fact in (*machines, *meters)])
    store.close()


def write_sheets(folder: Path) -> tuple[Path, Path]:
    """Write the readings, half-hourly by day over some years, by machine and meter, every tenth with a remark."""
    begun = datetime(2017, 6, 1, 6)
    rows = [
        (
            f"combine {number % MACHINES}",
            "engine_hours",
            (begun + timedelta(days=number // 32, minutes=number % 32 * 30)).isoformat(sep=" ", timespec="minutes"),
            f"{number / 20:.1f}",
            "" if number % 10 else f"by the evening of day {number // 32}",
        )
        for number in range(ROWS)
    ]
    text, book = folder / "reading.csv", folder / "readings.xlsx"
    with text.open("w", newline="") as file:
        csv.writer(file).writerows([HEADINGS, *rows])
    workbook = openpyxl.Workbook(write_only=True)
    sheet = workbook.create_sheet("reading")
    sheet.append(HEADINGS)
    for machine, meter, at, shown, note in rows:
        sheet.append((machine, meter, datetime.fromisoformat(at), float(shown), note))
    workbook.save(book)
    return text, book


def _took(work: Callable[[], object]) -> float:
    began = time.process_time()
    work()
    return time.process_time() - began


def _brought(base: Path, file: Path, source: Path) -> float:
    shutil.copyfile(base, file)
    store = open_store(Location(file=file))
    # the first writing of a day makes its backup
    with store.writing():
        pass
    reports: list[ImportReport] = []
    took = _took(lambda: reports.append(import_source(store, source, now=datetime(2026, 7, 1, tzinfo=UTC))))
    store.close()
    assert not reports[0].reading.problems
    return took


def _new_rows(base: Path, other: Path) -> Sent:
    with closing(sqlite3.connect(other)) as connection:
        connection.execute("ATTACH ? AS base", (str(base),))
        return {
            table: connection.execute(f"SELECT * FROM main.{table} EXCEPT SELECT * FROM base.{table}").fetchall()
            for table in TABLES
        }


def _sent_raw(base: Path, file: Path, rows: Sent) -> float:
    shutil.copyfile(base, file)

    def send() -> None:
        with closing(sqlite3.connect(file, isolation_level=None)) as connection:
            # as durable as a log is
            for pragma in ("journal_mode=TRUNCATE", "synchronous=EXTRA", "foreign_keys=ON"):
                connection.execute(f"PRAGMA {pragma}")
            connection.execute("BEGIN IMMEDIATE")
            for table, content in rows.items():
                if content:
                    marks = ", ".join("?" * len(content[0]))
                    connection.executemany(f"INSERT INTO {table} VALUES ({marks})", content)
            connection.execute("COMMIT")

    return _took(send)


def brought_in_beside_raw(folder: Path) -> list[BroughtIn]:
    """Lay the sheets out in a folder, and measure in turns, so that a busy machine hits all sides."""
    base = folder / "base.db"
    make_log(base)
    text, book = write_sheets(folder)
    found = []
    for turn in range(TURNS):
        ours = _brought(base, folder / f"csv{turn}.db", text)
        rows = _new_rows(base, folder / f"csv{turn}.db")
        assert len(rows["reading"]) == ROWS, "not all was brought in"
        raw = _sent_raw(base, folder / f"raw{turn}.db", rows)
        assert _new_rows(base, folder / f"raw{turn}.db") == rows, "the raw side wrote something else"
        workbook = _brought(base, folder / f"book{turn}.db", book)
        # what is read is the same, but for the file's name, so the rows have the same keys
        assert {row[0] for row in _new_rows(base, folder / f"book{turn}.db")["reading"]} == {
            row[0] for row in rows["reading"]
        }
        reading = _took(lambda: CalamineWorkbook.from_path(str(book)).get_sheet_by_name("reading").to_python())
        found.append(BroughtIn(ours, raw, workbook, reading))
    return found
