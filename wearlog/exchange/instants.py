"""Times and days as they stand in a cell, read by the farm's clock, and written so that they read back exactly."""

from __future__ import annotations

import re
from datetime import UTC, date, datetime, timedelta, tzinfo
from typing import Final
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from wearlog.errors import UsageError
from wearlog.exchange.columns import LoneDay
from wearlog.logbook.said.measures import read_dated
from wearlog.machine_clock import MachineClock

_TIME: Final = re.compile(
    r"(\d{4}-\d\d-\d\d)(?:[ T](\d{1,2})(:[0-5]\d(?::[0-5]\d(?:\.\d{1,6})?)?) ?(Z|[+-]\d\d:?\d\d(?::\d\d)?)?)?"
)
_DAY: Final = re.compile(r"\d{4}-\d\d-\d\d")
_MINUTE_LENGTH: Final = len("2025-07-28 16:20")
_DAY_LENGTH: Final = len("2025-07-28")
#: " 16:20" behind a day -> the time since midnight
_MINUTES: Final = {
    f" {hour:02}:{minute:02}": timedelta(hours=hour, minutes=minute) for hour in range(24) for minute in range(60)
}
_LIKE_ISO: Final = re.compile(r"\d{4}-")
_DAY_HINT: Final = "Write year-month-day, like 2025-07-28."
_HINT: Final = "Write year-month-day hour:minute, like 2025-07-28 16:20."


def farm_zone(name: str) -> tzinfo:
    """Return the time zone of this name, of this machine's clock when there is no name. UsageError when there is none."""
    if not name:
        return MachineClock()
    try:
        return ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError, OSError):
        raise UsageError(
            f"There is no time zone '{name}'.", "Write it like America/Chicago or Europe/Berlin."
        ) from None


class FarmClock:
    """Reads times in one time zone.

    Attributes
    ----------
    twice : list of str
        Times read since the list was last emptied that the clock showed twice; the first of the two was taken.
    asked : bool
        Whether any time was read that did not say its offset itself.
    """

    def __init__(self, zone: tzinfo) -> None:
        self.zone = zone
        self.twice: list[str] = []
        self.asked = False
        self._steady: dict[str, timedelta | None] = {}
        #: the instant at which days begin on which the clock does not change
        self._midnights: dict[str, datetime] = {}

    def read(self, text: str, lone_day: LoneDay = LoneDay.FIRST) -> datetime:
        """Return the UTC instant that a cell means.

        Raises
        ------
        UsageError
            When it is not a time, or a time that the clock leapt over.
        """
        midnight = self._midnights.get(text[:_DAY_LENGTH])
        if midnight is not None and (since := _MINUTES.get(text[_DAY_LENGTH:])) is not None:
            return midnight + since
        match = _TIME.fullmatch(text)
        if match is None:
            return self._said(text, lone_day)
        day, hour, rest, offset = match.groups()
        try:
            if hour and offset is None and len(text) == _MINUTE_LENGTH:
                steady = self._steady[day] if day in self._steady else self._look_at(day)
                if steady is not None:
                    self._midnights[day] = datetime.fromisoformat(f"{day}T00:00+00:00") - steady
                    return datetime.fromisoformat(f"{text}+00:00") - steady
            if hour is None:
                local = datetime.fromisoformat(day) + _AFTER_MIDNIGHT[lone_day]
            elif offset is not None:
                return datetime.fromisoformat(f"{day}T{hour:0>2}{rest}{offset}").astimezone(UTC)
            else:
                local = datetime.fromisoformat(f"{day}T{hour:0>2}{rest}")
            return self._placed(local, text, written_out=hour is not None)
        except (ValueError, OverflowError):
            raise UsageError(f"'{text}' is not a time.", _HINT) from None

    def _said(self, text: str, lone_day: LoneDay) -> datetime:
        """Read a time in the words of the plain line, as far as they say the year."""
        wall, has_clock = _dated(text, "a time", _HINT)
        return self._placed(wall if has_clock else wall + _AFTER_MIDNIGHT[lone_day], text, written_out=has_clock)

    def _look_at(self, day: str) -> timedelta | None:
        """Return the offset that holds all day long; None on a day when the clock changes."""
        self.asked = True
        midnight = datetime.fromisoformat(day).replace(tzinfo=self.zone)
        offsets = {(midnight + timedelta(hours=hour)).utcoffset() for hour in (0, 6, 12, 18, 24)}
        self._steady[day] = offsets.pop() if len(offsets) == 1 else None
        return self._steady[day]

    def _placed(self, local: datetime, text: str, *, written_out: bool) -> datetime:
        self.asked = True
        aware = local.replace(tzinfo=self.zone)
        offset, later = aware.utcoffset(), aware.replace(fold=1).utcoffset()
        assert offset is not None
        assert later is not None
        # a day alone has no hour that could be missed or meant twice: the first moment will do
        if offset != later and written_out:
            if later > offset:
                raise UsageError(
                    f"'{text}' does not exist: the clocks went forward over it.", "Write the time the new clock showed."
                )
            self.twice.append(text)
        return (local - offset).replace(tzinfo=UTC)

    def write(self, instant: datetime) -> str:
        """Return the instant by the farm's clock with its offset, so that no hour is written the same twice."""
        local = instant.astimezone(self.zone)
        whole_minute = local.second == 0 and local.microsecond == 0
        return local.isoformat(sep=" ", timespec="minutes" if whole_minute else "auto")


_AFTER_MIDNIGHT: Final = {
    LoneDay.FIRST: timedelta(0),
    LoneDay.NOON: timedelta(hours=12),
    LoneDay.LAST: timedelta(days=1),
}


def read_day(text: str) -> date:
    """Return the day that a cell means. UsageError when it is not one."""
    if _DAY.fullmatch(text):
        try:
            return date.fromisoformat(text)
        except ValueError:
            pass  # a day that no month has: the same sentence
    wall, has_clock = _dated(text, "a day", _DAY_HINT)
    if has_clock:
        raise UsageError(f"'{text}' is not a day.", _DAY_HINT)
    return wall.date()


def _dated(text: str, what: str, hint: str) -> tuple[datetime, bool]:
    if _LIKE_ISO.match(text):
        raise UsageError(f"'{text}' is not {what}.", hint)
    try:
        return read_dated(text)
    except UsageError as error:
        if error.message.endswith("is not a time."):
            raise UsageError(f"'{text}' is not {what}.", hint) from None
        raise
