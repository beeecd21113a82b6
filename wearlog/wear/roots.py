"""Roots of increasing functions of one positive number, by bisection on its logarithm; no optimiser, no import cost."""

from __future__ import annotations

import math
from collections.abc import Callable

_FARTHEST = 700.0  # exp(700) is about the largest float: beyond it "never" is the honest answer


def positive_root(rising: Callable[[float], float], start: float) -> float:
    """Return x > 0 where the increasing function `rising` passes through zero.

    Parameters
    ----------
    rising : callable
        Increasing function of a positive number.
    start : float
        A positive number of the right order of size.

    Returns
    -------
    float
        The root to about 12 digits; 0.0 if the function is positive everywhere, inf if it is negative everywhere.
    """
    middle = math.log(start)
    step = 1.0
    if rising(start) < 0:
        low = high = middle
        while rising(math.exp(high)) < 0:
            if high >= _FARTHEST:
                return math.inf
            low, high, step = high, min(high + step, _FARTHEST), 2 * step
    else:
        low = high = middle
        while rising(math.exp(low)) > 0:
            if low <= -_FARTHEST:
                return 0.0
            low, high, step = max(low - step, -_FARTHEST), low, 2 * step
    while high - low > 1e-13 * max(1.0, abs(low)):
        middle = 0.5 * (low + high)
        if rising(math.exp(middle)) < 0:
            low = middle
        else:
            high = middle
    return math.exp(0.5 * (low + high))
