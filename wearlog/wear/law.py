"""The two-parameter Weibull law itself, R(t) = exp(-(t / scale)^shape); fits nothing."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import ArrayLike
from scipy.special import gammainc, gammaln

from wearlog.errors import DataError
from wearlog.wear.arrays import FloatArray

_LARGEST = 700.0  # exp(700) is about the largest float


def cumulative_hazard(age: ArrayLike, shape: ArrayLike, scale: ArrayLike) -> FloatArray:
    """Return (age / scale)^shape, cut off at exp(700) so that nothing overflows.

    Parameters
    ----------
    age : array_like
        Usage, in the unit of `scale`.
    shape : array_like
        Shape of the Weibull law, above 0; no unit.
    scale : array_like
        Usage by which 1 - 1/e have failed, above 0.
    """
    with np.errstate(divide="ignore"):
        logs = np.asarray(shape, float) * np.log(np.asarray(age, float) / scale)
    return np.asarray(np.exp(np.minimum(logs, _LARGEST)))


def survival(age: ArrayLike, shape: ArrayLike, scale: ArrayLike) -> FloatArray:
    """Return the chance that a new part reaches `age` (same unit as `scale`; the arguments broadcast).

    Parameters
    ----------
    age : array_like
        Usage, in the unit of `scale`.
    shape : array_like
        Shape of the Weibull law, above 0; no unit.
    scale : array_like
        Usage by which 1 - 1/e have failed, above 0.
    """
    return np.exp(-cumulative_hazard(age, shape, scale))


def survival_between(start: ArrayLike, end: ArrayLike, shape: ArrayLike, scale: ArrayLike) -> FloatArray:
    """Return R(end) / R(start): the chance that a part whole at age `start` is still whole at age `end` > 0.

    Parameters
    ----------
    start : array_like
        Usage at which the part was whole, in the unit of `scale`.
    end : array_like
        Usage asked about, in the unit of `scale`.
    shape : array_like
        Shape of the Weibull law, above 0; no unit.
    scale : array_like
        Usage by which 1 - 1/e have failed, above 0.
    """
    # the difference of two powers by its logarithm: exact where the stretch is short beside the age
    with np.errstate(divide="ignore"):
        share = -np.expm1(np.asarray(shape, float) * np.log(np.asarray(start, float) / end))
    return np.asarray(np.exp(-cumulative_hazard(end, shape, scale) * share))


def life_at(fraction: ArrayLike, shape: ArrayLike, scale: ArrayLike) -> FloatArray:
    """Return the age by which `fraction` of the parts have failed: 0.1 gives B10, 0.5 the median.

    Parameters
    ----------
    fraction : array_like
        Share of the parts, between 0 and 1.
    shape : array_like
        Shape of the Weibull law, above 0; no unit.
    scale : array_like
        Usage by which 1 - 1/e have failed, above 0.
    """
    return np.asarray(scale * (-np.log1p(-np.asarray(fraction, float))) ** (1 / np.asarray(shape, float)))


def mean_life(shape: ArrayLike, scale: ArrayLike) -> FloatArray:
    """Return the mean life, scale x Gamma(1 + 1 / shape).

    Parameters
    ----------
    shape : array_like
        Shape of the Weibull law, above 0; no unit.
    scale : array_like
        Usage by which 1 - 1/e have failed, above 0.
    """
    return np.asarray(scale * np.exp(gammaln(1 + 1 / np.asarray(shape, float))))


def life_sd(shape: ArrayLike, scale: ArrayLike) -> FloatArray:
    """Return the standard deviation of the life.

    Parameters
    ----------
    shape : array_like
        Shape of the Weibull law, above 0; no unit.
    scale : array_like
        Usage by which 1 - 1/e have failed, above 0.
    """
    power = 1 / np.asarray(shape, float)
    # through logarithms: the two Gammas overflow long before their ratio matters
    square = np.exp(gammaln(1 + 2 * power) - 2 * gammaln(1 + power))
    return np.asarray(mean_life(shape, scale) * np.sqrt(square - 1))


def log_hazard_at(fraction: float) -> float:
    """Return the logarithm of the cumulative hazard by which a share has failed, ln(-ln(1 - fraction)).

    Parameters
    ----------
    fraction : float
        Share that has failed by then, strictly between 0 and 1.

    Raises
    ------
    DataError
        For any other share: no age belongs to it.
    """
    if not 0 < fraction < 1:
        raise DataError(f"No age belongs to a fraction of {fraction:g}.", "Ask for a fraction between 0 and 1.")
    # without losing the digits of a small share
    return math.log(-math.log1p(-fraction))


def hazard(age: ArrayLike, shape: ArrayLike, scale: ArrayLike) -> FloatArray:
    """Return failures per unit of age among parts that have reached `age`.

    Parameters
    ----------
    age : array_like
        Usage, in the unit of `scale`.
    shape : array_like
        Shape of the Weibull law, above 0; no unit.
    scale : array_like
        Usage by which 1 - 1/e have failed, above 0.
    """
    power = np.asarray(shape, float)
    return np.asarray(power / scale * (np.asarray(age, float) / scale) ** (power - 1))


def life_used_by(age: ArrayLike, shape: ArrayLike, scale: ArrayLike) -> FloatArray:
    """Return the integral of R from 0 to `age`: the mean life of a part that is taken out at `age` at the latest.

    Parameters
    ----------
    age : array_like
        Usage, in the unit of `scale`.
    shape : array_like
        Shape of the Weibull law, above 0; no unit.
    scale : array_like
        Usage by which 1 - 1/e have failed, above 0.
    """
    power = np.asarray(shape, float)
    return np.asarray(mean_life(shape, scale) * gammainc(1 / power, cumulative_hazard(age, power, scale)))
