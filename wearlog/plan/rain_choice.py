"""Which jobs save most within whole minutes where openings are shared: opening by opening, minute by minute. Knows no order."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from heapq import heappop, heappush
from itertools import count
from typing import Final

import numpy as np
from numpy.typing import NDArray

_Ints = NDArray[np.int64]
_Flags = NDArray[np.bool_]

#: rows of minutes that one list may take, and lists that may be tried for want of pieces; beyond it is a matter for a solver
_MOST_ROWS: Final = 4_000
_MOST_LISTS: Final = 100
#: less than any choice saves
_NEVER: Final = -(2**60)


@dataclass(frozen=True, slots=True)
class RainChoices:
    """Jobs to choose among, in whole numbers.

    Attributes
    ----------
    saving, minutes : tuple of int
        By job; times above 0.
    needs : tuple of frozenset of int
        By job: the openings that it needs.
    opening_cost, opening_minutes : tuple of int
        By opening, each paid once; in the unit of the savings.
    pieces : tuple of ((jobs,) tuple of int, int)
        What each job takes of a part, and how many there are.
    """

    saving: tuple[int, ...]
    minutes: tuple[int, ...]
    needs: tuple[frozenset[int], ...]
    opening_cost: tuple[int, ...]
    opening_minutes: tuple[int, ...]
    pieces: tuple[tuple[tuple[int, ...], int], ...] = ()


def saves_most(choices: RainChoices, minutes: int) -> frozenset[int] | None:
    """Return the jobs that save most within the minutes and the pieces; None where that is too much to go through.

    Parameters
    ----------
    choices : RainChoices
    minutes : int
        Time there is, 0 or more.

    Notes
    -----
    Knapsack by whole minutes: openings that jobs join are one group, of which every union of what jobs need is tried. Where what
    saves most takes more pieces than there are, every way to leave out one of its jobs is looked at, the best first, so that the
    first that has its pieces is the best of all.
    """
    groups = _groups(choices.needs)
    if sum(len(unions) * len(jobs) for jobs, unions in groups) > _MOST_ROWS:
        return None
    alone = frozenset(job for row, here in choices.pieces for job, taken in enumerate(row) if taken > here)
    number, tried = count(), {alone}
    saved, found = _within(choices, groups, minutes, alone)
    waiting = [(-saved, next(number), alone, found)]
    while waiting and len(tried) <= _MOST_LISTS:
        _, _, out, found = heappop(waiting)
        short = next((row for row, here in choices.pieces if sum(row[job] for job in found) > here), None)
        if short is None:
            return found
        for job in sorted(found):
            if short[job] and (less := out | {job}) not in tried:
                tried.add(less)
                saved, other = _within(choices, groups, minutes, less)
                heappush(waiting, (-saved, next(number), less, other))
    return None


def _groups(needs: Sequence[frozenset[int]]) -> list[tuple[tuple[int, ...], tuple[frozenset[int], ...]]]:
    """Jobs that share openings, and every union of what they need, small ones first; jobs that need none stand alone."""
    joined: list[tuple[list[int], frozenset[int]]] = []
    for job, need in enumerate(needs):
        touching = [one for one in joined if one[1] & need or (not need and not one[1])]
        joined = [one for one in joined if one not in touching]
        joined.append(
            ([*(other for one in touching for other in one[0]), job], need.union(*(one[1] for one in touching)))
        )
    found = []
    for jobs, _ in joined:
        unions = {frozenset[int]()}
        for need in {needs[job] for job in jobs}:
            unions |= {one | need for one in unions}
            if len(unions) > _MOST_ROWS:
                break
        found.append((tuple(sorted(jobs)), tuple(sorted(unions, key=lambda one: (len(one), sorted(one))))))
    return found


def _within(
    choices: RainChoices,
    groups: Sequence[tuple[tuple[int, ...], tuple[frozenset[int], ...]]],
    minutes: int,
    out: frozenset[int],
) -> tuple[int, frozenset[int]]:
    """What is saved at most without the jobs that are out, and by which."""
    best = np.zeros(minutes + 1, dtype=np.int64)
    steps: list[tuple[_Ints, list[tuple[int, list[tuple[int, _Flags]]]]]] = []
    for jobs, unions in groups:
        rows, ways = [], []
        for union in unions:
            opening = sum(choices.opening_minutes[one] for one in union)
            here = _later(best, opening) - sum(choices.opening_cost[one] for one in union)
            done: list[tuple[int, _Flags]] = []
            for job in jobs:
                if job in out or not choices.needs[job] <= union:
                    continue
                with_it = _later(here, choices.minutes[job]) + choices.saving[job]
                is_better = with_it > here
                here = np.where(is_better, with_it, here)
                done.append((job, is_better))
            rows.append(here)
            ways.append((opening, done))
        table = np.array(rows)
        which = table.argmax(axis=0)
        best = table[which, np.arange(minutes + 1)]
        steps.append((which, ways))
    picked, left = set[int](), minutes
    for which, ways in reversed(steps):
        opening, done = ways[int(which[left])]
        for job, is_better in reversed(done):
            if is_better[left]:
                picked.add(job)
                left -= choices.minutes[job]
        left -= opening
    return int(best[-1]), frozenset(picked)


def _later(best: _Ints, minutes: int) -> _Ints:
    """What is saved by so many minutes less: nothing can be where there are not so many."""
    if minutes >= best.size:
        return np.full(best.size, _NEVER)
    return np.concatenate([np.full(minutes, _NEVER), best[: best.size - minutes]])
