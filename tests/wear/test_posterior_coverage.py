"""Honesty: on simulated fleets with known truth the intervals cover as often as they say, and counts are calibrated.

Everything here is invented and drawn from seeded generators.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np
import pytest
from scipy import stats

from wearlog.wear import (
    GammaRate,
    Lives,
    count_first_failures,
    fit_impact,
    fit_posterior,
    impact_prior,
    law,
    starting_guess,
)
from wearlog.wear.prior import WIDE_WEIGHT

FLEETS = 1000
POSITIONS = 12
SPREAD = 1.2815515655446004
GUESS = ((1500.0, 8000.0), (1.5, 4.0))
#: usage of each position, by failures wanted: chosen so that such fleets are not rare; it tells nothing of the truth
USAGE = {0: (200.0, 1500.0), 1: (400.0, 2500.0), 3: (800.0, 4000.0), 10: (1500.0, 6000.0)}


def _true_law(rng: np.random.Generator) -> tuple[float, float]:
    """Draw shape and scale from the starting guess, its wide part included."""
    (low, high), (flat, steep) = GUESS
    sd = 1.0 if rng.random() < WIDE_WEIGHT else math.log(high / low) / (2 * SPREAD)
    median = math.exp(math.log(low * high) / 2 + rng.standard_normal() * sd)
    shape = math.exp(math.log(flat * steep) / 2 + rng.standard_normal() * math.log(steep / flat) / (2 * SPREAD))
    return shape, median / math.log(2) ** (1 / shape)


def _fleet(rng: np.random.Generator, shape: float, scale: float, usage: float, most: int) -> Lives | None:
    """Run every position for `usage`, renewing at each failure; None unless exactly `most` have failed."""
    exits: list[float] = []
    failed: list[bool] = []
    for _ in range(POSITIONS):
        left = usage
        while (life := scale * rng.weibull(shape)) < left:
            exits.append(life)
            failed.append(True)
            left -= life
            if sum(failed) > most:
                return None
        exits.append(left)
        failed.append(False)
    return Lives.of(exits, failed) if sum(failed) == most else None


def _fleets(failures: int, seed: int) -> Iterator[tuple[float, float, Lives, np.random.Generator]]:
    """Yield 1,000 fleets with exactly that many failures, truth drawn anew for each."""
    rng = np.random.default_rng(seed)
    found = 0
    while found < FLEETS:
        shape, scale = _true_law(rng)
        lives = _fleet(rng, shape, scale, rng.uniform(*USAGE[failures]), failures)
        if lives is not None:
            found += 1
            yield shape, scale, lives, rng


@pytest.mark.parametrize("failures", [0, 1, 3, 10])
def test_intervals_cover_and_counts_are_calibrated(failures: int) -> None:
    """90 % intervals of shape, median life and B10 cover 87-93 % of 1,000 fleets; the failures among the fitted parts
    over the next 800 ac have uniform PIT (randomised; Kolmogorov-Smirnov p > 0.01).
    """
    prior = starting_guess(*GUESS)
    covered = {"shape": 0, "median": 0, "b10": 0}
    transforms = []
    for shape, scale, lives, rng in _fleets(failures, seed=20 + failures):
        posterior = fit_posterior(lives, prior)
        covered["shape"] += shape in posterior.shape().interval
        covered["median"] += float(law.life_at(0.5, shape, scale)) in posterior.median_life().interval
        covered["b10"] += float(law.life_at(0.1, shape, scale)) in posterior.life_at(0.1).interval
        ages = lives.exit[~lives.event]
        predicted = count_first_failures(posterior.few_nodes(), ages, 800.0)
        happened = int((rng.random(len(ages)) > law.survival_between(ages, ages + 800.0, shape, scale)).sum())
        below, upto = predicted.at_most(happened - 1), predicted.at_most(happened)
        transforms.append(below + rng.random() * (upto - below))
    shares = {name: count / FLEETS for name, count in covered.items()}
    print(f"{failures} failures: {shares}, PIT p {stats.kstest(transforms, 'uniform').pvalue:.3f}")
    assert all(0.87 <= share <= 0.93 for share in shares.values()), shares
    assert stats.kstest(transforms, "uniform").pvalue > 0.01


def test_impact_counts_are_calibrated() -> None:
    """Rates on three grounds drawn from the guess, breakages over 1,000 seasons: uniform PIT."""
    rng = np.random.default_rng(4)
    prior = impact_prior([0.3e-3, 1e-3, 4e-3])
    seen_on, planned = np.array([800.0, 500.0, 200.0]), np.array([1000.0, 600.0, 400.0])
    transforms = []
    for _ in range(FLEETS):
        rates = np.array([rng.gamma(law_of.shape, 1 / law_of.exposure) for law_of in prior])
        predicted = fit_impact(rng.poisson(rates * seen_on), seen_on, prior).predict(planned)
        happened = int(rng.poisson(rates @ planned))
        below, upto = predicted.at_most(happened - 1), predicted.at_most(happened)
        transforms.append(below + rng.random() * (upto - below))
    assert stats.kstest(transforms, "uniform").pvalue > 0.01


def test_rate_intervals_cover() -> None:
    """90 % intervals of a rate drawn from the guess cover 87-93 % of 1,000 farms."""
    rng = np.random.default_rng(5)
    prior = GammaRate(1.7, 1100.0)
    hits = 0
    for _ in range(FLEETS):
        rate = rng.gamma(prior.shape, 1 / prior.exposure)
        hits += rate in prior.after(rng.poisson(rate * 1500.0), 1500.0).estimate().interval
    assert 0.87 <= hits / FLEETS <= 0.93
