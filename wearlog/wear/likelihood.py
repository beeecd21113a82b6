"""The Weibull log-likelihood of lives with its slopes, and its maximum by Newton's method; the quick way is in weibull."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from wearlog.errors import DataError
from wearlog.wear.arrays import FloatArray
from wearlog.wear.lives import Lives

_STEPS = 200
_LARGEST = 700.0  # exp(700) is about the largest float


@dataclass(frozen=True, slots=True, eq=False)
class Slopes:
    """Log-likelihood at one (ln shape, ln scale), its gradient (2,) and its Hessian (2, 2)."""

    value: float
    gradient: FloatArray
    hessian: FloatArray


def log_likelihood(lives: Lives, shape: float, scale: float) -> float:
    """Return the log-likelihood of a Weibull law.

    Parameters
    ----------
    lives : Lives
        Exact, right-censored, left-truncated and interval-censored lives, in any mixture.
    shape, scale : float
        Parameters of the law; both above 0.

    Notes
    -----
    Exact failures contribute the density, censored lives the survival, failures between inspections the chance of
    that interval; each divided by the survival to the age of entry.
    """
    return slopes(lives, math.log(shape), math.log(scale)).value


def slopes(lives: Lives, log_shape: float, log_scale: float) -> Slopes:
    """Return log-likelihood, gradient and Hessian at (ln shape, ln scale).

    Parameters
    ----------
    lives : Lives
        The lives, in the unit of usage of their meter.
    log_shape : float
        ln of the shape.
    log_scale : float
        ln of the scale, in the unit of the lives.
    """
    between = lives.between_inspections
    exact = lives.event & ~between
    # a failure between inspections is a life whole at the first of them that then fails within the gap
    seen = lives.exit if lives.last_seen is None else np.where(between, lives.last_seen, lives.exit)
    parts = _hazard_part(seen, -lives.weight, log_shape, log_scale)
    parts += _hazard_part(lives.entry, lives.weight, log_shape, log_scale)
    parts += _density_part(lives.exit[exact], lives.weight[exact], log_shape, log_scale)
    if between.any():
        rows = lives.take(between)
        assert rows.last_seen is not None
        parts += _interval_part(rows.last_seen, rows.exit, rows.weight, log_shape, log_scale)
    value, a, c, aa, ac, cc = (float(part) for part in parts)
    return Slopes(value, np.array([a, c]), np.array([[aa, ac], [ac, cc]]))


def newton_maximum(lives: Lives, shape: float, scale: float) -> tuple[float, float, Slopes]:
    """Return ln shape and ln scale at the greatest likelihood, with the slopes there.

    Parameters
    ----------
    lives : Lives
        At least one failure.
    shape, scale : float
        Where to start.

    Raises
    ------
    DataError
        If the likelihood has no peak (the lives do not hold the law down).
    """
    point = np.array([math.log(shape), math.log(scale)])
    here = slopes(lives, *point)
    for _ in range(_STEPS):
        step = _uphill_step(here)
        # never more than a factor e at once: far from the peak the second derivatives promise too much
        length = min(1.0, 1.0 / float(np.abs(step).max() + 1e-300))
        there = slopes(lives, *(point + length * step))
        while not there.value >= here.value - 1e-12 * abs(here.value) and length > 1e-10:
            length /= 2
            there = slopes(lives, *(point + length * step))
        point, here = point + length * step, there
        if np.abs(length * step).max() < 1e-9 and np.linalg.eigvalsh(-here.hessian)[0] > 0:
            return float(point[0]), float(point[1]), here
        if np.abs(point[0]) > 12:
            break
    raise DataError(
        "These lives do not hold a Weibull law down: its likelihood has no peak.",
        "Give a starting guess of the life and use the answer that rests on both.",
    )


def greatest_along(along: Callable[[float], tuple[float, float, float]], start: float, *, unit: float) -> float:
    """Return the greatest value of a function of one number.

    Parameters
    ----------
    along : callable
        Gives value, slope and curvature at a point.
    start : float
        Where to start.
    unit : float
        The longest step; also the measure of precision.
    """
    x = start
    value, slope, curvature = along(x)
    for _ in range(_STEPS):
        step = max(-unit, min(unit, slope / max(abs(curvature), 1e-10)))
        if abs(step) < 1e-10 * unit:
            break
        following = along(x + step)
        while following[0] < value - 1e-12 * abs(value) and abs(step) > 1e-12 * unit:
            step /= 2
            following = along(x + step)
        x, (value, slope, curvature) = x + step, following
    return value


def greatest_over_scale(lives: Lives, log_shape: float, log_scale: float) -> float:
    """Return the profile log-likelihood of a shape: the greatest over all scales, sought from `log_scale` on.

    Parameters
    ----------
    lives : Lives
        The lives, in the unit of usage of their meter.
    log_shape : float
        ln of the shape.
    log_scale : float
        ln of the scale, in the unit of the lives.
    """

    def along(position: float) -> tuple[float, float, float]:
        here = slopes(lives, log_shape, position)
        return here.value, float(here.gradient[1]), float(here.hessian[1, 1])

    return greatest_along(along, log_scale, unit=math.exp(-log_shape))


def _uphill_step(here: Slopes) -> FloatArray:
    """Return Newton's step, with the curvature bent downward where the likelihood is not concave."""
    values, vectors = np.linalg.eigh(-here.hessian)
    bent = np.maximum(np.abs(values), 1e-8 * max(1.0, float(np.abs(values).max())))
    return np.asarray(vectors @ ((vectors.T @ here.gradient) / bent))


def _cumulative_hazard(age: FloatArray, log_shape: float, log_scale: float) -> tuple[FloatArray, FloatArray]:
    """Return z = shape x ln(age / scale) and H = exp(z); age 0 gives H = 0 with a harmless z."""
    shape = math.exp(log_shape)
    started = age > 0
    z = shape * (np.log(np.where(started, age, 1.0)) - log_scale)
    z = np.where(started, np.minimum(z, _LARGEST), 0.0)
    return z, np.where(started, np.exp(z), 0.0)


def _hazard_slopes(age: FloatArray, log_shape: float, log_scale: float) -> FloatArray:
    """Return rows H, dH/da, dH/dc, d2H/da2, d2H/dadc, d2H/dc2 for a = ln shape and c = ln scale."""
    shape = math.exp(log_shape)
    z, H = _cumulative_hazard(age, log_shape, log_scale)
    return np.stack([H, H * z, -shape * H, H * z * (z + 1), -shape * H * (z + 1), shape * shape * H])


def _hazard_part(age: FloatArray, weight: FloatArray, log_shape: float, log_scale: float) -> FloatArray:
    """Return the sums of weight x H and of its derivatives."""
    return np.asarray(_hazard_slopes(age, log_shape, log_scale) @ weight)


def _density_part(age: FloatArray, weight: FloatArray, log_shape: float, log_scale: float) -> FloatArray:
    """Return the sums of weight x ln(hazard rate) at exact failures and of its derivatives."""
    shape = math.exp(log_shape)
    z = shape * (np.log(age) - log_scale)
    total, sum_z = float(weight.sum()), float(weight @ z)
    value = total * log_shape + sum_z - float(weight @ np.log(age))
    return np.array([value, total + sum_z, -shape * total, sum_z, -shape * total, 0.0])


def _interval_part(
    low: FloatArray, high: FloatArray, weight: FloatArray, log_shape: float, log_scale: float
) -> FloatArray:
    """Return the sums of weight x ln(1 - exp(-D)), D = H(high) - H(low), and of its derivatives."""
    D, *first_and_second = _hazard_slopes(high, log_shape, log_scale) - _hazard_slopes(low, log_shape, log_scale)
    # a gap too narrow or too wide for floats keeps its sign, so that the logarithm stays finite
    D = np.clip(D, 1e-300, _LARGEST)
    da, dc, daa, dac, dcc = first_and_second
    once = 1 / np.expm1(D)
    twice = once * (1 + once)
    rows = np.stack(
        [
            np.log(-np.expm1(-D)),
            once * da,
            once * dc,
            once * daa - twice * da * da,
            once * dac - twice * da * dc,
            once * dcc - twice * dc * dc,
        ]
    )
    return np.asarray(np.where(np.isfinite(rows), rows, 0.0) @ weight)
