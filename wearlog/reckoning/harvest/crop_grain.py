"""The grain of a season, crop by crop: how moist it came in, how much was cut, and how much of it that is when it is dry."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Final
from uuid import UUID

import numpy as np

from wearlog.facts.quality import MoistureSample
from wearlog.facts.work import Crop, Run
from wearlog.harvest.dry_standard import DryStandard, dry_standard_of
from wearlog.harvest.moisture import (
    MoistureSummary,
    Shrink,
    corrected_moisture,
    shrink_to,
    summarise_moisture,
    weighted_moisture,
)
from wearlog.reckoning.farm import Farm
from wearlog.reckoning.harvest.harvest_quality import BAND_EDGES, MoistureBand
from wearlog.store.connection import Connection
from wearlog.store.finding import find_all

_HECTARE: Final = 10_000.0


@dataclass(frozen=True, slots=True)
class DryGrain:
    """What the grain is when it is dry: masses in grams, at the mean moisture and at the ends of its interval (NaN from one)."""

    standard: DryStandard
    shrink: Shrink
    least: float
    most: float


@dataclass(frozen=True, slots=True)
class CropGrain:
    """The grain of a crop in a harvest year.

    Attributes
    ----------
    moisture : MoistureSummary
        As the elevator found it; where it did not, as the tester showed with its offset for that crop and band.
    by_elevator, as_shown : int
        Samples that the elevator knew, and those whose offset nobody knows, so that they stand as the tester showed them.
    by_field : bool
        Each sample weighs as the grain of its field; else all weigh alike.
    grams, area, area_known : float
        Mass of the runs with a yield, square metres cut, and those with a yield.
    dry : DryGrain or None
        None without a yield or without a standard.
    """

    crop: Crop
    harvest_year: int
    moisture: MoistureSummary
    by_elevator: int
    as_shown: int
    by_field: bool
    grams: float
    area: float
    area_known: float
    standard: DryStandard | None
    dry: DryGrain | None


def crop_grain(connection: Connection, farm: Farm, bands: Sequence[MoistureBand]) -> list[CropGrain]:
    """Return the grain of every crop and season that was sampled, the latest season first; `bands` are the tester's offsets."""
    crops = {crop.id: crop for crop in find_all(connection, Crop)}
    lots: dict[tuple[int, UUID], list[MoistureSample]] = defaultdict(list)
    for sample in find_all(connection, MoistureSample):
        lots[farm.harvest_year(sample.at), sample.crop_id].append(sample)
    runs: dict[tuple[int, UUID], list[Run]] = defaultdict(list)
    for run in find_all(connection, Run) if lots else ():
        if run.crop_id is not None and run.ended_at <= farm.now:
            runs[farm.harvest_year(run.started_at), run.crop_id].append(run)
    order = sorted((key for key in lots if key[1] in crops), key=lambda key: (-key[0], crops[key[1]].name))
    return [_of_lot(farm, crops[key[1]], key[0], lots[key], runs[key], bands) for key in order]


def _of_lot(
    farm: Farm,
    crop: Crop,
    year: int,
    samples: Sequence[MoistureSample],
    runs: Sequence[Run],
    bands: Sequence[MoistureBand],
) -> CropGrain:
    elevator = [one.elevator_hundredths for one in samples]
    corrected = [_corrected(one.tester_hundredths / 100, crop.name, bands) for one in samples]
    readings = np.array(
        [
            found / 100 if found is not None else sample.tester_hundredths / 100 if likely is None else likely
            for sample, found, likely in zip(samples, elevator, corrected, strict=True)
        ]
    )
    by_field = _grain_by_field(runs)
    weights = _weights([one.field_id for one in samples], by_field)
    moisture = summarise_moisture(readings) if weights is None else weighted_moisture(readings, np.array(weights))
    standard = dry_standard_of(crop.name, farm.settings.dry_of(crop.name))
    grams = sum(by_field.values())
    return CropGrain(
        crop=crop,
        harvest_year=year,
        moisture=moisture,
        by_elevator=sum(one is not None for one in elevator),
        as_shown=sum(one is None and two is None for one, two in zip(elevator, corrected, strict=True)),
        by_field=weights is not None,
        grams=grams,
        area=float(sum(run.area_square_metres for run in runs)),
        area_known=float(sum(run.area_square_metres for run in runs if run.yield_grams_per_hectare)),
        standard=standard,
        dry=_dry(grams, moisture, standard) if grams and standard is not None else None,
    )


def _corrected(reading: float, crop: str, bands: Sequence[MoistureBand]) -> float | None:
    number = next((band.offset.crop for band in bands if band.crop == crop), -1)
    return corrected_moisture(reading, number, tuple(band.offset for band in bands), BAND_EDGES)


def _grain_by_field(runs: Iterable[Run]) -> dict[UUID | None, float]:
    """Return the grams that came off each field, of the runs with a yield."""
    found: dict[UUID | None, float] = defaultdict(float)
    for run in runs:
        if run.yield_grams_per_hectare:
            found[run.field_id] += run.area_square_metres / _HECTARE * run.yield_grams_per_hectare
    return found


def _weights(fields: Sequence[UUID | None], grams: dict[UUID | None, float]) -> list[float] | None:
    """Return for each sample its share of the grain of its field; None where a sample's field or its grain is not known."""
    if any(field is None or not grams.get(field) for field in fields):
        return None
    return [grams[field] / fields.count(field) for field in fields]


def _dry(grams: float, moisture: MoistureSummary, standard: DryStandard) -> DryGrain:
    def at(percent: float) -> float:
        if np.isnan(percent):
            return percent
        return shrink_to(grams, min(max(percent, 0.0), 99.9), standard.percent).mass

    return DryGrain(standard, shrink_to(grams, moisture.mean, standard.percent), at(moisture.high), at(moisture.low))
