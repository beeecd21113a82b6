"""Numbers of options, read as the sheets and fields read them: 2.5 or 2,5; refused in a sentence that says what to type."""

from __future__ import annotations

from typing import Any

import click


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
    from wearlog.logbook.said.figures import number_within

    return number_within(value, low, high, named=_named(param), whole=whole)


def _named(param: click.Parameter | None) -> str:
    if param is None:
        return "This"
    return param.opts[0] if isinstance(param, click.Option) else (param.name or "This").upper()


#: a number or a whole number without bounds
FIGURE = UnboundNumber()
WHOLE = UnboundWhole()
