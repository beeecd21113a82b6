"""Which spares to carry: how many of each, the chance of running out, and the whole truck within a budget."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from wearlog.errors import DataError
from wearlog.plan.budget import Limits, Wishes, choose
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
    overage_minor, shortage_minor : float
        Cost of one unit left over at the end of the season, and of one unit short in it.
    lead_hours : float
        Field hours lost for each unit short.
    """

    price_minor: int
    on_hand: int
    pack_size: int
    overage_minor: float
    shortage_minor: float
    lead_hours: float


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


@dataclass(frozen=True, slots=True)
class PackSteps:
    """One row for every further pack that pays, in the order worth buying: most saved for the money first.

    Attributes
    ----------
    part : ndarray of int64, shape (steps,)
        Place of the part in the list.
    pack : ndarray of int64, shape (steps,)
        1 for its first pack, 2 for its second ...
    gain_minor, spend_minor : ndarray of int64, shape (steps,)
        Expected saving of that pack, and its price.
    """

    part: NDArray[np.int64]
    pack: NDArray[np.int64]
    gain_minor: NDArray[np.int64]
    spend_minor: NDArray[np.int64]


def advise(part: SparePart, demand: Demand, *, packs: int | None = None) -> SpareAdvice:
    """Say how many to buy of one article, or what a given number of packs means.

    Parameters
    ----------
    part : SparePart
    demand : Demand
    packs : int, optional
        By default the number that costs least.
    """
    gains = pack_gains(part, demand)
    bought = gains.size if packs is None else packs
    if bought < 0:
        raise DataError("A negative number of packs cannot be bought.", "Give 0 or more.")
    # what is on hand is paid for, so the gain is against buying nothing, not against carrying nothing
    have = part.on_hand + bought * part.pack_size
    costs = _cost(part, demand, np.array([part.on_hand, have]))
    return SpareAdvice(
        part.on_hand,
        demand.mean,
        bought,
        bought * part.pack_size,
        bought * part.pack_size * part.price_minor,
        1.0 - float(demand.at_most(have)),
        float(demand.short(have)) * part.lead_hours,
        round(float(costs[0] - costs[1])),
    )


def pack_gains(part: SparePart, demand: Demand) -> NDArray[np.float64]:
    """Return the expected saving of the first, second ... pack, down to the last that saves anything; shape (packs,).

    Each pack saves less than the one before, because the expected cost is convex in the stock.
    """
    if part.pack_size < 1 or part.on_hand < 0 or part.price_minor < 0:
        raise DataError("A pack holds at least one, and stock and price are not negative.", "Check this part.")
    # beyond the largest demand there is, a further pack can only be carried
    most = max(0, -(-(demand.chance.size - part.on_hand) // part.pack_size))
    saved = -np.diff(_cost(part, demand, part.on_hand + part.pack_size * np.arange(most + 1)))
    pays = saved > 1e-9
    return saved[: int(np.argmin(pays)) if not pays.all() else saved.size]


def pack_steps(parts: Sequence[SparePart], demands: Sequence[Demand]) -> PackSteps:
    """List every pack that pays over all parts, most saved for the money first (marginal allocation)."""
    gains = [pack_gains(part, demand) for part, demand in zip(parts, demands, strict=True)]
    owner = np.repeat(np.arange(len(gains)), [gain.size for gain in gains])
    pack = np.concatenate([np.arange(1, gain.size + 1) for gain in gains] or [np.zeros(0, dtype=np.int64)])
    gain = np.concatenate([*gains, np.zeros(0)])
    spend = np.array([part.pack_size * part.price_minor for part in parts], dtype=np.int64)[owner]
    order = np.lexsort((pack, owner, -gain / np.maximum(spend, 1)))
    return PackSteps(owner[order], pack[order], np.rint(gain[order]).astype(np.int64), spend[order])


def fill_truck(
    parts: Sequence[SparePart], demands: Sequence[Demand], budget_minor: int | None = None
) -> tuple[SpareAdvice, ...]:
    """Say how many to buy of every article within a budget.

    Parameters
    ----------
    parts, demands : sequences of equal length
    budget_minor : int, optional
        None: buy all that pays.

    Returns
    -------
    tuple of SpareAdvice, one for each part

    Notes
    -----
    Without a budget, or with one that is enough, each part gets its own best number. Else the packs are chosen exactly (0/1), which
    at the marginal steps is the same as buying down the list of `pack_steps`.
    """
    steps = pack_steps(parts, demands)
    bought = np.ones(steps.part.size, dtype=bool)
    if budget_minor is not None and int(steps.spend_minor.sum()) > budget_minor:
        bought = choose(Wishes.of(steps.gain_minor, steps.spend_minor), Limits(budget_minor)).chosen
    packs = np.bincount(steps.part[bought], minlength=len(parts))
    trio = zip(parts, demands, packs, strict=True)
    return tuple(advise(part, demand, packs=int(number)) for part, demand, number in trio)


def stop_free_chance(advice: Sequence[SpareAdvice]) -> float:
    """Return the chance of a season without a stop for want of any of these parts, taking their demands as independent."""
    return float(np.prod([1.0 - line.run_out_chance for line in advice]))


def _cost(part: SparePart, demand: Demand, stock: NDArray[np.int64]) -> NDArray[np.float64]:
    return expected_cost(demand, stock, overage=part.overage_minor, shortage=part.shortage_minor)
