"""Life when the shape of the Weibull law is taken as known (Weibayes); does not ask whether that shape is right."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from scipy.special import chdtri, gammaincinv

from wearlog.errors import DataError
from wearlog.wear.arrays import checked_level
from wearlog.wear.intervals import Estimate
from wearlog.wear.lives import Lives


@dataclass(frozen=True, slots=True)
class Weibayes:
    """What the lives say of the scale when the shape is known.

    Attributes
    ----------
    shape : float
        The shape taken as known.
    failures : float
        Failures seen.
    power_sum : float
        Sum over all lives of exit^shape - entry^shape.
    """

    shape: float
    failures: float
    power_sum: float

    @property
    def scale(self) -> float:
        """The most likely scale; infinite when nothing has failed."""
        if self.failures == 0:
            return math.inf
        return float((self.power_sum / self.failures) ** (1 / self.shape))

    def scale_lower_bound(self, confidence: float = 0.9) -> float:
        """Return the one-sided lower bound of the scale for observation that ended by time, not by a failure.

        Parameters
        ----------
        confidence : float
            Chance with which the scale lies above the bound, between 0 and 1.

        Notes
        -----
        scale >= (2 S / chi2(confidence; 2 r + 2))^(1 / shape); with r = 0 this is (S / -ln(1 - confidence))^(1/shape).
        """
        if self.power_sum <= 0:
            raise DataError("No usage has been seen, so the life has no lower bound.", "Log some usage first.")
        # one failure more than was seen: time ended the watch, and the next may have been a moment away
        points = float(chdtri(2 * self.failures + 2, 1 - checked_level(confidence)))
        return float((2 * self.power_sum / points) ** (1 / self.shape))

    def scale_posterior(self, prior_failures: float, prior_power_sum: float, level: float = 0.9) -> Estimate:
        """Return the scale when scale^-shape has a gamma prior of that many failures over that sum of powers.

        Parameters
        ----------
        prior_failures : float
            Failures that the prior counts for.
        prior_power_sum : float
            Their sum of age^shape.
        level : float
            Chance that the interval holds, between 0 and 1.

        Notes
        -----
        The gamma law is conjugate: failures and power sums add up. Zero and zero is the flat prior of ln(scale), for
        which at least one failure is needed.
        """
        shape, rate = self.failures + prior_failures, self.power_sum + prior_power_sum
        if shape <= 0 or rate <= 0:
            raise DataError("Neither a failure nor a prior: the scale could be anything.", "Give a starting guess.")
        # it is scale^-shape that has the gamma law and falls where the scale grows: its high end is the low end of the scale
        tails = np.array([0.5, 0.5 + checked_level(level) / 2, 0.5 - level / 2])
        median, low, high = (rate / gammaincinv(shape, tails)) ** (1 / self.shape)
        return Estimate(float(median), float(low), float(high), level)


def fit_weibayes(lives: Lives, shape: float) -> Weibayes:
    """Return what the lives say of the scale, the shape being known.

    Parameters
    ----------
    lives : Lives
        Exact and right-censored lives; late entries and weights count; no failure is needed.
    shape : float
        The shape, from earlier work on the same kind of part; above 0.

    Raises
    ------
    DataError
        If the shape is not above 0, or if failures are known only to lie between two inspections.

    References
    ----------
    R. B. Abernethy, The New Weibull Handbook, 5th ed., 2006, ch. 6.
    """
    if not 0 < shape < math.inf:
        raise DataError(f"A shape of {shape:g} is no shape of a Weibull law.", "Give a shape above 0, say 2.")
    if lives.between_inspections.any():
        raise DataError(
            "Some failures are known only to lie between two inspections, which Weibayes cannot use.",
            "Use the posterior with a starting guess, or give the ages at failure.",
        )
    # usage before somebody looked is taken off: a part that failed in it would not be in the list
    powers = lives.weight @ (lives.exit**shape - lives.entry**shape)
    return Weibayes(shape, lives.failures, float(powers))
