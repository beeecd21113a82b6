"""Laws of counts and rates of impact: sums, mixtures, guesses, and what is refused."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from wearlog.errors import DataError
from wearlog.wear import (
    GammaRate,
    constant_rate_interval,
    counts_of,
    fit_impact,
    impact_prior,
    mixed_counts,
    negative_binomial_counts,
    poisson_counts,
    rate_from_guess,
    rate_from_range,
    sum_of_counts,
)

MEANS = st.floats(0, 60, allow_subnormal=False)


@settings(deadline=None)
@given(MEANS, MEANS)
def test_the_sum_of_two_poisson_counts_is_poisson(one: float, other: float) -> None:
    """Chance by chance."""
    summed = sum_of_counts([poisson_counts(one), poisson_counts(other)]).chance
    expected = poisson_counts(one + other).chance
    short = min(len(summed), len(expected))
    np.testing.assert_allclose(summed[:short], expected[:short], atol=1e-11)


@settings(deadline=None)
@given(st.floats(0.05, 50), st.floats(0.1, 1e4), st.floats(0, 1e5, allow_subnormal=False))
def test_negative_binomial_moments(shape: float, rate: float, exposure: float) -> None:
    """Mean a x / b and variance mean (1 + x / b); the chances sum to 1 however heavy the tail."""
    if shape * exposure / rate > 3000:
        exposure = 3000 * rate / shape
    counts = negative_binomial_counts(shape, rate, exposure)
    mean = shape * exposure / rate
    assert counts.chance.sum() == pytest.approx(1.0, abs=1e-12)
    assert counts.mean == pytest.approx(mean, rel=1e-7, abs=1e-12)
    assert counts.variance == pytest.approx(mean * (1 + exposure / rate), rel=1e-5, abs=1e-12)


@settings(deadline=None)
@given(st.lists(st.floats(0, 1), min_size=1, max_size=30).filter(lambda row: sum(row) > 0.1), st.floats(0.01, 0.99))
def test_a_quantile_is_the_smallest_count_that_is_safe_enough(row: list[float], chance: float) -> None:
    """At most this many with at least this chance, and one fewer is not enough."""
    counts = counts_of(np.array(row))
    count = counts.quantile(chance)
    assert counts.at_most(count) >= chance - 1e-11
    assert counts.at_most(count - 1) < chance


def test_a_mixture_moves_together() -> None:
    """Half a calm season, half a wild one: the mean is between, the variance beyond that of a plain Poisson count."""
    mixed = mixed_counts([poisson_counts(1.0), poisson_counts(9.0)], [1.0, 1.0])
    assert mixed.mean == pytest.approx(5.0, rel=1e-10)
    assert mixed.variance == pytest.approx(5.0 + 16.0, rel=1e-9)


def test_nothing_planned_breaks_nothing() -> None:
    """No usage, no rate, no counts."""
    assert poisson_counts(0.0).chance.tolist() == [1.0]
    assert negative_binomial_counts(2.0, 5.0, 0.0).chance.tolist() == [1.0]
    assert sum_of_counts([]).chance.tolist() == [1.0]


@settings(deadline=None)
@given(st.floats(1e-6, 1e3), st.floats(1.05, 100))
def test_a_range_is_met_at_both_ends(low: float, ratio: float) -> None:
    """10 % and 90 % of the gamma law lie where the guess says."""
    rate = rate_from_range(low, low * ratio)
    estimate = rate.estimate(0.8)
    assert estimate.low == pytest.approx(low, rel=1e-6)
    assert estimate.high == pytest.approx(low * ratio, rel=1e-6)


def test_a_guess_of_one_number_spans_a_third_to_three_times() -> None:
    """1 impact per 1,000 ac."""
    estimate = rate_from_guess(0.001).estimate(0.8)
    assert (estimate.low, estimate.high) == pytest.approx((0.001 / 3, 0.003), rel=1e-9)


def test_a_guess_of_none_on_clean_ground_is_a_tenth_of_the_next() -> None:
    """0 / 0.02 / 0.05: "hardly ever" still allows a first breakage."""
    clean, few, _ = impact_prior([0.0, 0.02, 0.05])
    assert clean.mean == pytest.approx(few.mean / 10, rel=1e-9)


def test_impact_rates_add_what_was_seen_to_the_guess() -> None:
    """Gamma-Poisson, ground by ground; the forecast's mean is the sum of rate x usage."""
    prior = (GammaRate(2.0, 1000.0), GammaRate(1.0, 100.0))
    rates = fit_impact([3, 5], [500.0, 400.0], prior)
    assert rates.rates == (GammaRate(5.0, 1500.0), GammaRate(6.0, 500.0))
    assert rates.breakages == (3.0, 5.0)
    forecast = rates.predict([600.0, 200.0])
    assert forecast.mean == pytest.approx(600 * 5 / 1500 + 200 * 6 / 500, rel=1e-10)
    assert forecast.variance > forecast.mean


def test_no_breakage_yet_bounds_the_rate_from_above_only() -> None:
    """No failure in 500 h: the low end of the usage between failures is T / -ln(tail), the high end is open."""
    interval = constant_rate_interval(0, 500.0, 0.9)
    assert interval.low == pytest.approx(500 / -math.log(0.05), rel=1e-12)
    assert interval.high == math.inf


def test_a_watch_ended_by_failure_has_its_own_low_end() -> None:
    """2r degrees of freedom instead of 2r + 2: a longer low end, the same high end."""
    by_time = constant_rate_interval(3, 900.0)
    by_failure = constant_rate_interval(3, 900.0, ended_by_failure=True)
    assert by_failure.low > by_time.low
    assert by_failure.high == by_time.high


@pytest.mark.parametrize(
    ("ask", "sentence"),
    [
        (lambda: poisson_counts(-1.0), "cannot have the mean -1"),
        (lambda: negative_binomial_counts(0.0, 1.0, 1.0), "No count follows"),
        (lambda: GammaRate(0.0, 10.0), "Breakages of 0 in 10 units"),
        (lambda: GammaRate(1.0, 10.0).after(-1, 5.0), "-1 breakages in 5 units"),
        (lambda: rate_from_range(2.0, 1.0), "A rate from 2 to 1 is no range"),
        (lambda: impact_prior([0.0, 0.0]), "starting guesses of impacts are all 0"),
        (lambda: fit_impact([1, 2], [5.0], [GammaRate(1.0, 1.0)]), "breakages column has 2 rows where 1"),
        (lambda: constant_rate_interval(1, 0.0), "give no interval"),
        (lambda: constant_rate_interval(0, 9.0, ended_by_failure=True), "give no interval"),
        (lambda: poisson_counts(2.0).quantile(1.0), "No count belongs to a chance of 1"),
    ],
)
def test_numbers_that_are_no_counts_are_refused(ask: object, sentence: str) -> None:
    """Each in its words, with a hint."""
    with pytest.raises(DataError, match=sentence) as caught:
        ask()  # type: ignore[operator]
    assert caught.value.hint
