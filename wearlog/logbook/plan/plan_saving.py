"""Saving a season plan as it was worked on: its limits and all choices made by hand as one deed, so that one undo takes it back."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date
from uuid import UUID

from wearlog.errors import RefusedError
from wearlog.facts.closed_lists import Choice, Doing
from wearlog.facts.fact import Fact
from wearlog.facts.planning import PlanChoice, SeasonPlan
from wearlog.facts.wearing import Component
from wearlog.facts.work import Season
from wearlog.logbook.checks.soundness import unsound
from wearlog.logbook.deed_sentences import choice_said, place_of, plan_sentence
from wearlog.logbook.names import known_names
from wearlog.logbook.parts.fitting import refuse_beyond
from wearlog.logbook.plan.planning import season_plan_of
from wearlog.logbook.saving import Done
from wearlog.store.connection import Connection
from wearlog.store.finding import find_all, find_by_id
from wearlog.store.ledger import Entry, record
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
        new, changed = _plan_rows(connection, harvest_year, limits)
        there = season_plan_of(connection, harvest_year)
        plan = there[1] if there else next(fact for fact in new if isinstance(fact, SeasonPlan))
        gone: list[Fact] = []
        for one in choices:
            component = find_by_id(connection, Component, one.component_id)
            refuse_beyond(component, one.positions)
            earlier = find_all(connection, PlanChoice, season_plan_id=plan.id, component_id=component.id)
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
        said = plan_sentence(
            harvest_year, _chosen(connection, choices) + ["money and shop hours"] * (limits is not None)
        )
        return _one_deed(store, connection, said, new, changed, gone)


def _plan_rows(connection: Connection, harvest_year: int, limits: PlanLimits | None) -> tuple[list[Fact], list[Fact]]:
    """Return what comes and what changes of the plan itself and its season."""
    there = season_plan_of(connection, harvest_year)
    if there is not None:
        plan = there[1]
        if limits is None or limits == PlanLimits(plan.budget_minor, plan.shop_seconds):
            return [], []
        return [], [replace(plan, budget_minor=limits.budget_minor, shop_seconds=limits.shop_seconds)]
    seasons = find_all(connection, Season, harvest_year=harvest_year)
    season = seasons[0] if seasons else _calendar_year(harvest_year)
    limits = limits or PlanLimits(None, None)
    plan = SeasonPlan(season_id=season.id, budget_minor=limits.budget_minor, shop_seconds=limits.shop_seconds)
    return ([plan] if seasons else [season, plan]), []


def _calendar_year(harvest_year: int) -> Season:
    return Season(harvest_year=harvest_year, starts_on=date(harvest_year, 1, 1), ends_on=date(harvest_year + 1, 1, 1))


def _chosen(connection: Connection, choices: Sequence[LineChoice]) -> list[str]:
    """Say what was chosen: one choice by its place, several by how many of each."""
    if len(choices) == 1:
        component = find_by_id(connection, Component, choices[0].component_id)
        return [choice_said(choices[0].choice, place_of(known_names(connection), component, choices[0].positions))]
    counts = (
        ("to replace", sum(one.choice is Choice.REPLACE for one in choices)),
        ("to run", sum(one.choice is Choice.RUN for one in choices)),
        ("left to the figures", sum(one.choice is None for one in choices)),
    )
    return [f"{count} {words}" for words, count in counts if count]


def _one_deed(
    store: Store,
    connection: Connection,
    said: str,
    new: Sequence[Fact],
    changed: Sequence[Fact],
    gone: Sequence[Fact],
) -> Done:
    findings = unsound([*new, *changed], known_names(connection))
    if findings:
        raise RefusedError(findings[0].message, findings[0].hint)
    withdrawn = [replace(fact, voided=True) for fact in gone]
    entries = [
        *(Entry(fact) for fact in new),
        *(Entry(fact, Doing.EDITED) for fact in changed),
        *(Entry(fact, Doing.VOIDED) for fact in withdrawn),
    ]
    deed = record(connection, device=store.device, said=said, entries=entries)
    return Done(deed, said, (*new, *changed, *withdrawn))
