"""How well the harvest is measured and threshed: sensors against references, the tester's offset, grain loss and how it grows."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Final
from uuid import UUID

import numpy as np

from wearlog.facts.closed_lists import Dimension, MeterKind, Sensor, Subsystem
from wearlog.facts.farm_settings import FarmSettings
from wearlog.facts.quality import Calibration as CalibrationLoad
from wearlog.facts.quality import LossCheck, MoistureSample
from wearlog.facts.work import Crop, Field
from wearlog.harvest.calibration import SensorAgreement, calibrate
from wearlog.harvest.dry_standard import dry_standard_of
from wearlog.harvest.kernel_table import KernelCount, classes_of, kernel_count_of
from wearlog.harvest.loss import GrainLoss, concentration_factor, loss_from_counts, loss_with_wear
from wearlog.harvest.moisture import MoistureOffset, moisture_offsets, shrink_per_point
from wearlog.harvest.straight_line import StraightLine
from wearlog.reckoning.farm import Farm
from wearlog.reckoning.harvest.sensors_due import DueFor, due_for
from wearlog.store.connection import Connection
from wearlog.store.finding import find_all, find_in_order
from wearlog.store.histories import NONE, Floats
from wearlog.store.schema.types import microseconds

#: limits of the moisture bands, per cent: a tester's offset changes with moisture, so each band has its own
BAND_EDGES: Final = (8.0, 10.0, 12.0, 14.0, 16.0, 18.0, 20.0)
#: checks of one combine in one crop from which a line through them is shown
ENOUGH_CHECKS: Final = 4
_HECTARE: Final = 10_000.0


@dataclass(frozen=True, slots=True, eq=False)
class SensorStanding:
    """A sensor's loads of the latest season, for one crop where the crop matters.

    Attributes
    ----------
    mean_off : float
        Mean of indicated less reference, in the sensor's stored unit.
    calibration : SensorAgreement or None
        None where a reference of zero allows no per cent (header height).
    factor_before : float or None
        The factor of the season before.
    due : tuple of DueFor
        Why it is due for a calibration.
    """

    machine_id: UUID
    machine: str
    sensor: Sensor
    crop: str
    harvest_year: int
    loads: int
    last_at: datetime
    mean_off: float
    calibration: SensorAgreement | None
    factor_before: float | None
    due: tuple[DueFor, ...] = ()


@dataclass(frozen=True, slots=True)
class MoistureBand:
    """The tester's offset for a crop between two moistures; None where the band is open.

    `load_minor` is what a load taken for as dry as the tester shows is worth more or less: mean, and the ends of the offset's
    interval (NaN from one load). None where nobody weighed a load, wrote the crop's price, or knows when it is dry.
    """

    crop: str
    low: float | None
    high: float | None
    offset: MoistureOffset
    load_minor: tuple[float, float, float] | None = None


@dataclass(frozen=True, slots=True)
class LossLine:
    """One loss check; `loss` in grams per square metre, None where nobody knows what a kernel of the crop weighs.

    `classes` are those between which the crop's name leaves the choice, where that is why. `share` and `machine_share` are of the
    crop as it stood, None without a yield. `threshing_seconds` is the age of the rasp bars.
    """

    combine_id: UUID
    combine: str
    crop: str
    field: str
    at: datetime
    concentration: float
    kernels: KernelCount | None
    classes: tuple[str, ...]
    loss: GrainLoss | None
    share: float | None
    machine_share: float | None
    threshing_seconds: float | None


@dataclass(frozen=True, slots=True, eq=False)
class LossTrend:
    """Machine loss of one combine in one crop, in per cent of the crop, by hours of the rasp bars (both arrays)."""

    combine: str
    crop: str
    hours: Floats
    percent: Floats
    line: StraightLine


@dataclass(frozen=True, slots=True, eq=False)
class HarvestQuality:
    """Everything about sensors, moisture and loss; the latest loss check first."""

    settings: FarmSettings
    sensors: tuple[SensorStanding, ...]
    moisture: tuple[MoistureBand, ...]
    samples: int
    compared: int
    losses: tuple[LossLine, ...]
    trends: tuple[LossTrend, ...]


def harvest_quality(connection: Connection, farm: Farm) -> HarvestQuality:
    """Answer how the sensors, the tester and the loss stand."""
    grown = {crop.id: crop for crop in find_all(connection, Crop)}
    crops = {one.id: one.name for one in grown.values()}
    loads = find_in_order(connection, CalibrationLoad, "at")
    samples = find_all(connection, MoistureSample)
    compared = [one for one in samples if one.elevator_hundredths is not None]
    losses = tuple(_loss_lines(connection, farm, crops))
    return HarvestQuality(
        settings=farm.settings,
        sensors=tuple(_sensors(farm, loads, crops)),
        moisture=tuple(_bands(farm, compared, grown, loads)),
        samples=len(samples),
        compared=len(compared),
        losses=losses,
        trends=tuple(_trends(losses)),
    )


def _sensors(farm: Farm, loads: Sequence[CalibrationLoad], crops: dict[UUID, str]) -> Iterable[SensorStanding]:
    groups: dict[tuple[UUID, Sensor, str], dict[int, list[CalibrationLoad]]] = defaultdict(lambda: defaultdict(list))
    for load in loads:
        crop = crops.get(load.crop_id, "") if load.crop_id else ""
        groups[load.machine_id, load.sensor, crop][farm.harvest_year(load.at)].append(load)
    done: dict[tuple[UUID, Sensor, int], set[UUID]] = defaultdict(set)
    for load in loads:
        if load.crop_id is not None:
            done[load.machine_id, load.sensor, farm.harvest_year(load.at)].add(load.crop_id)
    names = {machine.id: machine.name for machine in farm.machines}
    order = list(Sensor)
    for (machine_id, sensor, crop), by_year in sorted(
        groups.items(), key=lambda one: (order.index(one[0][1]), names.get(one[0][0], ""), one[0][2])
    ):
        years = sorted(by_year)
        latest = by_year[years[-1]]
        before = _calibrated(by_year[years[-2]]) if len(years) > 1 else None
        yield SensorStanding(
            machine_id=machine_id,
            machine=names.get(machine_id, ""),
            sensor=sensor,
            crop=crop,
            harvest_year=years[-1],
            loads=len(latest),
            last_at=latest[-1].at,
            mean_off=float(np.mean([one.indicated_amount - one.reference_amount for one in latest])),
            calibration=_calibrated(latest),
            factor_before=None if before is None else before.factor,
            due=due_for(farm, machine_id, sensor, latest, done[machine_id, sensor, years[-1]]),
        )


def _calibrated(loads: Sequence[CalibrationLoad]) -> SensorAgreement | None:
    indicated = np.array([one.indicated_amount for one in loads], dtype=np.float64)
    true = np.array([one.reference_amount for one in loads], dtype=np.float64)
    return calibrate(indicated, true) if (np.minimum(indicated, true) > 0).all() else None


def _bands(
    farm: Farm, samples: Sequence[MoistureSample], crops: dict[UUID, Crop], loads: Sequence[CalibrationLoad]
) -> Iterable[MoistureBand]:
    if not samples:
        return
    ids = sorted({one.crop_id for one in samples}, key=lambda one: crops[one].name if one in crops else "")
    place = {one: number for number, one in enumerate(ids)}
    found = moisture_offsets(
        np.arange(len(samples)),
        np.array([one.tester_hundredths / 100 for one in samples]),
        np.array([(one.elevator_hundredths or 0) / 100 for one in samples]),
        np.array([place[one.crop_id] for one in samples]),
        BAND_EDGES,
    )
    limits = (None, *BAND_EDGES, None)
    for offset in found:
        crop = crops.get(ids[offset.crop])
        yield MoistureBand(
            crop.name if crop is not None else "",
            limits[offset.band],
            limits[offset.band + 1],
            offset,
            None if crop is None else _load_minor(farm, crop, offset, loads),
        )


def _load_minor(
    farm: Farm, crop: Crop, offset: MoistureOffset, loads: Sequence[CalibrationLoad]
) -> tuple[float, float, float] | None:
    """What the water of an offset is worth in a load of the usual size, at the price of the crop."""
    weighed = [one.reference_amount for one in loads if one.sensor is Sensor.YIELD_LOAD]
    standard = dry_standard_of(crop.name, farm.settings.dry_of(crop.name))
    if not weighed or crop.price_minor_per_tonne is None or standard is None:
        return None
    worth = float(np.mean(weighed)) / 1e6 * crop.price_minor_per_tonne
    each = worth * shrink_per_point(standard.percent) / 100
    return (offset.offset * each, offset.low * each, offset.high * each)


def _loss_lines(connection: Connection, farm: Farm, crops: dict[UUID, str]) -> Iterable[LossLine]:
    checks = find_in_order(connection, LossCheck, "at", latest_first=True)
    fields = {field.id: field.name for field in find_all(connection, Field)} if checks else {}
    names = {machine.id: machine.name for machine in farm.machines}
    ages = _threshing_ages(farm, checks)
    for check, age in zip(checks, ages, strict=True):
        crop = crops.get(check.crop_id, "")
        kernels = kernel_count_of(crop, farm.settings.seed_of(crop))
        concentration = concentration_factor(check.cut_width_micrometres, check.discharge_width_micrometres)
        loss = None
        if kernels is not None:
            loss = loss_from_counts(
                np.array([float(check.behind_per_hectare)]),
                np.array([float(check.ahead_per_hectare)]),
                frame_area=_HECTARE,
                concentration=concentration,
                per_gram=kernels.per_gram,
            )
        grown = None if not check.yield_grams_per_hectare else check.yield_grams_per_hectare / _HECTARE
        yield LossLine(
            combine_id=check.combine_id,
            combine=names.get(check.combine_id, ""),
            crop=crop,
            field=fields.get(check.field_id, "") if check.field_id else "",
            at=check.at,
            concentration=concentration,
            kernels=kernels,
            classes=() if kernels is not None else tuple(classes_of(crop)),
            loss=loss,
            share=None if loss is None or grown is None else loss.share_of_crop(grown),
            machine_share=None if loss is None or grown is None else loss.machine / (grown + loss.total),
            threshing_seconds=age,
        )


def _threshing_ages(farm: Farm, checks: Sequence[LossCheck]) -> list[float | None]:
    """Return how long the rasp bars of the combine had threshed at each check; None where nobody knows."""
    threshing = [threshes(farm, number) for number in range(len(farm.part_kinds))]
    components, fittings = farm.histories.components, farm.histories.fittings
    place = {machine.id: number for number, machine in enumerate(farm.machines)}
    kind = components.part_kind[fittings.component]
    mine = np.array([code != NONE and threshing[code] for code in kind.tolist()], dtype=bool)
    machine = components.machine[fittings.component]
    found: list[float | None] = []
    for check in checks:
        at, on = microseconds(check.at), place.get(check.combine_id, NONE)
        rows = np.flatnonzero(mine & (machine == on) & (fittings.fitted_at <= at) & (at < fittings.removed_at))
        rows = rows[~np.isnan(fittings.age_when_fitted[rows])]
        if not rows.size:
            found.append(None)
            continue
        used = farm.lines.usage(
            MeterKind.SEPARATOR_HOURS, np.full(rows.size, on), fittings.fitted_at[rows], np.full(rows.size, at)
        )
        found.append(float((fittings.age_when_fitted[rows] + used).mean()))
    return found


def threshes(farm: Farm, number: int) -> bool:
    """Whether a kind, by its place in the farm, is the edge that rubs the grain out and is worn by separator hours."""
    kind = farm.part_kinds[number]
    by_hours = kind.subsystem is Subsystem.THRESHING and kind.meter_kind is MeterKind.SEPARATOR_HOURS
    # the edge that rubs the grain out; a belt or a concave may be of another age
    return by_hours and kind.dimension is not Dimension.NONE and "concave" not in kind.name.casefold()


def _trends(losses: Sequence[LossLine]) -> Iterable[LossTrend]:
    groups: dict[tuple[str, str], list[tuple[float, float]]] = defaultdict(list)
    for line in losses:
        if line.machine_share is not None and line.threshing_seconds is not None:
            groups[line.combine, line.crop].append((line.threshing_seconds / 3600, 100 * line.machine_share))
    for (combine, crop), points in sorted(groups.items()):
        hours, percent = (np.array(column) for column in zip(*sorted(points), strict=True))
        if hours.size >= ENOUGH_CHECKS and np.ptp(hours) > 0:
            yield LossTrend(combine, crop, hours, percent, loss_with_wear(hours, percent))
