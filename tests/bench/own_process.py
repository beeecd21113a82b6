"""Pieces of the reckoning measured in a process of their own, on a log: `python -m tests.bench.own_process PIECE LOG`.

A command sets how many threads the linear algebra has and how often the collector looks before anything loads. So does this
process, whatever else has run in the one that asks.
"""

from __future__ import annotations

import gc
import math
import os
import statistics
import subprocess
import sys
import time
from datetime import UTC, datetime
from pathlib import Path

WINTER = datetime(2026, 11, 20, 18, tzinfo=UTC)


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


if __name__ == "__main__":
    # as `run_command` has it
    gc.set_threshold(300_000, 50, 50)
    print({"plan": plan, "toggle": toggle}[sys.argv[1]](Path(sys.argv[2])))
