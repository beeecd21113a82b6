"""Parts whose wear is measured: how it runs by the readings of each, when it meets the limit, the chance of that ahead.

Each fitted part has a line and a path of its own; what a kind does in general is reckoned from lives, not here.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cached_property, lru_cache

import numpy as np

from wearlog.errors import DataError
from wearlog.facts.closed_lists import Dimension, MeterKind
from wearlog.facts.parts import PartKind
from wearlog.reckoning.parts.life_records import fitting_on
from wearlog.reckoning.wear.kind_life import FleetLives
from wearlog.reckoning.wear.season_ahead import SeasonAhead
from wearlog.store.histories import NONE, Bools, Floats, Ints, code_of
from wearlog.wear.chain import elongation_percent
from wearlog.wear.measured import Crossing, WearForm, WearLine, fit_wear
from wearlog.wear.wear_path import WearPath, fit_path

_LIKELIER_THAN_NOT = 0.5
#: an end of an interval that lies beyond so many times its middle is none
_KNOWN_TO_END = 4.0


@dataclass(frozen=True, eq=False)
class MeasuredPart:
    """One part that is fitted now and was measured. What follows from its path is reckoned when it is first asked for, once.

    Attributes
    ----------
    kind : PartKind
    part_kind, component, machine, position, fitting : int
        Places in the histories, and the position.
    usage : (n,) float64
        At each reading, in seconds or square metres: the part's age, or its usage since it was fitted where nobody knows the age.
    micrometres : (n,) float64
        What was read.
    usage_now, usage_ahead : float
        The same usage now, and what the season ahead adds. Nobody has looked at the part between its last reading and now.
    age_known : bool
    line : WearLine or None
        The straight line by which readings stand apart or not; None while they are too few for one.
    past_limit : bool
        The last reading lies past the limit.
    """

    kind: PartKind
    part_kind: int
    component: int
    machine: int
    position: int
    fitting: int
    usage: Floats
    micrometres: Floats
    usage_now: float
    usage_ahead: float
    age_known: bool
    line: WearLine | None
    past_limit: bool

    @property
    def path(self) -> WearPath | None:
        """Where wear goes from here, averaged over the ways it may run; None where no reading is to spare beyond the line."""
        return _path_of(self)

    @property
    def limit(self) -> float:
        assert self.kind.limit_micrometres is not None
        return float(self.kind.limit_micrometres)

    @property
    def elongation(self) -> float | None:
        """Elongation of a chain at its last reading in percent of its pitches; None for what is no chain."""
        return self._elongation(float(self.micrometres[-1]))

    @property
    def elongation_limit(self) -> float | None:
        """The limit as an elongation in percent."""
        return self._elongation(self.limit)

    @property
    def outliers(self) -> tuple[int, ...]:
        """Readings that stand apart from the line, counted from 0; they are in the fit all the same."""
        return () if self.line is None else tuple(np.flatnonzero(self.line.outlier).tolist())

    def crossing(self, level: float = 0.9) -> Crossing | None:
        """Return the usage at which the limit is met, with its interval where readings are to spare beyond a line.

        Its end is infinite, that is not known, beyond four times the middle: a figure there would be surer than the readings.
        Of a part past its limit it lies between the last reading within and the first one past it, and is known to.
        """
        if self.past_limit:
            return self._crossed(level)
        if (path := self.path) is not None:
            return as_known(path.crossing(level))
        return None if self.line is None else Crossing(self.line.crosses_at, None, None, level)

    @property
    def past_by_line(self) -> bool:
        """Whether the limit is likelier met by now than not although the last reading lay within it: time to measure again."""
        return self._met[0]

    @property
    def chance(self) -> float | None:
        """Chance of having met the limit by the end of the season ahead, given that it was not met at the last reading.

        1 if that reading lies past it, None without readings to spare.
        """
        return self._met[1]

    @cached_property
    def _met(self) -> tuple[bool, float | None]:
        """Whether the limit is likely met by now, and the chance that it is by the end of the season ahead."""
        if self.past_limit:
            return False, 1.0
        if (path := self.path) is not None:
            now, then = path.chance_of_crossing([self.usage_now, self.usage_now + self.usage_ahead]).tolist()
            return now >= _LIKELIER_THAN_NOT, then
        return self.line is not None and self.line.crosses_at <= self.usage_now, None

    def _crossed(self, level: float) -> Crossing:
        """Return when the limit was met, between readings; from new where the first one lies past it already."""
        first = self.usage.size - 1
        while first and self.kind.is_past_limit(float(self.micrometres[first - 1])):
            first -= 1
        high, value = float(self.usage[first]), float(self.micrometres[first])
        new = self.kind.new_micrometres
        low, before = (float(self.usage[first - 1]), float(self.micrometres[first - 1])) if first else (0.0, new)
        share = 1.0 if before is None or before == value else (self.limit - before) / (value - before)
        return Crossing(low + (high - low) * min(max(share, 0.0), 1.0), low, high, level)

    def _elongation(self, micrometres: float) -> float | None:
        if not self.kind.pitches or not self.kind.pitch_micrometres:
            return None
        return elongation_percent(micrometres, self.kind.pitches, self.kind.pitch_micrometres)


def as_known(found: Crossing) -> Crossing:
    """Return a crossing without an end that lies too far beyond its middle to be known; see `MeasuredPart.crossing`."""
    is_known = found.high is not None and found.high <= _KNOWN_TO_END * found.usage
    return found if is_known else replace(found, high=math.inf)


def measured_parts(lives: FleetLives, ahead: SeasonAhead) -> tuple[MeasuredPart, ...]:
    """Return every part now fitted that was measured and has a limit; cost is linear in measurements."""
    farm = lives.farm
    histories, rows, now = farm.histories, farm.histories.measurements, farm.now_microseconds
    number = histories.components.part_kind[rows.component]
    has_limit = np.array([kind.limit_micrometres is not None for kind in farm.part_kinds] or [False])
    fitting = fitting_on(histories, rows.component, rows.position, rows.at)
    wanted = (fitting != NONE) & (number != NONE) & has_limit[number] & (rows.at <= now)
    wanted &= lives.ages.on[np.maximum(fitting, 0)] if lives.ages.on.size else False
    order = np.flatnonzero(wanted)
    order = order[np.lexsort((rows.at[order], fitting[order]))]
    fitting, at = fitting[order], rows.at[order]
    known = ~np.isnan(lives.ages.entry[fitting]) if fitting.size else np.zeros(0, dtype=bool)
    since = _since_fitted(lives, fitting, at)
    usage = np.where(known, since + np.where(known, lives.ages.entry[fitting], 0.0), since)
    bounds = np.flatnonzero(np.r_[True, fitting[1:] != fitting[:-1], True]) if fitting.size else np.zeros(1, dtype=int)
    return tuple(_parts(lives, ahead, fitting, usage, rows.micrometres[order], known, bounds))


def _since_fitted(lives: FleetLives, fitting: Ints, at: Ints) -> Floats:
    """Return the usage since each part was fitted, known even where its age is not."""
    farm = lives.farm
    meter, machine = lives.ages.meter_kind[fitting], lives.ages.machine[fitting]
    used = np.zeros(fitting.size)
    for kind in MeterKind:
        mine = meter == code_of(kind)
        used[mine] = farm.lines.usage(kind, machine[mine], farm.histories.fittings.fitted_at[fitting[mine]], at[mine])
    return used


def _parts(
    lives: FleetLives,
    ahead: SeasonAhead,
    fitting: Ints,
    usage: Floats,
    micrometres: Floats,
    known: Bools,
    bounds: Ints,
) -> Iterator[MeasuredPart]:
    farm, fittings = lives.farm, lives.farm.histories.fittings
    for start, stop in zip(bounds[:-1].tolist(), bounds[1:].tolist(), strict=True):
        one = int(fitting[start])
        component, machine = int(fittings.component[one]), int(lives.ages.machine[one])
        number = int(farm.histories.components.part_kind[component])
        kind = farm.part_kinds[number]
        age_known = bool(known[start])
        read, values = _after_new(usage[start:stop], micrometres[start:stop], age_known=age_known)
        line = _line(kind, read, values, age_known=age_known)
        yield MeasuredPart(
            kind=kind,
            part_kind=number,
            component=component,
            machine=machine,
            position=int(fittings.position[one]),
            fitting=one,
            usage=read,
            micrometres=values,
            usage_now=float(lives.ages.exit[one] if age_known else lives.ages.used[one]),
            usage_ahead=float(ahead.usage[machine, code_of(kind.meter_kind)]) if machine != NONE else 0.0,
            age_known=age_known,
            line=line,
            past_limit=kind.is_past_limit(float(values[-1])),
        )


def _after_new(usage: Floats, micrometres: Floats, *, age_known: bool) -> tuple[Floats, Floats]:
    """Leave readings of the new part aside where there are others: the line goes through the new value as it is."""
    worked = usage > 0
    if not age_known or not worked.any():
        return usage, micrometres
    return usage[worked], micrometres[worked]


def _line(kind: PartKind, usage: Floats, micrometres: Floats, *, age_known: bool) -> WearLine | None:
    """Fit through the new value where age and new value are known, else with an intercept of the readings' own."""
    assert kind.limit_micrometres is not None
    limit, new = float(kind.limit_micrometres), kind.new_micrometres
    form = WearForm.LINE_THROUGH_NEW if age_known and new is not None and new != limit else WearForm.LINE
    if new is None or new == limit:
        # with an intercept the new value only says which way wear goes
        new = 2 * kind.limit_micrometres + 1 if kind.dimension is Dimension.THICKNESS else 0
    if new == limit:
        return None
    try:
        return fit_wear(usage, micrometres, new_value=float(new), limit=limit, form=form)
    except DataError:
        # too few readings for a line yet
        return None


@lru_cache(maxsize=256)
def _path_of(part: MeasuredPart) -> WearPath | None:
    """Weigh the ways of wear from where the line begins: of a few parts at a time, a hundred farms have thousands."""
    line = part.line
    if line is None or line.degrees < 1:
        return None
    through_new = line.form is WearForm.LINE_THROUGH_NEW
    try:
        return fit_path(
            part.usage, part.micrometres, new_value=line.new_value, limit=line.limit, through_new=through_new
        )
    except DataError:
        return None
