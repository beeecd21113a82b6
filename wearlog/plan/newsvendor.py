"""The stock that costs least for a demand that is not known: too few costs a shortage, too many costs carrying. One article."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from wearlog.errors import DataError
from wearlog.plan.demand import Demand


@dataclass(frozen=True, slots=True)
class Stock:
    """A stock and its expected cost, in the unit of the two prices."""

    level: float
    expected_cost: float


def expected_cost(
    demand: Demand, stock: ArrayLike, *, overage: float, shortage: float, pack: int = 1
) -> NDArray[np.float64]:
    """Return overage x E[left over] + shortage x E[waits] for each stock.

    Parameters
    ----------
    demand : Demand
    stock : array_like of int, any shape
    overage : float
        Cost of one unit left over.
    shortage : float
        Cost of running out once: of waiting for a pack, or of one unit short where packs hold one.
    pack : int
        Units that each wait brings; what is left of them is left over too.
    """
    have = np.asarray(stock, dtype=np.int64)
    waits = demand.waits(have, pack)
    return np.asarray(overage * (have + pack * waits - demand.mean) + shortage * waits)


def best_stock(demand: Demand, *, overage: float, shortage: float) -> Stock:
    """Return the stock that costs least: the smallest that is enough with chance shortage / (shortage + overage).

    Parameters
    ----------
    demand : Demand
        Chance of each number of pieces that the season asks for.
    overage : float
        Cost of one piece left over, minor units.
    shortage : float
        Cost of one piece too few, minor units.

    References
    ----------
    Snyder and Shen, Fundamentals of Supply Chain Theory, section 4.3.
    """
    ratio = _critical_ratio(overage, shortage)
    level = demand.protection(ratio)
    return Stock(level, float(expected_cost(demand, level, overage=overage, shortage=shortage)))


def carrying_cost(price_minor: float, yearly_rate: float) -> float:
    """Return what one unit left over costs until next season: it serves then, so only the carrying is lost.

    Parameters
    ----------
    price_minor : float
        Price of one piece, minor units.
    yearly_rate : float
        Carrying cost of a year as a share of the price.
    """
    return price_minor * yearly_rate


def shortage_cost(lead_hours: float, hour_minor: float, emergency_minor: float | None = None) -> float:
    """Return what one unit short costs: the hours lost until it comes, or the extra for getting it at once if that is less.

    Parameters
    ----------
    lead_hours : float
        Field hours lost while waiting.
    hour_minor : float
        What an hour of downtime is worth.
    emergency_minor : float, optional
        Extra cost of fetching it at once, with the hours that still takes; None when there is no such way.
    """
    waiting = lead_hours * hour_minor
    return waiting if emergency_minor is None else min(waiting, emergency_minor)


def _critical_ratio(overage: float, shortage: float) -> float:
    if not (overage >= 0 and shortage >= 0 and overage + shortage > 0):
        raise DataError(
            "A stock needs costs of too many and of too few.", "Set a carrying rate and a value of an hour."
        )
    return shortage / (overage + shortage)
