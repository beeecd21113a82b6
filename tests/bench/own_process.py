"""Pieces of the reckoning measured in a process of their own, on a log: `python -m tests.bench.own_process PIECE LOG`.

A command sets how many threads the linear algebra has and how often the collector looks before anything loads. So does this
process, whatever else has run in the one that asks.
"""

from __future__ import annotations

import gc
import math
import os
import sqlite3
import statistics
import subprocess
import sys
import time
from collections.abc import Callable
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path

WINTER = datetime(2026, 11, 20, 18, tzinfo=UTC)
#: what `read_farm` reads of the tables that grow with the work, by table
READ = {
    "run": "combine_id, header_id, field_id, crop_id, started_at, ended_at, area_square_metres, separator_seconds",
    "reading": "meter_id, at, shown_usage, new_leg",
    "fitting": "component_id, position, fitted_at, removed_at, age_when_fitted_usage, removal, part_id",
    "breakage": "id, component_id, at, cause, mode, action",
    "breakage_position": "breakage_id, position, broke_fitting_id",
    "component": "id, machine_id, part_kind_id, place, positions",
    "measurement": "component_id, position, at, measured_micrometres",
    "hitch": "header_id, combine_id, from_at, to_at",
    "stock_move": "part_id, at, change, quantity, breakage_id, repair_id, service_done_id, note",
    "part_fit": "part_id, part_kind_id",
}


def told(piece: str, file: Path) -> float:
    """Return what a piece of work takes on a log, as a process of its own tells it."""
    done = subprocess.run(
        (sys.executable, "-m", "tests.bench.own_process", piece, str(file)),
        env={**os.environ, "OPENBLAS_NUM_THREADS": "1"},
        check=True,
        stdout=subprocess.PIPE,
        text=True,
    )
    return float(done.stdout)


def plan(file: Path) -> float:
    """Processor seconds of a season plan, the farm read already: the median of five."""
    from wearlog.reckoning.farm import farm_from
    from wearlog.reckoning.plan.season_plan import season_plan
    from wearlog.store.location import Location
    from wearlog.store.opening import open_store

    store = open_store(Location(file=file))
    took = []
    for _ in range(6):
        with store.reading() as connection:
            farm = farm_from(connection, WINTER)
            begun = time.process_time()
            season_plan(connection, farm)
            took.append(time.process_time() - begun)
    store.close()
    return statistics.median(took[1:])


def toggle(file: Path) -> float:
    """A line of the plan chosen otherwise and all settled anew: of 20 such the 19th, in milliseconds of processor."""
    from wearlog.facts.closed_lists import Choice
    from wearlog.reckoning.farm import farm_from
    from wearlog.reckoning.plan.season_plan import season_plan
    from wearlog.reckoning.plan.toggle import settled
    from wearlog.store.location import Location
    from wearlog.store.opening import open_store

    store = open_store(Location(file=file))
    with store.reading() as connection:
        view = season_plan(connection, farm_from(connection, WINTER))
    store.close()
    times = []
    for line, replaced in zip(view.lines, view.found.replaced, strict=True):
        begun = time.process_time()
        settled(view, {line.component.id: Choice.RUN if replaced else Choice.REPLACE})
        times.append(time.process_time() - begun)
    return sorted(times)[math.ceil(0.95 * len(times)) - 1] * 1e3


def intervals(file: Path) -> float:
    """All wear intervals of a log, against fetching the columns that they are reckoned from with plain sqlite3, in turns."""
    pairs = [(_seconds(lambda: _fetched(file)), _seconds(lambda: _all_intervals(file))) for _ in range(6)][1:]
    return statistics.median(two for _, two in pairs) / statistics.median(one for one, _ in pairs)


def _seconds(work: Callable[[], object]) -> float:
    begun = time.process_time()
    work()
    return time.process_time() - begun


def _fetched(file: Path) -> int:
    with closing(sqlite3.connect(file)) as connection:
        return sum(len(connection.execute(f"SELECT {names} FROM {table}").fetchall()) for table, names in READ.items())


def _all_intervals(file: Path) -> int:
    from wearlog.reckoning.farm import read_farm
    from wearlog.reckoning.wear.kind_life import fleet_lives, kind_lives
    from wearlog.store.location import Location
    from wearlog.store.opening import open_store

    store = open_store(Location(file=file))
    lives = fleet_lives(read_farm(store, WINTER))
    store.close()
    return sum(one.median_life is not None and one.b10 is not None for one in kind_lives(lives, lives.kinds()))


if __name__ == "__main__":
    # as `run_command` has it
    gc.set_threshold(300_000, 50, 50)
    print({"plan": plan, "toggle": toggle, "intervals": intervals}[sys.argv[1]](Path(sys.argv[2])))
