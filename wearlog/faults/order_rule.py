"""Orders of single checks, and how few yes/no checks could do: the probability/cost rule and its bounds. Knows no circuit."""

from __future__ import annotations

import heapq
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from wearlog.errors import DataError

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class CheckOrder:
    """Which to check first, and the expected cost until the fault is found. `untested` is left for last and needs no check."""

    order: tuple[int, ...]
    expected_cost: float
    untested: int | None = None


def probability_per_cost(chances: ArrayLike, costs: ArrayLike) -> CheckOrder:
    """Return the cheapest order of checks, each of which tells for sure whether the fault sits at its own place.

    Parameters
    ----------
    chances : (n,) array_like
        That the fault sits there; need not add up to 1 exactly.
    costs : (n,) array_like
        Of each check, positive.

    Returns
    -------
    CheckOrder
        Falling chance / cost, which is optimal for independent single checks of one fault.

    Raises
    ------
    DataError
        For lengths that differ, chances below zero, or costs that are not positive.

    References
    ----------
    J. Kalagnanam and M. Henrion (1990), A comparison of decision analysis and expert rules for sequential diagnosis; D. Heckerman,
    J. Breese and K. Rommelse (1995), Decision-theoretic troubleshooting, Communications of the ACM 38(3).
    """
    p, c = _checked(chances, costs)
    order = tuple(np.argsort(-p / c, kind="stable").tolist())
    return CheckOrder(order, expected_cost(p, c, order))


def with_one_untested(chances: ArrayLike, costs: ArrayLike) -> CheckOrder:
    """Return the cheapest order when the last suspect needs no check, because only it is left.

    Parameters
    ----------
    chances : array_like
        (suspects,), chance of each; at least 0.
    costs : array_like
        (suspects,), minutes of checking each; above 0.

    Notes
    -----
    The rule alone does not say which suspect to leave untested; each is tried, the others in the order of the rule.
    """
    p, c = _checked(chances, costs)
    best: CheckOrder | None = None
    by_rule = np.argsort(-p / c, kind="stable").tolist()
    for untested in range(len(p)):
        order = tuple(index for index in by_rule if index != untested)
        # if it is the untested one, all the checks of the others were made
        cost = expected_cost(p, c, order) + float(p[untested] * c[list(order)].sum())
        if best is None or cost < best.expected_cost - 1e-12:
            best = CheckOrder(order, cost, untested)
    assert best is not None
    return best


def expected_cost(chances: ArrayLike, costs: ArrayLike, order: Sequence[int]) -> float:
    """Return the expected cost of checking in an order: each place's chance times all the checks made until there.

    Parameters
    ----------
    chances : array_like
        (suspects,), chance of each; at least 0.
    costs : array_like
        (suspects,), minutes of checking each; above 0.
    order : sequence of int
        (suspects,), number of the suspect checked first, second ...
    """
    p, c = _checked(chances, costs)
    picked = list(order)
    return float(p[picked] @ np.cumsum(c[picked]))


def entropy_bits(chances: ArrayLike) -> float:
    """Return the entropy in bits: no yes/no questions can do with fewer in the mean.

    Parameters
    ----------
    chances : array_like
        (suspects,), chance of each; at least 0.
    """
    p = _normalised(chances)
    return float(-(p * np.log2(p)).sum())


def fewest_yes_no_checks(chances: ArrayLike) -> float:
    """Return the least expected number of yes/no checks if any split of the suspects could be asked for.

    Parameters
    ----------
    chances : array_like
        (suspects,), chance of each; at least 0.

    References
    ----------
    D. A. Huffman (1952), A method for the construction of minimum-redundancy codes, Proc. IRE 40(9).
    """
    heap = _normalised(chances).tolist()
    heapq.heapify(heap)
    expected = 0.0
    while len(heap) > 1:
        merged = heapq.heappop(heap) + heapq.heappop(heap)
        expected += merged
        heapq.heappush(heap, merged)
    return expected


def _normalised(chances: ArrayLike) -> Array:
    p = np.asarray(chances, dtype=np.float64)
    if p.ndim != 1 or not np.all(np.isfinite(p)) or p.size == 0 or p.min() < 0 or p.sum() <= 0:
        raise DataError("The chances must be a row of numbers, none below zero, not all zero.", "Check the suspects.")
    positive = p[p > 0]
    return np.asarray(positive / positive.sum())


def _checked(chances: ArrayLike, costs: ArrayLike) -> tuple[Array, Array]:
    p, c = np.asarray(chances, dtype=np.float64), np.asarray(costs, dtype=np.float64)
    if p.ndim != 1 or p.shape != c.shape or p.size == 0:
        raise DataError("Each suspect needs one chance and one cost.", "Give two rows of the same length.")
    if not (np.all(p >= 0) and np.all(np.isfinite(p))):
        raise DataError("A chance below zero cannot be.", "Check the suspects.")
    if not (np.all(c > 0) and np.all(np.isfinite(c))):
        raise DataError("Every check must cost something.", "Give each its minutes.")
    return p, c
