"""Likelihood-ratio intervals of a Weibull fit's shape and lives; better than the normal ones when failures are few."""

from __future__ import annotations

import math
from collections.abc import Callable

from scipy.special import chdtri

from wearlog.wear.arrays import checked_level
from wearlog.wear.intervals import Interval
from wearlog.wear.likelihood import Slopes, greatest_along, greatest_over_scale, slopes
from wearlog.wear.lives import Lives
from wearlog.wear.weibull import WeibullFit

_FLAT = 40.0  # on a logarithm: 17 powers of ten away from the estimate means "no bound"


def shape_ratio_interval(lives: Lives, fit: WeibullFit, level: float = 0.9) -> Interval:
    """Return the likelihood-ratio interval of the shape.

    Parameters
    ----------
    lives : Lives
        The lives that were fitted.
    fit : WeibullFit
        Their fit.
    level : float
        Two-sided level.

    Returns
    -------
    Interval
        All shapes whose profile log-likelihood lies within chi2(level; 1) / 2 of the maximum; 0 or inf where the
        lives set no bound.
    """
    centre = math.log(fit.shape)

    def profile(log_shape: float) -> float:
        return greatest_over_scale(lives, log_shape, math.log(fit.scale))

    low, high = _crossings(profile, centre, math.sqrt(fit.variance_log_shape), fit.log_likelihood, level)
    return Interval(low, high, level)


def life_ratio_interval(lives: Lives, fit: WeibullFit, fraction: float, level: float = 0.9) -> Interval:
    """Return the likelihood-ratio interval of the age by which `fraction` have failed.

    Parameters
    ----------
    lives, fit
        As for `shape_ratio_interval`.
    fraction : float
        0.1 for B10, 0.5 for the median.
    level : float
        As for `shape_ratio_interval`.
    """
    reduced = math.log(-math.log1p(-fraction))
    centre = math.log(fit.life_at(fraction))

    def profile(log_life: float) -> float:
        return greatest_along(lambda a: _along_shape(lives, a, log_life, reduced), math.log(fit.shape), unit=1.0)

    slope = -reduced / fit.shape
    variance = slope * slope * fit.variance_log_shape + 2 * slope * fit.covariance + fit.variance_log_scale
    low, high = _crossings(profile, centre, math.sqrt(variance), fit.log_likelihood, level)
    return Interval(low, high, level)


def scale_ratio_interval(lives: Lives, fit: WeibullFit, level: float = 0.9) -> Interval:
    """Return the likelihood-ratio interval of the scale, the age by which 1 - 1/e have failed.

    Parameters
    ----------
    lives : Lives
        The lives, in the unit of usage of their meter.
    fit : WeibullFit
        The most likely law of the same lives.
    level : float
        Chance that the interval covers, strictly between 0 and 1.
    """
    return life_ratio_interval(lives, fit, -math.expm1(-1.0), level)


def _along_shape(lives: Lives, log_shape: float, log_life: float, reduced: float) -> tuple[float, float, float]:
    """Return value, slope and curvature in ln shape while the life at one fraction is held."""
    turn = reduced * math.exp(-log_shape)  # ln scale = ln life - turn
    here: Slopes = slopes(lives, log_shape, log_life - turn)
    (ga, gc), H = here.gradient, here.hessian
    slope = ga + gc * turn
    curvature = H[0, 0] + 2 * H[0, 1] * turn + H[1, 1] * turn * turn - gc * turn
    return here.value, float(slope), float(curvature)


def _crossings(
    profile: Callable[[float], float], centre: float, sd: float, top: float, level: float
) -> tuple[float, float]:
    """Return the two values, as exp, where the profile has dropped by half a chi2 point."""
    target = top - 0.5 * float(chdtri(1, 1 - checked_level(level)))
    ends = []
    for side in (-1, 1):
        inner, outer = 0.0, sd
        while profile(centre + side * outer) > target:
            inner, outer = outer, 2 * outer
            if outer > _FLAT:
                break
        if outer > _FLAT:
            ends.append(0.0 if side < 0 else math.inf)
            continue
        while outer - inner > 1e-10 * max(1.0, outer):
            middle = 0.5 * (inner + outer)
            inner, outer = (middle, outer) if profile(centre + side * middle) > target else (inner, middle)
        ends.append(math.exp(centre + side * 0.5 * (inner + outer)))
    return ends[0], ends[1]
