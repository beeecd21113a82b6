"""Drawings for paper as SVG text: lines, boxes, words, and fills that are told apart in black and white."""

from __future__ import annotations

from collections.abc import Sequence
from html import escape
from typing import Final

#: units across a page: 8 pt type is 11 of them
WIDE: Final = 720.0
TYPE: Final = 11.0
INK: Final = "#111"
FAINT: Final = "#888"
#: fills by name; each is told from the others without colour
FILLS: Final = ("dark", "stripes", "dots", "open")
_SHAPES: Final = {"dark": "#555", "open": "#fff", "light": "#ddd"}


class Drawing:
    """A drawing of so many units; its words are those of the page and can be searched and copied."""

    def __init__(self, high: float, about: str, wide: float = WIDE) -> None:
        self._wide, self._high, self._about = wide, high, about
        self._pieces: list[str] = []

    def line(
        self, x1: float, y1: float, x2: float, y2: float, *, ink: str = INK, thick: float = 1, dash: str = ""
    ) -> None:
        """Draw a line; `dash` is a pattern like "3 2"."""
        dashes = f' stroke-dasharray="{dash}"' if dash else ""
        self._pieces.append(
            f'<line x1="{x1:.1f}" y1="{y1:.1f}" x2="{x2:.1f}" y2="{y2:.1f}" stroke="{ink}" stroke-width="{thick}"{dashes}/>'
        )

    def box(self, x: float, y: float, wide: float, high: float, *, fill: str = "open", ink: str = INK) -> None:
        """Draw a box; `fill` is one of `FILLS`, "light", or a colour."""
        paint = _SHAPES.get(fill) or (f"url(#{fill})" if fill in FILLS else fill)
        self._pieces.append(
            f'<rect x="{x:.1f}" y="{y:.1f}" width="{max(wide, 0):.1f}" height="{max(high, 0):.1f}" fill="{paint}"'
            f' stroke="{ink}" stroke-width="0.6"/>'
        )

    def dot(self, x: float, y: float, radius: float = 3.5, *, hollow: bool = False) -> None:
        """Draw a dot; a hollow one rests on a guess."""
        self._pieces.append(
            f'<circle cx="{x:.1f}" cy="{y:.1f}" r="{radius}" fill="{"#fff" if hollow else INK}" stroke="{INK}"/>'
        )

    def shape(self, points: Sequence[tuple[float, float]], *, fill: str = INK) -> None:
        """Draw a closed shape."""
        corners = " ".join(f"{x:.1f},{y:.1f}" for x, y in points)
        self._pieces.append(f'<polygon points="{corners}" fill="{fill}" stroke="{INK}" stroke-width="0.6"/>')

    def words(
        self,
        x: float,
        y: float,
        said: str,
        *,
        size: float = TYPE,
        at: str = "start",
        bold: bool = False,
        ink: str = INK,
    ) -> None:
        """Write words with their foot at y; `at` is start, middle or end of x."""
        weight = ' font-weight="600"' if bold else ""
        self._pieces.append(
            f'<text x="{x:.1f}" y="{y:.1f}" font-size="{size}" text-anchor="{at}" fill="{ink}"{weight}>{escape(said)}</text>'
        )

    def svg(self) -> str:
        """Return the drawing as markup; every word in it is escaped."""
        return (
            f'<svg xmlns="http://www.w3.org/2000/svg" role="img" aria-label="{escape(self._about, quote=True)}"'
            f' viewBox="0 0 {self._wide:.0f} {self._high:.0f}">{"".join(self._pieces)}</svg>'
        )


def fills() -> str:
    """Return the fills that all drawings of a page refer to; they stand once in it."""
    return (
        '<svg width="0" height="0" aria-hidden="true" style="position:absolute"><defs>'
        '<pattern id="stripes" width="5" height="5" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">'
        '<rect width="5" height="5" fill="#fff"/><line x1="0" y1="0" x2="0" y2="5" stroke="#111" stroke-width="2"/></pattern>'
        '<pattern id="dots" width="5" height="5" patternUnits="userSpaceOnUse">'
        '<rect width="5" height="5" fill="#fff"/><circle cx="2.5" cy="2.5" r="1" fill="#111"/></pattern>'
        "</defs></svg>"
    )


def room_of(said: str, size: float = TYPE) -> float:
    """Return about how many units words take: enough to keep them apart, whatever face prints them."""
    return len(said) * size * 0.56


def shortened(said: str, room: float, size: float = TYPE) -> str:
    """Return words that fit into so many units, cut with an ellipsis where they must be."""
    most = max(int(room / (size * 0.56)), 1)
    return said if len(said) <= most else f"{said[: most - 1]}…"
