"""Sensors, the moisture tester and grain loss in words: what is off, by how much, and what it rests on."""

from __future__ import annotations

import math
from decimal import Decimal

from wearlog.facts.closed_lists import Sensor
from wearlog.facts.farm_settings import seed_key
from wearlog.facts.plain_text import one_line
from wearlog.harvest.kernel_table import is_small_grain
from wearlog.present.digits import NOTHING, Measures, number, percent
from wearlog.present.tables import Column, folded, text_table
from wearlog.present.words import capital, counted, word
from wearlog.reckoning.harvest_quality import HarvestQuality, LossLine, LossTrend, MoistureBand, SensorStanding
from wearlog.units import ACRE_SQUARE_METRES, INCH_MICROMETRES, MILE_METRES, POUND_GRAMS

#: mean absolute error above which a sensor wants setting anew (common practice, no source)
OFF_PERCENT = 3.0
#: points of moisture a good tester is off in its middle range (a tester's manual)
OFF_POINTS = 0.5
#: fewer loads do not tell a sensor that is off from one odd load
ENOUGH_LOADS = 3
#: usual total loss of small grains: Minnesota / North Dakota State extension, small grains (2003)
HIGH_LOSS = 0.03
#: up to a bushel (of 50 lb) an acre of canola is acceptable: Canola Council; in pounds an acre
HIGH_CANOLA = 50.0
_LINES = 12
#: grams per square metre in pounds per acre
POUNDS_PER_ACRE = float(ACRE_SQUARE_METRES / POUND_GRAMS)

SENSOR_NOTES = (
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
        mph = Decimal(1000) * MILE_METRES / 3600
        return f"{number(stored * 3.6 / 1000, 1)} km/h" if metric else f"{number(stored / float(mph), 1)} mph"
    if sensor is Sensor.AREA_COUNT:
        return measures.area(stored, 1)
    return f"{number(stored / 1000)} mm" if metric else f"{number(stored / float(INCH_MICROMETRES), 1)} in"


def sensor_lines(view: HarvestQuality, measures: Measures, width: int = 100) -> list[str]:
    """Return the sensors with the loads of their latest season."""
    if not view.sensors:
        return folded(
            ["No sensor has been checked yet. Weigh a load on a checked scale and enter what the monitor showed."],
            width=width,
        )
    columns = (
        Column("machine", widest=16),
        Column("sensor", widest=16),
        Column("crop", widest=14),
        Column("year"),
        Column("loads", figures=True),
        Column("off", figures=True),
        Column("size", figures=True),
        Column("factor", figures=True),
        Column("before", figures=True),
        Column("now"),
    )
    rows = [sensor_cells(one, measures) for one in view.sensors]
    return [*text_table(columns, rows), *folded(SENSOR_NOTES, width=width)]


def signed(value: float, places: int = 1) -> str:
    """Return +0.3 or -0.3, and 0.0 without a sign."""
    text = f"{value:+.{places}f}"
    return text[1:] if not text.strip("+-0.") else text


def sensor_cells(one: SensorStanding, measures: Measures) -> tuple[str, ...]:
    """Return machine, sensor, crop, year, loads, off, size, factor, factor before, state."""
    found = one.calibration
    head = (one_line(one.machine), sensor_words(one.sensor), one_line(one.crop) or "any", str(one.harvest_year))
    if one.sensor is Sensor.MOISTURE:
        return (*head, str(one.loads), f"{signed(one.mean_off / 100)} pt", NOTHING, NOTHING, NOTHING, sensor_state(one))
    if found is None:
        off = sensor_amount(one.sensor, abs(one.mean_off), measures)
        return (*head, str(one.loads), f"{'-' if one.mean_off < 0 else '+'}{off}", NOTHING, NOTHING, NOTHING, "")
    return (
        *head,
        str(one.loads),
        f"{found.mean_percent:+.1f} %",
        f"{found.mean_absolute_percent:.1f} %",
        f"{found.factor:.3f}",
        NOTHING if one.factor_before is None else f"{one.factor_before:.3f}",
        sensor_state(one),
    )


def sensor_state(one: SensorStanding) -> str:
    """Return "few loads", SET ANEW or "good"; nothing where no per cent can be told."""
    if one.calibration is None:
        return ""
    if one.loads < ENOUGH_LOADS:
        return "few loads"
    if one.sensor is Sensor.MOISTURE:
        return "SET ANEW" if abs(one.mean_off) > 100 * OFF_POINTS else "good"
    return "SET ANEW" if one.calibration.mean_absolute_percent > OFF_PERCENT else "good"


def moisture_lines(view: HarvestQuality, measures: Measures, width: int = 100) -> list[str]:
    """Return the tester's offsets by crop and band."""
    if not view.moisture:
        said = (
            f"{counted(view.samples, 'moisture sample')}, none with the elevator's figure: the offset is not known yet."
        )
        return folded([capital(said)], width=width)
    columns = (
        Column("crop", widest=16),
        Column("tester shows"),
        Column("loads", figures=True),
        Column("add", figures=True),
        Column("90 %"),
    )
    rows = [band_cells(one) for one in view.moisture]
    return [*text_table(columns, rows), *folded([moisture_note(view)], width=width)]


def moisture_note(view: HarvestQuality) -> str:
    """Say what the offsets rest on."""
    return (
        f"{view.compared} of {counted(view.samples, 'sample')} have the elevator's figure. add: points to add to what the tester "
        "shows. It changes with moisture, so each band has its own; one load tells nothing of its spread."
    )


def band_cells(one: MoistureBand) -> tuple[str, ...]:
    """Return crop, band, loads, points to add, interval."""
    offset = one.offset
    band = (
        f"{'under' if one.low is None else number(one.low)} {'' if one.low is None else 'to '}{number(one.high or 0)} %"
    )
    if one.high is None:
        band = f"over {number(one.low or 0)} %"
    interval = NOTHING if math.isnan(offset.low) else f"{signed(offset.low)} to {signed(offset.high)}"
    return (one_line(one.crop), band.replace("  ", " "), str(offset.loads), signed(offset.offset), interval)


def mass_per_area(grams_per_square_metre: float, measures: Measures) -> str:
    """Return a loss in pounds an acre or kilograms a hectare."""
    if measures.settings.is_metric:
        return f"{number(grams_per_square_metre * 10)} kg/ha"
    return f"{number(grams_per_square_metre * POUNDS_PER_ACRE)} lb/ac"


def loss_lines(view: HarvestQuality, measures: Measures, width: int = 100) -> list[str]:
    """Return the latest loss checks, and how loss grew with the hours of the rasp bars."""
    if not view.losses:
        return folded(
            ["No loss check yet. Count kernels behind the combine and ahead of it, and enter both."], width=width
        )
    columns = (
        Column("day"),
        Column("combine", widest=12),
        Column("crop", widest=12),
        Column("machine", figures=True),
        Column("ahead", figures=True),
        Column("in all", figures=True),
        Column("by machine", figures=True),
        Column("bars", figures=True),
        Column(""),
    )
    lines = text_table(columns, [loss_cells(one, measures) for one in view.losses[:_LINES]])
    if len(view.losses) > _LINES:
        lines.append(f"and {len(view.losses) - _LINES} earlier")
    return [*lines, *folded(loss_notes(view), width=width), "", *trend_lines(view, width)]


def loss_cells(one: LossLine, measures: Measures) -> tuple[str, ...]:
    """Return day, combine, crop, machine loss, loss ahead, share in all, by the machine, hours of the bars, state."""
    hours = NOTHING if one.threshing_seconds is None else f"{number(one.threshing_seconds / 3600)} h"
    head = (measures.day(one.at), one_line(one.combine), one_line(one.crop))
    if one.loss is None:
        asked = "WHICH CLASS?" if one.classes else "kernel weight not known"
        return (*head, NOTHING, NOTHING, NOTHING, NOTHING, hours, asked)
    return (
        *head,
        mass_per_area(one.loss.machine, measures),
        mass_per_area(one.loss.ahead, measures),
        NOTHING if one.share is None else f"{one.share * 100:.1f} %",
        NOTHING if one.machine_share is None else f"{one.machine_share * 100:.1f} %",
        hours,
        "HIGH" if is_high(one) else "",
    )


def is_high(one: LossLine) -> bool | None:
    """Tell whether a loss is over what is usual of its crop; None where nothing is published, or no yield was written."""
    if one.loss is not None and "canola" in one.crop.casefold():
        return one.loss.total * POUNDS_PER_ACRE > HIGH_CANOLA
    if one.share is None or not is_small_grain(one.crop):
        return None
    return one.share > HIGH_LOSS


def loss_notes(view: HarvestQuality) -> list[str]:
    """Say what the figures of a loss check are."""
    sources = sorted({f"{one.kernels.crop} ({one.kernels.standing.value})" for one in view.losses if one.kernels})
    return [
        "machine: what came through, its count behind less ahead, divided by cut width / discharge width; ahead: shatter and "
        "cutterbar; in all, by machine: of the crop as it stood; bars: hours of the rasp bars.",
        f"HIGH: small grains over {percent(HIGH_LOSS)} in all (Minnesota / North Dakota State extension, 2003), canola over 1 bu "
        "(50 lb) an acre (Canola Council); no other crop has a mark. Kernels by "
        f"weight of: {', '.join(sources) or 'no crop known'}; your own seed is better.",
        *(
            f"{one_line(crop).capitalize()} may be {' or '.join(classes)}, which weigh unlike: say it once with "
            f"wearlog set '{seed_key(crop)}' '{classes[0]}', or the weight of 1,000 kernels, '33 g'."
            for crop, classes in sorted({(one.crop, one.classes) for one in view.losses if one.classes})
        ),
    ]


def trend_lines(view: HarvestQuality, width: int = 100) -> list[str]:
    """Return whether loss grows as the rasp bars wear, combine by combine and crop by crop."""
    if not view.trends:
        return folded(
            ["Loss against wear: four checks of one combine in one crop, with a yield, are needed for a line."]
        )
    columns = (
        Column("loss and wear", widest=30),
        Column("checks", figures=True),
        Column("per 100 h", figures=True),
        Column("90 %"),
        Column(""),
    )
    return [
        *text_table(columns, [trend_cells(one) for one in view.trends]),
        *folded(
            [
                "per 100 h: points of the crop that the machine loses more for each 100 separator hours of the rasp bars. Crop "
                "state and speed move loss more than wear does: a line through few checks is a hint, no proof."
            ],
            width=width,
        ),
    ]


def trend_cells(one: LossTrend) -> tuple[str, ...]:
    """Return whose loss, checks, slope, interval, what that says."""
    line = one.line
    said = ("grows" if line.slope > 0 else "falls") if line.slopes else "not shown"
    ends = f"{line.slope_low * 100:+.2f} to {line.slope_high * 100:+.2f}"
    name = f"{one_line(one.combine)}, {one_line(one.crop)}"
    return (name, str(line.count), f"{line.slope * 100:+.2f} %", ends, said)
