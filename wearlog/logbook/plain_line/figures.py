"""Figures with their units, as readings, areas, prices and counts need them: "2,901.5", "60 ac", "24 ha", "118.50", "$140"."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import Final

from wearlog.errors import UsageError
from wearlog.logbook.plain_line.line import Line
from wearlog.logbook.quickline.scan import Role
from wearlog.logbook.quickline.words import WORDS
from wearlog.units import plain_number

_SIZES: Final = {
    **dict.fromkeys(WORDS.hours, "h"),
    **dict.fromkeys(("ac", "acre", "acres", "acers"), "ac"),
    **dict.fromkeys(("ha", "hectare", "hectares"), "ha"),
    **dict.fromkeys(("bucks", "dollars", "dollar", "$", "usd", "cad", "eur", "each", "ea", "apiece"), "money"),
}


@dataclass(frozen=True, slots=True)
class Figure:
    """A figure at the tokens [start, stop): its value, its unit ("" for none), and as it was written."""

    start: int
    stop: int
    value: Decimal
    unit: str
    shown: str


def figures_of(line: Line, *, claimed: bool = False) -> list[Figure]:
    """Return the figures of the line that nothing has claimed as positions or times, with their units; `claimed`: all but times."""
    found: list[Figure] = []
    index = 0
    while index < len(line.tokens):
        figure = _at(line, index, claimed=claimed)
        if figure is not None:
            found.append(figure)
        index = figure.stop if figure is not None else index + 1
    return found


def _at(line: Line, index: int, *, claimed: bool) -> Figure | None:
    token = line.tokens[index]
    role = line.scan.roles[index]
    if not token.is_number or role is Role.TIME or (role in (Role.POSITION, Role.COUNT) and not claimed):
        return None
    stop = index + 1
    while _sign_at(line, stop) in (".", ",") and _glued_number(line, stop + 1):
        stop += 2
    written = line.scan.shown(index, stop) if token.text == token.shown else token.text
    try:
        value = plain_number(written)
    except UsageError:
        return None
    unit = _SIZES.get(line.text(stop), "")
    if line.text(index - 1) == "$":
        unit = "money"
    return Figure(index, stop + bool(unit and line.text(index - 1) != "$"), value, unit, written.replace(",", ""))


def _sign_at(line: Line, index: int) -> str:
    return line.text(index) if index < len(line.tokens) and line.tokens[index].glued else ""


def _glued_number(line: Line, index: int) -> bool:
    return index < len(line.tokens) and line.tokens[index].glued and line.tokens[index].is_number
