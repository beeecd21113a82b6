"""Whether records contradict a guess: the level of the test, its power, its edges; and rates of two parts."""

from __future__ import annotations

import math

import numpy as np
import pytest

from tests.references.rate_mixture import RateMixture, two_part_rate
from wearlog.errors import DataError
from wearlog.wear import (
    GammaRate,
    Lives,
    life_conflict,
    rate_conflict,
    rate_from_guess,
    scale_free_prior,
    starting_guess,
)

GUESS = starting_guess((1500.0, 8000.0), (1.5, 4.0))
TYPED = starting_guess((950.0, 1050.0), (1.5, 4.0))


def _p(lives: Lives) -> float:
    found = life_conflict(lives, GUESS)
    assert found is not None
    return found.p


def _true_law(rng: np.random.Generator) -> tuple[float, float]:
    """Draw shape and scale from the guess alone."""
    shape = math.exp(GUESS.log_shape_mean + GUESS.log_shape_sd * rng.standard_normal())
    median = math.exp(GUESS.log_life_mean + GUESS.log_life_sd * rng.standard_normal())
    return shape, median / math.log(2) ** (1 / shape)


def test_a_right_guess_is_told_off_as_seldom_as_the_level_says() -> None:
    """Truth from the guess, 2,000 fleets each: five failures, and twelve parts watched to 4,000."""
    rng = np.random.default_rng(31)
    five, watched = [], []
    for _ in range(2000):
        shape, scale = _true_law(rng)
        five.append(_p(Lives.of(scale * rng.weibull(shape, 5))))
        ages = scale * rng.weibull(shape, 12)
        watched.append(_p(Lives.of(np.minimum(ages, 4000.0), ages <= 4000.0)))
    assert 0.035 <= float(np.mean(np.array(five) < 0.05)) <= 0.07
    # how many fail by then is chance too, and the test leans to caution
    assert 0.015 <= float(np.mean(np.array(watched) < 0.05)) <= 0.06


def test_a_guess_of_half_the_life_is_found_out() -> None:
    """Typed +-5 %, truth twice as long: told below 0.05 by five failures in most fleets, by ten in nearly all."""
    rng = np.random.default_rng(32)
    told = {5: 0, 10: 0}
    for failures in told:
        for _ in range(400):
            shape = math.exp(TYPED.log_shape_mean + TYPED.log_shape_sd * rng.standard_normal())
            lives = Lives.of(2000 / math.log(2) ** (1 / shape) * rng.weibull(shape, failures))
            found = life_conflict(lives, TYPED)
            assert found is not None
            told[failures] += found.is_told and found.above
    assert told[5] > 0.6 * 400
    assert told[10] > 0.88 * 400


def test_without_a_failure_only_a_guess_that_is_too_short_can_show() -> None:
    long_whole, hardly_used = (life_conflict(Lives.of([age] * 20, 0), GUESS) for age in (9000.0, 1.0))
    assert long_whole is not None
    assert hardly_used is not None
    assert (long_whole.is_told, long_whole.above) == (True, True)
    assert hardly_used.p == pytest.approx(1.0, abs=1e-3)
    nothing = life_conflict(Lives.of([]), GUESS)
    assert nothing is not None
    assert (nothing.p, nothing.leans) == (1.0, False)


def test_short_lives_lie_on_the_other_side() -> None:
    found = life_conflict(Lives.of([90.0, 120, 150, 100, 130]), GUESS)
    assert found is not None
    assert (found.is_told, found.above) == (True, False)


def test_a_failure_between_inspections_counts_in_the_middle_and_rows_by_their_weight() -> None:
    between = Lives.of([3000.0, 5000.0], [1, 0], last_seen=[1000.0, 5000.0])
    assert _p(between) == _p(Lives.of([2000.0, 5000.0], [1, 0]))
    thrice = Lives.of([2000.0, 5000.0], [1, 0], weight=[3.0, 1.0])
    assert _p(thrice) == pytest.approx(_p(Lives.of([2000.0, 2000, 2000, 5000], [1, 1, 1, 0])), rel=1e-12)


def test_late_entry_takes_back_what_lay_before() -> None:
    """A part that came under watch at 9,000 says nothing of its first 9,000."""
    late = Lives.of([9001.0] * 20, 0, entry=9000.0)
    assert _p(late) > 0.5
    assert _p(Lives.of([9001.0] * 20, 0)) < 0.05


def test_no_guess_of_the_life_has_no_conflict() -> None:
    assert life_conflict(Lives.of([900.0]), scale_free_prior(2.0, 0.4)) is None
    assert life_conflict(Lives.of([900.0]), starting_guess(None, (1.5, 4.0))) is None


def test_counts_on_several_grounds_are_held_against_their_sum() -> None:
    """Two grounds of one rate are one ground of twice the area, but for their rates being guessed apart."""
    rate = rate_from_guess(0.004)
    few, many = (rate_conflict([rate, rate], [500.0, 500.0], broken) for broken in (4, 60))
    assert (few.is_told, many.is_told, many.above) == (False, True, True)
    assert rate_conflict([rate], [0.0], 0).p == 1.0


def test_a_rate_with_no_weight_on_the_second_part_is_the_plain_one() -> None:
    guess = GammaRate(16.0, 4.0)
    alone = two_part_rate(guess, 0.0).after(30, 1.0)
    assert alone.estimate() == guess.after(30, 1.0).estimate()
    assert alone.mean == guess.after(30, 1.0).mean
    np.testing.assert_array_equal(alone.predict(2.0).chance, guess.after(30, 1.0).predict(2.0).chance)
    assert two_part_rate(rate_from_guess(4.0)).weight == (1.0,)
    with pytest.raises(DataError, match=r"weight of -0\.1 cannot be"):
        two_part_rate(guess, -0.1)


def test_a_rate_of_two_parts_holds_the_truth_drawn_from_it() -> None:
    """1,000 farms whose rate comes from the two parts: 90 % intervals hold 87-93 %, and so do those of the next count."""
    rng, prior = np.random.default_rng(33), two_part_rate(GammaRate(16.0, 4.0))
    held = counted = 0
    for _ in range(1000):
        law = prior.laws[int(rng.random() < prior.weight[1])]
        rate = rng.gamma(law.shape, 1 / law.exposure)
        after = prior.after(rng.poisson(rate * 2.0), 2.0)
        held += rate in after.estimate().interval
        counts, happened = after.predict(3.0), int(rng.poisson(rate * 3.0))
        counted += counts.quantile(0.05) <= happened <= counts.quantile(0.95)
    assert 0.87 <= held / 1000 <= 0.93
    assert 0.89 <= counted / 1000 <= 0.96


def test_quantiles_of_a_mixture_are_those_of_its_sum() -> None:
    mixed = RateMixture((GammaRate(2.0, 1.0), GammaRate(2.0, 1.0)), (0.5, 0.5)).estimate()
    plain = GammaRate(2.0, 1.0).estimate()
    assert (mixed.low, mixed.median, mixed.high) == pytest.approx((plain.low, plain.median, plain.high), rel=1e-9)
