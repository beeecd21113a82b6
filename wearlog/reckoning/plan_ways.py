"""The plan as a choice: for every part, which of its lines are replaced and how many packs are bought. It does not choose."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations
from typing import Final

import numpy as np

from wearlog.plan.budget import BudgetChoice, Wishes
from wearlog.plan.ways import Replacing, Ways, ways_of
from wearlog.reckoning.plan_desk import Desk
from wearlog.store.histories import Bools, Ints

#: with so many lines of one part that pay, every set of them is weighed: 64 sets
_EVERY_SET: Final = 6
#: a group of its own for what is settled by hand, beside the ways of the same part
_BY_HAND: Final = -1

Set = tuple[int, ...]


@dataclass(frozen=True, slots=True, eq=False)
class PlanWays:
    """Everything that could be done, one row for each way of each part; rows of one part exclude each other.

    Attributes
    ----------
    wishes : Wishes
        Those settled by hand first. The ways of a part are told against what is settled by hand of it.
    need : ndarray of int64, shape (wishes,)
        The part's place in the needs; -1 for lines without a part.
    lines : tuple of tuple of int
        Lines replaced, those settled by hand among them.
    packs : ndarray of int64, shape (wishes,)
        Packs bought of the part, for replacements and for the truck together.
    """

    wishes: Wishes
    need: Ints
    lines: tuple[Set, ...]
    packs: Ints

    def settled(self, chosen: Bools) -> dict[int, tuple[Set, int]]:
        """Return the lines replaced and packs bought of each part, as they stand when these wishes are chosen."""
        # what the figures choose of a part stands behind what is settled by hand of it, and holds that too
        return {int(self.need[row]): (self.lines[row], int(self.packs[row])) for row in np.flatnonzero(chosen)}


@dataclass(frozen=True, slots=True)
class _Row:
    """One wish, before it stands in the columns."""

    need: int
    lines: Set
    packs: int
    gain: int
    spend: int
    shop: int
    by_hand: bool


def plan_ways(desk: Desk) -> PlanWays:
    """List the ways of every part."""
    lines_of: dict[int, list[int]] = {}
    for line, need in enumerate(desk.need_of):
        if desk.must[line] or need >= 0:
            lines_of.setdefault(need, []).append(line)
    by_hand: list[_Row] = []
    free: list[_Row] = []
    reckoned = set(desk.reckoned)
    for need in sorted(lines_of.keys() | reckoned):
        mine = lines_of.get(need, [])
        forced = tuple(line for line in mine if desk.must[line])
        if forced:
            by_hand.append(_forced_row(desk, need, forced))
        # what has no price cannot be weighed against money
        if need in reckoned and desk.needs[need].shelf.price_minor is not None:
            free += _free_rows(desk, need, forced, [line for line in mine if desk.wanted[line] and line not in forced])
    return _in_columns([*by_hand, *free])


def settle(desk: Desk, ways: PlanWays, choice: BudgetChoice) -> tuple[Bools, Ints]:
    """Return which lines are replaced, and the packs bought of each reckoned part beyond what replacing takes."""
    done = ways.settled(choice.chosen)
    chosen = np.zeros(len(desk.lines), dtype=bool)
    for lines, _ in done.values():
        chosen[list(lines)] = True
    taken = desk.taken(chosen)
    packs = [done[need][1] - desk.packs_for(need, int(taken[need])) if need in done else 0 for need in desk.reckoned]
    return chosen, np.array(packs, dtype=np.int64)


def sets_to_weigh(lines: Sequence[int], worth: Sequence[float]) -> list[Set]:
    """Return the sets of lines that are weighed: every one, or with many lines those along the order of what they are worth.

    Parameters
    ----------
    lines : sequence of int
    worth : sequence of float
        Of each line, what it saves for its pieces.

    Notes
    -----
    With more than six lines: the best one, two, three ... of them, and each of these sets with one line taken out. That is a choice
    of sets, not a proof: what was left aside could save a little more.
    """
    if len(lines) <= _EVERY_SET:
        return [some for size in range(len(lines) + 1) for some in combinations(lines, size)]
    order = [line for _, line in sorted(zip(worth, lines, strict=True), key=lambda pair: (-pair[0], pair[1]))]
    heads = [tuple(order[:size]) for size in range(len(order) + 1)]
    lacking = [tuple(line for line in head if line != out) for head in heads for out in head]
    return list(dict.fromkeys(tuple(sorted(one)) for one in (*heads, *lacking)))


def _forced_row(desk: Desk, need: int, forced: Set) -> _Row:
    gain, shop = int(desk.gain[list(forced)].sum()), int(desk.shop[list(forced)].sum())
    if need < 0:
        return _Row(need, forced, 0, gain, 0, shop, by_hand=True)
    packs = desk.packs_for(need, int(desk.units[list(forced)].sum()))
    return _Row(need, forced, packs, gain, packs * desk.pack_minor(need), shop, by_hand=True)


def _free_rows(desk: Desk, need: int, forced: Set, lines: Sequence[int]) -> list[_Row]:
    worth = [float(desk.gain[line]) / max(int(desk.units[line]), 1) for line in lines]
    sets = [tuple(sorted((*forced, *some))) for some in sets_to_weigh(lines, worth)]
    found = _ways(desk, need, sets)
    columns = zip(found.replacing, found.packs, found.gain_minor, found.spend_minor, found.shop_seconds, strict=True)
    return [
        _Row(need, sets[place], int(packs), int(gain), int(spend), int(shop), by_hand=False)
        for place, packs, gain, spend, shop in columns
        if gain > 0
    ]


def _ways(desk: Desk, need: int, sets: Sequence[Set]) -> Ways:
    spare = desk.needs[need].spare
    assert spare is not None
    return ways_of(
        spare,
        [
            Replacing(
                int(desk.units[list(some)].sum()),
                int(desk.gain[list(some)].sum()),
                int(desk.shop[list(some)].sum()),
                desk.book.demand(need, {line: desk.lines[line].proposed for line in some}),
            )
            for some in sets
        ],
    )


def _in_columns(rows: Sequence[_Row]) -> PlanWays:
    by_hand = [row.by_hand for row in rows]
    wishes = Wishes.of(
        [row.gain for row in rows],
        [row.spend for row in rows],
        [row.shop for row in rows],
        must=by_hand,
        group=[_BY_HAND - at if row.by_hand else row.need for at, row in enumerate(rows)],
    )
    return PlanWays(
        wishes,
        np.array([row.need for row in rows], dtype=np.int64),
        tuple(row.lines for row in rows),
        np.array([row.packs for row in rows], dtype=np.int64),
    )
