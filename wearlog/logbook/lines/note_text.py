"""A note of many lines, cut into what can be understood line by line: its day headings, its machine headings, its lines. Pure."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date, datetime
from hashlib import sha256
from typing import Final

from wearlog.facts.plain_text import folded
from wearlog.logbook.quickline.days import TimeSaid, find_days, find_iso
from wearlog.logbook.quickline.tokens import Role, Scan, cut, without_controls, words_of
from wearlog.logbook.quickline.words import WORDS

#: what stands before a line of a list, and is no part of it
_BULLET: Final = re.compile(r"^\s*(?:[-*•–—>]+|\[[ xX]?\]|\d{1,3}[.)])\s+(?=\S)")
_DECORATION: Final = " \t#*=_-–—:."
_NAMED: Final = ("today", "yesterday", "tonight")
#: words that mean another day whenever the note is read
_RELATIVE: Final = frozenset(
    {"today", "yesterday", "tonight", "ago", "now", "morning", "afternoon", "evening", "night"}
) | frozenset(name for names in WORDS.weekdays for name in names if len(name) > 3)
_FILE_DAY: Final = re.compile(r"(?<!\d)(\d{4})-(\d\d)-(\d\d)(?!\d)")


@dataclass(frozen=True, slots=True)
class NoteLine:
    """One line of a note that says something.

    Attributes
    ----------
    number : int
        Its place in the file, from 1.
    said : str
        Its text, without the mark of a list before it.
    heading : str
        The day heading above it as it is written; empty where there is none.
    day : date or None
        The day that the heading means; None where there is none, or it means none.
    machine : str
        The machine heading above it; empty where there is none.
    digest : str
        Of the heading, the text and which of its equals in the note it is: the same wherever in the note the line stands.
    """

    number: int
    said: str
    heading: str
    day: date | None
    machine: str
    digest: str

    @property
    def is_relative(self) -> bool:
        """True when a word of the line means another day whenever it is read."""
        return bool(_RELATIVE & set(words_of(self.said)))


def note_lines(text: str, source: str, now: datetime, machines: tuple[str, ...] = ()) -> list[NoteLine]:
    """Return the lines of a note, each with the day and the machine that stand above it.

    Parameters
    ----------
    source : str
        The file's name; a day in it (2026-08-14) stands above all lines.
    now : datetime
        The present local time: a day without its year is the latest one that has been.
    machines : tuple of str
        The names of the farm's machines: one that stands alone before a colon is a heading.
    """
    named = _FILE_DAY.search(source)
    heading, day = (named[0], heading_day(named[0], now)) if named else ("", None)
    machine = ""
    found: list[NoteLine] = []
    seen: dict[tuple[str, str], int] = {}
    for number, raw in enumerate(text.splitlines(), start=1):
        typed = without_controls(raw).text.strip()
        bare = typed.strip(_DECORATION)
        if not bare:
            continue
        if _is_day_heading(bare, now):
            heading, day = bare, heading_day(bare, now)
            continue
        if typed.endswith(":") and folded(bare) in {folded(name) for name in machines}:
            machine = bare
            continue
        said = _BULLET.sub("", typed)
        key = (folded(heading), folded(said))
        seen[key] = seen.get(key, 0) + 1
        found.append(NoteLine(number, said, heading, day, machine, _digest(*key, seen[key])))
    return found


def _digest(heading: str, said: str, which: int) -> str:
    return sha256("\n".join((heading, said, str(which))).encode("utf-8", "replace")).hexdigest()


def heading_day(text: str, now: datetime) -> date | None:
    """Return the day that a heading means; None where there is no such day, or it could be two."""
    scan, said = _read_days(text, now)
    if scan.problems or not said.days:
        return None
    weekdays = [one for one in said.days if one.weekday]
    dated = [one for one in said.days if not one.weekday]
    if len(dated) > 1 or (not dated and len(weekdays) > 1) or _two_ways(text):
        return None
    day = (dated or weekdays)[0].day
    if dated and weekdays and weekdays[0].day.weekday() != day.weekday():
        return None
    if day > now.date() and not any(len(token.text) == 4 and token.is_number for token in scan.tokens):
        # without its year it is the latest one that has been
        day = _year_before(day)
    return day if day <= now.date() else None


def _year_before(day: date) -> date:
    try:
        return day.replace(year=day.year - 1)
    except ValueError:
        return day.replace(year=day.year - 1, day=28)


def _two_ways(text: str) -> bool:
    figures = re.search(r"(?<!\d)(\d{1,2})/(\d{1,2})(?![\d/])", text)
    return figures is not None and int(figures[1]) <= 12 and int(figures[2]) <= 12 and figures[1] != figures[2]


def _is_day_heading(text: str, now: datetime) -> bool:
    """Say whether a line holds a day and nothing else, be it one that can be or not."""
    scan, said = _read_days(text, now)
    left = [token.text for token, role in zip(scan.tokens, scan.roles, strict=True) if role is not Role.TIME]
    words = [word for word in left if word[0].isalnum() and word not in ("the", "of", "on", "and", "day")]
    told = bool(said.days) or bool(scan.problems)
    return told and not words and not set(words_of(text)) & set(_NAMED)


def _read_days(text: str, now: datetime) -> tuple[Scan, TimeSaid]:
    tokens = cut(text, range(1, len(text) + 2))
    scan, said = Scan(text, tokens, [None] * len(tokens)), TimeSaid()
    find_iso(scan, said)
    find_days(scan, said, now.date(), day_first=False)
    return scan, said
