"""Grain moisture: what samples say, how far the portable tester is off, and shrink to a drier basis. No prices.

Moisture is in per cent of wet mass. A tester's offset against the elevator changes sign between dry and wet grain, so it
is kept per crop and per band of moisture, never as one number.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from wearlog.errors import DataError
from wearlog.harvest.by_line import Floats, Ints, sum_per
from wearlog.harvest.straight_line import mean_interval, t_quantile


@dataclass(frozen=True, slots=True)
class MoistureSummary:
    """What several readings of one lot say: their number, mean, standard deviation (NaN from one) and interval of the mean."""

    count: int
    mean: float
    spread: float
    low: float
    high: float
    level: float


@dataclass(frozen=True, slots=True)
class MoistureOffset:
    """Points to add to the tester's reading, for one crop and band.

    `band` counts from 0; `spread`, `low` and `high` are NaN when only one load was compared.
    """

    crop: int
    band: int
    loads: int
    offset: float
    spread: float
    low: float
    high: float
    level: float


@dataclass(frozen=True, slots=True)
class Shrink:
    """Grain brought to a drier basis; masses in the unit given."""

    mass: float
    water_percent: float
    handling_percent: float

    @property
    def total_percent(self) -> float:
        """Shrink in per cent of the wet mass."""
        return self.water_percent + self.handling_percent


def summarise_moisture(readings: Floats, *, level: float = 0.90) -> MoistureSummary:
    """Summarise readings of one lot; DataError when there are none or one is no percentage.

    Parameters
    ----------
    readings : array
        (n,), per cent.
    level : float
        Chance that the interval covers, strictly between 0 and 1.
    """
    if not readings.size:
        raise DataError("There are no moisture readings to summarise.", "Enter at least one sample.")
    _check_percent(readings)
    return MoistureSummary(readings.size, *mean_interval(readings, level=level), level)


def weighted_moisture(readings: Floats, weights: Floats, *, level: float = 0.90) -> MoistureSummary:
    """Summarise readings that stand for unlike masses; with equal weights the same as `summarise_moisture`.

    Parameters
    ----------
    readings : array
        (n,), per cent.
    weights : array
        (n,), mass that each reading stands for, any unit, above zero.
    level : float
        Chance that the interval covers, strictly between 0 and 1.

    Notes
    -----
    The standard error is that of as many readings as (sum of weights)^2 / (sum of their squares) (effective sample size, from
    memory), with n - 1 degrees of freedom; the readings count as taken by chance.
    """
    if not readings.size or not (weights > 0).all():
        raise DataError(
            "Moisture readings cannot be weighed by nothing.", "Enter a sample, and the yield of its field."
        )
    _check_percent(readings)
    share = weights / weights.sum()
    mean = float(share @ readings)
    if readings.size < 2:
        return MoistureSummary(1, mean, np.nan, np.nan, np.nan, level)
    # n / (n - 1): of equal weights it is the plain standard deviation, to the digit
    spread = float(np.sqrt(share @ (readings - mean) ** 2 * readings.size / (readings.size - 1)))
    # the sum of squared shares is 1 / n of equal weights and more where one lot outweighs the rest: fewer readings count then
    half = t_quantile(readings.size - 1, level) * spread * float(np.sqrt(share @ share))
    return MoistureSummary(readings.size, mean, spread, mean - half, mean + half, level)


def moisture_offsets(
    load: Ints, tester: Floats, elevator: Floats, crop: Ints, band_edges: npt.ArrayLike, *, level: float = 0.90
) -> tuple[MoistureOffset, ...]:
    """Compare a portable tester with the elevator, load by load.

    Parameters
    ----------
    load : (r,) int64
        The load, from 0, of each tester reading; three readings a load is common practice, no source.
    tester : (r,) float64
        Readings, per cent.
    elevator : (n,) float64
        The elevator's value of each load, per cent.
    crop : (n,) int64
        Crop number of each load.
    band_edges : (b,) float64
        Rising limits between bands; band 0 lies below the first. The band is taken from the tester's mean, because
        that is what is known when the offset is used.
    level : float
        Chance that the intervals cover, strictly between 0 and 1.

    Returns
    -------
    tuple of MoistureOffset
        By crop and band, where loads were compared. Offset = mean over loads of (elevator - tester).

    Raises
    ------
    DataError
        A load without a tester reading, a value that is no percentage, or edges that do not rise.
    """
    edges = np.asarray(band_edges, dtype=np.float64)
    if (np.diff(edges) <= 0).any():
        raise DataError("The limits between moisture bands do not rise.", "Give them from dry to wet.")
    _check_percent(tester)
    _check_percent(elevator)
    counts = np.bincount(load, minlength=elevator.size)
    if counts.size > elevator.size or not counts.all():
        raise DataError("A load has no tester reading, or a reading no load.", "Give each load at least one reading.")
    # several readings of a load are one comparison: how far they lie apart says nothing of tester against elevator
    mean = sum_per(load, tester, elevator.size) / counts
    # by the tester and not by the elevator: a reading that is to be corrected is known by the tester alone
    band = np.searchsorted(edges, mean, side="right")
    group, difference = crop * (edges.size + 1) + band, elevator - mean
    order = np.argsort(group, kind="stable")
    names = np.unique(group)
    first = np.append(np.searchsorted(group[order], names), group.size)
    return tuple(
        MoistureOffset(
            int(name // (edges.size + 1)),
            int(name % (edges.size + 1)),
            int(first[k + 1] - first[k]),
            *mean_interval(difference[order[first[k] : first[k + 1]]], level=level),
            level,
        )
        for k, name in enumerate(names.tolist())
    )


def corrected_moisture(
    reading: float, crop: int, offsets: tuple[MoistureOffset, ...], band_edges: npt.ArrayLike
) -> float | None:
    """Return the reading with its crop's and band's offset added; None where no load of that kind was compared.

    Parameters
    ----------
    reading : float
        Moisture read, per cent.
    crop : int
        Number of the crop in the offsets.
    offsets : tuple of MoistureOffset
        What the tester was off, by crop and band.
    band_edges : array_like
        (bands - 1,), per cent, rising.
    """
    band = int(np.searchsorted(np.asarray(band_edges, dtype=np.float64), reading, side="right"))
    for offset in offsets:
        if (offset.crop, offset.band) == (crop, band):
            return reading + offset.offset
    return None


def shrink_to(mass: float, wet_percent: float, dry_percent: float, *, handling_percent: float = 0.0) -> Shrink:
    """Return the mass at a drier basis: W2 = W1 (100 - M1) / (100 - M2), less handling in per cent of the wet mass.

    Grain that is already drier than the basis is left as it is: nobody adds water.

    Parameters
    ----------
    mass : float
        Mass of the wet grain, any unit.
    wet_percent : float
        Moisture it has, per cent of the wet mass.
    dry_percent : float
        Moisture it shall have, per cent.
    handling_percent : float
        Lost in handling, per cent of the wet mass.
    """
    _check_percent(np.array([wet_percent, dry_percent, handling_percent]))
    # grain that is drier than the basis gains nothing by it: the water is not there
    water = max(wet_percent - dry_percent, 0.0) * shrink_per_point(dry_percent)
    return Shrink(mass * (1 - (water + handling_percent) / 100), water, handling_percent)


def shrink_per_point(dry_percent: float) -> float:
    """Return per cent of mass lost for each point of moisture taken out: 100 / (100 - M2).

    Parameters
    ----------
    dry_percent : float
        Moisture it shall have, per cent.
    """
    return 100 / (100 - dry_percent)


def _check_percent(values: Floats) -> None:
    if not ((values >= 0) & (values < 100)).all():
        raise DataError("A moisture is no percentage.", "Give it in per cent of wet mass, 13.5 for 13.5 %.")
