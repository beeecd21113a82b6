"""What a machine is still worth by age and yearly hours, by the published formula. No repairs: those are repair_curve.py."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from wearlog.errors import DataError
from wearlog.facts.closed_lists import Evidence


@dataclass(frozen=True, slots=True)
class ValueCurve:
    """Coefficients of RV = [C1 - C2 sqrt(age) - C3 sqrt(hours per year)] ^ 2, a share of today's list price."""

    machine: str
    at_start: float
    per_root_year: float
    per_root_hour: float = 0.0
    evidence: Evidence = Evidence.FROM_MEMORY
    source: str = "ASAE D497.7, table 4, and Iowa State A3-29, table 1a; coefficients from memory"


COMBINE_VALUE: Final = ValueCurve("combine", 1.1318, 0.1654, 0.0079)
TRACTOR_SMALL_VALUE: Final = ValueCurve("tractor, 30-79 hp", 0.9809, 0.0934, 0.0058)
TRACTOR_MEDIUM_VALUE: Final = ValueCurve("tractor, 80-149 hp", 0.9421, 0.0999, 0.0008)
TRACTOR_LARGE_VALUE: Final = ValueCurve("tractor, 150 hp and more", 0.9756, 0.1187, 0.0019)
SWATHER_VALUE: Final = ValueCurve("swather and other harvest equipment", 0.7911, 0.0913)
VALUE_CURVES: Final = (
    COMBINE_VALUE,
    TRACTOR_SMALL_VALUE,
    TRACTOR_MEDIUM_VALUE,
    TRACTOR_LARGE_VALUE,
    SWATHER_VALUE,
)


def remaining_share(curve: ValueCurve, age_years: ArrayLike, hours_per_year: float) -> NDArray[np.float64]:
    """Return the remaining value as a share of today's list price.

    Parameters
    ----------
    curve : ValueCurve
    age_years : array_like, any shape
        Age; the formula is made for 1 year and more. At age 0 the share is capped at 1.
    hours_per_year : float
        Mean hours of use a year over its life.

    Returns
    -------
    ndarray of float, shape of `age_years`
        Between 0 and 1; 0 from where the bracket of the formula turns negative.

    Raises
    ------
    DataError
        When an age or the hours are negative.
    """
    age = np.asarray(age_years, dtype=np.float64)
    if not np.all(age >= 0) or not hours_per_year >= 0:
        raise DataError("Age and hours a year cannot be negative.", "Check the model year and the meter readings.")
    root = curve.at_start - curve.per_root_year * np.sqrt(age) - curve.per_root_hour * np.sqrt(hours_per_year)
    # squaring would let a bracket below zero rise again, and a machine new today is worth no more than its price
    return np.asarray(np.clip(root, 0.0, 1.0) ** 2)


def value_lost_by_use(curve: ValueCurve, list_price_minor: int, age_years: float, hours_per_year: float) -> float:
    """Return what one hour of use more takes off the value, in minor units an hour.

    Parameters
    ----------
    curve : ValueCurve
        The published curve.
    list_price_minor : int
        Today's list price, minor units.
    age_years : float
        Age, 1 year and more.
    hours_per_year : float
        Mean hours of use a year over its life, above 0.

    Notes
    -----
    An hour more raises the yearly mean by 1 / age: the derivative is P C3 root / (age sqrt(hours per year)), root being the
    bracket of the formula; 0 from where that is not above 0.
    """
    if not (age_years >= 1 and hours_per_year > 0):
        raise DataError("Value lost by use needs a year of age and hours of use.", "Check model year and readings.")
    root = math.sqrt(float(remaining_share(curve, age_years, hours_per_year)))
    return list_price_minor * curve.per_root_hour * root / (age_years * math.sqrt(hours_per_year))


def remaining_value(curve: ValueCurve, list_price_minor: int, age_years: float, hours_per_year: float) -> int:
    """Return the remaining value in whole minor units of today's list price.

    Parameters
    ----------
    curve : ValueCurve
        The published curve.
    list_price_minor : int
        Today's list price, minor units.
    age_years : float
        Age, years.
    hours_per_year : float
        Hours of use in a year.
    """
    return round(list_price_minor * float(remaining_share(curve, age_years, hours_per_year)))
