"""From the lines of a season plan to what is done and bought within money and shop hours, the order list, and the sums."""

from __future__ import annotations

import ctypes
import os
import sys
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING, Final, TypeVar

from wearlog.plan.budget import BudgetChoice, Limits, MoreMoney, choose, more_money
from wearlog.plan.orders import OrderList
from wearlog.plan.totals import PlanTotals
from wearlog.reckoning.plan.desk import DemandBook, Desk, SpareLine
from wearlog.reckoning.plan.line import PlanLine
from wearlog.reckoning.plan.spares import PartNeed
from wearlog.reckoning.plan.ways import PlanWays, plan_ways, settle

if TYPE_CHECKING:
    from concurrent.futures import ProcessPoolExecutor

_STDOUT: Final = 1
_T = TypeVar("_T")


@contextmanager
def quiet_solver() -> Iterator[None]:
    """Send what C code prints within the block nowhere. Python's own output is not touched unless it is flushed within."""
    try:
        kept = os.dup(_STDOUT)
    except OSError:
        # nobody listens at all
        yield
        return
    nowhere = os.open(os.devnull, os.O_WRONLY)
    try:
        _flush()
        os.dup2(nowhere, _STDOUT)
        yield
        _flush()
    finally:
        os.dup2(kept, _STDOUT)
        os.close(kept)
        os.close(nowhere)


def solved(solve: Callable[..., _T], *arguments: object) -> _T:
    """Run the solver where nothing is seen of what its C code prints.

    Turning the output of the process away would on one system turn away what the screens paint, too: there it runs in a process of
    its own, which stays for the next time.
    """
    if _paints_on_stdout():
        return _solver_process().submit(solve, *arguments).result()
    with quiet_solver():
        return solve(*arguments)


def _paints_on_stdout() -> bool:
    return sys.platform == "win32" and sys.stdout is not None and sys.stdout.isatty()


@cache
def _solver_process() -> ProcessPoolExecutor:
    from concurrent.futures import ProcessPoolExecutor
    from multiprocessing import get_context

    return ProcessPoolExecutor(1, mp_context=get_context("spawn"), initializer=_say_nothing)


def _say_nothing() -> None:
    nowhere = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nowhere, _STDOUT)
    os.close(nowhere)


def _flush() -> None:
    """Empty the buffer of the C library, which would else come out after the block."""
    with suppress(OSError, AttributeError, TypeError):
        ctypes.CDLL(None).fflush(None)


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
        What the limits did; its lines are those of `ways`.
    ways : PlanWays
        What was chosen from.
    """

    replaced: tuple[tuple[int, ...], ...]
    spares: tuple[SpareLine, ...]
    kept_up: tuple[tuple[int, int], ...]
    orders: OrderList
    totals: PlanTotals
    choice: BudgetChoice
    ways: PlanWays

    @property
    def chosen(self) -> tuple[bool, ...]:
        """Which lines are replaced."""
        return tuple(bool(positions) for positions in self.replaced)

    @property
    def all_that_pays(self) -> tuple[int, int]:
        """Money and shop seconds of what would be chosen without limits, what is settled by hand included."""
        wishes = self.ways.wishes
        done = wishes.must | wishes.best
        return int(wishes.spend_minor[done].sum()), int(wishes.shop_seconds[done].sum())


def allocate(lines: Sequence[PlanLine], needs: Sequence[PartNeed], book: DemandBook, limits: Limits) -> Allocation:
    """Choose what is done and bought within the limits; choices made by hand stand whatever they cost.

    Notes
    -----
    A replacement takes pieces and lowers what the season asks of its part, so replacing and carrying of one part are weighed
    together: each way of a part is what is replaced of its lines and a number of packs bought, and of every part one way is chosen.
    Of a line its best positions come into it, and fewer of them for when money or time is short, as far as replacing them pays by
    itself: what does not is better covered by a spare, which serves every machine.
    """
    desk = Desk(lines, needs, book, limits)
    ways = plan_ways(desk)
    choice = solved(choose, ways.wishes, limits)
    done, packs = settle(desk, ways, choice)
    spares = desk.spare_lines(done, desk.shelf(done), packs)
    kept_up = desk.kept_up(done, spares)
    return Allocation(
        replaced=tuple(done.get(line, ()) for line in range(len(lines))),
        spares=spares,
        kept_up=kept_up,
        orders=desk.orders(done, spares, kept_up),
        totals=desk.totals(done, spares),
        choice=choice,
        ways=ways,
    )


@dataclass(frozen=True, slots=True)
class NextMoney:
    """What more money would buy; lines and needs by their places in the plan.

    Attributes
    ----------
    more : MoreMoney
    lines_added, lines_dropped : tuple of int
    packs_added, packs_dropped : tuple of (int, int)
        Need, and packs of it, for replacements and for the truck together.
    """

    more: MoreMoney
    lines_added: tuple[int, ...]
    lines_dropped: tuple[int, ...]
    packs_added: tuple[tuple[int, int], ...]
    packs_dropped: tuple[tuple[int, int], ...]


def next_money(found: Allocation, limits: Limits, extra_minor: int = 100_00) -> NextMoney:
    """Say what `extra_minor` more would buy, and the least that would buy anything."""
    ways = found.ways
    more = solved(more_money, ways.wishes, limits, extra_minor)
    now = found.choice.chosen
    then = now.copy()
    then[list(more.added)], then[list(more.dropped)] = True, False
    before, after = ways.settled(now), ways.settled(then)
    lines_before = {line: positions for done, _ in before.values() for line, positions in done.items()}
    lines_after = {line: positions for done, _ in after.values() for line, positions in done.items()}
    packs = {
        need: after.get(need, ({}, 0))[1] - before.get(need, ({}, 0))[1]
        for need in sorted(before.keys() | after.keys())
    }
    return NextMoney(
        more,
        tuple(sorted(line for line, now in lines_after.items() if set(now) - set(lines_before.get(line, ())))),
        tuple(sorted(line for line, was in lines_before.items() if set(was) - set(lines_after.get(line, ())))),
        tuple((need, count) for need, count in packs.items() if count > 0),
        tuple((need, -count) for need, count in packs.items() if count < 0),
    )
