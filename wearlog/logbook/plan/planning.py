"""A season's plan entered: money and shop hours, what will be cut, and all choices made by hand as one deed. Reckons nothing."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date
from uuid import UUID

from wearlog.errors import NotFoundError, RefusedError
from wearlog.facts.closed_lists import Choice
from wearlog.facts.fact import Fact
from wearlog.facts.wearing import Component
from wearlog.facts.work import PlanChoice, PlannedArea, Run, Season, SeasonPlan
from wearlog.logbook.deed_sentences import area_called, choice_said, limits_said, named_in, place_of, plan_sentence
from wearlog.logbook.names import KnownNames, known_names
from wearlog.logbook.parts.fitting import all_positions, refuse_beyond
from wearlog.logbook.said.measures import FarmSpeaker
from wearlog.logbook.saving import Done, save
from wearlog.store.connection import Connection
from wearlog.store.finding import find_all, find_by_id, find_latest, settings_of
from wearlog.store.opening import Store


@dataclass(frozen=True, slots=True)
class LineChoice:
    """What is chosen for positions of a component; None: the figures decide again."""

    component_id: UUID
    positions: tuple[int, ...]
    choice: Choice | None


@dataclass(frozen=True, slots=True)
class PlanLimits:
    """Money for parts in whole minor units and man-time of the shop in seconds; None: no limit."""

    budget_minor: int | None
    shop_seconds: int | None


def save_plan(
    store: Store, harvest_year: int, *, choices: Sequence[LineChoice] = (), limits: PlanLimits | None = None
) -> Done:
    """Save choices and limits of the plan of a season. A plan, or a season, that is not there yet comes along.

    Parameters
    ----------
    choices : sequence of LineChoice
        Each takes the place of all earlier choices for its component.
    limits : PlanLimits or None
        None leaves them as they are.

    Raises
    ------
    RefusedError
        When nothing would change, or a component has no such position.
    """
    with store.writing() as connection:
        _, plan, new = plan_or_new(connection, harvest_year)
        gone: list[Fact] = []
        changed: list[Fact] = []
        if limits is not None and limits != PlanLimits(plan.budget_minor, plan.shop_seconds):
            limited = replace(plan, budget_minor=limits.budget_minor, shop_seconds=limits.shop_seconds)
            changed, new = ([], [*new[:-1], limited]) if new else ([limited], [])
        for one in choices:
            component = find_by_id(connection, Component, one.component_id)
            refuse_beyond(component, one.positions)
            earlier = find_all(connection, PlanChoice, season_plan_id=plan.id, component_id=component.id)
            # the screen hands over every line that was touched: what is as it was makes no row of the history
            if [(old.positions, old.choice) for old in earlier] == [(one.positions, one.choice)]:
                continue
            gone += earlier
            if one.choice is not None:
                new.append(
                    PlanChoice(
                        season_plan_id=plan.id, component_id=component.id, positions=one.positions, choice=one.choice
                    )
                )
        if not (new or changed or gone):
            raise RefusedError("Nothing in the plan was changed.", "Space chooses otherwise for a line.")
        known = known_names(connection)
        said = _chosen(connection, known, choices)
        if limits is not None:
            said.append(limits_said(FarmSpeaker(known.farm), limits.budget_minor, limits.shop_seconds))
        sentence = plan_sentence(harvest_year, said)
        return save(store, connection, sentence, new=new, changed=changed, gone=gone, known=known)


def _chosen(connection: Connection, known: KnownNames, choices: Sequence[LineChoice]) -> list[str]:
    """Say what was chosen: one choice by its place, several by how many of each."""
    if len(choices) == 1:
        component = find_by_id(connection, Component, choices[0].component_id)
        return [choice_said(choices[0].choice, place_of(known, component, choices[0].positions))]
    counts = (
        ("to replace", sum(one.choice is Choice.REPLACE for one in choices)),
        ("to run", sum(one.choice is Choice.RUN for one in choices)),
        ("left to the figures", sum(one.choice is None for one in choices)),
    )
    return [f"{count} {words}" for words, count in counts if count]


def season_plan_of(connection: Connection, harvest_year: int) -> tuple[Season, SeasonPlan] | None:
    """Return the season of a harvest year and the plan that counts for it: the last one made. None where there is none."""
    for season in find_all(connection, Season, harvest_year=harvest_year):
        plans = find_all(connection, SeasonPlan, season_id=season.id)
        if plans:
            return season, plans[-1]
    return None


def plan_or_new(connection: Connection, harvest_year: int) -> tuple[Season, SeasonPlan, list[Fact]]:
    """Return the season, its plan, and which of the two are new, the plan last."""
    there = season_plan_of(connection, harvest_year)
    if there is not None:
        return *there, []
    seasons = find_all(connection, Season, harvest_year=harvest_year)
    season = seasons[0] if seasons else calendar_year(harvest_year)
    plan = SeasonPlan(season_id=season.id)
    return season, plan, [plan] if seasons else [season, plan]


def planned_seasons(connection: Connection) -> frozenset[UUID]:
    """Return the ids of the seasons that have a plan."""
    return frozenset(plan.season_id for plan in find_all(connection, SeasonPlan))


def last_day_cut(connection: Connection) -> date | None:
    """Return the last day on which anything was cut, by the farm's clock; None when nothing ever was."""
    latest = find_latest(connection, Run, "ended_at")
    return settings_of(connection).local(latest.ended_at).date() if latest is not None else None


def make_plan(
    store: Store,
    harvest_year: int,
    *,
    name: str = "",
    budget_minor: int | None = None,
    shop_seconds: int | None = None,
) -> Done:
    """Begin the plan of a season; a season that is not there yet comes with it, as a calendar year.

    Parameters
    ----------
    budget_minor, shop_seconds : int, optional
        The money for parts and the man-time of the shop; None: no limit.

    Raises
    ------
    RefusedError
        When the season has a plan already.
    """
    with store.writing() as connection:
        _, plan, new = plan_or_new(connection, harvest_year)
        if not new:
            raise RefusedError(f"There is a plan for {harvest_year} already.", "Change that one.")
        new[-1] = replace(plan, name=name, budget_minor=budget_minor, shop_seconds=shop_seconds)
        known = known_names(connection)
        return save(store, connection, f"began the plan for {harvest_year}", new=new, known=known)


def change_plan(store: Store, plan: SeasonPlan) -> Done:
    """Save a plan with another name, budget or shop hours. NotFoundError when it is not there any more."""
    with store.writing() as connection:
        find_by_id(connection, SeasonPlan, plan.id)
        season = find_by_id(connection, Season, plan.season_id)
        said = f"changed the plan for {season.harvest_year}"
        return save(store, connection, said, changed=[plan], known=known_names(connection))


def plan_areas(store: Store, areas: Sequence[PlannedArea]) -> Done:
    """Enter areas to cut: by field or by ground, with a crop and machines where they are settled. One deed for all of them.

    Raises
    ------
    RefusedError
        When none is given, or one has neither a field nor a ground, or no area.
    """
    with store.writing() as connection:
        counted = "one area" if len(areas) == 1 else f"{len(areas)} areas"
        known = known_names(connection)
        return save(store, connection, f"planned {counted} to cut", new=areas, known=known)


def drop_areas(store: Store, areas: Sequence[PlannedArea]) -> Done:
    """Take areas out of the plan. NotFoundError when one is not there any more."""
    with store.writing() as connection:
        still = [find_by_id(connection, PlannedArea, area.id) for area in areas]
        known = known_names(connection)
        called = area_called(FarmSpeaker(known.farm), still[0], named_in(known))
        which = called if len(still) == 1 else f"{len(still)} areas"
        return save(store, connection, f"took {which} out of the plan", gone=still, known=known)


def choose(
    store: Store, plan: SeasonPlan, component: Component, positions: Sequence[int], choice: Choice | None
) -> Done:
    """Choose by hand what is done with positions of a component (all of them when none are named).

    Parameters
    ----------
    choice : Choice or None
        None takes the choice back: the figures decide again.

    Raises
    ------
    RefusedError
        When the component has no such position.
    NotFoundError
        When there is no choice to take back.

    Notes
    -----
    A position has one choice: an earlier one for the same positions is changed, not stacked upon.
    """
    chosen = tuple(sorted(set(positions))) or all_positions(component)
    refuse_beyond(component, chosen)
    with store.writing() as connection:
        known = known_names(connection)
        earlier = find_all(connection, PlanChoice, season_plan_id=plan.id, component_id=component.id)
        touched = [old for old in earlier if set(old.positions) & set(chosen)]
        where = place_of(known, component, chosen)
        if choice is None and not touched:
            raise NotFoundError(f"Nothing was chosen by hand for {where}.")
        year = find_by_id(connection, Season, plan.season_id).harvest_year
        said = plan_sentence(year, [choice_said(choice, where)])
        new, changed, gone = choices_made(plan, component, chosen, choice, touched)
        return save(store, connection, said, new=new, changed=changed, gone=gone, known=known)


def choices_made(
    plan: SeasonPlan, component: Component, chosen: tuple[int, ...], choice: Choice | None, touched: list[PlanChoice]
) -> tuple[list[Fact], list[Fact], list[Fact]]:
    """Return the new choice, those that are changed and those that are gone."""
    changed: list[Fact] = []
    gone: list[Fact] = []
    # a choice for one position of many leaves the others as they were chosen
    for old in touched:
        left = tuple(position for position in old.positions if position not in chosen)
        if left:
            changed.append(replace(old, positions=left))
        else:
            gone.append(old)
    new: list[Fact] = []
    if choice is not None:
        new.append(PlanChoice(season_plan_id=plan.id, component_id=component.id, positions=chosen, choice=choice))
    return new, changed, gone


def calendar_year(harvest_year: int) -> Season:
    """Return a season as it is taken where nobody entered its days: the calendar year."""
    return Season(harvest_year=harvest_year, starts_on=date(harvest_year, 1, 1), ends_on=date(harvest_year + 1, 1, 1))
