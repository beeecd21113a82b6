"""Figures that were reckoned, without false precision: a sum as "about 31,400", an interval as 7,550-9,840 or 140-3,500."""

from __future__ import annotations

from math import floor, log10
from typing import Final

from wearlog.present.digits import NOTHING, number

#: an interval whose ends are this far apart has two figures that mean something, a narrower one three
_WIDE: Final = 3.0


def to_figures(value: float, figures: int) -> float:
    """Return a number rounded to so many figures: 31,389 to three is 31,400."""
    if value == 0:
        return 0.0
    places = figures - 1 - floor(log10(abs(value)))
    return round(value, places)


def figures_of(value: float, figures: int = 3) -> str:
    """Return a number with so many figures and its thousands: 31,400, 9.84, 0.41.

    Examples
    --------
    >>> [figures_of(one) for one in (31389, 9.8449, 0.4096, 0)]
    ['31,400', '9.84', '0.41', '0']
    """
    rounded = to_figures(value, figures)
    if rounded == 0:
        return "0"
    places = max(figures - 1 - floor(log10(abs(rounded))), 0)
    text = number(rounded, places)
    return text.rstrip("0").rstrip(".") if "." in text else text


def about(value: float, unit: str = "") -> str:
    """Return a reckoned sum with three figures, and says so: "about 31,400 USD"."""
    return " ".join(one for one in ("about", figures_of(value), unit) if one)


def range_words(low: float | None, high: float | None, unit: str = "", *, to: bool = False) -> str:
    """Return an interval in one unit: "140-3,500 h", or with `to` "7,550 to 9,840 ac".

    Parameters
    ----------
    low, high : float or None
        Its two ends; a dash where one is not known. Three figures each; two where the high end is three times the low one or
        more, or where the interval crosses nothing.
    unit : str
        Stands once, behind.
    to : bool
        Say "to" between the ends, for a sentence; an interval that begins below nothing says it in any case.

    Examples
    --------
    >>> range_words(139, 3466, "h"), range_words(7547.2, 9843.1, "ac", to=True), range_words(-118, 833, "USD")
    ('140-3,500 h', '7,550 to 9,840 ac', '-120 to 830 USD')
    """
    if low is None or high is None:
        return NOTHING
    low_words, high_words = _ends(low, high)
    if low_words == high_words:
        return about(low, unit) if low != high else f"{low_words} {unit}".strip()
    between = " to " if to or low < 0 else "-"
    return f"{low_words}{between}{high_words} {unit}".strip()


def _ends(low: float, high: float) -> tuple[str, str]:
    if low > 0 and high > 0:
        figures = 2 if high >= _WIDE * low else 3
        return figures_of(low, figures), figures_of(high, figures)
    # ends about nothing share the step of the larger one
    places = 1 - floor(log10(max(abs(low), abs(high)))) if low or high else 0
    return tuple(number(round(end, places) + 0.0, max(places, 0)) for end in (low, high))  # type: ignore[return-value]
