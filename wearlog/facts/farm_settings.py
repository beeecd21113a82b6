"""The farm's own settings read from their rows, and numbers, money, times and measures written in its units.

What is not set has a usual value that says so. Digits are rounded for the eye only.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal, InvalidOperation
from functools import lru_cache
from typing import TYPE_CHECKING, Final
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from wearlog.errors import RefusedError
from wearlog.facts.closed_lists import MeterKind
from wearlog.facts.days import date_said
from wearlog.facts.departures import SET_ASIDE_FOR, Departure, aside_key, read_departures
from wearlog.facts.neighbours import LEARNED_OF, OWN_KEYS, SUMS_OF, NeighbourLife, check_neighbours, learned_lives
from wearlog.machine_clock import MachineClock
from wearlog.units import ACRE_SQUARE_METRES, FOOT_METRES, HECTARE_SQUARE_METRES, INCH_MICROMETRES, MILE_METRES

if TYPE_CHECKING:
    from wearlog.facts.bookkeeping import Setting

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

    def road(self, metres: float) -> str:
        """Return a distance by road, "12 mi" or "19 km"."""
        return f"{number(metres / 1000)} km" if self.settings.is_metric else f"{number(metres / float(MILE_METRES))} mi"

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

    def date_said(self, at: datetime | date | int | None, today: datetime | date | None = None) -> str:
        """Return "28 Jul 2026" by the farm's clock, as every sentence says a day; without the year where it is that of `today`.

        Columns that are ordered, files and what is typed back have `day`.
        """
        if at is None:
            return NOTHING
        return date_said(at if isinstance(at, date) and not isinstance(at, datetime) else self.local(at).date(), today)

    def time_said(self, at: datetime | int | None, today: datetime | date | None = None) -> str:
        """Return "28 Jul 2026 16:20" by the farm's clock, as every sentence says an instant."""
        return NOTHING if at is None else f"{self.date_said(at, today)} {self.local(at):%H:%M}"

    def moment(self, at: datetime | int | None) -> str:
        """Return 2026-07-28 16:20 by the farm's clock."""
        return NOTHING if at is None else f"{self.local(at):%Y-%m-%d %H:%M}"


#: hired farm workers' mean wage, 2023: USDA NASS through the trade press; rounded
USUAL_LABOUR_RATE_MINOR: Final = 1853

#: a lost harvest day of 900 in 8 hours: Iowa State (Hanna), update of 2018
USUAL_DOWNTIME_MINOR: Final = 11250

USUAL_DOWNTIME_SOURCE: Final = (
    "Iowa State extension, 2018: a lost harvest day costs 900, 8 hours a day; set your own value"
)

#: a mile on farm roads with a pickup, and how fast one drives on them (common practice, no source): 0.70 US dollars, 45 mph
USUAL_DRIVING_MINOR_A_MILE: Final = 70
USUAL_DRIVING_MILES_AN_HOUR: Final = 45

#: what driving costs and how fast one drives, each with the unit in which it was said: "0.70 mi", "0.45 km"
DRIVING_KEYS: Final = ("driving_cost", "driving_speed")

_DRIVEN = re.compile(r"(?P<figure>[0-9]+(?:[.,][0-9]+)?)\s*(?P<unit>mi|km)")

#: begins the key of what the farm said of the seed of one crop: "seed of wheat" is "hard red", or "33 g" for a thousand kernels
SEED_OF: Final = "seed of "

#: begins the key of the moisture at which the farm's buyer calls a crop dry: "dry standard of wheat" is "13.5", in per cent
DRY_OF: Final = "dry standard of "

_WETTEST: Final = 40

LEFT_OUT: Final = "left out, as the farm set it"

UNITS: Final = ("us", "metric")

MONEY_KEYS: Final = ("labour_rate", "downtime_value_per_hour")

_TOO_MUCH: Final = 1_000_000

#: nobody drives faster on farm roads, in any unit
_FASTEST: Final = 200


@dataclass(frozen=True, slots=True)
class FarmSettings:
    """Settings with their usual values; money in minor units, `time_zone` an IANA name ("" = this machine's clock)."""

    farm_name: str = ""
    currency: str = "USD"
    units: str = "us"
    time_zone: str = ""
    labour_rate_minor: int = USUAL_LABOUR_RATE_MINOR
    downtime_minor: int = USUAL_DOWNTIME_MINOR
    downtime_source: str = USUAL_DOWNTIME_SOURCE
    seeds: tuple[tuple[str, str], ...] = ()
    dry_standards: tuple[tuple[str, str], ...] = ()
    set_aside: tuple[tuple[str, str], ...] = ()
    neighbours: tuple[NeighbourLife, ...] = ()
    driving_cost: str = ""
    driving_speed: str = ""

    @property
    def driving_minor_a_metre(self) -> float:
        """What a metre on the road costs, in minor units, the driver's time not counted."""
        said = _driven(self.driving_cost)
        return USUAL_DRIVING_MINOR_A_MILE / float(MILE_METRES) if said is None else said[0] * 100 / said[1]

    @property
    def driving_metres_an_hour(self) -> float:
        """How far one drives in an hour."""
        said = _driven(self.driving_speed)
        return USUAL_DRIVING_MILES_AN_HOUR * float(MILE_METRES) if said is None else said[0] * said[1]

    @property
    def is_metric(self) -> bool:
        return self.units == "metric"

    def seed_of(self, crop: str) -> str:
        """Return what the farm said of the seed of a crop; nothing where it said nothing."""
        return dict(self.seeds).get(seed_key(crop), "")

    def local(self, at: datetime) -> datetime:
        """Return a moment as the farm's clock shows it; this machine's where the farm named none."""
        return at.astimezone(ZoneInfo(self.time_zone) if self.time_zone else MachineClock())

    def by_clock(self, now: datetime) -> datetime:
        """Return the same, but as it is where the farm named no clock: whose now it is knows its own."""
        return self.local(now) if self.time_zone else now

    def dry_of(self, crop: str) -> float | None:
        """Return the moisture at which a crop is dry, per cent, as the farm said; None where it said nothing."""
        said = dict(self.dry_standards).get(dry_key(crop))
        return None if said is None else float(said)

    def without(self, kind: str) -> frozenset[Departure]:
        """Return what the farm set aside in the reckoning of a kind of part."""
        return read_departures(dict(self.set_aside).get(aside_key(kind), "")) or frozenset()

    @property
    def area_unit(self) -> str:
        """The unit of an area where none is written."""
        return "ha" if self.is_metric else "ac"

    @property
    def width_unit(self) -> str:
        """The unit of a width of cut where none is written."""
        return "m" if self.is_metric else "ft"


def farm_settings(rows: Iterable[Setting]) -> FarmSettings:
    """Read the settings; of two rows of one key (after a merge) the one entered later counts, and a spoilt one is passed over."""
    return _settings(tuple((row.key, row.content) for row in sorted(rows, key=lambda row: row.id.int)))


@lru_cache(maxsize=8)
def _settings(said: tuple[tuple[str, str], ...]) -> FarmSettings:
    """Read the keys with what they are set to, as they were entered: once for every entry, and mostly they stay what they were."""
    content = {
        key: its
        for key, its in said
        # a log of an earlier wearlog may call its money otherwise than by three letters: shown as it was set
        if key == "currency" or not _spoilt(key, its)
    }
    usual = FarmSettings()
    own_downtime = "downtime_value_per_hour" in content
    downtime = _minor(content.get("downtime_value_per_hour"), usual.downtime_minor)
    source = content.get("downtime_value_source", "set by the farm" if own_downtime else usual.downtime_source)
    return FarmSettings(
        farm_name=content.get("farm_name", usual.farm_name),
        currency=content.get("currency", usual.currency),
        units=content.get("units", usual.units),
        time_zone=content.get("time_zone", usual.time_zone),
        labour_rate_minor=_minor(content.get("labour_rate"), usual.labour_rate_minor),
        downtime_minor=downtime,
        # where an earlier figure came from says nothing about leaving it out
        downtime_source=source if downtime else LEFT_OUT,
        seeds=tuple(sorted((key, said) for key, said in content.items() if key.startswith(SEED_OF))),
        dry_standards=tuple(sorted((key, said) for key, said in content.items() if key.startswith(DRY_OF))),
        set_aside=tuple(sorted((key, said) for key, said in content.items() if key.startswith(SET_ASIDE_FOR))),
        neighbours=learned_lives(content) if any(key.startswith(LEARNED_OF) for key in content) else (),
        driving_cost=content.get("driving_cost", ""),
        driving_speed=content.get("driving_speed", ""),
    )


def _driven(content: str) -> tuple[float, float] | None:
    """Return the figure of "0.70 mi" or "72 km", and the metres of its unit; None for what is neither."""
    found = _DRIVEN.fullmatch(content)
    if found is None:
        return None
    return float(found["figure"].replace(",", ".")), float(MILE_METRES) if found["unit"] == "mi" else 1000.0


def driving_kept(key: str, content: str, unit: str) -> str:
    """Return what was said of driving as it is kept, "0.70 mi": a bare figure is a mile's or a kilometre's, as `unit` says.

    Raises
    ------
    RefusedError
        When it is no figure, or one of nothing that is driven.
    """
    clean = re.sub(r"\s+", " ", content.strip().casefold())
    clean = re.sub(r"\s*(/|per|an?)\s*(mile|mi|kilomet(?:re|er)|km)$", r" \2", clean)
    words = {"mph": "mi", "miles": "mi", "mile": "mi", "km/h": "km", "kmh": "km", "kph": "km"}
    figure, _, said = clean.partition(" ")
    glued = re.fullmatch(r"([0-9.,]+)([a-z/]+)", figure)
    if glued is not None:
        figure, said = glued.group(1), glued.group(2)
    said = "km" if said.startswith("kilomet") else words.get(said, said) or unit
    kept = f"{figure.replace(',', '.')} {said}"
    found = _driven(kept)
    most = _FASTEST if key == "driving_speed" else _TOO_MUCH
    if found is None or not (0 <= found[0] < most) or (key == "driving_speed" and found[0] == 0):
        like = f"45 {'mph' if unit == 'mi' else 'km/h'}" if key == "driving_speed" else f"0.70 for one {unit}"
        what = "speed on the road" if key == "driving_speed" else "price of driving"
        raise RefusedError(f"'{content}' is no {what}.", f"Write it like {like}.")
    return kept


def seed_key(crop: str) -> str:
    """Return the key under which the seed of a crop is set."""
    return f"{SEED_OF}{' '.join(crop.casefold().split())}"


def dry_key(crop: str) -> str:
    """Return the key under which the moisture of dry grain of a crop is set."""
    return f"{DRY_OF}{' '.join(crop.casefold().split())}"


def _minor(text: str | None, usual: int) -> int:
    return usual if text is None else int((Decimal(text) * 100).to_integral_value())


def _is_amount(content: str, most: int = _TOO_MUCH) -> bool:
    """Nothing is an amount: own labour may be reckoned at 0. What is no number is none."""
    try:
        found = Decimal(content)
    except InvalidOperation:
        return False
    return found.is_finite() and 0 <= found < most


def _spoilt(key: str, content: str) -> bool:
    try:
        check_setting(key, content)
    except RefusedError:
        return True
    return False


#: of a currency (ISO 4217)
_LETTERS = 3


def check_setting(key: str, content: str) -> None:
    """Refuse a setting that nobody would understand: an amount that is none, a clock that is not there, other units."""
    if key in MONEY_KEYS:
        if not _is_amount(content):
            raise RefusedError(f"'{content}' is not an amount for {key}.", "Write it like 26.00; 0 leaves it out.")
    elif key.startswith(DRY_OF) and not _is_amount(content, _WETTEST):
        raise RefusedError(f"'{content}' is no moisture of dry grain.", "Write it in per cent, like 13.5.")
    elif key.startswith(SET_ASIDE_FOR) and read_departures(content) is None:
        raise RefusedError(
            f"'{content}' is nothing that the reckoning of a kind can set aside.",
            f"There are: {', '.join(Departure)}; nothing takes all of them up again.",
        )
    elif key.startswith((SUMS_OF, LEARNED_OF)) or key in OWN_KEYS:
        check_neighbours(key, content)
    elif key == "currency" and not (len(content) == _LETTERS and content.isascii() and content.isalpha()):
        raise RefusedError(f"'{content}' is not a currency.", "Write its three letters, like USD or EUR.")
    elif key in DRIVING_KEYS and _driven(content) is None:
        raise RefusedError(f"'{content}' says nothing of driving.", "Write it like 0.70 mi, or 45 mi for the speed.")
    elif key == "units" and content not in UNITS:
        raise RefusedError(f"'{content}' are not units wearlog knows.", "Choose us or metric.")
    elif key == "time_zone":
        try:
            ZoneInfo(content)
        except (ZoneInfoNotFoundError, ValueError, OSError) as error:
            raise RefusedError(f"There is no time zone '{content}'.", "Write it like America/Denver.") from error
