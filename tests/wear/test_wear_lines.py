"""Measured wear beyond the printed examples: the interval of the crossing, outliers, directions, refusals."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from wearlog.errors import DataError
from wearlog.wear import WearForm, elongation_limit, elongation_percent, find_chain, fit_wear

HOURS = np.array([100.0, 250, 400, 600, 800])


@pytest.mark.parametrize("form", [WearForm.LINE, WearForm.LINE_THROUGH_NEW])
def test_the_interval_ends_where_a_new_reading_would_pass_the_limit_with_that_chance(form: WearForm) -> None:
    """Against the textbook predictive t, set up here from scratch."""
    values = 30 - 0.004 * HOURS + np.array([0.02, -0.05, 0.04, -0.03, 0.01])
    line = fit_wear(HOURS, values, new_value=30.0, limit=24.0, form=form)
    X = HOURS[:, None] if form is WearForm.LINE_THROUGH_NEW else np.column_stack([np.ones(5), HOURS])
    wear = 30 - values
    coefficients, squares, *_ = np.linalg.lstsq(X, wear)
    degrees = 5 - X.shape[1]
    sd = math.sqrt(squares[0] / degrees)
    interval = line.crossing(0.9)
    for usage, chance in ((interval.low, 0.05), (interval.high, 0.95)):
        x = np.array([usage]) if form is WearForm.LINE_THROUGH_NEW else np.array([1.0, usage])
        spread = sd * math.sqrt(1 + x @ np.linalg.inv(X.T @ X) @ x)
        assert stats.t(degrees).cdf((x @ coefficients - 6) / spread) == pytest.approx(chance, abs=1e-9)
    assert interval.low < interval.usage < interval.high


def test_crossing_interval_covers() -> None:
    """Five readings with scatter, 1,000 seeded parts: a later reading first passes the limit within the 90 % interval
    as often as it says.
    """
    rng = np.random.default_rng(15)
    below_low = below_high = 0
    for _ in range(1000):
        readings = 0.01 * HOURS + rng.normal(0, 0.6, 5)
        interval = fit_wear(HOURS, readings, new_value=0.0, limit=12.0).crossing(0.9)
        # one further reading where the interval ends: is it past the limit?
        below_low += 0.01 * interval.low + rng.normal(0, 0.6) < 12
        below_high += 0.01 * interval.high + rng.normal(0, 0.6) < 12
    assert 0.93 <= below_low / 1000 <= 0.97
    assert 0.03 <= below_high / 1000 <= 0.07


@settings(deadline=None)
@given(st.floats(0.001, 10), st.floats(-100, 100), st.sampled_from(list(WearForm)))
def test_wear_down_mirrors_wear_up(slope: float, new: float, form: WearForm) -> None:
    """A height that shrinks to its limit crosses where a gap that grows by as much does."""
    wear = slope * HOURS * np.array([1.01, 0.98, 1.0, 1.02, 0.99])
    up = fit_wear(HOURS, new + wear, new_value=new, limit=new + 900 * slope, form=form).crossing()
    down = fit_wear(HOURS, new - wear, new_value=new, limit=new - 900 * slope, form=form).crossing()
    assert down.usage == pytest.approx(up.usage, rel=1e-6)
    assert down.low == pytest.approx(up.low, rel=1e-5)
    assert down.high == pytest.approx(up.high, rel=1e-5)


def test_a_power_of_usage_is_found_again() -> None:
    """wear = 0.02 x usage^1.5 without scatter; readings without wear are left aside."""
    usage = np.array([0.0, 50, 100, 200, 400])
    line = fit_wear(usage, 5 + 0.02 * usage**1.5, new_value=5.0, limit=205.0, form=WearForm.POWER)
    assert (line.slope, math.exp(line.intercept)) == pytest.approx((1.5, 0.02), rel=1e-9)
    assert line.crossing().usage == pytest.approx((200 / 0.02) ** (1 / 1.5), rel=1e-9)
    assert line.value_at([0.0, 100.0]).tolist() == pytest.approx([5.0, 25.0])
    assert line.degrees == 2


def test_an_outlier_is_flagged_and_not_dropped() -> None:
    """The fourth reading stands apart; the line is still the one through all six."""
    usage, values = np.arange(100.0, 700.0, 100.0), np.array([1.0, 2.05, 2.98, 9.0, 5.03, 5.96])
    line = fit_wear(usage, values, new_value=0.0, limit=10.0)
    assert line.outlier.tolist() == [False, False, False, True, False, False]
    assert line.slope == pytest.approx(float(usage @ values / (usage @ usage)), rel=1e-12)


def test_flags_are_rare_where_nothing_is_wrong() -> None:
    """5 % of sound series, not 5 % of sound readings: 1,000 seeded series of eight."""
    rng = np.random.default_rng(16)
    usage = np.arange(1.0, 9.0)
    flagged = sum(
        fit_wear(usage, usage + rng.normal(0, 0.5, 8), new_value=0.0, limit=99.0).outlier.any() for _ in range(1000)
    )
    assert 25 <= flagged <= 75


def test_one_reading_gives_a_line_and_no_interval() -> None:
    """Nothing is shown as surer than it is."""
    line = fit_wear([200.0], [2.0], new_value=0.0, limit=10.0)
    crossing = line.crossing()
    assert (crossing.usage, crossing.low, crossing.high) == (pytest.approx(1000.0), None, None)
    with pytest.raises(DataError, match="no more readings than the line needs"):
        line.chance_beyond(900.0)


def test_scatter_that_hides_the_wear_leaves_the_far_end_open() -> None:
    """Three readings about nothing: the limit may never be reached."""
    crossing = fit_wear([100.0, 200.0, 300.0], [0.1, -0.1, 0.1], new_value=0.0, limit=10.0).crossing()
    assert crossing.high == math.inf
    assert crossing.low is not None
    assert crossing.low > 1000
    never = fit_wear([100.0, 200.0, 300.0], [-0.1, -0.2, -0.1], new_value=0.0, limit=10.0).crossing()
    assert never.usage == math.inf


def test_chance_of_crossing_in_a_season() -> None:
    """Nil without usage, growing with usage, and conditional on the last reading's having lain within the limit."""
    values = 0.01 * HOURS + np.array([0.1, -0.2, 0.2, -0.1, 0.1])
    line = fit_wear(HOURS, values, new_value=0.0, limit=10.0)
    assert line.chance_of_crossing(800.0, 800.0) == 0.0
    chances = [line.chance_of_crossing(800.0, then) for then in (850.0, 950.0, 1050.0, 1500.0)]
    assert chances == sorted(chances)
    assert chances[-1] > 0.99
    before, after = line.chance_beyond(950.0), line.chance_beyond(1050.0)
    assert line.chance_of_crossing(950.0, 1050.0) == pytest.approx((after - before) / (1 - before), rel=1e-12)
    assert line.chance_beyond(0.0) == 0.0


def test_a_part_far_past_the_crossing_of_its_line_has_surely_met_the_limit() -> None:
    """17 readings on 0.1 x usage, sd 0.01, the last at 90; the limit of 10 lies at 100. Where nobody looked is no proof."""
    usage = np.linspace(10.0, 90.0, 17)
    line = fit_wear(usage, 0.1 * usage + np.tile([0.01, -0.01], 9)[:17], new_value=0.0, limit=10.0)
    assert [round(line.chance_of_crossing(90.0, then), 3) for then in (98.0, 105.0, 300.0)] == [0.0, 1.0, 1.0]


def test_a_last_reading_that_stands_below_a_line_past_the_limit_does_not_make_the_part_safe() -> None:
    """The line is past the limit at the last reading by many spreads, which the reading denies: what comes after is sure."""
    usage = np.linspace(10.0, 100.0, 19)
    line = fit_wear(usage, 0.1 * usage + np.tile([0.01, -0.01], 10)[:19], new_value=0.0, limit=7.0)
    assert line.chance_beyond(100.0) == 1.0
    assert line.chance_of_crossing(100.0, 200.0) > 0.99


@pytest.mark.parametrize(
    ("ask", "sentence"),
    [
        (lambda: fit_wear([1.0], [1.0], new_value=2.0, limit=2.0), "leave no room to wear"),
        (lambda: fit_wear([1.0], [math.nan], new_value=0.0, limit=2.0), "is missing, endless or below 0"),
        (lambda: fit_wear([-1.0], [1.0], new_value=0.0, limit=2.0), "is missing, endless or below 0"),
        (lambda: fit_wear([0.0], [0.0], new_value=0.0, limit=2.0), "line through the new value needs readings at 1"),
        (
            lambda: fit_wear([5.0, 5.0], [1.0, 2.0], new_value=0.0, limit=9.0, form=WearForm.LINE),
            "at 2 usage.s. and has them at 1",
        ),
        (
            lambda: fit_wear([5.0, 9.0], [1.0, 0.0], new_value=0.0, limit=9.0, form=WearForm.POWER),
            "power of usage needs readings at 2",
        ),
        (lambda: fit_wear([1.0, 2.0], [1.0], new_value=0.0, limit=2.0), "reading column has 1 rows where 2"),
        (
            lambda: fit_wear([1.0, 2.0], [1.0, 2.1], new_value=0.0, limit=9.0).chance_of_crossing(5.0, 4.0),
            "runs backwards",
        ),
        (lambda: find_chain("999X"), "pitch of chain 999X is not known"),
        (lambda: elongation_percent(424.0, 0, 41.4), "0 pitches of 41.4"),
        (lambda: elongation_limit(0), "A sprocket of 0 teeth"),
    ],
)
def test_readings_that_hold_no_line_are_refused(ask: object, sentence: str) -> None:
    """Each in its words, with a hint."""
    with pytest.raises(DataError, match=sentence) as caught:
        ask()  # type: ignore[operator]
    assert caught.value.hint


def test_chain_numbers_are_read_as_people_write_them() -> None:
    """With a hash, in small letters, with blanks."""
    assert find_chain(" ca550 ").pitch_inches == 1.630
    assert find_chain("#80").pitch_mm == pytest.approx(25.4)
