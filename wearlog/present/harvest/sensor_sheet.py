"""Sensors and the moisture tester as answers: what is off, by how much, and what it rests on."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Final

from wearlog.facts.closed_lists import Sensor
from wearlog.harvest.calibration import SensorAgreement
from wearlog.present.answer_sheet import AnswerColumn, AnswerSheet, data
from wearlog.present.digits import NOTHING, Measures, amount, number
from wearlog.present.json_form import money, rounded
from wearlog.present.words import capital, counted, listed, word
from wearlog.reckoning.harvest.harvest_quality import HarvestQuality, MoistureBand, SensorStanding
from wearlog.reckoning.harvest.sensors_due import DueFor
from wearlog.units import INCH_MICROMETRES, POUND_GRAMS

#: mean absolute error above which a sensor wants setting anew (common practice, no source)
OFF_PERCENT: Final = 3.0
#: points of moisture a good tester is off in its middle range (a tester's manual)
OFF_POINTS: Final = 0.5
#: fewer loads do not tell a sensor that is off from one odd load
ENOUGH_LOADS: Final = 3
_ANEW: Final = "SET ANEW"
_NOTES: Final = (
    "off: mean of (shown - true) / true, of moisture in points; size: its mean without sign; factor: multiply what it shows by "
    "this; before: the factor of the season before.",
    "SET ANEW: a size over 3 % (common practice, no source), or half a point of moisture. A worn elevator chain puts a yield "
    "sensor off too: look at it before you set the sensor.",
)


def sensor_words(sensor: Sensor) -> str:
    """Return how a person calls what a sensor shows."""
    return {Sensor.YIELD_LOAD: "yield, by load"}.get(sensor, word(sensor))


def sensor_amount(sensor: Sensor, stored: float, measures: Measures) -> str:
    """Return 5,150 lb, 13.5 %, 5.0 mph."""
    metric = measures.settings.is_metric
    if sensor is Sensor.YIELD_LOAD:
        return f"{number(stored / 1000)} kg" if metric else f"{number(stored / float(POUND_GRAMS))} lb"
    if sensor is Sensor.MOISTURE:
        return f"{number(stored / 100, 1)} %"
    if sensor is Sensor.GROUND_SPEED:
        return measures.speed(stored / 1000)
    if sensor is Sensor.AREA_COUNT:
        return measures.area(stored, 1)
    return f"{number(stored / 1000)} mm" if metric else f"{number(stored / float(INCH_MICROMETRES), 1)} in"


def signed(value: float, places: int = 1) -> str:
    """Return +0.3 or -0.3, and 0.0 without a sign."""
    text = f"{value:+.{places}f}"
    return text[1:] if not text.strip("+-0.") else text


def sensor_state(one: SensorStanding) -> str:
    """Return "few loads", SET ANEW or "good"; nothing where no per cent can be told."""
    if one.calibration is None:
        return ""
    if one.loads < ENOUGH_LOADS:
        return "few loads"
    if one.sensor is Sensor.MOISTURE:
        return _ANEW if abs(one.mean_off) > 100 * OFF_POINTS else "good"
    return _ANEW if one.calibration.mean_absolute_percent > OFF_PERCENT else "good"


def _agreement(row: SensorStanding) -> SensorAgreement | None:
    """What is told in per cent and as a factor; moisture is off by points, and a reference of zero has neither."""
    return None if row.sensor is Sensor.MOISTURE else row.calibration


_DUE: Final = {
    DueFor.SEASON: "another season",
    DueFor.CROP: "another crop",
    DueFor.HEADER: "another header",
    DueFor.APART: "its last load parts from the others by more than they scatter",
}


def _due(view: HarvestQuality) -> list[str]:
    """Say which sensors are due for a calibration, and why."""
    found = [
        f"{one.machine} {sensor_words(one.sensor)}{f' in {one.crop}' if one.crop else ''} "
        f"({listed([_DUE[why] for why in one.due])})"
        for one in view.sensors
        if one.due
    ]
    return [f"Due for a calibration: {listed(found)}."] if found else []


def _told(
    figure: Callable[[SensorAgreement], float | None], places: int = 3
) -> Callable[[SensorStanding, Measures], float | None]:
    return lambda row, _: None if (found := _agreement(row)) is None else rounded(figure(found), places)


def _factor_before(row: SensorStanding) -> float | None:
    return None if _agreement(row) is None else row.factor_before


def _off(row: SensorStanding, measures: Measures) -> str:
    if row.sensor is Sensor.MOISTURE:
        return f"{signed(row.mean_off / 100)} pt"
    if row.calibration is not None:
        return f"{row.calibration.mean_percent:+.1f} %"
    return f"{'-' if row.mean_off < 0 else '+'}{sensor_amount(row.sensor, abs(row.mean_off), measures)}"


def _size(row: SensorStanding, _: Measures) -> str:
    found = _agreement(row)
    return NOTHING if found is None else f"{found.mean_absolute_percent:.1f} %"


def _factor(row: SensorStanding, _: Measures) -> str:
    found = _agreement(row)
    return NOTHING if found is None else f"{found.factor:.3f}"


SENSORS: Final[tuple[AnswerColumn[SensorStanding], ...]] = (
    AnswerColumn("machine", lambda row, _: row.machine, "machine", lambda row, _: row.machine, least=9, most=16),
    AnswerColumn(
        "sensor", lambda row, _: sensor_words(row.sensor), "sensor", lambda row, _: row.sensor, least=14, most=16
    ),
    AnswerColumn(
        "crop",
        lambda row, _: row.crop or "any",
        "crop",
        lambda row, _: row.crop or None,
        least=9,
        most=14,
        gives=1,
    ),
    AnswerColumn(
        "year", lambda row, _: str(row.harvest_year), "season", lambda row, _: row.harvest_year, least=4, gives=4
    ),
    AnswerColumn(
        "loads", lambda row, _: str(row.loads), "loads", lambda row, _: row.loads, least=5, figures=True, gives=1
    ),
    data("last_at", lambda row, _: row.last_at),
    data("due_for", lambda row, _: list(row.due)),
    AnswerColumn(
        "off",
        _off,
        "mean_error_percent",
        _told(lambda found: found.mean_percent),
        least=7,
        figures=True,
        tells_more=True,
    ),
    data(
        "mean_error_points",
        lambda row, _: rounded(row.mean_off / 100) if row.sensor is Sensor.MOISTURE else None,
    ),
    AnswerColumn(
        "size",
        _size,
        "mean_absolute_error_percent",
        _told(lambda found: found.mean_absolute_percent),
        least=6,
        figures=True,
        gives=3,
    ),
    data("rms_error_percent", _told(lambda found: found.rms_percent)),
    data("next_load_error_percent", _told(lambda found: found.left_out_absolute_percent)),
    AnswerColumn("factor", _factor, "factor", _told(lambda found: found.factor, 5), least=6, figures=True, gives=1),
    AnswerColumn(
        "before",
        lambda row, _: number(_factor_before(row), 3),
        "factor_before",
        lambda row, _: rounded(_factor_before(row), 5),
        least=6,
        figures=True,
        gives=2,
    ),
    AnswerColumn(
        "now", lambda row, _: sensor_state(row), "now", lambda row, _: sensor_state(row) or None, least=9, most=9
    ),
)


def sensor_sheet(view: HarvestQuality, measures: Measures) -> AnswerSheet[SensorStanding]:
    """Return the sensors with the loads of their latest season."""
    return AnswerSheet(
        name="sensors",
        columns=SENSORS,
        rows=view.sensors,
        measures=measures,
        sentences=[*_due(view), *_NOTES],
        empty="No sensor has been checked yet. Weigh a load on a checked scale: 'wearlog calibrate MACHINE yield SHOWN TRUE', or "
        "on the screen a enters what one showed and what was true.",
        key_of=id,
        shouts=lambda row: sensor_state(row) == _ANEW,
    )


def _load_end(row: MoistureBand, place: int, measures: Measures) -> dict[str, str] | None:
    """The least and the most of what it is worth, without sign as the middle is; nothing at least where the sign is not sure."""
    if row.load_minor is None or any(map(math.isnan, row.load_minor)):
        return None
    _, low, high = row.load_minor
    ends = sorted((abs(low), abs(high)))
    least = 0.0 if low < 0 < high else ends[0]
    return money(round((least, ends[1])[place]), measures.settings.currency)


def _band(row: MoistureBand, _: Measures) -> str:
    if row.high is None:
        return f"over {number(row.low or 0)} %"
    return f"under {number(row.high)} %" if row.low is None else f"{number(row.low)} to {number(row.high)} %"


def _interval(row: MoistureBand, _: Measures) -> str:
    return NOTHING if math.isnan(row.offset.low) else f"{signed(row.offset.low)} to {signed(row.offset.high)}"


BANDS: Final[tuple[AnswerColumn[MoistureBand], ...]] = (
    AnswerColumn("crop", lambda row, _: row.crop, "crop", lambda row, _: row.crop, least=12, most=20),
    AnswerColumn("tester shows", _band, least=12, most=14),
    data("from_percent", lambda row, _: row.low),
    data("to_percent", lambda row, _: row.high),
    AnswerColumn(
        "loads", lambda row, _: str(row.offset.loads), "loads", lambda row, _: row.offset.loads, least=5, figures=True
    ),
    AnswerColumn(
        "add",
        lambda row, _: signed(row.offset.offset),
        "add_points",
        lambda row, _: rounded(row.offset.offset),
        figures=True,
    ),
    AnswerColumn("90 %", _interval, least=12, most=14),
    AnswerColumn(
        "a load",
        lambda row, _: NOTHING if row.load_minor is None else amount(abs(row.load_minor[0]), cents=False),
        "load_worth",
        lambda row, measures: (
            None if row.load_minor is None else money(round(abs(row.load_minor[0])), measures.settings.currency)
        ),
        least=7,
        figures=True,
        gives=1,
        legend="a load: what the water that the tester is off by is worth in a load of the usual size ({money}).",
    ),
    data("load_worth_low", lambda row, measures: _load_end(row, 0, measures)),
    data("load_worth_high", lambda row, measures: _load_end(row, 1, measures)),
    data("low", lambda row, _: rounded(row.offset.low)),
    data("high", lambda row, _: rounded(row.offset.high)),
    data("level", lambda row, _: row.offset.level),
)


def tester_sheet(view: HarvestQuality, measures: Measures) -> AnswerSheet[MoistureBand]:
    """Return what to add to the moisture tester's figure, by crop and band."""
    return AnswerSheet(
        name="moisture_offsets",
        columns=BANDS,
        rows=view.moisture,
        measures=measures,
        sentences=[
            f"{view.compared} of {counted(view.samples, 'sample')} have the elevator's figure. add: points to add to what the "
            "tester shows. It changes with moisture, so each band has its own; one load tells nothing of its spread."
        ],
        empty=f"{capital(counted(view.samples, 'moisture sample'))}, none with the elevator's figure: the offset is not known yet. "
        "'wearlog calibrate --sample CROP PERCENT --elevator PERCENT', or on the screen a enters a moisture sample.",
        beside={"moisture_samples": view.samples, "moisture_samples_compared": view.compared},
        key_of=id,
    )
