"""How long it stood and how long people worked, as a line says it: two figures that are kept apart.

"4 hours each" by two is eight hours of work and four of standing; "3 guys 20 min" an hour of work. Days have no hours and stay in
the note; so does a figure of hours that is what a meter shows.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import Final

from wearlog.logbook.plain_line.line import Line
from wearlog.logbook.quickline.durations import Duration, duration_at
from wearlog.logbook.quickline.tokens import Role
from wearlog.logbook.quickline.words import WORDS

#: longer than that no breakage stood: it is what a meter shows, or a slip
MOST_STOOD: Final = 240 * 3_600
_WORK: Final = frozenset({"labour", "labor", "work", "working", "worked", "wrenching", "shop", "manhours", "mh"})
_STOOD: Final = frozenset(
    {"down", "downtime", "stood", "standing", "stopped", "stop", "standstill", "lost", "idle", "waiting"}
)
_SMALL: Final = frozenset(
    {
        *(
            "of",
            "for",
            "in",
            "the",
            "a",
            "about",
            "time",
            "was",
            "were",
            "took",
            "by",
            "ca",
            "me",
            "us",
            "it",
            "to",
            "we",
        ),
        "total",
    }
)
_PEOPLE: Final = frozenset(
    {"men", "man", "guys", "people", "hands", "workers", "boys", "lads", "persons", "fellas", "fellows"}
)
_PARTNERS: Final = frozenset(
    {
        "man",
        "son",
        "dad",
        "wife",
        "brother",
        "neighbour",
        "neighbor",
        "kid",
        "boy",
        "mechanic",
        "helper",
        "uncle",
        "hand",
    }
)
_METERS: Final = frozenset({"service", "later", "meter", "clock", "mark", "check", "inspection"})
_NOTHING: Final = (
    *(
        "no time lost",
        "lost no time",
        "no downtime",
        "no down time",
        "did not stop",
        "didnt stop",
        "never stopped",
        "without stopping",
    ),
    *(
        "no stop",
        "no delay",
        "not stopped",
        "no time",
        "kept cutting the whole time",
        "didnt lose any time",
        "did not lose any time",
    ),
)


@dataclass(slots=True, eq=False)
class TimeSpans:
    """What the durations of a line say. `lone` was said without a word for it: the standing of a breakage, the work of a job."""

    stood: int | None = None
    labour: int | None = None
    lone: int | None = None
    lone_at: int = -1
    people: int = 0
    each: bool = False
    ago: list[Duration] = field(default_factory=list)
    hours: list[tuple[int, int]] = field(default_factory=list)
    too_long: int = 0
    days: bool = False
    at: int = -1


def find_spans(line: Line) -> TimeSpans:
    """Claim every duration of the line, with the words beside it."""
    spans = TimeSpans(people=_people(line))
    _claim_nothing(line, spans)
    index = 0
    while index < len(line.tokens):
        index = _read(line, spans, index)
    return spans


def _claim_nothing(line: Line, spans: TimeSpans) -> None:
    for phrase in _NOTHING:
        at = line.find(phrase)
        if at is not None:
            spans.stood = 0
            line.scan.claim(at, at + len(phrase.split()), Role.DURATION)
    for index in range(len(line.tokens)):
        if line.scan.digits(index) == 0 and line.scan.word(index + 1) in _STOOD:
            spans.stood = 0
            line.scan.claim(index, index + 2, Role.DURATION)


def _people(line: Line) -> int:
    """Return how many people are said to have worked; 0 when nobody says."""
    for index in range(len(line.tokens)):
        digits = line.scan.digits(index, 2)
        if (
            digits
            and line.scan.word(index + 1) in _PEOPLE
            and line.text(index + 2) not in ("hours", "hour", "hrs", "h")
        ):
            line.scan.claim(index, index + 2, Role.DURATION)
            return digits
        of_us = (line.text(index), line.text(index + 1), line.text(index + 2))
        if of_us in (("both", "of", "us"), ("two", "of", "us")):
            line.scan.claim(index, index + 3, Role.DURATION)
            return 2
        if digits and of_us[1:] == ("of", "us"):
            line.scan.claim(index, index + 3, Role.DURATION)
            return digits
        times = digits and of_us[1] == "x" and duration_at(line.scan, index + 2) is not None
        if digits and times and not line.scan.sign(index - 1, "#"):
            line.scan.claim(index, index + 2, Role.DURATION)
            return digits
        if of_us[0] in ("me", "i") and of_us[1] == "and":
            stop = next((at for at in range(index + 2, index + 6) if line.text(at) in _PARTNERS), index + 2)
            people = 2
            while (
                line.text(stop + 1) == "and" and line.scan.word(stop + 2) and line.tokens[stop + 2].shown[:1].isupper()
            ):
                people, stop = people + 1, stop + 2
            line.scan.claim(index, stop + 1, Role.DURATION)
            return people
        if of_us[1] == "and" and of_us[2] in ("me", "i", "myself") and line.scan.word(index):
            line.scan.claim(index + 1, index + 3, Role.DURATION)
            return 2
    return 0


def _read(line: Line, spans: TimeSpans, index: int) -> int:
    if line.scan.roles[index] is not None or line.text(index - 1) == "every":
        # "every 10 hours" is how often
        return index + 1
    man = _man_hours(line, index)
    if man is not None:
        seconds, stop = man
        spans.labour = (spans.labour or 0) + seconds
        return _claim(line, index, stop)
    clock = _clock_down(line, index)
    duration = Duration(index, *clock) if clock is not None else duration_at(line.scan, index)
    if duration is None or _is_length(line, duration):
        return index + 1
    duration = _with_minutes(line, duration)
    _ask_point(line, duration)
    _ask_hour(line, duration)
    if duration.doubt is not None:
        line.ask(duration.doubt[1], duration.doubt[2])
    return _sort(line, spans, duration)


def _with_minutes(line: Line, duration: Duration) -> Duration:
    """Add the minutes that stand bare behind whole hours, at the end of a stretch: "1 hr 10", "two hours fifteen"."""
    at = duration.stop + (line.text(duration.stop) == "and")
    minutes = line.scan.digits(at, 2)
    whole = duration.seconds % 3_600 == 0 and not duration.in_days and line.text(duration.stop - 1) in WORDS.hours
    ends = at + 1 >= len(line.tokens) or line.scan.sign(at + 1, ",;.") or line.text(at + 1) in (*_STOOD, "with")
    if not minutes or not 10 <= minutes < 60 or not whole or not ends or _goes_on_behind(line, at + 1):
        return duration
    return replace(duration, stop=at + 1, seconds=duration.seconds + 60 * minutes)


def _goes_on_behind(line: Line, at: int) -> bool:
    """Say whether a figure is glued to what stands behind it: 10.5, 10,5."""
    return line.scan.glued(at) and line.scan.digits(at + 1) is not None and line.scan.glued(at + 1)


def _is_length(line: Line, duration: Duration) -> bool:
    """Say whether "m" is metres: 300 m from the road, the 12 m header."""
    behind = line.text(duration.stop)
    return line.text(duration.stop - 1) == "m" and behind in (
        "from",
        "header",
        "wide",
        "long",
        "away",
        "off",
        "deep",
        "into",
        "along",
    )


def _ask_hour(line: Line, duration: Duration) -> None:
    """Ask about "yesterday 15h" where people write hours of the day so."""
    start, stop = duration.start, duration.stop
    hours = line.scan.digits(start, 2)
    glued = stop == start + 2 and line.text(start + 1) == "h" and line.scan.glued(start + 1)
    if not (line.farm.day_first or line.farm.is_metric) or hours is None or not glued or hours > 23:
        return
    before = line.text(start - 1)
    if (hours > 12 and before not in _STOOD) or before in ("at", "yesterday", "today", "around", "about"):
        shown = line.scan.shown(start, stop)
        line.ask(
            f"'{shown}' can be a time of day or a duration.", f"Write {hours}:00 for the time, or {60 * hours} min."
        )


def _ask_point(line: Line, duration: Duration) -> None:
    """Ask about 2.30 h, which people write for two and a half hours as well."""
    at = duration.start + 2
    pointed = line.text(at - 1) == "." and line.text(at) in ("10", "15", "20", "30", "40", "45")
    if pointed and line.text(at + 1) in WORDS.hours and line.tokens[duration.start].is_number:
        hours, minutes = line.text(at - 2), line.text(at)
        line.ask(
            f"Is '{hours}.{minutes} h' {hours} h {minutes} min, or {hours}.{minutes} hours?",
            f"Write {hours}:{minutes} h, or the minutes.",
        )


def _claim(line: Line, start: int, stop: int) -> int:
    line.scan.claim(start, stop, Role.DURATION)
    return stop


def _man_hours(line: Line, index: int) -> tuple[int, int] | None:
    """Read "8 man hours" and "3 mh": seconds and where it stops."""
    digits = line.scan.digits(index, 4)
    if digits is None:
        return None
    tenths, at = 0, index + 1
    if line.scan.sign(at, ".") and line.scan.glued(at) and line.scan.digits(at + 1, 1) is not None:
        tenths, at = line.scan.digits(at + 1, 1) or 0, at + 2
    seconds = digits * 3_600 + tenths * 360
    if line.scan.word(at) in ("mh", "manhours", "manhour", "mhrs", "mhr"):
        return seconds, at + 1
    if line.scan.word(at) in ("man", "person") and line.scan.word(at + 1) in ("hours", "hour", "hrs", "hr", "h"):
        return seconds, at + 2
    return None


def _clock_down(line: Line, index: int) -> tuple[int, int] | None:
    """Read "1:15 down": where it stops and the seconds."""
    hours, minutes = line.scan.digits(index, 2), line.scan.digits(index + 2, 2)
    if hours is None or minutes is None or minutes > 59 or hours > 12 or not line.scan.sign(index + 1, ":"):
        return None
    down = line.text(index + 3) in _STOOD or line.text(index - 1) in _STOOD
    return (index + 3, hours * 3_600 + minutes * 60) if down else None


def _sort(line: Line, spans: TimeSpans, duration: Duration) -> int:
    """Take a duration for what the words beside it say."""
    start, stop = duration.start, duration.stop
    following = line.text(stop)
    if following == "ago":
        spans.ago.append(duration)
        line.scan.claim(start, stop + 1, Role.TIME)
        return stop + 1
    if following in ("before", "after"):
        line.ask(f"'{line.scan.shown(start, stop + 1)}' what, and when was that?", "Write the time, like 11:45.")
        return _claim(line, start, stop + 1)
    if following in _METERS or (following == "on" and line.text(stop + 2) in ("clock", "meter")):
        spans.hours.append((start, duration.seconds))
        return stop
    if duration.in_days:
        spans.days = spans.days or spans.people == 0
        return stop
    if following == "each" or line.text(start - 1) == "each":
        spans.each = True
        stop = stop + 1 if following == "each" else stop
    mark, found = _mark(line, start, stop)
    if not mark and duration.seconds > MOST_STOOD:
        spans.hours.append((start, duration.seconds))
        spans.too_long = duration.seconds
        return _claim(line, start, stop)
    if found is not None:
        line.scan.claim(found, found + 1, Role.DURATION)
    if mark == "work":
        if (
            found is not None
            and line.text(found) == "worked"
            and line.scan.roles[found - 1] is Role.DURATION
            and spans.people
        ):
            # "two of us worked 3 hours": that is each one's time
            duration = replace(duration, seconds=duration.seconds * spans.people)
        spans.labour = _once(line, spans.labour, duration, "people worked")
    elif mark == "stood":
        spans.stood = _once(line, spans.stood, duration, "it stood")
    else:
        spans.lone, spans.lone_at = _once(line, spans.lone, duration, "it took"), start
    return _claim(line, start, stop)


def _once(line: Line, before: int | None, duration: Duration, what: str) -> int:
    if before not in (None, 0, duration.seconds):
        line.ask(f"The line says in two ways how long {what}.", "Keep one, or write labour beside the working time.")
    return duration.seconds


def _mark(line: Line, start: int, stop: int) -> tuple[str, int | None]:
    """Find the word beside a duration that says what it was, over small words but not over a comma."""
    for at, step in ((stop, 1), (start - 1, -1)):
        while line.text(at) in _SMALL and line.scan.roles[at] in (None, Role.SENSE):
            at += step
        word = line.text(at)
        free = 0 <= at < len(line.tokens) and line.scan.roles[at] in (None, Role.SENSE)
        if free and word in _WORK:
            return "work", at
        if free and word in _STOOD:
            return "stood", at
    return "", None


def stood_and_labour(line: Line, spans: TimeSpans, *, at_work: bool) -> tuple[int | None, int | None, tuple[str, ...]]:
    """Return seconds it stood and seconds people worked, and what is taken for granted.

    Parameters
    ----------
    at_work : bool
        Nothing stood: what is said without a word is the time of work.
    """
    stood, labour, assumed = spans.stood, spans.labour, []
    if spans.lone is not None and at_work:
        labour = spans.lone * max(1, spans.people) if labour is None else labour
        assumed.append("labour")
    elif spans.lone is not None:
        if spans.stood not in (None, spans.lone) and not spans.people:
            line.ask(
                "The line says in two ways how long it stood.", "Keep one, or write labour beside the working time."
            )
        stood = spans.lone if stood is None else stood
        if spans.people and labour is None:
            labour = spans.lone * spans.people
            assumed.append("stood" if spans.each else "labour")
    if spans.each and not spans.people and labour is None:
        line.ask("How many people worked that long each?", "Write it like '2 men 2 h each'.")
    if stood and spans.people and labour is None:
        labour = stood * spans.people
        assumed.append("labour")
    if at_work:
        stood = None
    elif spans.days:
        assumed.append("stood")
    stood = spans.too_long if spans.too_long and stood is None else stood
    if stood is not None and stood > MOST_STOOD:
        line.ask(
            f"{stood / 3600:,.0f} h is longer than anything stands.",
            "Write 20 min or 1.5 h, or enter a meter with 'wearlog read'.",
        )
    return stood, labour, tuple(assumed)
