"""A number between two, as options and fields take it: 2.5 or 2,5; refused in a sentence that says what to write."""

from __future__ import annotations

import re
from decimal import Decimal
from math import isinf

from wearlog.errors import UsageError
from wearlog.facts.plain_text import one_line
from wearlog.units import plain_number

#: as programs write a large or a small number: 1e300, 2.5E-4
_POWER_OF_TEN = re.compile(r"[+-]?[0-9]+(\.[0-9]+)?[eE][+-]?[0-9]{1,3}")


def number_within(
    text: str, low: float | None = None, high: float | None = None, *, named: str = "This", whole: bool = False
) -> float:
    """Read a number between two; a per cent sign behind it may be written.

    Raises
    ------
    UsageError
        It is no number, no whole one where only those are meant, or lies outside; `named` says what takes it.
    """
    what = "a whole number" if whole else "a number"
    hint = f"Write {_meant(what, low, high, whole=whole)}."
    plain = text.strip().removesuffix("%")
    try:
        found = Decimal(plain) if _POWER_OF_TEN.fullmatch(plain) else plain_number(plain)
    except UsageError:
        raise UsageError(f"{named} takes {what}, and '{one_line(text)}' is none.", hint) from None
    if isinf(float(found)) or (whole and found != found.to_integral_value()):
        raise UsageError(f"{named} takes {what}, and '{one_line(text)}' is none.", hint)
    if (low is not None and found < low) or (high is not None and found > high):
        raise UsageError(f"{named} does not take {one_line(text)}.", hint)
    return float(found)


def _meant(what: str, low: float | None, high: float | None, *, whole: bool) -> str:
    """Return "a whole number from 1 to 20, like 3", or as much of it as is known."""
    between = ""
    if low is not None and high is not None:
        between = f" from {low:,} to {high:,}"
    elif low is not None:
        between = f" of {low:,} or more"
    like = max(low or 0, 3 if whole else 2.5)
    return f"{what}{between}, like {min(like, high) if high is not None else like:g}"
