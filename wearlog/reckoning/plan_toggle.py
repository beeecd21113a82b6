"""Lines of a season plan chosen otherwise while one looks at it: the sums at once, and the whole settled anew. Saves nothing."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from uuid import UUID

import numpy as np

from wearlog.facts.closed_lists import Choice
from wearlog.reckoning.plan_allocation import allocate
from wearlog.reckoning.plan_desk import Desk
from wearlog.reckoning.plan_line import PlanLine
from wearlog.reckoning.season_plan import SeasonPlanView
from wearlog.store.histories import Bools


def with_choices(view: SeasonPlanView, choices: Mapping[UUID, Choice | None]) -> tuple[PlanLine, ...]:
    """Return the lines of a plan with these components chosen by hand, or left to the figures (None).

    Notes
    -----
    A component is replaced at the positions that pay best, and run at all of them.
    """
    return tuple(
        _chosen(line, choices[line.component.id]) if line.component.id in choices else line for line in view.lines
    )


def sums_at_once(view: SeasonPlanView, found: SeasonPlanView, choices: Mapping[UUID, Choice | None]) -> SeasonPlanView:
    """Return the plan with choices made, all else staying as it was found last: no other line moves, no other spare is bought.

    Parameters
    ----------
    view : SeasonPlanView
        The plan as it is saved.
    found : SeasonPlanView
        The plan as it stood before the last choice.
    choices : mapping of UUID to Choice or None
        All choices made since `view`.

    Notes
    -----
    What is left of the money is not spent anew, which is what takes the time; `settled` does that.
    """
    lines = with_choices(view, choices)
    desk = Desk(lines, view.needs, view.book, view.limits_left)
    chosen = _standing(desk, view, found, lines)
    packs = np.array([line.advice.packs for line in found.found.spares], dtype=np.int64)
    spares = desk.spare_lines(chosen, desk.shelf(chosen), packs)
    allocation = replace(
        found.found,
        replaced=tuple(desk.lines[place].proposed if one else () for place, one in enumerate(chosen)),
        spares=spares,
        orders=desk.orders(chosen, spares, found.found.kept_up),
        totals=desk.totals(chosen, spares),
    )
    return replace(view, lines=lines, limits=found.limits, found=allocation)


def settled(view: SeasonPlanView, choices: Mapping[UUID, Choice | None]) -> SeasonPlanView:
    """Return the plan with choices made and everything else chosen anew within the limits."""
    lines = with_choices(view, choices)
    return replace(view, lines=lines, found=allocate(lines, view.needs, view.book, view.limits_left))


def _chosen(line: PlanLine, choice: Choice | None) -> PlanLine:
    every = tuple(range(1, line.component.positions + 1))
    # the positions that pay best are those of the line without any choice
    free = replace(line, by_hand_replace=(), by_hand_run=())
    if choice is Choice.REPLACE:
        return replace(free, by_hand_replace=free.best or every)
    return replace(free, by_hand_run=every) if choice is Choice.RUN else free


def _standing(desk: Desk, view: SeasonPlanView, found: SeasonPlanView, lines: tuple[PlanLine, ...]) -> Bools:
    """What is replaced: as it was, but for lines whose choice is another one now; as it is saved where the choice is that again."""
    chosen = np.array(found.found.chosen, dtype=bool)
    for place, (saved, old, new) in enumerate(zip(view.lines, found.lines, lines, strict=True)):
        if _by_hand(new) == _by_hand(old):
            continue
        if _by_hand(new) == _by_hand(saved):
            chosen[place] = view.found.chosen[place]
        else:
            chosen[place] = desk.must[place] or (new.by_hand is None and desk.wanted[place])
    return chosen


def _by_hand(line: PlanLine) -> tuple[tuple[int, ...], tuple[int, ...]]:
    return line.by_hand_replace, line.by_hand_run
