"""Which value of an hour is used, and that each says its source."""

from __future__ import annotations

import pytest

from wearlog.costs.downtime import (
    Basis,
    downtime_value,
    hour_as_set,
    hour_by_hired_capacity,
    hour_by_idle_crew,
    hour_by_lost_day,
    hour_by_timeliness,
)
from wearlog.costs.published_rates import LOST_DAYS
from wearlog.errors import DataError

TIMELINESS = hour_by_timeliness(
    loss_per_day=0.005, area_standing=2_000, yield_per_area=40, price_minor=600, hours_per_day=10, workable_share=0.7
)
CREW = hour_by_idle_crew(2, 20_00, 15_00)
HIRED = hour_by_hired_capacity(40_00, 13.36, rate_source="a custom rate of $40 an acre")


def test_the_default_is_the_larger_of_timeliness_and_idle_crew_with_hired_capacity_as_ceiling() -> None:
    value = downtime_value([CREW, TIMELINESS, HIRED])
    assert value.used is TIMELINESS
    assert value.ceiling is HIRED
    assert not value.above_ceiling
    assert value.considered == (CREW, TIMELINESS, HIRED)


def test_the_cheapest_way_to_hire_is_the_ceiling() -> None:
    dear = hour_by_hired_capacity(60_00, 13.36, rate_source="a neighbour's word")
    assert downtime_value([TIMELINESS, dear, HIRED]).ceiling is HIRED


def test_idle_crew_is_used_when_little_stands() -> None:
    assert CREW.minor_per_hour == 55_00
    little = hour_by_timeliness(
        loss_per_day=0.005, area_standing=100, yield_per_area=40, price_minor=600, hours_per_day=10, workable_share=0.7
    )
    assert downtime_value([little, CREW]).used is CREW


def test_what_the_farm_set_goes_first_and_is_told_when_above_the_ceiling() -> None:
    value = downtime_value([TIMELINESS, hour_as_set(900_00), HIRED])
    assert value.used.basis is Basis.SET
    assert value.above_ceiling


def test_a_published_lost_day_is_used_when_the_farm_knows_nothing_else() -> None:
    value = downtime_value([hour_by_lost_day(LOST_DAYS[1]), HIRED])
    assert value.used.basis is Basis.LOST_DAY
    assert downtime_value([HIRED]).used is HIRED


def test_each_value_says_its_source() -> None:
    assert TIMELINESS.source.startswith("timeliness: 0.5 % of the standing crop's value")
    assert CREW.source == "2 waiting at the farm's wage, and the run for parts"
    assert hour_by_idle_crew(1, 20_00).source == "1 waiting at the farm's wage"
    assert HIRED.source == "hired capacity: a custom rate of $40 an acre"
    assert hour_as_set(5).source == "set by the farm"
    assert "Hanna, updated (2018)" in hour_by_lost_day(LOST_DAYS[1]).source


def test_figures_that_make_no_sense_are_refused() -> None:
    with pytest.raises(DataError, match="Nothing says"):
        downtime_value([])
    with pytest.raises(DataError, match="workable share must be above zero"):
        hour_by_timeliness(
            loss_per_day=0.005, area_standing=1, yield_per_area=1, price_minor=1, hours_per_day=10, workable_share=0
        )
    with pytest.raises(DataError, match="wage cannot be -1"):
        hour_by_idle_crew(1, -1)
