"""Times of day in a line: 16:20, 4pm, 4:20 p.m., noon, "in the afternoon", and a whole ISO moment. Days are read by days.py.

Without am or pm a time is read on the 24-hour clock: 4:20 is twenty past four in the morning.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date, datetime, time

from wearlog.logbook.quickline.scan import Role, Scan
from wearlog.logbook.quickline.words import WORDS

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
    if word in ("a", "p") and scan.sign(index + 1, ".") and scan.word(index + 2) == "m" and scan.glued(index + 2):
        return word, index + 4 if scan.sign(index + 3, ".") else index + 3
    return None


def _day_part_ahead(scan: Scan, index: int) -> bool:
    """Say whether "in the afternoon" or the like still follows."""
    parts = [part for part, _, _ in WORDS.day_parts]
    return any(scan.word(ahead) in parts for ahead in range(index, min(index + 3, len(scan.tokens))))
