"""The best stock of an article that is counted in hundreds, its use taken as normal; the program reckons piece by piece."""

from __future__ import annotations

import numpy as np
from scipy.special import ndtr, ndtri

from wearlog.errors import DataError
from wearlog.plan.newsvendor import Stock


def best_stock_normal(mean: float, spread: float, *, overage: float, shortage: float) -> Stock:
    """Return the same for articles counted in hundreds, of which only the mean use and its spread are known.

    The demand is taken as normal: level = mean + z spread, cost = (overage + shortage) spread phi(z), z at the critical ratio.

    Parameters
    ----------
    mean : float
        Expected use of a season, pieces.
    spread : float
        Standard deviation of the use, pieces.
    overage : float
        Cost of one piece left over, minor units.
    shortage : float
        Cost of one piece too few, minor units.
    """
    ratio = shortage / (shortage + overage)
    if not spread > 0 or not ratio < 1:
        raise DataError(
            "A normal demand needs a spread and a carrying cost above zero.", "Check the use of past seasons."
        )
    z = float(ndtri(ratio))
    density = float(np.exp(-(z**2) / 2) / np.sqrt(2 * np.pi))
    # the general form holds for any level; at the best one the two other terms cancel
    short = spread * (density - z * (1.0 - float(ndtr(z))))
    return Stock(mean + z * spread, overage * (z * spread + short) + shortage * short)
