"""The words in which the import format is written: forms of cells, ways to name a row, columns. The sheets are in sheets.py."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum, StrEnum, auto


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
