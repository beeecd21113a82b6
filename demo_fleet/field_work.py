"""One combine at work: it cuts until the next thing breaks, its share of the field is done or the day ends. Plans no days."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal
from typing import Final

from wearlog.facts.closed_lists import Cause, CropState, CutHeight, MeterKind
from wearlog.facts.work import Run
from wearlog.units import to_stored

from .draws import Draws
from .farm_land import FIELDS, CropPlan, width_feet
from .fitted_sets import NEVER, FittedSet
from .known_lives import GROUNDS, HOT_WINDOW
from .machine_states import MachineState
from .records import FARM_ZONE, MINUTE, Records, minutes
from .workshop import Workshop

#: share of the speed that is left on each ground
_GROUND_SPEED: Final = (1.0, 0.97, 0.9, 0.8)
_FIELD_EFFICIENCY: Final = 0.72
#: lb/ac -> g/ha
_POUNDS_PER_ACRE: Final = 1120.8511561


@dataclass(slots=True)
class Share:
    """What one combine is to cut of a field in a season."""

    field: str
    crop: CropPlan
    acres: float
    yield_lb_per_ac: float

    @property
    def ground(self) -> int:
        """The place of the field's ground in `GROUNDS`."""
        return next(GROUNDS.index(ground) for name, _, ground in FIELDS if name == self.field)


@dataclass(slots=True)
class Interruption:
    """A stop that is part of the story (an electrical fault): due at `at`; `happen` enters it and says when work goes on."""

    at: datetime
    happen: Callable[[datetime], datetime]


@dataclass(frozen=True, slots=True)
class _Stop:
    """What ends a stretch of cutting, and after how many hours."""

    hours: float
    owner: MachineState | None = None
    fitted: FittedSet | None = None
    struck: bool = False
    interruption: Interruption | None = None


class FieldWork:
    """Cuts and breaks: turns a share of a field into runs, breakages and stoppages."""

    def __init__(self, records: Records, draws: Draws, workshop: Workshop) -> None:
        self._records = records
        self._draws = draws
        self._workshop = workshop

    def cut(
        self,
        combine: MachineState,
        header: MachineState,
        share: Share,
        start: datetime,
        end: datetime,
        interruptions: list[Interruption],
    ) -> tuple[datetime, list[Run]]:
        """Cut from `start` until `end` or until the share is done; return when the combine is free, and its runs."""
        runs: list[Run] = []
        rate = self._acres_per_hour(header, share)
        separator_share = self._draws.uniform(0.9, 0.985)
        while end - start > 3 * MINUTE and share.acres > 0.25:
            hours = min((end - start).total_seconds() / 3600, share.acres / rate)
            stop = self._next_stop(combine, header, share, rate, separator_share, start, hours, interruptions)
            duration = minutes(max(1, 60 * stop.hours))
            runs.append(self._run(combine, header, share, start, start + duration, rate, separator_share))
            start += duration
            if stop.interruption is not None:
                interruptions.remove(stop.interruption)
                start = stop.interruption.happen(start)
            elif stop.fitted is not None and stop.owner is not None:
                start = self._break(combine, stop.owner, stop.fitted, start, struck=stop.struck)
        return start, runs

    def _acres_per_hour(self, header: MachineState, share: Share) -> float:
        speed = share.crop.speed_mph * _GROUND_SPEED[share.ground] * self._draws.uniform(0.95, 1.05)
        return width_feet(header.name) * speed * _FIELD_EFFICIENCY / 8.25

    def _next_stop(
        self,
        combine: MachineState,
        header: MachineState,
        share: Share,
        rate: float,
        separator_share: float,
        start: datetime,
        hours: float,
        interruptions: list[Interruption],
    ) -> _Stop:
        stop = _Stop(hours)
        speed = {MeterKind.AREA: rate, MeterKind.SEPARATOR_HOURS: separator_share, MeterKind.ENGINE_HOURS: 1.0}
        for owner in (combine, header):
            used = {meter: owner.used(meter) for meter in speed}
            for fitted in owner.sets:
                due = max(0.0, fitted.next_failure - used[fitted.meter]) / speed[fitted.meter]
                if due < stop.hours:
                    stop = _Stop(due, owner, fitted)
        stop = self._struck_before(stop, combine, header, share.ground, rate, start)
        for interruption in interruptions:
            due = max(0.0, (interruption.at - start).total_seconds() / 3600)
            if due < stop.hours:
                stop = _Stop(due, interruption=interruption)
        return stop

    def _struck_before(
        self, stop: _Stop, combine: MachineState, header: MachineState, ground: int, rate: float, start: datetime
    ) -> _Stop:
        """Let stones and foreign objects come by chance: so many per 1,000 acres, whatever the age."""
        targets = [(owner, fitted) for owner in (combine, header) for fitted in owner.sets]
        rates = [_impact_rate(fitted, header.name, ground, start) for _, fitted in targets]
        due = self._draws.exponential(1000 / sum(rates)) / rate if sum(rates) else NEVER
        if due >= stop.hours:
            return stop
        owner, fitted = self._draws.pick(targets, rates)
        return _Stop(due, owner, fitted, struck=True)

    def _run(
        self,
        combine: MachineState,
        header: MachineState,
        share: Share,
        start: datetime,
        end: datetime,
        rate: float,
        separator_share: float,
    ) -> Run:
        seconds = round((end - start).total_seconds())
        acres = max(0.1, round(min(share.acres, rate * seconds / 3600), 1))
        share.acres -= acres
        area = to_stored(Decimal(f"{acres:.1f}"), "ac")
        separator = int(seconds * separator_share) // 60 * 60
        combine.engine_seconds += seconds
        for state in (combine, header):
            state.square_metres += area
            state.separator_seconds += separator
        pounds = round(share.yield_lb_per_ac * self._draws.around(1.0, 0.05) / 10) * 10
        run = Run(
            id=self._records.next_id("run"),
            combine_id=combine.id,
            header_id=header.id,
            field_id=self._records.id_of("field", share.field),
            crop_id=self._records.shared_id("crop", share.crop.name),
            started_at=start,
            ended_at=end,
            area_square_metres=area,
            # now and then nobody writes the hours down; the counter has them all the same
            separator_seconds=None if self._draws.chance(0.2) else separator,
            cut_height=self._cut_height(share.crop),
            crop_state=self._crop_state(share.crop),
            yield_grams_per_hectare=round(pounds * _POUNDS_PER_ACRE),
        )
        self._records.add(run)
        return run

    def _cut_height(self, crop: CropPlan) -> CutHeight:
        if crop.low_crop:
            return self._draws.pick((CutHeight.ON_THE_GROUND, CutHeight.LOW), (0.7, 0.3))
        return self._draws.pick((CutHeight.MEDIUM, CutHeight.HIGH), (0.6, 0.4))

    def _crop_state(self, crop: CropPlan) -> CropState:
        weights = (0.25, 0.5, 0.25) if crop.low_crop else (0.75, 0.2, 0.05)
        return self._draws.pick((CropState.STANDING, CropState.LEANING, CropState.LODGED), weights)

    def _break(
        self, combine: MachineState, owner: MachineState, fitted: FittedSet, at: datetime, *, struck: bool
    ) -> datetime:
        positions = self._struck_positions(owner, fitted, at) if struck else (fitted.worst_position(),)
        return self._workshop.break_down(combine, owner, fitted, positions, at, Cause.IMPACT if struck else None)

    def _struck_positions(self, owner: MachineState, fitted: FittedSet, at: datetime) -> tuple[int, ...]:
        last = fitted.component.positions
        first = self._draws.whole(1, last)
        if _is_hot(fitted, owner.name, at):
            extra = (HOT_WINDOW.last - HOT_WINDOW.first + 1) * (HOT_WINDOW.times - 1)
            if self._draws.chance(extra / (extra + last)):
                first = self._draws.whole(HOT_WINDOW.first, HOT_WINDOW.last)
                last = HOT_WINDOW.last
        wide = (
            1 if last == 1 or fitted.kind not in ("knife section", "guard") else self._draws.pick((1, 2, 3), (7, 2, 1))
        )
        return tuple(range(first, min(last, first + wide - 1) + 1))


def _is_hot(fitted: FittedSet, machine: str, at: datetime) -> bool:
    in_time = at.astimezone(FARM_ZONE).date() >= HOT_WINDOW.since
    return machine == HOT_WINDOW.header and fitted.kind == HOT_WINDOW.kind and in_time


def _impact_rate(fitted: FittedSet, header: str, ground: int, at: datetime) -> float:
    """Return impacts per 1,000 acres on a component; positions in the hot window count for more."""
    if fitted.life is None:
        return 0.0
    rate = fitted.life.impacts[ground]
    if _is_hot(fitted, header, at):
        window = HOT_WINDOW.last - HOT_WINDOW.first + 1
        rate *= 1 + window * (HOT_WINDOW.times - 1) / fitted.component.positions
    return rate
