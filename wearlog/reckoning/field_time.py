"""What the runs and stoppages of a season come to: field time of a combine, breakdowns, days cut. Knows no plan."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Final

import numpy as np

from wearlog.facts.closed_lists import MachineKind, StopReason
from wearlog.facts.work import Season, Stoppage
from wearlog.reckoning.costs import Period, season_period
from wearlog.reckoning.farm import Farm
from wearlog.store.histories import Floats, Ints, code_of
from wearlog.store.schema.types import microseconds

#: outside field efficiency: repairs, daily service, weather (Iowa State A3-24); waiting for trucks is inside it
OUTSIDE: Final = (StopReason.BREAKDOWN, StopReason.SERVICE, StopReason.WEATHER, StopReason.MOISTURE)
_SECOND: Final = 1_000_000
_DAY: Final = 86_400 * _SECOND


@dataclass(frozen=True, slots=True, eq=False)
class FieldTime:
    """One combine in one season.

    Attributes
    ----------
    season : Season
    runs, left_out : int
        Runs whose time is known, and those that say only how much was cut in weeks.
    area, seconds : float
        Square metres and field time of the runs whose time is known.
    repair_seconds : (n,) float64
        How long each breakdown lasted.
    day_seconds : (d,) float64
        Of each day it cut: first to last, less what was lost to weather, moist grain and service.
    """

    season: Season
    runs: int
    left_out: int
    area: float
    seconds: float
    repair_seconds: Floats
    day_seconds: Floats


def combines_of(farm: Farm) -> Ints:
    """Return the places of the combines in the histories."""
    return np.flatnonzero(farm.histories.machines.kind == code_of(MachineKind.COMBINE))


def stops_of_combines(farm: Farm, stoppages: Iterable[Stoppage]) -> dict[int, list[Stoppage]]:
    """Sort stoppages by combine; a header's stop is that of the combine it was hitched to then."""
    place = {machine.id: number for number, machine in enumerate(farm.machines)}
    combines = set(combines_of(farm).tolist())
    hitches = farm.histories.hitches
    found: dict[int, list[Stoppage]] = {number: [] for number in combines}
    for stop in stoppages:
        number = place.get(stop.machine_id, -1)
        if number not in combines:
            at = microseconds(stop.started_at)
            on = np.flatnonzero((hitches.header == number) & (hitches.start <= at) & (at < hitches.end))
            number = int(hitches.combine[on[-1]]) if on.size else -1
        if number in combines:
            found[number].append(stop)
    return found


def field_time(farm: Farm, combine: int, season: Season, stops: Sequence[Stoppage]) -> FieldTime | None:
    """Return what one combine did in a season; None when it did nothing."""
    runs, period = farm.histories.runs, season_period(farm, season)
    mine = (runs.combine == combine) & (runs.start >= period.start) & (runs.start < period.end)
    mine &= runs.end <= farm.now_microseconds
    if not mine.any():
        return None
    start, end = runs.start[mine], runs.end[mine]
    inside = [stop for stop in stops if period.start <= microseconds(stop.started_at) < period.end]
    stood = _Standing.of(_spans(farm, inside, OUTSIDE))
    elapsed = (end - start) / _SECOND
    # a run of weeks is a season's total: only the hours somebody wrote for it are field time
    seconds = np.where(elapsed * _SECOND <= _DAY, elapsed - stood.within(start, end), runs.separator_seconds[mine])
    known = np.isfinite(seconds) & (seconds > 0)
    broke = _spans(farm, inside, (StopReason.BREAKDOWN,))
    return FieldTime(
        season=season,
        runs=int(known.sum()),
        left_out=int((~known).sum()),
        area=float(runs.area[mine][known].sum()),
        seconds=float(seconds[known].sum()),
        repair_seconds=np.array([(stop_end - begun) / _SECOND for begun, stop_end in broke], dtype=np.float64),
        day_seconds=_days(farm, start, end, _Standing.of(_spans(farm, inside, OUTSIDE[1:]))),
    )


def cutting_days(farm: Farm, period: Period) -> Ints:
    """Return the days on which any combine began to cut, ascending, counted from 1970 by the farm's clock."""
    runs = farm.histories.runs
    inside = (runs.start >= period.start) & (runs.start < period.end) & (runs.end - runs.start <= _DAY)
    return np.unique(_day_of(farm, runs.start[inside]))


def today_number(farm: Farm) -> int:
    """Return today in the same count."""
    return int(_day_of(farm, np.array([farm.now_microseconds]))[0])


def _day_of(farm: Farm, at: Ints) -> Ints:
    if not at.size:
        return at
    # one offset for a season: harvest does not cross the change of summer time at midnight
    middle = datetime.fromtimestamp(int(at[at.size // 2]) / _SECOND, UTC).astimezone(farm.now.tzinfo)
    offset = middle.utcoffset()
    return np.asarray((at + int(offset.total_seconds() * _SECOND if offset else 0)) // _DAY)


def _days(farm: Farm, start: Ints, end: Ints, stood: _Standing) -> Floats:
    short = end - start <= _DAY
    start, end = start[short], end[short]
    days, which = np.unique(_day_of(farm, start), return_inverse=True)
    first, last = np.full(days.size, np.iinfo(np.int64).max), np.zeros(days.size, dtype=np.int64)
    np.minimum.at(first, which, start)
    np.maximum.at(last, which, end)
    return np.asarray((last - first) / _SECOND - stood.within(first, last))


def _spans(farm: Farm, stops: Iterable[Stoppage], reasons: Sequence[StopReason]) -> list[tuple[int, int]]:
    now = farm.now_microseconds
    spans = [
        (microseconds(stop.started_at), min(now, now if stop.ended_at is None else microseconds(stop.ended_at)))
        for stop in stops
        if stop.reason in reasons
    ]
    return sorted(span for span in spans if span[1] > span[0])


@dataclass(frozen=True, slots=True, eq=False)
class _Standing:
    """Times of standing still that do not overlap, and how long they lasted up to each."""

    start: Ints
    end: Ints
    before: Floats

    @classmethod
    def of(cls, spans: Sequence[tuple[int, int]]) -> _Standing:
        merged: list[list[int]] = []
        for begun, ended in spans:
            if merged and begun <= merged[-1][1]:
                merged[-1][1] = max(merged[-1][1], ended)
            else:
                merged.append([begun, ended])
        both = np.array(merged, dtype=np.int64).reshape(-1, 2)
        return cls(both[:, 0], both[:, 1], np.concatenate(([0.0], np.cumsum(both[:, 1] - both[:, 0]))))

    def within(self, start: Ints, end: Ints) -> Floats:
        """Return seconds stood during each [start, end)."""
        return np.asarray((self._until(end) - self._until(start)) / _SECOND)

    def _until(self, at: Ints) -> Floats:
        last = np.searchsorted(self.start, at, "right")
        if not self.start.size:
            return np.zeros(at.shape)
        overhang = np.maximum(self.end[np.maximum(last - 1, 0)] - at, 0)
        return np.asarray(self.before[last] - np.where(last > 0, overhang, 0))
