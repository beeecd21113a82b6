"""From the lines of a season plan to what is done and bought within money and shop hours, the order list, and the sums."""

from __future__ import annotations

import ctypes
import os
import sys
from collections import defaultdict
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from functools import cache
from itertools import product
from math import prod
from typing import TYPE_CHECKING, Final, TypeVar

import numpy as np

from wearlog.plan.budget import BudgetChoice, Limits, MoreMoney, Wishes, choose, more_money
from wearlog.plan.orders import OrderList
from wearlog.plan.totals import PlanTotals
from wearlog.plan.ways import Replacing, Ways, ways_of
from wearlog.reckoning.plan.desk import DemandBook, Desk, Done, SpareLine
from wearlog.reckoning.plan.line import PlanLine
from wearlog.reckoning.plan.spares import PartNeed
from wearlog.store.histories import Bools, Ints

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
        from concurrent.futures.process import BrokenProcessPool

        try:
            return _solver_process().submit(solve, *arguments).result()
        except BrokenProcessPool:
            # somebody ended it; a new one does what it was asked, or tells why not
            _solver_process.cache_clear()
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
    more = solved(more_money, ways.wishes, limits, extra_minor, found.choice)
    now = found.choice.chosen
    then = now.copy()
    then[list(more.added)], then[list(more.dropped)] = True, False
    before, after = ways.settled(now), ways.settled(then)
    # told as lines and packs: a person orders these and knows nothing of ways
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


#: so many ways to replace the lines of one part are weighed at most: six lines, all or nothing of each
_MOST_SETS: Final = 64

#: a group of its own for what is settled by hand, beside the ways of the same part
_BY_HAND: Final = -1


@dataclass(frozen=True, slots=True, eq=False)
class PlanWays:
    """Everything that could be done, one row for each way of each part; rows of one part exclude each other.

    Attributes
    ----------
    wishes : Wishes
        Those settled by hand first. The ways of a part are told against what is settled by hand of it.
    need : ndarray of int64, shape (wishes,)
        The part's place in the needs; -1 for lines without a part.
    done : tuple of Done
        Lines replaced and their positions, those settled by hand among them.
    packs : ndarray of int64, shape (wishes,)
        Packs bought of the part, for replacements and for the truck together.
    """

    wishes: Wishes
    need: Ints
    done: tuple[Done, ...]
    packs: Ints

    def settled(self, chosen: Bools) -> dict[int, tuple[Done, int]]:
        """Return what is replaced and the packs bought of each part, as they stand when these wishes are chosen."""
        # what the figures choose of a part stands behind what is settled by hand of it, and holds that too
        return {int(self.need[row]): (self.done[row], int(self.packs[row])) for row in np.flatnonzero(chosen)}


@dataclass(frozen=True, slots=True)
class _Row:
    """One wish, before it stands in the columns."""

    need: int
    done: Done
    packs: int
    gain: int
    spend: int
    shop: int
    by_hand: bool


def plan_ways(desk: Desk) -> PlanWays:
    """List the ways of every part."""
    lines_of: dict[int, list[int]] = defaultdict(list)
    for line, need in enumerate(desk.need_of):
        lines_of[need].append(line)
    by_hand: list[_Row] = []
    free: list[_Row] = []
    for need in sorted(lines_of.keys() | set(desk.reckoned)):
        mine = lines_of[need]
        forced = {line: desk.by_hand[line] for line in mine if line in desk.by_hand}
        if forced:
            by_hand.append(_forced_row(desk, need, forced))
        # what has no price cannot be weighed against money
        if need in desk.reckoned and desk.needs[need].shelf.price_minor is not None:
            free += _free_rows(desk, need, forced, mine)
    return _in_columns([*by_hand, *free])


def settle(desk: Desk, ways: PlanWays, choice: BudgetChoice) -> tuple[Done, Ints]:
    """Return what is replaced, and the packs bought of each reckoned part beyond what replacing takes."""
    settled = ways.settled(choice.chosen)
    done = {line: positions for of_part, _ in settled.values() for line, positions in of_part.items()}
    taken = desk.taken(done)
    packs = [
        settled[need][1] - desk.packs_for(need, int(taken[need])) if need in settled else 0 for need in desk.reckoned
    ]
    return dict(sorted(done.items())), np.array(packs, dtype=np.int64)


def sets_to_weigh(options: Mapping[int, Sequence[tuple[int, ...]]], worth: Mapping[int, float]) -> list[Done]:
    """Return what is weighed of the lines of one part: every way to replace them, or with many lines the likeliest.

    Parameters
    ----------
    options : mapping of int to sequence of tuple of int
        Positions that could be replaced of each line, the best first.
    worth : mapping of int to float
        Of each line, what its best option saves for its pieces.

    Notes
    -----
    Beyond 64 ways: the best options of the first one, two, three ... lines in the order of their worth, each of these sets with one
    line taken out, and with one line's other option. That is a choice of sets, not a proof: what was left aside could save a little
    more.
    """
    every = prod(len(some) + 1 for some in options.values())
    if every <= _MOST_SETS:
        picks = product(*([(), *some] for some in options.values()))
        return [{line: one for line, one in zip(options, pick, strict=True) if one} for pick in picks]
    order = sorted(options, key=lambda line: (-worth[line], line))
    found: list[Done] = [{}]
    for size in range(1, len(order) + 1):
        head = {line: options[line][0] for line in order[:size]}
        found.append(head)
        for line in order[:size]:
            found += [{**head, line: other} for other in options[line][1:]]
            found.append({other: positions for other, positions in head.items() if other != line})
    return found


def _forced_row(desk: Desk, need: int, forced: Done) -> _Row:
    gain, shop = desk.gain(forced), desk.shop_seconds(forced)
    if need < 0:
        return _Row(need, forced, 0, gain, 0, shop, by_hand=True)
    packs = desk.packs_for(need, int(desk.taken(forced)[need]))
    return _Row(need, forced, packs, gain, packs * desk.pack_minor(need), shop, by_hand=True)


def _free_rows(desk: Desk, need: int, forced: Done, lines: Sequence[int]) -> list[_Row]:
    options = {line: some for line in lines if (some := desk.lines[line].worth_weighing)}
    worth = {line: desk.gain({line: some[0]}) / len(some[0]) for line, some in options.items()}
    # the first set is what is chosen by hand; where a line goes further than that, it takes its place
    sets = [{**forced, **some} for some in sets_to_weigh(options, worth)]
    found = _ways(desk, need, sets)
    columns = zip(found.replacing, found.packs, found.gain_minor, found.spend_minor, found.shop_seconds, strict=True)
    return [
        _Row(need, sets[place], int(packs), int(gain), int(spend), int(shop), by_hand=False)
        for place, packs, gain, spend, shop in columns
        if gain > 0
    ]


def _ways(desk: Desk, need: int, sets: Sequence[Done]) -> Ways:
    spare = desk.needs[need].spare
    assert spare is not None
    # what is chosen by hand is in the sets; what a set of positions saves and takes is the same whoever chose it
    key = need, tuple(tuple(some.items()) for some in sets)
    known = desk.book.ways.get(key)
    if known is not None:
        return known
    desk.book.ways[key] = found = ways_of(
        spare,
        [
            Replacing(
                sum(map(len, some.values())), desk.gain(some), desk.shop_seconds(some), desk.book.demand(need, some)
            )
            for some in sets
        ],
    )
    return found


def _in_columns(rows: Sequence[_Row]) -> PlanWays:
    wishes = Wishes.of(
        [row.gain for row in rows],
        [row.spend for row in rows],
        [row.shop for row in rows],
        must=[row.by_hand for row in rows],
        group=[_BY_HAND - at if row.by_hand else row.need for at, row in enumerate(rows)],
    )
    return PlanWays(
        wishes,
        np.array([row.need for row in rows], dtype=np.int64),
        tuple(row.done for row in rows),
        np.array([row.packs for row in rows], dtype=np.int64),
    )
