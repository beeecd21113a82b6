"""Lives by part number: against one law of the kind, a long Markov chain, a published formula, and farms with a known truth."""

from __future__ import annotations

import numpy as np
import pytest

from wearlog.wear.lives import Lives
from wearlog.wear.part_lives import GROUND_SPREAD, PART_SPREAD, cost_rates, failures_needed, part_lives
from wearlog.wear.posterior import fit_posterior
from wearlog.wear.prior import starting_guess
from wearlog.wear.replacement import age_replacement

GUESS = starting_guess((1000.0, 4000.0), (1.5, 4.0))


def _seen(rng: np.random.Generator, median: np.ndarray, shape: float) -> Lives:  # type: ignore[type-arg]
    """Lives of these medians, watched to an age of their own."""
    life = median / np.log(2) ** (1 / shape) * rng.weibull(shape, median.size)
    watched = rng.uniform(800, 4000, median.size)
    return Lives.of(np.minimum(life, watched), life < watched)


def _fleet(seed: int) -> tuple[Lives, np.ndarray, np.ndarray]:  # type: ignore[type-arg]
    """A lasts 2,400, B 1,500, C 2,200; on stones six tenths of it, and B ran mostly there."""
    rng = np.random.default_rng(seed)
    part = np.repeat([0, 1, 2], [10, 13, 8])
    ground = (rng.random(31) < np.where(part == 1, 0.8, 0.3)).astype(np.int64)
    median = np.array([2400.0, 1500.0, 2200.0])[part] * np.where(ground == 1, 0.6, 1.0)
    return _seen(rng, median, 2.4), part.astype(np.int64), ground


def test_one_part_on_one_ground_is_the_kind() -> None:
    lives, _, _ = _fleet(5)
    none = np.zeros(31, dtype=np.int64)
    found, kind = part_lives(lives, none, none, GUESS), fit_posterior(lives, GUESS).median_life()
    for chance, end in ((0.05, kind.low), (0.5, kind.median), (0.95, kind.high)):
        assert found.quantile(found.median[0], chance) == pytest.approx(end, rel=0.02)
    assert found.effective > 2000


def test_three_parts_are_as_a_long_markov_chain_says() -> None:
    lives, part, ground = _fleet(5)
    found = part_lives(lives, part, ground, GUESS)
    chain = _chain(lives, part, ground, np.random.default_rng(2))
    for place in range(3):
        logs = np.log(found.median[place])
        mean = float(found.weight @ logs)
        spread = float(np.sqrt(found.weight @ (logs - mean) ** 2))
        assert mean == pytest.approx(float(chain[:, 1 + place].mean()), abs=0.02)
        assert spread == pytest.approx(float(chain[:, 1 + place].std()), abs=0.02)
    cheaper = found.weight @ (104 / found.median[1] < 118 / found.median[0])
    assert cheaper == pytest.approx(float((np.log(104 / 118) < chain[:, 2] - chain[:, 1]).mean()), abs=0.03)
    left_out = part_lives(lives, part, np.zeros(31, dtype=np.int64), GUESS)
    b_over_a = [float(one.weight @ np.log(one.median[1] / one.median[0])) for one in (found, left_out)]
    assert b_over_a[1] < b_over_a[0], "without the ground B looks worse than it is"


def _chain(lives: Lives, part: np.ndarray, ground: np.ndarray, rng: np.random.Generator) -> np.ndarray:  # type: ignore[type-arg]
    """(ln b, th of three, ga, ln tau) by random walk: its density is written again here, with tau in it."""

    def density(z: np.ndarray) -> float:  # type: ignore[type-arg]
        shape, tau = np.exp(z[0]), np.exp(z[5])
        middle = z[1:4][part] + np.where(ground == 1, z[4], 0.0)
        reach = shape * (np.log(lives.exit) - middle)
        like = np.where(lives.event, np.log(np.log(2)) + z[0] + reach, 0.0) - np.log(2) * np.exp(reach)
        covariance = tau**2 * np.eye(3) + GUESS.log_life_sd**2
        off = z[1:4] - GUESS.log_life_mean
        before = -0.5 * off @ np.linalg.solve(covariance, off) - 0.5 * np.linalg.slogdet(covariance)[1]
        before -= 0.5 * (z[4] / GROUND_SPREAD) ** 2 + 0.5 * (tau / PART_SPREAD) ** 2 - z[5]
        before -= 0.5 * ((z[0] - GUESS.log_shape_mean) / GUESS.log_shape_sd) ** 2
        return float(like @ lives.weight + before)

    z = np.array([0.8, 7.7, 7.5, 7.7, -0.5, np.log(0.2)])
    step = np.array([0.10, 0.12, 0.12, 0.12, 0.12, 0.6])
    now, kept = density(z), []
    for turn in range(40_000):
        tried = z + step * rng.standard_normal(6)
        there = density(tried)
        if np.log(rng.random()) < there - now:
            z, now = tried, there
        if turn >= 4_000:
            kept.append(z)
    return np.array(kept)


@pytest.mark.parametrize(("ratio", "each"), [(1.25, 40), (1.5, 13), (2.0, 5)])
def test_how_many_failures_it_takes_to_tell_two_parts_apart(ratio: float, each: int) -> None:
    assert int(np.ceil(failures_needed(2.5, ratio))) == each == int(np.ceil(failures_needed(2.5, 1 / ratio)))


def test_two_parts_that_cost_alike_are_never_told_apart() -> None:
    assert failures_needed(2.5, 1.0) == np.inf


@pytest.mark.parametrize(("ratio", "sure", "with_fewer"), [(1.25, 0.80, 0.51), (1.5, 0.82, 0.54), (2.0, 0.85, 0.53)])
def test_that_many_failures_tell_them_apart_in_four_of_five(ratio: float, sure: float, with_fewer: float) -> None:
    """With as many as 95 % alone would ask for (the power left out) only every second comparison is sure."""
    rng, shape, pairs = np.random.default_rng(4), 2.5, 20_000
    fewer = 2 * (1.645 / (shape * np.log(ratio))) ** 2
    for each, share in ((failures_needed(shape, ratio), sure), (fewer, with_fewer)):
        count = int(np.ceil(each))
        # ln(scale) of lives of a known shape: r failures give a gamma of r
        logs = np.log(rng.gamma(count, size=(pairs, 2)) / count) / shape
        told = logs[:, 1] - logs[:, 0] + np.log(ratio) > 1.645 * np.sqrt(2 / count) / shape
        assert float(told.mean()) == pytest.approx(share, abs=0.005 + 3 * np.sqrt(0.25 / pairs))


def test_left_out_ground_makes_the_part_look_worse_that_ran_on_stones() -> None:
    """40 fleets: A is believed cheaper than B with .74 on the mean, with .89 where the ground is left out."""
    chances = []
    for seed in range(40):
        lives, part, ground = _fleet(seed)
        both = (part_lives(lives, part, one, GUESS) for one in (ground, np.zeros(31, dtype=np.int64)))
        chances.append([float(one.weight @ (118 / one.median[0] < 104 / one.median[1])) for one in both])
    allowed, left_out = np.array(chances).T
    assert (left_out > allowed).mean() > 0.85
    assert 0.05 < float((left_out - allowed).mean()) < 0.25


def test_the_cost_of_a_draw_is_that_of_the_age_that_costs_least() -> None:
    shape, median = np.array([0.8, 1.7, 2.5, 4.0]), np.array([900.0, 1500.0, 2000.0, 2500.0])
    found = cost_rates(shape, median, 40.0, 110.0)
    for place in range(4):
        scale = median[place] / np.log(2) ** (1 / shape[place])
        exact = age_replacement(float(shape[place]), float(scale), planned_cost=40, failure_cost=110).cost_rate
        assert found[place] == pytest.approx(exact, rel=0.003)


def test_what_is_said_of_two_parts_comes_true_where_the_truth_is_drawn_from_the_belief() -> None:
    rng, said, came, held = np.random.default_rng(8), [], [], 0
    farms = 300
    for seed in range(farms):
        shape = float(np.exp(rng.normal(GUESS.log_shape_mean, GUESS.log_shape_sd)))
        tau, mu = abs(rng.normal(0, PART_SPREAD)), rng.normal(GUESS.log_life_mean, GUESS.log_life_sd)
        th, ga = rng.normal(mu, tau, 2), rng.normal(0, GROUND_SPREAD)
        part, ground = np.repeat([0, 1], 8).astype(np.int64), rng.integers(0, 2, 16)
        lives = _seen(rng, np.exp(th[part] + np.where(ground == 1, ga, 0.0)), shape)
        found = part_lives(lives, part, ground, GUESS, seed=seed)
        ratio = np.log(found.median[0] / found.median[1])
        said.append(float(found.weight @ (ratio > 0)))
        came.append(th[0] > th[1])
        held += found.quantile(ratio, 0.05) <= th[0] - th[1] <= found.quantile(ratio, 0.95)
    # three standard errors each
    assert held / farms == pytest.approx(0.9, abs=0.052)
    chances, true = np.array(said), np.array(came)
    for low in (0.0, 0.2, 0.4, 0.6, 0.8):
        group = (chances >= low) & (chances < low + 0.2 + 1e-9)
        assert group.sum() > 30
        error = np.sqrt(float((chances[group] * (1 - chances[group])).mean()) / group.sum())
        assert float(true[group].mean()) == pytest.approx(float(chances[group].mean()), abs=3 * error)
