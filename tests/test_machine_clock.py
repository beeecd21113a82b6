"""The machine's clock: a time typed in winter for a day in summer is summer time."""

from __future__ import annotations

import time
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta

import pytest

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
