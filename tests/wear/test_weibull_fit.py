"""The Weibull fit: what must hold for all lives, and what is refused."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from wearlog.errors import DataError
from wearlog.wear import (
    Lives,
    fit_weibayes,
    fit_weibull,
    kaplan_meier,
    life_ratio_interval,
    log_likelihood,
    scale_ratio_interval,
    shape_ratio_interval,
)
from wearlog.wear.likelihood import newton_maximum, slopes

NIST = Lives.of([54, 187, 216, 240, 244, 335, 361, 373, 375, 386] + [500] * 10, [1] * 10 + [0] * 10)


@st.composite
def censored_lives(draw: st.DrawFn) -> Lives:
    """3 to 25 lives, two failures at least a tenth apart, and one life seen beyond them."""
    ages = draw(st.lists(st.floats(10, 1000), min_size=3, max_size=25))
    failed = draw(st.lists(st.booleans(), min_size=len(ages), max_size=len(ages)))
    base = draw(st.floats(20, 900))
    return Lives.of([*ages, base, base * 1.1, max([*ages, base]) * 1.2], [*failed, True, True, False])


@settings(deadline=None)
@given(censored_lives(), st.floats(1e-3, 1e4))
def test_another_unit_changes_the_scale_and_nothing_else(lives: Lives, factor: float) -> None:
    """Hours or acres, seconds or square metres: the shape stays."""
    one = fit_weibull(lives)
    other = fit_weibull(Lives.of(lives.exit * factor, lives.event))
    assert other.shape == pytest.approx(one.shape, rel=1e-9)
    assert other.scale == pytest.approx(one.scale * factor, rel=1e-9)
    assert other.variance_log_shape == pytest.approx(one.variance_log_shape, rel=1e-5)


@settings(deadline=None)
@given(censored_lives(), st.randoms(use_true_random=False))
def test_order_and_packing_do_not_matter(lives: Lives, shuffler: object) -> None:
    """Rows in any order, each written twice or with weight 2."""
    rows = np.arange(len(lives))
    shuffler.shuffle(rows)  # type: ignore[attr-defined]
    twice = fit_weibull(Lives.joined([lives, lives]))
    heavy = fit_weibull(Lives.of(lives.exit[rows], lives.event[rows], weight=2.0))
    assert heavy.shape == pytest.approx(twice.shape, rel=1e-9)
    assert heavy.scale == pytest.approx(twice.scale, rel=1e-9)
    assert heavy.log_likelihood == pytest.approx(twice.log_likelihood, rel=1e-12)


@settings(deadline=None)
@given(censored_lives(), st.lists(st.floats(0.05, 0.95), min_size=1, max_size=3))
def test_cutting_a_life_where_it_was_whole_changes_nothing(lives: Lives, cuts: list[float]) -> None:
    """The first life, cut at ages when it was still whole, is censored pieces that enter where the last one ended."""
    end = lives.exit[0]
    ages = sorted({end * cut for cut in cuts})
    pieces = Lives.of([*ages, end], [0] * len(ages) + [lives.event[0]], entry=[0.0, *ages])
    rest = lives.take(np.arange(len(lives)) > 0)
    one, other = fit_weibull(lives), fit_weibull(Lives.joined([pieces, rest]))
    assert other.shape == pytest.approx(one.shape, rel=1e-7)
    assert other.scale == pytest.approx(one.scale, rel=1e-7)
    assert other.log_likelihood == pytest.approx(one.log_likelihood, rel=1e-9)


@settings(deadline=None, max_examples=50)
@given(censored_lives(), st.lists(st.floats(0.0, 0.9), min_size=28, max_size=28))
def test_one_dimension_and_two_find_the_same_peak(lives: Lives, shares: list[float]) -> None:
    """Late entries: the profile on the shape and the search in both parameters agree, and no neighbour is higher."""
    late = Lives.of(lives.exit, lives.event, entry=lives.exit * np.array(shares[: len(lives)]))
    try:
        fit = fit_weibull(late)
    except DataError as error:
        assert "no peak" in error.message  # noqa: PT017 - entries may leave the shape to run to 0
        return
    assume(fit.shape > 0.1)  # flatter laws are all but none, and the search in both parameters says so
    log_shape, log_scale, peak = newton_maximum(late, fit.shape * 1.2, fit.scale * 0.9)
    if peak.value > fit.log_likelihood + 1e-8:
        pytest.fail("the two-dimensional search found a higher peak")
    here = slopes(late, math.log(fit.shape), math.log(fit.scale))
    np.testing.assert_allclose(here.gradient, 0, atol=1e-5 * (1 + abs(here.value)))
    if abs(log_shape - math.log(fit.shape)) < 0.1:
        assert log_scale == pytest.approx(math.log(fit.scale), abs=1e-6)


def test_slopes_are_the_derivatives_of_the_log_likelihood() -> None:
    """Gradient and Hessian against central differences, for every kind of life at once."""
    lives = Lives.of(
        [500, 800, 700, 1000.0, 300.0],
        [1, 0, 1, 1, 1],
        entry=[0, 100, 200, 0.0, 0.0],
        weight=[1, 2, 1, 3, 1],
        last_seen=[500, 800, 700, 850.0, 0.0],
    )
    a, c, step = 0.4, 6.7, 1e-5
    here = slopes(lives, a, c)
    for axis, (da, dc) in enumerate([(step, 0.0), (0.0, step)]):
        up, down = slopes(lives, a + da, c + dc), slopes(lives, a - da, c - dc)
        assert (up.value - down.value) / (2 * step) == pytest.approx(here.gradient[axis], rel=1e-7)
        np.testing.assert_allclose((up.gradient - down.gradient) / (2 * step), here.hessian[axis], rtol=1e-6)


@pytest.mark.parametrize(
    ("lives", "sentence"),
    [
        (Lives.of([100.0, 200.0], [0, 0]), "None of these 2 lives ended in failure"),
        (Lives.of([]), "None of these 0 lives ended in failure"),
        (Lives.of([300.0, 300.0, 300.0]), "Every failure lies at the oldest age seen"),
        (Lives.of([300.0, 100.0], [1, 0]), "Every failure lies at the oldest age seen"),
        (Lives.of([300.0]), "Every failure lies at the oldest age seen"),
        (Lives.of([101.0, 900.0], [1, 0], entry=[100.0, 500.0]), "its likelihood has no peak"),
        (Lives.of([300.0], last_seen=[200.0]), "its likelihood has no peak"),
    ],
    ids=[
        "none failed",
        "no lives",
        "all at one age",
        "failure is the oldest",
        "one life",
        "fails early, seen late",
        "one interval",
    ],
)
def test_lives_that_hold_no_law_are_refused(lives: Lives, sentence: str) -> None:
    """In words, with the way out: the starting guess."""
    with pytest.raises(DataError, match=sentence) as caught:
        fit_weibull(lives)
    assert "starting guess" in caught.value.hint


def test_failures_almost_at_one_age_still_fit() -> None:
    """Three failures within a millionth of each other: a very large shape, and the middle age."""
    fit = fit_weibull(Lives.of([1000.0, 1000.0005, 1000.001]))
    assert fit.shape > 1e6
    assert fit.scale == pytest.approx(1000.0007, abs=1e-3)


def test_narrow_inspections_come_to_the_exact_fit() -> None:
    """Failures known to within 0.02 h."""
    exact = fit_weibull(NIST)
    between = fit_weibull(Lives.of(NIST.exit + 0.01 * NIST.event, NIST.event, last_seen=NIST.exit - 0.01 * NIST.event))
    assert between.shape == pytest.approx(exact.shape, rel=1e-6)
    assert between.scale == pytest.approx(exact.scale, rel=1e-6)
    assert between.variance_log_scale == pytest.approx(exact.variance_log_scale, rel=1e-5)


def test_ratio_intervals_end_where_the_likelihood_has_dropped_by_half_a_chi_square() -> None:
    """chi2(0.9; 1)/2 = 1.352772 below the peak, the other parameter being free."""
    fit = fit_weibull(NIST)
    interval = shape_ratio_interval(NIST, fit, 0.9)
    for shape in (interval.low, interval.high):
        scale = fit_weibayes(NIST, shape).scale
        assert fit.log_likelihood - log_likelihood(NIST, shape, scale) == pytest.approx(1.352772, abs=1e-6)
    life = life_ratio_interval(NIST, fit, 0.1, 0.9)
    for tenth in (life.low, life.high):
        shapes = np.linspace(0.8, 3.0, 3001)
        scales = tenth / 0.1053605156578263 ** (1 / shapes)
        best = max(log_likelihood(NIST, b, s) for b, s in zip(shapes, scales, strict=True))
        assert fit.log_likelihood - best == pytest.approx(1.352772, abs=1e-5)


def test_both_kinds_of_interval_agree_when_failures_are_many() -> None:
    """4,000 failures: ends within 1 % of the interval's width."""
    ages = 800 * np.random.default_rng(5).weibull(2.2, 4000)
    lives = Lives.of(ages)
    fit = fit_weibull(lives)
    for normal, ratio in (
        (fit.shape_interval(), shape_ratio_interval(lives, fit)),
        (fit.scale_interval(), scale_ratio_interval(lives, fit)),
        (fit.life_interval(0.1), life_ratio_interval(lives, fit, 0.1)),
    ):
        room = 0.01 * (normal.high - normal.low)
        assert (ratio.low, ratio.high) == pytest.approx((normal.low, normal.high), abs=room)


def test_one_failure_leaves_the_far_end_open_wide() -> None:
    """One failure among three: the ratio interval says so where the normal one would pretend."""
    lives = Lives.of([100.0, 200.0, 300.0], [1, 0, 0])
    fit = fit_weibull(lives)
    assert scale_ratio_interval(lives, fit).high > 1e6
    assert scale_ratio_interval(lives, fit).low == pytest.approx(160.5, abs=0.1)


def test_wider_level_wider_interval() -> None:
    """Levels 0.5, 0.8, 0.95; a level of 1 is refused."""
    fit = fit_weibull(NIST)
    widths = [fit.scale_interval(level).high - fit.scale_interval(level).low for level in (0.5, 0.8, 0.95)]
    assert widths == sorted(widths)
    assert fit.scale in fit.scale_interval(0.5)
    with pytest.raises(DataError, match="An interval of level 1 cannot be given"):
        fit.scale_interval(1.0)


def test_kaplan_meier_weighs_late_entries_and_stops_at_the_last_failure() -> None:
    """Worked by hand: at 5 three at risk, at 8 (one entered at 6) two, of weight 1 and 2."""
    found = kaplan_meier(Lives.of([5.0, 8.0, 9.0], [1, 1, 0], entry=[0.0, 0.0, 6.0], weight=[1.0, 1.0, 2.0]))
    assert found.at_risk.tolist() == [2.0, 3.0]
    assert found.survival.tolist() == pytest.approx([1 / 2, 1 / 3])
    assert found.at([0.0, 4.9, 5.0, 100.0]).tolist() == pytest.approx([1.0, 1.0, 0.5, 1 / 3])
    with pytest.raises(DataError, match="Kaplan-Meier cannot use"):
        kaplan_meier(Lives.of([5.0], last_seen=[2.0]))


def test_weibayes_is_the_fit_at_its_own_shape() -> None:
    """The scale at the fitted shape is the fitted scale; a shape that is none, and inspections, are refused."""
    fit = fit_weibull(NIST)
    assert fit_weibayes(NIST, fit.shape).scale == pytest.approx(fit.scale, rel=1e-12)
    with pytest.raises(DataError, match="A shape of 0 is no shape"):
        fit_weibayes(NIST, 0.0)
    with pytest.raises(DataError, match="Weibayes cannot use"):
        fit_weibayes(Lives.of([5.0], last_seen=[2.0]), 2.0)
    with pytest.raises(DataError, match="Neither a failure nor a prior"):
        fit_weibayes(Lives.of([5.0], [0]), 2.0).scale_posterior(0.0, 0.0)
    with pytest.raises(DataError, match="No usage has been seen"):
        fit_weibayes(Lives.of([]), 2.0).scale_lower_bound()
