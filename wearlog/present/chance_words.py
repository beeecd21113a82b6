"""A chance as people say it in a sentence, and as ten boxes. Never surer than it is."""

from __future__ import annotations

from math import log
from typing import Final

from wearlog.present.digits import percent
from wearlog.present.drawn import EMPTY_BOX, FULL_BOX, Drawn, Piece

_BOXES: Final = 10
#: "1 in so many" is said of these alone
_ONE_IN: Final = (10, 12, 15, 20, 25, 30, 40, 50, 60, 80, 100)


def chance_words(chance: float) -> str:
    """Return a chance for a sentence: "4 in 10", "1 in 30", "97 %", "over 99 %".

    Parameters
    ----------
    chance : float
        From 0 to 1; said as "under 1 %" below a hundredth and "over 99 %" above 99 of them, an exact 0 or 1 too.

    Examples
    --------
    >>> [chance_words(one) for one in (0.402, 0.034, 0.97, 0.999, 0.0)]
    ['4 in 10', '1 in 30', '97 %', 'over 99 %', 'under 1 %']
    """
    if chance < 0.01:
        return "under 1 %"
    if chance > 0.99:
        return "over 99 %"
    if chance < 0.095:
        return f"1 in {min(_ONE_IN, key=lambda one: abs(log(one * chance)))}"
    tenths = round(chance * 10)
    return f"{tenths} in 10" if tenths < 10 else percent(chance)


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
