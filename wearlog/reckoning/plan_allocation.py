"""From the lines of a season plan to what is done and bought within money and shop hours, the order list, and the sums."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final, NamedTuple

import numpy as np

from wearlog.plan.budget import BudgetChoice, Limits, MoreMoney, Wishes, choose, more_money
from wearlog.plan.orders import OrderList
from wearlog.plan.spares import PackSteps
from wearlog.plan.totals import PlanTotals
from wearlog.reckoning.plan_desk import DemandBook, Desk, SpareLine
from wearlog.reckoning.plan_line import PlanLine
from wearlog.reckoning.plan_spares import PartNeed
from wearlog.reckoning.quiet_solver import quiet_solver
from wearlog.store.histories import Bools

_ROUNDS: Final = 3


@dataclass(frozen=True, slots=True, eq=False)
class Allocation:
    """What is done and bought.

    Attributes
    ----------
    replaced : tuple of tuple of int
        Positions replaced on each line; empty where it is run.
    spares : tuple of SpareLine
        Every part that the season may take, also those of which none is bought.
    kept_up : tuple of (int, int)
        Need and packs of parts that nothing is reckoned of, bought up to what the farm keeps.
    orders : OrderList
        Its parts are places in the needs.
    totals : PlanTotals
    choice : BudgetChoice
        What the limits did; its lines are the plan's lines, then the packs of `steps`.
    wishes : Wishes
        What was chosen from.
    steps : PackSteps
        The packs among the wishes; its parts are places in `spares`.
    """

    replaced: tuple[tuple[int, ...], ...]
    spares: tuple[SpareLine, ...]
    kept_up: tuple[tuple[int, int], ...]
    orders: OrderList
    totals: PlanTotals
    choice: BudgetChoice
    wishes: Wishes
    steps: PackSteps

    @property
    def chosen(self) -> tuple[bool, ...]:
        """Which lines are replaced."""
        return tuple(bool(positions) for positions in self.replaced)


def allocate(lines: Sequence[PlanLine], needs: Sequence[PartNeed], book: DemandBook, limits: Limits) -> Allocation:
    """Choose what is done and bought within the limits; choices made by hand stand whatever they cost.

    Notes
    -----
    What a pack of spares saves depends on what is replaced before the season, so the choice is made again with the spares of the
    last one until it settles. A line's own saving leaves out that with it fewer parts can be missing: replacing is judged with
    caution, while the saving of the plan as a whole counts it. What is bought is checked to the cent against the budget.
    """
    desk = Desk(lines, needs, book, limits)
    chosen, spares, choice, wishes, steps = _search(desk, limits)
    kept_up = desk.kept_up(chosen, spares)
    return Allocation(
        replaced=tuple(desk.lines[place].proposed if one else () for place, one in enumerate(chosen)),
        spares=spares,
        kept_up=kept_up,
        orders=desk.orders(chosen, spares, kept_up),
        totals=desk.totals(chosen, spares),
        choice=choice,
        wishes=wishes,
        steps=steps,
    )


class _Try(NamedTuple):
    """One way to spend the money, and what it was chosen from."""

    chosen: Bools
    spares: tuple[SpareLine, ...]
    choice: BudgetChoice
    wishes: Wishes
    steps: PackSteps


def _search(desk: Desk, limits: Limits) -> _Try:
    """Choose again with the spares of the last choice until it settles; of the ways gone through, take what saves most."""
    chosen = desk.wanted
    best: _Try | None = None
    for _ in range(_ROUNDS):
        wishes, steps = desk.wishes(chosen)
        with quiet_solver():
            choice = choose(wishes, limits)
        tried = _affordable(desk, choice, wishes, steps)
        if best is None or _saving(desk, tried) > _saving(desk, best):
            best = tried
        if np.array_equal(tried.chosen, chosen):
            break
        chosen = tried.chosen
    assert best is not None
    return best


def _affordable(desk: Desk, choice: BudgetChoice, wishes: Wishes, steps: PackSteps) -> _Try:
    """The choice as it can be bought: packs counted on the shelf as it then is, and nothing beyond the budget to the cent."""
    lines = len(desk.lines)
    chosen = desk.within_budget(choice.chosen[:lines])
    packs = desk.packs_of(choice.chosen[lines:], steps)
    if desk.over(chosen, packs):
        wishes, steps = desk.wishes(chosen)
        with quiet_solver():
            packs = desk.packs_within(chosen, steps)
    return _Try(chosen, desk.spare_lines(chosen, desk.shelf(chosen), packs), choice, wishes, steps)


def _saving(desk: Desk, tried: _Try) -> int:
    return desk.saving(tried.chosen, tried.spares)


@dataclass(frozen=True, slots=True)
class NextMoney:
    """What more money would buy; lines and needs by their places in the plan.

    Attributes
    ----------
    more : MoreMoney
    lines_added, lines_dropped : tuple of int
    packs_added : tuple of (int, int)
        Need, and packs of it.
    """

    more: MoreMoney
    lines_added: tuple[int, ...]
    lines_dropped: tuple[int, ...]
    packs_added: tuple[tuple[int, int], ...]


def next_money(found: Allocation, limits: Limits, extra_minor: int = 100_00) -> NextMoney:
    """Say what `extra_minor` more would buy, and the least that would buy anything."""
    with quiet_solver():
        more = more_money(found.wishes, limits, extra_minor)
    count = len(found.replaced)
    packs: dict[int, int] = {}
    for wish in more.added:
        if wish >= count:
            need = found.spares[int(found.steps.part[wish - count])].need
            packs[need] = packs.get(need, 0) + 1
    return NextMoney(
        more,
        tuple(wish for wish in more.added if wish < count),
        tuple(wish for wish in more.dropped if wish < count),
        tuple(packs.items()),
    )
