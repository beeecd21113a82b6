"""Days that people say otherwise than a field takes them: 28.7., 3.8.2026, "night before last", "last winter", "after lunch"."""

from __future__ import annotations

from datetime import date, time, timedelta
from typing import Final

from wearlog.logbook.plain_line.line import Line
from wearlog.logbook.quickline.days import ClockSaid, DaySaid, TimeSaid, add_day
from wearlog.logbook.quickline.tokens import Role
from wearlog.logbook.quickline.words import WORDS

#: the latest hour that 3.11. can also be
_HOURS: Final = 24
#: a winter is over from this month on, and a day in its middle stands for it
_WINTER_OVER: Final = 4
_MID_WINTER: Final = (1, 15)
_SEASONS: Final = ("winter", "spring", "summer", "fall", "autumn", "harvest")
#: when meals are on a farm (common practice, no source)
_MEALS: Final = {
    "before breakfast": time(6),
    "after breakfast": time(8),
    "before lunch": time(11),
    "at lunch": time(12),
    "over lunch": time(12),
    "after lunch": time(13),
    "before supper": time(17),
    "at supper": time(18),
    "after supper": time(19),
    "suppertime": time(18),
    "lunchtime": time(12),
}
#: at noon for some, in the evening for others
_DINNER: Final = ("at dinner", "after dinner", "before dinner")
#: as long as a part of the day, and no time of day
_LONG: Final = ("all morning", "all afternoon", "all evening", "all night", "all day", "half the day", "half a day")
_WHOLE: Final = ("the whole morning", "the whole afternoon", "the whole day", "lost the morning", "lost the afternoon")


def find_dotted(line: Line, said: TimeSaid) -> None:
    """Claim 28.7., 28.7.26 and 3.8.2026: with points the day stands first. Ask about 3.11., which can be a time of day."""
    scan = line.scan
    for index in range(len(line.tokens)):
        day, month = scan.digits(index, 2), scan.digits(index + 2, 2)
        together = all(scan.glued(index + step) for step in (1, 2, 3)) and not _behind_point(line, index)
        if not day or not month or not together:
            continue
        if scan.sign(index + 1, "-") and scan.sign(index + 3, "-") and scan.glued(index + 4):
            _add_dashed(line, said, index, day, month)
            continue
        if not (scan.sign(index + 1, ".") and scan.sign(index + 3, ".")):
            continue
        _ask_month_first(line, index, day, month)
        if day > 31 or month > 12:
            continue
        near = scan.glued(index + 4) or len(line.text(index + 4)) == 4
        year = scan.digits(index + 4, 4) if near and len(line.text(index + 4)) in (2, 4) else None
        stop = index + 4 + (year is not None)
        shown = scan.shown(index, stop)
        clock = year is None and len(line.text(index + 2)) == 2 and day < _HOURS and not line.farm.day_first
        sure = index == 0 or line.text(index - 1) == "on"
        scan.claim(index, stop, Role.TIME)
        if clock and not sure:
            name = WORDS.months[month - 1][0]
            line.ask(
                f"Is '{shown}' {day} {name.capitalize()} or a time of day?",
                f"Write {name} {day}, or {day}:{line.text(index + 2)}.",
            )
            continue
        whole = year + 2_000 if year is not None and year < 100 else year
        add_day(scan, said, index, shown, line.now.date(), whole, month, day)


def _add_dashed(line: Line, said: TimeSaid, index: int, first: int, second: int) -> None:
    """Claim 7-13-26 and 7-13-2026, in the order of the farm's days."""
    year = line.scan.digits(index + 4, 4)
    if year is None or len(line.text(index + 4)) not in (2, 4):
        return
    day, month = (first, second) if line.farm.day_first else (second, first)
    if day > 31 or month > 12:
        return
    shown = line.scan.shown(index, index + 5)
    line.scan.claim(index, index + 5, Role.TIME)
    add_day(line.scan, said, index, shown, line.now.date(), year + 2_000 if year < 100 else year, month, day)


def _ask_month_first(line: Line, index: int, first: int, second: int) -> None:
    """Ask about 7.13., which can be july 13 or a time of day; behind "at" it is a time."""
    lone = not (line.scan.glued(index + 4) and line.scan.digits(index + 4) is not None)
    if line.farm.day_first or not (1 <= first <= 12 < second <= 31 and lone) or line.text(index - 1) in ("at", "by"):
        return
    name, shown = WORDS.months[first - 1][0], line.scan.shown(index, index + 3)
    line.ask(
        f"Is '{shown}' {second} {name.capitalize()} or a time of day?",
        f"Write {name} {second}, or {first}:{line.text(index + 2)}.",
    )
    line.scan.claim(index, index + 4, Role.TIME)


def find_two_days(line: Line) -> None:
    """Ask which day was "july 3-4", "july 3 to 5", "3-4 july": an entry has one."""
    scan = line.scan
    for index in range(len(line.tokens)):
        month = next((names for names in WORDS.months if line.text(index) in names), None)
        if month is None:
            continue
        for start in (index + 1, index - 3):
            first, second = scan.digits(start, 2), scan.digits(start + 2, 2)
            glued = scan.sign(start + 1, "-/") and scan.glued(start + 1) and scan.glued(start + 2)
            whole = glued or scan.word(start + 1) in ("to", "thru", "through")
            if not first or not second or not whole or not first < second <= 31 or line.text(start + 3) == ":":
                continue
            of_part = start < index and (scan.roles[start - 1] is Role.KIND or scan.digits(index + 1, 2) is not None)
            if of_part or (scan.sign(start + 1, "/") and scan.sign(start + 3, "/")):
                continue
            low, high = min(start, index), max(start + 3, index + 1)
            line.ask(f"Which day was '{scan.shown(low, high)}'?", f"Write one day, like {month[0]} {first}.")
            scan.claim(start + 1, start + 3, Role.TIME)


def _behind_point(line: Line, index: int) -> bool:
    """Say whether the figure at `index` goes on with another one."""
    return index > 0 and line.tokens[index].glued and line.text(index - 1) in ".,:/-$"


def find_odd_days(line: Line, said: TimeSaid) -> list[str]:
    """Claim what says a day or a time in words of its own; return what is taken for granted."""
    assumed: list[str] = []
    _keep_long(line)
    at = line.find("night before last")
    if at is not None:
        said.days.append(DaySaid(at, line.now.date() - timedelta(days=2)))
        said.day_parts.append((at, "night"))
        line.scan.claim(at, at + 3, Role.TIME)
    for words, clock in _MEALS.items():
        meal = line.find(words)
        if meal is not None:
            said.clocks.append(ClockSaid(meal, clock))
            line.scan.claim(meal, meal + len(words.split()), Role.TIME)
            assumed.append("time")
    vague = next((words for words in _DINNER if line.has(words)), "")
    if vague:
        line.ask(f"What time was '{vague}'?", "Write the time, like 18:30 or 6:30 pm.")
    return assumed + _find_seasons(line, said)


def _keep_long(line: Line) -> None:
    """Keep "all afternoon" in the note: it says how long it took, in no hours, and not when it was."""
    for words in (*_LONG, *_WHOLE):
        at = line.find(words)
        if at is not None:
            line.scan.claim(at, at + len(words.split()), Role.PLACE)


def _find_seasons(line: Line, said: TimeSaid) -> list[str]:
    """Take the middle of last winter where nothing else says when; ask about a season of a year."""
    for index, token in enumerate(line.tokens):
        year = line.scan.digits(index + 1, 4)
        if token.text in _SEASONS and year is not None and year > 1_990:
            shown = f"{token.shown} {year}"
            line.ask(f"Which day was '{shown}'?", "Write the day, like january 15 2026.")
            line.scan.claim(index + 1, index + 2, Role.TIME)
            return []
    named = [
        f"{before} {season}" for before in ("in", "this", "in the") for season in ("spring", "summer", "fall", "autumn")
    ]
    vague = next((words for words in named if line.has(words)), "")
    if vague and not (said.days or said.moments or said.now):
        line.ask(f"Which day was '{vague}'?", "Write the day, like april 15.")
    if line.has("last winter") and not (said.days or said.moments or said.now):
        today = line.now.date()
        year = today.year if today.month >= _WINTER_OVER else today.year - 1
        said.days.append(DaySaid(line.find("last winter") or 0, date(year, *_MID_WINTER)))
        return ["day"]
    return []
