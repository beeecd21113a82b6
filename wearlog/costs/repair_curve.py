"""The published repair-cost curve C = P x RF1 x (h / 1000) ^ RF2: to date, over an interval, by the hour. Fits nothing."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import ArrayLike, NDArray

from wearlog.costs.published_curves import RepairCurve
from wearlog.errors import DataError


def repair_share(curve: RepairCurve, hours: ArrayLike) -> NDArray[np.float64]:
    """Return the accumulated repair cost as a share of list price.

    Parameters
    ----------
    curve : RepairCurve
    hours : array_like, any shape
        Accumulated hours of use, not negative.

    Returns
    -------
    ndarray of float, shape of `hours`

    Raises
    ------
    DataError
        When an hour figure is negative or not a number.

    References
    ----------
    ASAE D497.7, clause 6.
    """
    accumulated = np.asarray(hours, dtype=np.float64)
    if not np.all(accumulated >= 0):
        raise DataError("Hours of use cannot be negative.", "Check the meter readings of this machine.")
    return curve.factor * (accumulated / 1000.0) ** curve.exponent


def accumulated_repair(curve: RepairCurve, list_price_minor: int, hours: float) -> int:
    """Return the expected repair cost from new to `hours`, in whole minor units of the price.

    Parameters
    ----------
    curve : RepairCurve
        The published curve.
    list_price_minor : int
        Today's list price, minor units.
    hours : float
        Hours of use since new.

    Notes
    -----
    The list price is today's, so the answer is in today's money. Covers parts and labour, not downtime.

    Examples
    --------
    A combine with a list price of 400,000.00: by 1,000 h repairs have cost 4 % of it.

    >>> from wearlog.costs.published_curves import COMBINE
    >>> accumulated_repair(COMBINE, 400_000_00, 1_000)
    1600000
    """
    return round(list_price_minor * float(repair_share(curve, hours)))


def repair_between(curve: RepairCurve, list_price_minor: int, from_hours: float, to_hours: float) -> int:
    """Return the expected repair cost between two hour readings, in whole minor units.

    Parameters
    ----------
    curve : RepairCurve
        The published curve.
    list_price_minor : int
        Today's list price, minor units.
    from_hours : float
        Hours of use at the beginning.
    to_hours : float
        Hours of use at the end, not below the beginning.

    Notes
    -----
    It is the difference of the two accumulated amounts, so consecutive intervals add up to the cent.

    Raises
    ------
    DataError
        When the interval runs backwards.
    """
    if to_hours < from_hours:
        raise DataError(
            f"The interval {from_hours:g} to {to_hours:g} h runs backwards.", "Give the lower reading first."
        )
    return accumulated_repair(curve, list_price_minor, to_hours) - accumulated_repair(
        curve, list_price_minor, from_hours
    )


def repair_per_hour(curve: RepairCurve, list_price_minor: int, hours: float) -> int:
    """Return the expected repair cost of one hour at `hours`, in whole minor units per hour.

    P x RF1 x RF2 / 1000 x (h / 1000) ^ (RF2 - 1). A curve with an exponent below 1 has no finite rate at 0 h: DataError.

    Parameters
    ----------
    curve : RepairCurve
        The published curve.
    list_price_minor : int
        Today's list price, minor units.
    hours : float
        Hours of use since new.
    """
    # the slope of a power below 1 has no limit at zero
    if hours < 0 or (hours == 0 and curve.exponent < 1):
        raise DataError(f"There is no hourly repair cost at {hours:g} h.", "Give the hours of use, above zero.")
    rate = curve.factor * curve.exponent / 1000.0 * math.pow(hours / 1000.0, curve.exponent - 1.0)
    return round(list_price_minor * rate)


def price_after_inflation(price_minor: int, yearly_rate: float, years: float) -> int:
    """Return P x (1 + i) ^ n in whole minor units: an old list price carried to today.

    Parameters
    ----------
    price_minor : int
        Price, minor units.
    yearly_rate : float
        A year's rate as a share: 0.05 is 5 %.
    years : float
        Years.
    """
    if not yearly_rate > -1 or not math.isfinite(yearly_rate):
        raise DataError(f"A yearly rate of {yearly_rate:g} is not possible.", "Write 3 per cent as 0.03.")
    return round(price_minor * math.pow(1.0 + yearly_rate, years))
