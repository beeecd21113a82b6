"""The sums of a season plan as it stands: what it costs, saves and still leaves to chance. Cheap, so every toggle calls it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from wearlog.errors import DataError
from wearlog.plan.spares import SpareAdvice, stop_free_chance


@dataclass(frozen=True, slots=True)
class ReplaceLines:
    """Lines of the repair list; arrays of shape (lines,).

    Attributes
    ----------
    spend_minor, saving_minor, shop_seconds : ndarray of int64
    stops_run, stops_replaced : ndarray of float
        Failures expected in the coming season if run, and if replaced.
    downtime_hours : ndarray of float
        Field hours that one failure costs.
    """

    spend_minor: NDArray[np.int64]
    saving_minor: NDArray[np.int64]
    shop_seconds: NDArray[np.int64]
    stops_run: NDArray[np.float64]
    stops_replaced: NDArray[np.float64]
    downtime_hours: NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class PlanTotals:
    """What the plan comes to.

    Attributes
    ----------
    replace_minor, spares_minor, spend_minor : int
        Money for what is replaced, for spares, and together.
    saving_minor : int
        Expected saving of what is replaced and of the spares bought.
    saving_by_replacing_minor : int
        So much of it by what is replaced, the waiting for parts left aside.
    shop_seconds : int
    stops : float
        Failures expected in the coming season.
    stops_avoided : float
        Against replacing nothing.
    hours_down : float
        Field hours expected to be lost to failures.
    hours_for_want_of_parts : float
        Further field hours expected to be lost waiting for parts.
    stop_free_chance : float
        Chance of a season without a stop for want of a part.
    """

    replace_minor: int
    spares_minor: int
    spend_minor: int
    saving_minor: int
    saving_by_replacing_minor: int
    shop_seconds: int
    stops: float
    stops_avoided: float
    hours_down: float
    hours_for_want_of_parts: float
    stop_free_chance: float


def plan_totals(lines: ReplaceLines, chosen: NDArray[np.bool_], spares: Sequence[SpareAdvice]) -> PlanTotals:
    """Add a plan up.

    Parameters
    ----------
    lines : ReplaceLines
    chosen : ndarray of bool, shape (lines,)
        Which are replaced.
    spares : sequence of SpareAdvice
        Of every part, also those of which none are bought: they may run out too.
    """
    if chosen.shape != lines.spend_minor.shape:
        raise DataError("The choices do not fit the lines of the plan.", "Give one choice for each line.")
    replace = int(lines.spend_minor[chosen].sum())
    bought = sum(line.spend_minor for line in spares)
    # a line that is not replaced still has its stops
    stops = np.where(chosen, lines.stops_replaced, lines.stops_run)
    return PlanTotals(
        replace,
        bought,
        replace + bought,
        int(lines.saving_minor[chosen].sum()) + sum(line.gain_minor for line in spares),
        int(lines.saving_minor[chosen].sum()),
        int(lines.shop_seconds[chosen].sum()),
        float(stops.sum()),
        float(lines.stops_run.sum() - stops.sum()),
        float(stops @ lines.downtime_hours),
        sum(line.hours_lost for line in spares),
        stop_free_chance(spares),
    )
