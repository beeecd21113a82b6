"""Days and figures in the cells of a notebook: any order of a date, with or without the year or the unit.

Which order of dates a file keeps to is read off the file. What figures are of is said elsewhere.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal, InvalidOperation
from functools import lru_cache
from itertools import pairwise
from typing import Final

from wearlog.facts.plain_text import folded
from wearlog.facts.unit_words import unit_called
from wearlog.logbook.quickline.durations import units
from wearlog.logbook.quickline.words import WORDS

_MONTHS: Final = {name: place for place, names in enumerate(WORDS.months, 1) for name in names}

_MONTH: Final = "|".join(sorted(_MONTHS, key=len, reverse=True))

_WEEKDAY: Final = re.compile(
    r"^(?:" + "|".join(sorted((one for names in WORDS.weekdays for one in names), key=len, reverse=True)) + r")\.?,?\s+"
)

_TIME: Final = re.compile(r"[ t](?:at |@ ?)?(\d{1,2})[:.](\d\d)(?::\d\d(?:\.\d+)?)?\s*(am|pm)?\s*h?$")

_TIME_ALONE: Final = re.compile(
    r"(?:at |@ ?)?(?:(?P<together>\d{4})|(?P<hour>\d{1,2})(?:[:.](?P<minutes>\d\d)(?::\d\d(?:\.\d+)?)?)?"
    r"\s*(?P<half>[ap]\.?m\.?)?)\s*h?$"
)

_HOURS: Final = 24

_LAST_MINUTE: Final = 59

_ISO: Final = re.compile(r"(\d{4})[-/.](\d{1,2})[-/.](\d{1,2})$")

_FIGURES: Final = re.compile(r"(\d{1,2})\s?[-/.]\s?(\d{1,2})(?:\s?[-/.]\s?(\d{4}|\d\d)?)?\.?$")

_DAY_MONTH: Final = re.compile(
    rf"(\d{{1,2}})(?:st|nd|rd|th)?\.?[\s/-]*(?:of\s+)?({_MONTH})\.?(?:[\s,/'-]*(\d{{4}}|\d\d))?$"
)

_MONTH_DAY: Final = re.compile(
    rf"({_MONTH})\.?[\s/-]*(\d{{1,2}})(?:st|nd|rd|th)?(?:[\s,/-]+'?(\d{{4}})|\s*,\s*'?(\d\d)|[/-](\d\d)| '(\d\d))?$"
)

_MONTH_YEAR: Final = re.compile(rf"({_MONTH})\.?[\s,/'-]*(\d{{4}})$")

_ONLY_YEAR: Final = re.compile(r"(?:season|harvest|year|crop)?\s*((?:19|20)\d\d)(?:\s*(?:season|harvest|crop))?$")

_PART_OF_YEAR: Final = re.compile(
    r"(?:early |late )?(spring|summer|fall|autumn|winter|preseason|pre-season)\s*(?:of\s+)?'?((?:19|20)\d\d|\d\d)?$"
)

MONTH_FIRST: Final = "month_first"

DAY_FIRST: Final = "day_first"


@dataclass(frozen=True, slots=True)
class DayCell:
    """A day as a cell writes it. None where it does not say; `problem` is "impossible" or "two_ways"."""

    year: int | None = None
    month: int | None = None
    day: int | None = None
    problem: str = ""
    time: str = ""
    words: str = ""

    def on(self, year: int | None = None) -> date | None:
        """Return the day, of `year` where the cell says none; None where there is no such day."""
        told = self.year if self.year is not None else year
        if told is None or self.month is None or self.day is None:
            return None
        try:
            return date(told, self.month, self.day)
        except ValueError:
            return None


@lru_cache(maxsize=50_000)
def day_in(text: str, order: str) -> DayCell | None:
    """Read the day of a cell; None where it is no day.

    Parameters
    ----------
    order : str
        `MONTH_FIRST` or `DAY_FIRST` for days in figures; "" where the file does not show which.
    """
    clean = _WEEKDAY.sub("", folded(text)).strip(" ,")
    clock = _TIME.search(clean)
    time = ""
    if clock is not None and clean[: clock.start()].strip():
        time = _of_day(clock[1], clock[2], clock[3])
        clean = clean[: clock.start()].strip(" ,") if time else clean
    found = _iso(clean) or _in_figures(clean, order) or _in_words(clean)
    if found is None:
        return None
    return DayCell(found.year, found.month, found.day, found.problem or _impossible(found), time, found.words)


def time_in(text: str) -> str:
    """Read a time of day as "14:30"; "" where it is none, or nobody can know which: "7" may be in the evening."""
    clean = folded(text).strip(" ,")
    if clean == "noon":
        return "12:00"
    match = _TIME_ALONE.match(clean)
    if match is None:
        return ""
    if match["together"]:
        return _of_day(match["together"][:2], match["together"][2:], "")
    half = (match["half"] or "").replace(".", "")
    if match["minutes"] is None and not half and not 12 < int(match["hour"]) < _HOURS:
        return ""
    return _of_day(match["hour"], match["minutes"] or "00", half)


def _of_day(hour: str, minutes: str, half: str | None) -> str:
    """Return "14:30" of an hour, minutes and am or pm; "" where no clock shows that."""
    shown = int(hour)
    if int(minutes) > _LAST_MINUTE or shown >= _HOURS or (half and shown > _HOURS // 2):
        return ""
    if half and shown:
        shown = shown % 12 + (12 if half == "pm" else 0)
    return f"{shown:02}:{minutes}"


def _iso(clean: str) -> DayCell | None:
    match = _ISO.match(clean)
    return DayCell(int(match[1]), int(match[2]), int(match[3])) if match else None


def _in_figures(clean: str, order: str) -> DayCell | None:
    match = _FIGURES.match(clean)
    if match is None:
        return None
    first, second, year = int(match[1]), int(match[2]), _year(match[3])
    if not order and "." in clean:
        # where points part a day it stands first (common practice, no source)
        order = DAY_FIRST
    if first > 12 and second > 12:
        return DayCell(year, None, None, "impossible")
    day_first = first > 12 or (second <= 12 and order == DAY_FIRST)
    month, day = (second, first) if day_first else (first, second)
    if order == DAY_FIRST and second > 12:
        # the file says its days day first, and there is no such month
        return DayCell(year, second, first, "impossible")
    if order == MONTH_FIRST and first > 12:
        return DayCell(year, first, second, "impossible")
    two = not order and first <= 12 and second <= 12 and first != second
    return DayCell(year, month, day, "two_ways" if two else "")


def _in_words(clean: str) -> DayCell | None:
    match = _MONTH_YEAR.match(clean)
    if match is not None:
        return DayCell(int(match[2]), _MONTHS[match[1]], None)
    match = _DAY_MONTH.match(clean)
    if match is not None:
        return DayCell(_year(match[3]), _MONTHS[match[2]], int(match[1]))
    match = _MONTH_DAY.match(clean)
    if match is not None:
        return DayCell(_year(match[3] or match[4] or match[5] or match[6]), _MONTHS[match[1]], int(match[2]))
    match = _ONLY_YEAR.match(clean)
    if match is not None:
        return DayCell(int(match[1]))
    match = _PART_OF_YEAR.match(clean)
    if match is not None:
        return DayCell(_year(match[2]), None, None, words=match[1])
    return None


def _year(text: str | None) -> int | None:
    if not text:
        return None
    year = int(text)
    return year + (2000 if year < 70 else 1900) if year < 100 else year


def _impossible(cell: DayCell) -> str:
    """A day that no year has is impossible; the 29th of February only where the year is told and has none."""
    if cell.month is None or cell.day is None:
        return ""
    return "" if cell.on(2024 if cell.year is None else None) is not None else "impossible"


def order_of(cells: Iterable[str]) -> str:
    """Return in which order the days of a file are written: evident from a day above 12, or from their going on in time."""
    figures: list[tuple[int, int, int | None]] = []
    firsts = seconds = 0
    for cell in cells:
        match = _FIGURES.match(_WEEKDAY.sub("", folded(cell)).strip(" ,"))
        if match is None:
            continue
        first, second = int(match[1]), int(match[2])
        firsts += first > 12 >= second
        seconds += second > 12 >= first
        figures.append((first, second, _year(match[3])))
    if firsts != seconds and (min(firsts, seconds) == 0 or max(firsts, seconds) >= 5 * min(firsts, seconds)):
        return DAY_FIRST if firsts > seconds else MONTH_FIRST
    if firsts:
        return ""
    return _order_in_time(figures)


def _order_in_time(figures: Sequence[tuple[int, int, int | None]]) -> str:
    """Return the order in which the days of rows go on in time, where only one of the two does."""
    if len(figures) < 6:
        return ""
    fall = {
        MONTH_FIRST: _falls([(year or 0, first, second) for first, second, year in figures]),
        DAY_FIRST: _falls([(year or 0, second, first) for first, second, year in figures]),
    }
    better, worse = sorted(fall, key=lambda one: fall[one])
    return better if fall[better] <= len(figures) / 20 and fall[worse] >= len(figures) / 4 else ""


def _falls(keys: Sequence[tuple[int, int, int]]) -> int:
    return sum(later < earlier for earlier, later in pairwise(keys))


def year_between(cell: DayCell, before: date | None, after: date | None, usual: int | None) -> date | None:
    """Return the day of a cell without its year: of the season told, else the nearest to the dated rows around it."""
    if usual is not None:
        return cell.on(usual)
    years = {near.year + step for near in (before, after) if near is not None for step in (-1, 0, 1)}
    days = [day for year in sorted(years) if (day := cell.on(year)) is not None]
    if not days:
        return None
    return min(days, key=lambda day: (_outside(day, before, after), abs((day - (before or after or day)).days)))


def _outside(day: date, before: date | None, after: date | None) -> int:
    early = max((before - day).days, 0) if before is not None else 0
    late = max((day - after).days, 0) if after is not None else 0
    return early + late


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
