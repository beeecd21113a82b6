"""The farm as a reckoning sees it: tables, settings and histories, read once and kept until something is entered, and its names."""

from __future__ import annotations

import threading
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime
from functools import cached_property
from uuid import UUID

import numpy as np

from wearlog.facts.closed_lists import MachineKind
from wearlog.facts.electrics import Fault
from wearlog.facts.farm_settings import FarmSettings
from wearlog.facts.machines import Machine
from wearlog.facts.parts import Part, PartKind
from wearlog.facts.positions import component_name, place_said
from wearlog.facts.wearing import Component
from wearlog.facts.work import Season, is_over
from wearlog.progress import stretch
from wearlog.reckoning.farm.meters import FleetLines
from wearlog.reckoning.farm.neighbour_guess import with_neighbours
from wearlog.store.connection import Connection
from wearlog.store.finding import find_all, settings_of
from wearlog.store.histories import Ints, LogHistories, read_histories
from wearlog.store.journal import journal_end
from wearlog.store.opening import Store
from wearlog.store.schema.types import instant, microseconds


@dataclass(frozen=True, slots=True)
class NamedThing:
    """`what` is machine, component, part or fault; `machine_id` is the machine it belongs to, None for a part."""

    what: str
    name: str
    row_id: UUID
    machine_id: UUID | None


def named_things(connection: Connection) -> tuple[NamedThing, ...]:
    """Return them all, machines first."""
    machines = {machine.id: machine.name for machine in find_all(connection, Machine)}
    found = [NamedThing("machine", name, machine_id, machine_id) for machine_id, name in machines.items()]
    kinds = kind_names(connection)
    for one in find_all(connection, Component):
        name = component_name(one.place, kinds.get(one.part_kind_id, ""))
        found.append(
            NamedThing("component", place_said(machines.get(one.machine_id, ""), name), one.id, one.machine_id)
        )
    found += [NamedThing("part", f"{one.number} {one.name}", one.id, None) for one in find_all(connection, Part)]
    found += [
        NamedThing("fault", f"{machines.get(one.machine_id, '')}: {one.title}", one.id, one.machine_id)
        for one in find_all(connection, Fault)
    ]
    return tuple(found)


def named_machines(connection: Connection, kind: MachineKind) -> tuple[NamedThing, ...]:
    """Return the machines of a kind, by name."""
    found = sorted(find_all(connection, Machine, kind=kind), key=lambda machine: machine.name)
    return tuple(NamedThing(kind.value, machine.name, machine.id, machine.id) for machine in found)


def kind_names(connection: Connection) -> dict[UUID, str]:
    """Return what the kinds of part are called."""
    return {kind.id: kind.name for kind in find_all(connection, PartKind)}


def calendar_years(entered: Sequence[Season], histories: LogHistories, now: datetime) -> tuple[Season, ...]:
    """Return the calendar years into which no entered season falls, as seasons, in their order.

    They go from the year of the first run or reading to that of the last one until now: a year of which nothing is noted yet is
    no season.
    """
    noted = np.concatenate((histories.runs.start, histories.readings.at))
    noted = noted[noted <= int(now.timestamp() * 1_000_000)]
    if not noted.size:
        return ()
    first, last = (instant(int(one)).year for one in (noted.min(), noted.max()))
    years = (
        Season(harvest_year=year, starts_on=date(year, 1, 1), ends_on=date(year + 1, 1, 1))
        for year in range(first, last + 1)
    )
    return tuple(
        year
        for year in years
        if not any(season.starts_on < year.ends_on and year.starts_on < season.ends_on for season in entered)
    )


@dataclass(frozen=True, eq=False)
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
        return self.settings.local(instant(int(behind.max()))).date() if behind.size else None

    @cached_property
    def days_cut(self) -> Ints:
        """The days on which a run began by now, of UTC and of any machine, as days since 1970 in their order."""
        starts = self.histories.runs.start
        return np.unique(starts[starts <= self.now_microseconds] // 86_400_000_000)

    def harvest_year(self, at: datetime) -> int:
        """Return the harvest year of a moment on the farm's clock; the calendar year where no season has it."""
        day = self.settings.local(at).date()
        return next((one.harvest_year for one in self.seasons if one.starts_on <= day < one.ends_on), day.year)

    def is_over(self, season: Season) -> bool:
        """Tell whether nothing of a season is to come."""
        return is_over(season, self.settings.by_clock(self.now).date(), self.last_cut)

    def machine_number(self, machine_id: UUID) -> int:
        """Return the place of a machine in the histories."""
        return self._places[machine_id]

    def component(self, component_id: UUID) -> Component:
        """Return a component of the farm by its id."""
        return self.components[self._components[component_id]]

    def component_number(self, component_id: UUID) -> int | None:
        """Return the place of a component in the histories; None where it is not there."""
        return self._components.get(component_id)

    @cached_property
    def _components(self) -> dict[UUID, int]:
        return {one: place for place, one in enumerate(self.histories.components.ids)}

    @cached_property
    def _places(self) -> dict[UUID, int]:
        return {one: place for place, one in enumerate(self.histories.machines.ids)}


def read_farm(store: Store, now: datetime) -> Farm:
    """Read a farm from its log."""
    with store.reading() as connection:
        return farm_from(connection, now)


def farm_from(connection: Connection, now: datetime) -> Farm:
    """Read a farm through a connection that is open already, so that what else is read fits it."""
    with stretch(last=0.7):
        histories = read_histories(connection)
    settings = settings_of(connection)
    now = settings.by_clock(now)
    entered = find_all(connection, Season)
    by_calendar = calendar_years(entered, histories, now)
    return Farm(
        now=now,
        settings=settings,
        machines=tuple(find_all(connection, Machine)),
        part_kinds=with_neighbours(find_all(connection, PartKind), settings.neighbours),
        components=tuple(find_all(connection, Component)),
        seasons=tuple(sorted((*entered, *by_calendar), key=lambda season: season.harvest_year)),
        histories=histories,
        lines=FleetLines(histories),
        calendar_years=frozenset(season.harvest_year for season in by_calendar),
    )


class KeptFarm:
    """The latest farm that was read. Threads may share it: one reads while the others wait for the same reading."""

    def __init__(self) -> None:
        self._lock = threading.Lock()
        self._farm: Farm | None = None
        self._newest: tuple[int, UUID | None] | None = None

    def at(self, connection: Connection, now: datetime) -> Farm:
        """Return the farm as it is in the connection's view of the log, read anew only when the journal has grown."""
        # every write leaves a deed, so the journal's end says whether anything changed
        newest = journal_end(connection)
        with self._lock:
            # with a new year another calendar year may stand for a season that nobody entered
            kept = self._farm
            if kept is None or newest != self._newest or kept.now.year != kept.settings.by_clock(now).year:
                kept = self._farm = farm_from(connection, now)
                self._newest = newest
            return replace(kept, now=kept.settings.by_clock(now))
