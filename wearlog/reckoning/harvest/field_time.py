"""What the runs and stops of a season come to: field time, breakdowns, days cut, and pace beside what width and speed would do."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Final
from uuid import UUID

import numpy as np

from wearlog.facts.closed_lists import MachineKind, MeterKind, Sensor, StopReason
from wearlog.facts.quality import Calibration
from wearlog.facts.work import PlannedArea, Season, SeasonPlan, Stoppage
from wearlog.harvest.capacity import FieldCapacity, effective_field_capacity, measured_capacity
from wearlog.reckoning.farm import Farm, Period, season_period
from wearlog.store.connection import Connection
from wearlog.store.finding import find_all
from wearlog.store.histories import Floats, Ints, code_of
from wearlog.store.schema.types import instant, microseconds
from wearlog.units import FOOT_METRES, MILE_METRES

#: until a header's width is known; with the speed and efficiency the worked example of Kentucky AEN-73 (computed)
GUESS_WIDTH: Final = 35 * float(FOOT_METRES)

GUESS_SPEED: Final = 4.5 * float(MILE_METRES) / 3600

GUESS_EFFICIENCY: Final = 0.7

_HOUR: Final = 3600.0


@dataclass(frozen=True, slots=True)
class FieldPace:
    """What a combine did of what it could: widths in metres, speeds in metres per second.

    `checks` is the number of speed checks that the speed is the mean of; 0: a person said it.
    """

    width: float
    speed: float
    checks: int
    capacity: FieldCapacity


@dataclass(frozen=True, slots=True)
class GuessedPace:
    """What a combine will cut before any has cut: square metres an hour, by a width in metres."""

    capacity: float
    width: float


def field_pace(
    farm: Farm, place: int, time: FieldTime, checks: Sequence[Calibration], speed: float | None = None
) -> FieldPace | None:
    """Return the field efficiency of a combine in a season; None while its width or its speed is not known.

    `checks` are the loads of all sensors in order of time; of the last season in which the speed was checked the true speeds count.
    """
    width = _width_cut(farm, place, time.season)
    machine = farm.machines[place].id
    own = [one for one in checks if one.machine_id == machine and one.sensor is Sensor.GROUND_SPEED]
    latest = [one.reference_amount / 1000 for one in own if one.at.year == own[-1].at.year]
    said = speed or (float(np.mean(latest)) if latest else 0.0)
    if width is None or said <= 0:
        return None
    found = measured_capacity(
        np.array([time.area]),
        np.array([time.seconds + time.outside_seconds]),
        np.array([time.outside_seconds]),
        width_metres=width,
        metres_per_second=said,
    )
    return FieldPace(width, said, 0 if speed else len(latest), found)


def guessed_pace(farm: Farm) -> GuessedPace:
    """Return the pace of a combine by the headers that hang on the combines now, by a usual width where none is known."""
    hitches, now = farm.histories.hitches, farm.now_microseconds
    hangs = np.isin(hitches.combine, combines_of(farm)) & (hitches.start <= now) & (now < hitches.end)
    widths = [farm.machines[place].cut_width_micrometres for place in hitches.header[hangs].tolist()]
    known = [width / 1e6 for width in widths if width]
    width = float(np.mean(known)) if known else GUESS_WIDTH
    return GuessedPace(_HOUR * effective_field_capacity(width, GUESS_SPEED, GUESS_EFFICIENCY), width)


def _width_cut(farm: Farm, place: int, season: Season) -> float | None:
    """Return the width that a combine cut with in a season, in metres: that with which its area takes the same time."""
    runs, stretches, period = farm.histories.runs, farm.lines.stretches, season_period(farm, season)
    run = stretches.run
    mine = (runs.combine[run] == place) & (runs.start[run] >= period.start) & (runs.start[run] < period.end)
    micrometres = np.array([machine.cut_width_micrometres or 0 for machine in farm.machines], dtype=np.float64)
    mine &= (stretches.header >= 0) & (micrometres[stretches.header] > 0)
    if not mine.any():
        return None
    length = runs.end[run[mine]] - runs.start[run[mine]]
    area = runs.area[run[mine]] * (stretches.end[mine] - stretches.start[mine]) / length
    width = micrometres[stretches.header[mine]] / 1e6
    return float(area.sum() / (area / width).sum()) if area.sum() > 0 else float(width.mean())


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
    area, seconds, outside_seconds : float
        Square metres and field time of the runs whose time is known; what was lost in them to repairs, service and weather.
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
    outside_seconds: float
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


def field_time(
    farm: Farm, combine: int, season: Season, stops: Sequence[Stoppage], crop: int | None = None
) -> FieldTime | None:
    """Return what one combine did in a season, in one crop by its place where that is asked; None when it did nothing."""
    runs, period = farm.histories.runs, season_period(farm, season)
    mine = (runs.combine == combine) & (runs.start >= period.start) & (runs.start < period.end)
    mine &= runs.end <= farm.now_microseconds
    if crop is not None:
        mine &= runs.crop == crop
    if not mine.any():
        return None
    start, end = runs.start[mine], runs.end[mine]
    inside = [stop for stop in stops if period.start <= microseconds(stop.started_at) < period.end]
    stood = _Standing.of(_spans(farm, inside, OUTSIDE))
    elapsed = (end - start) / _SECOND
    # a run of weeks is a season's total: only the hours somebody wrote for it are field time
    outside = np.where(elapsed * _SECOND <= _DAY, stood.within(start, end), 0.0)
    seconds = np.where(elapsed * _SECOND <= _DAY, elapsed - outside, runs.separator_seconds[mine])
    known = np.isfinite(seconds) & (seconds > 0)
    broke = _spans(farm, inside, (StopReason.BREAKDOWN,))
    return FieldTime(
        season=season,
        runs=int(known.sum()),
        left_out=int((~known).sum()),
        area=float(runs.area[mine][known].sum()),
        seconds=float(seconds[known].sum()),
        outside_seconds=float(outside[known].sum()),
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
    middle = instant(int(at[at.size // 2])).astimezone(farm.now.tzinfo)
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


@dataclass(frozen=True, slots=True)
class MachineShown:
    """What a machine's counters show now, in seconds; None where it has none. `season_area` in square metres."""

    machine_id: UUID
    engine_seconds: float | None
    separator_seconds: float | None
    season_area: float
    area: float


@dataclass(frozen=True, slots=True)
class Progress:
    """`planned` is None when nobody planned the season."""

    season: Season | None
    cut: float
    planned: float | None
    machines: tuple[MachineShown, ...]


def current_season(farm: Farm) -> Season | None:
    """Return the season that now lies in, else the last one that has begun."""
    today = farm.now.date()
    begun = [season for season in farm.seasons if season.starts_on <= today]
    return begun[-1] if begun else None


def progress(connection: Connection, farm: Farm, season: Season | None = None) -> Progress:
    """Return the progress of a season (the current one when none is named)."""
    season = season or current_season(farm)
    shown = _machines(farm, season)
    combines = farm.histories.machines.kind == code_of(MachineKind.COMBINE)
    cut = float(sum(one.season_area for one, is_combine in zip(shown, combines, strict=True) if is_combine))
    return Progress(season, cut, _planned(connection, season), shown)


def _machines(farm: Farm, season: Season | None) -> tuple[MachineShown, ...]:
    """Return what each machine shows; every meter is asked once for all."""
    places, now = np.arange(len(farm.machines)), farm.now_microseconds
    area = np.zeros(places.size)
    if season is not None:
        period = season_period(farm, season)
        area = farm.lines.usage(MeterKind.AREA, places, period.start, max(period.start, period.end))
    total = farm.lines.usage(MeterKind.AREA, places, 0, now)
    counters = (_shown(farm, kind) for kind in (MeterKind.ENGINE_HOURS, MeterKind.SEPARATOR_HOURS))
    columns = zip(*counters, area.tolist(), total.tolist(), strict=True)
    return tuple(MachineShown(machine.id, *told) for machine, told in zip(farm.machines, columns, strict=True))


def _shown(farm: Farm, kind: MeterKind) -> list[float | None]:
    """Return what a counter of each machine shows now, None where nobody ever read one."""
    readings = farm.histories.readings
    found: list[float | None] = [None] * len(farm.machines)
    read = np.unique(readings.machine[readings.meter_kind == code_of(kind)])
    for place, shown in zip(read.tolist(), farm.lines.all_shown(kind, read, farm.now_microseconds), strict=True):
        found[place] = shown
    return found


def _planned(connection: Connection, season: Season | None) -> float | None:
    if season is None:
        return None
    plans = {plan.id for plan in find_all(connection, SeasonPlan, season_id=season.id)}
    areas = [area.area_square_metres for area in find_all(connection, PlannedArea) if area.season_plan_id in plans]
    return float(sum(areas)) if areas else None
