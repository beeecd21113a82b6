"""What a combine is to cut, crop by crop: the share of its area, the yield, what a gram of it brings."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final
from uuid import UUID

import numpy as np

from wearlog.facts.work import Crop, PlannedArea, Run, SeasonPlan
from wearlog.reckoning.farm import Farm
from wearlog.reckoning.harvest.harvest_quality import LossLine
from wearlog.reckoning.wear.season_ahead import PAST_SEASONS
from wearlog.store.connection import Connection
from wearlog.store.finding import find_all

_HECTARE: Final = 10_000.0
_TONNE: Final = 1e6


@dataclass(frozen=True, slots=True)
class CropAhead:
    """A crop that a combine is to cut.

    Attributes
    ----------
    share : float
        Of the combine's area.
    grams_per_area : float or None
        Grams a square metre, by the runs of the last seasons, else by the loss checks; None where neither says.
    minor_per_gram : float or None
        What a gram brings; None where nobody said.
    """

    crop: str
    share: float
    grams_per_area: float | None
    minor_per_gram: float | None


def crops_ahead(
    connection: Connection, farm: Farm, prices: Mapping[str, float], losses: Sequence[LossLine]
) -> dict[UUID, list[CropAhead]]:
    """Return for each combine its crops ahead, the largest first.

    As planned where every planned area says its crop, else as the combine cut in the last seasons. `prices` (minor units a gram)
    go before what the log says.
    """
    names = {crop.id: crop for crop in find_all(connection, Crop)}
    runs = [run for run in find_all(connection, Run) if run.crop_id in names and run.ended_at <= farm.now]
    years = sorted({farm.harvest_year(run.started_at) for run in runs})[-PAST_SEASONS:]
    late = [run for run in runs if farm.harvest_year(run.started_at) in years]
    planned = _planned_crops(connection, farm)
    found: dict[UUID, list[CropAhead]] = {}
    for machine in farm.machines:
        shares = planned or _crops_cut(machine.id, late)
        whole = sum(shares.values()) or 1.0
        found[machine.id] = [
            CropAhead(
                names[crop].name,
                area / whole,
                _yield_of(crop, names[crop].name, late, losses),
                _price_of(names[crop], prices),
            )
            for crop, area in sorted(shares.items(), key=lambda one: -one[1])
            if area > 0 and crop in names
        ]
    return found


def _crops_cut(combine: UUID, runs: Sequence[Run]) -> dict[UUID, float]:
    shares: dict[UUID, float] = defaultdict(float)
    for run in runs:
        if run.combine_id == combine and run.crop_id is not None:
            shares[run.crop_id] += run.area_square_metres
    return shares


def _planned_crops(connection: Connection, farm: Farm) -> dict[UUID, float]:
    """Square metres planned by crop for the season to come; nothing where a planned area says no crop."""
    to_come = {season.id for season in farm.seasons if not farm.is_over(season)}
    plans = {plan.id for plan in find_all(connection, SeasonPlan) if plan.season_id in to_come}
    areas = [area for area in find_all(connection, PlannedArea) if area.season_plan_id in plans]
    found: dict[UUID, float] = defaultdict(float)
    for area in areas:
        if area.crop_id is None:
            return {}
        found[area.crop_id] += area.area_square_metres
    return found


def _yield_of(crop: UUID, name: str, runs: Sequence[Run], losses: Sequence[LossLine]) -> float | None:
    said = [run for run in runs if run.crop_id == crop and run.yield_grams_per_hectare]
    area = sum(run.area_square_metres for run in said)
    if area:
        return sum((run.yield_grams_per_hectare or 0) * run.area_square_metres for run in said) / area / _HECTARE
    by_checks = [
        one.loss.total / one.share - one.loss.total for one in losses if one.crop == name and one.loss and one.share
    ]
    return float(np.mean(by_checks)) if by_checks else None


def _price_of(crop: Crop, prices: Mapping[str, float]) -> float | None:
    if crop.name in prices:
        return prices[crop.name]
    return None if crop.price_minor_per_tonne is None else crop.price_minor_per_tonne / _TONNE
