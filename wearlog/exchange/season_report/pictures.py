"""The drawings of the season report: what is saved, how long parts last, what an acre cost, when a fault came back."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import isfinite, log2
from typing import Final

from wearlog.exchange.paper.drawing import FAINT, FILLS, WIDE, Drawing, room_of, shortened

_ROW: Final = 17.0
_SMALL: Final = 9.5


@dataclass(frozen=True, slots=True)
class Span:
    """An interval with its middle; `middle` None where nobody knows."""

    low: float
    middle: float
    high: float


def saving_strip(span: Span | None, scale: Span) -> str:
    """Draw one saving against nothing saved; `scale` says what all rows of the table reach from and to."""
    drawing = Drawing(16, "what it saves", wide=120)
    if span is None:
        return ""
    reach = max(scale.high - scale.low, 1e-9)

    def at(value: float) -> float:
        return 4 + 112 * (min(max(value, scale.low), scale.high) - scale.low) / reach

    drawing.line(at(0), 1, at(0), 15, ink=FAINT, dash="2 2")
    drawing.line(at(span.low), 8, at(span.high), 8, thick=1.6)
    for end in (span.low, span.high):
        drawing.line(at(end), 5, at(end), 11, thick=1.2)
    drawing.dot(at(span.middle), 8, 3)
    return drawing.svg()


@dataclass(frozen=True, slots=True)
class LifeRow:
    """A kind: its life in seasons of use, the oldest today, what the season ahead is to break, on what that rests."""

    name: str
    life: Span | None
    oldest: float | None
    ahead: str
    rests_on: str
    is_guess: bool


_FIRST, _STEPS = 0.5, 6
_LAST = _FIRST * 2**_STEPS
_LEFT, _STRIP = 150.0, 330.0


def life_picture(rows: Sequence[LifeRow]) -> str:
    """Draw kinds on doublings of a season: line = half of them last so long (90 %), dot = the middle, grey = the oldest today."""
    if not rows:
        return ""
    high = 34 + _ROW * len(rows)
    drawing = Drawing(
        high, "How long parts last in seasons of use, and the oldest today; the figures stand in the table."
    )
    drawing.words(_LEFT, 10, "seasons of use", size=_SMALL)
    drawing.words(_LEFT + _STRIP + 12, 10, "to break ahead", size=_SMALL)
    drawing.words(_LEFT + _STRIP + 100, 10, "rests on", size=_SMALL)
    for step, label in enumerate(("½", "1", "2", "4", "8", "16", "32")):
        x = _LEFT + _STRIP * step / _STEPS
        drawing.line(x, 27, x, high - 4, ink="#ccc", thick=0.5)
        drawing.words(x, 24, label, size=_SMALL, at="middle")
    for place, row in enumerate(rows):
        _life_row(drawing, row, 34 + _ROW * place)
    return drawing.svg()


def _season_at(seasons: float) -> float:
    if seasons <= 0 or not isfinite(seasons):
        return _LEFT if seasons <= 0 else _LEFT + _STRIP
    return _LEFT + _STRIP * min(max(log2(seasons / _FIRST) / _STEPS, 0.0), 1.0)


def _life_row(drawing: Drawing, row: LifeRow, top: float) -> None:
    middle = top + _ROW / 2
    drawing.words(0, middle + 4, shortened(row.name, _LEFT - 6))
    if row.oldest is not None:
        drawing.box(_LEFT, middle - 4, _season_at(row.oldest) - _LEFT, 8, fill="light", ink="#bbb")
    if row.life is not None:
        low, high = _season_at(row.life.low), _season_at(row.life.high)
        drawing.line(low, middle, high, middle, thick=1.6)
        drawing.line(low, middle - 3.5, low, middle + 3.5, thick=1.2)
        if row.life.high > _LAST:
            # it goes on beyond the scale: an end mark there would be a figure that nobody said
            drawing.shape([(high - 1, middle - 3.5), (high + 6, middle), (high - 1, middle + 3.5)])
        else:
            drawing.line(high, middle - 3.5, high, middle + 3.5, thick=1.2)
        if row.life.middle <= _LAST:
            drawing.dot(_season_at(row.life.middle), middle, hollow=row.is_guess)
    drawing.words(_LEFT + _STRIP + 66, middle + 4, row.ahead, at="end")
    drawing.words(_LEFT + _STRIP + 100, middle + 4, shortened(row.rests_on, WIDE - _LEFT - _STRIP - 100))


@dataclass(frozen=True, slots=True)
class CostBar:
    """What an acre (or hectare) cost in one season, in whole units of money: parts, labour, service, standing."""

    name: str
    pieces: tuple[float, float, float, float]


_PIECES: Final = ("parts", "labour", "service", "downtime")


def season_bars(bars: Sequence[CostBar], unit: str) -> str:
    """Draw the costs of an acre season by season, stacked; the whole stands over each."""
    if not bars:
        return ""
    high, foot, wide = 190.0, 150.0, min(90.0, 600.0 / len(bars))
    drawing = Drawing(high, f"Costs in {unit} by season; the figures stand in the table.")
    most = max(max(sum(bar.pieces) for bar in bars), 0.01)
    drawing.words(0, 10, unit, size=_SMALL)
    drawing.line(40, foot, 40 + wide * len(bars), foot)
    for place, bar in enumerate(bars):
        left, top = 40 + wide * place + wide * 0.2, foot
        for fill, piece in zip(FILLS, bar.pieces, strict=True):
            size = (foot - 22) * piece / most
            top -= size
            drawing.box(left, top, wide * 0.6, size, fill=fill)
        drawing.words(left + wide * 0.3, top - 4, f"{sum(bar.pieces):.2f}", at="middle", bold=True)
        drawing.words(left + wide * 0.3, foot + 13, bar.name, at="middle")
    _legend(drawing, 40, high - 8)
    return drawing.svg()


def _legend(drawing: Drawing, x: float, y: float) -> None:
    for fill, name in zip(FILLS, _PIECES, strict=True):
        drawing.box(x, y - 9, 16, 10, fill=fill)
        drawing.words(x + 21, y, name)
        x += 34 + room_of(name)


def ordered_bars(bars: Sequence[CostBar], unit: str) -> str:
    """Draw the costs of an acre by what they went to, the largest first."""
    if not bars:
        return ""
    high = 26 + _ROW * len(bars)
    drawing = Drawing(high, f"Costs in {unit} by what they went to; the figures stand in the table.")
    most = max(max(sum(bar.pieces) for bar in bars), 0.01)
    for place, bar in enumerate(bars):
        top, left = _ROW * place + 3, 150.0
        drawing.words(0, top + 10, shortened(bar.name, 144))
        for fill, piece in zip(FILLS, bar.pieces, strict=True):
            size = 480 * piece / most
            drawing.box(left, top, size, _ROW - 5, fill=fill)
            left += size
        drawing.words(left + 6, top + 10, f"{sum(bar.pieces):.2f}")
    _legend(drawing, 150, high - 4)
    return drawing.svg()


@dataclass(frozen=True, slots=True)
class Ratio:
    """A combine's repairs as a multiple of what the published curve expects over the same hours."""

    name: str
    times: float


def ratio_picture(rows: Sequence[Ratio], variation: float) -> str:
    """Draw each as a mark on a line from a quarter to four times the curve; the curve's own spread is the grey band."""
    if not rows:
        return ""
    high = 34 + _ROW * len(rows)
    drawing = Drawing(high, "Repairs against the published curve; the figures stand in the table.")

    def at(times: float) -> float:
        return 150 + 480 * min(max((log2(max(times, 1e-6)) + 2) / 4, 0.0), 1.0)

    drawing.box(at(1 - variation), 20, at(1 + variation) - at(1 - variation), high - 24, fill="light", ink="#bbb")
    for times, label in ((0.25, "¼"), (0.5, "½"), (1.0, "as the curve"), (2.0, "twice"), (4.0, "4 times")):
        drawing.line(at(times), 18, at(times), high - 4, ink="#ccc", thick=0.5)
        drawing.words(at(times), 13, label, size=_SMALL, at="middle")
    for place, row in enumerate(rows):
        middle = 30 + _ROW * place
        drawing.words(0, middle + 4, shortened(row.name, 144))
        drawing.line(150, middle, 630, middle, ink="#ccc", thick=0.5)
        drawing.dot(at(row.times), middle)
        drawing.words(at(row.times) + 8, middle + 4, f"{row.times:.2f}")
    return drawing.svg()


@dataclass(frozen=True, slots=True)
class Return:
    """One time a fault came: after how many quiet hours (None for the first), on which day, what was found."""

    quiet: float | None
    day: str
    found: str


#: units of the line of hours; the words of the last mark stand to the right of it
_AXIS: Final = 500.0


def trail_picture(times: Sequence[Return], quiet_since: float | None) -> str:
    """Draw a fault on a line of quiet hours: a mark for each time it came, an open end while it is quiet."""
    steps = [one.quiet or 0.0 for one in times] + [quiet_since or 0.0]
    whole = max(sum(steps), 1e-9)
    high = 30 + 15.0 * len(times)
    drawing = Drawing(high, "When the fault came back; the same stands in the table.")
    x, places = 12.0, []
    for step in steps[:-1]:
        x += _AXIS * step / whole
        places.append(x)
    drawing.line(12, 12, places[-1], 12, thick=1.6)
    if quiet_since is not None:
        end = places[-1] + _AXIS * quiet_since / whole
        drawing.line(places[-1], 12, end, 12, thick=1.2, dash="4 3")
        drawing.words(end + 4, 16, "today", size=_SMALL)
    for place, (at, one) in enumerate(zip(places, times, strict=True)):
        # the latest stands highest, so that no leader runs through the words of another
        row = 36 + 15.0 * (len(times) - 1 - place)
        drawing.line(at, 14, at, row - 3, ink="#999", thick=0.6)
        drawing.shape([(at - 4, 4), (at + 4, 4), (at, 12)])
        quiet = "" if one.quiet is None else f", after {one.quiet:,.0f} quiet h"
        drawing.words(at + 3, row, shortened(f"{one.day}{quiet}: {one.found}", WIDE - at - 4, _SMALL), size=_SMALL)
    return drawing.svg()
