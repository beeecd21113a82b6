"""This machine's clock as a time zone: unlike a fixed offset it knows on which side of a clock change another day lies."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta, tzinfo

#: from here on so many years that every calendar there is comes once
_MIRROR = 1972
_SAME_CALENDAR = 28


class MachineClock(tzinfo):
    """The zone this machine is set to, with its summer time."""

    def utcoffset(self, at: datetime | None) -> timedelta | None:
        """Return how far the clock shows ahead of UTC at a local time; `fold` tells the second of two equal ones."""
        # without a zone the time is taken as this machine's, which is what makes the system look the offset up
        return None if at is None else _zone_at(at.replace(tzinfo=None)).utcoffset(at)

    def dst(self, at: datetime | None) -> timedelta | None:
        """Return None: the machine tells the offset, not which part of it is summer time."""
        return None

    def tzname(self, at: datetime | None) -> str | None:
        """Return the zone's short name at a local time."""
        return None if at is None else _zone_at(at.replace(tzinfo=None)).tzname(at)

    def fromutc(self, at: datetime) -> datetime:
        """Return the local time of a UTC time that carries this zone."""
        instant = at.replace(tzinfo=UTC)
        shown = instant.astimezone(_zone_at(instant))
        first = shown.replace(tzinfo=self, fold=0)
        # when the clock goes back an hour is shown twice
        return first if first.utcoffset() == shown.utcoffset() else first.replace(fold=1)

    def __repr__(self) -> str:
        return "MachineClock()"


def _zone_at(at: datetime) -> tzinfo:
    """Return the fixed offset that the system knows for a moment, or for a time by its own clock where that has no zone."""
    try:
        zone = at.astimezone().tzinfo
    except OSError:
        # one system knows no clock before 1970, nor after 3000: a year with the same days of the week tells the time of the year
        zone = at.replace(year=_MIRROR + (at.year - _MIRROR) % _SAME_CALENDAR).astimezone().tzinfo
    assert zone is not None
    return zone


def machine_now() -> datetime:
    """Return the time on this machine's clock, in a zone that holds for other days too."""
    return datetime.now(UTC).astimezone(MachineClock())
