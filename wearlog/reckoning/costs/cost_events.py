"""Everything that cost money, one event each, every cent in one event only; and the hours on which published curves run."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum, unique
from uuid import UUID

import numpy as np

from wearlog.costs.repair_cost import RepairCosts, repair_costs
from wearlog.facts.closed_lists import MachineKind, MeterKind, StockChange, StopReason
from wearlog.facts.machines import ServiceDone, ServiceItem
from wearlog.facts.parts import PartFit
from wearlog.facts.wearing import Breakage, Component, Repair
from wearlog.facts.work import Stoppage
from wearlog.harvest.anchors import LearnedFrom
from wearlog.reckoning.farm import ENGINE_PER_SEPARATOR, Farm
from wearlog.reckoning.parts.stock import CostedMoves, costed_moves
from wearlog.reckoning.work.stops import COSTLY_STOPS, counted_seconds
from wearlog.store.connection import Connection
from wearlog.store.finding import find_all
from wearlog.store.histories import Floats, Ints, code_of
from wearlog.store.schema.types import microseconds


@dataclass(frozen=True, slots=True)
class CostEvent:
    """One cost and what it belongs to; None where nothing says.

    `fits` are the kinds which a part fits that was used for no component or was missing at a count; `is_upkeep` says that it is
    of a service and not of a repair. `stood_id` is the machine that a stop was entered for, where `machine_id` is the one that
    broke: the field and crop are those that the first was cutting.
    """

    at: datetime
    machine_id: UUID | None
    component_id: UUID | None
    parts_minor: int = 0
    labour_seconds: int = 0
    service_minor: int = 0
    downtime_seconds: int = 0
    fits: frozenset[UUID] = frozenset()
    is_upkeep: bool = False
    stood_id: UUID | None = None


@dataclass(frozen=True, slots=True, eq=False)
class EventCosts:
    """The events as arrays: costs by column, and when.

    At `unknown_at`, pieces were used whose cost nobody knows: so many as `unknown_units` says, in no event.
    """

    events: tuple[CostEvent, ...]
    costs: RepairCosts
    at: Ints
    unknown_at: Ints
    unknown_units: Ints


def cost_events(connection: Connection, farm: Farm, costed: CostedMoves | None = None) -> EventCosts:
    """Read everything that cost money up to now; `costed` are the moves of the shelf where they are read already."""
    components = {component.id: component for component in farm.components}
    repairs = {repair.id: repair for repair in find_all(connection, Repair)}
    costed = costed or costed_moves(connection)
    events = [
        event
        for event in (
            *_parts(connection, costed, components, repairs),
            *map(_repair, repairs.values()),
            *_services(connection),
            *_stops(connection, farm, components, repairs),
        )
        if event.at <= farm.now
    ]
    settings = farm.settings
    unknown_at, unknown_units = _unknown(costed)
    return EventCosts(
        events=tuple(events),
        costs=repair_costs(
            parts_minor=_whole(event.parts_minor for event in events),
            labour_seconds=_whole(event.labour_seconds for event in events),
            labour_minor_per_hour=settings.labour_rate_minor,
            hired_minor=_whole(event.service_minor for event in events),
            downtime_seconds=_whole(event.downtime_seconds for event in events),
            downtime_minor_per_hour=settings.downtime_minor,
        ),
        at=_whole(microseconds(event.at) for event in events),
        unknown_at=unknown_at,
        unknown_units=unknown_units,
    )


def _whole(values: Iterable[int]) -> Ints:
    return np.fromiter(values, dtype=np.int64)


def _parts(
    connection: Connection, costed: CostedMoves, components: dict[UUID, Component], repairs: dict[UUID, Repair]
) -> list[CostEvent]:
    broken = {breakage.id: breakage.component_id for breakage in find_all(connection, Breakage)}
    kinds: dict[UUID, set[UUID]] = defaultdict(set)
    for fit in find_all(connection, PartFit):
        kinds[fit.part_id].add(fit.part_kind_id)
    served = _served(connection)
    events = []
    for move, cost in zip(costed.moves, costed.costs.cost_minor, strict=True):
        if not cost:
            continue
        repair = repairs.get(move.repair_id) if move.repair_id else None
        component_id = broken.get(move.breakage_id) if move.breakage_id else None
        component_id = component_id or (repair.component_id if repair else None)
        component = components.get(component_id) if component_id else None
        machine_id = component.machine_id if component else (repair.machine_id if repair else None)
        machine_id = machine_id or (served.get(move.service_done_id) if move.service_done_id else None)
        fits = frozenset() if component else frozenset(kinds[move.part_id])
        place = component.id if component else None
        events.append(CostEvent(move.at, machine_id, place, parts_minor=int(cost), fits=fits))
    return events


def _served(connection: Connection) -> dict[UUID, UUID]:
    """Which machine each service was done on: parts that came off the shelf for it are that machine's."""
    items = {item.id: item.machine_id for item in find_all(connection, ServiceItem)}
    done = find_all(connection, ServiceDone)
    return {one.id: items[one.service_item_id] for one in done if one.service_item_id in items}


def _unknown(costed: CostedMoves) -> tuple[Ints, Ints]:
    used = np.array([move.change is StockChange.USED for move in costed.moves], dtype=bool)
    known = used & (costed.costs.unknown_units != 0)
    return _whole(microseconds(move.at) for move in costed.moves)[known], costed.costs.unknown_units[known]


def _repair(repair: Repair) -> CostEvent:
    return CostEvent(
        repair.started_at,
        repair.machine_id,
        repair.component_id,
        labour_seconds=repair.labour_seconds or 0,
        service_minor=repair.hired_minor or 0,
    )


def _services(connection: Connection) -> list[CostEvent]:
    items = {item.id: item for item in find_all(connection, ServiceItem)}
    return [
        CostEvent(
            done.at,
            items[done.service_item_id].machine_id,
            None,
            labour_seconds=done.labour_seconds or 0,
            service_minor=done.cost_minor or 0,
            is_upkeep=True,
        )
        for done in find_all(connection, ServiceDone)
        if done.service_item_id in items
    ]


def _stops(
    connection: Connection, farm: Farm, components: dict[UUID, Component], repairs: dict[UUID, Repair]
) -> list[CostEvent]:
    stops = find_all(connection, Stoppage)
    counted = counted_seconds(farm, stops)
    events = []
    for stop in stops:
        if stop.reason not in COSTLY_STOPS:
            continue
        repair = repairs.get(stop.repair_id) if stop.repair_id else None
        component = components.get(repair.component_id) if repair and repair.component_id else None
        # by machine it is the cost of what broke: a header's knife stops the combine, and the header has caused it
        broke = component.machine_id if component else repair.machine_id if repair else stop.machine_id
        events.append(
            CostEvent(
                stop.started_at,
                broke,
                component.id if component else None,
                downtime_seconds=counted.get(stop.id, 0),
                is_upkeep=stop.reason is StopReason.SERVICE and repair is None,
                stood_id=stop.machine_id,
            )
        )
    return events


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
