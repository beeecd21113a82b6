"""Lines of a season plan chosen otherwise while one looks at it: the sums at once, and the whole settled anew. Saves nothing."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from uuid import UUID

import numpy as np

from wearlog.facts.closed_lists import Choice
from wearlog.reckoning.plan.allocation import Allocation, allocate
from wearlog.reckoning.plan.desk import Desk, Done
from wearlog.reckoning.plan.line import PlanLine
from wearlog.reckoning.plan.season_plan import SeasonPlanView


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
    done = _standing(desk, view, found, lines)
    packs = np.array([line.advice.packs for line in found.found.spares], dtype=np.int64)
    spares = desk.spare_lines(done, desk.shelf(done), packs)
    allocation = replace(
        found.found,
        replaced=tuple(done.get(line, ()) for line in range(len(lines))),
        spares=spares,
        orders=desk.orders(done, spares, found.found.kept_up),
        totals=desk.totals(done, spares),
    )
    return replace(view, lines=lines, limits=found.limits, found=allocation)


def settled(view: SeasonPlanView, choices: Mapping[UUID, Choice | None]) -> SeasonPlanView:
    """Return the plan with choices made and everything else chosen anew within the limits."""
    lines = with_choices(view, choices)
    return replace(view, lines=lines, found=allocate(lines, view.needs, view.book, view.limits_left))


@dataclass(frozen=True, slots=True)
class PushedOut:
    """What would have to give way if a line that was left out were replaced within the same money and shop hours.

    Attributes
    ----------
    saving_less_minor : int
        By how much less the plan would save.
    lines : tuple of int
        Lines no longer replaced.
    packs : tuple of (int, int)
        Need, and packs fewer of it.
    overspent_minor, over_shop_seconds : int
        By how much it goes beyond the limits all the same.
    """

    saving_less_minor: int
    lines: tuple[int, ...]
    packs: tuple[tuple[int, int], ...]
    overspent_minor: int
    over_shop_seconds: int


def pushed_out_by(view: SeasonPlanView, line: int) -> PushedOut | None:
    """Return what a line that pays, but was left out, would push out; None for any other line."""
    one, found = view.lines[line], view.found
    if found.replaced[line] or one.by_hand is not None or one.saving_minor(one.best) <= 0:
        return None
    # chosen anew with that line fixed, so that what gives way is what the plan itself would give up
    other = settled(view, {one.component.id: Choice.REPLACE}).found
    fewer = _packs_ordered(found)
    for need, packs in _packs_ordered(other).items():
        fewer[need] = fewer.get(need, 0) - packs
    return PushedOut(
        found.totals.saving_minor - other.totals.saving_minor,
        tuple(at for at, (was, now) in enumerate(zip(found.chosen, other.chosen, strict=True)) if was and not now),
        tuple((need, packs) for need, packs in sorted(fewer.items()) if packs > 0),
        other.choice.overspent_minor,
        other.choice.over_shop_seconds,
    )


def _packs_ordered(found: Allocation) -> dict[int, int]:
    return {line.part: line.packs for order in found.orders.orders for line in order.lines}


def _chosen(line: PlanLine, choice: Choice | None) -> PlanLine:
    every = tuple(range(1, line.component.positions + 1))
    # the positions that pay best are those of the line without any choice
    free = replace(line, by_hand_replace=(), by_hand_run=())
    if choice is Choice.REPLACE:
        return replace(free, by_hand_replace=free.best or every)
    return replace(free, by_hand_run=every) if choice is Choice.RUN else free


def _standing(desk: Desk, view: SeasonPlanView, found: SeasonPlanView, lines: tuple[PlanLine, ...]) -> Done:
    """What is replaced: as it was, but for lines whose choice is another one now; as it is saved where the choice is that again."""
    done: dict[int, tuple[int, ...]] = {}
    for place, (saved, old, new) in enumerate(zip(view.lines, found.lines, lines, strict=True)):
        if _by_hand(new) == _by_hand(old):
            done[place] = found.found.replaced[place]
        elif _by_hand(new) == _by_hand(saved):
            done[place] = view.found.replaced[place]
        elif place in desk.by_hand or new.by_hand is None:
            done[place] = desk.by_hand.get(place) or next(iter(new.worth_weighing), ())
    return {place: positions for place, positions in done.items() if positions}


def _by_hand(line: PlanLine) -> tuple[tuple[int, ...], tuple[int, ...]]:
    return line.by_hand_replace, line.by_hand_run
