"""A moment or a duration alone in a field or an option, in the same words as the quick line: "yesterday 16:20", "1 h 20 min"."""

from __future__ import annotations

import re
from datetime import UTC, datetime, time

from wearlog.errors import UsageError
from wearlog.facts.plain_text import one_line
from wearlog.logbook.quickline.durations import find_durations
from wearlog.logbook.quickline.moment import find_times, settle
from wearlog.logbook.quickline.scan import Role, Scan
from wearlog.logbook.quickline.tokens import cut

_MOST_CHARACTERS = 80
#: where no day of today's is meant
_NO_TIME = datetime(2000, 1, 1, tzinfo=UTC)
#: the space before the time of a moment that says its offset, which ISO 8601 writes as T
_SPACE_IN_MOMENT = re.compile(r"(?<=\d{4}-\d\d-\d\d) (?=\d\d:\d\d(?::\d\d)?(?:Z|[+-]\d\d:?\d\d)$)", re.IGNORECASE)
_DATED_HINT = "Write the day with its year, like 2025-07-28 16:20 or jul 28 2025 4:20 pm."
_MOMENT_HINT = "Write it like 16:20, yesterday 16:20, jul 28 16:20, 2 h ago or 2026-07-28 16:20."
_DURATION_HINT = "Write it like 20 min, 1.5 h or 1 h 20 min."


def read_moment(text: str, now: datetime, *, day_first: bool = False) -> datetime:
    """Return the UTC instant that `text` says; nothing said means now.

    Parameters
    ----------
    now : datetime
        The present local time with its zone.
    day_first : bool
        Read 7/8 as the 7th of August.

    Raises
    ------
    UsageError
        When it is no moment, contradicts itself or lies in the future.
    """
    scan = _scan(_SPACE_IN_MOMENT.sub("T", one_line(text)))
    said = find_times(scan, now, day_first=day_first)
    durations = find_durations(scan)
    moment = settle(scan, said, durations.ago, now)
    if durations.downtime_seconds is not None or durations.labour_seconds is not None:
        raise UsageError(f"'{one_line(text)}' is a duration, not a time.", _MOMENT_HINT)
    _refuse_problems(scan, text, "a time", _MOMENT_HINT, allowed={Role.TIME, Role.DURATION, Role.SMALL})
    return moment.at


def read_dated(text: str) -> tuple[datetime, bool]:
    """Return the time by the clock on the wall that `text` says with its day and year: "jul 28 2025 4:20 pm".

    A sheet is read again another year, and by the same words must say the same: so "yesterday" is refused here, and a day
    without its year, and 7/28/2025, for nobody is asked back which of its figures is the month.

    Returns
    -------
    tuple
        The time, at midnight when only the day is said, and whether a time of day is said.

    Raises
    ------
    UsageError
        When it is no such time.
    """
    scan = _scan(text)
    said = find_times(scan, _NO_TIME, day_first=False)
    durations = find_durations(scan)
    _refuse_problems(scan, text, "a time", _DATED_HINT, allowed={Role.TIME, Role.DURATION, Role.SMALL})
    if (
        not scan.tokens
        or "/" in text
        or said.moments
        or said.day_parts
        or durations.downtime_seconds
        or durations.labour_seconds
    ):
        raise UsageError(f"'{one_line(text)}' is not a time.", _DATED_HINT)
    years = [
        token for token, role in zip(scan.tokens, scan.roles, strict=True) if role is Role.TIME and len(token.text) == 4
    ]
    if not any(token.is_number for token in years) or len(said.days) != 1:
        raise UsageError(f"'{one_line(text)}' is another time when the sheet is read again.", _DATED_HINT)
    if len(said.clocks) > 1:
        raise UsageError(f"'{one_line(text)}' names two times of day.", _DATED_HINT)
    clock = said.clocks[0].at if said.clocks else time(0)
    return datetime.combine(said.days[0].day, clock), bool(said.clocks)


def read_duration(text: str) -> int:
    """Return the seconds that `text` says. UsageError when it is no duration; a bare number is not one."""
    scan = _scan(text)
    seconds = find_durations(scan).downtime_seconds
    _refuse_problems(scan, text, "a duration", _DURATION_HINT, allowed={Role.DURATION})
    if seconds is None:
        raise UsageError(f"'{one_line(text)}' is not a duration.", _DURATION_HINT)
    return seconds


def _scan(text: str) -> Scan:
    line = one_line(text)
    if len(line) > _MOST_CHARACTERS:
        raise UsageError(f"'{line[:20]}...' is too long for a time.", _MOMENT_HINT)
    tokens = cut(line, range(1, len(line) + 2))
    return Scan(line, tokens, [None] * len(tokens))


def _refuse_problems(scan: Scan, text: str, what: str, hint: str, *, allowed: set[Role]) -> None:
    if scan.problems:
        raise UsageError(scan.problems[0].message, scan.problems[0].hint or hint)
    left = [token.text for token, role in zip(scan.tokens, scan.roles, strict=True) if role not in allowed]
    if any(word not in ",.;" for word in left):
        raise UsageError(f"'{one_line(text)}' is not {what}.", hint)
