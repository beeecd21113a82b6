"""Measures as people write them: areas, widths, hours, ages. A bare figure is in the farm's own unit. Writes nothing.

Commands and forms read every measure here, so that the same words mean the same on both. Lengths off a caliper are in
said_lengths.py, what sensors, frames and yields show in said_amounts.py, by the same rule.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal
from typing import Final
from zoneinfo import ZoneInfo

from wearlog.errors import UsageError
from wearlog.facts.closed_lists import MeterKind
from wearlog.facts.farm_settings import FarmSettings, farm_settings
from wearlog.facts.plain_text import one_line
from wearlog.logbook.known_names import KnownNames
from wearlog.units import from_stored, read_number, to_stored

HOURS: Final = ("h", "min")
AREAS: Final = ("ac", "ha")
DAYS: Final = ("d", "wk", "mo", "y")
WIDTHS: Final = ("ft", "m", "in")
WEIGHTS: Final = ("lb", "kg")
_GROUPED: Final = re.compile(r"[+-]?\d{1,3}(,\d{3})+(\.\d+)?")
_UNIT: Final = re.compile(r"[A-Za-z'\"]+\d?$")
#: how people write a unit -> the unit as it is stored
_ALSO: Final = {
    "acres": "ac",
    "acre": "ac",
    "hectares": "ha",
    "hectare": "ha",
    "hours": "h",
    "hour": "h",
    "hrs": "h",
    "hr": "h",
    "minutes": "min",
    "feet": "ft",
    "foot": "ft",
    "'": "ft",
    "inches": "in",
    "inch": "in",
    '"': "in",
    "days": "d",
    "day": "d",
    "weeks": "wk",
    "week": "wk",
    "months": "mo",
    "month": "mo",
    "years": "y",
    "year": "y",
    "yr": "y",
    "yrs": "y",
    "metres": "m",
    "lbs": "lb",
    "pounds": "lb",
    "meters": "m",
}


@dataclass(frozen=True, slots=True)
class FarmReader:
    """Reads measures for one farm. Each reader raises UsageError for what is no number, below zero or of another unit."""

    settings: FarmSettings

    def area(self, text: str) -> int:
        """Read "120", "120 ac" or "48,5 ha" in square metres."""
        return measure(text, AREAS, self.settings.area_unit)

    def width(self, text: str) -> int:
        """Read a width of cut, "40", "40 ft" or "12.2 m", in micrometres."""
        return measure(text, WIDTHS, self.settings.width_unit)

    def bushel(self, text: str) -> int:
        """Read what a bushel weighs, "60", "60 lb" or "27.2 kg", in grams."""
        return measure(text, WEIGHTS, "kg" if self.settings.is_metric else "lb")

    def usage(self, meter: MeterKind, text: str) -> int:
        """Read what a meter shows, in seconds or square metres."""
        if meter is MeterKind.CALENDAR:
            return measure(text, DAYS, "d")
        return self.area(text) if meter is MeterKind.AREA else hours(text)

    def age(self, meter: MeterKind, text: str) -> int | None:
        """Read the age of a part in the units of its meter: new, or so many hours or acres; None for unknown."""
        clean = one_line(text).casefold()
        if clean in ("unknown", "not known", "?", "-"):
            return None
        if clean in ("new", ""):
            return 0
        try:
            return self.usage(meter, clean)
        except UsageError as error:
            example = {MeterKind.AREA: f"400 {self.settings.area_unit}", MeterKind.CALENDAR: "3 y or 400 d"}
            said = example.get(meter, "400 h")
            raise UsageError(error.message, f"Write new, unknown, or its age like {said}.") from error


@dataclass(frozen=True, slots=True)
class FarmSpeaker:
    """Says measures and times in the sentences of entries, as the same farm would write them."""

    settings: FarmSettings

    def area(self, square_metres: int) -> str:
        """Say 118.0 ac."""
        return f"{from_stored(square_metres, self.settings.area_unit):,.1f} {self.settings.area_unit}"

    def usage(self, meter: MeterKind, usage: int) -> str:
        """Say 2,310.4 engine hours."""
        if meter is MeterKind.AREA:
            return self.area(usage)
        if meter is MeterKind.CALENDAR:
            return f"{from_stored(usage, 'd'):,.0f} days"
        return f"{from_stored(usage, 'h'):,.1f} {meter.value.replace('_', ' ')}"

    def moment(self, at: datetime) -> str:
        """Say 2026-07-28 16:20 by the farm's clock."""
        return f"{self._local(at):%Y-%m-%d %H:%M}"

    def day(self, at: datetime) -> str:
        """Say 2026-07-28 by the farm's clock."""
        return f"{self._local(at):%Y-%m-%d}"

    def _local(self, at: datetime) -> datetime:
        return at.astimezone(ZoneInfo(self.settings.time_zone) if self.settings.time_zone else None)


def farm_reader(known: KnownNames) -> FarmReader:
    """Return the reader of the farm whose settings these are."""
    return FarmReader(farm_settings(known.settings))


def farm_speaker(known: KnownNames) -> FarmSpeaker:
    """Return the speaker of the farm whose settings these are."""
    return FarmSpeaker(farm_settings(known.settings))


def hours(text: str) -> int:
    """Read hours (or 90 min) as seconds."""
    return measure(text, HOURS, "h")


def plain_number(text: str) -> Decimal:
    """Read a number; a comma before three digits groups thousands, any other comma is decimal."""
    clean = text.strip()
    return read_number(clean, decimal_comma=False if _GROUPED.fullmatch(clean) else None)


def measure(text: str, units: Sequence[str], usual: str) -> int:
    """Read "120", "120 ac" or "48,5 ha" as stored units; without a unit it is the usual one.

    Square metres are taken wherever acres are.

    Raises
    ------
    UsageError
        When it is no number, is below zero, or has a unit that does not belong here.
    """
    clean = one_line(text)
    match = _UNIT.search(clean)
    number, unit = clean, usual
    if match is not None and any(one.isdigit() for one in clean[: match.start()]):
        number, unit = clean[: match.start()].strip(), match.group().casefold()
        unit = _ALSO.get(unit, unit)
        if unit not in units and not (unit == "m2" and "ac" in units):
            raise UsageError(
                f"'{match.group()}' in '{clean}' is not {' or '.join(units)}.", f"Write it like 120 {usual}."
            )
    amount = plain_number(number)
    if amount < 0:
        raise UsageError(f"'{clean}' is below zero.", f"Write it like 120 {usual}.")
    return to_stored(amount, unit)


def money(text: str) -> int:
    """Read an amount as minor units."""
    amount = plain_number(text)
    if amount < 0:
        raise UsageError(f"'{one_line(text)}' is below zero.", "Write it like 12.50.")
    return int((amount * 100).to_integral_value())
