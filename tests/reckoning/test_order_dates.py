"""By which day to order: the earliest first acre of past seasons, less the days that nine orders in ten take."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from wearlog.plan.lead_time import lead_time
from wearlog.reckoning.plan.order_dates import FirstAcre, order_by

FIRST = FirstAcre(date(2027, 7, 20), 3)


@pytest.mark.parametrize(("quoted", "days"), [(0, 0), (2, 4), (3, 6), (None, 6), (9, 18)])
def test_nine_orders_in_ten_are_there_before_the_first_acre(quoted: int | None, days: int) -> None:
    found = order_by(FIRST, quoted, date(2027, 1, 10))
    assert found is not None
    assert (found.days, found.day, found.is_late) == (days, date(2027, 7, 20) - timedelta(days=days), False)
    assert found.chance > 0.998


def test_what_is_late_says_with_which_chance_it_is_still_in_time() -> None:
    found = order_by(FIRST, 3, date(2027, 7, 17))
    assert found is not None
    assert found.is_late
    # three days are the middle of what an order takes that is quoted three
    assert found.chance == pytest.approx(0.5)
    after = order_by(FIRST, 3, date(2027, 7, 20))
    assert after is not None
    assert after.chance == 0.0


def test_without_a_past_season_nobody_says_a_day() -> None:
    assert order_by(None, 3, date(2027, 7, 17)) is None


def test_an_order_at_its_last_day_is_in_time_nine_times_in_ten() -> None:
    for quoted in (1, 4, 30):
        by = order_by(FIRST, quoted, date(2027, 1, 1))
        assert by is not None
        left = (FIRST.day - by.day).days
        # whole days are rounded up: never less than nine in ten
        assert 1 - lead_time((), quoted).later_than(left) >= 0.9
        assert 1 - lead_time((), quoted).later_than(left - 1) < 0.9
