"""A row of positions (a knife, its guards) as a map across the page: a cell for each position, with room to tick."""

from __future__ import annotations

from typing import Final

from wearlog.exchange.paper.drawing import WIDE, Drawing
from wearlog.present.parts.strip_geometry import (
    NO_LIFE,
    NOTHING_FITTED,
    OLDEST,
    UNKNOWN_AGE,
    StripPicture,
    StripPosition,
)

#: positions in a line, so that a cell holds three figures and a tick
_IN_A_LINE: Final = 40
_HIGH: Final = 60.0
_SMALL: Final = 6.5


def cutterbar_map(picture: StripPicture) -> str:
    """Draw every position: number, how often it broke, how much of its life is behind it, a cell to tick.

    The bar in a cell is as high as its share of the high end of the life; ? age unknown, o nothing fitted. A black triangle is a
    part that is broken and still on; a bracket spans where stones hit more than chance.
    """
    count = len(picture.positions)
    in_a_line = min(_IN_A_LINE, count)
    lines = -(-count // in_a_line)
    wide = min(WIDE / in_a_line, 30.0)
    drawing = Drawing(lines * _HIGH + 2, f"{picture.title}: a cell for each position")
    for line in range(lines):
        first = line * in_a_line
        for place, position in enumerate(picture.positions[first : first + in_a_line]):
            _cell(drawing, position, first + place + 1, place * wide, line * _HIGH, wide)
        _bracket(drawing, picture, first + 1, min(first + in_a_line, count), line * _HIGH, wide)
    return drawing.svg()


def _cell(drawing: Drawing, one: StripPosition, number: int, x: float, y: float, wide: float) -> None:
    drawing.words(x + wide / 2, y + 14, str(number), size=_SMALL, at="middle", bold=number % 10 == 0)
    drawing.box(x, y + 17, wide, 14)
    if one.shade >= 0:
        share = 14 * (one.shade + 0.5) / (OLDEST + 1)
        drawing.box(x + 1, y + 31 - share, wide - 2, share, fill="#bbb", ink="none")
    else:
        mark = {UNKNOWN_AGE: "?", NOTHING_FITTED: "o", NO_LIFE: "-"}[one.shade]
        drawing.words(x + wide / 2, y + 27, mark, size=8, at="middle")
    if one.breakages:
        drawing.words(x + wide / 2, y + 27, str(one.breakages), size=8, at="middle", bold=True)
    drawing.box(x, y + 31, wide, 14)
    if one.left:
        middle = x + wide / 2
        drawing.shape([(middle - 5, y + 54), (middle + 5, y + 54), (middle, y + 46)])


def _bracket(drawing: Drawing, picture: StripPicture, first: int, last: int, y: float, wide: float) -> None:
    if picture.hot is None or picture.hot[0] > last or picture.hot[1] < first:
        return
    begins, ends = max(picture.hot[0], first), min(picture.hot[1], last)
    left, right = (begins - first) * wide + 1, (ends - first + 1) * wide - 1
    drawing.line(left, y + 4, right, y + 4, thick=1.6)
    if begins == picture.hot[0]:
        drawing.line(left, y + 4, left, y + 9, thick=1.6)
    if ends == picture.hot[1]:
        drawing.line(right, y + 4, right, y + 9, thick=1.6)
    drawing.words(right + 4, y + 7, "HOT", size=_SMALL, bold=True)
