"""Reading what people type into a field: numbers with their units, money, ages, moments, names. Each returns a value or a sentence.

A reader takes the text and returns what it means; empty text means what the field says. It raises UsageError with the sentence that
is shown under the field.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Sequence
from datetime import datetime
from decimal import Decimal
from typing import Any, Final, TypeVar

from wearlog.errors import UsageError, WearlogError
from wearlog.facts.closed_lists import MeterKind
from wearlog.facts.farm_settings import FarmSettings
from wearlog.facts.plain_text import one_line
from wearlog.facts.positions import parse_positions
from wearlog.logbook.said_times import read_moment
from wearlog.present.digits import Measures
from wearlog.units import read_number, to_stored

T = TypeVar("T")

_GROUPED: Final = re.compile(r"[+-]?\d{1,3}(,\d{3})+(\.\d+)?")
#: unit as it is stored -> how people write it as well
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
}
HOURS: Final = ("h", "min")
AREAS: Final = ("ac", "ha")
WIDTHS: Final = ("ft", "m", "in")


def words(text: str) -> str:
    """Read any words."""
    return one_line(text)


def named(what: str) -> Callable[[str], str]:
    """Read words that must be there; `what` is "combine", "part" and the like."""

    def read(text: str) -> str:
        found = one_line(text)
        if not found:
            raise UsageError(f"The {what} needs a name.", "Write what people call it.")
        return found

    return read


def plain_number(text: str) -> Decimal:
    """Read a number; a comma before three digits groups thousands, as on the command line, any other comma is decimal."""
    clean = text.strip()
    return read_number(clean, decimal_comma=False if _GROUPED.fullmatch(clean) else None)


def measure(text: str, units: Sequence[str], usual: str) -> int:
    """Read "120", "120 ac" or "48,5 ha" as stored units; without a unit it is the usual one.

    Raises
    ------
    UsageError
        When it is no number, is below zero, or has a unit that does not belong here.
    """
    clean = one_line(text)
    match = re.search(r"[A-Za-z']+\d?$", clean)
    number, unit = clean, usual
    if match is not None and any(one.isdigit() for one in clean[: match.start()]):
        number, unit = clean[: match.start()].strip(), match.group().casefold()
        unit = _ALSO.get(unit, unit)
        if unit not in units:
            raise UsageError(
                f"'{match.group()}' in '{clean}' is not {' or '.join(units)}.", f"Write it like 120 {usual}."
            )
    amount = plain_number(number)
    if amount < 0:
        raise UsageError(f"'{clean}' is below zero.", f"Write it like 120 {usual}.")
    return to_stored(amount, unit)


def optional(read: Callable[[str], T]) -> Callable[[str], T | None]:
    """Return a reader that takes nothing, or a dash, for nothing known."""

    def read_or_none(text: str) -> T | None:
        return None if one_line(text) in ("", "-", "?") else read(text)

    return read_or_none


def needed(read: Callable[[str], T], question: str, example: str) -> Callable[[str], T]:
    """Return a reader that asks its question when nothing was typed."""

    def read_it(text: str) -> T:
        if not one_line(text):
            raise UsageError(question, example)
        return read(text)

    return read_it


def hours(text: str) -> int:
    """Read hours (or 90 min) as seconds."""
    return measure(text, HOURS, "h")


def area_reader(settings: FarmSettings) -> Callable[[str], int]:
    """Return the reader of areas in the farm's unit."""
    return lambda text: measure(text, AREAS, Measures(settings).area_unit)


def width_reader(settings: FarmSettings) -> Callable[[str], int]:
    """Return the reader of widths of cut in the farm's unit."""
    return lambda text: measure(text, WIDTHS, "m" if settings.is_metric else "ft")


def whole(least: int = 0, most: int = 1_000_000) -> Callable[[str], int]:
    """Return the reader of a whole number."""

    def read(text: str) -> int:
        found = plain_number(text)
        if found != found.to_integral_value():
            raise UsageError(f"'{one_line(text)}' is not a whole number.", "Write it like 25.")
        if not least <= found <= most:
            raise UsageError(f"{found} is not between {least:,} and {most:,}.", "Look at the number again.")
        return int(found)

    return read


def money(text: str) -> int:
    """Read an amount as minor units."""
    amount = plain_number(text)
    if amount < 0:
        raise UsageError(f"'{one_line(text)}' is below zero.", "Write it like 12.50.")
    return int((amount * 100).to_integral_value())


def age_reader(meter: MeterKind, settings: FarmSettings) -> Callable[[str], int | None]:
    """Return the reader of a part's age: new, unknown, or so many hours or acres."""
    unit = Measures(settings).usage_unit(meter)

    def read(text: str) -> int | None:
        clean = one_line(text).casefold()
        if clean in ("unknown", "not known", "?", "-"):
            return None
        if clean in ("new", ""):
            return 0
        try:
            return measure(clean, AREAS if meter is MeterKind.AREA else HOURS, unit)
        except UsageError as error:
            raise UsageError(error.message, f"Write new, unknown, or its age like 400 {unit}.") from error

    return read


def moment_reader(now: Callable[[], datetime]) -> Callable[[str], datetime]:
    """Return the reader of a moment; nothing typed means now."""
    return lambda text: read_moment(text, now())


def positions_reader(count: int) -> Callable[[str], tuple[int, ...]]:
    """Return the reader of positions of a component; nothing, or "all", means all of them."""

    def read(text: str) -> tuple[int, ...]:
        clean = one_line(text).casefold()
        if clean in ("", "all"):
            return tuple(range(1, count + 1))
        found = parse_positions(clean)
        if found and found[-1] > count:
            raise UsageError(f"There is no position {found[-1]}.", f"They count from 1 to {count}.")
        return found

    return read


def name_reader(rows: Iterable[T], name_of: Callable[[T], str], what: str) -> Callable[[str], T]:
    """Return the reader of one of the farm's names, or of a beginning that no other has."""
    from wearlog.logbook.names import pick

    listed = list(rows)

    def read(text: str) -> T:
        try:
            return pick(listed, name_of, one_line(text), what)
        except WearlogError as error:
            raise UsageError(error.message, error.hint) from error

    return read


def same(said: Any) -> str:
    """Say an answer that is said as it was written."""
    return str(said)
