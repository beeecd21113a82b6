"""Gamma law of a rate of breakages, and what counts over usage make of it; rates that do not depend on age only."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from scipy.special import chdtri, gammaincinv

from wearlog.errors import DataError
from wearlog.wear.arrays import checked_level
from wearlog.wear.counts import Counts, negative_binomial_counts
from wearlog.wear.intervals import Estimate, Interval
from wearlog.wear.roots import positive_root

_ROOM = 3.0  # a guess of one number means: one in ten below a third of it, one in ten above three times


@dataclass(frozen=True, slots=True)
class GammaRate:
    """Breakages per unit of usage, known as well as `shape` breakages in `exposure` units of usage would tell.

    Attributes
    ----------
    shape : float
        Shape of the gamma law.
    exposure : float
        Its rate parameter, in units of usage; the mean is shape / exposure.
    """

    shape: float
    exposure: float

    def __post_init__(self) -> None:
        """Refuse a law that is none."""
        if not (0 < self.shape < math.inf and 0 < self.exposure < math.inf):
            raise DataError(
                f"Breakages of {self.shape:g} in {self.exposure:g} units of usage are no rate.",
                "Give a starting guess above 0.",
            )

    @property
    def mean(self) -> float:
        """Expected breakages per unit of usage."""
        return self.shape / self.exposure

    def estimate(self, level: float = 0.9) -> Estimate:
        """Return the rate: median, mean, equal-tailed interval.

        Parameters
        ----------
        level : float
            Chance that the interval holds, between 0 and 1.
        """
        low, median, high = self._quantiles(level)
        return Estimate(median, low, high, level, self.mean)

    def usage_between(self, level: float = 0.9) -> Estimate:
        """Return the usage between breakages, 1 / rate: median and equal-tailed interval.

        Parameters
        ----------
        level : float
            Chance that the interval holds, between 0 and 1.
        """
        low, median, high = self._quantiles(level)
        return Estimate(1 / median, 1 / high, 1 / low, level)

    def after(self, breakages: float, exposure: float) -> GammaRate:
        """Return the law once `breakages` have been seen in `exposure` units of usage (gamma is conjugate).

        Parameters
        ----------
        breakages : float
            How many were seen.
        exposure : float
            Units of usage, those of the rate.
        """
        if not (0 <= breakages < math.inf and 0 <= exposure < math.inf):
            raise DataError(
                f"{breakages:g} breakages in {exposure:g} units of usage cannot be.", "Give numbers of 0 or more."
            )
        return GammaRate(self.shape + breakages, self.exposure + exposure)

    def predict(self, exposure: float) -> Counts:
        """Return the law of the breakages in `exposure` units of usage to come (negative binomial).

        Parameters
        ----------
        exposure : float
            Units of usage, those of the rate.
        """
        return negative_binomial_counts(self.shape, self.exposure, exposure)

    def _quantiles(self, level: float) -> tuple[float, float, float]:
        """Return low end, median and high end."""
        tails = np.array([0.5 - checked_level(level) / 2, 0.5, 0.5 + level / 2])
        low, median, high = gammaincinv(self.shape, tails) / self.exposure
        return float(low), float(median), float(high)


def rate_from_range(low: float, high: float, chance_low: float = 0.1, chance_high: float = 0.9) -> GammaRate:
    """Return the gamma law of a rate with two given quantiles.

    Parameters
    ----------
    low, high : float
        Breakages per unit of usage; 0 < low < high.
    chance_low, chance_high : float
        The probabilities below them; 10 % and 90 % by default.
    """
    if not (0 < low < high < math.inf and 0 < chance_low < chance_high < 1):
        raise DataError(f"A rate from {low:g} to {high:g} is no range.", "Give the low end first, both above 0.")
    shape = _shape_of_ratio(math.log(high / low), chance_low, chance_high)
    return GammaRate(shape, float(gammaincinv(shape, chance_high)) / high)


@lru_cache(maxsize=256)
def _shape_of_ratio(log_ratio: float, chance_low: float, chance_high: float) -> float:
    """Return the shape of a gamma law two quantiles of which lie apart by this ratio: most guesses have the same."""

    def narrower(shape: float) -> float:
        ends = gammaincinv(shape, np.array([chance_low, chance_high]))
        return log_ratio - (math.log(ends[1] / ends[0]) if ends[0] > 0 else math.inf)

    return positive_root(narrower, 1.0)


def rate_from_guess(rate: float) -> GammaRate:
    """Return the gamma law of a guess given as one number: 10 % below a third of it and 10 % above three times it.

    Parameters
    ----------
    rate : float
        Guess of events per unit of exposure, above 0.
    """
    return rate_from_range(rate / _ROOM, rate * _ROOM)


def constant_rate_interval(
    breakages: float, exposure: float, level: float = 0.9, *, ended_by_failure: bool = False
) -> Interval:
    """Return the exact interval of the usage between breakages at a constant rate, without any guess.

    Parameters
    ----------
    breakages : float
        Breakages seen.
    exposure : float
        Usage seen in all.
    level : float
        Two-sided level.
    ended_by_failure : bool
        True if observation stopped at the last breakage; False if at a given time.

    Returns
    -------
    Interval
        Low end 2 T / chi2(1 - tail; 2 r + 2), or 2 r when ended by failure; high end 2 T / chi2(tail; 2 r), infinite
        without breakages.

    References
    ----------
    NIST/SEMATECH e-Handbook of Statistical Methods, 8.4.5.1.
    """
    if not (0 <= breakages < math.inf and 0 < exposure < math.inf) or (ended_by_failure and breakages == 0):
        raise DataError(f"{breakages:g} breakages in {exposure:g} units of usage give no interval.", "Log some usage.")
    tail = 0.5 - checked_level(level) / 2
    degrees = 2 * breakages + (0 if ended_by_failure else 2)
    low = 2 * exposure / float(chdtri(degrees, tail))
    high = math.inf if breakages == 0 else 2 * exposure / float(chdtri(2 * breakages, 1 - tail))
    return Interval(low, high, level)
