"""Machines with their meters, which header hangs on which combine, and the services that come round on them.

What was cut with them is in work.py.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any, Final
from uuid import UUID

from wearlog.facts.closed_lists import Evidence, Hazard, MachineKind, MeterKind
from wearlog.facts.fact import Fact
from wearlog.ids import derived_id


@dataclass(frozen=True, slots=True, kw_only=True)
class ServiceItem(Fact):
    """A service of a machine, due after `interval_usage` on its meter or `interval_months`, whichever comes first.

    `first_usage` is the first interval where it is another; `times` how often in all (None: for good). With a component it counts
    from when that was new. `halved` halves the intervals (heavy dust); it is due no more from `ended_at` on.
    """

    machine_id: UUID
    name: str
    meter_kind: MeterKind | None = None
    interval_usage: int | None = None
    interval_months: int | None = None
    evidence: Evidence = Evidence.COMMON_PRACTICE
    hazard: Hazard | None = None
    component_id: UUID | None = None
    first_usage: int | None = None
    times: int | None = None
    halved: bool = False
    ended_at: datetime | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class ServiceDone(Fact):
    service_item_id: UUID
    at: datetime
    labour_seconds: int | None = None
    cost_minor: int | None = None
    note: str = ""
    person_id: UUID | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class ServiceStarter:
    """A service for every machine of a kind: after `interval_hours` on its meter or `interval_months`, whichever comes first."""

    machine_kind: MachineKind
    name: str
    meter_kind: MeterKind
    interval_hours: int | None = None
    interval_months: int | None = None
    evidence: Evidence
    hazard: Hazard | None = None
    first_hours: int | None = None


_COMBINE, _HEADER = MachineKind.COMBINE, MachineKind.HEADER

_ENGINE, _SEPARATOR = MeterKind.ENGINE_HOURS, MeterKind.SEPARATOR_HOURS

_READ, _MEMORY, _PRACTICE = Evidence.PUBLISHED, Evidence.FROM_MEMORY, Evidence.COMMON_PRACTICE


def _starter(
    machine: MachineKind,
    name: str,
    hours: int | None,
    months: int | None,
    evidence: Evidence,
    hazard: Hazard | None = None,
    *,
    meter: MeterKind = _ENGINE,
    first: int | None = None,
) -> ServiceStarter:
    return ServiceStarter(
        machine_kind=machine,
        name=name,
        meter_kind=meter,
        interval_hours=hours,
        interval_months=months,
        evidence=evidence,
        hazard=hazard,
        first_hours=first,
    )


#: the shortest interval first, combines before headers
SERVICE_STARTERS: Final[tuple[ServiceStarter, ...]] = (
    _starter(_COMBINE, "hoses and lines: look for leaks", 10, None, _READ, Hazard.HYDRAULIC),
    _starter(_COMBINE, "oil, coolant, blow off, chains", 10, None, _PRACTICE, Hazard.HOT_PART),
    _starter(_COMBINE, "engine bay, exhaust, brakes: blow off chaff (fire)", 10, None, _READ, Hazard.FIRE),
    _starter(_COMBINE, "water separator: drain", 10, None, _PRACTICE, Hazard.HOT_PART),
    _starter(_COMBINE, "stone trap: empty", 10, None, _PRACTICE, Hazard.UNPLUGGING),
    _starter(_COMBINE, "tires: look and press", 10, None, _READ, Hazard.TIRE),
    _starter(
        _COMBINE, "feeder, u-joints, rotor or walker bearings: grease", 50, None, _PRACTICE, Hazard.ROTATING_DRIVE
    ),
    # weekly: 50 h is a week of harvest
    _starter(_COMBINE, "brakes: try and look", 50, None, _READ, Hazard.LIFTING),
    _starter(_COMBINE, "wheel bolts: tighten", 50, None, _PRACTICE, Hazard.TIRE),
    _starter(_COMBINE, "drum bearings, gearbox level, belt tension", 100, 12, _READ, Hazard.ROTATING_DRIVE),
    # the first change of a new machine comes at 50-100 h: the earlier end is taken; newer engines go 400-500 h
    _starter(_COMBINE, "engine oil and filter", 250, 12, _MEMORY, Hazard.HOT_PART, first=50),
    _starter(_COMBINE, "fuel filters", 500, 12, _MEMORY, Hazard.HOT_PART),
    _starter(_COMBINE, "hydraulic filter", 500, None, _MEMORY, Hazard.HYDRAULIC),
    # the first change comes at 50 h; the range is 500-1,000 h and the earlier end is taken
    _starter(_COMBINE, "final drives and main gearbox oil", 500, None, _MEMORY, Hazard.HOT_PART, first=50),
    # the range is 2-3 years or 1,500-2,000 h
    _starter(_COMBINE, "coolant", 1500, 24, _MEMORY, Hazard.HOT_PART),
    _starter(_COMBINE, "fire extinguishers: yearly check", None, 12, _READ),
    _starter(_COMBINE, "wash, dry, grease and store", None, 12, _PRACTICE, Hazard.ROTATING_DRIVE),
    _starter(_HEADER, "knife head and drives: grease", 10, None, _PRACTICE, Hazard.KNIFE, meter=_SEPARATOR),
    _starter(_HEADER, "header hydraulic reservoir level", 25, None, _READ, Hazard.HYDRAULIC, meter=_SEPARATOR),
    _starter(_HEADER, "draper and idler rollers: grease", 50, None, _READ, Hazard.UNDER_HEADER, meter=_SEPARATOR),
    _starter(
        _HEADER, "draper bearings, gearbox level, belt tension", 100, 12, _READ, Hazard.ROTATING_DRIVE, meter=_SEPARATOR
    ),
    _starter(_HEADER, "header hydraulic filter", 250, None, _READ, Hazard.HYDRAULIC, meter=_SEPARATOR),
    _starter(_HEADER, "feed-draper roller bearings: replace", 500, 12, _READ, Hazard.UNDER_HEADER, meter=_SEPARATOR),
    _starter(_HEADER, "header hydraulic oil, gearbox lubricant", 1000, 36, _READ, Hazard.HYDRAULIC, meter=_SEPARATOR),
)


def starting_services(machine: Machine) -> tuple[ServiceItem, ...]:
    """Return the services that `machine` starts with, their ids derived from the machine's id and the name.

    Hours become seconds of the starter's meter. A kind of machine without starters gives none.
    """
    return tuple(_item(machine.id, starter) for starter in SERVICE_STARTERS if starter.machine_kind is machine.kind)


def _item(machine_id: UUID, starter: ServiceStarter) -> ServiceItem:
    hours = starter.interval_hours
    return ServiceItem(
        id=derived_id("service_item", str(machine_id), starter.name),
        machine_id=machine_id,
        name=starter.name,
        meter_kind=None if hours is None else starter.meter_kind,
        interval_usage=None if hours is None else hours * 3600,
        interval_months=starter.interval_months,
        evidence=starter.evidence,
        hazard=starter.hazard,
        first_usage=None if starter.first_hours is None else starter.first_hours * 3600,
    )


#: a new belt settles: its tension is looked at again after so many hours
NEW_BELT_HOURS: Final = (8, 24, 100)


def is_drive_belt(kind: str) -> bool:
    """Say whether a kind of part is a belt that drives: a draper carries crop and is tensioned by its own book."""
    return kind.casefold().endswith("belt") and "draper" not in kind.casefold()


def new_belt_services(machine_id: UUID, component_id: UUID, belt: str, meter: MeterKind) -> tuple[ServiceItem, ...]:
    """Return the looks at the tension of a drive belt after it was put on new, once each and again with the next new one."""
    return tuple(
        ServiceItem(
            machine_id=machine_id,
            name=f"{belt}: tension, {hours} h after new",
            meter_kind=meter,
            interval_usage=hours * 3600,
            evidence=Evidence.PUBLISHED,
            hazard=Hazard.ROTATING_DRIVE,
            component_id=component_id,
            times=1,
        )
        for hours in NEW_BELT_HOURS
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Machine(Fact):
    """A machine of the farm. `cut_width_micrometres` is for headers; `list_price_minor` is today's list price.

    Machines of the same `type_name` share their circuit diagrams.
    """

    name: str
    kind: MachineKind
    cut_width_micrometres: int | None = None
    model_year: int | None = None
    list_price_minor: int | None = None
    bought_on: date | None = None
    note: str = ""
    serial_number: str = ""
    engine_number: str = ""
    type_name: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Hitch(Fact):
    """A header on a combine during [from_at, to_at); still on while `to_at` is None."""

    header_id: UUID
    combine_id: UUID
    from_at: datetime
    to_at: datetime | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Meter(Fact):
    machine_id: UUID
    kind: MeterKind


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading(Fact):
    """What a meter showed. `shown_usage` is in seconds (hour meters) or square metres (area meter).

    `new_leg` says that this is the first reading of a meter that was replaced: it may be lower than the one before.
    """

    meter_id: UUID
    at: datetime
    shown_usage: int
    new_leg: bool = False
    note: str = ""


def ends_as_they_stand(
    header: Sequence[Any], combine: Sequence[Any], start: Sequence[Any], end: Sequence[Any]
) -> list[Any]:
    """Return when each hitch ended: at its own end, or when the next one of its header or on its combine began.

    Parameters
    ----------
    header, combine : sequence, length n
        What names a machine: ids or numbers, anything that has an order.
    start, end : sequence, length n
        Instants that can be compared, in any order of rows; an end is None (or later than all) while nobody entered one.

    Returns
    -------
    list, length n
        The end of each hitch; None where it has none yet. Of two that begin at one instant the one whose header and combine come
        first in their order is over at once.
    """
    found = list(end)
    next_of: dict[tuple[bool, Any], Any] = {}
    for row in sorted(range(len(found)), key=lambda one: (start[one], header[one], combine[one]), reverse=True):
        for machine in ((True, header[row]), (False, combine[row])):
            following = next_of.get(machine)
            if following is not None and (found[row] is None or following < found[row]):
                found[row] = following
            next_of[machine] = start[row]
    return found


def standing(hitches: Iterable[Hitch], at: datetime | None = None) -> list[Hitch]:
    """Return the hitches that hold at an instant; without one, those that hold after the last entry of all."""
    rows = list(hitches)
    ends = ends_as_they_stand(
        [one.header_id for one in rows],
        [one.combine_id for one in rows],
        [one.from_at for one in rows],
        [one.to_at for one in rows],
    )
    return [
        one
        for one, end in zip(rows, ends, strict=True)
        if (end is None if at is None else one.from_at <= at and (end is None or at < end))
    ]


def partners(hitches: Iterable[Hitch], at: datetime | None = None) -> dict[UUID, UUID]:
    """Return what hangs on what then, header to combine and combine to header; `at` as `standing` takes it."""
    found: dict[UUID, UUID] = {}
    for one in standing(hitches, at):
        found[one.header_id], found[one.combine_id] = one.combine_id, one.header_id
    return found
