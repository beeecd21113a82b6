"""By which day to order: the earliest first acre of past seasons, less the days that nine orders in ten take."""

from __future__ import annotations

from datetime import date, timedelta

import numpy as np
import pytest
from scipy.special import ndtr

from wearlog.plan.orders import lead_time
from wearlog.reckoning.parts.deliveries import PartTimes
from wearlog.reckoning.plan.order_dates import FirstAcre, order_by, work_begins

FIRST = FirstAcre(date(2027, 7, 20), 3)


@pytest.mark.parametrize(("quoted", "days"), [(0, 0), (2, 4), (3, 6), (None, 6), (9, 18)])
def test_nine_orders_in_ten_are_there_before_the_first_acre(quoted: int | None, days: int) -> None:
    found = order_by(FIRST, PartTimes(quoted), date(2027, 1, 10))
    assert found is not None
    assert (found.days, found.day, found.is_late) == (days, date(2027, 7, 20) - timedelta(days=days), False)
    assert found.chance > 0.998


def test_what_is_late_says_with_which_chance_it_is_still_in_time() -> None:
    found = order_by(FIRST, PartTimes(3), date(2027, 7, 17))
    assert found is not None
    assert found.is_late
    # three days are the middle of what an order takes that is quoted three
    assert found.chance == pytest.approx(0.5)
    after = order_by(FIRST, PartTimes(3), date(2027, 7, 20))
    assert after is not None
    assert after.chance == 0.0


def test_without_a_past_season_nobody_says_a_day() -> None:
    assert order_by(None, PartTimes(3), date(2027, 7, 17)) is None


def test_an_order_at_its_last_day_is_in_time_nine_times_in_ten() -> None:
    for quoted in (1, 4, 30):
        by = order_by(FIRST, PartTimes(quoted), date(2027, 1, 1))
        assert by is not None
        left = (FIRST.day - by.day).days
        # whole days are rounded up: never less than nine in ten
        assert 1 - lead_time((), quoted).later_than(left) >= 0.9
        assert 1 - lead_time((), quoted).later_than(left - 1) < 0.9


def test_what_the_work_takes_is_there_before_it_must_begin() -> None:
    # 40 h are five days in the shop, seven on the calendar
    assert work_begins(FIRST, 40 * 3600) == date(2027, 7, 13)
    found = order_by(FIRST, PartTimes(3), date(2027, 1, 10), shop_seconds=40 * 3600)
    assert found is not None
    assert (found.needed, found.for_work, found.day) == (date(2027, 7, 13), True, date(2027, 7, 7))
    spare = order_by(FIRST, PartTimes(3), date(2027, 1, 10))
    assert spare is not None
    assert (spare.needed, spare.for_work) == (FIRST.day, False)


def test_deliveries_that_took_longer_move_the_day_forward() -> None:
    said = order_by(FIRST, PartTimes(3), date(2027, 1, 10))
    slow = order_by(FIRST, PartTimes(3, (9.0, 11.0, 14.0)), date(2027, 1, 10))
    assert said is not None
    assert slow is not None
    assert slow.day < said.day
    assert slow.taken == 3
    # on the counter by what they say, but it never was
    counter = order_by(FIRST, PartTimes(0, (2.0, 3.0)), date(2027, 1, 10))
    assert counter is not None
    assert counter.days > 1


def _in_time_by_grid(taken: tuple[float, ...], quoted: float, days: int) -> float:
    """The chance to be there in so many days: mean and spread of ln(days) on a grid, nothing integrated by hand.

    Beforehand precision ~ Gamma(2, 2 x .35^2) and, given it, the mean ~ N(ln quoted, 1 / (2 x precision)).
    """
    mean, precision = (
        one.ravel() for one in np.meshgrid(np.log(quoted) + np.linspace(-4, 4, 801), np.exp(np.linspace(-4, 6, 601)))
    )
    chance = 1.5 * np.log(precision) - precision * (2 * 0.35**2 + (mean - np.log(quoted)) ** 2)
    for one in taken:
        chance += 0.5 * np.log(precision) - precision * (np.log(one) - mean) ** 2 / 2
    # even steps of ln(precision) stand for precision times so much
    weight = np.exp(chance - chance.max()) * precision
    there = ndtr((np.log(days) - mean) * np.sqrt(precision))
    return float(weight @ there / weight.sum())


@pytest.mark.parametrize(
    ("quoted", "taken"),
    [(3, ()), (3, (9.0, 11.0, 14.0)), (9, (2.0, 3.0)), (2, (2.0, 2.0, 3.0, 2.0, 3.0, 2.0)), (30, ())],
)
def test_the_day_is_the_last_on_which_nine_in_ten_are_there_by_brute_force(
    quoted: int, taken: tuple[float, ...]
) -> None:
    """A day earlier is not wanted, a day later would be less than nine in ten; also before 40 h of work in the shop."""
    for shop, needed in ((None, FIRST.day), (40 * 3600, date(2027, 7, 13))):
        by = order_by(FIRST, PartTimes(quoted, taken), date(2027, 1, 1), shop_seconds=shop)
        assert by is not None
        assert by.needed == needed
        days = (needed - by.day).days
        assert _in_time_by_grid(taken, quoted, days) >= 0.9
        assert _in_time_by_grid(taken, quoted, days - 1) < 0.9


def test_of_orders_that_go_out_on_the_day_nine_in_ten_are_there() -> None:
    """4,000 parts: deliveries drawn from the belief before any, the next one ordered on the day that is said.

    Days are whole, so a little more than nine in ten.
    """
    generator = np.random.default_rng(12)
    there, exact = [], []
    for _ in range(4_000):
        precision = generator.gamma(2.0, 1 / (2 * 0.35**2))
        mean = generator.normal(np.log(10.0), 1 / np.sqrt(2 * precision))
        *before, following = np.exp(generator.normal(mean, 1 / np.sqrt(precision), 5)).tolist()
        by = order_by(FIRST, PartTimes(10, tuple(before)), date(2020, 1, 1))
        assert by is not None
        there.append(following <= (by.needed - by.day).days)
        exact.append(1 - lead_time(before, 10.0).later_than((by.needed - by.day).days))
    error = 3 * np.sqrt(0.09 / 4_000)
    assert abs(float(np.mean(there)) - float(np.mean(exact))) < error
    assert 0.9 - error < float(np.mean(there)) < 0.93
