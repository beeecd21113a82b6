"""One position within one season: when it fails first, and what the new parts fitted then still do. Knows no money.

A season is cut into equal steps. A part that fails within a step is replaced at once, and the new part runs on to the end of the
season. Sums over the time of failure take the mean of both ends of the step (trapezoid rule of the renewal equation), so the
error falls with the square of the step. The mean of a new part with s steps to go solves that equation too; demand.py has the
counts.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from wearlog.errors import DataError
from wearlog.plan.life_nodes import LifeNodes, cumulative_hazard, even_steps, median_life, survival

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


#: ages worked out one by one; between so many the mean is a smooth curve
_AGES: Final = 256


@dataclass(frozen=True, slots=True, eq=False)
class Successors:
    """What successors break within one season.

    Attributes
    ----------
    nodes : LifeNodes
    usage : float
        Of the whole season.
    to_go : ndarray of float, shape (nodes, steps + 1)
        Failures of a new part, its own successors counted, in the 0, 1, ... last steps of the season.
    """

    nodes: LifeNodes
    usage: float
    to_go: NDArray[np.float64]

    def of_ages(self, ages: ArrayLike) -> NDArray[np.float64]:
        """Return the mean failures of successors of parts of these ages at the start; shape (ages,).

        Parameters
        ----------
        ages : array, shape (ages,)
            Ages now, in units of usage.

        Raises
        ------
        DataError
            When an age is negative or not known.
        """
        asked = np.atleast_1d(np.asarray(ages, dtype=np.float64))
        if not np.all((asked >= 0) & np.isfinite(asked)):
            raise DataError(
                "A part's age is not known or negative.", "Give the age of every part that is to be counted."
            )
        if asked.size <= _AGES:
            return self._of(asked)
        evenly = np.linspace(0.0, 1.0, _AGES // 2)
        # close together where many ages lie, and nowhere far apart
        at = np.unique([*np.quantile(asked, evenly), *(asked.min() + evenly * np.ptp(asked))])
        return np.interp(asked, at, self._of(at))

    def _of(self, ages: NDArray[np.float64]) -> NDArray[np.float64]:
        first = renewal_weights(reach(self.nodes, ages, self.usage, self.to_go.shape[1] - 1))
        return self.nodes.mean(np.einsum("nas,ns->na", first, self.to_go))

    @property
    def of_failed(self) -> float:
        """Mean failures of the successor of a part that is renewed as the season begins."""
        return float(self.nodes.mean(self.to_go[:, -1]))

    @property
    def of_any_time(self) -> float:
        """Mean failures of the successor of a part that fails at any time of the season, one time as likely as another."""
        mean = self.nodes.mean(self.to_go)
        return float(np.mean((mean[1:] + mean[:-1]) / 2))


def successors(nodes: LifeNodes, usage: float) -> Successors:
    """Solve the renewal equation of a new part over a season.

    Parameters
    ----------
    nodes : LifeNodes
    usage : float
        Usage of the whole season, not negative.
    """
    if not usage >= 0:
        raise DataError("A season's usage cannot be negative.", "Check the season that was planned.")
    whole = survival(nodes, even_steps(usage, season_steps(nodes, usage)))
    return Successors(nodes, usage, with_renewals(whole, (1.0 - whole)[..., None])[..., 0])
