"""Kaplan-Meier survival of lives, which assumes no law; does not carry on past the oldest age seen."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike
from scipy.special import ndtri

from wearlog.errors import DataError
from wearlog.wear.arrays import FloatArray, checked_level
from wearlog.wear.lives import Lives


@dataclass(frozen=True, slots=True, eq=False)
class KaplanMeier:
    """Share of parts still whole after each age at which one failed.

    Attributes
    ----------
    age : array of shape (k,)
        Distinct ages at failure, ascending.
    at_risk, failed : arrays of shape (k,)
        Lives under observation just before that age, and failures at it, both weighted.
    survival : array of shape (k,)
        Share still whole just after that age.
    greenwood : array of shape (k,)
        Greenwood's sum; the variance of `survival` is survival^2 times this.
    """

    age: FloatArray
    at_risk: FloatArray
    failed: FloatArray
    survival: FloatArray
    greenwood: FloatArray

    def at(self, age: ArrayLike) -> FloatArray:
        """Return the survival at any ages: a step function, 1 before the first failure.

        Parameters
        ----------
        age : array_like
            Ages in the units of usage of the fit, any shape.
        """
        steps = np.concatenate([[1.0], self.survival])
        return np.asarray(steps[np.searchsorted(self.age, np.asarray(age, float), side="right")])

    def bounds(self, level: float = 0.9) -> tuple[FloatArray, FloatArray]:
        """Return the low and high survival at each age, normal on ln(-ln S); nan where S is 0.

        Parameters
        ----------
        level : float
            Chance that the interval holds, between 0 and 1.
        """
        z = float(ndtri(0.5 + checked_level(level) / 2))
        with np.errstate(divide="ignore", invalid="ignore"):
            centre = np.log(-np.log(self.survival))
            reach = z * np.sqrt(self.greenwood) / -np.log(self.survival)
            return np.exp(-np.exp(centre + reach)), np.exp(-np.exp(centre - reach))


def kaplan_meier(lives: Lives) -> KaplanMeier:
    """Return the product-limit survival.

    Parameters
    ----------
    lives : Lives
        Exact and right-censored lives; late entries and weights count.

    Raises
    ------
    DataError
        If a failure is known only to lie between two inspections: this estimate has no place for it.

    Notes
    -----
    A life is at risk at age t if entry < t <= exit; a life censored at the age of a failure is still at risk there.
    With late entries an early age with few lives at risk can pull the whole curve down: read it with its bounds.

    References
    ----------
    E. L. Kaplan and P. Meier, J. Amer. Statist. Assoc. 53 (1958) 457.
    """
    if lives.between_inspections.any():
        raise DataError(
            "Some failures are known only to lie between two inspections, which Kaplan-Meier cannot use.",
            "Use the Weibull fit, or give the ages at failure.",
        )
    # lives censored at the age of a failure were whole until after it: counted with "not below", not "above"
    age, place = np.unique(lives.exit[lives.event], return_inverse=True)
    failed = np.asarray(np.bincount(place, weights=lives.weight[lives.event], minlength=len(age)), np.float64)
    at_risk = _weight_above(lives.exit, lives.weight, age) - _weight_above(lives.entry, lives.weight, age)
    with np.errstate(divide="ignore"):
        terms = failed / (at_risk * (at_risk - failed))
    return KaplanMeier(age, at_risk, failed, np.asarray(np.cumprod(1 - failed / at_risk)), np.cumsum(terms))


def _weight_above(values: FloatArray, weight: FloatArray, age: FloatArray) -> FloatArray:
    """Return, for each age, the weight of the values that are not below it."""
    order = np.argsort(values)
    summed = np.concatenate([[0.0], np.cumsum(weight[order])])
    below = np.searchsorted(values[order], age, side="left")
    return np.asarray(summed[-1] - summed[below])
