"""From when to when a machine cut, as a line says it: "10am to 9pm", "til 930pm"."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import Final

from wearlog.logbook.plain_line.line import Line
from wearlog.logbook.quickline.scan import Role

_UNTIL: Final = ("til", "till", "until", "to", "-")


def span_of_work(line: Line) -> tuple[datetime, datetime] | None:
    """Claim "10am to 9pm"; return when it began and ended, on the day the line names (today, or yesterday)."""
    for index in range(len(line.tokens)):
        first = _clock(line, index)
        if first is None or line.text(first[1]) not in _UNTIL:
            continue
        second = _clock(line, first[1] + 1)
        if second is None:
            continue
        day = line.now.date() - timedelta(days=1 if line.has("yesterday") else 0)
        began = datetime.combine(day, datetime.min.time(), line.now.tzinfo) + timedelta(minutes=first[0])
        ended = datetime.combine(day, datetime.min.time(), line.now.tzinfo) + timedelta(minutes=second[0])
        if ended <= began:
            ended += timedelta(days=1)
        line.scan.claim(index, second[1], Role.TIME)
        return began.astimezone(UTC), ended.astimezone(UTC)
    for index in range(len(line.tokens)):
        if line.text(index) in ("til", "till", "until") and _clock(line, index + 1) is not None:
            line.scan.claim(index, index + 1, Role.TIME)
    return None


def _clock(line: Line, index: int) -> tuple[int, int] | None:
    """Read a time of day with am or pm at `index`: minutes of the day, and where it stops."""
    digits = line.scan.digits(index, 4)
    if digits is None:
        return None
    hour, minute, at = (digits // 100, digits % 100, index + 1) if digits > 99 else (digits, 0, index + 1)
    if line.scan.sign(at, ":") and line.scan.digits(at + 1, 2) is not None:
        minute, at = line.scan.digits(at + 1, 2) or 0, at + 2
    half = line.text(at)
    if half not in ("am", "pm") or not 1 <= hour <= 12 or minute > 59:
        return None
    return (hour % 12 + (12 if half == "pm" else 0)) * 60 + minute, at + 1
