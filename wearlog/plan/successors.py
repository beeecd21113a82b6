"""Failures of a season beyond the first: the new part in a failed one's place may fail too. Means; demand.py has the counts.

The mean of a new part with s steps to go solves the renewal equation of season_kernel.py, which the plan's costs solve as well; it
is the mean of the counts that `demand.renewal_counts` works out one after the other.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from wearlog.errors import DataError
from wearlog.plan.life_nodes import LifeNodes, even_steps, survival
from wearlog.plan.season_kernel import reach, renewal_weights, season_steps, with_renewals

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
