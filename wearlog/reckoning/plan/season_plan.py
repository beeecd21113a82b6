"""The winter decision: what to replace, which spares to carry, what to order, and what of it is behind already. Prints nothing."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import UTC, datetime, time
from typing import Final
from uuid import UUID

from wearlog.errors import NotFoundError, RefusedError
from wearlog.facts.closed_lists import Choice, RepairKind, StockChange
from wearlog.facts.parts import StockMove
from wearlog.facts.wearing import Fitting, Repair
from wearlog.facts.work import (
    PlanChoice,
    PlannedArea,
    Season,
    SeasonPlan,
    coming_season,
    next_harvest,
    order_mark,
    order_note,
)
from wearlog.plan.budget import Limits
from wearlog.progress import step, stretch
from wearlog.reckoning.farm import Farm
from wearlog.reckoning.parts.deliveries import PartTimes, part_times
from wearlog.reckoning.parts.repair_habits import repair_habits
from wearlog.reckoning.parts.stock import PartChoices, part_choices
from wearlog.reckoning.plan.allocation import Allocation, NextMoney, allocate, next_money
from wearlog.reckoning.plan.desk import DemandBook
from wearlog.reckoning.plan.line import PlanLine
from wearlog.reckoning.plan.spares import PartNeed, part_needs
from wearlog.reckoning.plan.weighed_lines import LineInputs, measured_lives, plan_lines
from wearlog.reckoning.wear.season_ahead import SeasonAhead
from wearlog.reckoning.wear.wear_outlook import WearOutlook, wear_outlook
from wearlog.store.connection import Connection
from wearlog.store.finding import find_all
from wearlog.store.journal import entered_when
from wearlog.store.schema.types import microseconds

#: the shares of a plan's time at which the outlook is there, and the lines that are weighed by it
_OUTLOOK: Final = 0.3
_LINES: Final = 0.5


@dataclass(frozen=True, slots=True, eq=False, repr=False)
class SeasonPlanView:
    """A season plan as it stands.

    Attributes
    ----------
    farm : Farm
    season : Season or None
        The season planned; None when none is to come.
    plan : SeasonPlan or None
        What was entered of it; None when nobody made a plan.
    areas : tuple of PlannedArea
    outlook : WearOutlook
        Every kind with its life, and what the season asks of every machine: planned, or taken from past seasons.
    lines : tuple of PlanLine
        Every component of the fleet, the largest saving first, undecided ones last.
    needs : tuple of PartNeed
        Every part of the log.
    limits : Limits
        Of the whole season.
    spent : Spent
        What of it is behind already.
    passed_over : tuple of int
        Harvest years to come before this season; nothing of them is reckoned.
    found : Allocation
    book : DemandBook
        Demands worked out so far, so that a toggle is quick.
    times : mapping of UUID to PartTimes
        What is known of how long each part takes to come.
    """

    farm: Farm
    season: Season | None
    plan: SeasonPlan | None
    areas: tuple[PlannedArea, ...]
    outlook: WearOutlook
    lines: tuple[PlanLine, ...]
    needs: tuple[PartNeed, ...]
    limits: Limits
    spent: Spent
    passed_over: tuple[int, ...]
    found: Allocation
    book: DemandBook
    times: Mapping[UUID, PartTimes]

    @property
    def ahead(self) -> SeasonAhead:
        return self.outlook.ahead

    @property
    def limits_left(self) -> Limits:
        """What there still is to spend."""
        return self.spent.left_of(self.limits)

    @property
    def harvest_year(self) -> int:
        """The harvest year that the plan is for, or would be for."""
        if self.season is not None:
            return self.season.harvest_year
        return next_harvest(self.farm.now.date(), self.farm.last_cut)

    @property
    def planned_area(self) -> float:
        """Square metres planned; 0 where nobody planned an area."""
        return float(sum(area.area_square_metres for area in self.areas))

    @property
    def nothing_to_come(self) -> bool:
        """Tell whether neither a plan nor a past season says what the machines will do."""
        return self.ahead.is_idle

    def line_number(self, component_id: UUID) -> int:
        """Return the place of a component's line. NotFoundError when it has none."""
        for number, line in enumerate(self.lines):
            if line.component.id == component_id:
                return number
        raise NotFoundError("This component is not in the plan.")


def season_plan(
    connection: Connection,
    farm: Farm,
    *,
    harvest_year: int | None = None,
    budget_minor: int | None = None,
    shop_seconds: int | None = None,
) -> SeasonPlanView:
    """Reckon the plan of a coming season.

    Parameters
    ----------
    harvest_year : int, optional
        By default the first season to come that has a plan, else the first to come.
    budget_minor, shop_seconds : int, optional
        Other limits than those of the plan, to see what they would mean; nothing is saved.

    Raises
    ------
    NotFoundError, RefusedError
        When there is no season of that year, or it is over.
    """
    season, plan = _season_of(connection, farm, harvest_year)
    passed_over = _before(farm, season)
    farm = _with_seasons_up_to(farm, season)
    with stretch(last=_OUTLOOK):
        outlook = wear_outlook(connection, farm)
    areas = find_all(connection, PlannedArea, season_plan_id=plan.id) if plan else []
    choices = in_order_of_entry(connection, find_all(connection, PlanChoice, season_plan_id=plan.id)) if plan else []
    parts = part_choices(connection, farm)
    lines = plan_lines(
        LineInputs(
            farm,
            outlook,
            parts,
            repair_habits(connection, farm),
            choices,
            done_by_hand(connection, choices),
            measured_lives(outlook),
        )
    )
    step(_LINES)
    needs = part_needs(parts, lines, outlook, farm.settings)
    limits = Limits(
        budget_minor if budget_minor is not None else (plan.budget_minor if plan else None),
        shop_seconds if shop_seconds is not None else (plan.shop_seconds if plan else None),
    )
    book = DemandBook(lines, needs)
    behind = spent(connection, farm, parts, season)
    found = allocate(lines, needs, book, behind.left_of(limits))
    return SeasonPlanView(
        farm=farm,
        season=season,
        plan=plan,
        areas=tuple(areas),
        outlook=outlook,
        lines=lines,
        needs=needs,
        limits=limits,
        spent=behind,
        passed_over=passed_over,
        found=found,
        book=book,
        times=part_times(connection),
    )


def what_more_buys(view: SeasonPlanView, extra_minor: int = 100_00) -> NextMoney:
    """Say what more money would buy."""
    return next_money(view.found, view.limits_left, extra_minor)


def _season_of(connection: Connection, farm: Farm, harvest_year: int | None) -> tuple[Season | None, SeasonPlan | None]:
    seasons = farm.entered_seasons if harvest_year is None else (_named(farm, harvest_year),)
    planned = {plan.season_id: plan for plan in find_all(connection, SeasonPlan)}
    season = coming_season(seasons, farm.now.date(), farm.last_cut, planned)
    return season, planned.get(season.id) if season is not None else None


def _named(farm: Farm, harvest_year: int) -> Season:
    found = next((season for season in farm.entered_seasons if season.harvest_year == harvest_year), None)
    if found is None:
        to_come = (str(season.harvest_year) for season in farm.entered_seasons if not farm.is_over(season))
        years = ", ".join(to_come) or "none yet"
        raise NotFoundError(
            f"There is no season {harvest_year}.", f"To come: {years}. Begin one: wearlog plan make {harvest_year}"
        )
    if farm.is_over(found):
        raise RefusedError(f"The season {harvest_year} is over.", "A plan is for a season that is still to come.")
    return found


def _before(farm: Farm, season: Season | None) -> tuple[int, ...]:
    """Harvest years that are to come before a season."""
    if season is None:
        return ()
    to_come = (one for one in farm.seasons if farm.now.date() < one.starts_on < season.starts_on)
    return tuple(one.harvest_year for one in to_come)


def _with_seasons_up_to(farm: Farm, season: Season | None) -> Farm:
    """The farm without other seasons to come, so that what is to come is this season and nothing before it."""
    kept = tuple(
        one for one in farm.seasons if farm.is_over(one) or one == season or one.harvest_year in farm.calendar_years
    )
    return farm if kept == farm.seasons else replace(farm, seasons=kept)


@dataclass(frozen=True, slots=True)
class Spent:
    """Money that went into deliveries on the plan's orders, and shop work done since the last acre was cut."""

    received_minor: int
    shop_seconds: int

    def left_of(self, limits: Limits) -> Limits:
        """Return what there still is of the limits: nothing, not less, where more was spent than there was."""
        return Limits(_left(limits.budget_minor, self.received_minor), _left(limits.shop_seconds, self.shop_seconds))


def spent(connection: Connection, farm: Farm, parts: PartChoices, season: Season | None) -> Spent:
    """Return what is behind of the plan for a season; nothing where there is no season to come."""
    if season is None:
        return Spent(0, 0)
    return Spent(_received_minor(connection, parts, season), _shop_seconds(connection, farm, season))


def _received_minor(connection: Connection, parts: PartChoices, season: Season) -> int:
    """What was paid for deliveries on orders of this season's plan.

    A piece whose cost nobody wrote counts at the price of its part, and for nothing where there is none. What was bought beside the
    plan's orders is not of its budget.
    """
    ours = order_note(order_mark(season.harvest_year, ""))
    prices = {one.part.id: one.price_minor or 0 for one in parts.parts}
    return sum(
        move.quantity * (prices.get(move.part_id, 0) if move.unit_cost_minor is None else move.unit_cost_minor)
        for move in find_all(connection, StockMove, change=StockChange.RECEIVED)
        if move.note.startswith(ours)
    )


def _shop_seconds(connection: Connection, farm: Farm, season: Season) -> int:
    """Man-time of planned work since the last acre before the season was cut: what this winter did already."""
    now = microseconds(farm.now)
    begins = microseconds(datetime.combine(season.starts_on, time.min, tzinfo=UTC))
    ends = farm.histories.runs.end
    behind = ends[ends <= min(now, begins)]
    if not behind.size:
        return 0
    last = int(behind.max())
    return sum(
        repair.labour_seconds or 0
        for repair in find_all(connection, Repair, kind=RepairKind.PLANNED)
        if last < microseconds(repair.started_at) <= now
    )


def _left(limit: int | None, gone: int) -> int | None:
    return None if limit is None else max(limit - gone, 0)


#: the version of ids that are made when something is entered (RFC 9562, 5.7); those of imported rows are derived
_ENTERED = 7


def in_order_of_entry(connection: Connection, choices: Iterable[PlanChoice]) -> list[PlanChoice]:
    """Return choices by the journal's own time: of two for one position (after a merge) the later stands, whatever clocks said."""
    known = list(choices)
    order = entered_when(connection, (one.id for one in known))
    return sorted(known, key=lambda one: order[one.id])


def done_by_hand(connection: Connection, choices: Iterable[PlanChoice]) -> Mapping[UUID, frozenset[int]]:
    """Return the positions whose choice to replace them is done, by component.

    What counts is what was entered first by the journal, the choice or the fitting, not the day that was written beside it: work is
    often entered days later. Imported rows count as entered before all others.

    Parameters
    ----------
    choices : iterable of PlanChoice
        In the order in which they were entered.
    """
    wanted: dict[UUID, dict[int, PlanChoice]] = defaultdict(dict)
    for choice in choices:
        if choice.choice is Choice.REPLACE:
            wanted[choice.component_id].update(dict.fromkeys(choice.positions, choice))
    on: dict[tuple[UUID, int], UUID] = {
        (component_id, one.position): one.id
        for component_id in wanted
        for one in find_all(connection, Fitting, component_id=component_id)
        if one.removed_at is None
    }
    chosen = {choice.id for by_position in wanted.values() for choice in by_position.values()}
    order = entered_when(connection, chosen.union(on.values()))
    return {
        component_id: frozenset(
            position
            for position, choice in by_position.items()
            if (fitting := on.get((component_id, position))) is not None and _is_later(fitting, choice.id, order)
        )
        for component_id, by_position in wanted.items()
    }


def _is_later(later: UUID, earlier: UUID, order: Mapping[UUID, tuple[datetime, UUID]]) -> bool:
    return later.version == _ENTERED and (earlier.version != _ENTERED or order[later] > order[earlier])
