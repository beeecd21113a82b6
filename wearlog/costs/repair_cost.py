"""The cost of each repair: parts from stock, people's time, hired service, downtime. How it is shared out is in split.py."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from wearlog.costs.stock_cost import StockCosts
from wearlog.errors import DataError

_SECONDS_PER_HOUR = 3600


@dataclass(frozen=True, slots=True)
class RepairCosts:
    """Cost of each repair in whole minor units; int64 arrays of shape (repairs,)."""

    parts_minor: NDArray[np.int64]
    labour_minor: NDArray[np.int64]
    service_minor: NDArray[np.int64]
    downtime_minor: NDArray[np.int64]

    def __post_init__(self) -> None:
        if len({column.shape for column in self.columns}) != 1 or self.parts_minor.ndim != 1:
            raise DataError(
                "The columns of the repair costs are not of equal length.", "Give every cost of every repair."
            )

    @property
    def columns(self) -> tuple[NDArray[np.int64], ...]:
        """Parts, labour, service, downtime: the order used wherever costs are shared out."""
        return (self.parts_minor, self.labour_minor, self.service_minor, self.downtime_minor)

    @property
    def total_minor(self) -> NDArray[np.int64]:
        """Cost of each repair, all four together."""
        return self.parts_minor + self.labour_minor + self.service_minor + self.downtime_minor


@dataclass(frozen=True, slots=True)
class PartsOfRepairs:
    """What stock moves cost, by repair.

    Attributes
    ----------
    parts_minor, unknown_units : ndarray of int64, shape (repairs,)
        Known cost of the parts used, and units whose cost nobody knows.
    elsewhere_minor, elsewhere_unknown : int
        The same for moves that belong to no repair: used without one, or missing when counted.
    """

    parts_minor: NDArray[np.int64]
    unknown_units: NDArray[np.int64]
    elsewhere_minor: int
    elsewhere_unknown: int


def parts_of_repairs(costs: StockCosts, repair: ArrayLike, repairs: int) -> PartsOfRepairs:
    """Add the cost of stock moves up by repair.

    Parameters
    ----------
    costs : StockCosts
    repair : array_like of int, shape (moves,)
        Row of the repair each move belongs to; -1 for none.
    repairs : int
        Number of repairs.
    """
    rows = np.asarray(repair, dtype=np.int64)
    if rows.shape != costs.cost_minor.shape or (rows.size and not (rows.min() >= -1 and rows.max() < repairs)):
        raise DataError("A stock move names a repair that is not there.", "Give -1 for a move without a repair.")
    minor = np.zeros(repairs + 1, dtype=np.int64)
    units = np.zeros(repairs + 1, dtype=np.int64)
    # row -1 lands in the last place, which is kept apart; add.at stays in whole numbers
    np.add.at(minor, rows, costs.cost_minor)
    np.add.at(units, rows, costs.unknown_units)
    return PartsOfRepairs(minor[:-1], units[:-1], int(minor[-1]), int(units[-1]))


def price_of_time(seconds: ArrayLike, minor_per_hour: int) -> NDArray[np.int64]:
    """Return seconds x rate in whole minor units, a half rounded to even; shape of `seconds`.

    Whole-number arithmetic: exact as long as seconds x rate stays below 9e18.

    Parameters
    ----------
    seconds : array_like
        Time, seconds; any shape.
    minor_per_hour : int
        What an hour costs, minor units.
    """
    amount = np.asarray(seconds, dtype=np.int64) * minor_per_hour
    whole, rest = np.divmod(amount, _SECONDS_PER_HOUR)
    half = _SECONDS_PER_HOUR // 2
    up = (rest > half) | ((rest == half) & (whole % 2 == 1))
    return np.asarray(whole + up, dtype=np.int64)


def repair_costs(
    *,
    parts_minor: ArrayLike,
    labour_seconds: ArrayLike,
    labour_minor_per_hour: int,
    hired_minor: ArrayLike,
    downtime_seconds: ArrayLike,
    downtime_minor_per_hour: int,
) -> RepairCosts:
    """Assemble the cost of each repair from its parts, man-time, hired service and downtime; arrays of shape (repairs,).

    Parameters
    ----------
    parts_minor : array_like
        (repairs,), price of the parts, minor units.
    labour_seconds : array_like
        (repairs,), man-time, seconds.
    labour_minor_per_hour : int
        What an hour of man-time costs, minor units.
    hired_minor : array_like
        (repairs,), hired service, minor units.
    downtime_seconds : array_like
        (repairs,), time that the machine stood, seconds.
    downtime_minor_per_hour : int
        What an hour of standing costs, minor units.
    """
    return RepairCosts(
        np.asarray(parts_minor, dtype=np.int64),
        price_of_time(labour_seconds, labour_minor_per_hour),
        np.asarray(hired_minor, dtype=np.int64),
        price_of_time(downtime_seconds, downtime_minor_per_hour),
    )
