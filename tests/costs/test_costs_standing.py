"""How long machines stood: each minute once, nights left out, no day longer than a field day."""

from __future__ import annotations

from datetime import UTC, datetime
from zoneinfo import ZoneInfo

import pytest

from wearlog.costs.standing import Stand, standing_seconds

DENVER = ZoneInfo("America/Denver")
HOUR = 3600


def at(clock: str) -> int:
    """Return a time of Denver's clock, like "20 16:00" in August 2026, in microseconds since 1970."""
    shown = datetime.strptime(f"2026-08-{clock}", "%Y-%m-%d %H:%M").replace(tzinfo=DENVER)
    return int(shown.astimezone(UTC).timestamp()) * 1_000_000


def stand(stop: int, machine: int, start: str, end: str) -> Stand:
    return Stand(stop, machine, at(start), at(start), at(end))


@pytest.mark.parametrize(
    ("start", "end", "hours"),
    [
        ("20 16:00", "20 17:00", 1.0),
        ("20 22:30", "20 23:30", 1.0),  # who cuts at night stands at night
        ("20 18:00", "21 09:00", 6.0),  # the evening, and nothing of the morning dew
        ("20 18:00", "21 11:00", 7.0),
        ("20 12:00", "21 12:00", 12.0),
        ("20 06:00", "20 22:00", 10.0),  # no day is longer than a field day
        ("20 09:00", "23 09:00", 30.0),
        ("20 17:00", "20 17:00", 0.0),
        ("20 17:00", "20 16:00", 0.0),
    ],
)
def test_a_stop_counts_in_the_hours_of_field_days(start: str, end: str, hours: float) -> None:
    assert standing_seconds([stand(0, 0, start, end)], 1, DENVER) == (round(hours * HOUR),)


def test_what_overlaps_belongs_to_the_stop_that_began_first() -> None:
    stands = [
        stand(0, 0, "20 16:10", "20 16:30"),
        stand(1, 0, "20 16:00", "20 17:00"),
        stand(2, 0, "20 16:50", "20 17:30"),
        stand(3, 1, "20 16:00", "20 17:00"),
    ]
    assert standing_seconds(stands, 4, DENVER) == (0, HOUR, HOUR // 2, HOUR)


def test_of_two_that_began_together_the_first_given_counts() -> None:
    stands = [stand(0, 0, "20 16:00", "20 16:20"), stand(1, 0, "20 16:00", "20 17:00")]
    assert standing_seconds(stands, 2, DENVER) == (20 * 60, 40 * 60)


def test_several_stops_of_a_day_share_one_field_day() -> None:
    stands = [stand(0, 0, "20 07:00", "20 14:00"), stand(1, 0, "20 15:00", "20 21:00")]
    assert standing_seconds(stands, 2, DENVER) == (7 * HOUR, 3 * HOUR)


def test_days_are_those_of_the_farm_s_clock_summer_time_or_not() -> None:
    """18:00 in Denver is 00:00 or 01:00 UTC: by UTC the evening would be another day's."""
    november = [
        Stand(0, 0, *(int(datetime(2026, 11, d, h, tzinfo=DENVER).timestamp()) * 1_000_000 for d, h in days))
        for days in [((1, 18), (1, 18), (2, 9))]
    ]
    assert standing_seconds(november, 1, DENVER) == (6 * HOUR,)


def test_no_stops_take_no_time() -> None:
    assert standing_seconds([], 0, DENVER) == ()
