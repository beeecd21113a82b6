"""Keep a machine or trade it against a concrete offer: what each costs a year, and the price of the offer at which it turns."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from wearlog.costs.capital import capital_recovery_factor
from wearlog.errors import DataError

#: a machine that is bought is kept at least so many years: the published curve of values says "sell next year" of any new one
FEWEST_YEARS = 3


@dataclass(frozen=True, slots=True, eq=False)
class YearsAhead:
    """One machine over the years ahead, in minor units at the end of each year.

    Attributes
    ----------
    remaining : (n,) float64
        What it is still worth.
    costs : (..., n) float64
        Repairs, standing and whatever else grows with its age; leading axes are draws of what is not known.
    """

    remaining: NDArray[np.float64]
    costs: NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class TradeWeighed:
    """What both cost a year in minor units, each kept for as long as costs least; arrays over the draws.

    Attributes
    ----------
    keep_yearly, offer_yearly, break_even : (...) float64
        At a price of `break_even` trading costs a year what keeping does; below it pays.
    keep_years, offer_years : (...) int64
        Years kept.
    pays_years : (...) int64
        So many years from now keeping a year more costs less than the offer does a year.
    """

    keep_yearly: NDArray[np.float64]
    offer_yearly: NDArray[np.float64]
    break_even: NDArray[np.float64]
    keep_years: NDArray[np.int64]
    offer_years: NDArray[np.int64]
    pays_years: NDArray[np.int64]


def weigh_trade(
    keep: YearsAhead,
    offer: YearsAhead,
    *,
    allowance: float,
    price: float,
    yearly_rate: float = 0.0,
    fewest_years: int = FEWEST_YEARS,
) -> TradeWeighed:
    """Weigh keeping against an offer.

    Parameters
    ----------
    keep, offer : YearsAhead
        Over the same number of years.
    allowance : float
        What is offered for the old machine: so much is tied up in keeping it. Minor units.
    price : float
        Of the offered machine before the allowance, minor units.
    yearly_rate : float
        Interest a year, 0.06 for 6 per cent.
    fewest_years : int
        Years that the offered machine is kept at least.

    Returns
    -------
    TradeWeighed

    Raises
    ------
    DataError
        The years of the two differ, or are fewer than `fewest_years`.

    Notes
    -----
    Yearly cost when kept n years: [price - RV_n v^n + sum of c_k v^k] x crf(n), v = 1 / (1 + rate). Break-even price: the most
    over n of E / crf(n) + RV_n v^n - sum of c_k v^k, E the least yearly cost of keeping: below it the offer costs less a year.
    """
    count = keep.remaining.size
    if count != offer.remaining.size or not 1 <= fewest_years <= count:
        raise DataError("Keeping and the offer need the same years ahead.", "Look at least three years ahead.")
    years = np.arange(1, count + 1)
    present = (1.0 + yearly_rate) ** -years.astype(np.float64)
    factor = capital_recovery_factor(yearly_rate, years)
    kept = (allowance - keep.remaining * present + np.cumsum(keep.costs * present, axis=-1)) * factor
    spent = np.cumsum(offer.costs * present, axis=-1) - offer.remaining * present
    offered = (price + spent) * factor
    # held to the same years as its break-even price: else a price below what the curve says it is worth next year pays on paper
    least = fewest_years - 1
    keep_yearly, offer_yearly = kept.min(axis=-1), offered[..., least:].min(axis=-1)
    turning = (keep_yearly[..., None] / factor - spent)[..., least:].max(axis=-1)
    dearer = one_more_year(keep, allowance, yearly_rate) > offer_yearly[..., None]
    return TradeWeighed(
        keep_yearly=keep_yearly,
        offer_yearly=offer_yearly,
        break_even=turning,
        keep_years=kept.argmin(axis=-1) + 1,
        offer_years=offered[..., least:].argmin(axis=-1) + fewest_years,
        pays_years=np.where(dearer.any(axis=-1), dearer.argmax(axis=-1), count),
    )


def one_more_year(machine: YearsAhead, tied_up: float, yearly_rate: float) -> NDArray[np.float64]:
    """Return what each year more costs, in minor units: V (1 + i) - V' + c, V the value at its begin, V' at its end, c paid in it.

    Parameters
    ----------
    machine : YearsAhead
    tied_up : float
        Value at the begin of the first year, minor units.
    yearly_rate : float
        Interest a year.

    Returns
    -------
    (..., n) float64
    """
    before = np.append(tied_up, machine.remaining[:-1])
    return np.asarray(before * (1 + yearly_rate) - machine.remaining + machine.costs)
