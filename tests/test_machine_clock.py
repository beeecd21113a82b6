"""The machine's clock: a time typed in winter for a day in summer is summer time."""

from __future__ import annotations

import time
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from tests.cli.running import on_log, runner
from tests.windows_rules import old_times_refused
from wearlog.logbook.said.measures import read_moment
from wearlog.machine_clock import MachineClock, machine_now


@pytest.fixture(autouse=True)
def on_the_prairie(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """A clock six hours behind UTC, five in summer, whatever this machine is set to."""
    monkeypatch.setenv("TZ", "CST6CDT,M3.2.0,M11.1.0")
    time.tzset()
    yield
    monkeypatch.undo()
    time.tzset()


def test_a_day_on_the_other_side_of_the_clock_change_has_its_own_offset() -> None:
    clock = MachineClock()
    assert datetime(2026, 8, 10, 12, tzinfo=clock).utcoffset() == timedelta(hours=-5)
    assert datetime(2026, 12, 10, 12, tzinfo=clock).utcoffset() == timedelta(hours=-6)
    winter = datetime(2026, 11, 25, 15, tzinfo=UTC).astimezone(clock)
    assert read_moment("2026-08-10 12:00", winter) == datetime(2026, 8, 10, 17, tzinfo=UTC)


def test_there_and_back_is_the_same_instant_around_both_changes() -> None:
    for month, day in ((3, 8), (11, 1)):
        for quarter in range(4 * 24):
            instant = datetime(2026, month, day, tzinfo=UTC) + timedelta(minutes=15 * quarter)
            local = instant.astimezone(MachineClock())
            assert local.astimezone(UTC) == instant
            assert local.utcoffset() in (timedelta(hours=-5), timedelta(hours=-6))


def test_now_is_now() -> None:
    assert abs(machine_now() - datetime.now(UTC)) < timedelta(seconds=5)
    assert isinstance(machine_now().tzinfo, MachineClock)


@pytest.fixture
def no_old_times() -> Iterator[None]:
    """A system whose C library tells no time before 1970."""
    with old_times_refused():
        with pytest.raises(OSError, match="Invalid argument"):
            datetime(1957, 8, 1, tzinfo=UTC).astimezone()
        with pytest.raises(OSError, match="Invalid argument"):
            datetime.fromtimestamp(-1, UTC)
        yield


def test_a_day_before_1970_is_told_where_the_system_refuses_it(no_old_times: None) -> None:
    clock = MachineClock()
    for year in (1948, 1957, 1969, 1970, 3007):
        summer, winter = datetime(year, 8, 10, 12, tzinfo=clock), datetime(year, 1, 1, 12, tzinfo=clock)
        assert (summer.utcoffset(), winter.utcoffset()) == (timedelta(hours=-5), timedelta(hours=-6)), year
        assert summer.astimezone(UTC).hour == 17
        assert datetime(year, 8, 10, 17, tzinfo=UTC).astimezone(clock).replace(tzinfo=None) == summer.replace(
            tzinfo=None
        )
    assert datetime(1956, 2, 29, 12, tzinfo=clock).utcoffset() == timedelta(hours=-6)


def test_an_old_reading_goes_through_import_answers_and_export(
    no_old_times: None, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    wearlog = on_log(runner(capsys), tmp_path / "log.db")
    assert wearlog("add", "combine", "Wren", "--separator", "10").code == 0
    sheet = tmp_path / "reading.csv"
    sheet.write_text("machine,meter,at,shown_h\nWren,separator_hours,1957-08-01 12:00,3\n", "utf-8")
    assert wearlog("import", str(sheet)).code == 0
    assert "1957-08-01 12:00" in wearlog("entries", "reading").out
    for words in (("wear",), ("brief",), ("due",), ("cost",), ("check",), ("runs",)):
        assert wearlog(*words).code == 0, words
    assert wearlog("export", str(tmp_path / "out")).code == 0
    assert "1957-08-01 12:00-05:00" in (tmp_path / "out" / "reading.csv").read_text("utf-8")
    sheet.write_text("machine,meter,at,shown_h\nWren,separator_hours,1948-08-01 12:00,1\n", "utf-8")
    refused = wearlog("import", str(sheet))
    assert refused.code == 4
    assert "reading.csv, line 2, column C (at): The year 1948 is before 1950." in refused.out
