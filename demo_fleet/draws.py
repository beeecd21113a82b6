"""Chance for the demo fleet: every draw is made from the plain uniform stream of one seeded generator. No story is told here."""

from __future__ import annotations

import math
from collections.abc import Sequence
from statistics import NormalDist
from typing import Final, TypeVar

import numpy as np
import numpy.typing as npt

_Thing = TypeVar("_Thing")
_STANDARD_NORMAL: Final = NormalDist()
_BLOCK: Final = 4096


class Draws:
    """Draws by inversion of uniform numbers, so that a newer numpy cannot change the farm by changing its distributions."""

    def __init__(self, seed: int) -> None:
        self._generator = np.random.Generator(np.random.PCG64(seed))
        self._block: list[float] = []

    def uniform(self, low: float = 0.0, high: float = 1.0) -> float:
        """Return a number in (low, high)."""
        if not self._block:
            # reversed only because a list gives up its last item cheaply
            self._block = self._generator.random(_BLOCK).tolist()[::-1]
        return low + (high - low) * max(self._block.pop(), 1e-12)

    def chance(self, share: float) -> bool:
        """Return True in `share` of all cases."""
        return self.uniform() < share

    def whole(self, low: int, high: int) -> int:
        """Return a whole number from low to high, both included."""
        return min(high, low + int(self.uniform() * (high - low + 1)))

    def pick(self, things: Sequence[_Thing], weights: Sequence[float] | None = None) -> _Thing:
        """Return one of the things, each by its weight."""
        if weights is None:
            return things[self.whole(0, len(things) - 1)]
        left = self.uniform() * sum(weights)
        for thing, weight in zip(things, weights, strict=True):
            left -= weight
            if left < 0:
                return thing
        return things[-1]

    def exponential(self, mean: float) -> float:
        """Return a waiting time without memory."""
        return -mean * math.log(self.uniform())

    def normal(self, mean: float, deviation: float) -> float:
        """Return a normal number."""
        return mean + deviation * _STANDARD_NORMAL.inv_cdf(self.uniform())

    def around(self, middle: float, spread: float) -> float:
        """Return a positive number whose logarithm is normal about ln(middle)."""
        return middle * math.exp(self.normal(0.0, spread))

    def life(self, shape: float, scale: float, age: float = 0.0) -> float:
        """Return the age at which a part of this age fails, by a Weibull life of known shape and scale."""
        return float(scale * ((age / scale) ** shape - math.log(self.uniform())) ** (1.0 / shape))

    def lives(self, shape: float, scale: float, ages: npt.NDArray[np.float64]) -> npt.NDArray[np.float64]:
        """Return `life` for each of many ages."""
        return np.array([self.life(shape, scale, age) for age in ages.tolist()])
