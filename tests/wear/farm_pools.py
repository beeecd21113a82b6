"""Invented farms whose lives come from a known law: what a neighbours' file could hold, and what is true behind it."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from wearlog.wear.lives import Lives
from wearlog.wear.neighbours import FarmsLaw, grouped_sums
from wearlog.wear.prior import TENTH

TRUE_MEDIAN, TRUE_SHAPE = 2200.0, 2.3
LIFE_SPREAD, SHAPE_SPREAD = 0.45, 0.2
AGE_UNIT = 1000.0


@dataclass(frozen=True)
class FarmPool:
    """Lives of some farms, and their numbers."""

    lives: list[Lives]
    sums: NDArray[np.float64]


def sums_of(lives: Lives, unit: float) -> NDArray[np.float64]:
    """Return the eighteen numbers of one farm's lives, whose ages are exact."""
    group = np.zeros(len(lives), dtype=np.int64)
    failed = lives.event.astype(np.float64)
    return grouped_sums(group, 1, lives.entry / unit, lives.exit / unit, failed, lives.weight)[0]


def farm_pool(rng: np.random.Generator, farms: int, *, spread: float = LIFE_SPREAD, lives: int = 17) -> FarmPool:
    """Return farms with about eight failures each: lives are watched until an age that is even up to twice the median."""
    found = []
    for _ in range(farms):
        median = TRUE_MEDIAN * math.exp(spread * rng.standard_normal())
        shape = TRUE_SHAPE * math.exp(SHAPE_SPREAD * rng.standard_normal())
        age = median * (rng.exponential(size=lives) / math.log(2)) ** (1 / shape)
        watched = rng.uniform(0, 2 * TRUE_MEDIAN, lives)
        found.append(Lives.of(np.minimum(age, watched), age <= watched))
    return FarmPool(found, np.vstack([sums_of(one, AGE_UNIT) for one in found]))


def held_by_next_farm(law: FarmsLaw, rng: np.random.Generator, *, spread: float = LIFE_SPREAD) -> float:
    """Return how often the 80 % range of the guess holds the median life of one more farm."""
    guess = law.prior
    truth = math.log(TRUE_MEDIAN) + spread * rng.standard_normal(100)
    return float((np.abs(truth - guess.log_life_mean) < TENTH * guess.log_life_sd).mean())


def own_farm(rng: np.random.Generator, factor: float, *, failures: int, positions: int = 20) -> tuple[float, Lives]:
    """Return the true median of a farm that many times the others', and its lives until so many of its parts failed."""
    median, shape = TRUE_MEDIAN * factor, TRUE_SHAPE * math.exp(SHAPE_SPREAD * rng.standard_normal())
    age = median * (rng.exponential(size=positions) / math.log(2)) ** (1 / shape)
    until = np.sort(age)[failures - 1]
    return median, Lives.of(np.minimum(age, until), age <= until)
