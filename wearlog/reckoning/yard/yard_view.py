"""What the yard screen answers: the machines as they stand, what is due, open, low and left, and the one thing to do next."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum, unique
from typing import Final

from wearlog.facts.farm_settings import FarmSettings
from wearlog.facts.machines import Machine
from wearlog.progress import stretch
from wearlog.reckoning.costs.costs import CostTable, Split, cost_tables
from wearlog.reckoning.farm.whole_farm import Farm, farm_from
from wearlog.reckoning.faults.fault_list import FaultLine, fault_lines
from wearlog.reckoning.harvest.field_time import Progress, progress
from wearlog.reckoning.parts.fitted_now import LeftInService, left_in_service
from wearlog.reckoning.parts.stock import Shelf, shelves
from wearlog.reckoning.wear.wear_outlook import WearOutlook, wear_outlook
from wearlog.reckoning.work.services_due import DueStanding, ServiceDue, pressing, services_due
from wearlog.reckoning.yard.yard_glance import MachineStanding, Meters, machines_standing
from wearlog.store.connection import Connection
from wearlog.store.opening import Store

#: the shares of a brief's time at which the farm is read, its costs are told, and its wear
_READ: Final = 0.3
_COSTS: Final = 0.4
_WEAR: Final = 0.9


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


def yard_view(connection: Connection, farm: Farm) -> YardView:
    """Answer the yard screen."""
    done = progress(connection, farm)
    due = pressing(services_due(connection, farm))
    faults = tuple(line for line in fault_lines(connection, farm) if line.fault.closed_at is None)
    low = tuple(shelf for shelf in shelves(connection) if shelf.is_low)
    left = left_in_service(farm)
    machines = _standing(connection, farm, done)
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


def _standing(connection: Connection, farm: Farm, done: Progress) -> tuple[MachineStanding, ...]:
    shown = {
        one.machine_id: Meters(one.engine_seconds, one.separator_seconds, one.season_area) for one in done.machines
    }
    return machines_standing(connection, farm.machines, shown, farm.now)


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
        (any(one.standing is DueStanding.OVERDUE for one in due), Press.OVERDUE),
        (bool(faults), Press.FAULT),
        (bool(low), Press.LOW),
        (bool(due), Press.SOON),
    )
    return next((press for holds, press in asked if holds), Press.NOTHING)


@dataclass(frozen=True, slots=True)
class Brief:
    """Everything on the page; tuples are complete, the page shows the first few."""

    as_of: datetime
    settings: FarmSettings
    machines: tuple[Machine, ...]
    standing: tuple[MachineStanding, ...]
    left: tuple[LeftInService, ...]
    progress: Progress
    wear: WearOutlook
    shelves: tuple[Shelf, ...]
    faults: tuple[FaultLine, ...]
    services: tuple[ServiceDue, ...]
    cost_by_machine: CostTable
    cost_by_season: CostTable


def brief(store: Store, now: datetime) -> Brief:
    """Read the brief of a log at a moment."""
    with store.reading() as connection, stretch():
        with stretch(last=_READ):
            farm: Farm = farm_from(connection, now)
        done = progress(connection, farm)
        by_machine, by_season = cost_tables(connection, farm, (Split.MACHINE, Split.SEASON))
        with stretch(_COSTS, _WEAR):
            wear = wear_outlook(connection, farm)
        return Brief(
            as_of=now,
            settings=farm.settings,
            machines=farm.machines,
            standing=_standing(connection, farm, done),
            left=left_in_service(farm),
            progress=done,
            wear=wear,
            shelves=shelves(connection),
            faults=fault_lines(connection, farm),
            services=services_due(connection, farm),
            cost_by_machine=by_machine,
            cost_by_season=by_season,
        )
