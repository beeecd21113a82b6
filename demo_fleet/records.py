"""Where the story writes its facts down: ids that depend on the seed only, the farm's clock, the facts. Draws nothing."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from typing import Final
from uuid import UUID
from zoneinfo import ZoneInfo

from wearlog.facts.fact import Fact
from wearlog.ids import derived_id

FARM_ZONE: Final = ZoneInfo("America/Chicago")
MINUTE: Final = timedelta(minutes=1)


def farm_time(day: date, hour: float) -> datetime:
    """Return the UTC instant of an hour of the farm's day, to the minute; hours past 24 run into the next day."""
    minutes = round(hour * 60)
    local = datetime(day.year, day.month, day.day, tzinfo=FARM_ZONE) + timedelta(minutes=minutes)
    return local.astimezone(UTC)


def minutes(number: float) -> timedelta:
    """Return a duration in whole minutes."""
    return timedelta(minutes=round(number))


class Records:
    """The facts of one farm as they come.

    Parameters
    ----------
    seed : int
        Goes into every id, so that farms of different seeds can lie in one file.
    label : str
        Put behind names that must not meet twice in one file.
    """

    def __init__(self, seed: int, label: str = "") -> None:
        self.seed = seed
        self.label = label
        self.facts: list[Fact] = []
        self._counts: dict[str, int] = {}

    def add(self, fact: Fact) -> None:
        """Enter a fact."""
        self.facts.append(fact)

    def named(self, name: str) -> str:
        """Return a name with the farm's label."""
        return f"{name} {self.label}" if self.label else name

    def id_of(self, sheet: str, name: str) -> UUID:
        """Return the id of the row of this name on this farm."""
        return derived_id("demo fleet", str(self.seed), sheet, name)

    def shared_id(self, sheet: str, name: str) -> UUID:
        """Return the id of a row that all demo farms share (a crop, a season, a setting)."""
        return derived_id("demo fleet", sheet, name)

    def next_id(self, sheet: str) -> UUID:
        """Return the id of the next row without a name of its own."""
        count = self._counts[sheet] = self._counts.get(sheet, 0) + 1
        return derived_id("demo fleet", str(self.seed), sheet, f"#{count}")
