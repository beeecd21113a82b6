"""A moment or a duration alone in a field or an option, in the same words as the quick line: "yesterday 16:20", "1 h 20 min"."""

from __future__ import annotations

from datetime import datetime

from wearlog.errors import UsageError
from wearlog.facts.plain_text import one_line
from wearlog.logbook.quickline.durations import find_durations
from wearlog.logbook.quickline.moment import find_times, settle
from wearlog.logbook.quickline.scan import Role, Scan
from wearlog.logbook.quickline.tokens import cut

_MOST_CHARACTERS = 80
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
    scan = _scan(text)
    said = find_times(scan, now, day_first=day_first)
    durations = find_durations(scan)
    moment = settle(scan, said, durations.ago, now)
    if durations.downtime_seconds is not None or durations.labour_seconds is not None:
        raise UsageError(f"'{one_line(text)}' is a duration, not a time.", _MOMENT_HINT)
    _refuse_problems(scan, text, "a time", _MOMENT_HINT, allowed={Role.TIME, Role.DURATION, Role.SMALL})
    return moment.at


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
