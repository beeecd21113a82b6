"""What the yard screen answers: the machines as they stand, what is due, open, low and left, and the one thing to do next."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum, unique
from uuid import UUID

from wearlog.facts.bookkeeping import Setting
from wearlog.facts.closed_lists import MachineKind, MeterKind
from wearlog.facts.farm_settings import FarmSettings, farm_settings
from wearlog.facts.machines import Hitch, Machine, Meter, Reading
from wearlog.facts.work import Stoppage
from wearlog.reckoning.due import ServiceDue, Standing, pressing, services_due
from wearlog.reckoning.farm import Farm
from wearlog.reckoning.fault_list import FaultLine, fault_lines
from wearlog.reckoning.left_in_service import LeftInService, left_in_service
from wearlog.reckoning.progress import MachineShown, Progress, progress
from wearlog.reckoning.stock import Shelf, shelves
from wearlog.store.connection import Connection
from wearlog.store.finding import find_all, find_in_order


@unique
class Press(StrEnum):
    """What presses most, in this order."""

    NO_MACHINE = "no_machine"
    NO_COMPONENT = "no_component"
    STANDS = "stands"
    LEFT = "left"
    OVERDUE = "overdue"
    FAULT = "fault"
    LOW = "low"
    SOON = "soon"
    NOTHING = "nothing"


@dataclass(frozen=True, slots=True)
class MachineStanding:
    """A machine as it stands: its meters, what it is hitched to, and the stoppage that goes on, if any."""

    machine: Machine
    shown: MachineShown
    hitched_to: Machine | None
    stands: Stoppage | None


@dataclass(frozen=True, slots=True)
class YardView:
    """Everything on the yard; tuples are complete and the most pressing comes first in each."""

    as_of: datetime
    settings: FarmSettings
    machines: tuple[MachineStanding, ...]
    progress: Progress
    due: tuple[ServiceDue, ...]
    faults: tuple[FaultLine, ...]
    low: tuple[Shelf, ...]
    left: tuple[LeftInService, ...]
    press: Press


@dataclass(frozen=True, slots=True)
class YardGlance:
    """What the yard shows at once, before the usage of every machine has been read: last readings and low stock."""

    settings: FarmSettings
    machines: tuple[MachineStanding, ...]
    low: tuple[Shelf, ...]


def yard_glance(connection: Connection, now: datetime) -> YardGlance:
    """Answer the yard from the small tables alone: it takes as long on a farm of a million runs as on a new one."""
    machines = tuple(find_all(connection, Machine))
    shown = tuple(_last_readings(connection, machine) for machine in machines)
    return YardGlance(
        settings=farm_settings(find_all(connection, Setting)),
        machines=_machines(connection, machines, shown, now),
        low=tuple(shelf for shelf in shelves(connection) if shelf.is_low),
    )


def _last_readings(connection: Connection, machine: Machine) -> MachineShown:
    last: dict[MeterKind, float] = {}
    for meter in find_all(connection, Meter, machine_id=machine.id):
        for reading in find_in_order(connection, Reading, "at", latest_first=True, limit=1, meter_id=meter.id):
            last[meter.kind] = float(reading.shown_usage)
    return MachineShown(
        machine.id, last.get(MeterKind.ENGINE_HOURS), last.get(MeterKind.SEPARATOR_HOURS), math.nan, math.nan
    )


def yard_view(connection: Connection, farm: Farm) -> YardView:
    """Answer the yard screen."""
    done = progress(connection, farm)
    due = pressing(services_due(connection, farm))
    faults = tuple(line for line in fault_lines(connection, farm) if line.fault.closed_at is None)
    low = tuple(shelf for shelf in shelves(connection) if shelf.is_low)
    left = left_in_service(farm)
    machines = _machines(connection, farm.machines, done.machines, farm.now)
    return YardView(
        as_of=farm.now,
        settings=farm.settings,
        machines=machines,
        progress=done,
        due=due,
        faults=faults,
        low=low,
        left=left,
        press=_press(farm, machines, due=due, faults=faults, low=low, left=left),
    )


def _machines(
    connection: Connection, machines: Iterable[Machine], all_shown: Iterable[MachineShown], now: datetime
) -> tuple[MachineStanding, ...]:
    by_id = {machine.id: machine for machine in machines}
    partner: dict[UUID, UUID] = {}
    for hitch in find_all(connection, Hitch, to_at=None):
        if hitch.from_at <= now:
            partner[hitch.header_id], partner[hitch.combine_id] = hitch.combine_id, hitch.header_id
    standing = {stop.machine_id: stop for stop in find_all(connection, Stoppage, ended_at=None)}
    order = list(MachineKind)
    found = [
        MachineStanding(
            by_id[shown.machine_id],
            shown,
            by_id.get(partner.get(shown.machine_id, shown.machine_id)) if shown.machine_id in partner else None,
            standing.get(shown.machine_id),
        )
        for shown in all_shown
    ]
    return tuple(sorted(found, key=lambda one: (order.index(one.machine.kind), one.machine.name)))


def _press(
    farm: Farm,
    machines: tuple[MachineStanding, ...],
    *,
    due: tuple[ServiceDue, ...],
    faults: tuple[FaultLine, ...],
    low: tuple[Shelf, ...],
    left: tuple[LeftInService, ...],
) -> Press:
    asked = (
        (not machines, Press.NO_MACHINE),
        (not farm.components, Press.NO_COMPONENT),
        (any(one.stands for one in machines), Press.STANDS),
        (bool(left), Press.LEFT),
        (any(one.standing is Standing.OVERDUE for one in due), Press.OVERDUE),
        (bool(faults), Press.FAULT),
        (bool(low), Press.LOW),
        (bool(due), Press.SOON),
    )
    return next((press for holds, press in asked if holds), Press.NOTHING)
