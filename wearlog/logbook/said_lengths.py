"""Lengths as people read them off a tape, a rule or a caliper: 19.9in, 505 mm, 19 7/8", 1/8 in. Writes nothing."""

from __future__ import annotations

import re
from typing import Final

from wearlog.errors import UsageError
from wearlog.facts.farm_settings import FarmSettings
from wearlog.facts.plain_text import one_line
from wearlog.facts.unit_words import UNIT_WORDS, unit_called
from wearlog.logbook.said_measures import LENGTHS
from wearlog.units import to_stored, with_fraction

#: words that may stand alone behind a number
LENGTH_UNITS: Final = frozenset({*LENGTHS, *(word for word, unit in UNIT_WORDS.items() if unit in LENGTHS)})
_SAID: Final = re.compile(r"(?P<number>[-+−]?[\d.,'  /⁄-]*\d)\s*(?P<unit>[^\d\s]+)?")


def length_unit(settings: FarmSettings) -> str:
    """Return the unit in which this farm measures wear."""
    return "mm" if settings.is_metric else "in"


def read_length(text: str, settings: FarmSettings) -> int:
    """Read a length in micrometres; without a unit it is inches, on a metric farm millimetres.

    Raises
    ------
    UsageError
        When it is no number, is below zero, or has a unit that is none of length.
    """
    clean, usual = one_line(text), length_unit(settings)
    like = "19.9in, 505mm or 19-7/8in"
    match = _SAID.fullmatch(clean)
    if match is None:
        raise UsageError(f"'{clean}' is not a length.", f"Write it like {like}.")
    unit = unit_called(match["unit"] or usual)
    if unit not in LENGTHS:
        raise UsageError(f"'{match['unit']}' in '{clean}' is not in, mm or cm.", f"Write it like {like}.")
    amount = with_fraction(match["number"].strip())
    if amount < 0:
        raise UsageError(f"'{clean}' is below zero: nothing measures less than nothing.", f"Write it like {like}.")
    return to_stored(amount, unit)
