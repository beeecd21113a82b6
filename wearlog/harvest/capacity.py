"""How much a machine cuts in an hour and what share of the time it can: field capacity, efficiency, availability. No dates.

Terms as in ASAE S495: field efficiency loses time to turning, part width, unloading, clogging, adjusting and waiting.
Daily service, travel and repairs are outside it (Iowa State A3-24); they are counted as availability, never twice.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from wearlog.errors import DataError
from wearlog.harvest.by_line import Floats


@dataclass(frozen=True, slots=True)
class FieldCapacity:
    """What was measured over several pieces of work.

    Attributes
    ----------
    effective : float
        Square metres per second of field time, over all work together.
    theoretical : float
        Square metres per second at full width and speed without a pause.
    efficiency : float
        Their ratio.
    field_seconds, outside_seconds : float
        Time that counts in field efficiency, and time that does not (repair, service, travel).
    """

    effective: float
    theoretical: float
    efficiency: float
    field_seconds: float
    outside_seconds: float


@dataclass(frozen=True, slots=True)
class Availability:
    """Running against standing for repair.

    Attributes
    ----------
    failures : int
    running_seconds : float
    between_failures : float or None
        Mean running time between failures, seconds; None when nothing has failed.
    between_failures_low, between_failures_high : float
        Its interval at `level`; `high` is infinite when nothing has failed.
    to_repair : float or None
        Mean time to repair, seconds; None when nothing has failed.
    share : float
        between_failures / (between_failures + to_repair); 1 when nothing has failed.
    level : float
    """

    failures: int
    running_seconds: float
    between_failures: float | None
    between_failures_low: float
    between_failures_high: float
    to_repair: float | None
    share: float
    level: float


def theoretical_field_capacity(width_metres: float, metres_per_second: float) -> float:
    """Return square metres per second at full width without a pause (ac/h = ft x mph / 8.25, AEN-73).

    Parameters
    ----------
    width_metres : float
        Width of cut, metres.
    metres_per_second : float
        Ground speed, metres per second.
    """
    return width_metres * metres_per_second


def effective_field_capacity(width_metres: float, metres_per_second: float, efficiency: float) -> float:
    """Return square metres per second with the losses inside the field (ac/h = ft x mph x efficiency / 8.25, AEN-73).

    Parameters
    ----------
    width_metres : float
        Width of cut, metres.
    metres_per_second : float
        Ground speed, metres per second.
    efficiency : float
        Field efficiency, 0 to 1.
    """
    if not 0 <= efficiency <= 1:
        raise DataError(f"A field efficiency of {efficiency:g} is no share.", "Give it between 0 and 1, 0.7 for 70 %.")
    return theoretical_field_capacity(width_metres, metres_per_second) * efficiency


def measured_capacity(
    area: Floats, elapsed: Floats, outside: Floats, *, width_metres: float, metres_per_second: float
) -> FieldCapacity:
    """Measure effective capacity and field efficiency over several pieces of work.

    Parameters
    ----------
    area : (n,) float64
        Square metres cut in each.
    elapsed : (n,) float64
        Seconds from first to last.
    outside : (n,) float64
        Seconds in it that are outside field efficiency: repair, daily service, travel, weather.
    width_metres : float
        Width of cut, metres.
    metres_per_second : float
        Ground speed while cutting, metres per second.

    Raises
    ------
    DataError
        More time outside than elapsed, or no field time, width or speed.
    """
    if (outside > elapsed).any() or (outside < 0).any():
        raise DataError(
            "More time was lost than passed in a piece of work.", "Check its start and end and its stoppages."
        )
    field = float(np.sum(elapsed - outside))
    theoretical = theoretical_field_capacity(width_metres, metres_per_second)
    if field <= 0 or theoretical <= 0:
        raise DataError(
            "Capacity needs field time, a width and a speed above zero.", "Enter a run with its area and time."
        )
    # sums over sums and no mean of rates: half an hour in a corner must not count like a day in the open
    effective = float(np.sum(area)) / field
    return FieldCapacity(effective, theoretical, effective / theoretical, field, float(np.sum(outside)))


def availability_of(running_seconds: float, repair_seconds: Floats, *, level: float = 0.90) -> Availability:
    """Measure availability from the running time and the downtime of each failure in it.

    Parameters
    ----------
    running_seconds : float
        Time run in all, seconds.
    repair_seconds : array
        (failures,), downtime of each, seconds.
    level : float
        Chance that the interval covers, strictly between 0 and 1.

    Notes
    -----
    The interval of the mean time between failures is the time-ended one of a constant failure rate: chi-square with 2r + 2
    and 2r degrees of freedom (NIST/SEMATECH e-Handbook 8.4.5.1).
    """
    if running_seconds <= 0 or (repair_seconds < 0).any():
        raise DataError(
            "Availability needs running time above zero and no repair below zero.", "Check runs and repairs."
        )
    # loaded by whoever asks: what opens the screens reads faults, work and stock, and none of this
    from scipy.special import chdtri

    failures = int(repair_seconds.size)
    tail = (1 - level) / 2
    # time ended the watch and no failure: the low end counts the one that may come the next minute, the high end does not
    low = 2 * running_seconds / float(chdtri(2 * failures + 2, tail))
    if not failures:
        # without a failure nothing says how long it may still run: there is a low end alone
        return Availability(0, running_seconds, None, low, np.inf, None, 1.0, level)
    between, repair = running_seconds / failures, float(np.mean(repair_seconds))
    high = 2 * running_seconds / float(chdtri(2 * failures, 1 - tail))
    return Availability(failures, running_seconds, between, low, high, repair, availability(between, repair), level)


def availability(between_failures: float, to_repair: float) -> float:
    """Return MTBF / (MTBF + MTTR), both in the same unit.

    Parameters
    ----------
    between_failures : float
        Mean time between failures.
    to_repair : float
        Mean time to repair, in the same unit.
    """
    return between_failures / (between_failures + to_repair)
