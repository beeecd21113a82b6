"""One position within one season: when it fails first, and what the new part fitted then still does. Knows no money.

A season is cut into equal steps. A part that fails within a step is replaced at once, and the new part runs on to the end of the
season. Sums over the time of failure take the mean of both ends of the step (trapezoid rule of the renewal equation), so the error
falls with the square of the step.
"""

from __future__ import annotations

from functools import lru_cache
from typing import Final

import numpy as np
from numpy.typing import NDArray

from wearlog.plan.life_nodes import LifeNodes, cumulative_hazard, even_steps, median_life

_STEPS: Final = (8, 64)
_STEPS_PER_MEDIAN: Final = 14


def season_steps(nodes: LifeNodes, usage: float) -> int:
    """Return into how many steps a season is cut, so that even a part of short life (the lowest tenth) is followed.

    Parameters
    ----------
    nodes : LifeNodes
        Laws with their weights, life in the unit of usage.
    usage : float
        Usage of a season, in the unit of the lives.
    """
    short = float(nodes.quantile(median_life(nodes), 0.1))
    return int(np.clip(np.ceil(_STEPS_PER_MEDIAN * usage / short), *_STEPS))


def reach(
    nodes: LifeNodes, ages: NDArray[np.float64], usage: float, steps: int, *, impact_per_usage: float = 0.0
) -> NDArray[np.float64]:
    """Return the chance that a part of each age is still whole after 0, 1, ... steps of the season.

    Parameters
    ----------
    nodes : LifeNodes
    ages : ndarray of float, shape (ages,)
    usage : float
        Usage of the whole season.
    steps : int
    impact_per_usage : float

    Returns
    -------
    ndarray of float, shape (nodes, ages, steps + 1)
        R(age + u) / R(age), 1 at the first step.
    """
    at = ages[:, None] + even_steps(usage, steps)
    hazard = cumulative_hazard(nodes, at, impact_per_usage=impact_per_usage)
    return np.exp(hazard[..., :1] - hazard)


def renewal_weights(whole: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return how much what follows a first failure counts, by the steps then left in the season.

    Parameters
    ----------
    whole : ndarray of float, shape (..., steps + 1)
        Chance to be whole after 0, 1, ... steps, as `reach` gives it.

    Returns
    -------
    ndarray of float, shape (..., steps + 1)
        Weight of "j steps are left", j = 0 ... steps; they add up to the chance of a failure.
    """
    half = (whole[..., :-1] - whole[..., 1:]) / 2
    weights = np.zeros_like(whole)
    weights[..., :-1] += half
    weights[..., 1:] += half
    return weights[..., ::-1]


@lru_cache(maxsize=128)
def _steps_ago(steps: int) -> NDArray[np.intp]:
    """Return for a part with s steps to go how many steps before the one is that leaves j; one past all where that is none."""
    to_go, left = np.ogrid[: steps + 1, : steps + 1]
    return np.where(left <= to_go, to_go - left, steps + 1)


def renewal_matrix(whole_from_new: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return the weights of `renewal_weights` for a new part with 0, 1, ... steps to go.

    Parameters
    ----------
    whole_from_new : ndarray of float, shape (nodes, steps + 1)

    Returns
    -------
    ndarray of float, shape (nodes, steps + 1, steps + 1)
        Row s: a new part with s steps to go. Column j: j steps are left after its first failure. Lower triangular.
    """
    steps = whole_from_new.shape[-1] - 1
    half = (whole_from_new[:, :-1] - whole_from_new[:, 1:]) / 2
    weights = np.zeros_like(whole_from_new)
    weights[:, :-1] += half
    weights[:, 1:] += half
    padded = np.concatenate([weights, np.zeros((len(weights), 1))], axis=1)
    matrix = padded[:, _steps_ago(steps)]
    # a failure in the last step: the half beyond the season's end does not happen
    matrix[:, 1:, 0] = half
    matrix[:, 0, 0] = 0.0
    return matrix


def with_renewals(whole_from_new: NDArray[np.float64], first: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return what a new part and its successors bring by the season's end: x(s) = first(s) + sum over j of w(s, j) x(j).

    Parameters
    ----------
    whole_from_new : ndarray of float, shape (nodes, steps + 1)
        Chance of a new part to be whole after 0, 1, ... steps.
    first : ndarray of float, shape (nodes, steps + 1, quantities)
        What the part itself brings with 0, 1, ... steps to go, up to its first failure.

    Returns
    -------
    ndarray of float, shape (nodes, steps + 1, quantities)
        With `first` the chance of a failure: the mean number of failures.
    """
    ahead = np.eye(whole_from_new.shape[-1]) - renewal_matrix(whole_from_new)
    return np.asarray(np.linalg.solve(ahead, first), dtype=np.float64)
