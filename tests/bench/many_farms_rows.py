"""What is measured on logs of 10 and of 100 demo farms, each laid out in the folder of the run when it is first asked for."""

from __future__ import annotations

import math
import os
import statistics
import subprocess
import sys
import time
from collections.abc import Callable, Mapping
from pathlib import Path

from demo_fleet.generator import many_farms
from tests.bench.many_farms_log import make_many_farms
from tests.bench.own_process import WINTER, told
from wearlog.logbook.files.importing import bring_in
from wearlog.reckoning.farm import read_farm
from wearlog.reckoning.wear.kind_life import fleet_lives, kind_life, kind_lives
from wearlog.store.location import Location
from wearlog.store.opening import create_store, open_store

#: a process that tells on its last line what it took: processor seconds, and the most memory in MB. What `getrusage` says of memory
#: counts what the process that started it held; the kernel's page does not
TELLING = """
import atexit, sys, time
def most():
    with open("/proc/self/status") as page:
        return next(int(line.split()[1]) for line in page if line.startswith("VmHWM")) / 1024
atexit.register(lambda: print(time.process_time(), most(), file=sys.stderr))
from wearlog.cli.main import main
main()
"""


def hundred_farms(folder: Path) -> Path:
    """A log of a hundred farms; what only reads it needs no journal."""
    made = folder / "100_farms.db"
    return made if made.exists() else make_many_farms(folder, (100,), pieces=1)[100]


def planned_farms(folder: Path, count: int) -> Path:
    """A log of so many farms with their journal, which a plan asks what was entered first."""
    file = folder / f"{count}_planned_farms.db"
    if not file.exists():
        store = create_store(Location(file=file))
        for number, facts in enumerate(many_farms(count)):
            bring_in(store, tuple(facts), source=f"farm {number}", digest=str(number))
        store.close()
    return file


def plan_of_ten(folder: Path) -> float:
    """Processor seconds of the season plan of ten farms in one log."""
    return told("plan", planned_farms(folder, 10))


def growth_of_plan(folder: Path) -> float:
    """The power of the number of farms that a season plan takes: ten times the farms take 10 to this power the time."""
    return math.log10(told("plan", planned_farms(folder, 10)) / told("plan", planned_farms(folder, 1)))


def told_by(command: str, file: Path, env: Mapping[str, str]) -> tuple[float, float]:
    """Processor seconds and peak memory in MB of a command of its own process."""
    done = subprocess.run(
        (sys.executable, "-c", TELLING, command, "--db", str(file)),
        env={**os.environ, **env},
        check=True,
        stdout=subprocess.DEVNULL,
        stderr=subprocess.PIPE,
        text=True,
    )
    seconds, megabytes = done.stderr.split()[-2:]
    return float(seconds), float(megabytes)


def intervals_beside_fetching(folder: Path) -> float:
    """All wear intervals of a hundred farms, against fetching the columns that they are reckoned from with plain sqlite3."""
    return told("intervals", hundred_farms(folder))


def kinds_beside_one_fit(folder: Path) -> float:
    """The lives of all kinds of a farm fitted in one go, against the one kind among them that takes the middle time."""
    store = open_store(Location(file=planned_farms(folder, 1)))
    lives = fleet_lives(read_farm(store, WINTER))
    store.close()
    rounds = []
    for _ in range(6):
        took = [_seconds(lambda number=number: kind_life(lives, number)) for number in lives.kinds()]  # type: ignore[misc]
        rounds.append(_seconds(lambda: list(kind_lives(lives, lives.kinds()))) / statistics.median(took))
    return statistics.median(rounds[1:])


def _seconds(work: Callable[[], object]) -> float:
    begun = time.process_time()
    work()
    return time.process_time() - begun
