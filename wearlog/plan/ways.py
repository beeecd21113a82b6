"""The ways to meet one part's season: which sets are replaced before it, times how many packs are bought. It does not choose."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from wearlog.errors import DataError
from wearlog.plan.demand import Demand
from wearlog.plan.spares import SparePart, costs_by_packs


@dataclass(frozen=True, slots=True, eq=False)
class Replacing:
    """Sets that could be replaced together before the season, all taking the same part.

    Attributes
    ----------
    pieces : int
        What they take of the part.
    gain_minor : int
        What replacing them saves by itself, the waiting for parts left aside.
    shop_seconds : int
    demand : Demand
        What the season takes of the part once they are replaced.
    """

    pieces: int
    gain_minor: int
    shop_seconds: int
    demand: Demand


@dataclass(frozen=True, slots=True, eq=False)
class Ways:
    """Ways that none of the others beats in saving, money and shop time at once; arrays of shape (ways,).

    Attributes
    ----------
    replacing : ndarray of int64
        Place in the list of what could be replaced.
    packs : ndarray of int64
        Packs bought, for replacements and for the truck together.
    gain_minor, spend_minor, shop_seconds : ndarray of int64
        Each against the first way.
    """

    replacing: NDArray[np.int64]
    packs: NDArray[np.int64]
    gain_minor: NDArray[np.int64]
    spend_minor: NDArray[np.int64]
    shop_seconds: NDArray[np.int64]


def packs_to_replace(pieces: int, on_hand: int, pack_size: int) -> int:
    """Return the packs to buy so that `pieces` can be fitted, what is on hand being used first.

    Parameters
    ----------
    pieces : int
        Pieces to fit.
    on_hand : int
        Pieces on the shelf.
    pack_size : int
        Pieces in a pack, at least 1.
    """
    return -(-max(pieces - on_hand, 0) // pack_size)


def ways_of(part: SparePart, replacings: Sequence[Replacing]) -> Ways:
    """Return the ways of one part; the first is the first set of the list with no pack more than it takes.

    Parameters
    ----------
    part : SparePart
        As it lies on the shelf before anything is replaced.
    replacings : sequence of Replacing
        Usually the first is nothing at all.

    Raises
    ------
    DataError
        When the list is empty.

    Notes
    -----
    What is replaced takes pieces off the shelf and lowers what the season asks for, so that both are weighed in one sum: the saving
    of the sets, less carrying and waiting at the stock that is left. For each set packs are looked at up to the number that costs
    least.
    """
    if not replacings:
        raise DataError("There is no way to weigh.", "Give at least the way of replacing nothing.")
    owner, packs, gain = [], [], []
    for place, one in enumerate(replacings):
        least = packs_to_replace(one.pieces, part.on_hand, part.pack_size)
        stock = part.on_hand + least * part.pack_size - one.pieces
        cost = costs_by_packs(replace(part, on_hand=stock), one.demand)
        # further packs only cost more
        saved = one.gain_minor - cost[: int(np.argmin(cost)) + 1]
        owner.append(np.full(saved.size, place, dtype=np.int64))
        packs.append(least + np.arange(saved.size, dtype=np.int64))
        gain.append(saved)
    places, bought, gains = np.concatenate(owner), np.concatenate(packs), np.concatenate(gain)
    hours = np.array([one.shop_seconds for one in replacings], dtype=np.int64)[places]
    minor = np.rint(gains - gains[0]).astype(np.int64)
    spend = (bought - bought[0]) * part.pack_size * part.price_minor
    kept = _unbeaten(minor, spend, hours)
    return Ways(places[kept], bought[kept], minor[kept], spend[kept], hours[kept] - hours[0])


def _unbeaten(gain: NDArray[np.int64], spend: NDArray[np.int64], hours: NDArray[np.int64]) -> NDArray[np.bool_]:
    """Ways that no other beats; of equals the first. The first way of all stays, since the others are told against it."""
    at = np.arange(gain.size)
    # the row beats or equals the column
    no_worse = (gain[:, None] >= gain) & (spend[:, None] <= spend) & (hours[:, None] <= hours)
    better = (gain[:, None] > gain) | (spend[:, None] < spend) | (hours[:, None] < hours) | (at[:, None] < at)
    kept = ~np.any(no_worse & better, axis=0)
    kept[0] = True
    return np.asarray(kept)
