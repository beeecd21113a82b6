"""The farm as a reckoning sees it: the small tables, the settings and the histories, read in one consistent view."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from uuid import UUID

from wearlog.facts.coming_season import is_over
from wearlog.facts.farm_settings import FarmSettings
from wearlog.facts.machines import Machine
from wearlog.facts.parts import PartKind
from wearlog.facts.wearing import Component
from wearlog.facts.work import Season
from wearlog.reckoning.calendar_years import calendar_years
from wearlog.reckoning.meters import FleetLines
from wearlog.store.connection import Connection
from wearlog.store.finding import find_all, settings_of
from wearlog.store.histories import LogHistories, read_histories
from wearlog.store.opening import Store
from wearlog.store.schema.types import microseconds


@dataclass(frozen=True, slots=True, eq=False)
class Farm:
    """What every reckoning starts from. The tuples are in the order of the ids in `histories`.

    `seasons` are in the order of their harvest years; those in `calendar_years` nobody entered: the calendar year stands for them.
    """

    now: datetime
    settings: FarmSettings
    machines: tuple[Machine, ...]
    part_kinds: tuple[PartKind, ...]
    components: tuple[Component, ...]
    seasons: tuple[Season, ...]
    histories: LogHistories
    lines: FleetLines
    calendar_years: frozenset[int] = frozenset()

    @property
    def entered_seasons(self) -> tuple[Season, ...]:
        """The seasons that somebody entered."""
        return tuple(season for season in self.seasons if season.harvest_year not in self.calendar_years)

    @property
    def now_microseconds(self) -> int:
        return microseconds(self.now)

    @property
    def last_cut(self) -> date | None:
        """The last day on which anything was cut, None when nothing was."""
        ends = self.histories.runs.end
        behind = ends[ends <= self.now_microseconds]
        return datetime.fromtimestamp(int(behind.max()) / 1e6, tz=self.now.tzinfo).date() if behind.size else None

    def is_over(self, season: Season) -> bool:
        """Tell whether nothing of a season is to come."""
        return is_over(season, self.now.date(), self.last_cut)

    def machine_number(self, machine_id: UUID) -> int:
        """Return the place of a machine in the histories."""
        return self.histories.machines.ids.index(machine_id)


def read_farm(store: Store, now: datetime) -> Farm:
    """Read a farm from its log."""
    with store.reading() as connection:
        return farm_from(connection, now)


def farm_from(connection: Connection, now: datetime) -> Farm:
    """Read a farm through a connection that is open already, so that what else is read fits it."""
    histories = read_histories(connection)
    settings = settings_of(connection)
    now = settings.by_clock(now)
    entered = find_all(connection, Season)
    by_calendar = calendar_years(entered, histories, now)
    return Farm(
        now=now,
        settings=settings,
        machines=tuple(find_all(connection, Machine)),
        part_kinds=tuple(find_all(connection, PartKind)),
        components=tuple(find_all(connection, Component)),
        seasons=tuple(sorted((*entered, *by_calendar), key=lambda season: season.harvest_year)),
        histories=histories,
        lines=FleetLines(histories),
        calendar_years=frozenset(season.harvest_year for season in by_calendar),
    )
