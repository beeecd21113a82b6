"""The farm as every reckoning reads it: tables, settings, histories, meter lines and names, read once and kept until an entry."""

from __future__ import annotations

import threading
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, time
from functools import cache, cached_property
from typing import Final
from uuid import UUID

import numpy as np
import numpy.typing as npt

from wearlog.facts.closed_lists import Evidence, MachineKind, MeterKind
from wearlog.facts.electrics import Fault
from wearlog.facts.farm_settings import FarmSettings
from wearlog.facts.machines import Machine
from wearlog.facts.neighbours import NeighbourLife
from wearlog.facts.parts import Part, PartKind
from wearlog.facts.positions import component_name, place_said
from wearlog.facts.wearing import Component
from wearlog.facts.work import Season, is_over
from wearlog.harvest.header_line import HeaderStretches, Hitches, header_lines, runs_of_headers
from wearlog.harvest.line_inputs import Readings, Runs, refuse_impossible
from wearlog.harvest.meter_line import MeterLines
from wearlog.progress import stretch
from wearlog.store.connection import Connection
from wearlog.store.finding import find_all, settings_of
from wearlog.store.histories import Floats, Ints, LogHistories, code_of, read_histories
from wearlog.store.journal import journal_end
from wearlog.store.opening import Store
from wearlog.store.schema.types import instant, microseconds

#: until a machine's own is known: 35 ft at 4.5 mph and 70 % field efficiency cut 13.36 ac/h (computed, see docs/methods.md)
SECONDS_PER_SQUARE_METRE = 3600 / (13.36 * 4046.8564224)
#: the kinds that a machine's own counter can show
_COUNTERS: Final[tuple[MeterKind, ...]] = tuple(kind for kind in MeterKind if kind is not MeterKind.CALENDAR)
#: what a year adds to the age of a part that ages by the calendar
YEAR_SECONDS = 31_556_952.0
#: engine hours per separator hour until the machine's own readings say (common practice, no source)
ENGINE_PER_SEPARATOR = 1.2


class FleetLines:
    """The meter lines of all machines, by meter kind, each built when it is first asked for: few reckonings ask for all.

    What they are built from is checked at once, so that a wrong reading is told when the farm is read.

    Attributes
    ----------
    is_header : (machines,) bool
    stretches : HeaderStretches
        Which header cut which part of which run.
    """

    def __init__(self, histories: LogHistories) -> None:
        runs, hitches = histories.runs, histories.hitches
        self._count = len(histories.machines.ids)
        self._area_runs = Runs(runs.combine, runs.start, runs.end, runs.area, runs.area)
        self._hour_runs = Runs(runs.combine, runs.start, runs.end, runs.separator_seconds, runs.area)
        self._readings = {kind: _readings(histories, kind) for kind in _COUNTERS}
        for readings in self._readings.values():
            refuse_impossible(readings)
        self._carriers: dict[MeterKind, MeterLines] = {}
        self._headers: dict[MeterKind, MeterLines] = {}
        self.is_header: npt.NDArray[np.bool_] = histories.machines.kind == code_of(MachineKind.HEADER)
        self.stretches: HeaderStretches = runs_of_headers(
            self._area_runs, runs.header, Hitches(hitches.header, hitches.combine, hitches.start, hitches.end)
        )

    def carriers(self, kind: MeterKind) -> MeterLines:
        """Return the lines of what carries its own meter; lines are numbered as the machines are."""
        if kind not in self._carriers:
            # two threads that ask at once build the same line twice, which does no harm
            self._carriers[kind] = self._built(kind)
        return self._carriers[kind]

    def headers(self, kind: MeterKind) -> MeterLines:
        """Return the lines of headers, numbered as the machines are; hours come from the combines' own lines."""
        if kind not in self._headers:
            carriers = None if kind is MeterKind.AREA else self.carriers(kind)
            self._headers[kind] = header_lines(self._count, self.stretches, self._runs(kind), carriers)
        return self._headers[kind]

    def _built(self, kind: MeterKind) -> MeterLines:
        if kind is MeterKind.AREA:
            return MeterLines.build(self._count, self._readings[kind], self._runs(kind))
        return MeterLines.build(
            self._count,
            self._readings[kind],
            self._runs(kind),
            default_per_area=SECONDS_PER_SQUARE_METRE,
            learn_factor=kind is MeterKind.ENGINE_HOURS,
            default_factor=ENGINE_PER_SEPARATOR,
        )

    def _runs(self, kind: MeterKind) -> Runs:
        return self._area_runs if kind is MeterKind.AREA else self._hour_runs

    def at(self, kind: MeterKind, machine: npt.ArrayLike, times: npt.ArrayLike) -> Floats:
        """Return the cumulative usage of machines on one meter (seconds or square metres since its first knot).

        On the calendar it is the seconds since 1970.
        """
        which = np.asarray(machine, dtype=np.int64)
        when = np.broadcast_to(np.asarray(times, dtype=np.int64), which.shape)
        if kind is MeterKind.CALENDAR:
            # it runs by itself, whatever the machine does
            return when / 1e6
        found = np.zeros(which.shape)
        on_header = self.is_header[which]
        for mine, lines in ((on_header, self.headers), (~on_header, self.carriers)):
            if mine.any():
                found[mine] = lines(kind).at(which[mine], when[mine])
        return found

    def usage(self, kind: MeterKind, machine: npt.ArrayLike, start: npt.ArrayLike, end: npt.ArrayLike) -> Floats:
        """Return what machines used on one meter during [start, end), in seconds or square metres."""
        return self.at(kind, machine, end) - self.at(kind, machine, start)

    def shown(self, kind: MeterKind, machine: int, time: int) -> float:
        """Return what the counter of one machine shows at a time; a header's is its usage so far."""
        return self.all_shown(kind, np.array([machine]), time)[0]

    def all_shown(self, kind: MeterKind, machines: Ints, time: int) -> list[float]:
        """Return the same of several machines."""
        found, on_header = np.zeros(machines.size), self.is_header[machines]
        if on_header.any():
            found[on_header] = self.headers(kind).at(machines[on_header], np.full(int(on_header.sum()), time))
        if not on_header.all():
            mine = machines[~on_header]
            found[~on_header] = self.carriers(kind).displayed_at(mine, np.full(mine.size, time))
        return [float(one) for one in found]

    def run_on(self, kind: MeterKind, machine: int, times: npt.ArrayLike) -> Floats:
        """Return what the counter of a combine would show at times had it never been replaced, in seconds or square metres."""
        when = np.asarray(times, dtype=np.int64)
        lines = self.carriers(kind)
        first = int(lines.first_reading[machine])
        used = lines.at(np.full(when.size, machine), when)
        if first == int(lines.first_reading[machine + 1]):
            return used
        return np.asarray(np.maximum(lines.readings.value[first] + used - lines.reading_usage[first], 0.0))


def _readings(histories: LogHistories, kind: MeterKind) -> Readings:
    rows = histories.readings
    mine = rows.meter_kind == code_of(kind)
    return Readings(rows.machine[mine], rows.at[mine], rows.shown[mine], rows.new_leg[mine])


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


@dataclass(frozen=True, slots=True)
class Period:
    """[start, end) in microseconds since 1970 UTC."""

    start: int
    end: int


def season_period(farm: Farm, season: Season) -> Period:
    """Return a season as an interval of instants, by the farm's clock."""
    return Period(midnight(farm, season.starts_on), min(midnight(farm, season.ends_on), farm.now_microseconds))


def midnight(farm: Farm, day: date) -> int:
    """Return the instant at which a day begins by the farm's clock, in microseconds since 1970 UTC."""
    return microseconds(datetime.combine(day, time(), tzinfo=farm.now.tzinfo))


@cache
def _library() -> dict[UUID, PartKind]:
    # two hundred kinds take longer to load than a log without neighbours needs
    from wearlog.facts.starting_guesses import STARTING_KINDS

    return {kind.id: kind for kind in STARTING_KINDS}


def library_name(kind: PartKind) -> str | None:
    """Return what the library calls a kind, whatever it was called since; None for a kind of the farm's own."""
    found = _library().get(kind.id)
    return None if found is None else found.name


def is_library_guess(kind: PartKind) -> bool:
    """Whether the guess of its life is still that of the library."""
    found = _library().get(kind.id)
    return found is not None and _guess(found) == _guess(kind)


def _guess(kind: PartKind) -> tuple[int | None, ...]:
    return (
        kind.life_low_usage,
        kind.life_high_usage,
        kind.shape_low_thousandths,
        kind.shape_high_thousandths,
    )


def with_neighbours(kinds: Iterable[PartKind], learned: Sequence[NeighbourLife]) -> tuple[PartKind, ...]:
    """Return the kinds with the guesses that other farms' lives give, where there are such."""
    if not learned:
        return tuple(kinds)
    by_name = {one.kind: one for one in learned}
    return tuple(_with(kind, by_name.get((library_name(kind) or "").casefold())) for kind in kinds)


def _with(kind: PartKind, learned: NeighbourLife | None) -> PartKind:
    if learned is None or learned.meter is not kind.meter_kind or not is_library_guess(kind):
        return kind
    return replace(
        kind,
        life_low_usage=learned.life_low_usage,
        life_high_usage=learned.life_high_usage,
        shape_low_thousandths=learned.shape_low_thousandths,
        shape_high_thousandths=learned.shape_high_thousandths,
        guess_evidence=Evidence.NEIGHBOURS,
    )
