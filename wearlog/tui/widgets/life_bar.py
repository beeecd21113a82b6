"""Bars of block characters: a share of a whole, and an age against the interval of a life. Text only, so lists can hold them."""

from __future__ import annotations

from wearlog.present.drawing.drawn import (
    BETWEEN,
    FREE,
    FULL,
    HALF_FULL,
    HIGH_END,
    LIVED,
    LIVED_BETWEEN,
    LIVED_HIGH_END,
    LIVED_LOW_END,
    LOW_END,
)


def share_bar(share: float, cells: int) -> str:
    """Return a bar of `cells` cells filled to `share` (0 to 1); what is empty is dotted, so that its end is seen."""
    filled = min(max(share, 0.0), 1.0) * cells
    whole = int(filled)
    bar = FULL * whole + (HALF_FULL if filled - whole >= 0.5 else "")
    return bar + FREE * (cells - len(bar))


def life_bar(age: float | None, low: float | None, high: float | None, cells: int) -> str:
    """Return an age as a grey bar, with the interval of the life as a bracket: the part of it that is lived has a line of its own.

    The bar spans 1.25 times the high end, or 1.25 times the age where that is more.

    Parameters
    ----------
    age : float or None
        None where nobody knows: the bar is a row of question marks.
    low, high : float or None
        The ends of the interval of the median life, in the age's unit; None where there is no guess: then only the age is told.
    """
    if cells < 4:
        return ""
    if age is None:
        return "?" * cells
    if low is None or high is None or high <= 0:
        return FREE * cells
    span = 1.25 * max(high, age)
    lived = int(min(max(age / span, 0.0), 1.0) * cells)
    bar = [LIVED] * lived + [FREE] * (cells - lived)
    low_at = min(cells - 2, int(low / span * cells))
    high_at = min(cells - 1, max(low_at + 1, int(high / span * cells)))
    for place in range(low_at + 1, high_at):
        bar[place] = LIVED_BETWEEN if place < lived else BETWEEN
    bar[low_at] = LIVED_LOW_END if low_at < lived else LOW_END
    bar[high_at] = LIVED_HIGH_END if high_at < lived else HIGH_END
    return "".join(bar)
