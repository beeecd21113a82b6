"""Days in a line: today, yesterday, mon, last tuesday, july 28, 28 july, 7/28. Times of day are read by clocks.py.

A day without a year is the one of this year; when that is still to come, the one of last year if it is less than half a year ago. A
weekday is the latest one that has begun; with "last" before it, the latest one before today.
"""

from __future__ import annotations

from datetime import date, timedelta

from wearlog.logbook.quickline.clocks import DaySaid, TimeSaid
from wearlog.logbook.quickline.durations import duration_at
from wearlog.logbook.quickline.scan import Role, Scan
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
    """Say whether the token behind "last" is the night that clocks.py claimed."""
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
    _say_day(scan, said, start, shown, today, year, month, day)


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
    _say_day(scan, said, index, shown, today, year, month, day)


def _say_day(
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
