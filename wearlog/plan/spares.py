"""Which spares to carry: how many of one article, and the chance of running out. The whole truck is chosen from ways.py."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil, sqrt

import numpy as np
from numpy.typing import ArrayLike, NDArray

from wearlog.errors import DataError
from wearlog.plan.demand import Demand
from wearlog.plan.newsvendor import expected_cost


@dataclass(frozen=True, slots=True)
class SparePart:
    """What carrying one article means.

    Attributes
    ----------
    price_minor : int
        Of one unit.
    on_hand : int
        Units on the shelf and the truck.
    pack_size : int
        Units in a pack; only whole packs are bought.
    overage_minor : float
        Cost of one unit left over at the end of the season.
    shortage_minor, lead_hours : float
        Cost of running out once, and the field hours it loses: who runs out waits for a whole pack.
    set_size : int or None
        Pieces that are fitted, where only a guess says how long they last: `most_wanted` holds the stock to them.
    """

    price_minor: int
    on_hand: int
    pack_size: int
    overage_minor: float
    shortage_minor: float
    lead_hours: float
    set_size: int | None = None


@dataclass(frozen=True, slots=True)
class SpareAdvice:
    """How many of one article to buy, and what that leaves to chance.

    Attributes
    ----------
    on_hand : int
    expected : float
        Expected demand of the season.
    packs, buy : int
        Packs to buy, and the units in them.
    spend_minor : int
    run_out_chance : float
        Chance of at least one stop for want of it.
    hours_lost : float
        Expected field hours lost for want of it.
    gain_minor : int
        What buying saves on the mean, carrying already taken off.
    """

    on_hand: int
    expected: float
    packs: int
    buy: int
    spend_minor: int
    run_out_chance: float
    hours_lost: float
    gain_minor: int


def most_wanted(part: SparePart, demand: Demand) -> int | None:
    """Return the stock beyond which nothing is bought while only a guess speaks; None where records do.

    A wide guess holds lives so short that every piece breaks several times in a season, and a wait that is dear would buy for
    those. Long before they are used up the first have failed, the records speak, and more can be ordered. Hence one whole set, or
    what the guess expects and chance adds to it (two standard deviations of a Poisson count) where that is more.

    Parameters
    ----------
    part : SparePart
    demand : Demand
        Chance of each number of pieces that the season asks for.
    """
    if part.set_size is None:
        return None
    return max(part.set_size, ceil(demand.mean + 2.0 * sqrt(demand.mean)))


def advise(part: SparePart, demand: Demand, *, packs: int | None = None) -> SpareAdvice:
    """Say how many to buy of one article, or what a given number of packs means.

    Parameters
    ----------
    part : SparePart
    demand : Demand
    packs : int, optional
        By default the number that costs least.
    """
    by_packs = costs_by_packs(part, demand)
    bought = int(np.argmin(by_packs)) if packs is None else packs
    if bought < 0:
        raise DataError("A negative number of packs cannot be bought.", "Give 0 or more.")
    # what is on hand is paid for, so the gain is against buying nothing, not against carrying nothing
    have = part.on_hand + bought * part.pack_size
    costs = season_cost(part, demand, np.array([part.on_hand, have]))
    return SpareAdvice(
        part.on_hand,
        demand.mean,
        bought,
        bought * part.pack_size,
        bought * part.pack_size * part.price_minor,
        1.0 - float(demand.at_most(have)),
        float(demand.waits(have, part.pack_size)) * part.lead_hours,
        round(float(costs[0] - costs[1])),
    )


def costs_by_packs(part: SparePart, demand: Demand) -> NDArray[np.float64]:
    """Return the expected cost of the season when 0, 1, 2 ... packs are bought, as far as more could be used; shape (packs + 1,).

    With packs of more than one it need not fall and rise just once: the last piece of a pack may be worth more than the first.

    Parameters
    ----------
    part : SparePart
        The part: price, pack, what is on hand.
    demand : Demand
        Chance of each number of pieces that the season asks for.
    """
    if part.pack_size < 1 or part.on_hand < 0 or part.price_minor < 0:
        raise DataError("A pack holds at least one, and stock and price are not negative.", "Check this part.")
    # beyond the largest demand there is, a further pack can only be carried
    wanted, held = demand.chance.size, most_wanted(part, demand)
    most = max(0, -(-((wanted if held is None else min(wanted, held)) - part.on_hand) // part.pack_size))
    return season_cost(part, demand, part.on_hand + part.pack_size * np.arange(most + 1))


def season_cost(part: SparePart, demand: Demand, stock: ArrayLike) -> NDArray[np.float64]:
    """Return what a stock is expected to cost in the season: carrying what is left, waiting when it runs out.

    Parameters
    ----------
    part : SparePart
        The part: price, pack, what is on hand.
    demand : Demand
        Chance of each number of pieces that the season asks for.
    stock : array_like
        Pieces at the beginning of the season; any shape.
    """
    return expected_cost(demand, stock, overage=part.overage_minor, shortage=part.shortage_minor, pack=part.pack_size)


def stop_free_chance(advice: Sequence[SpareAdvice]) -> float:
    """Return the chance of a season without a stop for want of any of these parts, taking their demands as independent.

    Parameters
    ----------
    advice : sequence of SpareAdvice
        One for each part.
    """
    return float(np.prod([1.0 - line.run_out_chance for line in advice]))
