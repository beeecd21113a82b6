"""The part by dusk: what fetching it costs, whom to ring first, and how long an order really takes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import exp, log, sqrt
from typing import Final

import numpy as np
from numpy.typing import ArrayLike
from scipy.stats import t as student

from wearlog.errors import DataError

#: time at the counter (common practice, no source)
COUNTER_HOURS: Final = 0.25
#: days that an order takes where nobody quoted any (a guess)
UNQUOTED_DAYS: Final = 3.0
#: what a quoted time is worth: two deliveries, whose logarithms scatter by .35 (common practice, no source)
_WORTH, _SCATTER = 2.0, 0.35


@dataclass(frozen=True, slots=True)
class Drive:
    """A way to a part and back. Distances one way, in any one unit; money in minor units.

    Attributes
    ----------
    distance, speed : float
        The speed in that unit an hour.
    hour_minor : float
        What an hour of the standing machine is worth.
    driver_minor : float
        An hour of who drives; 0 for one who waits anyway.
    per_distance_minor : float
    extra_price_minor : float
        Price over the usual one; below 0 where it is cheaper.
    opens_in_hours : float
        Hours until the counter opens.
    """

    distance: float
    speed: float
    hour_minor: float
    driver_minor: float
    per_distance_minor: float
    extra_price_minor: float = 0.0
    opens_in_hours: float = 0.0

    @property
    def hours(self) -> float:
        """Hours until it is back: drive or wait for the opening, the counter, drive back."""
        way = self.distance / self.speed
        return max(way, self.opens_in_hours) + COUNTER_HOURS + way

    @property
    def driver_hours(self) -> float:
        """Hours of who drives, who leaves in time for the opening."""
        return 2 * self.distance / self.speed + COUNTER_HOURS

    @property
    def cost_minor(self) -> float:
        """What it costs if it is there."""
        return (
            self.hours * self.hour_minor
            + self.driver_hours * self.driver_minor
            + 2 * self.distance * self.per_distance_minor
            + self.extra_price_minor
        )


@dataclass(frozen=True, slots=True)
class Asked:
    """Somebody who can be rung: what it costs if they have it, and the chance that they do."""

    name: str
    cost_minor: float
    chance: float


@dataclass(frozen=True, slots=True)
class RingOrder:
    """Whom to ring, in order, with the cost up to which each is worth a call, and what it comes to on the mean."""

    order: tuple[Asked, ...]
    worth_a_call_minor: tuple[float, ...]
    expected_minor: float


def ring_order(suppliers: Sequence[Asked], *, call_minor: float, sure_minor: float) -> RingOrder:
    """Return whom to ring in which order before the sure way is taken.

    Parameters
    ----------
    suppliers : sequence of Asked
        Chances above 0 and at most 1.
    call_minor : float
        What a call costs.
    sure_minor : float
        The way that is there in any case.

    Notes
    -----
    In the order of z = K + c / q, until the sure way costs no more than the next z. Whoever has it ends the search, since K is
    below every later z. Exact for independent answers of yes and no.

    References
    ----------
    M. L. Weitzman, Econometrica 47 (1979) 641 (from memory).
    """
    if call_minor < 0 or any(not 0 < one.chance <= 1 for one in suppliers):
        raise DataError("Whoever is rung has it with a chance above 0.", "Leave out who never has it.")
    worth = sorted((one.cost_minor + call_minor / one.chance, place) for place, one in enumerate(suppliers))
    rung = [(limit, suppliers[place]) for limit, place in worth if limit < sure_minor]
    expected = sure_minor
    for _, one in reversed(rung):
        expected = call_minor + one.chance * one.cost_minor + (1 - one.chance) * expected
    return RingOrder(tuple(one for _, one in rung), tuple(limit for limit, _ in rung), expected)


def chance_to_have(had: int, had_not: int) -> float:
    """Return the chance that a supplier has a part, by its answers so far: the mean of Beta(1 + had, 1 + had not).

    Parameters
    ----------
    had, had_not : int
        Answers of yes and of no.
    """
    return (1 + had) / (2 + had + had_not)


@dataclass(frozen=True, slots=True)
class LeadTime:
    """What is believed of the days that the next order takes: their logarithm is Student's t."""

    degrees: float
    middle: float
    scale: float

    def days(self, chance: float) -> float:
        """Return the days that are not exceeded with this chance.

        Parameters
        ----------
        chance : float
            Between 0 and 1.
        """
        return exp(self.middle + self.scale * float(student.ppf(chance, self.degrees)))

    def later_than(self, days: float) -> float:
        """Return the chance that it takes longer.

        Parameters
        ----------
        days : float
            Above 0.
        """
        return float(student.sf((log(days) - self.middle) / self.scale, self.degrees))


def lead_time(taken_days: ArrayLike, quoted_days: float | None = None) -> LeadTime:
    """Return how long the next order takes, by what the last ones took and what is quoted.

    Parameters
    ----------
    taken_days : array_like, shape (n,)
        Days from order to receipt, above 0.
    quoted_days : float, optional
        What the supplier says.

    Notes
    -----
    ln(days) is normal with unknown mean and variance (normal-gamma: k 2, a 2, b 2 x .35^2, mean ln quoted); the next one is
    Student's t with 2a degrees of freedom about m, scale sqrt(b (k + 1) / (a k)).
    """
    taken = np.asarray(taken_days, dtype=np.float64).ravel()
    quoted = UNQUOTED_DAYS if quoted_days is None else quoted_days
    if quoted <= 0 or not (taken > 0).all():
        raise DataError("An order takes more than 0 days.", "Check the day of the order and of the receipt.")
    logs, guess = np.log(taken), log(quoted)
    count = logs.size
    mean = float(logs.mean()) if count else guess
    worth = _WORTH + count
    middle = (_WORTH * guess + count * mean) / worth
    a = 2.0 + count / 2
    b = 2 * _SCATTER**2 + ((logs - mean) ** 2).sum() / 2 + _WORTH * count * (mean - guess) ** 2 / (2 * worth)
    return LeadTime(2 * a, middle, sqrt(float(b) * (worth + 1) / (a * worth)))
