"""All wear intervals of the demo fleet and of 100 such farms in one file, from opening the file on; and that it grows linearly."""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

import pytest

from wearlog.logbook.importing import bring_in
from wearlog.reckoning.farm import Farm, read_farm
from wearlog.reckoning.kind_life import fleet_lives, kind_life
from wearlog.reckoning.wear_outlook import wear_outlook
from wearlog.store.location import Location
from wearlog.store.opening import create_store, open_store

pytestmark = pytest.mark.bench

NOW = datetime(2026, 11, 20, 18, tzinfo=UTC)
SIZES = (1, 10, 100)
#: seconds allowed for one farm and for a hundred, on an idle machine
ALLOWED = {1: 0.3, 100: 3.0}


@dataclass(frozen=True)
class Measured:
    """Seconds; the processor's and those on the wall, each the least of several runs."""

    farms: int
    intervals: float
    intervals_wall: float
    outlook: float
    rows: str


def least(work: Callable[[], object], repeats: int) -> tuple[float, float]:
    """Return processor and wall seconds of one call: what it takes when nothing else is in the way."""
    processor, wall = [], []
    for _ in range(repeats):
        begun, begun_wall = time.process_time(), time.perf_counter()
        work()
        processor.append(time.process_time() - begun)
        wall.append(time.perf_counter() - begun_wall)
    return min(processor), min(wall)


def all_intervals(file: Path) -> int:
    """Open the file, read the farm and reckon median life, B10 and shape of every kind with their intervals."""
    store = open_store(Location(file=file))
    lives = fleet_lives(read_farm(store, NOW))
    store.close()
    reckoned = 0
    for number in lives.kinds():
        life = kind_life(lives, number)
        if life.posterior is not None:
            assert life.median_life is not None
            assert life.b10 is not None
            life.posterior.shape()
            reckoned += 1
    return reckoned


def measured(file: Path, farms: int) -> Measured:
    assert all_intervals(file) >= 25
    repeats = 10 if farms == 1 else 3
    processor, wall = least(lambda: all_intervals(file), repeats)
    store = open_store(Location(file=file))
    farm = read_farm(store, NOW)
    with store.reading() as connection:
        outlook, _ = least(lambda: wear_outlook(connection, farm), repeats)
    store.close()
    return Measured(farms, processor, wall, outlook, rows_of(farm))


def rows_of(farm: Farm) -> str:
    histories = farm.histories
    broken = sum(len(positions) for positions in histories.breakages.positions)
    return (
        f"{histories.runs.start.size + histories.readings.at.size:,} runs and readings, "
        f"{histories.fittings.component.size:,} fittings, {broken:,} broken positions in "
        f"{histories.breakages.at.size:,} breakages"
    )


def test_all_wear_intervals_of_a_farm_and_of_a_hundred(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    from demo_fleet.generator import many_farms

    file = tmp_path / "many.db"
    create_store(Location(file=file)).close()
    found: dict[int, Measured] = {}
    for count, facts in enumerate(many_farms(SIZES[-1]), start=1):
        store = open_store(Location(file=file))
        bring_in(store, facts, source="bench", digest=str(count))
        store.close()
        if count in SIZES:
            found[count] = measured(file, count)
    growth = (found[100].intervals - found[1].intervals) / (found[10].intervals - found[1].intervals)
    outlook_growth = (found[100].outlook - found[1].outlook) / (found[10].outlook - found[1].outlook)
    with capsys.disabled():
        for one in found.values():
            print(
                f"\n{one.farms} farms: {one.rows}: all intervals {one.intervals:.2f} s of processor, "
                f"{one.intervals_wall:.2f} s on the wall (allowed {ALLOWED.get(one.farms, '-')}); outlook of all "
                f"components {one.outlook:.2f} s more"
            )
        print(
            f"from 10 to 100 farms the intervals take {growth:.1f} times as long, the outlook {outlook_growth:.1f} (linear: 11)"
        )
    for farms, allowed in ALLOWED.items():
        # the processor's time, so that what else the machine does at the moment does not decide
        assert found[farms].intervals < allowed
    assert growth < 1.4 * 11
    assert outlook_growth < 1.4 * 11
