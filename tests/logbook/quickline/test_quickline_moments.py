"""The moments that the quick line means: time zones, the change of the clocks, years that are not said, day or month first."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta, timezone

import pytest

from tests.logbook.quickline.quickline_farm import CUTTING, NOW, PRAIRIE
from tests.logbook.quickline.said_back import describe
from wearlog.logbook.quickline import understand


def _at(when: str, now: datetime = NOW, *, day_first: bool = False) -> datetime:
    understood = understand(f"guard 3, {when}", CUTTING, now, day_first=day_first)
    assert understood.problems == ()
    return understood.at


def _asked(when: str, now: datetime = NOW, *, day_first: bool = False) -> list[str]:
    return [one.message for one in understand(f"guard 3, {when}", CUTTING, now, day_first=day_first).problems]


def _local(*parts: int, fold: int = 0) -> datetime:
    return datetime(*parts, tzinfo=PRAIRIE, fold=fold)


def test_a_time_of_day_is_read_in_the_zone_of_the_present_time() -> None:
    fixed = datetime(2026, 7, 28, 14, 5, tzinfo=timezone(timedelta(hours=2)))
    assert _at("13:10", fixed) == datetime(2026, 7, 28, 11, 10, tzinfo=UTC)
    assert _at("13:10") == datetime(2026, 7, 28, 18, 10, tzinfo=UTC)


def test_yesterday_counts_calendar_days_over_the_change_of_the_clocks() -> None:
    """On 8 March 2026 the clocks of this zone went from 2:00 to 3:00: the day had 23 hours."""
    morning_after = _local(2026, 3, 8, 9, 0)
    assert _at("yesterday 9:00", morning_after) == datetime(2026, 3, 7, 15, 0, tzinfo=UTC)
    assert _at("24 h ago", morning_after) == datetime(2026, 3, 7, 14, 0, tzinfo=UTC)


def test_hours_ago_are_hours_that_passed() -> None:
    assert _at("2 h ago", _local(2026, 3, 8, 3, 30)) == datetime(2026, 3, 8, 6, 30, tzinfo=UTC)
    assert (
        describe(understand("guard 3, 2 h ago", CUTTING, _local(2026, 3, 8, 3, 30)), PRAIRIE)
        .splitlines()[0]
        .endswith("today 00:30")
    )


def test_of_two_equal_times_of_day_only_the_one_that_has_been_can_be_meant() -> None:
    """At ten past one for the first time on 1 November 2026, 1:05 has been once; an hour later it has been twice."""
    assert _at("1:05", _local(2026, 11, 1, 1, 10)) == datetime(2026, 11, 1, 6, 5, tzinfo=UTC)
    assert _at("1:30", _local(2026, 11, 1, 1, 10, fold=1)) == datetime(2026, 11, 1, 6, 30, tzinfo=UTC)
    assert _asked("1:05", _local(2026, 11, 1, 1, 10, fold=1)) == [
        "There were two times 01:05 on 1 Nov 2026: the clocks went back."
    ]


def test_the_present_minute_is_not_in_the_future() -> None:
    now = NOW.replace(second=40, microsecond=7)
    assert _at("14:05", now) == NOW
    assert _at("today", now) == now
    assert _asked("14:06", now) == ["14:06 today is still to come; it is 14:05 now."]


@pytest.mark.parametrize(
    ("when", "day_first", "month", "day"),
    [("7/8/2025", False, 7, 8), ("7/8/2025", True, 8, 7), ("8 july 2025", True, 7, 8), ("july 8 2025", True, 7, 8)],
)
def test_a_day_with_strokes_is_month_first_unless_told(when: str, day_first: bool, month: int, day: int) -> None:
    local = _at(f"{when} 10:00", day_first=day_first).astimezone(PRAIRIE)
    assert (local.year, local.month, local.day, local.hour) == (2025, month, day, 10)


def test_a_day_that_fits_only_the_other_order_is_asked_about() -> None:
    assert _asked("7/28", day_first=True) == ["'7/28' is read day first, and there is no month 28."]
    assert _asked("28/7") == ["'28/7' is read month first, and there is no month 28."]


def test_a_day_still_to_come_this_year_is_last_years_when_that_is_near() -> None:
    january = _local(2027, 1, 5, 8, 0)
    understood = understand("guard 3, december 28 16:20", CUTTING, january)
    assert understood.at == datetime(2026, 12, 28, 22, 20, tzinfo=UTC)
    assert understood.assumed[-1:] == ("year",)
    assert describe(understood, PRAIRIE).splitlines() == [
        "North header, guard 3: broken, replaced; Mon 28 December 2026 16:20",
        "Not said, so taken for granted: North header, cause unknown, broken, replaced, the year 2026",
    ]
    assert _asked("december 28") == ["28 Dec 2026 is still to come; today is 28 Jul 2026."]


def test_a_weekday_is_the_latest_one_and_today_only_while_its_time_has_been() -> None:
    assert _at("tuesday 9:15") == _local(2026, 7, 28, 9, 15)
    assert _at("last tuesday 9:15") == _local(2026, 7, 21, 9, 15)
    assert _at("wed 9:15") == _local(2026, 7, 22, 9, 15)
    assert _at("last mon 9:15") == _local(2026, 7, 27, 9, 15)


def test_a_part_of_today_is_never_later_than_now() -> None:
    assert _at("this afternoon", _local(2026, 7, 28, 12, 20)) == _local(2026, 7, 28, 12, 20)
    assert _at("this morning") == _local(2026, 7, 28, 9, 0)
    assert _asked("this evening") == ["19:00 today is still to come; it is 14:05 now."]


def test_the_description_is_in_the_zone_that_is_asked_for() -> None:
    understood = understand("guard 3, yesterday 23:30", CUTTING, NOW)
    assert "; yesterday 23:30" in describe(understood, PRAIRIE)
    assert "; today 04:30" in describe(understood, UTC)
