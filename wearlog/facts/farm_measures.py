"""Numbers, money, times and measures as people read them, in the farm's units. Rounds for the eye only."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal

from wearlog.facts.closed_lists import MeterKind
from wearlog.facts.farm_settings import FarmSettings
from wearlog.units import ACRE_SQUARE_METRES, FOOT_METRES, HECTARE_SQUARE_METRES, INCH_MICROMETRES, MILE_METRES

NOTHING = "-"
_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)


def number(value: float | Decimal | None, places: int = 0) -> str:
    """Return 1,240 or 3.5; a dash for nothing, and never a minus before zero."""
    if value is None:
        return NOTHING
    text = f"{value:,.{places}f}"
    return text.lstrip("-") if not text.strip("-0.,") else text


def amount(minor: int | float | None, *, cents: bool = True) -> str:
    """Return minor units as 1,234.50, or 1,235 without the cents."""
    if minor is None:
        return NOTHING
    return number(Decimal(round(minor)) / 100, 2) if cents else number(Decimal(round(minor)) / 100)


@dataclass(frozen=True, slots=True)
class Measures:
    """How this farm writes measures and the time of day."""

    settings: FarmSettings

    @property
    def area_unit(self) -> str:
        return self.settings.area_unit

    @property
    def area_word(self) -> str:
        """Acres or hectares, as the keys of JSON name them."""
        return "hectares" if self.settings.is_metric else "acres"

    def area_number(self, square_metres: float) -> float:
        """Return square metres in the farm's unit of area."""
        return square_metres / float(HECTARE_SQUARE_METRES if self.settings.is_metric else ACRE_SQUARE_METRES)

    def area(self, square_metres: float | None, places: int = 0) -> str:
        if square_metres is None:
            return NOTHING
        return f"{number(self.area_number(square_metres), places)} {self.area_unit}"

    def usage_unit(self, kind: MeterKind) -> str:
        if kind is MeterKind.CALENDAR:
            return "d"
        return self.area_unit if kind is MeterKind.AREA else "h"

    def usage_number(self, kind: MeterKind, usage: float) -> float:
        """Return seconds in hours (of the calendar in days), square metres in the farm's unit of area."""
        if kind is MeterKind.CALENDAR:
            return usage / 86_400
        return self.area_number(usage) if kind is MeterKind.AREA else usage / 3600

    def usage(self, kind: MeterKind, usage: float | None, places: int = 0) -> str:
        """Return 1,240 ac or 312 h."""
        if usage is None:
            return NOTHING
        return f"{number(self.usage_number(kind, usage), places)} {self.usage_unit(kind)}"

    def per_thousand_unit(self) -> str:
        return f"1,000 {self.area_unit}"

    def per_thousand(self, per_square_metre: float) -> float:
        """Return a rate per square metre as a rate per 1,000 acres or hectares."""
        return per_square_metre * 1000 * float(HECTARE_SQUARE_METRES if self.settings.is_metric else ACRE_SQUARE_METRES)

    def width(self, micrometres: int | None) -> str:
        """Return a width of cut: 40 ft or 12.2 m."""
        if micrometres is None:
            return NOTHING
        if self.settings.is_metric:
            return f"{number(micrometres / 1e6, 1)} m"
        return f"{number(micrometres / 1e6 / float(FOOT_METRES))} ft"

    def speed(self, metres_per_second: float) -> str:
        """Return a ground speed: 4.5 mph or 7.2 km/h."""
        if self.settings.is_metric:
            return f"{number(metres_per_second * 3.6, 1)} km/h"
        return f"{number(metres_per_second * 3600 / float(MILE_METRES), 1)} mph"

    def small_length(self, micrometres: float | None) -> str:
        """Return a wear dimension: 0.125 in or 3.2 mm."""
        if micrometres is None:
            return NOTHING
        if self.settings.is_metric:
            return f"{number(micrometres / 1000, 1)} mm"
        return f"{number(micrometres / float(INCH_MICROMETRES), 3)} in"

    def money(self, minor: int | float | None, *, cents: bool = True) -> str:
        return NOTHING if minor is None else f"{amount(minor, cents=cents)} {self.settings.currency}"

    def local(self, at: datetime | int) -> datetime:
        """Return an instant (or microseconds since 1970) on the farm's clock."""
        instant = _EPOCH + timedelta(microseconds=at) if isinstance(at, int) else at
        return self.settings.local(instant)

    def day(self, at: datetime | date | int | None) -> str:
        """Return 2026-07-28 by the farm's clock."""
        if at is None:
            return NOTHING
        if isinstance(at, date) and not isinstance(at, datetime):
            return at.isoformat()
        return self.local(at).date().isoformat()

    def moment(self, at: datetime | int | None) -> str:
        """Return 2026-07-28 16:20 by the farm's clock."""
        return NOTHING if at is None else f"{self.local(at):%Y-%m-%d %H:%M}"
