"""When the rows of a notebook were: the column of times, the farm's own day, the nights on which the clocks change."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from tests.logbook.notebook.kept_notebooks import enter_farm, expected_of
from wearlog.facts.closed_lists import MeterKind
from wearlog.facts.machines import Machine, Reading
from wearlog.facts.wearing import Breakage, Fitting
from wearlog.facts.work import Run, Stoppage
from wearlog.logbook.farm.farm_setting import change_settings
from wearlog.logbook.lines.notebook_desk import NotebookDesk, lay_out, take_in
from wearlog.logbook.notebook.days_and_figures import day_in, time_in
from wearlog.logbook.notebook.layout import NoteSheet
from wearlog.logbook.notebook.understanding import NotebookWords
from wearlog.logbook.work.working import read_meter
from wearlog.store.finding import find_all
from wearlog.store.location import locate
from wearlog.store.opening import Store, create_store

ZONE = ZoneInfo("America/Chicago")
NOW = datetime(2026, 11, 25, 16, tzinfo=ZONE)
HEAD = ("Date", "Time", "Machine", "Part", "Pos", "Why", "Down")
METERS = ("Date", "Combine", "Sep h")


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    opened = create_store(locate(str(tmp_path / "log.db")))
    enter_farm(opened, expected_of("header_book"))
    change_settings(opened, {"time_zone": "America/Chicago"})
    yield opened
    opened.close()


def _sheet(store: Store, *rows: Sequence[str]) -> NotebookDesk:
    return lay_out(store, [NoteSheet("csv", rows)], "book.csv", NOW, NotebookWords())


def _taken(store: Store, *rows: Sequence[str]) -> NotebookDesk:
    desk = _sheet(store, *rows)
    assert take_in(store, desk, NOW, may_make=False).left == ()
    return desk


def _at(store: Store) -> list[str]:
    with store.reading() as connection:
        found = find_all(connection, Breakage)
    return sorted(f"{one.at.astimezone(ZONE):%m-%d %H:%M}" for one in found)


def test_the_column_of_times_says_when_it_broke(store: Store) -> None:
    desk = _taken(
        store,
        HEAD,
        ("2026-08-03", "14:30", "East", "section", "41", "rock", "20 min"),
        ("2026-08-03", "00:30", "East", "section", "42", "rock", "20 min"),
        ("2026-08-03", "2:15 pm", "East", "section", "43", "rock", "20 min"),
        ("2026-08-03", "", "East", "section", "44", "rock", "20 min"),
        ("2026-08-03 9:40", "after lunch", "East", "section", "45", "rock", "20 min"),
    )
    assert _at(store) == ["08-03 00:30", "08-03 09:40", "08-03 12:00", "08-03 14:15", "08-03 14:30"]
    assert desk.sure[-1].granted[0] == "'after lunch' is no time of day that is sure"
    with store.reading() as connection:
        assert "after lunch" in {one.note for one in find_all(connection, Breakage)}


def test_what_broke_in_the_morning_is_written_before_what_broke_at_noon(store: Store) -> None:
    _taken(
        store,
        HEAD,
        ("2026-08-03", "14:30", "East", "section", "41", "rock", "20 min"),
        ("2026-08-03", "8:10", "East", "section", "41", "rock", "20 min"),
    )
    with store.reading() as connection:
        broke = sorted(find_all(connection, Breakage), key=lambda one: one.at)
        on = {one.id: one for one in find_all(connection, Fitting)}
    assert broke[1].broke_fitting_ids == broke[0].followed_fitting_ids
    followed = on[broke[0].followed_fitting_ids[0] or broke[0].id]
    assert followed.removed_at is not None
    assert followed.removed_at - followed.fitted_at == timedelta(hours=6, minutes=20)


def test_readings_of_one_day_are_in_the_order_of_their_times(store: Store) -> None:
    head = ("Date", "Time", "Combine", "Sep h")
    desk = _taken(store, head, ("2026-08-03", "18:00", "Ivy", "1216.5"), ("2026-08-03", "7:30", "Ivy", "1209.0"))
    assert desk.asked == []
    with store.reading() as connection:
        shown = sorted((one.at.astimezone(ZONE).hour, one.shown_usage) for one in find_all(connection, Reading))
    assert shown == [(7, 1209 * 3600), (18, 12165 * 360)]


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("14:30", "14:30"),
        ("0:30", "00:30"),
        ("2:15 pm", "14:15"),
        ("12.05 a.m.", "00:05"),
        ("12 pm", "12:00"),
        ("noon", "12:00"),
        ("7am", "07:00"),
        ("1630", "16:30"),
        ("16 h", "16:00"),
        ("14:30:20", "14:30"),
        ("7", ""),
        ("25:10", ""),
        ("14:75", ""),
        ("14 pm", ""),
        ("45 min", ""),
        ("evening", ""),
    ],
)
def test_a_time_of_day_is_read_or_left(text: str, told: str) -> None:
    assert time_in(text) == told


def test_a_time_behind_a_day_is_one_that_a_clock_shows() -> None:
    half_past_midnight = day_in("2026-08-03 12:30 am", "")
    assert half_past_midnight is not None
    assert half_past_midnight.time == "00:30"
    assert day_in("2026-08-03 14:75", "") is None


@pytest.mark.parametrize(("day", "at"), [("2026-11-01", "00:30"), ("2026-03-08", "01:30")])
def test_three_hours_of_standing_are_three_where_the_clocks_change(store: Store, day: str, at: str) -> None:
    _taken(store, HEAD, (day, at, "East", "section", "41", "rock", "3 h"))
    with store.reading() as connection:
        (stop,) = find_all(connection, Stoppage)
    assert stop.ended_at is not None
    assert stop.ended_at - stop.started_at == timedelta(hours=3)
    assert f"{stop.started_at.astimezone(ZONE):%Y-%m-%d %H:%M}" == f"{day} {at}"


def test_the_runs_of_a_day_stand_one_behind_the_other_on_the_farms_clock(store: Store) -> None:
    head = ("Date", "Combine", "Header", "ac", "hours worked", "Sep h")
    _taken(
        store,
        head,
        ("2026-08-03", "Ivy", "East", "30", "3", "1216.5"),
        ("2026-08-03", "Ivy", "East", "60", "9", "1225.5"),
    )
    with store.reading() as connection:
        runs = [(one.started_at, one.ended_at) for one in find_all(connection, Run)]
        read = [one.at.astimezone(ZONE) for one in find_all(connection, Reading)]
    told = sorted([f"{one.astimezone(ZONE):%d %H:%M}" for one in run if one is not None] for run in runs)
    assert told == [["03 08:00", "03 11:00"], ["03 11:00", "03 20:00"]]
    assert sorted(f"{one:%d %H:%M}" for one in read) == ["03 11:00", "03 20:00"]


def test_a_reading_of_the_log_is_of_the_farms_day_and_not_of_londons(store: Store) -> None:
    with store.reading() as connection:
        ivy = next(one for one in find_all(connection, Machine) if one.name == "Ivy")
    read_meter(store, ivy, MeterKind.SEPARATOR_HOURS, 2295 * 3600, at=datetime(2026, 11, 20, 21, tzinfo=ZONE))
    desk = _sheet(store, METERS, ("2026-11-21", "Ivy", "2294"))
    assert [row.question.ask.value for row in desk.asked if row.question] == ["meter_backwards"]
