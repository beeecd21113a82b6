"""How long machines stood for which stop: each minute once, in the hours of a field day. Knows neither headers nor money."""

from __future__ import annotations

from bisect import bisect_right
from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta, tzinfo
from itertools import islice
from operator import itemgetter
from typing import Final

from wearlog.machine_clock import MachineClock

#: after a night a machine that stands is missed from ten in the morning, when the dew is off, until eight in the evening
#: (common practice, no source)
FIELD_DAY: Final = (time(10), time(20))
#: the hours that the value of an hour rests on: no machine is missed for longer on one day
FIELD_DAY_SECONDS: Final = 10 * 3600

_EPOCH: Final = datetime(1970, 1, 1, tzinfo=UTC)
_MICROSECOND: Final = timedelta(microseconds=1)
_SECOND: Final = 1_000_000
_OPENS: Final = itemgetter(1)


@dataclass(frozen=True, slots=True)
class Stand:
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
    found = [0] * stops
    by_machine: dict[int, list[Stand]] = defaultdict(list)
    for stand in stands:
        by_machine[stand.machine].append(stand)
    closed = _merged(unfit)
    for machine, mine in by_machine.items():
        left: dict[date, int] = defaultdict(lambda: FIELD_DAY_SECONDS * _SECOND)
        reached = min(stand.start for stand in mine)
        for stand in sorted(mine, key=lambda one: one.start):
            for start, end in _without(max(stand.start, reached), stand.end, closed.get(machine, ())):
                for day, length in _by_day(start, end, stand.begun, zone):
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


def _by_day(start: int, end: int, begun: int, zone: tzinfo | None) -> Iterator[tuple[date, int]]:
    """Yield each day of [start, end) with the microseconds that could have been field time."""
    if end <= start:
        return
    first_day = _local(begun, zone).date()
    day = _local(start, zone).date()
    while (midnight := _count(datetime.combine(day, time()), zone)) < end:
        tomorrow = day + timedelta(days=1)
        until = _count(datetime.combine(tomorrow, time()), zone)
        if day != first_day:
            midnight, until = (_count(datetime.combine(day, edge), zone) for edge in FIELD_DAY)
        length = min(end, until) - max(start, midnight)
        if length > 0:
            yield day, length
        day = tomorrow


def _local(count: int, zone: tzinfo | None) -> datetime:
    return (_EPOCH + timedelta(microseconds=count)).astimezone(zone or MachineClock())


def _count(clock: datetime, zone: tzinfo | None) -> int:
    """Return when the farm's clock shows a time, in microseconds since 1970."""
    return (clock.replace(tzinfo=zone or MachineClock()) - _EPOCH) // _MICROSECOND
