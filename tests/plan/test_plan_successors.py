"""Failures of a season with successors: the mean of the plan's own counts, known laws, and simulated farms."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from wearlog.errors import DataError
from wearlog.plan.demand import KindWear, PositionGroup, renewal_counts, season_demand
from wearlog.plan.life_nodes import LifeNodes, condense, survival
from wearlog.plan.season_kernel import successors
from wearlog.wear.lives import Lives
from wearlog.wear.posterior import Posterior, fit_posterior
from wearlog.wear.prior import starting_guess

NODES = LifeNodes.of([1.5, 2.0, 4.0], [300.0, 900.0, 500.0], [0.2, 0.5, 0.3])


def first_failures(nodes: LifeNodes, ages: np.ndarray, usage: float) -> np.ndarray:
    return np.asarray(1.0 - nodes.mean(survival(nodes, ages + usage) / survival(nodes, ages)))


@given(
    st.lists(st.floats(0.0, 1500.0, allow_subnormal=False), min_size=1, max_size=6),
    st.floats(1.0, 3000.0, allow_subnormal=False),
)
def test_first_failures_and_successors_are_the_mean_of_the_plans_demand(ages: list[float], usage: float) -> None:
    at = np.array(ages)
    demand = season_demand([KindWear(NODES, (PositionGroup(at, usage),))])
    told = (first_failures(NODES, at, usage) + successors(NODES, usage).of_ages(at)).sum()
    assert told == pytest.approx(demand.mean, rel=1e-6, abs=1e-9)


@pytest.mark.parametrize("usage", [30.0, 400.0, 1_500.0])
def test_a_life_by_chance_fails_once_for_each_mean_life_at_any_age(usage: float) -> None:
    """Exponential of mean 400: the failures of a place are a Poisson process, so their mean is usage / 400."""
    nodes = LifeNodes.known(1.0, 400.0)
    told = first_failures(nodes, np.array([0.0, 10.0, 5_000.0]), usage) + successors(nodes, usage).of_ages([0, 10, 5e3])
    np.testing.assert_allclose(told, usage / 400.0, rtol=1e-3)


def test_a_part_that_fails_at_once_leaves_the_whole_season_to_its_successor() -> None:
    law = successors(NODES, 700.0)
    counts = renewal_counts(NODES, np.zeros(1), 700.0)
    new = float(NODES.weight @ (counts @ np.arange(counts.shape[-1]))[:, 0])
    assert law.of_failed == pytest.approx(new, rel=1e-6)
    # at any time of the season: by chance the successors of a chance life have half of it before them
    assert successors(LifeNodes.known(1.0, 400.0), 700.0).of_any_time == pytest.approx(700 / 400 / 2, rel=1e-3)


def test_many_different_ages_are_read_off_one_curve() -> None:
    ages = np.random.default_rng(3).gamma(2.0, 200.0, size=2_000)
    law = successors(NODES, 500.0)
    np.testing.assert_allclose(law.of_ages(ages)[:200], law.of_ages(ages[:200]), atol=2e-4)


def test_no_usage_breaks_nothing_and_what_cannot_be_is_refused() -> None:
    law = successors(NODES, 0.0)
    assert (law.of_ages([0.0, 900.0]).tolist(), law.of_failed, law.of_any_time) == ([0.0, 0.0], 0.0, 0.0)
    with pytest.raises(DataError, match="age"):
        law.of_ages([float("nan")])
    with pytest.raises(DataError, match="negative"):
        successors(NODES, -1.0)


#: so wide that the guess is one normal law of ln(median life); shear bolts and the like
GUESS_LIFE, GUESS_SHAPE = (40.0, 600.0), (1.0, 3.0)
PLACES, EARLIER, AHEAD, FARMS = 12, 300.0, 250.0, 400


def simulated_season(rng: np.random.Generator) -> tuple[float, float, int]:
    """Draw a farm from the guess; return what its records tell of the season (each part once, with successors), and what came."""
    guess = starting_guess(GUESS_LIFE, GUESS_SHAPE)
    median = math.exp(rng.normal(guess.log_life_mean, guess.log_life_sd))
    shape = math.exp(rng.normal(guess.log_shape_mean, guess.log_shape_sd))
    scale = median / math.log(2) ** (1 / shape)
    exits, events, ages, came = [], [], [], 0
    for _ in range(PLACES):
        at = 0.0
        while (end := at + scale * rng.exponential() ** (1 / shape)) <= EARLIER:
            exits.append(end - at)
            events.append(True)
            at = end
        exits.append(EARLIER - at)
        events.append(False)
        ages.append(EARLIER - at)
        while end <= EARLIER + AHEAD:
            came += 1
            end += scale * rng.exponential() ** (1 / shape)
    lives = Lives(np.zeros(len(exits)), np.array(exits), np.array(events), np.ones(len(exits)))
    return *told_of(fit_posterior(lives, guess), np.array(ages)), came


def told_of(posterior: Posterior, ages: np.ndarray) -> tuple[float, float]:
    laws = posterior.nodes
    nodes = condense(LifeNodes.of(laws.shape, laws.scale, laws.weight))
    once = float(np.sum(1 - posterior.survival_between(ages, ages + AHEAD).mean))
    return once, once + float(successors(nodes, AHEAD).of_ages(ages).sum())


def test_what_is_told_of_a_season_with_successors_is_what_comes() -> None:
    """400 farms of 12 places with truths from the guess: told with successors within Monte Carlo error of what came."""
    rng = np.random.default_rng(20)
    once, told, came = np.array([simulated_season(rng) for _ in range(FARMS)]).T
    error = float(np.std(came - told)) / math.sqrt(FARMS)
    print(f"each part once {once.sum():,.0f}, with successors {told.sum():,.0f}, came {came.sum():,.0f}")
    assert abs(np.mean(came - told)) < 3 * error
    assert error < 0.05 * np.mean(came)
    # each part once falls far short of it: that is another figure
    assert np.mean(came - once) > 10 * error
