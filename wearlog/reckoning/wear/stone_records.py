"""Stones out of the records: which broken pieces were one stone, however they were entered, and on which ground it lay."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from wearlog.facts.closed_lists import Cause, Ground
from wearlog.reckoning.farm.whole_farm import Farm
from wearlog.reckoning.work.ground import run_at
from wearlog.store.histories import NONE, Bools, Floats, Ints, code_of
from wearlog.wear.stones import stones_of

_MICROSECONDS = 1e6


@dataclass(frozen=True, slots=True, eq=False)
class StoneRecords:
    """One row for each stone until now.

    Attributes
    ----------
    component : (n,) int64
    pieces : (n,) int64
        Positions that it broke.
    first, last : (n,) int64
        Where along the component, from 1, ends included.
    ground : (n,) int64
        By Ground, `len(Ground)` where nobody knows on which.
    """

    component: Ints
    pieces: Ints
    first: Ints
    last: Ints
    ground: Ints

    def of(self, on: Bools) -> StoneRecords:
        """Return those of some components, given as one truth for each component of the log."""
        rows = on[self.component]
        return StoneRecords(*(one[rows] for one in (self.component, self.pieces, self.first, self.last, self.ground)))

    @property
    def takes_neighbours(self) -> bool:
        """Whether any of them took more than one piece."""
        return bool((self.pieces > 1).any())

    @property
    def by_ground(self) -> Floats:
        """Return how many there were on each class of ground, last where nobody knows on which."""
        return np.bincount(self.ground, minlength=len(Ground) + 1).astype(float)


def stone_records(farm: Farm) -> StoneRecords:
    """Return the stones of a farm until now, in the order in which their first piece was entered."""
    breakages = farm.histories.breakages
    rows = np.flatnonzero((breakages.cause == code_of(Cause.IMPACT)) & (breakages.at <= farm.now_microseconds))
    each = np.array([len(breakages.positions[row]) for row in rows], dtype=np.int64)
    position = np.array([one for row in rows for one in breakages.positions[row]], dtype=np.int64)
    component = np.repeat(breakages.component[rows], each)
    at = np.repeat(breakages.at[rows], each)
    stone = stones_of(component, at / _MICROSECONDS, position)
    _, begins = np.unique(stone, return_index=True)
    first, last = position[begins].copy(), position[begins].copy()
    np.minimum.at(first, stone, position)
    np.maximum.at(last, stone, position)
    run = run_at(farm, farm.histories.components.machine[component[begins]], at[begins])
    known = farm.histories.runs.ground
    ground = np.where(run == NONE, NONE, known[run] if known.size else NONE)
    return StoneRecords(
        component[begins],
        np.bincount(stone, minlength=begins.size),
        first,
        last,
        np.where(ground == NONE, len(Ground), ground),
    )
