"""Ages as they are told where nobody counted: "about 3 seasons", "since new", "around 400 h"."""

from __future__ import annotations

import re
from typing import Final

from wearlog.errors import UsageError
from wearlog.facts.age_scale import AgeScale
from wearlog.facts.plain_text import one_line

#: before a figure they say that nobody counted
_ABOUT: Final = re.compile(r"^(?:about|around|roughly|some|approx\.?|maybe|~)\s*")
_SEASONS: Final = re.compile(
    r"^(?P<count>\d+(?:[.,]\d+)?|a|an|one|two|three|four|five|six|seven|eight|nine|ten|half a)\s+seasons?$"
)
_NUMBERS: Final = ("one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")
_COUNTS: Final = {"a": 1.0, "an": 1.0, "half a": 0.5} | {word: float(count) for count, word in enumerate(_NUMBERS, 1)}
_SINCE_NEW: Final = ("since new", "original", "the first one", "as old as the machine")


def without_about(text: str) -> str:
    """Return an age without the word that says it is not counted.

    Examples
    --------
    >>> without_about("About  400 h")
    '400 h'
    """
    return _ABOUT.sub("", one_line(text).casefold())


def is_rough(text: str) -> bool:
    """Say whether an age is told by seasons or by the machine's own."""
    clean = without_about(text)
    return clean in _SINCE_NEW or _SEASONS.match(clean) is not None


def is_since_new(text: str) -> bool:
    """Say whether an age is told as all that its machine has run."""
    return without_about(text) in _SINCE_NEW


def rough_age(text: str, scale: AgeScale | None) -> int:
    """Return the usage that an age told roughly comes to.

    Raises
    ------
    UsageError
        When nobody knows what it is reckoned with.
    """
    clean = without_about(text)
    if clean in _SINCE_NEW:
        if scale is None or scale.since_new is None:
            raise UsageError(
                f"Nobody read what the machine had run when it was new: '{one_line(text)}' says no age.",
                "Say it like 'about 3 seasons', or unknown.",
            )
        return round(scale.since_new)
    found = _SEASONS.match(clean)
    assert found is not None
    said = found["count"]
    count = _COUNTS[said] if said in _COUNTS else float(said.replace(",", "."))
    if scale is None:
        raise UsageError(
            f"Of which machine are the seasons of '{one_line(text)}'?", "Write its age as a figure, or unknown."
        )
    return round(count * scale.season)
