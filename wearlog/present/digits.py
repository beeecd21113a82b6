"""Rates, shares and durations in digits; the measures of a farm are those of `facts.farm_settings`. Rounds for the eye only."""

from __future__ import annotations

from typing import Final

from wearlog.facts.farm_settings import NOTHING, Measures, amount, number

__all__ = ["NOTHING", "Measures", "amount", "duration", "number", "percent", "reckoned", "significant"]


def significant(value: float | None) -> str:
    """Return a rate with two digits that mean something: 41, 4.1, 0.41."""
    if value is None:
        return NOTHING
    return number(value, 0 if abs(value) >= 10 else 1 if abs(value) >= 1 else 2)


#: of a reckoned sum of money
_DIGITS: Final = 3


def reckoned(minor: float | None) -> str:
    """Return a reckoned sum with three digits that mean something, no cents: no record tells a year's cost to the dollar."""
    if minor is None:
        return NOTHING
    value = minor / 100
    digits = len(str(abs(round(value))))
    # from the sum itself: what was rounded to the unit before would be rounded twice
    return number(round(value, _DIGITS - digits) if digits > _DIGITS else round(value))


def low_to_high(low: str, high: str) -> str:
    """Return what lies between two figures; where both are said alike it is one figure and no range."""
    return low if low == high else f"{low} to {high}"


def percent(share: float) -> str:
    """Return a share as a per cent that is never surer than it is: 0.3 % stays "under 1 %", 99.7 % "over 99 %"."""
    if 0 < share < 0.01:
        return "under 1 %"
    if 0.99 < share < 1:
        return "over 99 %"
    return f"{share * 100:.0f} %"


def duration(seconds: float) -> str:
    """Return 20 min, 1 h 30 min, or 12.5 h for half a day and more."""
    minutes = round(seconds / 60)
    if minutes < 60:
        return f"{minutes} min"
    if minutes < 12 * 60:
        hours, rest = divmod(minutes, 60)
        return f"{hours} h {rest} min" if rest else f"{hours} h"
    return f"{number(seconds / 3600, 1)} h"
