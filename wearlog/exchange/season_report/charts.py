"""The charts of the season report as SVG text: legible in grey, every figure also in a table. matplotlib is known here only."""

from __future__ import annotations

import io
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Final

_SERIES: Final = (
    ("parts", "#1f4e5f", ""),
    ("labour", "#c98b2c", "//"),
    ("service", "#7d9c5b", ".."),
    ("standing", "#b9b4a7", "xx"),
)
_INK: Final = "#222222"
_SETTINGS: Final[dict[Any, Any]] = {
    "svg.fonttype": "none",
    "svg.hashsalt": "wearlog",
    "font.family": "sans-serif",
    "font.size": 9,
    "axes.edgecolor": _INK,
    "hatch.linewidth": 0.6,
}


@dataclass(frozen=True, slots=True)
class SeasonBar:
    """What an acre (or hectare) cost in one season, in whole units of money: parts, labour, service, standing."""

    season: str
    per_area: tuple[float, float, float, float]


@dataclass(frozen=True, slots=True)
class KindBar:
    """Breakages of a kind expected in the season."""

    kind: str
    expected: float


def cost_chart(bars: Sequence[SeasonBar], unit: str) -> str:
    """Draw costs per area by season, stacked. Empty text where there is nothing to draw."""
    if not bars:
        return ""
    figure, axes = _figure(6.6, 2.7)
    places = range(len(bars))
    base = [0.0] * len(bars)
    for number, (name, colour, hatch) in enumerate(_SERIES):
        heights = [bar.per_area[number] for bar in bars]
        axes.bar(places, heights, bottom=base, width=0.62, color=colour, hatch=hatch, edgecolor="white", label=name)
        base = [below + height for below, height in zip(base, heights, strict=True)]
    for place, height in zip(places, base, strict=True):
        axes.annotate(f"{height:.2f}", (place, height), xytext=(0, 3), textcoords="offset points", ha="center")
    axes.set_xticks(list(places), [bar.season for bar in bars])
    axes.set_ylabel(unit)
    axes.set_ylim(0, max(max(base) * 1.15, 0.01))
    axes.legend(ncols=4, frameon=False, loc="upper center", bbox_to_anchor=(0.5, -0.12))
    return _svg(figure)


def wear_chart(bars: Sequence[KindBar]) -> str:
    """Draw breakages expected by kind, the most first. Empty text where there is nothing to draw."""
    if not bars:
        return ""
    figure, axes = _figure(6.6, 0.5 + 0.24 * len(bars))
    places = range(len(bars))
    axes.barh(places, [bar.expected for bar in bars], height=0.62, color=_SERIES[0][1])
    for place, bar in zip(places, bars, strict=True):
        axes.annotate(
            f"{bar.expected:.1f}", (bar.expected, place), xytext=(4, 0), textcoords="offset points", va="center"
        )
    axes.set_yticks(list(places), [bar.kind for bar in bars])
    axes.invert_yaxis()
    axes.set_xlim(0, max(bar.expected for bar in bars) * 1.1 + 0.1)
    axes.set_xlabel("to break in the season, each part now on once")
    return _svg(figure)


def _figure(width: float, height: float) -> tuple[Any, Any]:
    import matplotlib as mpl
    from matplotlib.figure import Figure

    with mpl.rc_context(_SETTINGS):
        figure = Figure(figsize=(width, height), layout="constrained")
        axes = figure.subplots()
    for side in ("top", "right"):
        axes.spines[side].set_visible(False)
    return figure, axes


def _svg(figure: Any) -> str:
    import matplotlib as mpl

    buffer = io.StringIO()
    with mpl.rc_context(_SETTINGS):
        figure.savefig(buffer, format="svg", transparent=True, metadata={"Date": None, "Creator": None})
    text = buffer.getvalue()
    # the head of an XML file has no place inside a page
    return text[text.index("<svg") :]
