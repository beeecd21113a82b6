"""Where a supplier is and when it is open, as people write it."""

from __future__ import annotations

import pytest

from wearlog.errors import UsageError
from wearlog.logbook.said.opening_words import read_clock, read_distance, read_opening, read_weekday, written_clock


@pytest.mark.parametrize(
    ("text", "unit", "metres"),
    [("12", "mi", 19_312), ("12", "km", 12_000), ("12 mi", "km", 19_312), ("7,5 km", "mi", 7_500), ("800m", "mi", 800)],
)
def test_a_distance_is_in_its_own_unit_or_the_farms(text: str, unit: str, metres: int) -> None:
    assert read_distance(text, unit) == metres


@pytest.mark.parametrize(
    ("text", "seconds"),
    [("7:30", 27_000), ("07:30:15", 27_015), ("12 am", 0), ("12 pm", 43_200), ("5 pm", 61_200), ("24:00", 86_400)],
)
def test_a_time_of_day_is_read_and_written_back(text: str, seconds: int) -> None:
    assert read_clock(text) == seconds
    assert read_clock(written_clock(seconds)) == seconds


@pytest.mark.parametrize("text", ["", "noonish", "25:00", "24:01", "13 pm", "0 am", "7:60"])
def test_what_is_no_time_of_day_is_refused(text: str) -> None:
    with pytest.raises(UsageError, match="no time of day"):
        read_clock(text)


def test_a_day_is_named_by_its_first_letters_unless_they_are_two_days() -> None:
    assert [read_weekday(one) for one in ("Monday", "tue", "Th", "Sun.")] == [0, 1, 3, 6]
    for text in ("T", "S", "x", ""):
        with pytest.raises(UsageError, match="no day of the week"):
            read_weekday(text)


def test_hours_of_a_week_stand_in_one_line() -> None:
    found = read_opening("Mon-Fri 7:30-17:30, Sat 8-12")
    assert found == {**dict.fromkeys(range(5), (27_000, 63_000)), 5: (28_800, 43_200)}
    assert sorted(read_opening("sat-mon 9-10")) == [0, 5, 6]
    for text in ("Mon", "Mon 8", "Mon 12-8", "7:30-17:30"):
        with pytest.raises(UsageError):
            read_opening(text)
