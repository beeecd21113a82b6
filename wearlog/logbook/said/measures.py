"""Measures, moments and durations as people write them in a field or an option. A bare figure is in the farm's own unit.

Commands and forms read every measure here, so that the same words mean the same on both. Lengths off a caliper are in amounts.py,
with what sensors, frames and yields show, by the same rule.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, time, timedelta, tzinfo
from decimal import Decimal
from types import MappingProxyType
from typing import TYPE_CHECKING, Final, TypeAlias
from zoneinfo import ZoneInfo

from wearlog.errors import UsageError
from wearlog.facts.age_scale import AgeScale
from wearlog.facts.closed_lists import MeterKind
from wearlog.facts.farm_settings import FarmSettings, Measures, number
from wearlog.facts.plain_text import one_line
from wearlog.facts.unit_words import unit_called
from wearlog.logbook.quickline.durations import find_durations
from wearlog.logbook.quickline.moment import find_times, settle
from wearlog.logbook.quickline.tokens import Role, Scan, cut
from wearlog.logbook.said.rough_ages import is_rough, rough_age, without_about
from wearlog.machine_clock import MachineClock
from wearlog.units import (
    ACRE_SQUARE_METRES,
    HECTARE_SQUARE_METRES,
    POUND_GRAMS,
    from_stored,
    plain_number,
    to_stored,
    to_whole,
    with_fraction,
)

if TYPE_CHECKING:
    # the names are read through the store, and a form that reads a measure is painted before it is loaded
    from wearlog.logbook.names import KnownNames

HOURS: Final = ("h", "min")

AREAS: Final = ("ac", "ha")

DAYS: Final = ("d", "wk", "mo", "y")

WIDTHS: Final = ("ft", "m", "in")

WEIGHTS: Final = ("lb", "kg")

_UNIT: Final = re.compile(r"[A-Za-z'\"]+\d?$")

_CLOCK: Final = re.compile(r"(\d{1,4}):([0-5]\d)")

_LONE_FIGURE: Final = re.compile(r"[\d.,' +-]*[A-Za-z]*")

_IN_DAYS: Final = re.compile(r"\b(?:days?|weeks?)\b", re.IGNORECASE)

LENGTHS: Final = ("in", "mm", "cm", "ft", "m")

#: what is said of an age without a figure; None for what nobody knows
AGE_WORDS: Final[Mapping[str, int | None]] = MappingProxyType(
    {"unknown": None, "not known": None, "?": None, "-": None, "new": 0}
)

Number: TypeAlias = Callable[[str], Decimal]


@dataclass(frozen=True, slots=True)
class FarmReader:
    """Reads measures for one farm. Each reader raises UsageError for what is no number, below zero or of another unit."""

    settings: FarmSettings

    def area(self, text: str) -> int:
        """Read "120", "120 ac" or "48,5 ha" in square metres."""
        return measure(text, AREAS, self.settings.area_unit)

    def width(self, text: str) -> int:
        """Read a width of cut, "40", "40 ft" or "12.2 m", in micrometres."""
        return measure(text, WIDTHS, self.settings.width_unit, with_fraction)

    def bushel(self, text: str) -> int:
        """Read what a bushel weighs, "60", "60 lb" or "27.2 kg", in grams."""
        return measure(text, WEIGHTS, "kg" if self.settings.is_metric else "lb")

    def usage(self, meter: MeterKind, text: str) -> int:
        """Read what a meter shows, in seconds or square metres."""
        if meter is MeterKind.CALENDAR:
            return measure(text, DAYS, "d")
        return self.area(text) if meter is MeterKind.AREA else hours(text)

    def age(self, meter: MeterKind, text: str, scale: AgeScale | None = None) -> int | None:
        """Read the age of a part in the units of its meter: new, or so many hours or acres; None for unknown.

        It may be told roughly, too: "about 3 seasons", "since new"; `scale` says what that comes to on its machine.
        """
        clean = without_about(text)
        if clean in AGE_WORDS:
            return AGE_WORDS[clean]
        if not clean:
            return 0
        if is_rough(clean):
            return rough_age(clean, scale)
        try:
            return self.usage(meter, clean)
        except UsageError as error:
            example = {MeterKind.AREA: f"400 {self.settings.area_unit}", MeterKind.CALENDAR: "3 y or 400 d"}
            said = example.get(meter, "400 h")
            raise UsageError(error.message, f"Write new, unknown, or its age like {said}.") from error


class FarmSpeaker(Measures):
    """Says measures in the sentences of entries: as everywhere, but an area with a tenth and what a meter shows with its name."""

    __slots__ = ()

    def area(self, square_metres: float | None, places: int = 1) -> str:
        """Say 118.0 ac."""
        return super().area(square_metres, places)

    def usage(self, kind: MeterKind, usage: float | None, places: int = 1) -> str:
        """Say 2,310.4 engine hours, or 412 days of what ages by the calendar."""
        if usage is None or kind is MeterKind.AREA:
            return self.area(usage, places)
        figure, name = self.usage_number(kind, usage), kind.value.replace("_", " ")
        return f"{number(figure)} days" if kind is MeterKind.CALENDAR else f"{number(figure, places)} {name}"

    def weight(self, grams: int) -> str:
        """Say 220 lb or 100 kg."""
        unit = "kg" if self.settings.is_metric else "lb"
        return f"{from_stored(grams, unit):,.0f} {unit}"

    def crop_yield(self, grams_per_hectare: int) -> str:
        """Say 26,765 lb/ac or 30 t/ha."""
        if self.settings.is_metric:
            return f"{number(grams_per_hectare / 1e6)} t/ha"
        per_acre = grams_per_hectare * float(ACRE_SQUARE_METRES / HECTARE_SQUARE_METRES)
        return f"{number(per_acre / float(POUND_GRAMS))} lb/ac"

    @property
    def zone(self) -> tzinfo:
        """The farm's clock; this machine's where the farm named none."""
        return ZoneInfo(self.settings.time_zone) if self.settings.time_zone else MachineClock()


def farm_reader(known: KnownNames) -> FarmReader:
    """Return the reader of the farm whose settings these are."""
    return FarmReader(known.farm)


def hours(text: str, usual: str = "h", number: Number = plain_number) -> int:
    """Read hours as seconds: 9.5, 9:30, 90 min, 1 h 20 min, half an hour; without a unit they are of the usual one.

    Parameters
    ----------
    usual : str
        "h"; "min" where a bare figure is minutes, and then 9:30 is no duration.
    number : callable
        How figures are read; a sheet knows which of its marks is decimal.

    Raises
    ------
    UsageError
        When it is no number, is below zero, or is of another unit.
    """
    clean = one_line(text)
    clock = _CLOCK.fullmatch(clean)
    if clock is not None and usual == "h":
        return int(clock[1]) * 3600 + int(clock[2]) * 60
    try:
        return measure(clean, HOURS, usual, number)
    except UsageError:
        # of a lone figure and its unit all is said already: another reading would be a guess at its comma
        spoken = None if _LONE_FIGURE.fullmatch(clean) else spoken_duration(clean)
        if spoken is None:
            raise
        return spoken


def spoken_duration(text: str) -> int | None:
    """Return the seconds that words like "1 h 20 min" say to the plain line; None when they say none, or whole days."""

    if not any(one.isalpha() for one in text) or _IN_DAYS.search(text):
        return None
    try:
        return read_duration(text)
    except UsageError:
        return None


def kin(unit: str) -> tuple[str, ...]:
    """Return the units in which the same thing is said as in `unit`; none for a unit that is not said behind a figure."""
    groups = ((*AREAS, "m2"), (*HOURS, "s"), DAYS, (*LENGTHS, "um"), (*WEIGHTS, "g"))
    return next((group for group in groups if unit in group), ())


def measure(text: str, units: Sequence[str], usual: str, number: Number = plain_number) -> int:
    """Read "120", "120 ac" or "48,5 ha" as stored units; without a unit it is the usual one.

    Square metres are taken wherever acres are. `number` reads the figure: a sheet knows which of its marks is decimal.

    Raises
    ------
    UsageError
        When it is no number, is below zero, or has a unit that does not belong here.
    """
    clean = one_line(text)
    match = _UNIT.search(clean)
    figure, unit = clean, usual
    if match is not None and any(one.isdigit() for one in clean[: match.start()]):
        figure, unit = clean[: match.start()].strip(), unit_called(match.group())
        if unit not in units and not (unit == "m2" and "ac" in units):
            raise UsageError(
                f"'{match.group()}' in '{clean}' is not {' or '.join(units)}.", f"Write it like 120 {usual}."
            )
    amount = number(figure)
    if amount < 0:
        raise UsageError(f"'{clean}' is below zero.", f"Write it like 120 {usual}.")
    return to_stored(amount, unit)


def money(text: str) -> int:
    """Read an amount as minor units."""
    amount = plain_number(text)
    if amount < 0:
        raise UsageError(f"'{one_line(text)}' is below zero.", "Write it like 12.50.")
    return to_whole(amount, Decimal(100))


def hours_until(clock: str, now: datetime) -> float:
    """Read a time of day as hours from now."""
    try:
        at = datetime.strptime(clock.strip(), "%H:%M")  # noqa: DTZ007 - the farm's clock is put on it below
    except ValueError:
        raise UsageError(f"'{clock}' is no time of day.", "Write it like 21:10.") from None
    dark = now.replace(hour=at.hour, minute=at.minute, second=0, microsecond=0)
    if dark < now:
        dark += timedelta(days=1)
    return (dark - now).total_seconds() / 3600


_MOST_CHARACTERS = 80

#: where no day of today's is meant
_NO_TIME = datetime(2000, 1, 1, tzinfo=UTC)

#: the space before the time of a moment that says its offset, which ISO 8601 writes as T
_SPACE_IN_MOMENT = re.compile(r"(?<=\d{4}-\d\d-\d\d) (?=\d\d:\d\d(?::\d\d)?(?:Z|[+-]\d\d:?\d\d)$)", re.IGNORECASE)

_DATED_HINT = "Write the day with its year, like 2025-07-28 16:20 or jul 28 2025 4:20 pm."

_MOMENT_HINT = "Write it like 16:20, yesterday 16:20, jul 28 16:20, 2 h ago or 2026-07-28 16:20."

_DURATION_HINT = "Write it like 20 min, 1.5 h or 1 h 20 min."


def read_moment(text: str, now: datetime, *, day_first: bool = False) -> datetime:
    """Return the UTC instant that `text` says; nothing said means now.

    Parameters
    ----------
    now : datetime
        The present local time with its zone.
    day_first : bool
        Read 7/8 as the 7th of August.

    Raises
    ------
    UsageError
        When it is no moment, contradicts itself or lies in the future.
    """
    scan = _scan(_SPACE_IN_MOMENT.sub("T", one_line(text)))
    said = find_times(scan, now, day_first=day_first)
    durations = find_durations(scan)
    moment = settle(scan, said, durations.ago, now)
    if durations.downtime_seconds is not None or durations.labour_seconds is not None:
        raise UsageError(f"'{one_line(text)}' is a duration, not a time.", _MOMENT_HINT)
    _refuse_problems(scan, text, "a time", _MOMENT_HINT, allowed={Role.TIME, Role.DURATION, Role.SMALL})
    return moment.at


def read_dated(text: str) -> tuple[datetime, bool]:
    """Return the time by the clock on the wall that `text` says with its day and year: "jul 28 2025 4:20 pm".

    A sheet is read again another year, and by the same words must say the same: so "yesterday" is refused here, and a day
    without its year, and 7/28/2025, for nobody is asked back which of its figures is the month.

    Returns
    -------
    tuple
        The time, at midnight when only the day is said, and whether a time of day is said.

    Raises
    ------
    UsageError
        When it is no such time.
    """
    scan = _scan(text)
    said = find_times(scan, _NO_TIME, day_first=False)
    durations = find_durations(scan)
    _refuse_problems(scan, text, "a time", _DATED_HINT, allowed={Role.TIME, Role.DURATION, Role.SMALL})
    if (
        not scan.tokens
        or "/" in text
        or said.moments
        or said.day_parts
        or durations.downtime_seconds
        or durations.labour_seconds
    ):
        raise UsageError(f"'{one_line(text)}' is not a time.", _DATED_HINT)
    years = [
        token for token, role in zip(scan.tokens, scan.roles, strict=True) if role is Role.TIME and len(token.text) == 4
    ]
    if not any(token.is_number for token in years) or len(said.days) != 1:
        raise UsageError(f"'{one_line(text)}' is another time when the sheet is read again.", _DATED_HINT)
    if len(said.clocks) > 1:
        raise UsageError(f"'{one_line(text)}' names two times of day.", _DATED_HINT)
    clock = said.clocks[0].at if said.clocks else time(0)
    return datetime.combine(said.days[0].day, clock), bool(said.clocks)


def read_duration(text: str) -> int:
    """Return the seconds that `text` says. UsageError when it is no duration; a bare number is not one."""
    scan = _scan(text)
    seconds = find_durations(scan).downtime_seconds
    _refuse_problems(scan, text, "a duration", _DURATION_HINT, allowed={Role.DURATION})
    if seconds is None:
        raise UsageError(f"'{one_line(text)}' is not a duration.", _DURATION_HINT)
    return seconds


def _scan(text: str) -> Scan:
    line = one_line(text)
    if len(line) > _MOST_CHARACTERS:
        raise UsageError(f"'{line[:20]}...' is too long for a time.", _MOMENT_HINT)
    tokens = cut(line, range(1, len(line) + 2))
    return Scan(line, tokens, [None] * len(tokens))


def _refuse_problems(scan: Scan, text: str, what: str, hint: str, *, allowed: set[Role]) -> None:
    if scan.problems:
        raise UsageError(scan.problems[0].message, scan.problems[0].hint or hint)
    left = [token.text for token, role in zip(scan.tokens, scan.roles, strict=True) if role not in allowed]
    if any(word not in ",.;" for word in left):
        raise UsageError(f"'{one_line(text)}' is not {what}.", hint)
