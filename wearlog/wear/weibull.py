"""Two-parameter Weibull fit by greatest likelihood; needs failures, and leaves the starting guess to posterior."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike
from scipy.special import ndtri

from wearlog.errors import DataError
from wearlog.wear import law
from wearlog.wear.arrays import FloatArray, checked_level, dot
from wearlog.wear.intervals import Interval
from wearlog.wear.likelihood import newton_maximum
from wearlog.wear.lives import Lives

_EULER_SD = 1.2825498301618641  # sd of ln t is pi / sqrt(6) / shape: a good place to start
_STEPS = 100
_FLATTEST, _STEEPEST = 0.02, 1e10  # beyond these the likelihood only creeps toward a law that is none
_FARTHEST = 700.0  # exp(700) is about the largest float
_NO_PEAK = "These lives do not hold a Weibull law down: its likelihood has no peak."
_USE_A_GUESS = "Give a starting guess of the life and use the answer that rests on both."


@dataclass(frozen=True, slots=True)
class WeibullFit:
    """The law that makes the lives most likely, and how far they hold it down.

    Attributes
    ----------
    shape, scale : float
        Parameters; the scale in the unit of the ages.
    log_likelihood : float
        At the maximum, natural logarithm, densities in the unit of the ages.
    failures, lives, exposure : float
        What it rests on; exposure in the unit of the ages.
    variance_log_shape, covariance, variance_log_scale : float
        Inverse of the observed information of (ln shape, ln scale).
    """

    shape: float
    scale: float
    log_likelihood: float
    failures: float
    lives: float
    exposure: float
    variance_log_shape: float
    covariance: float
    variance_log_scale: float

    @property
    def shape_error(self) -> float:
        """Standard error of the shape, from the observed information."""
        return self.shape * math.sqrt(self.variance_log_shape)

    @property
    def scale_error(self) -> float:
        """Standard error of the scale, from the observed information."""
        return self.scale * math.sqrt(self.variance_log_scale)

    @property
    def mean(self) -> float:
        """Mean life."""
        return float(law.mean_life(self.shape, self.scale))

    @property
    def sd(self) -> float:
        """Standard deviation of the life."""
        return float(law.life_sd(self.shape, self.scale))

    def life_at(self, fraction: float) -> float:
        """Return the age by which `fraction` of the parts have failed: 0.1 gives B10, 0.5 the median.

        Parameters
        ----------
        fraction : float
            Share that has failed by then, between 0 and 1.
        """
        return float(law.life_at(fraction, self.shape, self.scale))

    def survival(self, age: ArrayLike) -> FloatArray:
        """Return the chance of reaching `age`, an array of the same shape.

        Parameters
        ----------
        age : array_like
            Ages in the units of usage of the fit, any shape.
        """
        return law.survival(age, self.shape, self.scale)

    def shape_interval(self, level: float = 0.9) -> Interval:
        """Return the interval of the shape: normal on ln shape, observed information.

        Parameters
        ----------
        level : float
            Chance that the interval holds, between 0 and 1.
        """
        return _log_normal_interval(self.shape, self.variance_log_shape, level)

    def scale_interval(self, level: float = 0.9) -> Interval:
        """Return the interval of the scale: normal on ln scale, observed information.

        Parameters
        ----------
        level : float
            Chance that the interval holds, between 0 and 1.
        """
        return _log_normal_interval(self.scale, self.variance_log_scale, level)

    def life_interval(self, fraction: float, level: float = 0.9) -> Interval:
        """Return the interval of `life_at(fraction)`: normal on its logarithm, by the delta method.

        Parameters
        ----------
        fraction : float
            Share that has failed by then, between 0 and 1.
        level : float
            Chance that the interval holds, between 0 and 1.
        """
        slope = -math.log(-math.log1p(-fraction)) / self.shape  # d ln life / d ln shape
        variance = slope * slope * self.variance_log_shape + 2 * slope * self.covariance + self.variance_log_scale
        return _log_normal_interval(self.life_at(fraction), variance, level)


def fit_weibull(lives: Lives) -> WeibullFit:
    """Fit shape and scale by greatest likelihood.

    Parameters
    ----------
    lives : Lives
        Ages in one unit; late entries, censoring, weights and failures between inspections all count.

    Returns
    -------
    WeibullFit

    Raises
    ------
    DataError
        If there is no failure, if every failure lies at the oldest age, or if the likelihood has no peak.

    Notes
    -----
    With exact ages the scale drops out (scale^shape = sum w (exit^shape - entry^shape) / failures), and Newton's
    method finds the root of one function of the shape. Failures between inspections need the two-dimensional search.
    Few failures bias the shape upward: below about 5 the posterior should speak instead.

    References
    ----------
    J. F. Lawless, Statistical Models and Methods for Lifetime Data, 2nd ed., Wiley 2003, sec. 5.2.

    Examples
    --------
    >>> fit = fit_weibull(Lives.of([210.0, 340, 415, 500, 500], [True, True, True, False, False]))
    >>> round(fit.shape, 3), round(fit.scale, 1)
    (2.696, 503.4)
    """
    if not lives.event.any():
        none = "The one life did not end" if lives.count == 1 else f"None of these {lives.count:g} lives ended"
        raise DataError(f"{none} in failure, so a life cannot be fitted from that alone.", _USE_A_GUESS)
    if lives.last_seen is not None and lives.between_inspections.any():
        return _fit_between_inspections(lives)
    shape, log_scale, sums = _profile_fit(lives)
    return _from_profile(lives, shape, log_scale, sums)


@dataclass(frozen=True, slots=True)
class _Profile:
    """Sums of the profile likelihood at the fitted shape, ages as y = ln(age / oldest)."""

    failures: float
    mean_failure: float
    oldest: float
    log_total: float
    mean: float
    variance: float


def _profile_fit(lives: Lives) -> tuple[float, float, _Profile]:
    """Return shape, ln scale and the sums there, for lives with exact ages."""
    y = np.log(lives.exit)
    oldest = float(y.max())
    y -= oldest
    # ages as y = ln(age / oldest) <= 0, so that no power of them overflows whatever the shape
    failing = lives.weight * lives.event
    failures = float(failing.sum())
    mean_failure = dot(failing, y) / failures
    if mean_failure > -1e-13:
        raise DataError("Every failure lies at the oldest age seen, so how lives scatter cannot be told.", _USE_A_GUESS)
    spread = dot(failing, y * y) / failures - mean_failure * mean_failure
    start = _EULER_SD / math.sqrt(spread) if spread > 1e-24 else 1.0
    weight = lives.weight
    late = lives.entry > 0
    if late.any():
        # a late entry takes back what the years before it would have counted: an exit of negative weight
        y = np.concatenate([y, np.log(lives.entry[late]) - oldest])
        weight = np.concatenate([weight, -weight[late]])
        start = best_of_a_ladder(y, weight, mean_failure)
    shape, total, mean, variance = root_of_profile(y, weight, mean_failure, start)
    log_scale = oldest + math.log(total / failures) / shape
    if abs(log_scale) > _FARTHEST:
        raise DataError(_NO_PEAK, _USE_A_GUESS)
    return shape, log_scale, _Profile(failures, mean_failure, oldest, math.log(total), mean, variance)


def root_of_profile(
    y: FloatArray, weight: FloatArray, mean_failure: float, shape: float
) -> tuple[float, float, float, float]:
    """Return the shape b with b (mean of y under weights w exp(by) - mean_failure) = 1, and the sums there.

    This form of the score is close to linear in b, so that Newton's method takes 3 or 4 steps.

    Parameters
    ----------
    y : array
        (n,), ln of the ages of exit and entry over the oldest age.
    weight : array
        (n,), how often each age counts; negative for entries.
    mean_failure : float
        Mean over the failures of ln(age over the oldest age).
    shape : float
        Where the search begins.
    """
    low, high = _FLATTEST, _STEEPEST
    weighted_y = weight * y
    for _ in range(_STEPS):
        power = np.exp(shape * y)
        total = dot(weight, power)
        if total <= 0:  # entry and exit so close that nothing but rounding is left between them
            break
        mean = dot(weighted_y, power) / total
        variance = dot(weighted_y, power * y) / total - mean * mean
        gap = mean - mean_failure
        score = shape * gap - 1
        if score < 0:
            low = shape
        else:
            high = shape
        slope = gap + shape * variance
        following = shape - score / slope if slope > 0 else math.nan
        # Newton's step must stay where the sign of the score says the root is
        if not low <= following <= high:
            following = math.sqrt(low * high)
        step = following - shape
        if abs(step) < 1e-6 * shape:
            if not 1.01 * _FLATTEST < following < 0.99 * _STEEPEST:
                break
            # the sums move with the last small step by their own derivatives, exact to its cube
            return (
                following,
                total * math.exp(step * mean + 0.5 * step * step * variance),
                mean + step * variance,
                variance,
            )
        shape = following
    raise DataError(_NO_PEAK, _USE_A_GUESS)


def best_of_a_ladder(y: FloatArray, weight: FloatArray, mean_failure: float) -> float:
    """Return the most likely of 25 shapes from 0.05 to 50: with late entries the likelihood may have two peaks.

    Parameters
    ----------
    y : array
        (n,), ln of the ages of exit and entry over the oldest age.
    weight : array
        (n,), how often each age counts; negative for entries.
    mean_failure : float
        Mean over the failures of ln(age over the oldest age).
    """
    ladder = np.geomspace(0.05, 50.0, 25)
    total = np.exp(ladder[:, None] * y) @ weight
    total[total <= 0] = np.nan
    profile = np.log(ladder) - np.log(total) + ladder * mean_failure
    return float(ladder[int(np.nanargmax(profile))])


def _from_profile(lives: Lives, shape: float, log_scale: float, sums: _Profile) -> WeibullFit:
    """Return the fit with its likelihood and information, all from the sums of the last step."""
    r = sums.failures
    offset = log_scale - sums.oldest
    # sums of H z and H z^2, where H is the cumulative hazard and z its logarithm
    hz = shape * r * (sums.mean - offset)
    hzz = shape * shape * r * (sums.variance + (sums.mean - offset) ** 2)
    value = r * (math.log(shape) - shape * log_scale + (shape - 1) * (sums.mean_failure + sums.oldest) - 1)
    aa, ac, cc = hzz + r, -shape * hz, shape * shape * r
    determinant = aa * cc - ac * ac
    return WeibullFit(
        shape,
        math.exp(log_scale),
        value,
        r,
        lives.count,
        lives.exposure,
        cc / determinant,
        -ac / determinant,
        aa / determinant,
    )


def _fit_between_inspections(lives: Lives) -> WeibullFit:
    """Return the fit by the two-dimensional search, started from the middles of the intervals."""
    assert lives.last_seen is not None
    middle = np.where(lives.event, 0.5 * (lives.last_seen + lives.exit), lives.exit)
    try:
        shape, log_scale, _ = _profile_fit(Lives.of(middle, lives.event, weight=lives.weight))
    except DataError:
        shape, log_scale = 1.0, math.log(lives.exposure / lives.failures)
    log_shape, log_scale, here = newton_maximum(lives, shape, math.exp(log_scale))
    inverse = np.linalg.inv(-here.hessian)
    return WeibullFit(
        math.exp(log_shape),
        math.exp(log_scale),
        here.value,
        lives.failures,
        lives.count,
        lives.exposure,
        float(inverse[0, 0]),
        float(inverse[0, 1]),
        float(inverse[1, 1]),
    )


def _log_normal_interval(value: float, variance: float, level: float) -> Interval:
    """Return value x exp(-+ z sd) for a two-sided interval."""
    reach = math.exp(float(ndtri(0.5 + checked_level(level) / 2)) * math.sqrt(variance))
    return Interval(value / reach, value * reach, level)
