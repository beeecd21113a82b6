"""What the planned area means for every machine: area by ground and crop, and usage on every meter. Predicts no breakage."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from wearlog.errors import DataError

#: a planned area that names no machine is shared over all of them
SHARED: Final = -1


@dataclass(frozen=True, slots=True)
class PlannedWork:
    """Areas to cut, one row each (a field, or a stretch of ground); sequences of shape (rows,).

    Attributes
    ----------
    area : sequence of float
        In any one unit of area.
    combine, header : sequence of int
        Which machine cuts it, or `SHARED`.
    """

    area: Sequence[float]
    combine: Sequence[int]
    header: Sequence[int]


@dataclass(frozen=True, slots=True)
class FleetRates:
    """What is known of the machines from their own records.

    Attributes
    ----------
    capacity : ndarray of float, shape (combines,)
        Area per hour, or any figure in proportion to it: shared area goes by it.
    separator_hours, engine_hours : ndarray of float, shape (combines,)
        The machine's own hours per unit of area.
    hitched : ndarray of float, shape (combines, headers)
        Share of each combine's work done with each header (past area with it, say); rows need not add up to 1.
    """

    capacity: NDArray[np.float64]
    separator_hours: NDArray[np.float64]
    engine_hours: NDArray[np.float64]
    hitched: NDArray[np.float64]

    @classmethod
    def of(
        cls, capacity: ArrayLike, separator_hours: ArrayLike, engine_hours: ArrayLike, hitched: ArrayLike
    ) -> FleetRates:
        """Take rates from sequences.

        Parameters
        ----------
        capacity : array_like, shape (combines,)
            Area per hour, or any figure in proportion to it.
        separator_hours : array_like, shape (combines,)
            Separator hours per unit of area.
        engine_hours : array_like, shape (combines,)
            Engine hours per unit of area.
        hitched : array_like, shape (combines, headers)
            Share of each combine's work done with each header.

        Raises
        ------
        DataError
            When they differ in length, or one is negative or missing.
        """
        capacities, separator, engine = (
            np.asarray(column, dtype=np.float64) for column in (capacity, separator_hours, engine_hours)
        )
        pairs = np.asarray(hitched, dtype=np.float64)
        count = capacities.size
        if (
            capacities.ndim != 1
            or {separator.shape, engine.shape} != {(count,)}
            or pairs.ndim != 2
            or len(pairs) != count
        ):
            raise DataError("The rates of the machines are not of equal length.", "Give every rate of every combine.")
        for column in (capacities, separator, engine, pairs):
            if not np.all((column >= 0) & np.isfinite(column)):
                raise DataError("A rate of a machine is negative or missing.", "Check its hours and its area.")
        return cls(capacities, separator, engine, pairs)


@dataclass(frozen=True, slots=True)
class Exposure:
    """Planned work shared out.

    Attributes
    ----------
    area : ndarray of float, shape (rows, combines, headers + 1)
        Area of each row by combine and header; the last place is without a known header. A row adds up to its planned area.
    separator_rate, engine_rate : ndarray of float, shape (combines,)
        Hours per unit of area.
    """

    area: NDArray[np.float64]
    separator_rate: NDArray[np.float64]
    engine_rate: NDArray[np.float64]

    @property
    def combine_area(self) -> NDArray[np.float64]:
        """Area of each combine, shape (combines,)."""
        return np.asarray(self.area.sum(axis=(0, 2)))

    @property
    def header_area(self) -> NDArray[np.float64]:
        """Area of each header, shape (headers,)."""
        return np.asarray(self.area.sum(axis=(0, 1))[:-1])

    @property
    def combine_separator_hours(self) -> NDArray[np.float64]:
        """Separator hours of each combine."""
        return np.asarray(self.combine_area * self.separator_rate)

    @property
    def combine_engine_hours(self) -> NDArray[np.float64]:
        """Engine hours of each combine."""
        return np.asarray(self.combine_area * self.engine_rate)

    @property
    def header_separator_hours(self) -> NDArray[np.float64]:
        """Separator hours each header runs with the combines it hangs on."""
        return np.asarray(np.einsum("rch,c->h", self.area, self.separator_rate)[:-1])

    def combine_area_by(self, group: ArrayLike, groups: int) -> NDArray[np.float64]:
        """Area of each combine by any grouping of the rows (ground, crop, field), shape (combines, groups).

        Parameters
        ----------
        group : array of int, shape (rows,)
            Number of the group of each row.
        groups : int
            How many groups there are.
        """
        return _grouped(self.area.sum(axis=2), group, groups)

    def header_area_by(self, group: ArrayLike, groups: int) -> NDArray[np.float64]:
        """Area of each header by any grouping of the rows, shape (headers, groups).

        Parameters
        ----------
        group : array of int, shape (rows,)
            Number of the group of each row.
        groups : int
            How many groups there are.
        """
        return _grouped(self.area.sum(axis=1)[:, :-1], group, groups)


def share_planned_work(work: PlannedWork, fleet: FleetRates) -> Exposure:
    """Share planned areas over machines and headers.

    Parameters
    ----------
    work : PlannedWork
    fleet : FleetRates

    Returns
    -------
    Exposure

    Raises
    ------
    DataError
        When there is no combine, an area is negative, or a row names a machine that is not there.

    Notes
    -----
    A row that names a combine goes to it. A row that names only a header goes to the combines that carry it, each by capacity x
    how much of its work it does with that header. A row that names none goes to all combines by capacity. Each combine's part is
    shared over its headers as it used them; a named header takes it all.
    """
    area = np.asarray(work.area, dtype=np.float64)
    combine, header = (np.asarray(column, dtype=np.int64) for column in (work.combine, work.header))
    combines, headers = fleet.hitched.shape
    _check(area, combine, header, combines, headers)
    hitched = _shares(np.column_stack([fleet.hitched, fleet.hitched.sum(axis=1) == 0]))
    with_header = np.where(
        header[:, None, None] == SHARED, hitched[None], np.arange(headers + 1) == header[:, None, None]
    )
    carries = np.where(header[:, None] == SHARED, 1.0, hitched.T[np.maximum(header, 0)] if headers else 1.0)
    wanted = fleet.capacity * carries
    # nobody has carried that header yet: any combine may
    wanted = np.where(wanted.sum(axis=1, keepdims=True) > 0, wanted, fleet.capacity)
    by_combine = np.where(combine[:, None] == SHARED, _shares(wanted), np.arange(combines) == combine[:, None])
    shared = area[:, None, None] * by_combine[..., None] * with_header
    return Exposure(shared, fleet.separator_hours, fleet.engine_hours)


def _shares(weights: NDArray[np.float64]) -> NDArray[np.float64]:
    """Bring each row to a sum of 1; a row of nothing is shared evenly."""
    whole = weights.sum(axis=1, keepdims=True)
    return np.asarray(np.where(whole > 0, weights / np.where(whole > 0, whole, 1.0), 1.0 / weights.shape[1]))


def _grouped(by_row: NDArray[np.float64], group: ArrayLike, groups: int) -> NDArray[np.float64]:
    of_row = np.asarray(group, dtype=np.int64)
    if of_row.shape != by_row.shape[:1] or (of_row.size and not (of_row.min() >= 0 and of_row.max() < groups)):
        raise DataError("The grouping does not fit the planned areas.", "Give one group for each planned area.")
    out = np.zeros((groups, by_row.shape[1]))
    np.add.at(out, of_row, by_row)
    return out.T


def _check(
    area: NDArray[np.float64], combine: NDArray[np.int64], header: NDArray[np.int64], combines: int, headers: int
) -> None:
    if combines == 0:
        raise DataError("There is no combine to share the work over.", "Enter a combine first.")
    if area.ndim != 1 or {combine.shape, header.shape} != {area.shape}:
        raise DataError(
            "The columns of the planned work are not of equal length.", "Give a machine or none for each area."
        )
    if not np.all((area >= 0) & np.isfinite(area)):
        raise DataError("A planned area is negative or missing.", "Check the plan of the season.")
    for named, count in ((combine, combines), (header, headers)):
        if named.size and not (named.min() >= SHARED and named.max() < count):
            raise DataError("A planned area names a machine that is not there.", "Check the plan of the season.")
