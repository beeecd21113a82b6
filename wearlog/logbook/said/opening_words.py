"""Where a supplier is and when it is open, as people write it: "12 mi", "7:30", "Mon-Fri". Writes nothing."""

from __future__ import annotations

import re
from collections.abc import Mapping
from decimal import Decimal
from typing import Final

from wearlog.errors import UsageError
from wearlog.facts.plain_text import one_line
from wearlog.logbook.said.measures import Number
from wearlog.units import MILE_METRES, plain_number, to_whole

#: the days as they are written; the place of each is its number in the log
WEEKDAYS: Final = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
#: unit of a road -> metres
ROAD_METRES: Final[Mapping[str, Decimal]] = {"mi": MILE_METRES, "km": Decimal(1000), "m": Decimal(1)}

_ROAD: Final = re.compile(r"(?P<figure>.*\d[.,]?)\s*(?P<unit>mi|miles?|km|m)\.?", re.IGNORECASE)
_CLOCK: Final = re.compile(r"(\d{1,2})(?:[:.h]([0-5]\d)(?::([0-5]\d))?)?\s*(am|pm)?", re.IGNORECASE)
_HOUR: Final = 3600


def read_distance(text: str, unit: str, number: Number = plain_number) -> int:
    """Read "12", "12 mi" or "20 km" in metres; a bare figure is in `unit` (mi, km or m).

    Raises
    ------
    UsageError
        When it is no number, is below zero, or is of another unit.
    """
    clean = one_line(text)
    said = _ROAD.fullmatch(clean)
    figure, own = (clean, unit) if said is None else (said["figure"], said["unit"].lower())
    found = number(figure.strip())
    if found < 0:
        raise UsageError(f"'{clean}' is below zero.", f"Write it like 12 {unit}.")
    return to_whole(found, ROAD_METRES["mi" if own.startswith("mi") else own])


def read_clock(text: str) -> int:
    """Read a time of day, "7:30", "17:30", "5 pm" or "24:00", in seconds since midnight. UsageError for none."""
    said = _CLOCK.fullmatch(one_line(text))
    if said is not None:
        hour, minute, second, half = int(said[1]), int(said[2] or 0), int(said[3] or 0), (said[4] or "").lower()
        if half and 1 <= hour <= 12:
            hour = hour % 12 + (12 if half == "pm" else 0)
            half = ""
        found = hour * _HOUR + minute * 60 + second
        if not half and found <= 24 * _HOUR:
            return found
    raise UsageError(f"'{one_line(text)}' is no time of day.", "Write it like 7:30.")


def written_clock(seconds: int) -> str:
    """Return seconds since midnight as 07:30, or 07:30:15 where seconds are left."""
    hour, rest = divmod(seconds, _HOUR)
    minute, second = divmod(rest, 60)
    return f"{hour:02}:{minute:02}" + (f":{second:02}" if second else "")


def read_weekday(text: str) -> int:
    """Read a day of the week, whole or its first letters, as its number; 0 is Monday. UsageError for none."""
    word = one_line(text).casefold().rstrip(".s")
    found = [number for number, name in enumerate(WEEKDAYS) if len(word) > 1 and name.casefold().startswith(word)]
    if len(found) != 1:
        raise UsageError(f"'{one_line(text)}' is no day of the week.", "Write it like Mon or Monday.")
    return found[0]


def read_opening(text: str) -> dict[int, tuple[int, int]]:
    """Read "Mon-Fri 7:30-17:30, Sat 8-12" as seconds of opening and closing by day of the week.

    Raises
    ------
    UsageError
        For what names no day or no two times, or closes before it opens.
    """
    found: dict[int, tuple[int, int]] = {}
    for piece in re.split(r"[,;]", text):
        said = one_line(piece).split(" ", 1)
        if len(said) < 2 or "-" not in said[1]:
            raise UsageError(f"'{one_line(piece)}' names no day with its hours.", "Write it like 'Mon-Fri 7:30-17:30'.")
        first, _, last = said[0].partition("-")
        begins, ends = read_weekday(first), read_weekday(last or first)
        opens, closes = (read_clock(one) for one in said[1].split("-", 1))
        if closes <= opens:
            raise UsageError(f"'{one_line(piece)}' closes before it opens.", "Write it like 'Mon-Fri 7:30-17:30'.")
        days = range(begins, ends + 1) if begins <= ends else (*range(begins, 7), *range(ends + 1))
        found.update(dict.fromkeys(days, (opens, closes)))
    return found
