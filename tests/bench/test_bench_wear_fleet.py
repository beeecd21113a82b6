"""All wear intervals of the demo fleet, and of 100 such farms with a million usage rows in one file; how both grow."""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from statistics import median

import pytest

from tests.bench.many_farms_log import make_many_farms
from wearlog.reckoning.farm import Farm, read_farm
from wearlog.reckoning.wear.kind_life import fleet_lives, kind_lives
from wearlog.reckoning.wear.wear_outlook import wear_outlook
from wearlog.store.location import Location
from wearlog.store.opening import open_store

pytestmark = pytest.mark.bench

NOW = datetime(2026, 11, 20, 18, tzinfo=UTC)
SIZES = (10, 30, 100)
REPEATS = 5
#: a row among the last may cost so many times one among the first
NEARLY_LINEAR = 1.4


@dataclass(frozen=True)
class Measured:
    """Seconds: of the processor and on the wall the median of several reckonings, and the first on the wall."""

    processor: float
    wall: float
    first: float

    @property
    def idle(self) -> float:
        """What it takes at most on an idle machine: no more than the processor works, and no more than it took on a busy one."""
        return min(self.processor, self.wall)


@dataclass(frozen=True)
class Fleet:
    """What was measured on one file, and what it holds."""

    farms: int
    usage_rows: int
    breakages: int
    intervals: Measured
    outlook: Measured

    def __str__(self) -> str:
        one = self.intervals
        return (
            f"{self.farms} farms, {self.usage_rows:,} runs and readings, {self.breakages:,} breakages: all intervals "
            f"{one.processor:.2f} s of processor ({one.processor / self.usage_rows * 1e6:.2f} us a row), {one.wall:.2f} s on the "
            f"wall, {one.first:.2f} s the first time; outlook of all components {self.outlook.processor:.2f} s more"
        )


def measured(work: Callable[[], object], repeats: int = REPEATS) -> Measured:
    processor, wall = [], []
    for _ in range(repeats):
        begun, begun_wall = time.process_time(), time.perf_counter()
        work()
        processor.append(time.process_time() - begun)
        wall.append(time.perf_counter() - begun_wall)
    return Measured(median(processor), median(wall), wall[0])


def all_intervals(file: Path) -> int:
    """Open the file, read the farm and reckon median life, B10 and shape of every kind with their intervals."""
    store = open_store(Location(file=file))
    lives = fleet_lives(read_farm(store, NOW))
    store.close()
    reckoned = 0
    for life in kind_lives(lives, lives.kinds()):
        if life.posterior is not None:
            assert life.median_life is not None
            assert life.b10 is not None
            life.posterior.shape()
            reckoned += 1
    return reckoned


def fleet_of(file: Path, farms: int) -> Fleet:
    """Measure a file, every reckoning from opening it on."""
    intervals = measured(lambda: all_intervals(file))
    assert all_intervals(file) >= 25
    store = open_store(Location(file=file))
    farm: Farm = read_farm(store, NOW)
    with store.reading() as connection:
        outlook = measured(lambda: wear_outlook(connection, farm), repeats=3)
    store.close()
    rows = farm.histories
    return Fleet(farms, rows.runs.start.size + rows.readings.at.size, rows.breakages.at.size, intervals, outlook)


def growth(fleets: dict[int, Fleet], seconds: Callable[[Fleet], float]) -> float:
    """How many times the last step in size takes longer than the first would lead to expect; what no row costs drops out."""
    small, middle, large = (fleets[farms] for farms in SIZES)
    per_row = (seconds(middle) - seconds(small)) / (middle.usage_rows - small.usage_rows)
    return (seconds(large) - seconds(middle)) / (large.usage_rows - middle.usage_rows) / per_row


def test_all_wear_intervals_of_the_demo_fleet(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = make_many_farms(tmp_path, (1,), pieces=1)[1]
    all_intervals(file)
    found = measured(lambda: all_intervals(file), repeats=9)
    with capsys.disabled():
        print(
            f"\nthe demo fleet: all intervals {found.processor:.2f} s of processor, {found.wall:.2f} s on the wall (allowed 0.3)"
        )
    assert found.idle < 0.3


def test_all_wear_intervals_of_a_million_usage_rows(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """What else the machine does at the moment does not decide."""
    files = make_many_farms(tmp_path, SIZES)
    fleets = {farms: fleet_of(file, farms) for farms, file in files.items()}
    intervals_grow = growth(fleets, lambda fleet: fleet.intervals.processor)
    outlook_grows = growth(fleets, lambda fleet: fleet.outlook.processor)
    with capsys.disabled():
        for fleet in fleets.values():
            print(f"\n{fleet}", end="")
        print(
            f"\na row from 30 to 100 farms against one from 10 to 30: intervals {intervals_grow:.2f}, outlook {outlook_grows:.2f}"
        )
    assert fleets[100].usage_rows >= 1_000_000
    assert fleets[100].breakages >= 35_000
    assert fleets[100].intervals.idle < 3
    assert intervals_grow < NEARLY_LINEAR
    assert outlook_grows < NEARLY_LINEAR
