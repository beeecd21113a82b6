"""The loss checks that say how loss grows with wear: those in standing crop, one mean for each day of a combine in a crop."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Final
from uuid import UUID

import numpy as np

from wearlog.facts.closed_lists import CropState
from wearlog.facts.quality import LossCheck
from wearlog.facts.work import Run
from wearlog.harvest.kernel_table import kernel_count_of
from wearlog.reckoning.farm import Farm
from wearlog.reckoning.harvest.harvest_quality import LossLine
from wearlog.store.connection import Connection
from wearlog.store.finding import find_all
from wearlog.units import FOOT_METRES

_HECTARE: Final = 10_000.0
#: checks in standing crop from which those in any other state are left out
_ENOUGH_STANDING: Final = 3
#: a count of nothing stands for half a kernel in a frame of this many square metres (common practice, no source)
_USUAL_FRAME: Final = float(FOOT_METRES * FOOT_METRES)


@dataclass(frozen=True, slots=True)
class LossDay:
    """The checks of one combine in one crop on one day: they go by one setting and weather, so their mean counts once.

    `seconds` is the age of the threshing parts, `log_percent` ln of the machine loss in per cent of the crop.
    """

    combine: UUID
    crop: str
    seconds: float
    log_percent: float


@dataclass(frozen=True, slots=True)
class LossDays:
    """Every day with a check that counts; `checks` are those behind them, the rest was left out for what its name says."""

    days: tuple[LossDay, ...]
    checks: int
    without_yield: int
    without_age: int
    other_state: int


def loss_days(connection: Connection, farm: Farm, losses: Sequence[LossLine]) -> LossDays:
    """Return the days whose checks say something of wear."""
    known = [one for one in losses if one.machine_share is not None and one.threshing_seconds is not None]
    without_yield = sum(one.machine_share is None for one in losses)
    standing, other = _standing(connection, known)
    days = tuple(_days(connection, farm, standing))
    return LossDays(days, len(standing), without_yield, len(losses) - without_yield - len(known), other)


def _standing(connection: Connection, known: Sequence[LossLine]) -> tuple[list[LossLine], int]:
    """Return the checks in standing crop and how many others there are, where enough stood; else all."""
    runs: dict[UUID, list[Run]] = defaultdict(list)
    for run in find_all(connection, Run) if known else ():
        runs[run.combine_id].append(run)

    def stood(one: LossLine) -> bool:
        state = next((run.crop_state for run in runs[one.combine_id] if run.started_at <= one.at < run.ended_at), None)
        return state in (None, CropState.STANDING)

    standing = [one for one in known if stood(one)]
    return (standing, len(known) - len(standing)) if len(standing) >= _ENOUGH_STANDING else ([*known], 0)


def _days(connection: Connection, farm: Farm, losses: Iterable[LossLine]) -> list[LossDay]:
    counted = {(one.combine_id, one.at): one for one in find_all(connection, LossCheck)}
    by_day: dict[tuple[UUID, str, object], list[tuple[float, float]]] = defaultdict(list)
    for one in losses:
        share, seconds = one.machine_share, one.threshing_seconds
        assert share is not None
        assert seconds is not None
        if share <= 0:
            share = _half_a_kernel(farm, one, counted[one.combine_id, one.at])
        day = farm.settings.local(one.at).date()
        by_day[one.combine_id, one.crop, day].append((seconds, float(np.log(100 * share))))
    return [
        LossDay(combine, crop, *(float(mean) for mean in np.mean(rows, axis=0)))
        for (combine, crop, _), rows in by_day.items()
    ]


def _half_a_kernel(farm: Farm, one: LossLine, check: LossCheck) -> float:
    """Return as a share of the crop what half a kernel in a frame behind the combine comes to: nothing was counted."""
    kernels = kernel_count_of(one.crop, farm.settings.seed_of(one.crop))
    assert kernels is not None
    assert check.yield_grams_per_hectare is not None
    grams = 0.5 / _USUAL_FRAME / kernels.per_gram / one.concentration
    return grams / (check.yield_grams_per_hectare / _HECTARE)
