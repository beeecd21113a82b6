"""The search for a fault as plain arrays: chances, places to repair, checks with minutes and outcomes. Chooses nothing."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from wearlog.errors import DataError

Array = NDArray[np.float64]
_TINY: Final = 1e-12


@dataclass(frozen=True, slots=True, eq=False)
class SearchProblem:
    """One fault, somewhere; find and repair it.

    Attributes
    ----------
    weight : (h,) array
        Of each hypothesis, not below zero; need not add up to 1.
    place : (h,) array of int
        Where it is repaired: index into `repair_minutes`.
    repair_minutes : (places,) array
        To repair a place and see whether the fault is gone. The right repair ends the search, a wrong one clears the place.
    check_minutes : (c,) array
    bad : (c, h) array
        Chance that a check turns out bad under each hypothesis.
    """

    weight: Array
    place: NDArray[np.int64]
    repair_minutes: Array
    check_minutes: Array
    bad: Array

    def __post_init__(self) -> None:
        sizes_fit = (
            self.weight.shape == self.place.shape
            and self.bad.shape == (self.check_minutes.size, self.weight.size)
            and self.weight.size > 0
        )
        if not sizes_fit:
            raise DataError("The search needs one weight and place per suspect, one row of chances per check.", "")
        if self.weight.min() < 0 or not self.weight.sum() > 0:
            raise DataError("The suspects' weights are below zero or all zero.", "Check the signs that were entered.")
        if self.place.min() < 0 or self.place.max() >= self.repair_minutes.size:
            raise DataError("A suspect names a place that has no repair time.", "Give every place its minutes.")
        if self.repair_minutes.min() <= 0 or (self.check_minutes.size and self.check_minutes.min() <= 0):
            raise DataError("Every check and every repair takes some minutes.", "Give each more than zero.")

    def membership(self) -> Array:
        """Return the (h, places) array of ones where a hypothesis is repaired at a place."""
        return np.equal.outer(self.place, np.arange(self.repair_minutes.size)).astype(np.float64)

    def place_weights(self) -> Array:
        """Return the weight of each place."""
        return np.asarray(self.weight @ self.membership())


@dataclass(frozen=True, slots=True)
class Step:
    """What to do next: a check (its row) or a repair (its place), and the expected minutes from here to the end."""

    check: int | None
    repair: int | None
    expected_minutes: float


def reduced(problem: SearchProblem, keep_weight: float, most_checks: int) -> tuple[SearchProblem, Sequence[int]]:
    """Return a smaller problem: the likeliest hypotheses and the checks that tell most per minute; and which rows they are.

    Parameters
    ----------
    problem : SearchProblem
        Suspects with their chances, checks and minutes.
    keep_weight : float
        Share of the weight to keep, in (0, 1].
    most_checks : int
    """
    order = np.argsort(-problem.weight, kind="stable")
    # the running sum may end a rounding error below the whole: all of it would else be out of reach
    enough = int(np.searchsorted(np.cumsum(problem.weight[order]), keep_weight * problem.weight.sum() - _TINY)) + 1
    kept = np.sort(order[: max(enough, 1)])
    gain = bits_per_minute(problem)
    # checks that tell alike keep their order: one fault gets one advice on every machine
    rows = sorted(np.argsort(-gain, kind="stable")[:most_checks].tolist())
    smaller = SearchProblem(
        problem.weight[kept],
        problem.place[kept],
        problem.repair_minutes,
        problem.check_minutes[rows],
        problem.bad[np.ix_(rows, kept)],
    )
    return smaller, rows


def bits_per_minute(problem: SearchProblem) -> Array:
    """Return how many bits about the place each check is expected to give in a minute.

    Parameters
    ----------
    problem : SearchProblem
        Suspects with their chances, checks and minutes.
    """
    members, weight = problem.membership(), problem.weight / problem.weight.sum()
    bad, good = (problem.bad * weight) @ members, ((1 - problem.bad) * weight) @ members
    before = _entropy(weight @ members)
    after = _unnormalised_entropy(bad) + _unnormalised_entropy(good)
    return np.asarray(np.maximum(before - after, 0.0) / problem.check_minutes)


def _entropy(p: Array) -> float:
    return float(_unnormalised_entropy(p[None, :])[0])


def _unnormalised_entropy(w: Array) -> Array:
    """Return sum x entropy (bits) of each row: homogeneous, so outcomes need no normalising."""
    total = w.sum(axis=1)
    with np.errstate(divide="ignore", invalid="ignore"):
        parts = np.where(w > 0, w * np.log2(w), 0.0).sum(axis=1)
        whole = np.where(total > 0, total * np.log2(total), 0.0)
    return np.asarray(whole - parts)
