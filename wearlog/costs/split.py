"""Cost per area split by any key: machine, subsystem, kind, season, crop, field. Every cent of every repair exactly once."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from wearlog.costs.repair_cost import RepairCosts
from wearlog.errors import DataError

#: beyond this many minor units a share worked out in floating point could be more than a cent off
_LARGEST_MINOR = 2**50


@dataclass(frozen=True, slots=True)
class Shares:
    """Which keys a repair's cost belongs to, and in what proportion; one row for each repair and key.

    Attributes
    ----------
    repair : ndarray of int64, shape (rows,)
    key : ndarray of int64, shape (rows,)
        0, 1, ... below the number of keys.
    weight : ndarray of float, shape (rows,)
        Not negative; a repair's weights need not add up to 1. All zero: shared evenly.
    """

    repair: NDArray[np.int64]
    key: NDArray[np.int64]
    weight: NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class CostSplit:
    """Costs by key. The rows and `unassigned` add up to `total` to the cent, column by column.

    Attributes
    ----------
    costs : RepairCosts
        Parts, labour, service and downtime of each key; arrays of shape (keys,).
    unassigned : RepairCosts
        The same for repairs without a key; arrays of shape (1,).
    total : RepairCosts
        The same for all repairs; arrays of shape (1,).
    area : ndarray of float, shape (keys,)
        Area cut under each key, in the unit the caller counts in.
    """

    costs: RepairCosts
    unassigned: RepairCosts
    total: RepairCosts
    area: NDArray[np.float64]

    @property
    def per_area_minor(self) -> tuple[float | None, ...]:
        """Minor units per unit of area by key; None where nothing was cut."""
        pairs = zip(self.costs.total_minor, self.area, strict=True)
        return tuple(float(cost) / float(area) if area > 0 else None for cost, area in pairs)


def whole_shares(key_of_repair: ArrayLike) -> Shares:
    """Return shares where each repair belongs to one key whole; a key of -1 leaves it unassigned.

    Parameters
    ----------
    key_of_repair : array_like
        (repairs,), number of the key, or -1.
    """
    keys = np.asarray(key_of_repair, dtype=np.int64)
    repairs = np.flatnonzero(keys >= 0)
    return Shares(repairs, keys[repairs], np.ones(repairs.size))


def split_costs(costs: RepairCosts, shares: Shares, area: ArrayLike) -> CostSplit:
    """Split the cost of repairs by key.

    Parameters
    ----------
    costs : RepairCosts
    shares : Shares
        A repair without a row goes to `unassigned`.
    area : array_like of float, shape (keys,)
        Area cut under each key.

    Returns
    -------
    CostSplit

    Raises
    ------
    DataError
        When a share names a repair or key that is not there, a weight is negative, or a cost is too large to be shared.

    Notes
    -----
    A cost that belongs to several keys is shared in whole minor units by largest remainder: each key gets its share rounded down,
    and the cents left over go to the largest remainders, the first row before the next where they are equal.

    Examples
    --------
    A repair of 100.00 that two fields share 2 : 1, and one of 50.00 on the second field alone; not a cent is lost:

    >>> none = np.zeros(2, dtype=np.int64)
    >>> costs = RepairCosts(np.array([100_00, 50_00]), none, none, none)
    >>> shares = Shares(repair=np.array([0, 0, 1]), key=np.array([0, 1, 1]), weight=np.array([2.0, 1.0, 1.0]))
    >>> split_costs(costs, shares, [100.0, 50.0]).costs.total_minor.tolist()
    [6667, 8333]
    """
    cut = np.asarray(area, dtype=np.float64)
    repairs = costs.parts_minor.size
    _check(costs, shares, repairs, cut.size)
    order = np.argsort(shares.repair, kind="stable")
    repair, key, weight = shares.repair[order], shares.key[order], shares.weight[order]
    has_key = np.zeros(repairs, dtype=bool)
    has_key[repair] = True
    by_key, without, total = [], [], []
    for column in costs.columns:
        out = np.zeros(cut.size, dtype=np.int64)
        np.add.at(out, key, share_out(column, repair, weight))
        by_key.append(out)
        without.append(column[~has_key].sum(keepdims=True))
        total.append(column.sum(keepdims=True))
    return CostSplit(RepairCosts(*by_key), RepairCosts(*without), RepairCosts(*total), cut)


def share_out(
    cost_minor: NDArray[np.int64], owner: NDArray[np.int64], weight: NDArray[np.float64]
) -> NDArray[np.int64]:
    """Share whole amounts out over rows by largest remainder.

    Parameters
    ----------
    cost_minor : ndarray of int64, shape (owners,)
    owner : ndarray of int64, shape (rows,)
        Ascending: which amount the row shares in.
    weight : ndarray of float, shape (rows,)

    Returns
    -------
    ndarray of int64, shape (rows,)
        The rows of an owner add up to its amount exactly.
    """
    if owner.size == 0:
        return np.zeros(0, dtype=np.int64)
    owners = cost_minor.size
    rows_of = np.bincount(owner, minlength=owners)
    # divided by the largest first, so that no weights are too small or too large to be added up
    largest = np.zeros(owners)
    np.maximum.at(largest, owner, weight)
    even = largest[owner] == 0
    scaled = np.where(even, 1.0, weight / np.where(even, 1.0, largest[owner]))
    fraction = scaled / np.bincount(owner, scaled, minlength=owners)[owner]
    ideal = cost_minor[owner] * fraction
    floor = np.floor(ideal).astype(np.int64)
    handed = np.zeros(owners, dtype=np.int64)
    np.add.at(handed, owner, floor)
    left = np.where(rows_of > 0, cost_minor - handed, 0)
    each, over = np.divmod(left, np.maximum(rows_of, 1))
    by_remainder = np.lexsort((np.arange(owner.size), floor - ideal, owner))
    first_row = np.cumsum(rows_of) - rows_of
    rank = np.empty(owner.size, dtype=np.int64)
    rank[by_remainder] = np.arange(owner.size) - first_row[owner]
    return np.asarray(floor + each[owner] + (rank < over[owner]), dtype=np.int64)


def _check(costs: RepairCosts, shares: Shares, repairs: int, keys: int) -> None:
    if not shares.repair.shape == shares.key.shape == shares.weight.shape:
        raise DataError(
            "The columns of the shares are not of equal length.", "Give repair, key and weight for each row."
        )
    if shares.repair.size:
        known = (
            shares.repair.min() >= 0,
            shares.repair.max() < repairs,
            shares.key.min() >= 0,
            shares.key.max() < keys,
        )
        if not all(known):
            raise DataError("A share names a repair or a key that is not there.", "Leave out repairs without a key.")
        if not np.all((shares.weight >= 0) & (shares.weight < np.inf)):
            raise DataError("A share cannot be negative.", "Check the areas the cost is shared by.")
    if any(column.size and np.abs(column).max() > _LARGEST_MINOR for column in costs.columns):
        raise DataError("A repair cost is too large to be real.", "Check the amounts of these repairs.")
