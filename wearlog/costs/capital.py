"""Capital recovery: the even yearly sum that pays for a machine with interest. Repairs are not in it."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from wearlog.errors import DataError


def capital_recovery_factor(yearly_rate: float, years: ArrayLike) -> NDArray[np.float64]:
    """Return i (1 + i)^n / ((1 + i)^n - 1), and 1 / n without interest.

    Parameters
    ----------
    yearly_rate : float
        Interest a year, 0.08 for 8 per cent; not negative.
    years : array_like, any shape
        Years over which it is paid, above zero.
    """
    span = np.asarray(years, dtype=np.float64)
    if not np.all(span > 0) or not 0 <= yearly_rate < 10:
        raise DataError(
            "Capital recovery needs years above zero and a rate that is not negative.", "Write 8 per cent as 0.08."
        )
    if yearly_rate == 0:
        return 1.0 / span
    return np.asarray(yearly_rate / -np.expm1(-span * np.log1p(yearly_rate)))


def capital_recovery(price_minor: int, salvage_minor: int, yearly_rate: float, years: float) -> int:
    """Return the yearly cost of owning, in whole minor units: factor x (price - salvage) + rate x salvage.

    Parameters
    ----------
    price_minor : int
        Price, minor units.
    salvage_minor : int
        What it is sold for at the end, minor units.
    yearly_rate : float
        A year's rate as a share: 0.05 is 5 %.
    years : float
        Years.

    References
    ----------
    Iowa State University Extension A3-29 / PM 710.
    """
    factor = float(capital_recovery_factor(yearly_rate, years))
    return round(factor * (price_minor - salvage_minor) + yearly_rate * salvage_minor)
