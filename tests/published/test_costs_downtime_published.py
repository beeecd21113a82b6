"""The value of an hour, and custom rates, against worked checks.

Sources: ASAE EP496 (formula from memory); Iowa State University Extension (Hanna) lost-day costs, 2012 and 2018; custom rates as
named in wearlog/costs/published_rates.py; worked figures computed from them.
"""

from __future__ import annotations

from wearlog.costs.downtime import (
    graded_custom_rate,
    hour_by_hired_capacity,
    hour_by_lost_day,
    hour_by_timeliness,
    timeliness_cost_of_season,
)
from wearlog.costs.published_rates import CUSTOM_RATES, LOST_DAYS, TIMELINESS_SMALL_GRAIN, WAGES


def test_one_lost_hour_with_2000_acres_standing() -> None:
    """K 0.005, 2,000 ac, 40 bu/ac, $6 a bushel, 10 h a day, 0.7 of days workable: $342.86 (computed, derived from EP496)."""
    hour = hour_by_timeliness(
        loss_per_day=TIMELINESS_SMALL_GRAIN,
        area_standing=2_000,
        yield_per_area=40,
        price_minor=600,
        hours_per_day=10,
        workable_share=0.7,
    )
    assert hour.minor_per_hour == 342_86


def test_the_season_formula_and_the_hour_formula_agree() -> None:
    """EP496 starting on the best date: A / C hours each cost their standing area, A / 2 on the mean, and no more."""
    season = timeliness_cost_of_season(
        loss_per_day=0.005,
        area=2_000,
        yield_per_area=40,
        price_minor=600,
        hours_per_day=10,
        workable_share=0.7,
        area_per_hour=13.36,
    )
    mean_hour = hour_by_timeliness(
        loss_per_day=0.005,
        area_standing=1_000,
        yield_per_area=40,
        price_minor=600,
        hours_per_day=10,
        workable_share=0.7,
    )
    assert abs(season - mean_hour.minor_per_hour * 2_000 / 13.36) < 100


def test_hired_capacity_of_a_35_foot_header() -> None:
    """$40/ac x 13.36 ac/h = $534 an hour (computed; custom rate: Purdue 2023)."""
    hour = hour_by_hired_capacity(CUSTOM_RATES[0].cents, 13.36, rate_source="Purdue 2023")
    assert round(hour.minor_per_hour / 100) == 534


def test_published_lost_days_at_harvest() -> None:
    """Hanna: $500 (2012) and $900 (2018) for a day of eight hours: $62.50 and $112.50 an hour."""
    at_harvest = [hour_by_lost_day(rate).minor_per_hour for rate in LOST_DAYS if rate.what == "lost day at harvest"]
    assert at_harvest == [62_50, 112_50]


def test_custom_rate_of_three_parts() -> None:
    """Western Kansas 2011, trade press: 20-20-20 at 35 bu/ac = 20 + 0.20 x 35 + 0.20 x 15 = $30.00 an acre (computed)."""
    assert graded_custom_rate(20_00, 20, 20, 20, 35) == 30_00
    assert graded_custom_rate(20_00, 20, 20, 20, 15) == 23_00


def test_wages_carry_the_printed_figures() -> None:
    """US Department of Labor, May 2023: 16.76, 23.66 and 34.83 for mechanics; USDA NASS 2023: 18.53 for hired farm workers."""
    cents = {wage.what: wage.cents for wage in WAGES}
    assert cents["farm equipment mechanic, lowest tenth"] == 16_76
    assert cents["farm equipment mechanic, median"] == 23_66
    assert cents["farm equipment mechanic, highest tenth"] == 34_83
    assert cents["hired farm worker, mean"] == 18_53
