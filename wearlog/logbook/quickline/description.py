"""A moment in plain words, as seen from another: today 14:05, yesterday 16:20, Tue 28 July 16:20."""

from __future__ import annotations

from datetime import datetime, timedelta, tzinfo

_WEEKDAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
_MONTHS = (
    *("January", "February", "March", "April", "May", "June", "July", "August", "September", "October"),
    *("November", "December"),
)


def say_moment(at: datetime, read_at: datetime, local_tz: tzinfo) -> str:
    """Return "today 14:05", "yesterday 16:20", "Tue 28 July 16:20", and the year when it is another one."""
    local, today = at.astimezone(local_tz), read_at.astimezone(local_tz).date()
    clock = f"{local:%H:%M}"
    if local.date() == today:
        return f"today {clock}"
    if local.date() == today - timedelta(days=1):
        return f"yesterday {clock}"
    year = "" if local.year == today.year else f" {local.year}"
    return f"{_WEEKDAYS[local.weekday()]} {local.day} {_MONTHS[local.month - 1]}{year} {clock}"
