"""Economic life: the age at which the mean yearly cost of a machine is least. It does not say what to buy instead."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from wearlog.costs.capital import capital_recovery_factor
from wearlog.costs.published_curves import RepairCurve
from wearlog.costs.remaining_value import ValueCurve, remaining_share
from wearlog.costs.repair_curve import repair_share
from wearlog.errors import DataError

#: ages whose mean yearly cost lies this close to the least are as good: the curve is flat about its low point
AS_GOOD_WITHIN = 0.01


@dataclass(frozen=True, slots=True)
class EconomicLife:
    """Mean yearly cost by years kept, and where it is least.

    Attributes
    ----------
    years_kept : tuple of int
        1, 2, ... years from now.
    yearly_cost_minor : tuple of int
        Mean yearly cost when kept that long.
    best_years : int
        Years with the least mean yearly cost.
    as_good_from, as_good_to : int
        The years about it whose cost lies within 1 per cent of the least.
    """

    years_kept: tuple[int, ...]
    yearly_cost_minor: tuple[int, ...]
    best_years: int
    as_good_from: int
    as_good_to: int

    @property
    def still_falling(self) -> bool:
        """Tell whether the cost still fell at the last year looked at: the low point lies beyond."""
        return self.best_years == self.years_kept[-1]


def economic_life(
    price_minor: int, remaining_minor: ArrayLike, yearly_cost_minor: ArrayLike, *, yearly_rate: float = 0.0
) -> EconomicLife:
    """Find the age at which the mean yearly cost is least.

    Parameters
    ----------
    price_minor : int
        What is tied up today: the price of a machine to buy, today's remaining value of one that is owned.
    remaining_minor : array_like, shape (n,)
        Remaining value at the end of year 1 ... n.
    yearly_cost_minor : array_like, shape (n,)
        Repairs (and whatever else grows with age) of year 1 ... n, paid at its end.
    yearly_rate : float
        Interest a year; 0 gives the plain mean.

    Returns
    -------
    EconomicLife

    Notes
    -----
    Mean yearly cost = [price - RV_n v^n + sum of cost_k v^k] x capital recovery factor, v = 1 / (1 + rate).
    """
    remaining = np.asarray(remaining_minor, dtype=np.float64)
    costs = np.asarray(yearly_cost_minor, dtype=np.float64)
    if remaining.ndim != 1 or remaining.size == 0 or remaining.shape != costs.shape:
        raise DataError("Economic life needs a remaining value and a cost for each year.", "Give at least one year.")
    years = np.arange(1, remaining.size + 1)
    present = (1.0 + yearly_rate) ** -years.astype(np.float64)
    spent = price_minor - remaining * present + np.cumsum(costs * present)
    yearly = np.rint(spent * capital_recovery_factor(yearly_rate, years)).astype(np.int64)
    best = int(np.argmin(yearly))
    near = yearly <= yearly[best] + AS_GOOD_WITHIN * abs(int(yearly[best]))
    # the run of years about the best one, not every year that happens to be as cheap
    far_from = np.flatnonzero(~near[:best])
    far_to = np.flatnonzero(~near[best:])
    first = int(far_from[-1]) + 1 if far_from.size else 0
    last = best + int(far_to[0]) - 1 if far_to.size else years.size - 1
    return EconomicLife(
        tuple(int(year) for year in years),
        tuple(int(cost) for cost in yearly),
        int(years[best]),
        int(years[first]),
        int(years[last]),
    )


def economic_life_by_curves(
    value_curve: ValueCurve,
    curve: RepairCurve,
    *,
    list_price_minor: int,
    hours_per_year: float,
    price_minor: int | None = None,
    age_years: float = 0.0,
    hours_now: float | None = None,
    yearly_rate: float = 0.0,
    horizon_years: int = 25,
) -> EconomicLife:
    """Find the economic life by the published curves of remaining value and repairs.

    Parameters
    ----------
    value_curve, curve : ValueCurve, RepairCurve
    list_price_minor : int
        Today's list price.
    hours_per_year : float
        Hours a year, past and to come.
    price_minor : int, optional
        What it costs today; by default its remaining value at `age_years`.
    age_years, hours_now : float
        Where the machine stands today; hours by default age x hours a year.
    yearly_rate : float
    horizon_years : int
        How many years ahead to look.
    """
    ahead = np.arange(1, horizon_years + 1, dtype=np.float64)
    started = age_years * hours_per_year if hours_now is None else hours_now
    worth = list_price_minor * remaining_share(value_curve, age_years + np.append(0.0, ahead), hours_per_year)
    repairs = list_price_minor * np.diff(repair_share(curve, started + np.append(0.0, ahead) * hours_per_year))
    price = round(float(worth[0])) if price_minor is None else price_minor
    return economic_life(price, worth[1:], repairs, yearly_rate=yearly_rate)
