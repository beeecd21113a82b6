"""A breakage saved, and the very rows it wrote sent raw to a copy of the file with the same durability, in turns."""

from __future__ import annotations

import shutil
import sqlite3
import statistics
import time
from collections.abc import Callable, Iterable, Iterator
from contextlib import closing, contextmanager
from datetime import timedelta
from pathlib import Path
from typing import Any

from sqlalchemy import event

from wearlog.facts.closed_lists import Cause
from wearlog.facts.wearing import Breakage
from wearlog.logbook.checks.doubts import EVERY_DOUBT
from wearlog.logbook.parts.breaking import BreakageEntry, log_breakage
from wearlog.store import by_driver
from wearlog.store.connection import Connection
from wearlog.store.finding import find_latest
from wearlog.store.location import Location
from wearlog.store.opening import Store, open_store

ROUNDS = 30
WRITES = ("INSERT", "UPDATE", "DELETE")

Sent = list[tuple[str, Any, bool]]


@contextmanager
def noted(store: Store) -> Iterator[Sent]:
    """What a block writes, as it is sent to the file: what goes to the driver, and what goes through SQLAlchemy."""
    sent: Sent = []
    driven = by_driver.send

    def send(connection: Connection, statement: str, rows: Iterable[tuple[Any, ...]]) -> int:
        # they may come one by one, and only once
        told = list(rows)
        sent.append((statement, told, True))
        return driven(connection, statement, told)

    def note(_connection: object, _cursor: object, sql: str, values: Any, _context: object, many: bool) -> None:
        if sql.startswith(WRITES):
            sent.append((sql, values, many))

    event.listen(store.engine, "before_cursor_execute", note)
    by_driver.send = send
    yield sent
    by_driver.send = driven
    event.remove(store.engine, "before_cursor_execute", note)


def entering(store: Store) -> Callable[[int], object]:
    """Log the last breakage again, some hours later, with the time it stood."""
    with store.reading() as connection:
        last = find_latest(connection, Breakage, "at")
    assert last is not None

    def enter(number: int) -> object:
        entry = BreakageEntry(
            component_id=last.component_id,
            positions=last.positions[:1],
            at=last.at + timedelta(hours=number),
            cause=Cause.WEAR,
            downtime_seconds=1200,
            labour_seconds=1200,
            note=f"number {number}",
        )
        return log_breakage(store, entry, sure=EVERY_DOUBT)

    return enter


def as_durable(file: Path, store: Store) -> sqlite3.Connection:
    """Open a file with the settings that the store has."""
    raw = sqlite3.connect(file, isolation_level=None)
    with store.reading() as connection:
        for pragma in ("journal_mode", "synchronous", "foreign_keys"):
            raw.execute(f"PRAGMA {pragma}={connection.exec_driver_sql(f'PRAGMA {pragma}').scalar()}")
    return raw


def saved_and_raw(file: Path) -> tuple[float, float]:
    """Seconds of a save, and of its rows sent raw; each beside the other, so that a busy disk hits both."""
    other = file.with_name("raw.db")
    store = open_store(Location(file=file))
    enter = entering(store)
    # the first makes the copy of the day
    enter(1)
    shutil.copyfile(file, other)
    ours, floor = [], []
    with closing(as_durable(other, store)) as raw:
        for number in range(2, 2 + ROUNDS):
            with noted(store) as sent:
                begun = time.perf_counter()
                enter(number)
                ours.append(time.perf_counter() - begun)
            begun = time.perf_counter()
            raw.execute("BEGIN IMMEDIATE")
            for sql, values, many in sent:
                (raw.executemany if many else raw.execute)(sql, values)
            raw.execute("COMMIT")
            floor.append(time.perf_counter() - begun)
        rows = [one.execute("SELECT count(*) FROM version").fetchone() for one in (raw, sqlite3.connect(file))]
    store.close()
    assert rows[0] == rows[1], "the raw side wrote something else"
    # a quarter of them were quicker: what other work on the machine adds says nothing of either side
    return statistics.quantiles(ours)[0], statistics.quantiles(floor)[0]
