"""How long machines stood for which stop: each minute once, in the hours of a field day. Knows neither headers nor money."""

from __future__ import annotations

from bisect import bisect_right
from collections import defaultdict
from collections.abc import Iterator, Sequence
from datetime import UTC, date, datetime, time, timedelta, tzinfo
from functools import cache
from itertools import islice
from operator import itemgetter
from typing import Final, NamedTuple

from wearlog.machine_clock import MachineClock

#: after a night a machine that stands is missed from ten in the morning, when the dew is off, until eight in the evening
#: (common practice, no source)
FIELD_DAY: Final = (time(10), time(20))
#: the hours that the value of an hour rests on: no machine is missed for longer on one day
FIELD_DAY_SECONDS: Final = 10 * 3600

_EPOCH: Final = datetime(1970, 1, 1, tzinfo=UTC)
_MICROSECOND: Final = timedelta(microseconds=1)
_SECOND: Final = 1_000_000
_DAY: Final = 86_400 * _SECOND
_ONE_DAY: Final = timedelta(days=1)
_OPENS: Final = itemgetter(1)


class Stand(NamedTuple):
    """A stretch of a stop during which one machine stood.

    Attributes
    ----------
    stop : int
        Which stop it belongs to; several stretches may belong to one.
    machine : int
        Which machine stood.
    begun : int
        When the stop began; microseconds since 1970 UTC, as the next two.
    start, end : int
        [start, end); the stretch is empty when it ends before it starts.
    """

    stop: int
    machine: int
    begun: int
    start: int
    end: int


def standing_seconds(
    stands: Sequence[Stand], stops: int, zone: tzinfo | None, unfit: Sequence[Stand] = ()
) -> tuple[int, ...]:
    """Return for each stop how long machines stood for it, in whole seconds.

    Parameters
    ----------
    stands : sequence of Stand
    stops : int
        Number of stops.
    zone : tzinfo or None
        The farm's clock; None is this machine's.
    unfit : sequence of Stand, optional
        When machines could not have cut whatever else stopped them (rain, moist grain); `stop` and `begun` say nothing here.

    Notes
    -----
    Every minute of a machine belongs to the stretch that started first (of two that started together, to the one given first), so
    that what overlaps is counted once. What is unfit counts for no stop, whichever of the two began first. On the day a stop began
    all of it counts; on every later day, what lies in the field day. On no day does a machine stand for longer than a field day
    lasts: what came first that day counts.
    """
    found, clock = [0] * stops, _FieldClock(zone)
    by_machine: dict[int, list[Stand]] = defaultdict(list)
    for stand in stands:
        by_machine[stand.machine].append(stand)
    closed = _merged(unfit)
    for machine, mine in by_machine.items():
        left: dict[date, int] = defaultdict(lambda: FIELD_DAY_SECONDS * _SECOND)
        reached = min(stand.start for stand in mine)
        for stand in sorted(mine, key=lambda one: one.start):
            for start, end in _without(max(stand.start, reached), stand.end, closed.get(machine, ())):
                for day, length in clock.by_day(start, end, stand.begun):
                    counted = min(length, left[day])
                    left[day] -= counted
                    found[stand.stop] += counted
            reached = max(reached, stand.end)
    return tuple(round(length / _SECOND) for length in found)


def _merged(unfit: Sequence[Stand]) -> dict[int, list[tuple[int, int]]]:
    """Return the unfit times of each machine in their order, none touching the next."""
    found: dict[int, list[tuple[int, int]]] = defaultdict(list)
    for one in sorted(unfit, key=lambda stand: stand.start):
        mine = found[one.machine]
        if one.end <= one.start:
            continue
        if mine and one.start <= mine[-1][1]:
            mine[-1] = (mine[-1][0], max(mine[-1][1], one.end))
        else:
            mine.append((one.start, one.end))
    return found


def _without(start: int, end: int, closed: Sequence[tuple[int, int]]) -> Iterator[tuple[int, int]]:
    """Yield what is left of [start, end) outside the closed times."""
    # years of rain lie before and after: only what touches the stretch is looked at
    for shut, opens in islice(closed, bisect_right(closed, start, key=_OPENS), None):
        if shut >= end:
            break
        if shut > start:
            yield start, shut
        start = max(start, opens)
    if start < end:
        yield start, end


class _FieldClock:
    """The days of the farm's clock. Many machines stand on the same few days: each is worked out once."""

    def __init__(self, zone: tzinfo | None) -> None:
        self._zone = zone or MachineClock()
        self._edges = cache(self._edges_of)
        self._days = cache(self._days_of)

    def by_day(self, start: int, end: int, begun: int) -> Iterator[tuple[date, int]]:
        """Yield each day of [start, end) with the microseconds that could have been field time."""
        if end <= start:
            return
        first_day, day = self._day(begun), self._day(start)
        while (edges := self._edges(day))[0] < end:
            midnight, opens, shuts, tomorrow = edges
            since, until = (midnight, tomorrow) if day == first_day else (opens, shuts)
            length = min(end, until) - max(start, since)
            if length > 0:
                yield day, length
            day += _ONE_DAY

    def _day(self, count: int) -> date:
        """Return the day of an instant by this clock: one of those that a day of UTC reaches into."""
        first, last = self._days(count // _DAY)
        while first < last and count >= self._edges(first)[3]:
            first += _ONE_DAY
        return first

    def _days_of(self, day: int) -> tuple[date, date]:
        """Return the days by this clock on which a day of UTC, counted from 1970, begins and ends."""
        return self._local(day * _DAY).date(), self._local((day + 1) * _DAY - 1).date()

    def _edges_of(self, day: date) -> tuple[int, int, int, int]:
        """Return when a day begins, when machines are missed from and until, and when the next day begins."""
        opens, shuts = (self._count(datetime.combine(day, edge)) for edge in FIELD_DAY)
        midnight, tomorrow = (self._count(datetime.combine(one, time())) for one in (day, day + _ONE_DAY))
        return midnight, opens, shuts, tomorrow

    def _local(self, count: int) -> datetime:
        return (_EPOCH + timedelta(microseconds=count)).astimezone(self._zone)

    def _count(self, clock: datetime) -> int:
        """Return when this clock shows a time, in microseconds since 1970."""
        return (clock.replace(tzinfo=self._zone) - _EPOCH) // _MICROSECOND
