"""What the coming season asks of every machine: area by ground and usage on each meter, as planned or as seasons used to be."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum, unique
from uuid import UUID

import numpy as np

from wearlog.facts.closed_lists import Ground, MachineKind, MeterKind
from wearlog.facts.work import Field, PlannedArea, Season, SeasonPlan
from wearlog.plan.exposure import SHARED, Exposure, FleetRates, PlannedWork, share_planned_work
from wearlog.reckoning.farm import (
    ENGINE_PER_SEPARATOR,
    SECONDS_PER_SQUARE_METRE,
    YEAR_SECONDS,
    Farm,
    Period,
    season_period,
)
from wearlog.reckoning.work.ground import area_by_ground
from wearlog.store.connection import Connection
from wearlog.store.finding import find_all
from wearlog.store.histories import NONE, OPEN, Floats, Ints, code_of

#: how many past seasons stand for the coming one when nobody planned it
PAST_SEASONS = 3
#: a planned season of which less is left is over; the next one is ahead
_OVER = 0.05
#: a running season that nobody planned stands beside past ones once so much of their mean is cut
_FULL = 0.8


@unique
class TakenFrom(StrEnum):
    """What says how much is to come."""

    PLAN = "plan"
    SEASONS = "seasons"
    CALENDAR_YEARS = "calendar_years"
    NOTHING = "nothing"


@dataclass(frozen=True, slots=True, eq=False)
class SeasonAhead:
    """What is to come, one row for each machine of the farm.

    Attributes
    ----------
    season : Season or None
        The season it is the plan of; None when it is taken from past seasons.
    taken_from : TakenFrom
        CALENDAR_YEARS as soon as for one of the years nobody entered a season.
    years : tuple of int
        The past harvest years that it is the mean of; none for a plan.
    area_by_ground : (machines, 4) float64
        Square metres by Ground.
    usage : (machines, 4) float64
        By MeterKind in its order: square metres, separator seconds, engine seconds, seconds of the calendar.
    cut_area : float
        What all combines together are to cut, in square metres.
    """

    season: Season | None
    taken_from: TakenFrom
    years: tuple[int, ...]
    area_by_ground: Floats
    usage: Floats
    cut_area: float

    @property
    def is_idle(self) -> bool:
        """Whether nothing says what the machines will do; the calendar runs all the same."""
        return not np.delete(self.usage, code_of(MeterKind.CALENDAR), axis=1).any()

    @property
    def seasons_taken(self) -> int:
        """How many past seasons it is the mean of; 0 for a plan."""
        return len(self.years)


def season_ahead(connection: Connection, farm: Farm) -> SeasonAhead:
    """Return the coming season: what is planned and not yet cut, else the mean of the last seasons.

    A planned season of which less than a twentieth is left counts as over. Without a plan the running season is one of the past
    once four fifths of a usual one are cut. A calendar year for which nobody entered a season is a season of its own.
    """
    for season in farm.seasons:
        if not farm.is_over(season):
            planned = _planned(connection, farm, season)
            if planned is not None:
                return planned
    return _like_the_past(farm)


def _planned(connection: Connection, farm: Farm, season: Season) -> SeasonAhead | None:
    plans = find_all(connection, SeasonPlan, season_id=season.id)
    rows = [row for plan in plans[-1:] for row in find_all(connection, PlannedArea, season_plan_id=plan.id)]
    combines, headers = _of_kind(farm, MachineKind.COMBINE), _of_kind(farm, MachineKind.HEADER)
    if not rows or not combines.size:
        return None
    place = {machine.id: number for number, machine in enumerate(farm.machines)}
    fields = {field.id: field for field in find_all(connection, Field)}
    combine_no = {int(number): order for order, number in enumerate(combines)}
    header_no = {int(number): order for order, number in enumerate(headers)}
    work = PlannedWork(
        [float(row.area_square_metres) for row in rows],
        [SHARED if row.combine_id is None else combine_no[place[row.combine_id]] for row in rows],
        [SHARED if row.header_id is None else header_no[place[row.header_id]] for row in rows],
    )
    left = _share_left(farm, season, float(sum(work.area)))
    if left < _OVER:
        return None
    shared = share_planned_work(work, fleet_rates(farm, combines, headers))
    ground = [_ground_of(row, fields) for row in rows]
    area, usage = _by_machine(farm, shared, ground, combines, headers, left)
    return SeasonAhead(season, TakenFrom.PLAN, (), area, usage, float(area[combines].sum()))


def _ground_of(row: PlannedArea, fields: dict[UUID, Field]) -> int:
    if row.ground is not None:
        return code_of(row.ground)
    field = fields.get(row.field_id) if row.field_id else None
    # ground that nobody noted is taken as the middle of the road
    return code_of(field.ground if field else Ground.FEW_STONES)


def _share_left(farm: Farm, season: Season, planned: float) -> float:
    period = season_period(farm, season)
    if period.end <= period.start or planned <= 0:
        return 1.0
    combines = _of_kind(farm, MachineKind.COMBINE)
    cut = float(farm.lines.usage(MeterKind.AREA, combines, period.start, period.end).sum())
    return max(1.0 - cut / planned, 0.0)


def _by_machine(
    farm: Farm, shared: Exposure, ground: list[int], combines: Ints, headers: Ints, left: float
) -> tuple[Floats, Floats]:
    area = np.zeros((len(farm.machines), len(Ground)))
    area[combines] = shared.combine_area_by(ground, len(Ground)) * left
    area[headers] = shared.header_area_by(ground, len(Ground)) * left
    usage = np.zeros((len(farm.machines), len(MeterKind)))
    usage[combines, code_of(MeterKind.AREA)] = shared.combine_area * left
    usage[headers, code_of(MeterKind.AREA)] = shared.header_area * left
    usage[combines, code_of(MeterKind.SEPARATOR_HOURS)] = shared.combine_separator_hours * left
    usage[combines, code_of(MeterKind.ENGINE_HOURS)] = shared.combine_engine_hours * left
    usage[headers, code_of(MeterKind.SEPARATOR_HOURS)] = shared.header_separator_hours * left
    by_engine = np.einsum("rch,c->h", shared.area, shared.engine_rate)[:-1]
    usage[headers, code_of(MeterKind.ENGINE_HOURS)] = by_engine * left
    usage[:, code_of(MeterKind.CALENDAR)] = YEAR_SECONDS * left
    return area, usage


def fleet_rates(farm: Farm, combines: Ints, headers: Ints) -> FleetRates:
    """Return each combine's own capacity and hours per square metre, and which headers it did its work with."""
    now = farm.now_microseconds
    area = farm.lines.usage(MeterKind.AREA, combines, 0, now)
    separator = farm.lines.usage(MeterKind.SEPARATOR_HOURS, combines, 0, now)
    engine = farm.lines.usage(MeterKind.ENGINE_HOURS, combines, 0, now)
    worked = area > 0
    safe = np.where(worked, area, 1.0)
    per_area = np.where(worked & (separator > 0), separator / safe, SECONDS_PER_SQUARE_METRE)
    engine_per_area = np.where(worked & (engine > 0), engine / safe, per_area * ENGINE_PER_SEPARATOR)
    runs, stretches = farm.histories.runs, farm.lines.stretches
    cut = (
        runs.area[stretches.run]
        * (stretches.end - stretches.start)
        / np.maximum((runs.end - runs.start)[stretches.run], 1)
    )
    pairs = np.zeros((len(farm.machines), len(farm.machines)))
    np.add.at(pairs, (runs.combine[stretches.run], stretches.header), cut)
    # a combine that has cut nothing yet will use what hangs on it
    hitches = farm.histories.hitches
    hanging = (hitches.end == OPEN) & (pairs[hitches.combine].sum(axis=1) == 0)
    pairs[hitches.combine[hanging], hitches.header[hanging]] = 1.0
    return FleetRates.of(1.0 / per_area, per_area, engine_per_area, pairs[np.ix_(combines, headers)])


@dataclass(frozen=True, slots=True, eq=False)
class WorkedSeason:
    """A past season: what each machine did on each meter, and from when to when it went."""

    year: int
    entered: bool
    usage: Floats
    period: Period


def _like_the_past(farm: Farm) -> SeasonAhead:
    machines = np.arange(len(farm.machines))
    last = past_seasons(farm, machines)[-PAST_SEASONS:]
    if not last:
        usage = np.zeros((machines.size, len(MeterKind)))
        usage[:, code_of(MeterKind.CALENDAR)] = YEAR_SECONDS
        return SeasonAhead(None, TakenFrom.NOTHING, (), np.zeros((machines.size, len(Ground))), usage, 0.0)
    taken_from = TakenFrom.SEASONS if all(one.entered for one in last) else TakenFrom.CALENDAR_YEARS
    years = tuple(one.year for one in last)
    # by ground, last on ground that nobody noted
    areas = [area_by_ground(farm, np.full(machines.size, one.period.start), one.period.end) for one in last]
    ground = np.mean(areas, axis=0)
    # what was cut on ground that nobody noted is shared over the classes as the rest was, else taken as few stones
    known, unknown = ground[:, :-1], ground[:, -1:]
    total = known.sum(axis=1, keepdims=True)
    even = np.zeros_like(known)
    even[:, code_of(Ground.FEW_STONES)] = 1.0
    shares = np.where(total > 0, known / np.where(total > 0, total, 1.0), even)
    usage = np.mean([one.usage for one in last], axis=0)
    cut = float(usage[_of_kind(farm, MachineKind.COMBINE), code_of(MeterKind.AREA)].sum())
    return SeasonAhead(None, taken_from, years, known + unknown * shares, usage, cut)


def past_seasons(farm: Farm, machines: Ints) -> list[WorkedSeason]:
    """Return the seasons in which anything was done, in their order; one that has only begun is none if another is there."""
    worked: list[WorkedSeason] = []
    for season in sorted(farm.seasons, key=lambda one: one.starts_on):
        period = season_period(farm, season)
        if period.end <= period.start:
            continue
        usage = usage_by_meter(farm, machines, period.start, period.end)
        running = not farm.is_over(season)
        worked_at_all = np.delete(usage, code_of(MeterKind.CALENDAR), axis=1).any()
        if worked_at_all and not (running and worked and _only_begun(usage, worked)):
            was_entered = season.harvest_year not in farm.calendar_years
            worked.append(WorkedSeason(season.harvest_year, was_entered, usage, period))
    return worked


def usage_by_meter(farm: Farm, machines: Ints, start: int, end: int) -> Floats:
    """Return what machines used in a season, (machines, meters) by MeterKind; of the calendar a season is a year."""
    usage = np.stack([farm.lines.usage(kind, machines, start, end) for kind in MeterKind], axis=1)
    usage[:, code_of(MeterKind.CALENDAR)] = YEAR_SECONDS
    return usage


def _only_begun(usage: Floats, worked: list[WorkedSeason]) -> bool:
    """Whether a running season is still far from what the seasons before it came to."""
    before = np.mean([one.usage for one in worked[-PAST_SEASONS:]], axis=0).sum(axis=0)
    # the area says it; where nobody notes runs the hours do
    meter = int(np.flatnonzero(before > 0)[0])
    return bool(usage[:, meter].sum() < _FULL * before[meter])


def _of_kind(farm: Farm, kind: MachineKind) -> Ints:
    return np.flatnonzero(farm.histories.machines.kind == code_of(kind))


def seasons_of_use(farm: Farm, ahead: SeasonAhead) -> Floats:
    """Return a usual season of every machine.

    Parameters
    ----------
    farm : Farm
    ahead : SeasonAhead
        What is to come: it stands for a usual season of a machine that has none behind it.

    Returns
    -------
    ndarray of float, shape (machines, meters)
        By MeterKind in its order: square metres, separator seconds, engine seconds; of the calendar a season is a year. It is the
        mean over the seasons on record in which the machine did anything on that meter, one that has only begun left out. 0
        where neither a season on record nor one to come says anything.
    """
    machines = np.arange(len(farm.machines))
    worked = past_seasons(farm, machines)
    usage = np.array([one.usage for one in worked]) if worked else np.zeros((0, machines.size, len(MeterKind)))
    seasons = (usage > 0).sum(axis=0)
    known = np.where(seasons > 0, usage.sum(axis=0) / np.maximum(seasons, 1), ahead.usage)
    known[:, code_of(MeterKind.CALENDAR)] = YEAR_SECONDS
    return np.asarray(known)


def usual_season(usual: Floats, machines: Ints, meter: MeterKind) -> float | None:
    """Return a usual season of these machines on a meter: their mean, each once; None where of none of them one is known."""
    own = np.unique(machines[machines != NONE]) if machines.size > 1 else machines[machines != NONE]
    seasons = usual[own, code_of(meter)]
    known = seasons[seasons > 0]
    return float(known.mean()) if known.size else None
