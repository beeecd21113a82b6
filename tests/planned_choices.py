"""A plan chosen otherwise, by the way that the screen goes: lines toggled, the whole settled anew, within these limits."""

from __future__ import annotations

from dataclasses import replace

from wearlog.facts.closed_lists import Choice
from wearlog.plan.budget import Limits
from wearlog.reckoning.plan.season_plan import SeasonPlanView
from wearlog.reckoning.plan.toggle import settled


def chosen(view: SeasonPlanView, number: int, choice: Choice | None, positions: tuple[int, ...] = ()) -> SeasonPlanView:
    """Return the plan with one line toggled; with `positions` as a choice of the log names them."""
    line = view.lines[number]
    if not positions:
        return settled(view, {line.component.id: choice})
    named = replace(
        line,
        by_hand_replace=positions if choice is Choice.REPLACE else (),
        by_hand_run=positions if choice is Choice.RUN else (),
    )
    return settled(replace(view, lines=(*view.lines[:number], named, *view.lines[number + 1 :])), {})


def within(view: SeasonPlanView, limits: Limits) -> SeasonPlanView:
    """Return the plan under another budget or other shop hours."""
    return settled(replace(view, limits=limits), {})
