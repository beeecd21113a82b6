"""The words in which the import format is written: forms of cells, ways to name a row, columns. The sheets are in sheets.py."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from enum import Enum, StrEnum, auto
from types import MappingProxyType
from typing import Final, Literal, TypeAlias

from wearlog.facts.closed_lists import MeterKind, Sensor
from wearlog.units import ACRE_SQUARE_METRES, FOOT_METRES, HECTARE_SQUARE_METRES, MILE_METRES, POUND_GRAMS, STORED_UNITS


class Form(Enum):
    """How the text of a cell becomes the value of a field. Units stand at the end of the heading: area_ac, shown_h."""

    TEXT = auto()
    COUNT = auto()  #: whole number
    AREA = auto()  #: _ac _ha _m2 -> square metres
    DURATION = auto()  #: _h _min _s -> seconds
    USAGE = auto()  #: _h _min _s or _ac _ha _m2, as the meter of the row counts
    AGE = auto()  #: a usage, or the word unknown
    LENGTH = auto()  #: _in _ft _mm _m _um -> micrometres
    MASS = auto()  #: _lb _kg _g -> grams
    MASS_PER_AREA = auto()  #: _kg_per_ha _lb_per_ac _g_per_ha _t_per_ha _bu_per_ac -> grams per hectare
    MONEY = auto()  #: decimal amount of the farm's currency -> minor units
    IMPACTS = auto()  #: _per_1000_ac _per_1000_ha -> breakages per million square kilometres
    THOUSANDTHS = auto()  #: decimal number -> thousandths
    HUNDREDTHS = auto()  #: per cent -> hundredths of a per cent
    SHARE = auto()  #: per cent -> millionths of the whole
    MILLIONTHS = auto()  #: decimal number -> millionths
    MILLIMETRES = auto()  #: _in _ft _mm _m -> millimetres
    DISTANCE = auto()  #: _mi _km _m by road -> metres
    CLOCK = auto()  #: 07:30 -> seconds since midnight
    WEEKDAY = auto()  #: Monday, or its first letters -> 0
    AMPERES = auto()  #: amperes -> milliamperes
    PER_FT2 = auto()  #: _per_ft2 _per_m2 _per_ha (kernels) -> per hectare
    SENSOR = auto()  #: in a unit of the row's sensor, or without a unit in the sensor's stored unit
    INSTANT = auto()  #: 2025-07-28 16:20 (the farm's clock) or with an offset or Z
    DAY = auto()  #: 2025-07-28
    FLAG = auto()  #: yes or no, empty = no
    LISTED = auto()  #: one value of a closed list
    SEVERAL = auto()  #: values of a closed list, separated by commas
    WORDS = auto()  #: words of a person, separated by commas
    POSITIONS = auto()  #: 41-43, 50
    POINTER = auto()  #: names a row of another sheet


class By(Enum):
    """How a pointer names the row it means. Any pointer may hold the key of the row instead."""

    NAME = auto()  #: by name (machine, field, crop, part_kind), number (part) or year (season)
    KEY = auto()  #: by the key of its row (repair, breakage, fault)
    METER = auto()  #: columns `machine` and `meter`
    COMPONENT = auto()  #: columns `machine` and `component` (its place, which is its own on the machine)
    SERVICE = auto()  #: columns `machine` and `service` (its name)
    NODE = auto()  #: columns `machine` and the heading itself (a node's name is its own on the machine)
    SHARED_NODE = (
        auto()
    )  #: columns `machine` and the heading itself: a node of the diagram that machines of its type share
    PLAN = auto()  #: columns `season` (harvest year) and `plan` (its name, may be empty)


class LoneDay(Enum):
    """Which moment a day without a time means."""

    FIRST = "00:00"
    NOON = "12:00"
    LAST = "24:00"


@dataclass(frozen=True, slots=True)
class SheetColumn:
    """One heading (without its unit) of a sheet and the field of the fact it fills. `also` is a second spelling."""

    heading: str
    field: str
    form: Form
    meaning: str = ""
    needed: bool = False
    closed_list: type[StrEnum] | None = None
    target: str = ""
    by: By | None = None
    lone_day: LoneDay = LoneDay.FIRST
    also: str = ""


def pointer(
    heading: str, target: str, by: By = By.NAME, *, field: str = "", meaning: str = "", needed: bool = False
) -> SheetColumn:
    """A column that names a row of the sheet `target`."""
    return SheetColumn(heading, field or f"{target}_id", Form.POINTER, meaning, needed, target=target, by=by)


def listed(heading: str, closed_list: type[StrEnum], *, field: str = "", needed: bool = False) -> SheetColumn:
    """A column that holds one value of a closed list."""
    return SheetColumn(heading, field or heading, Form.LISTED, needed=needed, closed_list=closed_list)


def text(heading: str, meaning: str = "", *, needed: bool = False) -> SheetColumn:
    """A column of free text."""
    return SheetColumn(heading, heading, Form.TEXT, meaning, needed)


def when(
    heading: str, field: str, meaning: str = "", *, needed: bool = False, lone_day: LoneDay = LoneDay.FIRST
) -> SheetColumn:
    """A column that holds a time."""
    return SheetColumn(heading, field, Form.INSTANT, meaning, needed, lone_day=lone_day)


#: columns that many sheets have
AT: Final = when("at", "at", needed=True, lone_day=LoneDay.NOON)
NOTE: Final = text("note")
MACHINE: Final = pointer("machine", "machine", needed=True)

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
        Form.SHARE: {"": Decimal(10_000)},
        Form.MILLIONTHS: {"": Decimal(1_000_000)},
        Form.MILLIMETRES: {unit: factor / 1000 for unit, factor in _stored(*LENGTH_UNITS[:-1]).items()},
        Form.DISTANCE: {"mi": MILE_METRES, "km": Decimal(1000), "m": Decimal(1)},
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
            Form.MILLIMETRES: "ft",
            Form.DISTANCE: "mi",
            Form.MASS: "lb",
            Form.MASS_PER_AREA: "lb_per_ac",
            Form.IMPACTS: "per_1000_ac",
            Form.PER_FT2: "per_ft2",
        },
        "metric": {
            Form.AREA: "ha",
            Form.LENGTH: "mm",
            Form.MILLIMETRES: "m",
            Form.DISTANCE: "km",
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
