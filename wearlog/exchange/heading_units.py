"""The units that may end a heading, form by form, with their factors to what is stored. No text is read here."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from types import MappingProxyType
from typing import Final, Literal, TypeAlias

from wearlog.exchange.columns import Form, SheetColumn
from wearlog.facts.closed_lists import MeterKind, Sensor
from wearlog.units import ACRE_SQUARE_METRES, FOOT_METRES, HECTARE_SQUARE_METRES, MILE_METRES, POUND_GRAMS, STORED_UNITS

System: TypeAlias = Literal["us", "metric"]

AREA_UNITS: Final = ("ac", "ha", "m2")
TIME_UNITS: Final = ("h", "min", "s")
#: of parts that age by days, months and years; a year is the calendar's mean one
CALENDAR_UNITS: Final = ("d", "mo", "y")
LENGTH_UNITS: Final = ("in", "ft", "mm", "m", "um")
MASS_UNITS: Final = ("lb", "kg", "g")
#: bushels per acre need the crop's bushel, so their factor is for a bushel of one gram
BUSHELS_PER_ACRE: Final = "bu_per_ac"
_THOUSAND_ACRES: Final = 1000 * ACRE_SQUARE_METRES
_MILLION_SQUARE_KILOMETRES: Final = Decimal(10) ** 12


def _stored(*units: str) -> dict[str, Decimal]:
    return {unit: STORED_UNITS[unit] for unit in units}


#: unit at the end of the heading -> how many stored units one of it is; "" is a heading without a unit
UNITS: Final[Mapping[Form, Mapping[str, Decimal]]] = MappingProxyType(
    {
        Form.AREA: _stored(*AREA_UNITS),
        Form.DURATION: _stored(*TIME_UNITS),
        Form.USAGE: _stored(*TIME_UNITS, *CALENDAR_UNITS, *AREA_UNITS),
        Form.AGE: {**_stored(*TIME_UNITS, *CALENDAR_UNITS, *AREA_UNITS), "": Decimal(1)},
        Form.LENGTH: _stored(*LENGTH_UNITS),
        Form.MASS: _stored(*MASS_UNITS),
        Form.MASS_PER_AREA: {
            "kg_per_ha": Decimal(1000),
            "t_per_ha": Decimal(1_000_000),
            "g_per_ha": Decimal(1),
            "lb_per_ac": POUND_GRAMS * HECTARE_SQUARE_METRES / ACRE_SQUARE_METRES,
            BUSHELS_PER_ACRE: HECTARE_SQUARE_METRES / ACRE_SQUARE_METRES,
        },
        Form.MONEY: {"": Decimal(100)},
        Form.IMPACTS: {
            "per_1000_ac": _MILLION_SQUARE_KILOMETRES / _THOUSAND_ACRES,
            "per_1000_ha": _MILLION_SQUARE_KILOMETRES / (1000 * HECTARE_SQUARE_METRES),
        },
        Form.THOUSANDTHS: {"": Decimal(1000)},
        Form.HUNDREDTHS: {"": Decimal(100)},
        Form.AMPERES: {"": Decimal(1000)},
        Form.PER_FT2: {
            "per_ft2": HECTARE_SQUARE_METRES / FOOT_METRES**2,
            "per_m2": HECTARE_SQUARE_METRES,
            "per_ha": Decimal(1),
        },
        Form.SENSOR: {
            "": Decimal(1),
            **_stored(*MASS_UNITS, *AREA_UNITS, *LENGTH_UNITS),
            "pct": Decimal(100),
            "mph": MILE_METRES * 1000 / 3600,
            "km_per_h": Decimal(1_000_000) / 3600,
        },
    }
)

#: which units belong to which sensor
SENSOR_UNITS: Final[Mapping[Sensor, tuple[str, ...]]] = MappingProxyType(
    {
        Sensor.YIELD_LOAD: MASS_UNITS,
        Sensor.MOISTURE: ("pct",),
        Sensor.GROUND_SPEED: ("mph", "km_per_h"),
        Sensor.AREA_COUNT: AREA_UNITS,
        Sensor.HEADER_HEIGHT: LENGTH_UNITS,
    }
)

_SYSTEM_UNITS: Final[Mapping[System, Mapping[Form, str]]] = MappingProxyType(
    {
        "us": {
            Form.AREA: "ac",
            Form.LENGTH: "in",
            Form.MASS: "lb",
            Form.MASS_PER_AREA: "lb_per_ac",
            Form.IMPACTS: "per_1000_ac",
            Form.PER_FT2: "per_ft2",
        },
        "metric": {
            Form.AREA: "ha",
            Form.LENGTH: "mm",
            Form.MASS: "kg",
            Form.MASS_PER_AREA: "kg_per_ha",
            Form.IMPACTS: "per_1000_ha",
            Form.PER_FT2: "per_m2",
        },
    }
)
_SENSOR_SYSTEM_UNITS: Final[Mapping[System, Mapping[Sensor, str]]] = MappingProxyType(
    {
        "us": {
            Sensor.YIELD_LOAD: "lb",
            Sensor.MOISTURE: "pct",
            Sensor.GROUND_SPEED: "mph",
            Sensor.AREA_COUNT: "ac",
            Sensor.HEADER_HEIGHT: "in",
        },
        "metric": {
            Sensor.YIELD_LOAD: "kg",
            Sensor.MOISTURE: "pct",
            Sensor.GROUND_SPEED: "km_per_h",
            Sensor.AREA_COUNT: "ha",
            Sensor.HEADER_HEIGHT: "mm",
        },
    }
)


@dataclass(frozen=True, slots=True)
class Measure:
    """What decides the unit of a cell besides its form: the meter or the sensor of its row."""

    meter: MeterKind | None = None
    sensor: Sensor | None = None


def units_of(column: SheetColumn) -> Mapping[str, Decimal]:
    """Return the units that may end this column's heading; "" alone for a column that has none."""
    return UNITS.get(column.form, {"": Decimal(1)})


def heading_with(column: SheetColumn, unit: str) -> str:
    """Return the whole heading."""
    return f"{column.heading}_{unit}" if unit else column.heading


def written_unit(column: SheetColumn, system: System, measure: Measure) -> str:
    """Return the unit in which a value of this column is written."""
    if column.form in (Form.USAGE, Form.AGE):
        if measure.meter is MeterKind.CALENDAR:
            return "d"
        return _SYSTEM_UNITS[system][Form.AREA] if measure.meter is MeterKind.AREA else "h"
    if column.form is Form.SENSOR:
        return _SENSOR_SYSTEM_UNITS[system][measure.sensor] if measure.sensor else ""
    if column.form is Form.DURATION:
        return "h"
    return _SYSTEM_UNITS[system].get(column.form, "")
