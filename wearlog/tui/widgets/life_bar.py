"""Bars of block characters: a share of a whole, and an age against the interval of a life. Text only, so lists can hold them."""

from __future__ import annotations

_EIGHTHS = " ▏▎▍▌▋▊▉█"
FULL, EMPTY = "█", "·"
LOW_END, HIGH_END, BETWEEN = "[", "]", "-"


def share_bar(share: float, cells: int) -> str:
    """Return a bar of `cells` cells filled to `share` (0 to 1); what is empty is dotted, so that its end is seen."""
    filled = min(max(share, 0.0), 1.0) * cells
    whole = int(filled)
    part = int((filled - whole) * 8)
    bar = FULL * whole + (_EIGHTHS[part] if part and whole < cells else "")
    return bar + EMPTY * (cells - len(bar))


def life_bar(age: float | None, low: float | None, high: float | None, cells: int) -> str:
    """Return an age as a filled bar, with the interval of the life marked by [ and ].

    The bar spans 1.25 times the high end, or 1.25 times the age where that is more. The marks stand over the filling, so that they
    are seen in an old part too.

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
        return EMPTY * cells
    span = 1.25 * max(high, age)
    bar = list(share_bar(age / span, cells))
    low_at = min(cells - 2, int(low / span * cells))
    high_at = min(cells - 1, max(low_at + 1, int(high / span * cells)))
    for place in range(low_at + 1, high_at):
        if bar[place] == EMPTY:
            bar[place] = BETWEEN
    bar[low_at], bar[high_at] = LOW_END, HIGH_END
    return "".join(bar)
