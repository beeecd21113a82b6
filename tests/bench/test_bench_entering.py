"""What entering a breakage reads in a log of 100 farms and a million usage rows: the ends of indexes, no pile that is sorted."""

from __future__ import annotations

import re
import sqlite3
import time
from contextlib import closing
from dataclasses import replace
from datetime import timedelta
from pathlib import Path
from statistics import median

import pytest

from tests.bench.many_farms_log import make_many_farms
from tests.sent_sql import sent_sql
from wearlog.facts.closed_lists import Cause
from wearlog.facts.wearing import Breakage
from wearlog.logbook.checks.doubts import EVERY_DOUBT
from wearlog.logbook.parts.breaking import BreakageEntry, log_breakage
from wearlog.logbook.work.entry_start import breakage_start, entry_start, last_machine
from wearlog.store.finding import find_latest
from wearlog.store.location import Location
from wearlog.store.opening import Store, open_store

pytestmark = pytest.mark.bench

#: tables that grow with the use of the machines
GROWING = ("run", "reading", "stoppage", "breakage", "breakage_position", "fitting", "stock_move", "version", "deed")
REPEATS = 9
#: the latest machine among 100 farms may take so many times what it takes in one
ALLOWED = 3.0


@pytest.fixture(scope="module")
def logs(tmp_path_factory: pytest.TempPathFactory) -> dict[int, Path]:
    """The logs of 1 farm and of 100."""
    return make_many_farms(tmp_path_factory.mktemp("farms"), (1, 100))


def plans(file: Path, sent: list[str]) -> dict[str, str]:
    """Return how the database goes about each query."""
    found = {}
    with closing(sqlite3.connect(file)) as connection:
        for sql in sent:
            if sql.lstrip().upper().startswith(("SELECT", "WITH")):
                found[sql] = "; ".join(row[-1] for row in connection.execute(f"EXPLAIN QUERY PLAN {sql}"))
    return found


def enter(store: Store, number: int) -> None:
    """Log the same breakage as the last one, some hours later."""
    with store.reading() as connection:
        last = find_latest(connection, Breakage, "at")
    assert last is not None
    at = last.at + timedelta(hours=1)
    entry = BreakageEntry(component_id=last.component_id, positions=last.positions[:1], at=at, cause=Cause.WEAR)
    log_breakage(store, replace(entry, note=f"number {number}"), sure=EVERY_DOUBT)


def test_entering_a_breakage_sorts_nothing_and_scans_nothing_that_grows(
    logs: dict[int, Path], capsys: pytest.CaptureFixture[str]
) -> None:
    file = logs[100]
    store = open_store(Location(file=file))

    def first_look() -> None:
        breakage_start(store)
        entry_start(store)
        with store.reading() as connection:
            last_machine(connection)

    with sent_sql(store) as sent:
        first_look()
        enter(store, 0)
    found = plans(file, sent)
    # what belongs to one machine, part or component may be put in order; what belongs to all may not
    piles = {
        sql: plan
        for sql, plan in found.items()
        if "TEMP B-TREE FOR ORDER BY" in plan and any(re.search(rf"SCAN {table}\b", plan) for table in GROWING)
    }
    scans = {
        sql: plan
        for sql, plan in found.items()
        if any(re.search(rf"SCAN {table}\b(?! USING)", plan) for table in GROWING)
    }
    with capsys.disabled():
        print(f"\n{len(found)} queries of a breakage on {file.stat().st_size / 1e6:.0f} MB; sorted: {len(piles)}")
        for plan in found.values():
            if any(table in plan for table in GROWING):
                print(f"  {plan[:110]}")
    store.close()
    assert piles == {}
    assert scans == {}


def test_the_latest_machine_is_found_as_fast_among_a_million_rows(
    logs: dict[int, Path], capsys: pytest.CaptureFixture[str]
) -> None:
    """What an entry starts from, against the same in a log of one farm."""
    took = {}
    for count, file in logs.items():
        store = open_store(Location(file=file))
        times = []
        for _ in range(REPEATS):
            with store.reading() as connection:
                begun = time.perf_counter()
                last_machine(connection)
                times.append(time.perf_counter() - begun)
        took[count] = median(times)
        store.close()
    ratio = took[100] / took[1]
    with capsys.disabled():
        print(
            f"\nthe latest machine among 100 farms {took[100] * 1e3:.2f} ms, in one {took[1] * 1e3:.2f} ms: {ratio:.1f} x"
        )
    assert ratio <= ALLOWED
