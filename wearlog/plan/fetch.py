"""Getting a part: what fetching it costs, whom to ring first, and what that costs on the mean."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final, TypeAlias

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.special import betaincinv

from wearlog.errors import DataError
from wearlog.plan.decide import USUAL_LEVEL

Floats: TypeAlias = NDArray[np.float64]

#: the chances at which a belief is read: so many equally believed values
BELIEVED_AT: Final = (np.arange(20) + 0.5) / 20


@dataclass(frozen=True, slots=True)
class Trip:
    """A drive to a supplier and back; costs in minor units.

    Attributes
    ----------
    distance : float
        By road, one way.
    speed : float
        Distance an hour, above 0.
    counter_hours : float
        Spent there.
    """

    distance: float
    speed: float
    counter_hours: float

    def __post_init__(self) -> None:
        if self.speed <= 0 or min(self.distance, self.counter_hours) < 0:
            raise DataError("A drive needs a speed above 0 and no distance below 0.", "Check the supplier's distance.")

    @property
    def one_way(self) -> float:
        """Hours there."""
        return self.distance / self.speed

    @property
    def hours(self) -> float:
        """Hours there, at the counter and back."""
        return 2 * self.one_way + self.counter_hours


def trip_minor(
    trip: Trip,
    *,
    standing_minor: float,
    labour_minor: float,
    road_minor: float,
    over_price_minor: float = 0.0,
    driver_hours: float | None = None,
) -> float:
    """Return what fetching a part costs, in minor units.

    Parameters
    ----------
    trip : Trip
    standing_minor : float
        What standing until it is here costs.
    labour_minor : float
        An hour of the driver; 0 where he would stand idle anyway.
    road_minor : float
        A unit of distance driven.
    over_price_minor : float
        Its price there over the usual one; below 0 where it is cheaper.
    driver_hours : float, optional
        Where they are not those of the trip.
    """
    hours = trip.hours if driver_hours is None else driver_hours
    return standing_minor + hours * labour_minor + 2 * trip.distance * road_minor + over_price_minor


@dataclass(frozen=True, slots=True)
class Ringing:
    """In which order suppliers are rung, and what getting the part costs on the mean.

    Attributes
    ----------
    order : tuple of int
        Places of those that are worth a call, the first first; it ends at the first that has it.
    worth : tuple of float
        The cost up to which each is worth a call, in minor units, in the order of the places.
    expected : float
        In minor units, calls and the sure way where none has it counted in.
    none_has_it : float
        The chance of that.
    """

    order: tuple[int, ...]
    worth: tuple[float, ...]
    expected: float
    none_has_it: float


def has_it(had: int, had_not: int, own_had: int = 0, own_had_not: int = 0) -> float:
    """Return the chance that a supplier has a part, by what it had when asked; its answers about this part count double.

    Parameters
    ----------
    had, had_not : int
        Answers about all parts.
    own_had, own_had_not : int
        Those of them that were about this one.
    """
    yes, no = had + own_had, had_not + own_had_not
    return (1 + yes) / (2 + yes + no)


def worth_believed(cost: float, call: float, yes: int, no: int) -> Floats:
    """Return equally believed costs up to which a supplier is worth a call: cost + call / chance.

    Parameters
    ----------
    cost, call : float
        As for `ring_order`.
    yes, no : int
        Answers, those about this part counted double: the chance is believed as Beta(1 + yes, 1 + no).
    """
    return np.asarray(cost + call / betaincinv(1 + yes, 1 + no, BELIEVED_AT))


def are_told_apart(best: ArrayLike, other: ArrayLike, level: float = USUAL_LEVEL) -> bool:
    """Return whether the central part of what the other costs more holds nothing below 0 and not 0 itself.

    Parameters
    ----------
    best, other : array_like, shape (n,) and (m,)
        Equally believed costs, which know nothing of each other.
    level : float
        How large the central part is.
    """
    more = np.subtract.outer(np.asarray(other, dtype=np.float64), np.asarray(best, dtype=np.float64))
    return bool(np.quantile(more, (1 - level) / 2) > 0)


def ring_order(costs: Sequence[float], chances: Sequence[float], call: float, sure: float) -> Ringing:
    """Return whom to ring first: the index rule of search with independent answers.

    Parameters
    ----------
    costs : sequence of float, shape (n,)
        What each costs if it has it, in minor units.
    chances : sequence of float, shape (n,)
        That it has it, in (0, 1].
    call : float
        A call, in minor units.
    sure : float
        The cheapest way that needs no call; infinite where there is none, and then the mean is infinite too.

    Notes
    -----
    A supplier is worth a call while the best there is costs more than z = cost + call/chance; those are rung in the order of z
    (Weitzman, Econometrica 47 (1979) 641, from memory: exact for answers that do not depend on each other).
    """
    if not all(0 < one <= 1 for one in chances) or len(costs) != len(chances) or call < 0:
        raise DataError("A chance lies between 0 and 1.", "Give one for each supplier.")
    worth = tuple(cost + call / chance for cost, chance in zip(costs, chances, strict=True))
    order = tuple(one for one in sorted(range(len(worth)), key=lambda one: worth[one]) if worth[one] < sure)
    expected, none = sure, 1.0
    for one in reversed(order):
        # whoever has it ends the search: what it costs is below the worth of every later call
        expected = call + chances[one] * costs[one] + (1 - chances[one]) * expected
        none *= 1 - chances[one]
    return Ringing(order, worth, expected, none)
