"""Days to finish against worked figures, each with its source."""

from __future__ import annotations

import pytest

from wearlog.harvest.capacity import availability
from wearlog.harvest.days_to_finish import Weather, calendar_days, days_to_finish, field_days, required_capacity


def test_the_required_rate_of_a_published_example() -> None:
    """Iowa State A3-25 (published): 1,600 ac in 4.0 + 4.3 suitable days of 14 h: 192.8 ac a day, 13.8 ac/h."""
    assert round(1600 / (4.0 + 4.3), 1) == 192.8
    assert round(required_capacity(1600, 4.0 + 4.3, 14), 1) == 13.8
    assert round(required_capacity(1600, 4.0 + 4.3, 14), 2) == 13.77


def test_calendar_days_of_2000_acres() -> None:
    """Computed by the pattern of Iowa State A3-25: EFC 13.36 ac/h, 10 h a day, 0.75 workable."""
    assert round(field_days(2000, 13.36, 10), 2) == 14.97
    assert round(calendar_days(2000, 13.36, 10, 0.75), 2) == 19.96
    assert round(calendar_days(2000, 2 * 13.36, 10, 0.75), 2) == 9.98


def test_eight_lost_hours() -> None:
    """Computed: 0.8 field day, 1.07 calendar days."""
    lost_acres = 8 * 13.36
    assert round(field_days(lost_acres, 13.36, 10), 2) == 0.8
    assert round(calendar_days(lost_acres, 13.36, 10, 0.75), 2) == 1.07


def test_availability_lowers_the_capacity() -> None:
    """Computed, a = MTBF / (MTBF + MTTR): 45 h between stops of 5 h leave nine tenths."""
    assert availability(45, 5) == 0.9
    assert field_days(2000, 13.36 * 0.9, 10) == pytest.approx(14.97 / 0.9, abs=1e-3)


def test_a_low_quantile_is_planned_with_not_the_median() -> None:
    """Common practice, no source: plan for 80 to 90 %. The mean of 19.96 days is kept with little more than even odds."""
    answer = days_to_finish(2000, 13.36, 10, Weather(0.75))
    assert (answer.day_by(0.5), answer.day_by(0.8), answer.day_by(0.9)) == (20, 22, 23)
    assert 0.5 < answer.chance_by(20) < 0.65
