"""A combine's pace beside what its width of cut and its speed would do without a pause: field efficiency, and a first guess."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from wearlog.facts.closed_lists import Sensor
from wearlog.facts.quality import Calibration
from wearlog.facts.work import Season
from wearlog.harvest.capacity import FieldCapacity, effective_field_capacity, measured_capacity
from wearlog.reckoning.costs.costs import season_period
from wearlog.reckoning.farm.whole_farm import Farm
from wearlog.reckoning.harvest.field_time import FieldTime, combines_of
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
