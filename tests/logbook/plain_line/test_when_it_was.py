"""When it was, how long it took and what it cost, as lines say it in ways of their own; and a farm that writes days first."""

from __future__ import annotations

from dataclasses import replace
from zoneinfo import ZoneInfo

import pytest

from tests.logbook.plain_line.said_lines import NOW
from wearlog.logbook.plain_line import FarmWords, LineVerdict, hear


@pytest.fixture
def words(demo_words: FarmWords) -> FarmWords:
    return demo_words


@pytest.fixture
def metric(words: FarmWords) -> FarmWords:
    return replace(words, is_metric=True, day_first=True, currency="EUR")


def _local(said: str, words: FarmWords) -> str:
    heard = hear(said, words, NOW)
    assert heard.question == "", said
    return f"{heard.entries[0].at.astimezone(NOW.tzinfo):%Y-%m-%d %H:%M}"


@pytest.mark.parametrize(
    ("said", "at"),
    [
        ("28.7. kestrel section 9 rock", "2026-07-28 12:00"),
        ("kestrel section 9 rock 28.07.2026 16:20", "2026-07-28 16:20"),
        ("kestrel section 9 rock on 3.11. at 14.30", "2026-11-03 14:30"),
        ("kestrel section 9 rock 7-13-26", "2026-07-13 12:00"),
        ("kestrel section 9 rock on july twenty eighth", "2026-07-28 12:00"),
        ("kestrel section 9 broke night before last", "2026-11-18 21:00"),
        ("kestrel section 9 broke ten to five", "2026-11-20 16:50"),
        ("kestrel section 9 broke twenty past 3 yesterday", "2026-11-19 15:20"),
        ("7/28 4:20p kestrel section 9 rock", "2026-07-28 16:20"),
        ("kestrel section 9 rock @1630", "2026-11-20 16:30"),
        ("kestrel section 9 rock after lunch", "2026-11-20 13:00"),
        ("kestrel section 9 rock yesterday around suppertime", "2026-11-19 18:00"),
        ("kestrel section 9 rock at 16.20.", "2026-11-20 16:20"),
        ("alder new chopper blades last winter", "2026-01-15 12:00"),
        ("kestrel section 9 rock between 4 and 5 pm", "2026-11-20 16:00"),
        ("kestrel section 9 rock 4.30 in the afternoon", "2026-11-20 16:30"),
    ],
)
def test_days_and_times_in_ways_of_their_own(said: str, at: str, words: FarmWords) -> None:
    assert _local(said, words) == at


def test_a_time_without_am_and_pm_is_in_the_afternoon_where_that_is_over_and_told(words: FarmWords) -> None:
    assert _local("kestrel section 9 rock at 4:20", words) == "2026-11-20 16:20"
    assert "half of day" in hear("kestrel section 9 rock at 4:20", words, NOW).assumed
    assert _local("kestrel section 9 rock at 04:20", words) == "2026-11-20 04:20"
    assert _local("kestrel section 9 rock 4:20 this morning", words) == "2026-11-20 04:20"
    at_noon = hear("kestrel section 9 rock at 4:20", words, NOW.replace(hour=12))
    assert at_noon.entries[0].at.astimezone(NOW.tzinfo).hour == 4


@pytest.mark.parametrize(
    ("said", "at", "stood", "labour"),
    [
        ("tamarack bearing 4 failed from 2 to 4", "14:00", 120, None),
        ("tamarack bearing 4 failed from 4 til 4:30", "16:00", 30, None),
        ("tamarack bearing 4 failed 2pm - 4:30pm", "14:00", 150, None),
        ("wren guard 5 rock from 15:30 to 15:50, 2 men", "15:30", 20, 40),
        ("tamarack concave bent, we were down from noon to 5", "12:00", 300, None),
    ],
)
def test_from_when_until_when_says_how_long_it_stood(
    said: str, at: str, stood: int, labour: int | None, words: FarmWords
) -> None:
    heard = hear(said, words, NOW)
    entry = heard.entries[0]
    assert heard.question == ""
    assert f"{entry.at.astimezone(NOW.tzinfo):%H:%M}" == at
    assert entry.stood_seconds == stood * 60
    assert entry.labour_seconds == (None if labour is None else labour * 60)


@pytest.mark.parametrize(
    ("said", "began", "ended"),
    [
        ("juniper 60 ac from 9 to 5", "20 09:00", "20 17:00"),
        ("juniper 60 ac 9-5", "20 09:00", "20 17:00"),
        ("tamarack 80 acres creek bottom yesterday 2pm to 9", "19 14:00", "19 21:00"),
        ("juniper 60 ac 10am to 9pm nov 18", "18 10:00", "18 21:00"),
        ("juniper 60 ac 6pm to 2am", "19 18:00", "20 02:00"),
    ],
)
def test_a_run_is_from_when_until_when_on_the_day_that_is_said(
    said: str, began: str, ended: str, words: FarmWords
) -> None:
    work = hear(said, words, NOW).entries[0].work
    assert work is not None
    assert work.started_at is not None
    assert work.ended_at is not None
    assert [f"{one.astimezone(NOW.tzinfo):%d %H:%M}" for one in (work.started_at, work.ended_at)] == [began, ended]


def test_a_farm_that_writes_days_first_has_the_clock_of_24_hours(metric: FarmWords) -> None:
    assert _local("kestrel section 9 rock 3.11. 16:20", metric) == "2026-11-03 16:20"
    assert _local("kestrel section 9 rock 4:20", metric) == "2026-11-20 04:20"
    work = hear("juniper 22,5 ha wheat 9-17", metric, NOW).entries[0].work
    assert work is not None
    assert work.area_square_metres == 225_000
    assert work.hours_seconds == 8 * 3_600
    asked = hear("kestrel section 9 rock yesterday 15h", metric, NOW)
    assert asked.question == "'15h' can be a time of day or a duration."
    far = hear("kestrel section 9 rock 300 m from the road", metric, NOW)
    assert (far.question, far.entries[0].stood_seconds, far.entries[0].note) == ("", None, "300 m from the road")


def test_a_price_in_another_currency_is_asked_about(words: FarmWords, metric: FarmWords) -> None:
    assert hear("got 20 sections 95 euro together", metric, NOW).entries[0].amount == "received 20 at 4.75"
    asked = hear("got 20 sections 95 euro together", words, NOW)
    assert asked.question == "The farm's prices are in USD: what is that in USD?"
    assert hear("got 20 sections 95 dollars together", metric, NOW).question.startswith("The farm's prices are in EUR")


def test_a_line_that_corrects_a_figure_says_the_second(words: FarmWords) -> None:
    for said, positions in (
        ("kestrel section 41, no wait, 42 rock", (42,)),
        ("merlin sections 60-62 I mean 60-63 rock", (60, 61, 62, 63)),
        ("plover section 5, make that 6, broke", (6,)),
    ):
        heard = hear(said, words, NOW)
        assert (heard.question, heard.entries[0].positions) == ("", positions)
    assert hear("kestrel section 9 rock 20 min sorry 30 min", words, NOW).entries[0].stood_seconds == 30 * 60
    assert hear("kestrel sections 41, 42, no wait, 43 rock", words, NOW).question == "The line corrects itself."


def test_services_of_one_line_are_each_their_own(words: FarmWords) -> None:
    heard = hear("juniper engine oil and hydraulic filter changed", words, NOW)
    assert [entry.kind for entry in heard.entries] == ["engine oil and filter", "hydraulic filter"]
    both = hear("changed oil on juniper and greased kestrel", words, NOW)
    assert [(entry.machine.name, entry.kind) for entry in both.entries if entry.machine is not None] == [
        ("Juniper", "engine oil and filter"),
        ("Kestrel", "draper and idler rollers: grease"),
    ]
    stood = hear("tamarack fuel filter plugged, changed it, lost 40 min -- dust", words, NOW).entries[0]
    assert (stood.kind, stood.note) == ("fuel filters", "plugged; stood 40 min; dust")


def test_what_a_meter_shows_is_read_with_every_sign_of_thousands(words: FarmWords) -> None:
    for said in (
        "juniper engine 3,680",
        "juniper engine 3'680",
        "juniper engine hours at 3,680",
        "juniper engine 3680,0",
    ):
        heard = hear(said, words, NOW)
        assert (heard.verdict, heard.entries[0].usage, heard.timed) == (LineVerdict.READING, 3_680 * 3_600, False)
    both = hear("juniper 3680 hrs 2870 sep", words, NOW)
    assert [entry.kind for entry in both.entries] == ["engine_hours", "separator_hours"]


def test_times_are_those_of_the_farm(words: FarmWords) -> None:
    berlin = NOW.astimezone(ZoneInfo("Europe/Berlin"))
    heard = hear("kestrel section 9 rock from 2 to 3", words, berlin)
    assert heard.entries[0].at.astimezone(berlin.tzinfo).hour == 2 + 12
