"""Names by their beginning, moments and durations as people say them."""

from __future__ import annotations

from contextlib import suppress
from datetime import UTC, datetime, timedelta, timezone

import pytest
from hypothesis import given
from hypothesis import strategies as st

from wearlog.errors import NotFoundError, UsageError
from wearlog.logbook.names import pick
from wearlog.logbook.said.measures import read_duration, read_moment

NOW = datetime(2026, 8, 3, 14, 0, tzinfo=timezone(timedelta(hours=-5)))
FIELDS = ("north quarter", "south quarter", "river bottom", "north")


def field(text: str) -> str:
    return pick(FIELDS, str, text, "field")


@pytest.mark.parametrize(
    ("text", "found"),
    [("riv", "river bottom"), ("BOTTOM", "river bottom"), ("south", "south quarter"), ("north", "north")],
)
def test_a_unique_beginning_of_a_name_or_of_a_word_is_enough_and_the_whole_name_wins(text: str, found: str) -> None:
    assert field(text) == found


def test_an_ambiguous_beginning_lists_what_it_could_be() -> None:
    with pytest.raises(UsageError) as error:
        field("qua")
    assert error.value.message == "'qua' could be any of 2 fields."
    assert error.value.hint == "Write more of the name: 'north quarter', 'south quarter'."


def test_an_unknown_name_is_told_the_nearest() -> None:
    with pytest.raises(NotFoundError) as error:
        field("rivver bottom")
    assert (error.value.message, error.value.hint) == (
        "There is no field 'rivver bottom'.",
        "The nearest is river bottom.",
    )


@pytest.mark.parametrize(
    ("text", "utc"),
    [
        ("", "2026-08-03 19:00"),
        ("13:20", "2026-08-03 18:20"),
        ("yesterday 16:20", "2026-08-02 21:20"),
        ("2 h ago", "2026-08-03 17:00"),
        ("jul 28 16:20", "2026-07-28 21:20"),
        ("7/28 4pm", "2026-07-28 21:00"),
        ("2026-07-28 16:20", "2026-07-28 21:20"),
        ("2026-07-28T16:20Z", "2026-07-28 16:20"),
        ("mon 9:15", "2026-08-03 14:15"),
    ],
)
def test_moments_as_people_say_them(text: str, utc: str) -> None:
    assert read_moment(text, NOW) == datetime.fromisoformat(utc).replace(tzinfo=UTC)


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("16:20", "16:20 today is still to come; it is 14:00 now."),
        ("soon", "'soon' is not a time."),
        ("\U00010e60", "'\U00010e60' is not a time."),
        ("20 min", "'20 min' is a duration, not a time."),
        ("x" * 100, "'xxxxxxxxxxxxxxxxxxxx...' is too long for a time."),
    ],
)
def test_what_is_no_moment_gets_a_sentence(text: str, sentence: str) -> None:
    with pytest.raises(UsageError) as error:
        read_moment(text, NOW)
    assert error.value.message == sentence


@pytest.mark.parametrize(
    ("text", "seconds"), [("20 min", 1200), ("1.5 h", 5400), ("half an hour", 1800), ("1h20", 4800)]
)
def test_durations_as_people_say_them(text: str, seconds: int) -> None:
    assert read_duration(text) == seconds


@pytest.mark.parametrize("text", ["", "20", "soon", "16:20"])
def test_what_is_no_duration_gets_a_sentence(text: str) -> None:
    with pytest.raises(UsageError, match=r"is not a duration\."):
        read_duration(text)


@given(st.text(max_size=90))
def test_no_text_does_more_than_get_a_sentence(text: str) -> None:
    for read in (lambda: read_moment(text, NOW), lambda: read_duration(text)):
        with suppress(UsageError):
            read()
