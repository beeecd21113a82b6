"""Chances and ranges as people say them: "4 in 10", "over 99 %", and two figures no surer than they are."""

from __future__ import annotations

from math import floor, log10
from typing import Final

from wearlog.present.digits import NOTHING, number, percent
from wearlog.present.drawing.drawn import EMPTY_BOX, FULL_BOX, Drawn, Piece

_BOXES: Final = 10


def chance_figure(chance: float) -> str:
    """Return a chance for a list, in per cent: never 0 and never 100."""
    return "under 1 %" if chance < 0.01 else "over 99 %" if chance > 0.99 else percent(chance)


def share_boxes(share: float, boxes: int = _BOXES) -> Drawn:
    """Return a share of 0 to 1 as boxes, rounded: of a chance, of the money, of the hours."""
    full = round(min(max(share, 0.0), 1.0) * boxes)
    return (Piece(FULL_BOX * full + EMPTY_BOX * (boxes - full)),)


def amount_boxes(have: float, keep: float, most: int = _BOXES) -> Drawn:
    """Return what there is of what shall be there, a box for each piece where they find room.

    Parameters
    ----------
    have, keep : float
        Pieces on the shelf and pieces to keep; or what is used of a limit, and the limit.
    most : int
        So many boxes at most. Of more pieces each box stands for several: then one is left empty as long as any is wanting, and
        one is full as long as any is there.
    """
    most = max(most, 2)
    if max(have, keep) <= most or have >= keep:
        full = min(max(int(have), 0), most)
        return (Piece(FULL_BOX * full + EMPTY_BOX * max(min(int(keep), most) - full, 0)),)
    full = min(max(round(have / keep * most), int(have > 0)), most - 1)
    return (Piece(FULL_BOX * full + EMPTY_BOX * (most - full)),)


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
