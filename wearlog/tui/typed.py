"""Reading what people type into a field: numbers with their units, money, ages, moments, names. Each returns a value or a sentence.

A reader takes the text and returns what it means; empty text means what the field says. It raises UsageError with the sentence that
is shown under the field.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from datetime import datetime
from functools import partial
from typing import TYPE_CHECKING, TypeVar

from wearlog.errors import UsageError, WearlogError
from wearlog.facts.age_scale import AgeScale
from wearlog.facts.closed_lists import MeterKind
from wearlog.facts.farm_settings import FarmSettings
from wearlog.facts.plain_text import one_line
from wearlog.facts.positions import parse_positions
from wearlog.logbook.said.measures import FarmReader, read_moment
from wearlog.units import plain_number

if TYPE_CHECKING:
    from wearlog.facts.parts import Part

T = TypeVar("T")


def named(what: str) -> Callable[[str], str]:
    """Read words that must be there; `what` is "combine", "part" and the like."""

    def read(text: str) -> str:
        found = one_line(text)
        if not found:
            raise UsageError(f"The {what} needs a name.", "Write what people call it.")
        return found

    return read


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


def area_reader(settings: FarmSettings) -> Callable[[str], int]:
    """Return the reader of areas in the farm's unit."""
    return FarmReader(settings).area


def width_reader(settings: FarmSettings) -> Callable[[str], int]:
    """Return the reader of widths of cut in the farm's unit."""
    return FarmReader(settings).width


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


def age_reader(meter: MeterKind, settings: FarmSettings, scale: AgeScale | None = None) -> Callable[[str], int | None]:
    """Return the reader of a part's age: new, unknown, so many hours or acres, or told roughly on the scale of its machine."""
    return partial(FarmReader(settings).age, meter, scale=scale)


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


def parts_reader(parts: Iterable[Part]) -> Callable[[str], tuple[tuple[Part, int], ...]]:
    """Return the reader of what came off the shelf: FI-2, KS-3x4; nothing is none."""
    from wearlog.logbook.parts.stocking import all_off_shelf_named

    listed = list(parts)

    def read(text: str) -> tuple[tuple[Part, int], ...]:
        try:
            return all_off_shelf_named(listed, text)
        except WearlogError as error:
            raise UsageError(error.message, error.hint) from error

    return read
