"""Bars of figures side by side: the parts of a sum, how far along something is, days, a ratio to 1, a saving with its interval."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import floor, log, log10
from typing import Final

from wearlog.present.drawing.drawn import (
    BETWEEN,
    CROSSES_NOTHING,
    FILLS,
    FULL,
    GOES_ON,
    GOES_ON_BELOW,
    HALF_FULL,
    HIGH_END,
    LOW_END,
    MIDDLE,
    NOTHING_SAVED,
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


def _ratio_place(ratio: float, one: int) -> int:
    if ratio <= 0:
        return -1
    return floor(one + log(ratio) / log(_RATIO_REACH) * one + 0.5)


def _cell(share: float, cells: int) -> int:
    return min(max(floor(share * cells + 0.5), 0), cells)


#: cells that a label of the scale wants, and one in thousands; a scale narrower than `_NARROW` has its sums in thousands
_LABEL_ROOM, _SHORT_ROOM, _NARROW = 7, 5, 21


@dataclass(frozen=True, slots=True)
class SavingRange:
    """What is saved and the interval of it, in whole money; None where only the middle is known."""

    middle: float
    low: float | None = None
    high: float | None = None

    @property
    def ends(self) -> tuple[float, ...]:
        """All figures that the scale must hold."""
        return tuple(one for one in (self.low, self.middle, self.high) if one is not None)


@dataclass(frozen=True, slots=True)
class SavingScale:
    """From `low` (never above nothing) to `high`, evenly over `cells` cells."""

    low: float
    high: float
    cells: int

    @classmethod
    def of(cls, savings: Iterable[SavingRange], cells: int) -> SavingScale:
        """Return the scale that holds all savings of a list, and nothing."""
        ends = [0.0, *(end for saving in savings for end in saving.ends)]
        return cls(min(ends), max(ends), cells)

    def place(self, saved: float) -> int:
        """Return the cell of a saving."""
        span = self.high - self.low
        if span <= 0 or self.cells < 2:
            return 0
        return floor((saved - self.low) / span * (self.cells - 1) + 0.5)

    def heading(self) -> str:
        """Return nothing and the round sums over their cells: 0, 1,000, 2,000 (1k, 2k where it is narrow)."""
        if self.high <= 0:
            return labels_line([(self.place(0.0), "0")], self.cells)
        step = _round_step(
            self.high, self.cells - self.place(0.0), _SHORT_ROOM if self.cells < _NARROW else _LABEL_ROOM
        )
        sums = [step * number for number in range(floor(self.high / step + 1e-9) + 1)]
        labels = [(self.place(one), _label(one, self.cells)) for one in sums]
        return labels_line([(cell, one) for cell, one in labels if cell + len(one) <= self.cells], self.cells)


def saving_strip(saving: SavingRange | None, scale: SavingScale) -> Drawn:
    """Draw a saving: `│` is nothing saved, `┼` where the interval crosses it.

    An end that would fall into the cell of the middle is left out; an end or a middle that falls on nothing saved stands there.

    Examples
    --------
    >>> from wearlog.present.drawing.drawn import joined
    >>> scale = SavingScale(-100, 2400, 14)
    >>> joined(saving_strip(SavingRange(1500, 814, 2215), scale))
    ' │   ├──●───┤ '
    """
    line, roles = [" "] * scale.cells, [InkRole.QUIET] * scale.cells
    nothing = scale.place(0.0)
    signs = {nothing: NOTHING_SAVED}
    if saving is not None:
        signs |= _signs(saving, scale, nothing)
    for cell, sign in signs.items():
        if 0 <= cell < scale.cells:
            line[cell] = sign
            roles[cell] = InkRole.QUIET if sign == NOTHING_SAVED else InkRole.INK
    return in_pieces(line, roles)


def _signs(saving: SavingRange, scale: SavingScale, nothing: int) -> dict[int, str]:
    middle = scale.place(saving.middle)
    if saving.low is None or saving.high is None:
        return {middle: MIDDLE}
    low, high = scale.place(saving.low), scale.place(saving.high)
    signs = dict.fromkeys(range(low, high + 1), BETWEEN)
    signs |= {low: LOW_END, high: HIGH_END}
    if low < nothing < high:
        signs[nothing] = CROSSES_NOTHING
    signs[middle] = MIDDLE
    return signs


def _round_step(high: float, cells: int, label_room: int) -> float:
    """The smallest of 1, 2 and 5 with zeros whose labels do not crowd the scale."""
    wanted = high / max(cells / label_room, 1.0)
    power = 10.0 ** floor(log10(wanted))
    step = next((power * one for one in (1, 2, 5, 10) if power * one >= wanted), power * 10)
    # a scale with no sum but nothing on it says nothing
    return step if step <= high else max(power * one for one in (0.5, 1, 2, 5) if power * one <= high)


def _label(amount: float, cells: int) -> str:
    if amount >= 1000 and cells < _NARROW:
        return f"{amount / 1000:g}k"
    return f"{amount:,.0f}" if amount >= 1 else f"{amount:g}"
