"""The search for a fault where a check has several outcomes: its arrays, what each check tells, and a smaller problem of it."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from wearlog.errors import DataError

Array = NDArray[np.float64]
Mask = NDArray[np.bool_]
Whole = NDArray[np.int64]


@dataclass(frozen=True, slots=True, eq=False)
class ManySearch:
    """One fault, somewhere; find and repair it.

    Attributes
    ----------
    weight : (h,) array
        Of each hypothesis; need not add up to 1.
    place : (h,) array of int
        Where it is repaired, in rising order.
    repair_minutes : (places,) array
        To repair a place and see whether the fault is gone.
    may_repair : (places,) array of bool
        Whether a repair there can be the next step.
    check_minutes : (c,) array
    outcomes : (c, k, h) array
        Chance of each outcome under each hypothesis; outcome 0 is a sound one. A check with fewer than k has zeros.
    """

    weight: Array
    place: Whole
    repair_minutes: Array
    may_repair: Mask
    check_minutes: Array
    outcomes: Array

    def __post_init__(self) -> None:
        if self.weight.size == 0 or not self.weight.sum() > 0:
            raise DataError("The search needs suspects with some chance.", "Check the signs that were entered.")
        if np.any(np.diff(self.place) < 0):
            raise DataError("The suspects of a search stand in the order of their places.", "Sort them.")

    def by_place(self, weights: Array) -> Array:
        """Return weights of hypotheses (..., h) added up by place: (..., places).

        Parameters
        ----------
        weights : array, shape (..., hypotheses)
            Weights, in the order of the hypotheses.
        """
        firsts = np.searchsorted(self.place, np.arange(self.repair_minutes.size))
        # for a place without a hypothesis reduceat would give its neighbour's weight, so it is not asked
        filled = np.flatnonzero(np.diff(np.append(firsts, self.place.size)) > 0)
        sums = np.zeros((*weights.shape[:-1], self.repair_minutes.size))
        sums[..., filled] = np.add.reduceat(weights, firsts[filled], axis=-1)
        return sums


def bits_of_checks(problem: ManySearch) -> Array:
    """Return how many bits about the place each check is expected to give.

    Parameters
    ----------
    problem : ManySearch

    Returns
    -------
    (c,) array
    """
    weight = problem.weight / problem.weight.sum()
    parts = problem.by_place(problem.outcomes * weight)
    before = _unnormalised_entropy(problem.by_place(weight)[None, :])[0]
    # a check that tells nothing may come out a rounding error below zero
    return np.asarray(np.maximum(before - _unnormalised_entropy(parts).sum(axis=1), 0.0))


def with_best_checks(problem: ManySearch, most: int) -> tuple[ManySearch, Whole]:
    """Return the problem with the checks that tell most per minute, and which rows they are.

    Parameters
    ----------
    problem : ManySearch
    most : int
        Checks to keep.
    """
    order = np.argsort(-bits_of_checks(problem) / problem.check_minutes, kind="stable")[:most]
    # in their own order again, in which ties were broken before
    rows = np.sort(order)
    return replace(problem, check_minutes=problem.check_minutes[rows], outcomes=problem.outcomes[rows]), rows


def _unnormalised_entropy(weights: Array) -> Array:
    """Return sum x entropy (bits) along the last axis: homogeneous, so outcomes need no normalising."""
    total = weights.sum(axis=-1)
    with np.errstate(divide="ignore", invalid="ignore"):
        parts = np.where(weights > 0, weights * np.log2(weights), 0.0).sum(axis=-1)
        whole = np.where(total > 0, total * np.log2(total), 0.0)
    return np.asarray(whole - parts)
