"""The lives of many farms: how long 1,000 farms of 2,000 lives take, and how true what comes of them is, in many pools."""

from __future__ import annotations

import math
import time
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from tests.wear.farm_pools import AGE_UNIT, TRUE_MEDIAN, farm_pool, held_by_next_farm, own_farm
from wearlog.exchange.neighbour_desk import HEADINGS, read_neighbour_files
from wearlog.wear.conflict import life_conflict
from wearlog.wear.neighbours import FarmsLaw, farms_law, grouped_sums
from wearlog.wear.posterior import fit_posterior

pytestmark = pytest.mark.bench

FARMS, LIVES = 1000, 2000


def test_two_million_lives_are_summed_and_fitted() -> None:
    rng = np.random.default_rng(1)
    farm = np.repeat(np.arange(FARMS), LIVES)
    leaving, failed = rng.uniform(0.05, 4, farm.size), (rng.random(farm.size) < 0.3) * 1.0
    entry = np.where(rng.random(farm.size) < 0.2, 0.3 * leaving, 0.0)
    start = time.perf_counter()
    sums = grouped_sums(farm, FARMS, entry, leaving, failed, np.ones(farm.size))
    summed = time.perf_counter()
    assert farms_law(sums) is not None
    print(f"sums {summed - start:.2f} s, grid and EM {time.perf_counter() - summed:.2f} s")
    assert time.perf_counter() - start < 10


@pytest.mark.parametrize(
    ("farms", "spread", "share"),
    [
        (3, 0.45, 0.90),
        (5, 0.45, 0.82),
        (10, 0.45, 0.80),
        (40, 0.45, 0.79),
        (3, 0.2, 1.00),
        (5, 0.2, 0.98),
        (10, 0.2, 0.94),
        (40, 0.2, 0.85),
    ],
)
def test_the_next_farm_lies_in_the_range(farms: int, spread: float, share: float) -> None:
    rng = np.random.default_rng(farms)
    found = [law for _ in range(300) if (law := farms_law(farm_pool(rng, farms, spread=spread).sums, AGE_UNIT))]
    held = np.array([held_by_next_farm(law, rng, spread=spread) for law in found])
    bias = np.array([law.log_life_mean - math.log(TRUE_MEDIAN) for law in found])
    print(
        f"{farms} farms, {spread}: held {held.mean():.3f} +- {held.std() / math.sqrt(held.size):.3f} (page {share}), bias "
        f"{bias.mean():.3f} +- {bias.std() / math.sqrt(bias.size):.3f}, tau {np.mean([one.log_life_sd for one in found]):.3f}, "
        f"om {np.mean([one.log_shape_sd for one in found]):.3f}"
    )
    assert abs(held.mean() - share) < 0.04


@pytest.mark.parametrize("factor", [2.0, 3.0, 4.0])
@pytest.mark.parametrize("failures", [5, 10])
def test_the_own_farm_overrules(factor: float, failures: int) -> None:
    rng = np.random.default_rng(int(factor) * 100 + failures)
    guess = FarmsLaw(math.log(TRUE_MEDIAN), 0.45, math.log(2.3), 0.2, 40).prior
    held, alone, told = [], [], []
    for _ in range(400):
        median, lives = own_farm(rng, factor, failures=failures)
        wide, narrow = (fit_posterior(lives, one).median_life() for one in (guess, replace(guess, wide_weight=0.0)))
        held.append(wide.low <= median <= wide.high)
        alone.append(narrow.low <= median <= narrow.high)
        conflict = life_conflict(lives, guess)
        told.append(conflict is not None and conflict.p < 0.05)
    print(
        f"{factor:g} x the neighbours', {failures} failures: held {np.mean(held):.3f}, without the wide part {np.mean(alone):.3f}, "
        f"told {np.mean(told):.3f}"
    )
    assert np.mean(held) > 0.74


def test_a_file_of_two_million_lives_is_read(tmp_path: Path) -> None:
    """1,000 farms of 2,000 lives, each in a row of its own: from the file to the law of its kind."""
    rng = np.random.default_rng(2)
    file = tmp_path / "lives.csv"
    with file.open("w", encoding="utf-8", newline="\n") as stream:
        stream.write(",".join(HEADINGS[:10]) + "\n")
        for farm in range(FARMS):
            leaving, failed = rng.uniform(50, 4000, LIVES), rng.random(LIVES) < 0.3
            entry = np.where(rng.random(LIVES) < 0.2, 0.3 * leaving, 0.0)
            stream.writelines(
                f"1,{farm:032x},1,guard,stony,hectares,{a:.2g},{b:.4g},{c:d},1\n"
                for a, b, c in zip(entry, leaving, failed, strict=True)
            )
    start = time.perf_counter()
    found = read_neighbour_files([file])
    read = time.perf_counter()
    law = farms_law(np.array([one.by_ground["stony"][1] for one in found.sums]))
    assert law is not None
    assert found.rows == FARMS * LIVES
    print(
        f"{file.stat().st_size / 1e6:.0f} MB read and summed {read - start:.2f} s, law {time.perf_counter() - read:.2f} s"
    )
    assert time.perf_counter() - start < 10
