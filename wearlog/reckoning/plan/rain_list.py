"""The rain-day list: which parts save most when they are changed today, with so many shop hours and what is on hand."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from enum import StrEnum, unique
from functools import partial
from math import ceil
from typing import Final
from uuid import UUID

from wearlog.facts.closed_lists import Hazard, Subsystem
from wearlog.facts.machines import Machine
from wearlog.facts.parts import PartKind
from wearlog.facts.wearing import Breakage, Component
from wearlog.plan.life_nodes import LifeNodes
from wearlog.plan.rain_day import Job, RainDay, ShopSetUp, rain_day
from wearlog.plan.run_or_stop import FailureCost, Opportunity, weigh_opportunities
from wearlog.reckoning.farm import Farm
from wearlog.reckoning.harvest.harvest_view import HarvestView, harvest_view
from wearlog.reckoning.parts.deliveries import PartTimes, part_times
from wearlog.reckoning.parts.fitted_now import left_in_service
from wearlog.reckoning.parts.left_stretches import LeftStretches, left_stretches
from wearlog.reckoning.parts.repair_habits import RepairHabits, repair_habits
from wearlog.reckoning.parts.stock import PartChoices, ShelfPart, part_choices
from wearlog.reckoning.plan.allocation import solved
from wearlog.reckoning.plan.spares import FIELD_HOURS_A_DAY
from wearlog.reckoning.plan.stop_costs import (
    AskedStop,
    Pace,
    Prices,
    change_prices,
    long_run_rate,
    pace_of,
    standing_cost,
    taken_along,
)
from wearlog.reckoning.plan.stop_or_run import (
    endangers_people,
    failure_minor_at,
    law_ahead,
    mode_when_left,
    season_left,
)
from wearlog.reckoning.plan.weighed_lines import MeasuredLife, measured_lives
from wearlog.reckoning.wear.age_groups import AgeGroup, condensed
from wearlog.reckoning.wear.wear_outlook import ComponentOutlook, KindOutlook, wear_outlook
from wearlog.store.connection import Connection
from wearlog.store.finding import find_all

_HOUR: Final = 3600.0


@unique
class NotToday(StrEnum):
    """Why a part that is worth changing is not on the list, or cannot be weighed."""

    NO_PART = "no_part_in_the_log"
    NONE_ON_HAND = "none_on_hand"
    NO_TIME = "no_time_known"
    NO_ROOM = "no_time_left"


@dataclass(frozen=True, slots=True, eq=False)
class RainJob:
    """Positions of one component whose parts are of one age and one state.

    Attributes
    ----------
    saving_minor : int
        What changing them today saves, without the opening.
    minutes : int
        Man-time without the opening.
    either_way : bool
        Whether today and the next best time are not told apart.
    failed : bool
        Left in service broken, or past the limit.
    """

    key: str
    machine: Machine
    component: Component
    kind: PartKind
    positions: tuple[int, ...]
    saving_minor: int
    minutes: int
    either_way: bool
    failed: bool
    set_up: str
    part: ShelfPart | None

    @property
    def endangers(self) -> bool:
        """Whether its failure in work can hurt somebody."""
        return endangers_people(self.kind)


@dataclass(frozen=True, slots=True)
class OpenUp:
    """Opening up a subsystem of a machine, once for all jobs in it."""

    machine: Machine
    subsystem: Subsystem
    minutes: int


@dataclass(frozen=True, slots=True, eq=False)
class RainJobs:
    """Everything that is worth changing today, whatever time there is.

    Attributes
    ----------
    cutting : bool
        Whether the season runs; else the season ahead is weighed.
    not_today : tuple of (RainJob, NotToday)
        What would save but cannot be done, or cannot be weighed (then without a saving).
    no_life : int
        Components of whose kind nobody has an idea how long it lasts.
    """

    farm: Farm
    jobs: tuple[RainJob, ...]
    set_ups: Mapping[str, OpenUp]
    not_today: tuple[tuple[RainJob, NotToday], ...]
    no_life: int
    cutting: bool


@dataclass(frozen=True, slots=True, eq=False)
class RainList:
    """The list for so many hours: the jobs in their order, and what is left out and why."""

    weighed: RainJobs
    hours: float
    people: int
    found: RainDay
    jobs: tuple[RainJob, ...]
    left_out: tuple[tuple[RainJob, NotToday], ...]


def rain_list(weighed: RainJobs, hours: float, *, people: int = 1, mean_hours: float | None = None) -> RainList:
    """Return what to do in so many shop hours, in order; `mean_hours`: how long the rain lasts on the mean.

    Raises
    ------
    DataError
        The hours are below 0, or nobody works.
    """
    by_key = {one.key: one for one in weighed.jobs}
    jobs = [
        Job(one.key, one.saving_minor, one.minutes, frozenset({one.set_up}), ((_part_key(one), len(one.positions)),))
        for one in weighed.jobs
    ]
    set_ups = [ShopSetUp(key, one.minutes) for key, one in weighed.set_ups.items()]
    on_hand = {_part_key(one): one.part.on_hand for one in weighed.jobs if one.part is not None}
    choose = partial(
        rain_day,
        people=people,
        on_hand=on_hand,
        minor_per_hour=weighed.farm.settings.labour_rate_minor,
        mean_minutes=None if mean_hours is None else mean_hours * 60,
    )
    found = solved(choose, jobs, set_ups, round(hours * 60))
    done = tuple(by_key[job.name] for job in found.jobs)
    chosen = {one.key for one in done}
    left = [(one, NotToday.NO_ROOM) for one in weighed.jobs if one.key not in chosen]
    every = sorted([*left, *weighed.not_today], key=lambda one: -one[0].saving_minor)
    return RainList(weighed, hours, people, found, done, tuple(every))


def hazards_of(jobs: Iterable[RainJob]) -> tuple[Hazard, ...]:
    """Return what is dangerous in the work of these jobs, each once."""
    return tuple(dict.fromkeys(one.kind.hazard for one in jobs if one.kind.hazard is not None))


def _part_key(one: RainJob) -> str:
    return str(one.part.part.id) if one.part is not None else ""


@dataclass(frozen=True, slots=True, eq=False)
class _Ground:
    """What all jobs are weighed on; `left` names the positions that were left in service, by component."""

    connection: Connection
    farm: Farm
    view: HarvestView
    habits: dict[UUID, RepairHabits]
    choices: PartChoices
    times: Mapping[UUID, PartTimes]
    measured: dict[UUID, MeasuredLife]
    left: dict[UUID, tuple[int, ...]]
    breakages: list[Breakage]
    cutting: bool


@dataclass(frozen=True, slots=True, eq=False)
class _Place:
    """One component, and what one change of a position costs; `each` is that in the shop without the opening."""

    row: KindOutlook
    mine: ComponentOutlook
    component: Component
    machine: Machine
    prices: Prices
    each: float
    pace: Pace
    failure: FailureCost
    nodes: LifeNodes | None
    gain: float
    season: float


def rain_jobs(connection: Connection, farm: Farm) -> RainJobs:
    """Weigh every part of the fleet: change it today, in the shop, or at the best time after.

    While a season runs the best time after is the next evening in the field or the season's end; else only the season's end: what
    is not changed today runs the season ahead.
    """
    outlook, view = wear_outlook(connection, farm), harvest_view(connection, farm)
    ground = _Ground(
        connection,
        farm,
        view,
        repair_habits(connection, farm),
        part_choices(connection, farm),
        part_times(connection),
        measured_lives(outlook),
        {one.component.id: one.positions for one in left_in_service(farm)},
        find_all(connection, Breakage),
        view.finish is not None and view.finish.first_day is not None,
    )
    jobs: list[RainJob] = []
    no_life = 0
    for row in outlook.kinds:
        if row.life.posterior is None:
            no_life += len(row.components)
        elif row.components:
            jobs += _jobs_of_kind(ground, row)
    could = [(one, _hindered(ground, one)) for one in jobs]
    doable = [one for one, why in could if why is None]
    return RainJobs(
        farm,
        tuple(doable),
        _set_ups(ground, doable),
        tuple((one, why) for one, why in could if why is not None),
        no_life,
        ground.cutting,
    )


def _jobs_of_kind(ground: _Ground, row: KindOutlook) -> list[RainJob]:
    farm, kind = ground.farm, row.life.kind
    by_id = {one.id: one for one in farm.components}
    habits = ground.habits.get(kind.id)
    laws = {id(one.law): condensed(one.law) for one in row.components if one.law is not None}
    along: tuple[float, ...] | None = None
    rates: dict[tuple[int, float, float], float] = {}
    found = []
    for mine in row.components:
        component = by_id[mine.component_id]
        part = ground.choices.part_of(component.id)
        prices = change_prices(farm, habits, part, None if part is None else ground.times.get(part.part.id))
        if along is None:
            number = farm.part_kinds.index(kind)
            along = taken_along(ground.breakages, ground.choices, farm, number, prices).costs
        nodes = laws.get(id(mine.law))
        of = (id(mine.law), prices.in_shop, prices.in_field + prices.stands * prices.hour)
        if of not in rates:
            rates[of] = long_run_rate(mine.law, prices)
        found += _jobs_at(ground, _place(ground, row, mine, component, prices, nodes, along, rates[of]))
    return found


def _place(
    ground: _Ground,
    row: KindOutlook,
    mine: ComponentOutlook,
    component: Component,
    prices: Prices,
    nodes: LifeNodes | None,
    along: tuple[float, ...],
    gain: float,
) -> _Place:
    farm = ground.farm
    habits = ground.habits.get(row.life.kind.id)
    shop = 0.0 if habits is None else (habits.shop_each.seconds or 0.0) / _HOUR * farm.settings.labour_rate_minor
    pace = pace_of(ground.view, farm, component, row.life.kind.meter_kind)
    standing = standing_cost(ground.connection, farm, AskedStop(), prices, pace, ground.view)
    return _Place(
        row,
        mine,
        component,
        farm.machines[farm.machine_number(mine.machine_id)],
        prices,
        prices.price + shop,
        pace,
        FailureCost(lambda usage: failure_minor_at(prices, pace, standing, usage), along),
        nodes,
        gain,
        season_left(ground.view, mine, pace),
    )


def _jobs_at(ground: _Ground, place: _Place) -> list[RainJob]:
    """The groups of one component whose change today saves, those that run broken first; no more pieces than are on hand."""
    kind, part = place.row.life.kind, ground.choices.part_of(place.component.id)
    habits = ground.habits.get(kind.id)
    minutes = max(1, ceil(((habits.shop_each.seconds if habits else None) or 60.0) / 60))
    found = []
    for group in sorted(place.mine.groups, key=lambda one: not one.failed):
        saving, either_way = _saving(ground, place, group)
        if saving <= 0:
            continue
        here = group.positions if part is None or not part.on_hand else group.positions[: part.on_hand]
        found.append(
            RainJob(
                f"{place.component.id}|{group.positions[0]}",
                place.machine,
                place.component,
                kind,
                here,
                round(saving * len(here)),
                minutes * len(here),
                either_way,
                group.failed,
                f"{place.machine.id}|{kind.subsystem}",
                part,
            )
        )
    return found


def _saving(ground: _Ground, place: _Place, group: AgeGroup) -> tuple[float, bool]:
    """What changing one such part today saves against the best time after, and whether the two are not told apart."""
    farm = ground.farm
    if place.season <= 0:
        return 0.0, False
    number = farm.part_kinds.index(place.row.life.kind)
    broken = group.failed and group.positions[0] in ground.left.get(place.component.id, ())
    mode = mode_when_left(farm, place.component, group.positions[0]) if broken else None
    stretches = LeftStretches(0, 0, 0.0) if mode is None else left_stretches(farm, number, mode)
    _, law = law_ahead(
        place.row,
        place.mine.law,
        group,
        mode,
        stretches,
        ground.measured.get(place.component.id),
        AskedStop(),
        place.nodes,
    )
    ways = [Opportunity(0.0, place.each), Opportunity(place.season, place.each)]
    day = FIELD_HOURS_A_DAY * place.pace.usage
    if ground.cutting and day < place.season:
        ways.append(Opportunity(day, place.prices.in_field))
    found = weigh_opportunities(law, ways, place.failure, gain=place.gain)
    return min(one.cost_minor for one in found.ways[1:]) - found.ways[0].cost_minor, found.either_way


def _hindered(ground: _Ground, one: RainJob) -> NotToday | None:
    habits = ground.habits.get(one.kind.id)
    if one.part is None:
        return NotToday.NO_PART
    if not one.part.on_hand:
        return NotToday.NONE_ON_HAND
    return NotToday.NO_TIME if habits is None or habits.shop_each.seconds is None else None


def _set_ups(ground: _Ground, jobs: Iterable[RainJob]) -> dict[str, OpenUp]:
    """One for each subsystem of a machine, as long as the longest opening of the kinds in it."""
    found: dict[str, OpenUp] = {}
    for job in jobs:
        opening = round((ground.habits[job.kind.id].shop_opening.seconds or 0.0) / 60)
        if job.set_up not in found or found[job.set_up].minutes < opening:
            found[job.set_up] = OpenUp(job.machine, job.kind.subsystem, opening)
    return found
