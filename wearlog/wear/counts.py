"""Laws of counts (breakages to come): sums, mixtures, quantiles; knows no part and no rate."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from scipy.special import betainc, gammaln, pdtrc

from wearlog.errors import DataError
from wearlog.wear.arrays import FloatArray, fixed, float_column

_TAIL = 1e-13


@dataclass(frozen=True, slots=True, eq=False)
class Counts:
    """Probability of 0, 1, 2, ... breakages.

    Attributes
    ----------
    chance : array of shape (k,)
        chance[n] is the probability of exactly n; sums to 1, the tail beyond k - 1 (below 1e-12) left out.
    """

    chance: FloatArray

    @property
    def mean(self) -> float:
        """Expected count."""
        return float(self.chance @ np.arange(len(self.chance)))

    @property
    def variance(self) -> float:
        """Variance of the count."""
        n = np.arange(len(self.chance))
        return float(self.chance @ (n - self.mean) ** 2)

    def at_most(self, count: int) -> float:
        """Return the chance of `count` or fewer.

        Parameters
        ----------
        count : int
            Events.
        """
        return 0.0 if count < 0 else float(min(1.0, self.chance[: count + 1].sum()))

    def quantile(self, probability: float) -> int:
        """Return the smallest count that is not exceeded with at least this probability.

        Parameters
        ----------
        probability : float
            Between 0 and 1.
        """
        if not 0 < probability < 1:
            raise DataError(f"No count belongs to a chance of {probability:g}.", "Ask for a chance between 0 and 1.")
        # a hair of slack: a chance that is met exactly must not be missed by rounding
        return int(np.searchsorted(np.cumsum(self.chance), probability - 1e-12))

    def plus(self, other: Counts) -> Counts:
        """Return the law of the sum of two independent counts.

        Parameters
        ----------
        other : Counts
            Independent of this one.
        """
        return counts_of(np.convolve(self.chance, other.chance))


def counts_of(chance: FloatArray) -> Counts:
    """Return the law with these chances, its empty tail cut off and the rest brought to sum 1.

    Parameters
    ----------
    chance : array
        (n,), chance of 0, 1, 2 ... events; need not sum to 1.
    """
    whole = np.maximum(chance, 0.0)  # convolutions leave rounding below 0
    tail = np.cumsum(whole[::-1])[::-1]
    kept = whole[: max(1, int(np.count_nonzero(tail > _TAIL * tail[0])))]
    law = kept / kept.sum()
    fixed(law)
    return Counts(law)


def poisson_counts(mean: float) -> Counts:
    """Return the Poisson law.

    Parameters
    ----------
    mean : float
        Expected number of events, at least 0.
    """
    if not 0 <= mean < np.inf:
        raise DataError(f"A count cannot have the mean {mean:g}.", "Give a mean of 0 or more.")
    if mean == 0:
        return counts_of(np.ones(1))
    top = int(mean + 10 * np.sqrt(mean) + 20)
    while pdtrc(top, mean) > _TAIL:
        top *= 2
    n = np.arange(top + 1)
    return counts_of(np.exp(n * np.log(mean) - mean - gammaln(n + 1)))


def negative_binomial_counts(shape: float, rate: float, exposure: float) -> Counts:
    """Return the law of a Poisson count over `exposure` whose rate has a gamma law.

    Parameters
    ----------
    shape, rate : float
        The gamma law of breakages per unit of exposure: mean shape / rate.
    exposure : float
        Usage to come, in the unit of 1 / rate.

    Raises
    ------
    DataError
        If a parameter is not above 0 or the exposure below 0.
    """
    if not (shape > 0 and rate > 0 and exposure >= 0):
        raise DataError(f"No count follows from gamma({shape:g}, {rate:g}) over {exposure:g}.", "Give numbers above 0.")
    if exposure == 0:
        return counts_of(np.ones(1))
    stay = rate / (rate + exposure)
    mean = shape * exposure / rate
    top = int(mean + 10 * np.sqrt(mean / stay) + 20)
    while betainc(top + 1, shape, 1 - stay) > _TAIL:
        top *= 2
    n = np.arange(top + 1)
    # the logarithm of exposure / (rate + exposure) by parts: for hardly any exposure the ratio itself is lost
    log_go = np.log(exposure) - np.log(rate + exposure)
    logs = gammaln(n + shape) - gammaln(shape) - gammaln(n + 1) + shape * np.log(stay) + n * log_go
    return counts_of(np.exp(logs))


def sum_of_counts(laws: Sequence[Counts]) -> Counts:
    """Return the law of the sum of independent counts; no counts give the sure count 0.

    Parameters
    ----------
    laws : sequence of Counts
        The laws, independent of each other.
    """
    total = counts_of(np.ones(1))
    for law in laws:
        total = total.plus(law)
    return total


def mixed_counts(laws: Sequence[Counts], weights: Sequence[float]) -> Counts:
    """Return the law of a count that follows one of `laws`, each with its weight.

    Parameters
    ----------
    laws : sequence of Counts
        The laws, independent of each other.
    weights : sequence of float
        One for each law, at least 0.
    """
    share = float_column(list(weights), "weight", len(laws))
    top = max(len(law.chance) for law in laws)
    chance = np.zeros(top)
    for law, weight in zip(laws, share / share.sum(), strict=True):
        chance[: len(law.chance)] += weight * law.chance
    return counts_of(chance)
