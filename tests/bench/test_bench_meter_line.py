"""How long the meter lines of 700 machines take, against sorting and summing as many numbers."""

from __future__ import annotations

import time
from collections.abc import Callable

import numpy as np
import pytest

from wearlog.harvest.header_line import STILL_HITCHED, UNNAMED, Hitches, header_lines, runs_of_headers
from wearlog.harvest.meter_line import MeterLines, Readings, Runs

pytestmark = pytest.mark.bench

HOUR = 3_600_000_000
TEN_YEARS = 10 * 365 * 24
MACHINES, RUNS, READINGS_EACH, QUESTIONS = 700, 150_000, 30, 200_000


def best_of(repeats: int, work: Callable[[], object]) -> float:
    seconds = []
    for _ in range(repeats):
        began = time.perf_counter()
        work()
        seconds.append(time.perf_counter() - began)
    return min(seconds)


def fleet(runs: int, rng: np.random.Generator) -> tuple[Readings, Runs]:
    """Runs of one to eleven hours, three in ten without their own hours, and thirty readings a machine, unsorted."""
    start = rng.integers(0, TEN_YEARS, runs) * HOUR
    usage = rng.uniform(3600, 36000, runs)
    usage[rng.random(runs) < 0.3] = np.nan
    end, area = start + rng.integers(1, 12, runs) * HOUR, rng.uniform(1e4, 4e5, runs)
    moments = np.tile(np.arange(READINGS_EACH), MACHINES)
    given = Readings(
        np.repeat(np.arange(MACHINES), READINGS_EACH),
        moments * (TEN_YEARS // READINGS_EACH) * HOUR,
        moments * 400 * 3600.0,
        np.zeros(moments.size, dtype=np.bool_),
    )
    return given, Runs(rng.integers(0, MACHINES, runs), start, end, usage, area)


def test_lines_of_700_machines_cost_few_times_a_sort_of_their_moments(capsys: pytest.CaptureFixture[str]) -> None:
    rng = np.random.default_rng(20)
    given, done = fleet(RUNS, rng)
    half = fleet(RUNS // 2, rng)
    machine, asked = rng.integers(0, MACHINES, QUESTIONS), rng.integers(0, TEN_YEARS, QUESTIONS) * HOUR
    numbers = rng.random(2 * RUNS + MACHINES * READINGS_EACH + QUESTIONS)

    floor = best_of(5, lambda: np.cumsum(np.sort(numbers)))
    build = best_of(5, lambda: MeterLines.build(MACHINES, given, done, default_per_area=0.1))
    build_half = best_of(5, lambda: MeterLines.build(MACHINES, *half, default_per_area=0.1))
    lines = MeterLines.build(MACHINES, given, done, default_per_area=0.1)
    ask = best_of(5, lambda: lines.at(machine, asked))
    with capsys.disabled():
        print(
            f"\nmeter lines: sort + cumsum of {numbers.size:,} numbers {floor * 1e3:.1f} ms; build {build * 1e3:.1f} ms "
            f"({build / floor:.1f} x), half the runs {build_half * 1e3:.1f} ms; {QUESTIONS:,} ages {ask * 1e3:.1f} ms "
            f"({ask / floor:.1f} x)"
        )
    assert build + ask < 60 * floor
    assert build < 3 * build_half


def test_lines_of_700_headers_cost_few_times_a_sort_of_their_moments(capsys: pytest.CaptureFixture[str]) -> None:
    """Half the runs name their header, half go by four hitches a year and combine."""
    rng = np.random.default_rng(21)
    given, done = fleet(RUNS, rng)
    combines = MeterLines.build(MACHINES, given, done, default_per_area=0.1)
    named = np.where(rng.random(RUNS) < 0.5, UNNAMED, done.line)
    changes = 40 * MACHINES
    start = rng.integers(0, TEN_YEARS, changes) * HOUR
    hung = Hitches(
        rng.integers(0, MACHINES, changes), rng.integers(0, MACHINES, changes), start, np.full(changes, STILL_HITCHED)
    )
    numbers = rng.random(2 * RUNS + MACHINES * READINGS_EACH + changes)

    floor = best_of(5, lambda: np.cumsum(np.sort(numbers)))
    build = best_of(5, lambda: header_lines(MACHINES, runs_of_headers(done, named, hung), done, combines))
    with capsys.disabled():
        print(f"\nheader lines: floor {floor * 1e3:.1f} ms; build {build * 1e3:.1f} ms ({build / floor:.1f} x)")
    assert build < 100 * floor
