"""Figures in the cells of a notebook: amounts with their unit or without, money, durations. What they are of is said elsewhere."""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import Decimal, InvalidOperation
from functools import lru_cache
from typing import Final

from wearlog.facts.unit_words import unit_called
from wearlog.logbook.quickline.durations import units

_CELL: Final = re.compile(
    r"(?P<before>[$€£]|usd|cad|eur)?\s*(?P<figure>[-+]?\s*(?:\d[\d.,' ]*\d|\d|[.,]\d+|½|¼|¾))"
    r"\s*(?P<half>½|¼|¾)?\s*(?P<unit>[A-Za-z$€£²%]+\.?)?\s*(?P<rest>.*)$",
    re.IGNORECASE,
)
_GROUPS: Final = re.compile(r"[-+]?\d{1,3}(?:[,'  ]\d{3})+(?:\.\d+)?$")
_GROUPS_OF_POINTS: Final = re.compile(r"[-+]?\d{1,3}(?:\.\d{3})+(?:,\d+)?$")
_FRACTIONS: Final = {
    "½": Decimal("0.5"),
    "¼": Decimal("0.25"),
    "¾": Decimal("0.75"),
}
_CLOCK: Final = re.compile(r"(\d{1,3}):([0-5]\d)(?:\s*(?:h|hrs?))?$")
_HOURS_MINUTES: Final = re.compile(r"(\d{1,3})\s*(?:h|hrs?|hours?)\.?\s*(\d{1,2})\s*(?:m|min|mins|minutes)?$")


@dataclass(frozen=True, slots=True)
class CellFigure:
    """A figure as it was written: its value, its unit ("" for none; "$" for money), and what stands behind it."""

    value: Decimal
    unit: str = ""
    rest: str = ""


def plain_figure(text: str, *, decimal_comma: bool | None) -> Decimal | None:
    """Read figures that may be grouped: "1,181", "1'181.5", "1.181,5", "12,5"."""
    clean = text.strip().replace("\u2212", "-").replace("- ", "-")
    if _GROUPS.match(clean) and not (decimal_comma and "," in clean):
        clean = re.sub(r"[,'  ]", "", clean)
    elif decimal_comma and _GROUPS_OF_POINTS.match(clean):
        clean = clean.replace(".", "").replace(",", ".")
    else:
        clean = clean.replace(" ", "")
        if "," in clean and "." in clean:
            last = max(clean.rfind(","), clean.rfind("."))
            clean = re.sub(r"[.,]", "", clean[:last]) + "." + clean[last + 1 :]
        clean = clean.replace(",", ".") if clean.count(",") == 1 else clean
    try:
        return Decimal(clean)
    except InvalidOperation:
        return None


@lru_cache(maxsize=100_000)
def figure_in(text: str, *, decimal_comma: bool | None = None) -> CellFigure | None:
    """Read the figure that a cell begins with; None where it begins with none."""
    clean = text.strip()
    for sign, words in (("½", "1/2"), ("¼", "1/4"), ("¾", "3/4")):
        clean = clean.replace(words, sign)
    match = _CELL.match(clean)
    if match is None:
        return None
    written = match["figure"]
    value = _FRACTIONS.get(written)
    if value is None:
        value = plain_figure(written, decimal_comma=decimal_comma)
    if value is None:
        return None
    if match["half"] and written not in _FRACTIONS:
        value += _FRACTIONS[match["half"]]
    unit = match["before"] or (match["unit"] or "").removesuffix(".")
    rest = match["rest"].strip()
    if match["before"] and match["unit"]:
        rest = f"{match['unit']} {rest}".strip()
    return CellFigure(value, unit_called(unit) if unit else "", rest)


@lru_cache(maxsize=100_000)
def duration_in(text: str, *, decimal_comma: bool | None = None) -> tuple[Decimal, str] | None:
    """Read a duration: its amount and its unit ("h", "min"; "" where none is written); None where it is none."""
    clean = text.strip().casefold()
    clock = _CLOCK.match(clean) or _HOURS_MINUTES.match(clean)
    if clock is not None:
        return Decimal(int(clock[1]) * 60 + int(clock[2])), "min"
    if clean in ("half an hour", "half hour", "1/2 h", "1/2 hr", "half h"):
        return Decimal(30), "min"
    if clean in ("none", "no", "nil", "zero"):
        return Decimal(0), "min"
    figure = figure_in(clean.lstrip("~").removeprefix("ca. ").removeprefix("about "), decimal_comma=decimal_comma)
    if figure is None or figure.rest:
        return None
    if not figure.unit:
        return figure.value, ""
    size = units().get(figure.unit)
    if size is None:
        return None
    return figure.value * size / 60, "min"
