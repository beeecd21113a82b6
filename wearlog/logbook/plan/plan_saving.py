"""Saving a season plan as it was worked on: its limits and all choices made by hand as one deed, so that one undo takes it back."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from uuid import UUID

from wearlog.errors import RefusedError
from wearlog.facts.closed_lists import Choice
from wearlog.facts.fact import Fact
from wearlog.facts.planning import PlanChoice
from wearlog.facts.wearing import Component
from wearlog.logbook.deed_sentences import choice_said, limits_said, place_of, plan_sentence
from wearlog.logbook.name_book import KnownNames
from wearlog.logbook.names import known_names
from wearlog.logbook.parts.fitting import refuse_beyond
from wearlog.logbook.plan.planning import plan_or_new
from wearlog.logbook.said.measures import farm_speaker
from wearlog.logbook.saving import Done, save
from wearlog.store.connection import Connection
from wearlog.store.finding import find_all, find_by_id
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
            said.append(limits_said(farm_speaker(known), limits.budget_minor, limits.shop_seconds))
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
