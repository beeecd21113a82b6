"""Entering the plan of a season: its money and shop hours, what will be cut, what is chosen by hand. Reckons nothing."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date
from uuid import UUID

from wearlog.errors import NotFoundError, RefusedError
from wearlog.facts.closed_lists import Choice, Doing
from wearlog.facts.fact import Fact
from wearlog.facts.planning import PlanChoice, PlannedArea, SeasonPlan
from wearlog.facts.wearing import Component
from wearlog.facts.work import Run, Season
from wearlog.logbook.checks.soundness import unsound
from wearlog.logbook.deed_sentences import choice_said, place_of, plan_sentence
from wearlog.logbook.name_book import KnownNames
from wearlog.logbook.names import known_names
from wearlog.logbook.parts.fitting import all_positions, refuse_beyond
from wearlog.logbook.saving import Done, cleaned
from wearlog.store.connection import Connection
from wearlog.store.finding import find_all, find_by_id, find_latest, settings_of
from wearlog.store.ledger import Entry, record
from wearlog.store.opening import Store
from wearlog.units import from_stored


def season_plan_of(connection: Connection, harvest_year: int) -> tuple[Season, SeasonPlan] | None:
    """Return the season of a harvest year and the plan that counts for it: the last one made. None where there is none."""
    for season in find_all(connection, Season, harvest_year=harvest_year):
        plans = find_all(connection, SeasonPlan, season_id=season.id)
        if plans:
            return season, plans[-1]
    return None


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
        if season_plan_of(connection, harvest_year) is not None:
            raise RefusedError(f"There is a plan for {harvest_year} already.", "Change that one.")
        there = find_all(connection, Season, harvest_year=harvest_year)
        season = there[0] if there else calendar_year(harvest_year)
        plan = SeasonPlan(season_id=season.id, name=name, budget_minor=budget_minor, shop_seconds=shop_seconds)
        new: list[Fact] = [plan] if there else [season, plan]
        return _one_deed(store, connection, f"began the plan for {harvest_year}", new=new)


def change_plan(store: Store, plan: SeasonPlan) -> Done:
    """Save a plan with another name, budget or shop hours. NotFoundError when it is not there any more."""
    with store.writing() as connection:
        find_by_id(connection, SeasonPlan, plan.id)
        season = find_by_id(connection, Season, plan.season_id)
        said = f"changed the plan for {season.harvest_year}"
        return _one_deed(store, connection, said, changed=[plan])


def plan_areas(store: Store, areas: Sequence[PlannedArea]) -> Done:
    """Enter areas to cut: by field or by ground, with a crop and machines where they are settled. One deed for all of them.

    Raises
    ------
    RefusedError
        When none is given, or one has neither a field nor a ground, or no area.
    """
    with store.writing() as connection:
        counted = "one area" if len(areas) == 1 else f"{len(areas)} areas"
        return _one_deed(store, connection, f"planned {counted} to cut", new=areas)


def drop_areas(store: Store, areas: Sequence[PlannedArea]) -> Done:
    """Take areas out of the plan. NotFoundError when one is not there any more."""
    with store.writing() as connection:
        still = [find_by_id(connection, PlannedArea, area.id) for area in areas]
        known = known_names(connection)
        which = area_called(still[0], known) if len(still) == 1 else f"{len(still)} areas"
        return _one_deed(store, connection, f"took {which} out of the plan", gone=still, known=known)


def area_called(area: PlannedArea, known: KnownNames) -> str:
    """Return how a planned area is called in a sentence: 640 ac of wheat on Long Bench, or 640 ac on stony ground."""
    unit = known.farm.area_unit
    size = f"{from_stored(area.area_square_metres, unit):,.1f}".removesuffix(".0")
    crop = next((one.name for one in known.crops if one.id == area.crop_id), "")
    field = next((one.name for one in known.fields if one.id == area.field_id), "")
    ground = area.ground.value.replace("_", " ") if area.ground is not None else ""
    of_crop = f" of {crop}" if crop else ""
    on_field = f" on {field}" if field else ""
    on_ground = f" ({ground})" if ground and field else f" on {ground} ground" if ground else ""
    return f"{size} {unit}{of_crop}{on_field}{on_ground}"


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
        return _one_deed(store, connection, said, known=known, **_choices(plan, component, chosen, choice, touched))


def _choices(
    plan: SeasonPlan, component: Component, chosen: tuple[int, ...], choice: Choice | None, touched: list[PlanChoice]
) -> dict[str, list[Fact]]:
    """What becomes of the choices there are, and the new one."""
    changed: list[Fact] = []
    gone: list[Fact] = []
    for old in touched:
        left = tuple(position for position in old.positions if position not in chosen)
        if left:
            changed.append(replace(old, positions=left))
        else:
            gone.append(old)
    new: list[Fact] = []
    if choice is not None:
        new.append(PlanChoice(season_plan_id=plan.id, component_id=component.id, positions=chosen, choice=choice))
    return {"new": new, "changed": changed, "gone": gone}


def calendar_year(harvest_year: int) -> Season:
    """Return a season as it is taken where nobody entered its days: the calendar year."""
    return Season(harvest_year=harvest_year, starts_on=date(harvest_year, 1, 1), ends_on=date(harvest_year + 1, 1, 1))


def _one_deed(
    store: Store,
    connection: Connection,
    said: str,
    *,
    new: Sequence[Fact] = (),
    changed: Sequence[Fact] = (),
    gone: Sequence[Fact] = (),
    known: KnownNames | None = None,
) -> Done:
    """Write what is new, changed and withdrawn as one deed, so that one undo takes all of it back."""
    new, changed = [cleaned(fact) for fact in new], [cleaned(fact) for fact in changed]
    findings = unsound([*new, *changed], known or known_names(connection))
    if findings:
        raise RefusedError(findings[0].message, findings[0].hint)
    withdrawn = [replace(fact, voided=True) for fact in gone]
    entries = [Entry(fact) for fact in new]
    entries += [Entry(fact, Doing.EDITED) for fact in changed]
    entries += [Entry(fact, Doing.VOIDED) for fact in withdrawn]
    deed = record(connection, device=store.device, said=said, entries=entries)
    return Done(deed, said, (*new, *changed, *withdrawn))
