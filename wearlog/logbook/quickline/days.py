"""Days and times of day in a line: today, last tuesday, july 28, 7/28; 16:20, 4pm, noon, "in the afternoon", an ISO moment.

A day without a year is the one of this year; when that is still to come, the one of last year if it is less than half a year ago.
A weekday is the latest one that has begun; with "last" before it, the latest one before today. Without am or pm a time is read on
the 24-hour clock: 4:20 is twenty past four in the morning.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta

from wearlog.logbook.quickline.durations import duration_at
from wearlog.logbook.quickline.tokens import Role, Scan
from wearlog.logbook.quickline.words import WORDS

#: how far back a day of last year may lie when its year is not said
_HALF_A_YEAR = timedelta(days=183)

EARLIEST_YEAR = 1950


def find_days(scan: Scan, said: TimeSaid, today: date, *, day_first: bool) -> None:
    """Claim the days of the line. `day_first` reads 7/8 as the 7th of August instead of the 8th of July."""
    for index in range(len(scan.tokens)):
        word = scan.word(index)
        if not word:
            continue
        if word in ("today", "yesterday", "tonight"):
            _claim_named(scan, said, index, today)
        elif word == "last" and scan.tokens[index + 1 : index + 2] and _said_last_night(scan, said, index):
            said.days.append(DaySaid(index, today - timedelta(days=1)))
            scan.claim(index, index + 1, Role.TIME)
        elif (weekday := _listed_at(WORDS.weekdays, word)) is not None:
            _claim_weekday(scan, said, index, today, weekday)
        elif (month := _listed_at(WORDS.months, word)) is not None:
            _claim_month_day(scan, said, index, today, month + 1)
        elif scan.digits(index, 2) is not None:
            _claim_slashed(scan, said, index, today, day_first=day_first)


def _listed_at(table: tuple[tuple[str, ...], ...], word: str) -> int | None:
    return next((place for place, names in enumerate(table) if word in names), None)


def _said_last_night(scan: Scan, said: TimeSaid, index: int) -> bool:
    """Say whether the token behind "last" is the night that days.py claimed."""
    return (index + 1, "night") in said.day_parts


def _claim_named(scan: Scan, said: TimeSaid, index: int, today: date) -> None:
    """Claim today, tonight, yesterday, "the day before yesterday"."""
    word, start = scan.word(index), index
    back = 1 if word == "yesterday" else 0
    if word == "yesterday" and scan.word(index - 1) == "before" and scan.word(index - 2) == "day":
        back, start = 2, index - 2
    if word == "tonight":
        said.day_parts.append((index, "night"))
    said.days.append(DaySaid(index, today - timedelta(days=back)))
    scan.claim(start, index + 1, Role.TIME)


def _claim_weekday(scan: Scan, said: TimeSaid, index: int, today: date, weekday: int) -> None:
    """Claim "mon" or "last tuesday"."""
    last = scan.word(index - 1) == "last"
    back = (today.weekday() - weekday) % 7
    if last and back == 0:
        back = 7
    said.days.append(DaySaid(index, today - timedelta(days=back), weekday=True))
    stop = index + 2 if scan.sign(index + 1, ".") and scan.glued(index + 1) else index + 1
    scan.claim(index - last, stop, Role.TIME)


def _claim_month_day(scan: Scan, said: TimeSaid, index: int, today: date, month: int) -> None:
    """Claim "july 28", "28 july", "28th of july 2026": the number behind the month, else the one before it."""
    behind = index + 2 if scan.sign(index + 1, ".") and scan.glued(index + 1) else index + 1
    before = index - 1
    while scan.word(before) == "of" or (scan.sign(before, "-.") and scan.glued(before)):
        before -= 1
    if _ordinal(scan, before):
        before -= 1
    has_behind, has_before = scan.digits(behind, 2) is not None, 1 <= (scan.digits(before, 2) or 0) <= 31
    if has_behind and not (has_before and duration_at(scan, behind) is not None):
        start, day, stop = index, scan.digits(behind, 2) or 0, behind + 1
        stop += _ordinal(scan, stop)
    elif has_before:
        start, day, stop = before, scan.digits(before, 2) or 0, behind
    else:
        if scan.word(index) not in ("may", "march"):
            message, hint = f"'{scan.tokens[index].shown}' has no day beside it.", "Write it like july 28."
            scan.blame("no_day", message, hint, index)
            scan.claim(index, index + 1, Role.BLAMED)
        return
    comma = scan.sign(stop, ",-") and scan.digits(stop + 1) is not None
    year = _year_at(scan, stop + comma)
    stop = stop if year is None else stop + comma + 1
    shown = scan.shown(start, stop)
    scan.claim(start, stop, Role.TIME)
    add_day(scan, said, start, shown, today, year, month, day)


def _ordinal(scan: Scan, index: int) -> bool:
    """Say whether the "th" of "28th" stands at `index`."""
    return scan.word(index) in ("st", "nd", "rd", "th") and scan.glued(index)


def _year_at(scan: Scan, index: int) -> int | None:
    """Return the year of four digits at `index`, unless a duration begins there."""
    year = scan.digits(index, 4)
    return year if year is not None and year >= 1_000 and duration_at(scan, index) is None else None


def _claim_slashed(scan: Scan, said: TimeSaid, index: int, today: date, *, day_first: bool) -> None:
    """Claim 7/28 or 7/28/2026, unless it is the fraction before a unit of time."""
    first, second = scan.digits(index, 2), scan.digits(index + 2, 2)
    if first is None or second is None or not scan.sign(index + 1, "/") or duration_at(scan, index) is not None:
        return
    together = scan.glued(index + 1) and scan.glued(index + 2)
    if not together or scan.tokens[index].start == scan.tokens[index + 2].start:
        # the sign ½ is never the second of January
        return
    stop, year = index + 3, None
    if scan.sign(stop, "/") and scan.digits(stop + 1, 4) is not None:
        year, stop = scan.digits(stop + 1, 4) or 0, stop + 2
        year += 2_000 if year < 100 else 0
    month, day = (second, first) if day_first else (first, second)
    shown = scan.shown(index, stop)
    scan.claim(index, stop, Role.TIME)
    if month > 12 >= day:
        named = f"{WORDS.months[day - 1][0]} {month}" if day else "july 28"
        order = "day first" if day_first else "month first"
        scan.blame("bad_date", f"'{shown}' is read {order}, and there is no month {month}.", f"Write {named}.", index)
        return
    add_day(scan, said, index, shown, today, year, month, day)


def add_day(
    scan: Scan, said: TimeSaid, index: int, shown: str, today: date, year: int | None, month: int, day: int
) -> None:
    """Add the day, with the year that is meant when none was said."""
    try:
        meant = date(today.year if year is None else year, month, day)
        if year is None and meant > today and today - meant.replace(year=today.year - 1) <= _HALF_A_YEAR:
            meant = meant.replace(year=today.year - 1)
    except ValueError:
        scan.blame("bad_date", f"'{shown}' is not a date that exists.", "Write it like july 28 or 7/28.", index)
        return
    said.days.append(DaySaid(index, meant, year_assumed=year is None and meant.year != today.year))


_NAMED = {"noon": time(12), "midday": time(12), "midnight": time(0)}


@dataclass(slots=True, eq=False, repr=False)
class ClockSaid:
    """A time of day at a token. `on_24` when neither am nor pm was said, so that "afternoon" may still move it."""

    index: int
    at: time
    on_24: bool = False


@dataclass(slots=True, eq=False, repr=False)
class DaySaid:
    """A day at a token.

    Attributes
    ----------
    weekday : bool
        It was named by its weekday alone, so that it may be the one a week ago.
    year_assumed : bool
        The year was not said and is not this one.
    """

    index: int
    day: date
    weekday: bool = False
    year_assumed: bool = False


@dataclass(slots=True, eq=False, repr=False)
class TimeSaid:
    """All pieces of time in the line."""

    clocks: list[ClockSaid] = field(default_factory=list)
    days: list[DaySaid] = field(default_factory=list)
    day_parts: list[tuple[int, str]] = field(default_factory=list)
    moments: list[tuple[int, datetime]] = field(default_factory=list)
    now: list[int] = field(default_factory=list)


def find_iso(scan: Scan, said: TimeSaid) -> None:
    """Claim ISO dates and moments: 2026-07-28, 2026-07-28T16:20, with or without seconds and offset."""
    for index in range(len(scan.tokens)):
        glued = all(scan.glued(index + offset) for offset in range(1, 5))
        dashes = scan.sign(index + 1, "-") and scan.sign(index + 3, "-")
        if not (glued and dashes and [len(scan.word(index + offset)) for offset in (0, 2, 4)] == [4, 2, 2]):
            continue
        stop = _iso_stop(scan, index + 5)
        shown = scan.shown(index, stop)
        try:
            moment = datetime.fromisoformat("".join(token.text for token in scan.tokens[index:stop]).upper())
        except ValueError:
            hint = "Write it like 2026-07-28 or 2026-07-28T16:20."
            scan.blame("bad_date", f"'{shown}' is not a date that exists.", hint, index)
        else:
            if moment.tzinfo is not None:
                said.moments.append((index, moment))
            else:
                said.days.append(DaySaid(index, moment.date()))
                if stop > index + 5:
                    said.clocks.append(ClockSaid(index, moment.time()))
        scan.claim(index, stop, Role.TIME)


def _iso_stop(scan: Scan, index: int) -> int:
    """Return where an ISO moment stops whose date stopped at `index`: behind its time and offset, if any."""
    if scan.word(index) != "t" or not scan.glued(index):
        return index
    stop = index + 1
    while scan.glued(stop) and (scan.digits(stop) is not None or scan.sign(stop, ":.+-") or scan.word(stop) == "z"):
        if scan.sign(stop, ".+-") and scan.digits(stop + 1) is None:
            break
        stop += 1
    return stop


def find_clocks(scan: Scan, said: TimeSaid) -> None:
    """Claim times of day, parts of the day and "now"."""
    for index in range(len(scan.tokens)):
        word = scan.word(index)
        if word == "now":
            said.now.append(index)
            scan.claim(index, index + 1, Role.TIME)
        elif word in _NAMED:
            said.clocks.append(ClockSaid(index, _NAMED[word]))
            scan.claim(index, index + 1, Role.TIME)
        elif word in (part for part, _, _ in WORDS.day_parts):
            said.day_parts.append((index, word))
            scan.claim(index, index + 1, Role.TIME)
        elif scan.digits(index, 2) is not None:
            _claim_clock(scan, said, index)


def _claim_clock(scan: Scan, said: TimeSaid, index: int) -> None:
    """Claim the time of day that begins with the digits at `index`, if one does."""
    hour, minute, second = scan.digits(index, 2) or 0, 0, 0
    stop = index + 1
    with_colon = _two_digits(scan, stop, ":")
    if with_colon or (_two_digits(scan, stop, ".") and _half_of_day(scan, stop + 2)):
        minute, stop = int(scan.word(stop + 1)), stop + 2
        if with_colon and _two_digits(scan, stop, ":"):
            second, stop = int(scan.word(stop + 1)), stop + 2
    half = _half_of_day(scan, stop)
    oclock = scan.word(stop) in ("o'clock", "oclock")
    if not (with_colon or half or oclock) or (with_colon and not half and scan.word(stop) in WORDS.hours):
        return
    stop = half[1] if half else stop + oclock
    shown = scan.shown(index, stop)
    scan.claim(index, stop, Role.TIME)
    if half and 1 <= hour <= 12:
        hour = hour % 12 + (12 if half[0] == "p" else 0)
    elif half:
        hour = 99
    if hour > 23 or minute > 59 or second > 59:
        scan.blame("bad_time", f"'{shown}' is not a time of day.", "Write it like 16:20 or 4:20 pm.", index)
        return
    if oclock and 1 <= hour <= 12 and not said.day_parts and not _day_part_ahead(scan, stop):
        scan.blame("am_or_pm", f"'{shown}' can be morning or afternoon.", f"Write {hour} am or {hour} pm.", index)
        return
    said.clocks.append(ClockSaid(index, time(hour, minute, second), on_24=half is None))


def _two_digits(scan: Scan, index: int, mark: str) -> bool:
    """Say whether `mark` and two digits stand at `index`, all without spaces."""
    together = scan.sign(index, mark) and scan.glued(index) and scan.glued(index + 1)
    return together and scan.digits(index + 1, 2) is not None and len(scan.word(index + 1)) == 2


def _half_of_day(scan: Scan, index: int) -> tuple[str, int] | None:
    """Read "am", "pm", "a.m." or "p.m." at `index`: its first letter and where it stops."""
    word = scan.word(index)
    if word in ("am", "pm"):
        return word[0], index + 1
    if word in ("a", "p") and scan.glued(index) and not scan.glued(index + 1):
        return word, index + 1
    if word in ("a", "p") and scan.sign(index + 1, ".") and scan.word(index + 2) == "m" and scan.glued(index + 2):
        return word, index + 4 if scan.sign(index + 3, ".") else index + 3
    return None


def _day_part_ahead(scan: Scan, index: int) -> bool:
    """Say whether "in the afternoon" or the like still follows."""
    parts = [part for part, _, _ in WORDS.day_parts]
    return any(scan.word(ahead) in parts for ahead in range(index, min(index + 3, len(scan.tokens))))
