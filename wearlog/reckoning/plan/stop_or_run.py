"""Run on or stop: for one part that was left in service, or is old, what each time to change it costs. Words are not here."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum, unique
from typing import Final

import numpy as np

from wearlog.errors import RefusedError
from wearlog.facts.closed_lists import Action, Mode, Subsystem
from wearlog.facts.machines import Machine
from wearlog.facts.parts import PartKind
from wearlog.facts.wearing import Component
from wearlog.plan.collateral import Collateral
from wearlog.plan.life_nodes import LifeNodes
from wearlog.plan.residual_life import AgedPart, Floats, PartOfUnknownAge, Residual
from wearlog.plan.run_or_stop import FailureCost, Opportunity, StopOrRun, WayCost, weigh_opportunities
from wearlog.reckoning.farm import Farm
from wearlog.reckoning.harvest.harvest_view import HarvestView, harvest_view
from wearlog.reckoning.parts.deliveries import part_times
from wearlog.reckoning.parts.fitted_now import left_in_service
from wearlog.reckoning.parts.left_stretches import LeftStretches, left_stretches
from wearlog.reckoning.parts.repair_habits import repair_habits
from wearlog.reckoning.parts.stock import ShelfPart, part_choices
from wearlog.reckoning.plan.field_wait import PartWait
from wearlog.reckoning.plan.mend_first import Mendable, mendable
from wearlog.reckoning.plan.stop_costs import (
    AskedStop,
    Missing,
    Pace,
    Prices,
    Standing,
    change_prices,
    collateral_record,
    long_run_rate,
    pace_of,
    standing_cost,
)
from wearlog.reckoning.plan.weighed_lines import MeasuredLife, measured_lives
from wearlog.reckoning.wear.age_groups import AgeGroup, LifeLaw, condensed
from wearlog.reckoning.wear.wear_outlook import ComponentOutlook, KindOutlook, WearOutlook, wear_outlook
from wearlog.store.connection import Connection
from wearlog.store.histories import code_of
from wearlog.wear.left_running import LeftRunning, left_running, should_last

_HOUR: Final = 3600.0
#: kinds whose failure in work can hurt somebody, by a word of their name; others are marked on the kind itself
_ENDANGERING: Final = frozenset({"brake", "brakes", "steering", "tyre", "tyres", "tire", "tires", "ladder"})


@unique
class ChangeTime(StrEnum):
    """The times at which a part can be changed."""

    NOW = "now"
    NEXT_STOP = "next_stop"
    DUSK = "dusk"
    FIELD_DONE = "field_done"
    SEASON_END = "season_end"
    MEND = "mend_now"


@unique
class PartState(StrEnum):
    """What the belief of the usage still to come rests on."""

    LEFT = "left_in_service"
    PAST_LIMIT = "past_its_limit"
    MEASURED = "measured"
    AGED = "known_age"
    UNKNOWN_AGE = "unknown_age"


@dataclass(frozen=True, slots=True)
class StopWay:
    """One time to change the part and what it costs; of mending it first, `then` is when it is changed."""

    when: ChangeTime
    cost: WayCost
    planned_minor: float
    then: ChangeTime | None = None


@dataclass(frozen=True, slots=True, eq=False)
class StopOrRunView:
    """The answer for one position of one component.

    Attributes
    ----------
    age : float or None
    mode : Mode or None
        How it failed, where it was left in service.
    ways : tuple of StopWay
        In the order of time.
    best : StopWay
        What costs least on the mean.
    too_early : tuple of ChangeTime
        Times that come before the part does.
    failure_minor : float
        What it costs when it goes first, on the mean, just now.
    hour_minor : int
    wait : PartWait or None
        How long the part is waited for; None when it is on the shelf.
    mending : Mendable or None
    stretches : LeftStretches
        The farm's own record of such parts left in service.
    failures : float
        Failures of the kind by wear that its life rests on.
    """

    farm: Farm
    machine: Machine
    component: Component
    kind: PartKind
    position: int
    state: PartState
    age: float | None
    mode: Mode | None
    ways: tuple[StopWay, ...]
    best: StopWay
    too_early: tuple[ChangeTime, ...]
    found: StopOrRun
    failure_minor: float
    hour_minor: int
    wait: PartWait | None
    mending: Mendable | None
    collateral: Collateral
    part: ShelfPart | None
    stretches: LeftStretches
    failures: float
    asked: AskedStop
    missing: tuple[Missing, ...]

    @property
    def has_later(self) -> bool:
        """Whether there is a time after now, or mending, to weigh; else nothing is known to be run ahead."""
        return len(self.ways) > 1

    @property
    def endangers_people(self) -> bool:
        """Whether its failure in work can hurt somebody: then cost does not decide."""
        return endangers_people(self.kind)


def endangers_people(kind: PartKind) -> bool:
    """Tell whether a failure of the kind in work can hurt somebody: then cost does not decide."""
    words = kind.name.casefold().split()
    return kind.endangers_people or kind.subsystem is Subsystem.SAFETY or any(w in _ENDANGERING for w in words)


def stop_or_run(
    connection: Connection, farm: Farm, component: Component, asked: AskedStop | None = None
) -> StopOrRunView:
    """Weigh the times at which the worst part of a component can be changed.

    Of several positions it is about the one that was left in service first, else the oldest; the others stay as they are.

    Raises
    ------
    RefusedError
        ChangeTime nothing sits there, or nobody has an idea how long the kind lasts.
    """
    asked = asked or AskedStop()
    outlook = wear_outlook(connection, farm)
    row, mine = _outlook_of(outlook, component)
    view = harvest_view(connection, farm)
    number = farm.part_kinds.index(row.life.kind)
    group, mode = _worst(farm, mine, component, number)
    stretches = left_stretches(farm, number, mode) if mode is not None else LeftStretches(0, 0, 0.0)
    state, law = law_ahead(row, mine.law, group, mode, stretches, measured_lives(outlook).get(component.id), asked)
    part = part_choices(connection, farm).part_of(component.id)
    times_of = {} if part is None or part.on_hand else part_times(connection)
    taken = times_of.get(part.part.id) if part is not None else None
    prices = change_prices(farm, repair_habits(connection, farm).get(row.life.kind.id), part, taken)
    collateral = collateral_record(connection, farm, number, prices)
    pace = pace_of(view, farm, component, row.life.kind.meter_kind)
    standing = standing_cost(connection, farm, asked, prices, pace, view)
    failure = FailureCost(lambda usage: failure_minor_at(prices, pace, standing, usage), collateral.costs)
    times, too_early = _times(asked, prices, pace, standing, season_left(view, mine, pace))
    mending = None
    if group.failed or asked.mend_seconds is not None:
        then = [one for _, one in times]
        mending = mendable(connection, farm, row.life.kind, mine.law, asked, standing, then)
    found = weigh_opportunities(
        law,
        [one for _, one in times],
        failure,
        gain=long_run_rate(mine.law, prices),
        mend=None if mending is None else mending.first,
    )
    ways = _ways(times, found, mending)
    if row.life.posterior is None:
        prices.missing.append(Missing.LIFE)
    return StopOrRunView(
        farm=farm,
        machine=farm.machines[farm.machine_number(component.machine_id)],
        component=component,
        kind=row.life.kind,
        position=group.positions[0],
        state=state,
        age=group.age,
        mode=mode,
        # what is done now stands together
        ways=tuple(sorted(ways, key=lambda one: one.when not in (ChangeTime.NOW, ChangeTime.MEND))),
        best=ways[found.best],
        too_early=too_early,
        found=found,
        failure_minor=float(failure.at(np.zeros(1))[0]) + failure.collateral_minor,
        hour_minor=farm.settings.downtime_minor,
        wait=prices.wait,
        mending=mending,
        collateral=collateral,
        part=part,
        stretches=stretches,
        failures=0.0 if row.life.posterior is None else row.life.posterior.failures,
        asked=asked,
        missing=tuple(prices.missing),
    )


def _ways(times: list[tuple[ChangeTime, Opportunity]], found: StopOrRun, mending: Mendable | None) -> list[StopWay]:
    ways = [StopWay(when, cost, one.planned_minor) for (when, one), cost in zip(times, found.ways, strict=False)]
    if mending is not None and found.mended_then is not None:
        later = [when for when, one in times if one.usage > 0]
        ways.append(StopWay(ChangeTime.MEND, found.ways[-1], mending.first.minor, later[found.mended_then]))
    return ways


def _outlook_of(outlook: WearOutlook, component: Component) -> tuple[KindOutlook, ComponentOutlook]:
    for row in outlook.kinds:
        for one in row.components:
            if one.component_id == component.id:
                return row, one
    raise RefusedError("Nothing is known of this component.", "Fit a part onto it first: wearlog fit")


def _worst(farm: Farm, mine: ComponentOutlook, component: Component, number: int) -> tuple[AgeGroup, Mode | None]:
    """The group whose part it is about, that part first, and how it failed."""
    if not mine.groups:
        raise RefusedError("No part sits there.", "Fit one first: wearlog fit")
    left = next((one for one in left_in_service(farm) if one.component.id == component.id), None)
    if left is not None:
        group = next((one for one in mine.groups if left.positions[0] in one.positions), mine.groups[0])
        return AgeGroup(left.positions[:1], group.age, 0.0, failed=True), mode_when_left(
            farm, component, left.positions[0]
        )
    return min(
        mine.groups,
        key=lambda one: (not one.failed, 1.0 if one.survives is None else one.survives, -(one.age or 0.0)),
    ), None


def mode_when_left(farm: Farm, component: Component, position: int) -> Mode:
    """How the part was broken when it was left last."""
    breakages, place = farm.histories.breakages, farm.components.index(component)
    rows = np.flatnonzero((breakages.component == place) & (breakages.action == code_of(Action.LEFT)))
    rows = rows[breakages.at[rows] <= farm.now_microseconds]
    last = [int(row) for row in rows if position in breakages.positions[row]][-1]
    return list(Mode)[int(breakages.mode[last])]


def law_ahead(
    row: KindOutlook,
    posterior: LifeLaw | None,
    group: AgeGroup,
    mode: Mode | None,
    stretches: LeftStretches,
    measured: MeasuredLife | None,
    asked: AskedStop,
    nodes: LifeNodes | None = None,
) -> tuple[PartState, Residual]:
    """Return what is believed of the usage still to come of a part, and what that rests on.

    `posterior` is the life that its parts go by, `nodes` are those of it where they are at hand already.

    Raises
    ------
    RefusedError
        Nobody has an idea how long the kind lasts.
    """
    if group.failed or asked.lasts is not None:
        state = PartState.LEFT if mode is not None else PartState.PAST_LIMIT if group.failed else PartState.AGED
        if asked.lasts is not None:
            return state, should_last(*asked.lasts).after(stretches.breaks, stretches.usage)
        if posterior is None:
            raise RefusedError(
                f"Nobody has an idea how long a {row.life.kind.name} lasts.", "Say what it should still last: --lasts"
            )
        belief: LeftRunning = left_running(mode or Mode.WORN, posterior.median_life().median)
        return state, belief.after(stretches.breaks, stretches.usage)
    if measured is not None and group.age is not None:
        return PartState.MEASURED, AgedPart(measured.nodes, group.age)
    if posterior is None:
        raise RefusedError(
            f"Nobody has an idea how long a {row.life.kind.name} lasts.", "Say what it should still last: --lasts"
        )
    nodes = nodes or condensed(posterior)
    if group.age is None:
        return PartState.UNKNOWN_AGE, PartOfUnknownAge(nodes)
    return PartState.AGED, AgedPart(nodes, group.worn_age or 0.0)


def season_left(view: HarvestView, mine: ComponentOutlook, pace: Pace) -> float:
    """Usage until the end of the season that runs, else of the one to come."""
    finish = view.finish
    if finish is not None and finish.first_day is not None:
        return finish.left / finish.machines / pace.area * pace.usage
    return mine.usage


def _times(
    asked: AskedStop, prices: Prices, pace: Pace, standing: Standing, season: float
) -> tuple[list[tuple[ChangeTime, Opportunity]], tuple[ChangeTime, ...]]:
    """Return the times at which it can be changed with the part at hand, and those that come before the part."""

    def stood(hours: float, begins: float) -> float:
        return prices.in_field + float(standing(np.array([hours]), np.array([begins]))[0])

    def fetched(hours: float) -> float:
        return float(prices.hurry_minor(hours))

    now = stood(prices.stands + prices.wait_hours, 0.0) + fetched(0.0)
    found = [(ChangeTime.NOW, Opportunity(0.0, now))]
    idle = max(prices.stands - asked.idle_seconds / _HOUR, 0.0)
    stop = (asked.next_stop or 0.0) * pace.usage
    wanted: list[tuple[ChangeTime, float | None, float]] = [
        (ChangeTime.NEXT_STOP, asked.next_stop, stood(idle, stop)),
        (ChangeTime.DUSK, asked.dark, prices.in_field),
        (ChangeTime.FIELD_DONE, None if asked.left is None else asked.left / pace.area, prices.in_field),
        (ChangeTime.SEASON_END, season / pace.usage, prices.in_shop),
    ]
    too_early = []
    done = np.inf if asked.left is None else asked.left / pace.area
    for when, hours, cost in wanted:
        if hours is None or (when is ChangeTime.SEASON_END and hours <= 0):
            continue
        if when in (ChangeTime.DUSK, ChangeTime.NEXT_STOP) and hours >= done:
            # the field is done before: nothing more is run until then
            continue
        if hours < prices.wait_hours and when is not ChangeTime.SEASON_END:
            too_early.append(when)
            continue
        found.append((when, Opportunity(hours * pace.usage, cost + fetched(hours))))
    return sorted(found, key=lambda one: one[1].usage), tuple(too_early)


def failure_minor_at(prices: Prices, pace: Pace, standing: Standing, usage: Floats) -> Floats:
    """Return what it costs when it goes so much usage from now: part, labour, standing with the wait for the part."""
    later = usage / pace.usage
    wait = np.zeros(usage.shape) if prices.wait is None else prices.wait.hours_at(later)
    return prices.in_field + prices.hurry_minor(later) + standing(prices.stands + wait, usage)
