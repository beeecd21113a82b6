"""The inbox: notes typed or dictated elsewhere, brought in a line at a time. A line brought in once is not brought in again.

A note is cut into its day headings, its machine headings and its lines.

What became of a line is kept in the log beside its entries, by a digest of its text with the heading above it, so that a note may
grow, be put in order or be copied. A line that was changed since is asked about, and so is a line that nobody gave a day.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, time
from difflib import SequenceMatcher
from enum import StrEnum, unique
from hashlib import sha256
from typing import Final

from wearlog.facts.bookkeeping import OutsideLine
from wearlog.facts.closed_lists import LineState
from wearlog.facts.fact import Fact
from wearlog.facts.machines import Meter
from wearlog.facts.plain_text import folded
from wearlog.facts.wearing import Fitting
from wearlog.facts.work import Stoppage
from wearlog.logbook.checks.doubts import NO_DOUBT_SETTLED
from wearlog.logbook.lines.line_saving import farm_words, save_heard
from wearlog.logbook.plain_line import FarmWords, Heard, Phrases, hear, phrases_of
from wearlog.logbook.quickline.days import TimeSaid, find_days, find_iso
from wearlog.logbook.quickline.tokens import Role, Scan, cut, without_controls, words_of
from wearlog.logbook.quickline.words import WORDS
from wearlog.logbook.saving import Done
from wearlog.store.finding import find_all
from wearlog.store.opening import Store

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


#: from this likeness on a line is one that was changed since it was brought in
_CHANGED_FROM: Final = 0.75
_NOON: Final = time(12)
_LAST_OF_DAY: Final = time(23, 59, 59)


@unique
class InboxState(StrEnum):
    """What is to be done with a line: nothing any more, save it, or ask first."""

    KNOWN = "known"
    NEW = "new"
    ASKED = "asked"


@dataclass(frozen=True, slots=True)
class InboxLine:
    """A line of a note, as it is understood.

    `question` and `hint` are set where somebody has to be asked; `no_day` where only its day is missing.
    """

    source: str
    note: NoteLine
    state: InboxState
    heard: Heard
    question: str = ""
    hint: str = ""
    no_day: bool = False


@dataclass(frozen=True, slots=True)
class Inbox:
    """The lines of all notes, and the words they were read with."""

    lines: tuple[InboxLine, ...]
    words: FarmWords
    phrases: Phrases

    def of(self, state: InboxState) -> tuple[InboxLine, ...]:
        """Return the lines in one state."""
        return tuple(line for line in self.lines if line.state is state)


def read_inbox(store: Store, notes: Sequence[tuple[str, str]], now: datetime, *, day: date | None = None) -> Inbox:
    """Understand notes, and save nothing.

    Parameters
    ----------
    notes : sequence of (source, text)
        The files by name.
    now : datetime
        The present time by the farm's clock.
    day : date, optional
        The day of the lines that stand under none.
    """
    words = farm_words(store)
    phrases = phrases_of(words)
    machines = tuple(machine.name for machine in words.vocabulary.machines)
    with store.reading() as connection:
        taken = find_all(connection, OutsideLine, state=LineState.TAKEN)
    lines: list[InboxLine] = []
    for source, text in notes:
        noted = [replace(one, day=one.day if one.heading else day) for one in note_lines(text, source, now, machines)]
        there = {one.digest for one in noted}
        gone = [one for one in taken if one.source == source and one.digest not in there]
        for one in noted:
            heard = hear_note(one, words, phrases, now)
            lines.append(_line(source, one, heard, [each for each in taken if each.digest == one.digest], gone))
    return Inbox(tuple(lines), words, phrases)


def _line(
    source: str, note: NoteLine, heard: Heard, same: Sequence[OutsideLine], gone: Sequence[OutsideLine]
) -> InboxLine:
    """Say what is to be done with a line."""
    if any(_is_it(one, source, note) for one in same):
        return InboxLine(source, note, InboxState.KNOWN, heard)
    other = next((one for one in same if one.source == source), None)
    if other is not None:
        return _of_another_day(source, note, heard, _day_in(other.place))
    if note.day is None and (note.heading or not heard.dated or note.is_relative) and not _says_nothing(heard):
        told = f"'{note.heading}' above it is no day that has been." if note.heading else "It says no day."
        hint = "Write the day above the lines, like 'aug 14 2026', or into the line; --day gives it for all of them."
        return InboxLine(source, note, InboxState.ASKED, heard, told, hint, no_day=True)
    if heard.question:
        return InboxLine(source, note, InboxState.ASKED, heard, heard.question, heard.hint)
    if note.day is not None and "day" in heard.assumed and not heard.dated:
        return InboxLine(
            source, note, InboxState.ASKED, heard, "That time is still to come on this day.", "Correct it."
        )
    before = _changed_from(note, gone)
    if before is not None:
        question = f"It was '{before.said}' when it was brought in."
        return InboxLine(source, note, InboxState.ASKED, heard, question, "Take that entry back first: 'wearlog undo'.")
    return InboxLine(source, note, InboxState.NEW, heard)


def _is_it(taken: OutsideLine, source: str, note: NoteLine) -> bool:
    """Say whether a line that was brought in is this one: of the same day, or where one of the two says none, of the same note."""
    days = _day_in(taken.place), _day_in(place_of_line(note))
    return days[0] == days[1] or (taken.source == source and not all(days))


def _of_another_day(source: str, note: NoteLine, heard: Heard, before: str) -> InboxLine:
    """The same words under a heading without its year or its date: the old line read again, or the same once more."""
    told = f"It was brought in as of {before}. Now '{note.heading or note.day}' above it means {note.day}."
    hint = "If it happened again, write the line again; if not, leave it."
    return InboxLine(source, note, InboxState.ASKED, heard, told, hint)


def _says_nothing(heard: Heard) -> bool:
    return bool(heard.question) and not heard.entries


def _changed_from(note: NoteLine, gone: Sequence[OutsideLine]) -> OutsideLine | None:
    """Return the line that this one was before somebody changed it in the note, if it was another."""
    said = folded(note.said)
    likeness = [(SequenceMatcher(None, said, folded(one.said)).ratio(), one) for one in gone]
    best = max(likeness, key=lambda pair: pair[0], default=None)
    return best[1] if best is not None and best[0] >= _CHANGED_FROM else None


def hear_note(note: NoteLine, words: FarmWords, phrases: Phrases, now: datetime, said: str = "") -> Heard:
    """Understand a line as of the day it stands under: a time is that day's, and without one it is noon.

    Parameters
    ----------
    said : str
        Another wording of the line, where a person gave one.
    """
    text, base = said or note.said, now
    if note.day is not None:
        base = min(now, datetime.combine(note.day, _LAST_OF_DAY, now.tzinfo))
    heard = hear(text, words, base, phrases)
    if heard.question and note.machine:
        under = hear(f"{note.machine} {text}", words, base, phrases)
        if not under.question:
            heard = replace(under, assumed=tuple(dict.fromkeys(("machine", *under.assumed))))
    # told as seen from now, and not from the day of the note
    heard = replace(heard, read_at=now.astimezone(UTC))
    if note.day is None or heard.dated or heard.timed:
        return heard
    noon = min(base, datetime.combine(note.day, _NOON, now.tzinfo)).astimezone(UTC)
    entries = tuple(replace(entry, at=noon) for entry in heard.entries)
    return replace(heard, entries=entries, assumed=tuple("time" if one == "at" else one for one in heard.assumed))


def place_of_line(note: NoteLine) -> str:
    """Return where a line stood and of which day it is: two notes may say the same of two mondays."""
    return f"line {note.number}, {note.day}" if note.day is not None else f"line {note.number}"


def _day_in(place: str) -> str:
    return place.partition(", ")[2]


def take_line(
    store: Store, line: InboxLine, heard: Heard, now: datetime, sure: Collection[str] = NO_DOUBT_SETTLED
) -> Done:
    """Save a line as what it is, and that it was brought in, as one deed. Errors as `save_heard`."""

    def kept(facts: Sequence[Fact]) -> Sequence[Fact]:
        told = [fact.id for fact in facts if not isinstance(fact, (Fitting, Meter, Stoppage))]
        return [
            OutsideLine(
                source=line.source,
                place=place_of_line(line.note),
                digest=line.note.digest,
                said=line.note.said,
                state=LineState.TAKEN,
                at=now.astimezone(UTC),
                row_ids=tuple(told),
            )
        ]

    return save_heard(store, heard, sure, kept)


def heard_again(inbox: Inbox, line: InboxLine, now: datetime, *, said: str = "", day: date | None = None) -> InboxLine:
    """Return a line understood anew, with another wording or the day that a person gave."""
    note = line.note if day is None else replace(line.note, day=day, heading="")
    heard = hear_note(note, inbox.words, inbox.phrases, now, said)
    again = _line(line.source, note, heard, (), ())
    return replace(again, note=replace(line.note, day=note.day))


def day_said(text: str, now: datetime) -> date | None:
    """Return the day that a person gave for lines without one; None where it is none that has been."""
    clean = text.strip()
    if clean.casefold() in ("today", "now"):
        return now.date()
    if clean.casefold() == "yesterday":
        return date.fromordinal(now.date().toordinal() - 1)
    return heading_day(clean, now)
