"""What the terms of warranty of a new part are worth: the chance that it fails within them, times what they then pay."""

from __future__ import annotations

from typing import Final

import numpy as np

from wearlog.errors import DataError
from wearlog.wear.arrays import FloatArray
from wearlog.wear.quadrature import panel

_LN2: Final = float(np.log(2.0))
_POINTS: Final = 16


def terms_worth(
    shape: FloatArray,
    median: FloatArray,
    term: float,
    *,
    part_minor: float,
    labour_minor: float = 0.0,
    pro_rata: bool = False,
) -> FloatArray:
    """Return what the terms of a new part pay on the mean, law by law, in minor units.

    Parameters
    ----------
    shape, median : (n,) float64
        Weibull shapes, and median lives in units of usage.
    term : float
        Usage within which they pay, above 0.
    part_minor : float
        What is paid of the part.
    labour_minor : float
        What is paid of the work; 0 where they do not cover it.
    pro_rata : bool
        Of the part the share of the term that was left.

    Notes
    -----
    F(term) x worth. Pro rata the mean of (1 - life/term) within the term is the mean of F from 0 to term.
    """
    if not 0 < term < np.inf or min(part_minor, labour_minor) < 0:
        raise DataError("A warranty needs a term above 0, and pays no less than nothing.", "Check the part's terms.")
    within = _fails(shape, median, np.asarray([term]))[:, 0]
    share = within
    if pro_rata:
        rule = panel(_POINTS, 1)
        share = _fails(shape, median, term * rule.nodes) @ rule.weights
    return np.asarray(share * part_minor + within * labour_minor)


def _fails(shape: FloatArray, median: FloatArray, age: FloatArray) -> FloatArray:
    return np.asarray(-np.expm1(-_LN2 * (age / median[:, None]) ** shape[:, None]))
