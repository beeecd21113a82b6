"""Everything that cost money, one event each, every cent in one event only; and the hours on which published curves run."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from enum import StrEnum, unique
from typing import Final
from uuid import UUID

import numpy as np

from wearlog.costs.repair_cost import RepairCosts, repair_costs
from wearlog.facts.closed_lists import MachineKind, MeterKind, StockChange, StopReason
from wearlog.facts.parts import PartFit
from wearlog.harvest.anchors import LearnedFrom
from wearlog.reckoning.farm import ENGINE_PER_SEPARATOR, Farm
from wearlog.reckoning.parts.stock import CostedMoves, costed_moves
from wearlog.reckoning.work.stops import COSTLY_STOPS, counted_of
from wearlog.store.connection import Connection
from wearlog.store.finding import find_all
from wearlog.store.histories import NONE, Bools, Floats, Ints, code_of
from wearlog.store.paid_rows import WorkRows, broken_components, repairs, services, stops
from wearlog.store.plain_reader import PlainReader, pointing


@dataclass(frozen=True, slots=True, eq=False)
class EventCosts:
    """Everything that cost money, (n,) events: what each cost and belongs to; places in the histories, NONE where nothing says.

    `stood` is the machine that a stop was entered for, where `machine` is the one that broke: the field and crop are those that
    the first was cutting. `part` was used for no component or was missing at a count; `fits` are the kinds that each part fits.
    `is_upkeep` says that it is of a service and not of a repair. At `unknown_at`, pieces were used whose cost nobody knows: so
    many as `unknown_units` says, in no event.
    """

    at: Ints
    machine: Ints
    component: Ints
    stood: Ints
    part: Ints
    is_upkeep: Bools
    costs: RepairCosts
    fits: tuple[frozenset[int], ...]
    unknown_at: Ints
    unknown_units: Ints


_Columns = dict[str, Ints]
#: what stands in a column of which a block of events says nothing
_UNSAID: Final = {
    "at": 0,
    "machine": NONE,
    "component": NONE,
    "stood": NONE,
    "part": NONE,
    "is_upkeep": 0,
    "parts_minor": 0,
    "labour_seconds": 0,
    "service_minor": 0,
    "downtime_seconds": 0,
}


def cost_events(connection: Connection, farm: Farm, costed: CostedMoves | None = None) -> EventCosts:
    """Read everything that cost money up to now; `costed` are the moves of the shelf where they are read already."""
    costed = costed or costed_moves(connection)
    work = _WorkById.read(connection, farm)
    blocks = (_parts(costed, work), _repairs(work.repairs), _services(work.services), _stops(connection, farm, work))
    column = {name: np.concatenate([block[name] for block in blocks]) for name in _UNSAID}
    past = column["at"] <= farm.now_microseconds
    column = {name: values[past] for name, values in column.items()}
    settings = farm.settings
    unknown_at, unknown_units = _unknown(costed)
    return EventCosts(
        at=column["at"],
        machine=column["machine"],
        component=column["component"],
        stood=column["stood"],
        part=column["part"],
        is_upkeep=column["is_upkeep"] != 0,
        costs=repair_costs(
            parts_minor=column["parts_minor"],
            labour_seconds=column["labour_seconds"],
            labour_minor_per_hour=settings.labour_rate_minor,
            hired_minor=column["service_minor"],
            downtime_seconds=column["downtime_seconds"],
            downtime_minor_per_hour=settings.downtime_minor,
        ),
        fits=_fits(connection, farm, costed),
        unknown_at=unknown_at,
        unknown_units=unknown_units,
    )


def _block(rows: int, **said: Ints) -> _Columns:
    return {name: said.get(name, np.full(rows, unsaid, dtype=np.int64)) for name, unsaid in _UNSAID.items()}


@dataclass(frozen=True, slots=True, eq=False)
class _WorkById:
    """Repairs, services and breakages, and what is looked up in them by id."""

    machines: dict[bytes, int]
    repairs: WorkRows
    services: WorkRows
    broken: dict[bytes, int]
    repair_rows: dict[bytes, int]
    machine_of: Ints

    @classmethod
    def read(cls, connection: Connection, farm: Farm) -> _WorkById:
        reader, histories = PlainReader(connection), farm.histories
        machines = {one.bytes: place for place, one in enumerate(histories.machines.ids)}
        components = {one.bytes: place for place, one in enumerate(histories.components.ids)}
        mended = repairs(reader, machines, components)
        rows = {one: row for row, one in enumerate(mended.ids)}
        broken = broken_components(reader, components)
        return cls(machines, mended, services(reader, machines), broken, rows, histories.components.machine)

    def worked_on(self, component: Ints, repair: Ints, otherwise: Ints) -> tuple[Ints, Ints]:
        """Return machine and component of costs: of the component, else as the repair says, else another machine."""
        of_repair, machine_of_repair = (
            column[repair] if column.size else repair for column in (self.repairs.component, self.repairs.machine)
        )
        component = np.where((component == NONE) & (repair != NONE), of_repair, component)
        machine = np.where(repair == NONE, otherwise, machine_of_repair)
        whose = self.machine_of[component] if self.machine_of.size else component
        return np.where(component == NONE, machine, whose), component


def _parts(costed: CostedMoves, work: _WorkById) -> _Columns:
    """Parts that came off the shelf; those that a service took are of its machine."""
    served = dict(zip(work.services.ids, work.services.machine.tolist(), strict=True))
    moves, rows = costed.moves, np.flatnonzero(costed.costs.cost_minor)
    broken, repair, service = (
        pointing([ids[row] for row in rows.tolist()], places)
        for ids, places in (
            (moves.breakage, work.broken),
            (moves.repair, work.repair_rows),
            (moves.service_done, served),
        )
    )
    machine, component = work.worked_on(broken, repair, service)
    part = np.where(component == NONE, moves.part[rows], NONE)
    cost = costed.costs.cost_minor[rows]
    return _block(rows.size, at=moves.at[rows], machine=machine, component=component, part=part, parts_minor=cost)


def _fits(connection: Connection, farm: Farm, costed: CostedMoves) -> tuple[frozenset[int], ...]:
    """Return which kinds each part fits."""
    place = {kind.id: number for number, kind in enumerate(farm.part_kinds)}
    kinds: dict[UUID, set[int]] = defaultdict(set)
    for fit in find_all(connection, PartFit):
        if fit.part_kind_id in place:
            kinds[fit.part_id].add(place[fit.part_kind_id])
    return tuple(frozenset(kinds[part.id]) for part in costed.parts)


def _unknown(costed: CostedMoves) -> tuple[Ints, Ints]:
    known = (costed.moves.change == code_of(StockChange.USED)) & (costed.costs.unknown_units != 0)
    return costed.moves.at[known], costed.costs.unknown_units[known]


def _repairs(rows: WorkRows) -> _Columns:
    return _block(
        rows.at.size,
        at=rows.at,
        machine=rows.machine,
        component=rows.component,
        labour_seconds=rows.labour_seconds,
        service_minor=rows.paid_minor,
    )


def _services(rows: WorkRows) -> _Columns:
    return _block(
        rows.at.size,
        at=rows.at,
        machine=rows.machine,
        is_upkeep=np.ones(rows.at.size, dtype=np.int64),
        labour_seconds=rows.labour_seconds,
        service_minor=rows.paid_minor,
    )


def _stops(connection: Connection, farm: Farm, work: _WorkById) -> _Columns:
    """By machine a stop is the cost of what broke: a header's knife stops the combine, and the header has caused it."""
    every = stops(PlainReader(connection), work.machines)
    rows = np.flatnonzero(np.isin(every.reason, [code_of(one) for one in COSTLY_STOPS]))
    stood = every.machine[rows]
    repair = pointing([every.repair[row] for row in rows.tolist()], work.repair_rows)
    machine, component = work.worked_on(np.full(rows.size, NONE, dtype=np.int64), repair, stood)
    of_service = every.reason[rows] == code_of(StopReason.SERVICE)
    return _block(
        rows.size,
        at=every.started_at[rows],
        machine=machine,
        component=component,
        stood=stood,
        is_upkeep=np.where(repair == NONE, of_service, 0),
        downtime_seconds=counted_of(farm, every)[rows],
    )


#: the farm's ratio is that of its counters once they ran so long together, in seconds
_ENOUGH = 50 * 3600


@unique
class HoursBy(StrEnum):
    """What the hours of use in the field are read off."""

    SEPARATOR = "separator_counter"
    OWN_RATIO = "engine_counter_by_own_ratio"
    FARM_RATIO = "engine_counter_by_farm_ratio"
    USUAL_RATIO = "engine_counter_by_usual_ratio"
    RUNS = "runs_alone"


@dataclass(frozen=True, slots=True)
class FieldHours:
    """What the hours rest on; `ratio` is engine hours to one of the separator where the engine's counter gives them, else None."""

    by: HoursBy
    ratio: float | None = None


def field_hours_of(farm: Farm, place: int) -> FieldHours:
    """Say what the hours of use in the field of a machine are read off, from the best of its counters down."""
    if _read(farm, MeterKind.SEPARATOR_HOURS, place).size:
        return FieldHours(HoursBy.SEPARATOR)
    if not _read(farm, MeterKind.ENGINE_HOURS, place).size:
        return FieldHours(HoursBy.RUNS)
    runs, learned = farm.histories.runs, farm.lines.carriers(MeterKind.ENGINE_HOURS).learned
    told = bool(np.isfinite(runs.separator_seconds[runs.combine == place]).any())
    if told and learned.factor_from[place] != LearnedFrom.DEFAULT:
        return FieldHours(HoursBy.OWN_RATIO, float(learned.factor[place]))
    ratio = _farm_ratio(farm)
    if ratio is not None:
        return FieldHours(HoursBy.FARM_RATIO, ratio)
    return FieldHours(HoursBy.USUAL_RATIO, ENGINE_PER_SEPARATOR)


def field_hours_at(farm: Farm, place: int, basis: FieldHours, at: Ints) -> Floats:
    """Return the hours of use since a machine was new at instants, replaced counters run on.

    Parameters
    ----------
    at : (n,) int64
        Microseconds since 1970 UTC.
    """
    kind = MeterKind.SEPARATOR_HOURS if basis.ratio is None else MeterKind.ENGINE_HOURS
    return farm.lines.run_on(kind, place, at) / 3600 / (basis.ratio or 1.0)


def _farm_ratio(farm: Farm) -> float | None:
    """Engine seconds to one of the separator, over the times in which both counters of a combine were read."""
    engine = separator = 0.0
    for place in np.flatnonzero(farm.histories.machines.kind == code_of(MachineKind.COMBINE)).tolist():
        both = [_read(farm, kind, place) for kind in (MeterKind.ENGINE_HOURS, MeterKind.SEPARATOR_HOURS)]
        if min(one.size for one in both) < 2:
            continue
        start, end = max(int(one.min()) for one in both), min(int(one.max()) for one in both)
        if start < end:
            engine += float(farm.lines.usage(MeterKind.ENGINE_HOURS, [place], start, end)[0])
            separator += float(farm.lines.usage(MeterKind.SEPARATOR_HOURS, [place], start, end)[0])
    return engine / separator if separator >= _ENOUGH and engine > 0 else None


def _read(farm: Farm, kind: MeterKind, place: int) -> Ints:
    """When a counter of a machine was read, up to now."""
    rows = farm.histories.readings
    mine = (rows.machine == place) & (rows.meter_kind == code_of(kind)) & (rows.at <= farm.now_microseconds)
    return np.asarray(rows.at[mine])
