"""Numbers, money, times and measures as people read them."""

from __future__ import annotations

from datetime import UTC, date, datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from wearlog.facts.closed_lists import MeterKind
from wearlog.facts.farm_settings import FarmSettings
from wearlog.present.digits import Measures, amount, duration, number, percent, significant

US = Measures(FarmSettings(time_zone="America/Chicago"))
METRIC = Measures(FarmSettings(units="metric", currency="EUR", time_zone="Europe/Berlin"))
ACRE = 4046.8564224


@pytest.mark.parametrize(
    ("value", "places", "text"),
    [(1240, 0, "1,240"), (3.25, 1, "3.2"), (-0.04, 1, "0.0"), (-3, 0, "-3"), (None, 0, "-"), (0, 0, "0")],
)
def test_numbers(value: float | None, places: int, text: str) -> None:
    assert number(value, places) == text


@pytest.mark.parametrize(("value", "text"), [(41.2, "41"), (4.12, "4.1"), (0.412, "0.41"), (None, "-")])
def test_a_rate_has_two_digits_that_mean_something(value: float | None, text: str) -> None:
    assert significant(value) == text


@pytest.mark.parametrize(
    ("minor", "cents", "text"), [(123450, True, "1,234.50"), (123450, False, "1,234"), (-5, True, "-0.05")]
)
def test_money(minor: int, cents: bool, text: str) -> None:
    assert amount(minor, cents=cents) == text


@pytest.mark.parametrize(
    ("share", "text"), [(0, "0 %"), (0.003, "under 1 %"), (0.5, "50 %"), (0.997, "over 99 %"), (1, "100 %")]
)
def test_a_chance_is_never_shown_as_surer_than_it_is(share: float, text: str) -> None:
    assert percent(share) == text


@given(st.floats(min_value=1e-9, max_value=1 - 1e-9))
def test_what_is_not_certain_is_not_called_certain(share: float) -> None:
    assert percent(share) not in ("0 %", "100 %")


@pytest.mark.parametrize(
    ("seconds", "text"), [(1200, "20 min"), (3600, "1 h"), (5400, "1 h 30 min"), (45_000, "12.5 h"), (29, "0 min")]
)
def test_durations(seconds: int, text: str) -> None:
    assert duration(seconds) == text


def test_measures_in_the_farm_s_units() -> None:
    assert (US.area(1240 * ACRE), METRIC.area(1_240_000)) == ("1,240 ac", "124 ha")
    assert US.usage(MeterKind.SEPARATOR_HOURS, 312.4 * 3600) == "312 h"
    assert US.usage(MeterKind.AREA, None) == "-"
    assert (US.width(12_192_000), METRIC.width(12_192_000)) == ("40 ft", "12.2 m")
    assert (US.small_length(3175), METRIC.small_length(3175)) == ("0.125 in", "3.2 mm")
    assert (US.per_thousand(1 / ACRE), METRIC.per_thousand(1 / 10_000)) == (pytest.approx(1000), pytest.approx(1000))
    assert METRIC.money(1050) == "10.50 EUR"


def test_times_are_the_farm_s_clock() -> None:
    late = datetime(2026, 8, 1, 3, 30, tzinfo=UTC)
    assert (US.day(late), US.moment(late)) == ("2026-07-31", "2026-07-31 22:30")
    assert METRIC.moment(late) == "2026-08-01 05:30"
    assert US.day(date(2026, 8, 1)) == "2026-08-01"
    assert (US.day(None), US.moment(None)) == ("-", "-")
    assert US.moment(round(late.timestamp() * 1e6)) == US.moment(late)


def test_a_sentence_says_a_day_as_people_do_and_a_column_as_it_is_ordered() -> None:
    at = datetime(2026, 9, 12, 2, 30, tzinfo=UTC)
    # half past nine the evening before, by the farm's clock
    assert (US.date_said(at), US.time_said(at), US.day(at)) == ("11 Sep 2026", "11 Sep 2026 21:30", "2026-09-11")
    assert (US.date_said(date(2025, 1, 3)), US.date_said(None), US.time_said(None)) == ("3 Jan 2025", "-", "-")
    assert US.date_said(at, datetime(2026, 11, 30, tzinfo=UTC)) == "11 Sep"
    assert US.time_said(at, datetime(2027, 1, 1, tzinfo=UTC)) == "11 Sep 2026 21:30"
