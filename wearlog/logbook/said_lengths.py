"""Lengths as people read them off a tape, a rule or a caliper: 19.9in, 505 mm, 19 7/8", 1/8 in. Writes nothing."""

from __future__ import annotations

import re
from decimal import Decimal
from typing import Final

from wearlog.errors import UsageError
from wearlog.facts.farm_settings import FarmSettings
from wearlog.facts.plain_text import one_line
from wearlog.units import read_number, to_whole

_MICROMETRES: Final = {
    "in": Decimal(25_400),
    "mm": Decimal(1_000),
    "cm": Decimal(10_000),
    "ft": Decimal(304_800),
    "m": Decimal(1_000_000),
}
_ALSO: Final = {'"': "in", "''": "in", "inch": "in", "inches": "in", "″": "in", "”": "in", "ins": "in"}
#: words that may stand alone behind a number
LENGTH_UNITS: Final = frozenset({*_MICROMETRES, *_ALSO})
_SAID: Final = re.compile(r"(?P<number>[-+−]?[\d.,'  /⁄-]*\d)\s*(?P<unit>[^\d\s]+)?")
_FRACTION: Final = re.compile(r"(?P<sign>[-+−]?)(?:(?P<whole>\d+)[ -]+)?(?P<top>\d+)[/⁄](?P<bottom>\d+)")


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
    unit = (match["unit"] or usual).casefold()
    unit = _ALSO.get(unit, unit)
    if unit not in _MICROMETRES:
        raise UsageError(f"'{match['unit']}' in '{clean}' is not in, mm or cm.", f"Write it like {like}.")
    amount = _number(match["number"].strip())
    if amount < 0:
        raise UsageError(f"'{clean}' is below zero: nothing measures less than nothing.", f"Write it like {like}.")
    return to_whole(amount, _MICROMETRES[unit])


def _number(text: str) -> Decimal:
    """Read 19.9, 19,9, 7/8, 19 7/8 or 19-7/8."""
    match = _FRACTION.fullmatch(text)
    if match is None:
        return read_number(text)
    bottom = Decimal(match["bottom"])
    if bottom == 0:
        raise UsageError(f"'{text}' divides by nothing.", "Write it like 19-7/8.")
    amount = Decimal(match["whole"] or 0) + Decimal(match["top"]) / bottom
    return -amount if match["sign"] in ("-", "−") else amount
