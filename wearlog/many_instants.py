"""Instants of many rows at once, as counts and as texts: a whole column is asked day by day and time by time."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, datetime, timedelta
from itertools import repeat
from operator import floordiv, sub
from typing import Final

EPOCH: Final = datetime(1970, 1, 1, tzinfo=UTC)
_MICROSECOND: Final = timedelta(microseconds=1)
_DAY: Final = timedelta(days=1) // _MICROSECOND
#: where the time begins in an instant as it is written
_TIME_AT: Final = len("2026-07-28T")


def in_utc(values: Sequence[datetime]) -> bool:
    """Say whether all of these are instants that stand in UTC."""
    return {*map(type, values)} <= {datetime} and all(value.tzinfo is UTC for value in values)


def counts_of(instants: Sequence[datetime]) -> list[int]:
    """Return whole microseconds since 1970-01-01 UTC of instants that stand in UTC."""
    return list(map(floordiv, map(sub, instants, repeat(EPOCH)), repeat(_MICROSECOND)))


def written_instants(instants: Sequence[datetime], timespec: str = "auto") -> list[str]:
    """Return what `isoformat` with this `timespec` returns of each; they stand in UTC."""
    parts = list(map(divmod, counts_of(instants), repeat(_DAY)))
    days = {day: (EPOCH + timedelta(days=day)).isoformat()[:_TIME_AT] for day in {day for day, _ in parts}}
    times = {
        time: (EPOCH + timedelta(microseconds=time)).isoformat(timespec=timespec)[_TIME_AT:]
        for time in {time for _, time in parts}
    }
    return [days[day] + times[time] for day, time in parts]
