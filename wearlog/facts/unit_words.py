"""The words for units of measure, as people write them. How large a unit is stands in units.py; this loads nothing."""

from __future__ import annotations

from typing import Final

#: how people write a unit -> the unit; the headings of sheets, cells, commands and fields know the same words
UNIT_WORDS: Final[dict[str, str]] = {
    **dict.fromkeys(("acre", "acres"), "ac"),
    **dict.fromkeys(("hectare", "hectares"), "ha"),
    **dict.fromkeys(("hour", "hours", "hr", "hrs"), "h"),
    **dict.fromkeys(("minute", "minutes", "mins"), "min"),
    **dict.fromkeys(("day", "days"), "d"),
    **dict.fromkeys(("week", "weeks"), "wk"),
    **dict.fromkeys(("month", "months"), "mo"),
    **dict.fromkeys(("year", "years", "yr", "yrs"), "y"),
    **dict.fromkeys(("foot", "feet", "'"), "ft"),
    **dict.fromkeys(("inch", "inches", "ins", '"', "''", "\u2033", "\u201d"), "in"),
    **dict.fromkeys(("metre", "metres", "meters"), "m"),
    **dict.fromkeys(("pound", "pounds", "lbs"), "lb"),
    "tonnes": "t",
    **dict.fromkeys(("percent", "pct"), "%"),
    **dict.fromkeys(("kmh", "kph"), "km/h"),
}


def unit_called(word: str) -> str:
    """Return the unit that a word stands for; the word itself, in small letters, when it stands for no other."""
    return UNIT_WORDS.get(word.casefold(), word.casefold())


def spelled(unit: str) -> tuple[str, ...]:
    """Return the words for a unit besides its short form: ("hour", "hours", "hr", "hrs") for "h"."""
    return tuple(word for word, meant in UNIT_WORDS.items() if meant == unit)
