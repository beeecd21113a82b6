"""Results that carry their uncertainty with them: an interval, and an estimate with its interval."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Interval:
    """From `low` to `high`, with the probability `level` that it is meant to hold; `high` may be infinite."""

    low: float
    high: float
    level: float

    def __contains__(self, value: object) -> bool:
        """Tell whether a number lies in the interval, its ends included."""
        return isinstance(value, int | float) and self.low <= value <= self.high


@dataclass(frozen=True, slots=True)
class Estimate:
    """A posterior answer: median and equal-tailed interval; the mean where it exists and is asked for."""

    median: float
    low: float
    high: float
    level: float
    mean: float | None = None

    @property
    def interval(self) -> Interval:
        """The same ends as an `Interval`."""
        return Interval(self.low, self.high, self.level)
