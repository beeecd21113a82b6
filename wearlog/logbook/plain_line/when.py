"""When it was, as a line says it: with and without a colon, "half past four", "at 9 this morning", "yesterday 1640", "in march".

What the fields of the program read too (days, clocks, moments) is read by the same functions; here stands only what people say
in a line beside that. A time of day that is still to come today was yesterday, and that is shown.
"""

from __future__ import annotations

from calendar import monthrange
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, time, timedelta
from typing import Final

from wearlog.facts.closed_lists import Action
from wearlog.logbook.plain_line.line import Line, PhraseMark, Tag
from wearlog.logbook.plain_line.said_table import CAME
from wearlog.logbook.quickline.days import ClockSaid, DaySaid, TimeSaid, find_clocks, find_days, find_iso
from wearlog.logbook.quickline.durations import Duration, duration_at
from wearlog.logbook.quickline.moment import settle
from wearlog.logbook.quickline.tokens import Role
from wearlog.logbook.quickline.words import WORDS

_PARTS: Final = frozenset(name for name, _, _ in WORDS.day_parts)
_LATE: Final = ("afternoon", "evening", "night")
#: days that nobody can know
_VAGUE: Final = (
    *(
        "last week",
        "last month",
        "last year",
        "last season",
        *("christmas", "christmas eve", "labor day", "labour day", "canada day", "independence day", "thanksgiving"),
        *("easter", "victoria day", "memorial day", "new year"),
        *("last spring", "last summer", "last fall", "last autumn", "last harvest"),
        "the other day",
        "other night",
        "a while ago",
    ),
    *(
        "a while back",
        "a few days ago",
        "some days ago",
        "earlier this week",
        "earlier this month",
        "couple weeks ago",
        "few weeks ago",
    ),
)
_ROUGHLY: Final = ("at", "around", "about", "by", "approx", "roughly", "near")
#: before "by" and a time they say until when it stood
_OVER: Final = ("running", "going", "fixed", "done", "back", "ready", "cutting", "up")
#: a line with one of these tells a price
_PAID: Final = ("bought", "purchased", "paid", "cost", "costs", "price")
#: a time of day without am or pm is in the afternoon before this hour
MORNING_FROM: Final = 7
_MIDDLE: Final = 15


@dataclass(slots=True, eq=False)
class When:
    """When it was, in UTC; `dated` when the line says a day, `timed` when it says a time of day."""

    at: datetime
    assumed: tuple[str, ...] = ()
    dated: bool = False
    timed: bool = False


def begin_when(line: Line) -> TimeSaid:
    """Claim the moments written like 2026-07-28, which nothing else may read as figures."""
    said = TimeSaid()
    find_iso(line.scan, said)
    for index, token in enumerate(line.tokens):
        # "sep 1001.4" is the separator's meter, "sep 14" a day
        near = [line.text(at) for at in (index + 1, index - 1)]
        figure = next((one for one in near if one.isdigit()), "")
        hours = line.text(index + 1) in ("hrs", "hours", "hr", "h", "hour") or (
            line.text(index + 2) == "." and len(figure) > 2
        )
        if token.text in ("sep", "sept") and (
            hours or (figure and int(figure) > 31 and not 1_990 < int(figure) < 2_100)
        ):
            line.tokens[index] = replace(token, text="separator")
            line.forget()
    return said


def find_when(line: Line, said: TimeSaid) -> list[str]:
    """Claim every day and time of day of the line; return what was taken for granted in reading them."""
    scan = line.scan
    assumed: list[str] = []
    _refuse_to_come(line)
    for index in range(len(line.tokens)):
        _read_odd_clock(line, said, index, assumed)
        _read_month_alone(line, said, index, assumed)
        _read_day_alone(line, said, index, assumed)
        _ask_two_ways(line, index)
    find_clocks(scan, said)
    find_days(scan, said, line.now.date(), day_first=line.farm.day_first)
    assumed += _into_afternoon(line, said)
    return assumed


def _into_afternoon(line: Line, said: TimeSaid) -> list[str]:
    """Read 4:20 without am and pm as in the afternoon, as "at 4" is, where people use the clock of 12 hours; and tell it.

    Where the afternoon of today is still to come, the morning is meant. 04:20 is always in the morning.
    """
    if line.farm.day_first or line.farm.is_metric or said.day_parts or len(said.clocks) != 1:
        return []
    clock = said.clocks[0]
    bare = clock.on_24 and 1 <= clock.at.hour < MORNING_FROM and len(line.text(clock.index)) == 1
    later = clock.at.replace(hour=(clock.at.hour + 12) % 24)
    if not bare or (not said.days and later > line.now.time()):
        return []
    said.clocks[0] = replace(clock, at=later)
    return ["half of day"]


def _put_off(line: Line) -> list[PhraseMark]:
    """Return what says that it was left as it is: "will change", "left"."""
    return [
        mark for mark in line.of(Tag.SAID) if mark.phrase.said is not None and mark.phrase.said.action is Action.LEFT
    ]


def _refuse_to_come(line: Line) -> None:
    vague = next((words for words in _VAGUE if line.has(words)), "")
    if vague:
        line.ask(f"Which day was '{vague}'?", "Write the day, like july 28 or last tuesday.")
    put_off = bool(_put_off(line))
    days = [name for names in WORDS.weekdays for name in names]
    for index, token in enumerate(line.tokens):
        soon = put_off and token.text in _PARTS and any(0 <= index - mark.stop <= 2 for mark in _put_off(line))
        if soon or (put_off and (token.text == "tonight" or line.text(index - 1) in ("till", "til", "until"))):
            # when it will be done, and not when it broke
            line.scan.claim(index, index + 1, Role.TIME)
        coming = token.text == "next" and line.text(index + 1) in (*days, "week", "month", "year")
        if token.text != "tomorrow" and not coming:
            continue
        line.scan.claim(index, index + 1 + coming, Role.TIME)
        if not put_off:
            line.ask(f"'{line.scan.shown(index, index + 1 + coming)}' is still to come.", "Write it when it is done.")


def _read_odd_clock(line: Line, said: TimeSaid, index: int, assumed: list[str]) -> None:
    """Claim the time of day that begins at `index`, where it is said as no field of the program would say it."""
    scan = line.scan
    digits = scan.digits(index, 4)
    if digits is None:
        _read_past(line, said, index, assumed)
        return
    text, following = line.text(index), scan.word(index + 1)
    before = line.text(index - 1)
    if len(text) in (3, 4) and following in ("am", "pm"):
        _add(line, said, index, index + 2, _half(digits // 100, following), digits % 100)
    elif len(text) == 4 and _says_time(line, index) and digits // 100 < 24 and digits % 100 < 60:
        _add(line, said, index, index + 1, digits // 100, digits % 100)
    elif len(text) <= 2 and _pointed(line, index):
        _add(line, said, index, index + 3, digits, int(line.text(index + 2)), on_24=True)
    elif len(text) <= 2 and following == "ish" and scan.glued(index + 1):
        assumed.append("half of day")
        _add(line, said, index - (before in _ROUGHLY), index + 2, _likely(line, digits), 0)
    elif (before == "at" and _may_be_price(line)) or (before == "by" and line.text(index - 2) in _OVER):
        return
    elif len(text) <= 2 and before in _ROUGHLY and 1 <= digits <= 12 and _ends_clock(line, index + 1):
        part = _part_near(line, index)
        if not part:
            assumed.append("half of day")
        _add(line, said, index - 1, index + 1, _in_part(digits, part) if part else _likely(line, digits), 0)


def _may_be_price(line: Line) -> bool:
    """Say whether a figure behind "at" can be what parts cost that came."""
    return line.has(*CAME) and not line.of(Tag.MACHINE)


def _says_time(line: Line, index: int) -> bool:
    """Say whether four digits stand where a time of day does: behind a day or "at"."""
    before = line.text(index - 1)
    if line.text(index + 1) in (*WORDS.hours, "separator", "sep", "engine", "eng"):
        return False
    days = [name for names in WORDS.weekdays for name in names]
    return before in (*_ROUGHLY, "@", "yesterday", "today", "morning", "afternoon", "evening", "night", *days)


def _pointed(line: Line, index: int) -> bool:
    """Say whether 16.20 stands at `index`: two digits behind a point, no unit behind them, and no price."""
    scan = line.scan
    if line.text(index - 1) in ("$", "@") or line.farm.is_money(line.text(index + 3)) or line.has(*_PAID):
        return False
    if _may_be_price(line) and (line.text(index - 1) in ("at", "for") or _many_pointed(line)):
        return False
    together = scan.sign(index + 1, ".") and scan.glued(index + 1) and scan.glued(index + 2)
    minute = scan.digits(index + 2, 2) if together else None
    whole = minute is not None and len(line.text(index + 2)) == 2 and minute < 60 and int(line.text(index)) < 24
    return (
        whole
        and duration_at(scan, index) is None
        and scan.word(index + 3) not in ("am", "pm", "mm", "cm", "ac", "h")
        and not (scan.word(index + 3) == "in" and line.text(index + 4) != "the")
    )


def _many_pointed(line: Line) -> bool:
    """Say whether several figures have two digits behind a point: of parts that came these are prices."""
    points = [
        at
        for at in range(1, len(line.tokens) - 1)
        if line.scan.sign(at, ".")
        and line.scan.glued(at + 1)
        and len(line.text(at + 1)) == 2
        and line.scan.digits(at - 1) is not None
        and line.scan.digits(at + 1) is not None
    ]
    return len(points) > 1


def _ends_clock(line: Line, index: int) -> bool:
    """Say whether nothing follows that would make the figure a count of something."""
    if index >= len(line.tokens) or line.scan.sign(index, ",;"):
        return not (line.scan.glued(index) and line.scan.glued(index + 1) and line.scan.digits(index + 1) is not None)
    if line.scan.sign(index, "."):
        return not (line.scan.glued(index) and index + 1 < len(line.tokens) and line.scan.glued(index + 1))
    return line.text(index) in (
        *_PARTS,
        "this",
        "in",
        "yesterday",
        "today",
        "last",
        "with",
        "on",
        "and",
        "when",
        "while",
        "hit",
        "not",
    ) or (line.scan.roles[index] is not None)


def _part_near(line: Line, index: int) -> str:
    near = [line.text(at) for at in range(max(0, index - 4), min(len(line.tokens), index + 4))]
    return next((word for word in near if word in _PARTS), "night" if "tonight" in near else "")


def _in_part(hour: int, part: str) -> int:
    return hour + 12 if part in _LATE and (6 if part == "night" else 1) <= hour < 12 else hour % 24


def _likely(line: Line, hour: int) -> int:
    """Return the hour of the day that people at work mean by a bare one: 3 is in the afternoon, 9 in the morning."""
    part = _part_near(line, 0)
    if part:
        return _in_part(hour, part)
    return hour + 12 if hour < MORNING_FROM else hour


def _half(hour: int, half: str) -> int:
    return hour % 12 + (12 if half == "pm" else 0) if 1 <= hour <= 12 else hour


def _add(line: Line, said: TimeSaid, start: int, stop: int, hour: int, minute: int, *, on_24: bool = False) -> None:
    if hour > 23 or minute > 59:
        line.ask(f"'{line.scan.shown(start, stop)}' is not a time of day.", "Write it like 16:20 or 4:20 pm.")
    else:
        said.clocks.append(ClockSaid(start, time(hour, minute), on_24=on_24))
    line.scan.claim(start, stop, Role.TIME)


def _read_past(line: Line, said: TimeSaid, index: int, assumed: list[str]) -> None:
    """Claim "half past four", "quarter to five", "ten past four"."""
    scan = line.scan
    minutes = {"half": 30, "quarter": 15}.get(scan.word(index))
    direction = scan.word(index + 1)
    hour = scan.digits(index + 2, 2)
    if minutes is None or direction not in ("past", "to", "after", "before") or hour is None or not 1 <= hour <= 12:
        return
    assumed.append("half of day")
    whole = _likely(line, hour)
    if direction in ("to", "before"):
        whole, minutes = whole - 1, 60 - minutes
    _add(line, said, index, index + 3, whole, minutes)


def _read_month_alone(line: Line, said: TimeSaid, index: int, assumed: list[str]) -> None:
    """Claim a month without a day, "in march": the middle of the latest one that has been."""
    scan = line.scan
    month = next((place + 1 for place, names in enumerate(WORDS.months) if scan.word(index) in names), None)
    if month is None:
        return
    near = [scan.digits(at, 2) for at in (index - 1, index + 1)]
    ordinal = scan.word(index - 1) in ("of", "st", "nd", "rd", "th") or scan.sign(index + 1, ".")
    if (
        any(near)
        or ordinal
        or (
            scan.word(index) in ("may", "march", "mar")
            and scan.word(index - 1) not in ("in", "last", "this", "early", "late")
        )
    ):
        return
    today = line.now.date()
    year = scan.digits(index + 1, 4)
    day = date(year or today.year, month, _MIDDLE)
    if year is None and day > today:
        day = day.replace(year=today.year - 1)
    said.days.append(DaySaid(index, day, year_assumed=year is None))
    assumed.extend(("year", "day") if year is None else ("day",))
    scan.claim(index - (scan.word(index - 1) == "in"), index + 1 + (year is not None), Role.TIME)


def _read_day_alone(line: Line, said: TimeSaid, index: int, assumed: list[str]) -> None:
    """Claim "the 14th": the latest one that has been."""
    scan, today = line.scan, line.now.date()
    day = scan.digits(index, 2)
    suffix = scan.word(index + 1) in ("st", "nd", "rd", "th") and scan.glued(index + 1)
    months = [name for names in WORDS.months for name in names]
    beside = (line.text(index - 1), line.text(index + 2), line.text(index + 3))
    if not day or not suffix or day > 31 or scan.word(index - 1) != "the" or any(one in months for one in beside):
        return
    first = today.replace(day=1)
    while (first.month == today.month and day > today.day) or not _in_month(first, day):
        first = (first - timedelta(days=1)).replace(day=1)
    said.days.append(DaySaid(index, first.replace(day=day)))
    if scan.word(index + 2) == "or" and scan.digits(index + 3, 2) is not None:
        line.ask(f"Which day was it, {scan.shown(index, index + 4 + scan.glued(index + 4))}?", "Write one day.")
    assumed.append("month")
    scan.claim(index - 1, index + 2, Role.TIME)


def _in_month(first: date, day: int) -> bool:
    return day <= monthrange(first.year, first.month)[1]


def _ask_two_ways(line: Line, index: int) -> None:
    """Ask about 5/6, which can be two days."""
    scan = line.scan
    first, second = scan.digits(index, 2), scan.digits(index + 2, 2)
    if (
        first is None
        or second is None
        or not (scan.sign(index + 1, "/") and scan.glued(index + 1) and scan.glued(index + 2))
    ):
        return
    lone = not scan.sign(index + 3, "/") and not scan.sign(index - 1, "/") and duration_at(scan, index) is None
    if lone and 1 <= first <= 12 and 1 <= second <= 12 and first != second:
        months = [names[0].capitalize() for names in WORDS.months]
        shown = scan.shown(index, index + 3)
        line.ask(
            f"Is '{shown}' {second} {months[first - 1]} or {first} {months[second - 1]}?",
            f"Write {months[first - 1].lower()} {second} or {months[second - 1].lower()} {first}.",
        )
        scan.claim(index, index + 3, Role.TIME)


def settle_when(line: Line, said: TimeSaid, ago: tuple[Duration, ...], assumed: list[str]) -> When:
    """Return when it was; ask about what contradicts itself, does not exist or is still to come."""
    scan = line.scan
    before = len(scan.problems)
    dated = bool(said.days or said.moments or said.now or ago)
    timed = bool(said.clocks or said.moments or said.now or [one for one in ago if not one.in_days])
    moment = settle(scan, said, ago, line.now)
    fresh = scan.problems[before:]
    if not said.days and [one.code for one in fresh] == ["future"]:
        scan.problems[before:] = []
        said.days.append(DaySaid(0, line.now.date() - timedelta(days=1)))
        moment = settle(scan, said, ago, line.now)
        fresh = scan.problems[before:]
        assumed.append("day")
    for problem in scan.problems:
        line.ask(problem.message, problem.hint)
    scan.problems.clear()
    told = (*moment.assumed, *assumed)
    if "day" in assumed:
        told = tuple(one for one in told if one != "time")
    return When(moment.at.astimezone(UTC), tuple(dict.fromkeys(told)), dated, timed)
