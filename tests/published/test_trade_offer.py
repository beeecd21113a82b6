"""Keep or trade: worked examples of public courses, a machine reckoned out by hand, and a price found by trying every one."""

from __future__ import annotations

import numpy as np
import pytest

from wearlog.costs.economic_life import economic_life
from wearlog.costs.published_curves import COMBINE
from wearlog.costs.remaining_value import COMBINE_VALUE, remaining_share
from wearlog.costs.repair_curve import repair_share
from wearlog.costs.trade_offer import YearsAhead, one_more_year, weigh_trade
from wearlog.errors import DataError

LIST, HOURS, RATE, YEARS = 500_000.0, 200.0, 0.06, np.arange(16.0)


def _stood(hours: np.ndarray) -> np.ndarray:  # type: ignore[type-arg]
    return np.asarray(12 * (hours / 1000) ** 1.8 * 112.50)


@pytest.fixture
def keep() -> YearsAhead:
    """Nine years old with 1,800 h, 150,000 allowed for it."""
    value = remaining_share(COMBINE_VALUE, 9 + YEARS, HOURS)
    hours = 1800 + YEARS * HOURS
    return YearsAhead(
        150_000 * value[1:] / value[0], LIST * np.diff(repair_share(COMBINE, hours)) + np.diff(_stood(hours))
    )


@pytest.fixture
def offer() -> YearsAhead:
    """New, with a warranty of 400 h."""
    hours = YEARS * HOURS
    paid = 1 - np.clip((400 - hours[:-1]) / HOURS, 0, 1)
    repairs = LIST * np.diff(repair_share(COMBINE, hours)) * paid
    return YearsAhead(LIST * remaining_share(COMBINE_VALUE, YEARS[1:], HOURS), repairs + np.diff(_stood(hours)))


@pytest.mark.parametrize(("price", "yearly"), [(400_000, 49_749), (450_000, 54_897)])
def test_what_keeping_and_the_offer_cost_a_year(keep: YearsAhead, offer: YearsAhead, price: int, yearly: int) -> None:
    found = weigh_trade(keep, offer, allowance=150_000, price=price, yearly_rate=RATE)
    assert (round(float(found.keep_yearly)), round(float(found.offer_yearly))) == (41_601, yearly)


def test_keeping_pays_for_twelve_years_more(keep: YearsAhead, offer: YearsAhead) -> None:
    assert int(weigh_trade(keep, offer, allowance=150_000, price=400_000, yearly_rate=RATE).pays_years) == 12


@pytest.mark.parametrize(("fewest", "price"), [(1, 383_739), (2, 351_071), (3, 333_365), (5, 320_869)])
def test_the_price_at_which_it_turns(keep: YearsAhead, offer: YearsAhead, fewest: int, price: int) -> None:
    found = weigh_trade(keep, offer, allowance=150_000, price=0, yearly_rate=RATE, fewest_years=fewest)
    assert round(float(found.break_even)) == price


@pytest.mark.parametrize("fewest", [1, 2, 3, 5])
def test_at_that_price_both_cost_the_same_a_year(keep: YearsAhead, offer: YearsAhead, fewest: int) -> None:
    """By the other way round, a price that is tried; held to the same years."""

    def at(price: float) -> tuple[float, float]:
        found = weigh_trade(keep, offer, allowance=150_000, price=price, yearly_rate=RATE, fewest_years=fewest)
        assert int(found.offer_years) >= fewest
        return float(found.offer_yearly), float(found.keep_yearly)

    turns = float(
        weigh_trade(keep, offer, allowance=150_000, price=0, yearly_rate=RATE, fewest_years=fewest).break_even
    )
    offered, kept = at(turns)
    assert offered == pytest.approx(kept)
    below, kept = at(turns - 1)
    assert below < kept


def test_draws_are_weighed_each_as_if_alone(keep: YearsAhead, offer: YearsAhead) -> None:
    factors = np.array([0.8, 1.0, 1.3])[:, None]
    together = weigh_trade(
        YearsAhead(keep.remaining, factors * keep.costs),
        YearsAhead(offer.remaining, factors * offer.costs),
        allowance=150_000,
        price=400_000,
        yearly_rate=RATE,
    )
    alone = weigh_trade(keep, offer, allowance=150_000, price=400_000, yearly_rate=RATE)
    assert together.break_even[1] == pytest.approx(float(alone.break_even))
    assert together.break_even[0] < together.break_even[1] < together.break_even[2]


@pytest.mark.parametrize(
    ("price", "rate", "values", "running", "yearly", "best"),
    [
        # public course examples (engineering economics), read as excerpts
        (
            25_000,
            0.08,
            [16e3, 13e3, 11e3, 10e3, 9.5e3],
            [5e3, 8e3, 11e3, 14e3, 17e3],
            [16_000, 14_212, 14_159, 14_541, 15_181],
            3,
        ),
        (
            2_400,
            0.12,
            [1400, 980, 686, 480, 336],
            [2000, 1500, 2000, 3500, 3000],
            [3_288, 2_722, 2_630, 2_872, 2_924],
            3,
        ),
    ],
)
def test_the_years_that_cost_least_are_those_of_the_course(
    price: int, rate: float, values: list[float], running: list[float], yearly: list[int], best: int
) -> None:
    own = YearsAhead(np.array(values), np.array(running))
    found = weigh_trade(own, own, allowance=price, price=price, yearly_rate=rate)
    assert (round(float(found.keep_yearly)), int(found.keep_years)) == (yearly[best - 1], best)
    assert economic_life(price, values, running, yearly_rate=rate).yearly_cost_minor == pytest.approx(yearly, abs=1)


def test_the_years_of_a_machine_that_falls_a_thousand_a_year_cost_what_the_course_prints() -> None:
    """Price 9,500, 12 %: the course works with factors of so many places; from the printed ones no year is further off than .06."""
    values, running = np.arange(8, 0, -1) * 1000.0, np.array([1000, 1000, 1200, 1500, 2000, 2000, 2000, 3000.0])
    found = economic_life(950_000, values * 100, running * 100, yearly_rate=0.12)
    exact = [3640.00, 3319.25, 3236.49, 3233.04, 3290.80, 3314.12, 3318.67, 3393.57]
    assert [cents / 100 for cents in found.yearly_cost_minor] == exact
    assert found.best_years == 4
    printed = [3640, 3319.25, 3236.5, 3233.07, 3290.81, 3314.16, 3318.68, 3393.52]
    assert exact == pytest.approx(printed, abs=0.06)
    # the interest on the value at the end beside the even sum for what it loses, year by year: another way to the same
    by_hand, spent = [], 0.0
    for year, (value, cost) in enumerate(zip(values, running, strict=True), 1):
        spent += cost / 1.12**year
        even = 0.12 / (1 - 1.12**-year)
        by_hand.append((9500 - value) * even + value * 0.12 + spent * even)
    assert exact == pytest.approx(by_hand, abs=0.0051)


def test_what_each_year_more_costs_is_what_the_course_prints() -> None:
    machine = YearsAhead(np.array([16e3, 13e3, 11e3, 10e3, 9.5e3]), np.array([5e3, 8e3, 11e3, 14e3, 17e3]))
    found = one_more_year(machine, 25_000, 0.08)
    assert found.round(2).tolist() == [16_000, 12_280, 14_040, 15_880, 18_300]
    # what is paid each year, kept five years, is worth as much as the even sum: one more way to 15,181
    worth = 1.08 ** -np.arange(1, 6.0)
    assert round(float(found @ worth / worth.sum())) == 15_181


@pytest.mark.parametrize(
    ("asked", "years"), [(13_000.0, 0), (14_000.0, 1), (15_430.0, 2), (15_949.0, 2), (15_951.0, 3)]
)
def test_a_machine_is_kept_as_long_as_one_more_year_costs_less_than_the_other_does(asked: float, years: int) -> None:
    """The rule of the course: one more year costs 13,250, 14,600, 15,950; against 15,430 a year it is kept two years."""
    rising = np.array([13_250.0, 14_600.0, 15_950.0])
    values = np.array([8_000.0, 6_500.0, 5_000.0])
    keep = YearsAhead(values, rising - np.append(10_000.0, values[:-1]) * 1.1 + values)
    assert one_more_year(keep, 10_000, 0.1).tolist() == pytest.approx(rising.tolist())
    other = YearsAhead(np.zeros(3), np.full(3, asked))
    found = weigh_trade(keep, other, allowance=10_000, price=0, yearly_rate=0.1)
    assert float(found.offer_yearly) == pytest.approx(asked)
    assert int(found.pays_years) == years


def test_too_few_years_ahead_are_refused(keep: YearsAhead, offer: YearsAhead) -> None:
    with pytest.raises(DataError):
        weigh_trade(keep, offer, allowance=0, price=0, fewest_years=40)
