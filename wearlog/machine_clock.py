"""This machine's clock as a time zone: unlike a fixed offset it knows on which side of a clock change another day lies."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta, tzinfo


class MachineClock(tzinfo):
    """The zone this machine is set to, with its summer time."""

    def utcoffset(self, at: datetime | None) -> timedelta | None:
        """Return how far the clock shows ahead of UTC at a local time; `fold` tells the second of two equal ones."""
        # without a zone the time is taken as this machine's, which is what makes astimezone look the offset up
        return None if at is None else at.replace(tzinfo=None).astimezone().utcoffset()

    def dst(self, at: datetime | None) -> timedelta | None:
        """Return None: the machine tells the offset, not which part of it is summer time."""
        return None

    def tzname(self, at: datetime | None) -> str | None:
        """Return the zone's short name at a local time."""
        return None if at is None else at.replace(tzinfo=None).astimezone().tzname()

    def fromutc(self, at: datetime) -> datetime:
        """Return the local time of a UTC time that carries this zone."""
        shown = at.replace(tzinfo=UTC).astimezone()
        first = shown.replace(tzinfo=self, fold=0)
        # when the clock goes back an hour is shown twice
        return first if first.utcoffset() == shown.utcoffset() else first.replace(fold=1)

    def __repr__(self) -> str:
        return "MachineClock()"


def machine_now() -> datetime:
    """Return the time on this machine's clock, in a zone that holds for other days too."""
    return datetime.now(UTC).astimezone(MachineClock())
