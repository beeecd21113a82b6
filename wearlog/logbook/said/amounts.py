"""Amounts as people write them where a plain measure will not do: sensors, per cent, yields, lengths off a tape, seed, hire.

What having grain cut costs is "40", or base, hauling and more above a yield as "20-20-20". Writes nothing.
"""

from __future__ import annotations

import re
import shlex
from collections.abc import Mapping
from decimal import Decimal
from types import MappingProxyType
from typing import Final, NamedTuple

from wearlog.errors import UsageError
from wearlog.facts.closed_lists import Sensor
from wearlog.facts.farm_settings import FarmSettings
from wearlog.facts.plain_text import one_line
from wearlog.facts.unit_words import UNIT_WORDS, unit_called
from wearlog.facts.work import Crop
from wearlog.harvest.kernel_table import classes_of, kernel_count_of
from wearlog.logbook.said.measures import LENGTHS, money
from wearlog.units import (
    ACRE_SQUARE_METRES,
    FOOT_METRES,
    HECTARE_SQUARE_METRES,
    MILE_METRES,
    POUND_GRAMS,
    STORED_UNITS,
    plain_number,
    read_number,
    to_stored,
    with_fraction,
)

_LENGTHS: Final = {unit: STORED_UNITS[unit] for unit in LENGTHS}

#: sensor -> unit -> how many stored units one of it is
SENSOR_FACTORS: Final[Mapping[Sensor, Mapping[str, Decimal]]] = MappingProxyType(
    {
        Sensor.YIELD_LOAD: {"lb": POUND_GRAMS, "kg": Decimal(1_000), "t": Decimal(1_000_000)},
        Sensor.MOISTURE: {"%": Decimal(100)},
        Sensor.GROUND_SPEED: {"mph": MILE_METRES * 1_000 / 3_600, "km/h": Decimal(1_000_000) / 3_600},
        Sensor.AREA_COUNT: {"ac": ACRE_SQUARE_METRES, "ha": HECTARE_SQUARE_METRES},
        Sensor.HEADER_HEIGHT: _LENGTHS,
    }
)

_USUAL: Final[Mapping[Sensor, tuple[str, str]]] = MappingProxyType(
    {
        Sensor.YIELD_LOAD: ("lb", "kg"),
        Sensor.MOISTURE: ("%", "%"),
        Sensor.GROUND_SPEED: ("mph", "km/h"),
        Sensor.AREA_COUNT: ("ac", "ha"),
        Sensor.HEADER_HEIGHT: ("in", "mm"),
    }
)

_FRAMES: Final = {"ft2": FOOT_METRES * FOOT_METRES, "m2": Decimal(1), "sqft": FOOT_METRES * FOOT_METRES}

_PER: Final = {"ac": ACRE_SQUARE_METRES / HECTARE_SQUARE_METRES, "ha": Decimal(1)}

_MASSES: Final = {"lb": POUND_GRAMS, "kg": Decimal(1_000), "t": Decimal(1_000_000)}

_AMOUNT: Final = re.compile(r"(?P<number>[-+]?[\d.,' ]*\d)\s*(?P<unit>[^\d\s].*)?")


def sensor_unit(sensor: Sensor, settings: FarmSettings) -> str:
    """Return the unit in which this farm reads a sensor."""
    return _USUAL[sensor][settings.is_metric]


def read_sensor_amount(sensor: Sensor, text: str, settings: FarmSettings) -> int:
    """Read "5,150 lb", "13.5 %" or "5" as the sensor's stored unit; without a unit it is the farm's usual one.

    Raises
    ------
    UsageError
        When it is no number, is below zero, or has a unit that this sensor does not show.
    """
    usual = sensor_unit(sensor, settings)
    return _stored(text, SENSOR_FACTORS[sensor], usual, f"12 {usual}")


def read_percent(text: str) -> int:
    """Read "13.5" or "13,5 %" as hundredths of a per cent. UsageError when it is no percentage."""
    found = _stored(text, {"%": Decimal(100)}, "%", "13.5")
    if found > 10_000:
        raise UsageError(f"'{one_line(text)}' is more than 100 per cent.", "Write it like 13.5.")
    return found


def read_counts(text: str) -> Decimal:
    """Read the kernels counted in one frame or in several ("130 118 141") and return their mean. UsageError for no number."""
    pieces = [piece for piece in re.split(r"[\s,;]+", one_line(text)) if piece not in ("", "and")]
    if not pieces:
        raise UsageError("How many kernels lay in the frame?", "Write each frame's count, like 130 118 141.")
    try:
        counts = [read_number(piece, decimal_comma=False) for piece in pieces]
    except UsageError as error:
        raise UsageError(error.message, "Write each frame's count, like 130 118 141.") from error
    if min(counts) < 0:
        raise UsageError("A count is below zero.", "Write each frame's count, like 130 118 141.")
    return sum(counts, Decimal(0)) / len(counts)


def usual_frame(settings: FarmSettings) -> str:
    """Return the frame that is counted in where nobody says another: about the same area in either unit."""
    return "0.1 m2" if settings.is_metric else "1 ft2"


def read_frame(text: str, settings: FarmSettings) -> Decimal:
    """Read the size of a counting frame ("1 ft2", "0.1 m2") in square metres; a bare figure is in the farm's unit.

    Raises
    ------
    UsageError
        When it has no size.
    """
    number, unit = _parts(text, usual_frame(settings))
    size = number * _FRAMES.get(unit.replace("²", "2") or ("m2" if settings.is_metric else "ft2"), Decimal(0))
    if size <= 0:
        raise UsageError(f"'{one_line(text)}' is not the size of a frame.", "Write it like 1 ft2 or 0.1 m2.")
    return size


def per_hectare(count: Decimal, frame_square_metres: Decimal) -> int:
    """Return kernels per hectare from the mean count of frames."""
    return round(count * HECTARE_SQUARE_METRES / frame_square_metres)


def read_yield(text: str, crop: Crop | None, settings: FarmSettings) -> int:
    """Read "40 bu/ac", "2,400 lb/ac", "2.7 t/ha" or "40" as grams per hectare.

    Without a unit it is bushels an acre, on a metric farm tonnes a hectare.

    Raises
    ------
    UsageError
        When the unit is none of these, or the crop's bushel is not known.
    """
    number, unit = _parts(text, "40 bu/ac")
    mass, _, per = (unit.replace(" ", "") or ("t/ha" if settings.is_metric else "bu/ac")).partition("/")
    mass, per = unit_called(mass), unit_called(per)
    grams = _MASSES.get(mass)
    if mass in ("bu", "bushel", "bushels"):
        if crop is None or not crop.bushel_grams:
            raise UsageError(
                "Nobody knows what a bushel of this crop weighs.",
                f"Enter it: wearlog add crop {shlex.quote(crop.name) if crop else 'NAME'} --bushel 60lb; "
                "or write the yield like 2,400 lb/ac.",
            )
        grams = Decimal(crop.bushel_grams)
    if grams is None or per not in _PER:
        raise UsageError(f"'{one_line(text)}' is not a yield.", "Write it like 40 bu/ac, 2,400 lb/ac or 2.7 t/ha.")
    return round(number * grams / _PER[per])


def _stored(text: str, factors: Mapping[str, Decimal], usual: str, example: str) -> int:
    number, unit = _parts(text, example)
    unit = unit or usual
    if unit not in factors:
        raise UsageError(f"'{one_line(text)}' is not measured in {' or '.join(factors)}.", f"Write it like {example}.")
    return round(number * factors[unit])


def _parts(text: str, example: str) -> tuple[Decimal, str]:
    """Return the number, not below zero, and the unit behind it in its usual short form."""
    match = _AMOUNT.fullmatch(one_line(text))
    if match is None:
        raise UsageError(f"'{one_line(text)}' is not an amount.", f"Write it like {example}.")
    digits, unit = match["number"].strip(), (match["unit"] or "").strip().casefold()
    number = plain_number(digits)
    if number < 0:
        raise UsageError(f"'{one_line(text)}' is below zero.", f"Write it like {example}.")
    return number, unit_called(unit)


#: words that may stand alone behind a number
LENGTH_UNITS: Final = frozenset({*LENGTHS, *(word for word, unit in UNIT_WORDS.items() if unit in LENGTHS)})

_SAID: Final = re.compile(r"(?P<number>[-+−]?[\d.,'  /⁄-]*\d)\s*(?P<unit>[^\d\s]+)?")


def length_unit(settings: FarmSettings) -> str:
    """Return the unit in which this farm measures wear."""
    return "mm" if settings.is_metric else "in"


def read_length(text: str, settings: FarmSettings) -> int:
    """Read a length in micrometres; without a unit it is inches, on a metric farm millimetres.

    Raises
    ------
    UsageError
        When it is no number, is below zero, or has a unit that is none of length.
    """
    clean, usual = one_line(text), length_unit(settings)
    like = "19.9in, 505mm or 19-7/8in"
    match = _SAID.fullmatch(clean)
    if match is None:
        raise UsageError(f"'{clean}' is not a length.", f"Write it like {like}.")
    unit = unit_called(match["unit"] or usual)
    if unit not in LENGTHS:
        raise UsageError(f"'{match['unit']}' in '{clean}' is not in, mm or cm.", f"Write it like {like}.")
    amount = with_fraction(match["number"].strip())
    if amount < 0:
        raise UsageError(f"'{clean}' is below zero: nothing measures less than nothing.", f"Write it like {like}.")
    return to_stored(amount, unit)


def read_seed(text: str, crop: str) -> str:
    """Read "hard red" or "33 g" (a thousand kernels) as it is kept. UsageError when it says nothing of this crop's kernels."""
    said = one_line(text).strip().casefold()
    weight = re.fullmatch(r"(\d+)(?:[.,](\d+))?\s*(?:g|grams?)", said)
    if weight:
        said = f"{weight[1]}{f'.{weight[2]}' if weight[2] else ''} g"
    if kernel_count_of(crop, said) is None:
        raise UsageError(f"'{one_line(text)}' says nothing of the seed of {one_line(crop)}.", seed_hint(crop))
    return said


def needed_seed(text: str, crop: str, settings: FarmSettings) -> str:
    """Read what was said; nothing where the crop's name or the farm's settings leave no choice between grains of unlike weight.

    Raises
    ------
    UsageError
        When nothing was said and the name may mean several, or what was said means nothing.
    """
    if text.strip():
        return read_seed(text, crop)
    if classes_of(crop) and kernel_count_of(crop, settings.seed_of(crop)) is None:
        raise UsageError(f"{one_line(crop).capitalize()} of which class? {_weights(crop)}.", seed_hint(crop))
    return ""


def seed_hint(crop: str) -> str:
    """Return how the seed of a crop is said."""
    classes = list(classes_of(crop))
    first = f"Say {' or '.join(classes)}, or what" if classes else "Say what"
    return f"{first} 1,000 kernels of your own weigh, like '33 g'; it is kept for this crop."


def _weights(crop: str) -> str:
    return ", ".join(f"{name} {entry.thousand_kernel_grams:.3g} g" for name, entry in classes_of(crop).items()) + (
        " a thousand kernels"
    )


_THREE_PARTS = re.compile(r"(?P<base>[\d.]+)-(?P<haul>[\d.]+)-(?P<above>[\d.]+)")


class SaidRate(NamedTuple):
    """For each unit of area `base_minor`; for each unit of grain `haul_minor`, and as much more above `threshold` units."""

    base_minor: int
    haul_minor: int = 0
    threshold: float = 0.0


def custom_rate(text: str) -> SaidRate:
    """Read a custom rate.

    Notes
    -----
    "20-20-20" is 20 an acre, 20 cents for each bushel hauled, and as much more for each bushel above 20 an acre (custom
    cutters of the plains, trade press 2011).

    Raises
    ------
    UsageError
        When it is neither an amount nor such a rate.
    """
    found = _THREE_PARTS.fullmatch(text.strip())
    if found is None:
        return SaidRate(money(text))
    base, haul, above = (float(found[part]) for part in ("base", "haul", "above"))
    if haul > 1000:
        raise UsageError(f"'{one_line(text)}' is no rate of three parts.", "Write it like 20-20-20, or 40 an acre.")
    return SaidRate(round(100 * base), round(haul), above)
