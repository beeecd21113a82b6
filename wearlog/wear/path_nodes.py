"""The ways in which wear may run that `wear_path` averages over: shapes, how readings wander about them, and prior weights."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum
from functools import lru_cache
from typing import Final

import numpy as np

from wearlog.wear.arrays import BoolArray, FloatArray, fixed

#: prior weights of straight wear, and of wear that grows as a power of usage or exponentially
_STRAIGHT, _POWER, _EXPONENTIAL = 0.4, 0.4, 0.2
_LOG_POWERS: Final = (-1.6, -1.1, -0.7, -0.4, -0.2, 0.25, 0.5, 0.8)
_LOG_POWER_SD: Final = 0.6
_RATES: Final = (0.4, 0.8, 1.3, 1.8)
_RATE_SD: Final = 1.0
#: variance at the last reading of a wander of the level, and of the pace, for each 1 of a reading's own
_LEVEL_WANDERS: Final = (0.0, 1.0, 10.0)
_PACE_WANDERS: Final = (0.0, 3.0, 50.0)
#: past this many times the readings' reach the pace wanders no further: nothing could be learned about it
_STEADY_FROM: Final = 2.0
_LARGEST_EXPONENT: Final = 60.0


class WearCourse(StrEnum):
    """How the pace of wear changes with usage."""

    STRAIGHT = "straight"
    SLOWER = "ever slower"
    FASTER = "ever faster"


COURSES: Final = tuple(WearCourse)


@dataclass(frozen=True, slots=True, eq=False)
class PathNodes:
    """The grid, one entry a node; usage is counted so that the last reading lies at 1, where every shape is 1.

    Attributes
    ----------
    course : array
        Place in `COURSES`.
    power, rate : arrays
        The shape is usage^power, or (exp(rate x usage) - 1) / (exp(rate) - 1) where the rate is not 0.
    level, pace : arrays
        Variance of the two wanders over that of a reading's own scatter.
    weight : array
        Prior weight; they sum to 1.
    """

    course: FloatArray
    power: FloatArray
    rate: FloatArray
    level: FloatArray
    pace: FloatArray
    weight: FloatArray

    def weighed(self, kept: BoolArray, weight: FloatArray) -> PathNodes:
        """Return some of the nodes with weights of their own.

        Parameters
        ----------
        kept : array of bool, shape (nodes,)
            Which nodes stay.
        weight : array, shape (kept,)
            Their weights.
        """
        return PathNodes(
            self.course[kept], self.power[kept], self.rate[kept], self.level[kept], self.pace[kept], weight
        )

    def shape_at(self, x: FloatArray) -> FloatArray:
        """Return the wear at each usage of `x` (m,), by node: shape (nodes, m), 1 where x is 1.

        Parameters
        ----------
        x : array, shape (m,)
            Usage as a share of that of the last reading.
        """
        # 0 stands for new; the logarithm of 0 is a power's own 0
        with np.errstate(divide="ignore"):
            found = np.exp(np.outer(self.power, np.log(x)))
        bent = self.rate > 0
        rate = self.rate[bent, None]
        found[bent] = np.expm1(np.minimum(rate * x, _LARGEST_EXPONENT)) / np.expm1(rate)
        return np.asarray(found)

    def wander(self, first: FloatArray, second: FloatArray) -> FloatArray:
        """Return the covariance of the wanders between shapes (nodes, n) and (nodes, m): (nodes, n, m).

        A random walk of the level and one of the pace (an integrated random walk), both over the shape as time, so that
        they are as large at the last reading whatever the shape; one of each pair of times lies at 1 or before.

        Parameters
        ----------
        first : array, shape (nodes, n)
            Wear by node, as `shape_at` gives it.
        second : array, shape (nodes, m)
            The same at other usages.
        """
        low = np.minimum(first[:, :, None], second[:, None, :])
        high = np.maximum(first[:, :, None], second[:, None, :])
        return np.asarray(
            low * (self.level[:, None, None] + self.pace[:, None, None] * (low * (1.5 * high - 0.5 * low)))
        )

    def wander_variance(self, shape: FloatArray) -> FloatArray:
        """Return the variance of the wanders at shapes (nodes, m).

        Parameters
        ----------
        shape : array, shape (nodes, m)
            Wear by node, as `shape_at` gives it.
        """
        free, on = np.minimum(shape, _STEADY_FROM), np.maximum(shape - _STEADY_FROM, 0.0)
        pace = free**3 + 3 * on * free**2 + 3 * on * on * free
        return np.asarray(self.level[:, None] * shape + self.pace[:, None] * pace)


@lru_cache(maxsize=1)
def path_nodes() -> PathNodes:
    """Return the whole grid."""
    powers, rates = np.array(_LOG_POWERS), np.array(_RATES)
    course = [0, *(2 if one > 0 else 1 for one in powers), *(2 for _ in rates)]
    power = np.r_[1.0, np.exp(powers), np.ones(rates.size)]
    rate = np.r_[np.zeros(1 + powers.size), rates]
    weight = np.r_[
        _STRAIGHT, _POWER * _normal_weights(powers, _LOG_POWER_SD), _EXPONENTIAL * _normal_weights(rates, _RATE_SD)
    ]
    shape, level, pace = (
        column.ravel() for column in np.meshgrid(np.arange(weight.size), _LEVEL_WANDERS, _PACE_WANDERS, indexing="ij")
    )
    found = PathNodes(
        np.array(course, dtype=np.float64)[shape],
        power[shape],
        rate[shape],
        level,
        pace,
        weight[shape] / (len(_LEVEL_WANDERS) * len(_PACE_WANDERS)),
    )
    for name in found.__slots__:
        fixed(getattr(found, name))
    return found


def _normal_weights(points: FloatArray, sd: float) -> FloatArray:
    """Return the weights of a normal law about 0 on uneven points; they sum to 1."""
    weight = np.exp(-0.5 * (points / sd) ** 2) * np.gradient(points)
    return np.asarray(weight / math.fsum(weight.tolist()))
