"""Whether machines differ in the life of a part: a likelihood-ratio test of lives in groups; fits no machine's life."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from scipy.special import chdtrc

from wearlog.errors import DataError
from wearlog.wear.likelihood import greatest_over_scale
from wearlog.wear.lives import Lives
from wearlog.wear.weibull import WeibullFit, fit_weibull


@dataclass(frozen=True, slots=True)
class Comparison:
    """Likelihood-ratio test of one law for all groups against a law for each.

    Attributes
    ----------
    statistic : float
        Twice the gain in log-likelihood.
    degrees : int
        Parameters gained.
    p_value : float
        Chance of at least this gain if all groups were alike (chi-square; rough below about 5 failures per group).
    pooled : WeibullFit
        The law of all lives together.
    """

    statistic: float
    degrees: int
    p_value: float
    pooled: WeibullFit


def compare_groups(groups: Sequence[Lives], *, own_shape: bool = False) -> Comparison:
    """Test whether lives in groups (one per machine, say) follow one law.

    Parameters
    ----------
    groups : sequence of Lives
        Two or more; at least one failure among them.
    own_shape : bool
        False (default): groups may differ in scale and share the shape, which few failures can bear. True: each group
        has its own shape and scale, and needs failures at two ages.

    Returns
    -------
    Comparison

    Raises
    ------
    DataError
        Fewer than two groups, or too few failures to fit.

    Notes
    -----
    A group without failures is most likely at an endless scale, where it adds nothing to the log-likelihood; it still
    counts one degree of freedom.

    References
    ----------
    J. F. Lawless, Statistical Models and Methods for Lifetime Data, 2nd ed., Wiley 2003, sec. 5.4.
    """
    filled = [group for group in groups if len(group)]
    if len(filled) < 2:
        raise DataError("There is nothing to compare: fewer than two groups have lives.", "Name two or more machines.")
    pooled = fit_weibull(Lives.joined(filled))
    if own_shape:
        # a group without a failure: the longer its scale, the nearer its likelihood comes to 1
        apart = sum(fit_weibull(group).log_likelihood if group.event.any() else 0.0 for group in filled)
        degrees = 2 * (len(filled) - 1)
    else:
        apart = _shared_shape_maximum([group for group in filled if group.event.any()], pooled.shape)
        degrees = len(filled) - 1
    # two searches that end a hair apart must give no negative statistic
    statistic = max(0.0, 2 * (apart - pooled.log_likelihood))
    return Comparison(statistic, degrees, float(chdtrc(degrees, statistic)), pooled)


def _shared_shape_maximum(groups: Sequence[Lives], shape: float) -> float:
    """Return the greatest log-likelihood with one shape and a scale for each group, by golden section on ln shape."""

    def value(log_shape: float) -> float:
        return sum(_best_scale_value(group, math.exp(log_shape)) for group in groups)

    low, high = math.log(shape) - 1.0, math.log(shape) + 1.0
    # the best shape may lie outside the stretch: it is widened while the value still rises towards an end
    while value(high) > value(high - 0.5) and high < 12:
        high += 1.0
    while value(low) > value(low + 0.5) and low > -7:
        low -= 1.0
    # the sum over groups has no handy derivative across machines, and one dimension is cheap to search
    golden = (math.sqrt(5) - 1) / 2
    left, right = high - golden * (high - low), low + golden * (high - low)
    at_left, at_right = value(left), value(right)
    while high - low > 1e-7:
        if at_left < at_right:
            low, left, at_left = left, right, at_right
            right = low + golden * (high - low)
            at_right = value(right)
        else:
            high, right, at_right = right, left, at_left
            left = high - golden * (high - low)
            at_left = value(left)
    return max(at_left, at_right)


def _best_scale_value(lives: Lives, shape: float) -> float:
    """Return the greatest log-likelihood over the scale, the shape held."""
    oldest = float(lives.exit.max())
    # in units of the oldest: a high power of square metres would be no number
    powers = lives.weight @ ((lives.exit / oldest) ** shape - (lives.entry / oldest) ** shape)
    log_scale = math.log(oldest) + math.log(float(powers / lives.failures)) / shape
    return greatest_over_scale(lives, math.log(shape), log_scale)
