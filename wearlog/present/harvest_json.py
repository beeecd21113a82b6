"""The harvest, the sensors and the loss checks as JSON."""

from __future__ import annotations

from typing import Any

from wearlog.present.digits import Measures
from wearlog.present.json_form import rounded
from wearlog.present.quality_words import is_high, sensor_state
from wearlog.reckoning.harvest_quality import HarvestQuality, LossLine, LossTrend, MoistureBand, SensorStanding
from wearlog.reckoning.harvest_view import CombineWork, Finish, HarvestView


def harvest_json(view: HarvestView, measures: Measures) -> dict[str, Any]:
    """Return progress, days to finish and capacities."""
    unit = _unit(measures)
    return {
        "season": view.season.harvest_year if view.season else None,
        "calendar_year": view.by_calendar,
        f"cut_{unit}": rounded(measures.area_number(view.cut), 1),
        f"planned_{unit}": None if view.planned is None else rounded(measures.area_number(view.planned), 1),
        "finish": None if view.finish is None else _finish(view.finish, measures),
        "combines": [_combine(one, measures) for one in view.combines],
    }


def _unit(measures: Measures) -> str:
    return "hectares" if measures.settings.is_metric else "acres"


def _finish(finish: Finish, measures: Measures) -> dict[str, Any]:
    unit, weather = _unit(measures), finish.weather
    return {
        "season": finish.season.harvest_year if finish.season else None,
        f"left_{unit}": rounded(measures.area_number(finish.left), 1),
        "has_begun": finish.first_day is not None,
        "field_days": rounded(finish.answer.field_days, 2),
        "days": {f"{chance * 100:.0f}": finish.answer.day_by(chance) for chance in (0.5, 0.8, 0.9)},
        "dates": {f"{chance * 100:.0f}": finish.date_by(chance) for chance in (0.5, 0.8, 0.9)},
        "combines": finish.machines,
        f"{unit}_per_hour": rounded(measures.area_number(finish.capacity), 2),
        "capacity_is_guess": finish.capacity_is_guess,
        "hours_per_day": rounded(finish.hours_per_day, 2),
        "hours_are_guess": finish.hours_are_guess,
        "workable_share": rounded(weather.share, 4),
        "workable_is_guess": weather.is_guess,
        "days_cut": weather.cut,
        "days_on_record": weather.days,
        "expected_stops": rounded(finish.answer.expected_stops, 2),
        "expected_lost_hours": rounded(finish.answer.expected_lost_hours, 2),
        "breakdowns_on_record": finish.failures,
        "breakdowns_are_guess": finish.breakdowns_are_guess,
    }


def _combine(one: CombineWork, measures: Measures) -> dict[str, Any]:
    unit, ready = _unit(measures), one.availability
    return {
        "combine": one.name,
        "season": one.time.season.harvest_year,
        f"cut_{unit}": rounded(measures.area_number(one.time.area), 1),
        "field_hours": rounded(one.time.seconds / 3600, 2),
        f"{unit}_per_hour": rounded(measures.area_number(one.capacity), 2),
        "breakdowns": ready.failures,
        "hours_between_breakdowns": _hours(ready.between_failures),
        "hours_between_low": _hours(ready.between_failures_low),
        "hours_between_high": _hours(ready.between_failures_high),
        "hours_to_repair": _hours(ready.to_repair),
        "availability": rounded(ready.share, 4),
        "level": ready.level,
    }


def _hours(seconds: float | None) -> float | None:
    return None if seconds is None else rounded(seconds / 3600, 2)


def sensors_json(view: HarvestQuality) -> dict[str, Any]:
    """Return the sensors and the offsets of the moisture tester."""
    return {
        "sensors": [_sensor(one) for one in view.sensors],
        "moisture_offsets": [_band(one) for one in view.moisture],
        "moisture_samples": view.samples,
        "moisture_samples_compared": view.compared,
    }


def _sensor(one: SensorStanding) -> dict[str, Any]:
    found = one.calibration
    return {
        "machine": one.machine,
        "sensor": one.sensor,
        "crop": one.crop or None,
        "season": one.harvest_year,
        "loads": one.loads,
        "last_at": one.last_at,
        "mean_error_percent": None if found is None else rounded(found.mean_percent),
        "mean_absolute_error_percent": None if found is None else rounded(found.mean_absolute_percent),
        "rms_error_percent": None if found is None else rounded(found.rms_percent),
        "next_load_error_percent": None if found is None else rounded(found.left_out_absolute_percent),
        "factor": None if found is None else rounded(found.factor, 5),
        "factor_before": rounded(one.factor_before, 5),
        "now": sensor_state(one) or None,
    }


def _band(one: MoistureBand) -> dict[str, Any]:
    return {
        "crop": one.crop,
        "from_percent": one.low,
        "to_percent": one.high,
        "loads": one.offset.loads,
        "add_points": rounded(one.offset.offset),
        "low": rounded(one.offset.low),
        "high": rounded(one.offset.high),
        "level": one.offset.level,
    }


def loss_json(view: HarvestQuality) -> dict[str, Any]:
    """Return the loss checks, and loss against the hours of the rasp bars."""
    return {"checks": [_check(one) for one in view.losses], "loss_and_wear": [_trend(one) for one in view.trends]}


def _check(one: LossLine) -> dict[str, Any]:
    return {
        "at": one.at,
        "combine": one.combine,
        "crop": one.crop,
        "field": one.field or None,
        "concentration": rounded(one.concentration),
        "machine_grams_per_square_metre": None if one.loss is None else rounded(one.loss.machine),
        "ahead_grams_per_square_metre": None if one.loss is None else rounded(one.loss.ahead),
        "total_grams_per_square_metre": None if one.loss is None else rounded(one.loss.total),
        "share_of_crop": rounded(one.share, 5),
        "machine_share_of_crop": rounded(one.machine_share, 5),
        "rasp_bar_hours": _hours(one.threshing_seconds),
        "is_high": is_high(one),
        "kernels_like": None if one.kernels is None else one.kernels.crop,
        "kernels_evidence": None if one.kernels is None else one.kernels.standing.value,
    }


def _trend(one: LossTrend) -> dict[str, Any]:
    return {
        "combine": one.combine,
        "crop": one.crop,
        "checks": one.line.count,
        "percent_per_100_hours": rounded(one.line.slope * 100, 4),
        "low": rounded(one.line.slope_low * 100, 4),
        "high": rounded(one.line.slope_high * 100, 4),
        "level": one.line.level,
        "is_shown": bool(one.line.slopes),
    }
