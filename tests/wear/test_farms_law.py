"""Lives of many farms by their sums: against the lives themselves, against a dense grid, and with a known truth."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from scipy.special import stdtrit

from tests.wear.farm_pools import AGE_UNIT, TRUE_MEDIAN, farm_pool, held_by_next_farm, own_farm, sums_of
from wearlog.errors import DataError
from wearlog.wear.conflict import life_conflict
from wearlog.wear.lives import Lives
from wearlog.wear.neighbours import NUMBERS, SHAPES, FarmsLaw, farms_law, grouped_sums
from wearlog.wear.posterior import fit_posterior
from wearlog.wear.prior import TENTH


def test_the_numbers_of_lives_are_those_of_their_likelihood() -> None:
    lives = Lives.of([620, 1500, 810], [True, False, True], entry=[0, 900, 0], weight=[1, 2, 3])
    numbers = sums_of(lives, 1000.0)
    assert numbers[0] == 4
    assert numbers[1] == pytest.approx(math.log(0.62) + 3 * math.log(0.81), rel=1e-12)
    for place, shape in enumerate(SHAPES):
        by_hand = 0.62**shape + 2 * (1.5**shape - 0.9**shape) + 3 * 0.81**shape
        assert numbers[2 + place] == pytest.approx(by_hand, rel=1e-12)


def test_numbers_add_up_over_lives_machines_and_files() -> None:
    rng = np.random.default_rng(4)
    leaving = rng.uniform(0.2, 3, 300)
    entry = np.where(rng.random(300) < 0.5, 0.0, leaving * 0.4)
    failed, count = (rng.random(300) < 0.4) * 1.0, rng.integers(1, 9, 300) * 1.0
    whole = grouped_sums(np.zeros(300, dtype=np.int64), 1, entry, leaving, failed, count)
    parts = grouped_sums(rng.integers(0, 7, 300), 7, entry, leaving, failed, count)
    assert parts.shape == (7, NUMBERS)
    assert parts.sum(axis=0) == pytest.approx(whole[0], rel=1e-12)


def test_an_entry_of_nothing_adds_nothing() -> None:
    new = grouped_sums(np.zeros(1, dtype=np.int64), 1, np.zeros(1), np.ones(1), np.ones(1), np.ones(1))
    assert new[0].tolist() == [1.0, 0.0, *[1.0] * SHAPES.size]


def test_the_law_is_that_of_a_dense_grid_over_the_lives_themselves() -> None:
    pool = farm_pool(np.random.default_rng(8), 6, lives=12)
    law = farms_law(pool.sums, AGE_UNIT)
    assert law is not None
    mu, tau, nu, om = _densely(pool.lives)
    # the 16 shapes lie 15 % apart: as much as that may blur the spread of the shape
    assert law.log_life_mean == pytest.approx(mu, abs=0.005)
    assert law.log_life_sd == pytest.approx(tau, abs=0.005)
    assert law.log_shape_mean == pytest.approx(nu, abs=0.01)
    assert law.log_shape_sd == pytest.approx(om, abs=0.01)


def _densely(farms: list[Lives]) -> tuple[float, float, float, float]:
    """Return the law by the same EM on 161 x 401 values for each farm, its likelihood life by life."""
    log_shape = np.linspace(math.log(0.7), math.log(6.0), 161)
    log_life = np.linspace(math.log(200), math.log(20000), 401)
    shape, life = np.meshgrid(np.exp(log_shape), np.exp(log_life), indexing="ij")
    densities = []
    for lives in farms:
        total = np.zeros_like(shape)
        for entry, leaving, failed in zip(lives.entry, lives.exit, lives.event, strict=True):
            hazard = math.log(2) * shape / leaving * (leaving / life) ** shape
            total += failed * np.log(hazard) - math.log(2) * ((leaving / life) ** shape - (entry / life) ** shape)
        densities.append(np.exp(total - total.max()))
    mu, tau, nu, om = math.log(2000), 0.45, math.log(2.3), 0.2
    for _ in range(300):
        guess = np.exp(-0.5 * ((log_shape[:, None] - nu) / om) ** 2 - 0.5 * ((log_life[None, :] - mu) / tau) ** 2)
        weights = [density * guess / (density * guess).sum() for density in densities]
        mu = float(np.mean([weight.sum(axis=0) @ log_life for weight in weights]))
        nu = float(np.mean([weight.sum(axis=1) @ log_shape for weight in weights]))
        squares = [weight.sum(axis=0) @ (log_life - mu) ** 2 for weight in weights]
        tau = math.sqrt((sum(squares) + 2 * 0.45**2) / (len(farms) + 2))
        squares = [weight.sum(axis=1) @ (log_shape - nu) ** 2 for weight in weights]
        om = math.sqrt((sum(squares) + 2 * 0.2**2) / (len(farms) + 2))
    return mu, tau, nu, om


def test_the_guess_of_the_next_farm_is_wider_the_fewer_farms_told() -> None:
    few, many = (FarmsLaw(7.0, 0.4, 0.8, 0.2, farms).prior for farms in (3, 40))
    assert few.log_life_sd == pytest.approx(0.4 * math.sqrt(4 / 3) * stdtrit(2, 0.9) / TENTH)
    assert many.log_life_sd == pytest.approx(0.4 * math.sqrt(41 / 40) * stdtrit(39, 0.9) / TENTH)
    assert few.log_shape_sd == pytest.approx(0.2 * math.sqrt(4 / 3))
    assert few.wide_weight > 0


def test_fewer_than_three_farms_with_a_failure_say_nothing() -> None:
    pool = farm_pool(np.random.default_rng(5), 2, lives=20)
    whole = sums_of(Lives.of([500, 900], [False, False]), AGE_UNIT)
    assert farms_law(np.vstack([pool.sums, whole]), AGE_UNIT) is None


def test_a_farm_on_which_nothing_failed_draws_the_life_up() -> None:
    pool = farm_pool(np.random.default_rng(6), 5, lives=20)
    long = sums_of(Lives.of([9000] * 5, [False] * 5), AGE_UNIT)
    without, with_it = farms_law(pool.sums, AGE_UNIT), farms_law(np.vstack([pool.sums, long]), AGE_UNIT)
    assert without is not None
    assert with_it is not None
    assert with_it.farms == 6
    assert with_it.log_life_mean > without.log_life_mean + 0.1


def test_ages_in_another_unit_give_the_same_law() -> None:
    pool = farm_pool(np.random.default_rng(7), 8, lives=20)
    other = np.vstack([sums_of(lives, 3.7 * AGE_UNIT) for lives in pool.lives])
    first, second = farms_law(pool.sums, AGE_UNIT), farms_law(other, 3.7 * AGE_UNIT)
    assert first is not None
    assert second is not None
    assert second.log_life_mean == pytest.approx(first.log_life_mean, abs=2e-4)
    assert second.log_life_sd == pytest.approx(first.log_life_sd, abs=2e-4)


@pytest.mark.parametrize("spoilt", [np.ones((3, 4)), np.full((3, NUMBERS), np.nan), -np.ones((3, NUMBERS))])
def test_numbers_that_no_lives_can_have_are_refused(spoilt: np.ndarray) -> None:
    with pytest.raises(DataError, match="no sums of lives"):
        farms_law(spoilt)


@pytest.mark.parametrize(("farms", "least", "most"), [(3, 0.82, 0.97), (8, 0.72, 0.88)])
def test_the_range_holds_the_next_farm_as_often_as_it_says(farms: int, least: float, most: float) -> None:
    rng = np.random.default_rng(farms)
    laws = [farms_law(farm_pool(rng, farms).sums, AGE_UNIT) for _ in range(60)]
    found = [law for law in laws if law is not None]
    # published beside the model: the 80 % range held .90 from 3 farms, .82 from 5, .80 from 10
    assert least <= np.mean([held_by_next_farm(law, rng) for law in found]) <= most
    bias = np.array([law.log_life_mean - math.log(TRUE_MEDIAN) for law in found])
    assert abs(bias.mean()) < 3.5 * bias.std() / math.sqrt(bias.size)


def test_a_farm_that_differs_overrules_its_neighbours() -> None:
    rng = np.random.default_rng(11)
    guess = FarmsLaw(math.log(TRUE_MEDIAN), 0.45, math.log(2.3), 0.2, 40).prior
    held, alone, told = [], [], []
    for _ in range(60):
        median, lives = own_farm(rng, 4.0, failures=10)
        wide, narrow = (fit_posterior(lives, one).median_life() for one in (guess, replace(guess, wide_weight=0.0)))
        held.append(wide.low <= median <= wide.high)
        alone.append(narrow.low <= median <= narrow.high)
        conflict = life_conflict(lives, guess)
        told.append(conflict is not None and conflict.p < 0.05)
    # four times the neighbours' life: .87 held after 10 failures, .69 without the wide part
    assert np.mean(held) > 0.75
    assert np.mean(held) >= np.mean(alone)
    assert np.mean(told) > 0.9
