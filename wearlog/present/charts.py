"""Charts of lines, points and marks as lines of plain text, for commands and screens alike. Knows no part and no machine.

The drawing library keeps one figure for the whole program, so one chart is drawn at a time; it is loaded when the first is.
"""

from __future__ import annotations

import math
import re
import threading
from dataclasses import dataclass
from enum import Enum
from importlib.util import find_spec
from typing import Final

from wearlog.present.digits import number

_ONE_AT_A_TIME: Final = threading.Lock()
_COLOUR: Final = re.compile(r"\x1b\[[0-9;]*m")
#: a smaller chart shows nothing any more
NARROWEST, LOWEST = 24, 6


class Drawn(Enum):
    """How the points of a curve are drawn."""

    FIRM = "─"
    FAINT = "."
    POINTS = "o"


@dataclass(frozen=True, slots=True)
class Curve:
    """Points in the order of x; drawn as a firm line, a faint one (an interval), or points alone."""

    x: tuple[float, ...]
    y: tuple[float, ...]
    drawn: Drawn = Drawn.FIRM


@dataclass(frozen=True, slots=True)
class Chart:
    """What a chart shows.

    Attributes
    ----------
    curves : tuple of Curve
    x_label, y_label : str
        With the unit; the label of y stands above the chart.
    x_end : float
        Where the axis ends; it begins at 0.
    y_low, y_high : float
    upright : tuple of float
        Vertical lines (ages today).
    level : tuple of float
        Horizontal lines (a limit).
    """

    curves: tuple[Curve, ...]
    x_label: str
    y_label: str
    x_end: float
    y_low: float = 0.0
    y_high: float = 100.0
    upright: tuple[float, ...] = ()
    level: tuple[float, ...] = ()


def chart_lines(chart: Chart, width: int, height: int) -> list[str]:
    """Return the chart in at most `width` columns and `height` lines; nothing when it has no room or nothing to show."""
    if width < NARROWEST or height < LOWEST or not chart.curves or not chart.x_end > 0:
        return []
    if find_spec("plotext") is None:
        # it has no build for every processor; the figures stand in the lists all the same
        return [chart.y_label, "(the chart is not drawn: plotext is missing on this computer)"]
    with _ONE_AT_A_TIME:
        text = _drawn(chart, width, height - 1)
    lines = [line.rstrip() for line in _COLOUR.sub("", text).splitlines()]
    return [chart.y_label, *(line for line in lines if line)]


def _drawn(chart: Chart, width: int, height: int) -> str:
    import plotext

    figure = plotext.figure
    figure.clear()
    figure.theme("colorless")
    figure.plot_size(width, height)
    for curve in chart.curves:
        signal = figure.signal(list(curve.x), list(curve.y), marker=curve.drawn.value)
        if curve.drawn is not Drawn.POINTS:
            signal.lines(active=True)
        figure.draw(signal)
    for at in chart.upright:
        figure.line(at, "vertical")
    for at in chart.level:
        figure.line(at, "horizontal")
    figure.ruler("x").lim(0, chart.x_end)
    figure.ruler("y").lim(chart.y_low, chart.y_high)
    for axis, low, high, most in (("x", 0.0, chart.x_end, width // 14), ("y", chart.y_low, chart.y_high, height // 3)):
        ticks = round_steps(low, high, most)
        places = max(0, -math.floor(math.log10(ticks[1] - ticks[0]) + 1e-9)) if len(ticks) > 1 else int(high - low < 10)
        figure.ruler(axis).ticks(ticks, [number(tick, places) for tick in ticks])
    figure.label(chart.x_label, "x")
    drawn: str = figure.build().string()
    figure.clear()
    return drawn


def round_steps(low: float, high: float, most: int) -> list[float]:
    """Return at most about `most` round numbers from `low` to `high`, in steps of 1, 2 or 5 times a power of ten."""
    room = (high - low) / max(most, 2)
    power = 10.0 ** math.floor(math.log10(room))
    step = next(factor * power for factor in (1, 2, 5, 10) if factor * power >= room * (1 - 1e-9))
    first, last = math.ceil(low / step - 1e-9), math.floor(high / step + 1e-9)
    return [count * step for count in range(first, last + 1)]
