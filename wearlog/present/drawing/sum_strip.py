"""Bars of figures that stand side by side: the parts of a sum, how far along something is, days, and a ratio to 1."""

from __future__ import annotations

from collections.abc import Sequence
from math import floor, log
from typing import Final

from wearlog.present.drawing.drawn import (
    BETWEEN,
    CROSSES_NOTHING,
    FILLS,
    FULL,
    GOES_ON,
    GOES_ON_BELOW,
    HALF_FULL,
    MIDDLE,
    Drawn,
    InkRole,
    Piece,
    in_pieces,
    labels_line,
)

#: a ratio so many times off at either end of its strip
_RATIO_REACH: Final = 10.0


def bar(value: float, top: float, cells: int) -> Drawn:
    """Return a bar of `value` on a scale that ends at `top`, to half a cell; what is more than nothing is seen.

    Examples
    --------
    >>> from wearlog.present.drawing.drawn import joined
    >>> joined(bar(17.1, 85.0, 28))
    '█████▌'
    """
    if top <= 0 or value <= 0 or cells <= 0:
        return (Piece(""),)
    halves = max(round(min(value / top, 1.0) * cells * 2), 1)
    return (Piece(FULL * (halves // 2) + HALF_FULL * (halves % 2)),)


def sum_bar(parts: Sequence[float], top: float, cells: int) -> Drawn:
    """Return a sum as the parts that it is made of, `█ ▓ ▒ ░` in their order; the legend is the heading.

    Parameters
    ----------
    parts : sequence of float
        In one unit, none below nothing. From the fifth part on they are added to the fourth.
    top : float
        The sum that would fill all `cells` cells: the largest of the list.

    Returns
    -------
    Drawn
        As long as the whole sum says; each part ends where all parts so far would, so that rounding never adds a cell.
    """
    if top <= 0:
        return (Piece(""),)
    four = [*parts[:3], sum(parts[3:])] if len(parts) > len(FILLS) else list(parts)
    line, so_far = "", 0.0
    for fill, part in zip(FILLS, four, strict=False):
        so_far += max(part, 0.0)
        line += fill * (_cell(so_far / top, cells) - len(line))
    return (Piece(line),)


def days_strip(certain: float, even: float, eight: float, nine: float, *, top: float, cells: int) -> Drawn:
    """Return days that something takes: certain `█`, then to the day by which it is even `▓`, 8 in 10 `▒` and 9 in 10 `░`.

    `top` is the day at which the scale of `cells` cells ends.
    """
    ends = [certain, max(even, certain), max(eight, even, certain), max(nine, eight, even, certain)]
    before = [0.0, *ends[:-1]]
    return sum_bar([end - begin for end, begin in zip(ends, before, strict=True)], top, cells)


def days_heading(top: float, cells: int, step: int = 10) -> str:
    """Return the days over the cells of `days_strip`."""
    return labels_line([(_cell(day / top, cells), str(day)) for day in range(0, floor(top) + 1, step)], cells)


def ratio_strip(ratio: float, cells: int, *, low: float | None = None, high: float | None = None) -> Drawn:
    """Return a ratio on doublings from a tenth to ten, `┼` at 1: `●──┼`.

    Parameters
    ----------
    ratio : float
        Own figure by the one it is held against; beyond the scale it is an arrow.
    cells : int
        An odd number, so that 1 stands in the middle.
    low, high : float, optional
        The smallest and the largest of several such ratios: the line goes over them all.
    """
    one = cells // 2
    places = [_ratio_place(value, one) for value in (low or ratio, ratio, high or ratio)]
    line, roles = [" "] * cells, [InkRole.QUIET] * cells
    for cell in range(max(min(*places, one), 0), min(max(*places, one), cells - 1) + 1):
        line[cell] = BETWEEN
    line[one], roles[one] = CROSSES_NOTHING, InkRole.INK
    middle = places[1]
    sign = GOES_ON_BELOW if middle < 0 else GOES_ON if middle >= cells else MIDDLE
    at = min(max(middle, 0), cells - 1)
    line[at], roles[at] = sign, InkRole.INK
    return in_pieces(line, roles)


def ratio_heading(cells: int) -> str:
    """Return 0.1, 1 and 10 over their cells."""
    return labels_line([(0, "0.1"), (cells // 2, "1"), (cells - 2, "10")], cells)


def _ratio_place(ratio: float, one: int) -> int:
    if ratio <= 0:
        return -1
    return floor(one + log(ratio) / log(_RATIO_REACH) * one + 0.5)


def _cell(share: float, cells: int) -> int:
    return min(max(floor(share * cells + 0.5), 0), cells)
