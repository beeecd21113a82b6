"""Repair curves, remaining value, capital recovery and economic life: behaviour that must hold whatever the figures."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from wearlog.costs.capital import capital_recovery, capital_recovery_factor
from wearlog.costs.economic_life import economic_life, economic_life_by_curves
from wearlog.costs.own_curve import fit_cumulative, fit_own_curve
from wearlog.costs.published_curves import COMBINE, HEADER_CUTTING
from wearlog.costs.remaining_value import COMBINE_VALUE, remaining_share, remaining_value
from wearlog.costs.repair_curve import accumulated_repair, price_after_inflation, repair_between, repair_per_hour
from wearlog.errors import DataError
from wearlog.facts.closed_lists import Evidence


@given(st.lists(st.floats(0, 5_000, allow_subnormal=False), min_size=3, max_size=3).map(sorted), st.integers(1, 10**9))
def test_consecutive_intervals_add_up_to_the_cent(hours: list[float], list_price: int) -> None:
    first, middle, last = hours
    parts = repair_between(COMBINE, list_price, first, middle) + repair_between(COMBINE, list_price, middle, last)
    assert parts == repair_between(COMBINE, list_price, first, last)


def test_an_hour_costs_what_the_curve_rises_by() -> None:
    rise = accumulated_repair(COMBINE, 10**12, 1_600.5) - accumulated_repair(COMBINE, 10**12, 1_599.5)
    assert repair_per_hour(COMBINE, 10**12, 1_600) == pytest.approx(rise, rel=1e-6)


def test_curves_say_where_they_come_from() -> None:
    assert COMBINE.evidence is Evidence.FROM_MEMORY
    assert "D497" in COMBINE.source
    assert "analogy" in HEADER_CUTTING.note


def test_hours_that_make_no_sense_are_refused() -> None:
    with pytest.raises(DataError, match="cannot be negative"):
        accumulated_repair(COMBINE, 100, -1)
    with pytest.raises(DataError, match="runs backwards"):
        repair_between(COMBINE, 100, 20, 10)
    with pytest.raises(DataError, match="no hourly"):
        repair_per_hour(COMBINE, 100, -5)


def test_an_old_list_price_carried_to_today() -> None:
    assert price_after_inflation(100_000, 0.03, 2) == 106_090
    with pytest.raises(DataError, match="not possible"):
        price_after_inflation(100_000, -1.0, 2)


def test_own_curve_of_scattered_costs_holds_the_truth_in_its_interval_nine_times_in_ten() -> None:
    """400 simulated farms of 12 seasons, gamma spread about the published curve."""
    rng = np.random.default_rng(20_250_301)
    hours = np.arange(0, 2_401, 200.0)
    mean = np.diff(0.04 * (hours / 1000) ** 2.1)
    inside = 0
    for _ in range(400):
        own = fit_own_curve(hours[:-1], hours[1:], rng.gamma(mean / 0.004, 0.004))
        assert own.exponent_low is not None
        assert own.exponent_high is not None
        inside += own.exponent_low <= 2.1 <= own.exponent_high
    assert 0.85 <= inside / 400 <= 0.95


def test_own_curve_of_two_intervals_has_no_interval() -> None:
    own = fit_cumulative([0, 1_000, 2_000], [0, 400_00, 1_600_00], 10_000_00)
    assert own.exponent == pytest.approx(2.0, abs=1e-10)
    assert own.exponent_low is None
    assert own.dispersion is None


@pytest.mark.parametrize(("exponent", "unusual"), [(1.1, True), (1.2000001, False), (2.4999, False), (2.6, True)])
def test_an_exponent_outside_what_is_published_is_flagged(exponent: float, *, unusual: bool) -> None:
    hours = np.array([200.0, 500, 900, 1_500, 2_200])
    own = fit_cumulative(hours, 1e9 * 0.04 * (hours / 1000) ** exponent, 10**9)
    assert own.is_unusual is unusual


def test_own_curve_reads_like_a_published_one() -> None:
    own = fit_cumulative([0, 1_000, 2_000], [0, 400_00, 1_600_00], 10_000_00)
    curve = own.as_repair_curve("the old combine", 3_000)
    assert accumulated_repair(curve, 10_000_00, 2_000) == 1_600_00
    assert curve.evidence is Evidence.OWN_RECORDS
    assert curve.source == "own records, 2 intervals over 2,000 h"


def test_own_curve_refuses_what_it_cannot_fit() -> None:
    with pytest.raises(DataError, match="at least two intervals"):
        fit_own_curve([0, 100], [100, 200], [0.0, 0.01])
    with pytest.raises(DataError, match="run forwards"):
        fit_own_curve([0, 200], [100, 150], [0.01, 0.01])
    with pytest.raises(DataError, match="negative or missing"):
        fit_own_curve([0, 100], [100, 200], [-0.01, 0.01])
    with pytest.raises(DataError, match="equal length"):
        fit_own_curve([0, 100], [100, 200], [0.01])
    with pytest.raises(DataError, match="cumulative costs are not of equal length"):
        fit_cumulative([0, 100], [5], 100)
    with pytest.raises(DataError, match="No power law"):
        fit_own_curve([100, 3000], [3000, 3001], [1e-12, 1e6])


def test_remaining_value_falls_with_age_and_never_below_nothing() -> None:
    shares = remaining_share(COMBINE_VALUE, np.arange(0, 80), 200)
    assert shares[0] == 1.0
    assert np.all(np.diff(shares) <= 0)
    assert shares[-1] == 0.0
    assert remaining_value(COMBINE_VALUE, 500_000_00, 70, 200) == 0
    with pytest.raises(DataError, match="cannot be negative"):
        remaining_share(COMBINE_VALUE, -1, 200)


def test_capital_recovery_without_interest_is_straight_line() -> None:
    assert capital_recovery(130_000, 30_000, 0.0, 10) == 10_000
    assert float(capital_recovery_factor(1e-9, 10)) == pytest.approx(0.1, rel=1e-7)
    with pytest.raises(DataError, match="years above zero"):
        capital_recovery_factor(0.05, 0)


def test_economic_life_of_costs_that_grow_by_the_year() -> None:
    """Price 800, worth nothing after, costs 100, 200, 300 ...: mean (800 + sum)/n is least at 4 years: 450."""
    life = economic_life(800, [0] * 8, [100 * year for year in range(1, 9)])
    assert life.best_years == 4
    assert life.yearly_cost_minor[:5] == (900, 550, 467, 450, 460)
    assert (life.as_good_from, life.as_good_to) == (4, 4)
    assert not life.still_falling


def test_economic_life_says_when_the_low_point_lies_beyond() -> None:
    assert economic_life(800, [0, 0], [0, 0]).still_falling


def test_economic_life_with_interest_by_hand() -> None:
    """Two years at 10 per cent: [1,000 - 400/1.21 + 100/1.1 + 200/1.21] x 0.576190..."""
    life = economic_life(1_000_00, [700_00, 400_00], [100_00, 200_00], yearly_rate=0.10)
    by_hand = (1_000_00 - 400_00 / 1.21 + 100_00 / 1.1 + 200_00 / 1.21) * 0.1 * 1.21 / 0.21
    assert life.yearly_cost_minor == (500_00, round(by_hand))


def test_economic_life_of_a_combine_by_the_published_curves() -> None:
    """A new combine at 250 h a year and 6 per cent: many years, a flat low point, and the best within what is as good."""
    life = economic_life_by_curves(
        COMBINE_VALUE,
        COMBINE,
        list_price_minor=500_000_00,
        hours_per_year=250,
        yearly_rate=0.06,
        price_minor=450_000_00,
    )
    assert life.as_good_from <= life.best_years <= life.as_good_to
    assert life.yearly_cost_minor[life.best_years - 1] == min(life.yearly_cost_minor)
    assert life.as_good_to - life.as_good_from >= 2
    by_first_principles = (
        (450_000_00 - remaining_value(COMBINE_VALUE, 500_000_00, 1, 250))
        + 0.06 * 450_000_00
        + repair_between(COMBINE, 500_000_00, 0, 250)
    )
    assert life.yearly_cost_minor[0] == pytest.approx(by_first_principles, abs=1)


def test_economic_life_refuses_years_without_figures() -> None:
    with pytest.raises(DataError, match="for each year"):
        economic_life(100, [50], [10, 20])
