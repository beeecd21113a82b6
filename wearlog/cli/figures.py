"""Numbers of options, read as the sheets and fields read them: 2.5 or 2,5; refused in a sentence that says what to type."""

from __future__ import annotations

import re
from typing import Any

import click

from wearlog.errors import UsageError
from wearlog.facts.plain_text import one_line

#: as programs write a large or a small number: 1e300, 2.5E-4
_POWER_OF_TEN = re.compile(r"[+-]?[0-9]+(\.[0-9]+)?[eE][+-]?[0-9]{1,3}")


class NumberBetween(click.FloatRange):
    """A number between two; a per cent sign behind it may be written."""

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> float:
        """Return the number. UsageError when it is none, or none of those that are meant."""
        return float(_within(value, param, self.min, self.max, whole=False))


class UnboundNumber(click.types.FloatParamType):
    """A number without bounds."""

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> float:
        """Return the number. UsageError when it is none."""
        return float(_within(value, param, None, None, whole=False))


class WholeBetween(click.IntRange):
    """A whole number between two."""

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> int:
        """Return the number. UsageError when it is none, or none of those that are meant."""
        return int(_within(value, param, self.min, self.max, whole=True))


class UnboundWhole(click.types.IntParamType):
    """A whole number without bounds."""

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> int:
        """Return the number. UsageError when it is none."""
        return int(_within(value, param, None, None, whole=True))


def _within(value: Any, param: click.Parameter | None, low: float | None, high: float | None, *, whole: bool) -> float:
    if not isinstance(value, str):
        return float(value)
    # the help of a command loads no numbers
    from decimal import Decimal
    from math import isinf

    from wearlog.units import plain_number

    what = "a whole number" if whole else "a number"
    hint = f"Write {_meant(what, low, high, whole=whole)}."
    plain = value.strip().removesuffix("%")
    try:
        found = Decimal(plain) if _POWER_OF_TEN.fullmatch(plain) else plain_number(plain)
    except UsageError:
        raise UsageError(f"{_named(param)} takes {what}, and '{one_line(value)}' is none.", hint) from None
    if isinf(float(found)) or (whole and found != found.to_integral_value()):
        raise UsageError(f"{_named(param)} takes {what}, and '{one_line(value)}' is none.", hint)
    if (low is not None and found < low) or (high is not None and found > high):
        raise UsageError(f"{_named(param)} does not take {one_line(value)}.", hint)
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


def _named(param: click.Parameter | None) -> str:
    if param is None:
        return "This"
    return param.opts[0] if isinstance(param, click.Option) else (param.name or "This").upper()


#: a number or a whole number without bounds
FIGURE = UnboundNumber()
WHOLE = UnboundWhole()
