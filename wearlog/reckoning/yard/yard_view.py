"""What the yard screen answers: the machines as they stand, what is due, open, low and left, and the one thing to do next."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum, unique

import numpy as np

from wearlog.facts.farm_settings import FarmSettings
from wearlog.facts.work import PlannedArea, SeasonPlan, coming_season
from wearlog.reckoning.farm import Farm
from wearlog.reckoning.faults.fault_list import FaultLine, fault_lines
from wearlog.reckoning.harvest.field_time import Progress, progress
from wearlog.reckoning.parts.fitted_now import LeftInService, fitting_ages, left_in_service
from wearlog.reckoning.parts.stock import Shelf, shelves
from wearlog.reckoning.work.services_due import DueStanding, ServiceDue, pressing, services_due
from wearlog.reckoning.yard.standing import MachineStanding, Meters
from wearlog.reckoning.yard.yard_glance import machines_standing
from wearlog.store.connection import Connection
from wearlog.store.finding import find_all


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
    NO_ACRES = "no_acres"
    NO_AGES = "no_ages"
    NO_PARTS = "no_parts"
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
    #: components of whose parts nobody knows the age
    ageless: int
    press: Press


def yard_view(connection: Connection, farm: Farm) -> YardView:
    """Answer the yard screen."""
    done = progress(connection, farm)
    due = pressing(services_due(connection, farm))
    faults = tuple(line for line in fault_lines(connection, farm) if line.fault.closed_at is None)
    shelved = shelves(connection)
    low = tuple(shelf for shelf in shelved if shelf.is_low)
    left = left_in_service(farm)
    machines = standing(connection, farm, done)
    press, ageless = _press(farm, machines, due=due, faults=faults, low=low, left=left), 0
    if press is Press.NOTHING:
        press, ageless = _wanting(connection, farm, shelved)
    return YardView(
        as_of=farm.now,
        settings=farm.settings,
        machines=machines,
        progress=done,
        due=due,
        faults=faults,
        low=low,
        left=left,
        ageless=ageless,
        press=press,
    )


def standing(connection: Connection, farm: Farm, done: Progress) -> tuple[MachineStanding, ...]:
    """Return the machines with what their meters show now, as the harvest's progress has reckoned it."""
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


def _wanting(connection: Connection, farm: Farm, shelved: Sequence[Shelf]) -> tuple[Press, int]:
    """Where nothing presses: what the log lacks that would bring most, and of how many components the ages."""
    if not _is_planned(connection, farm):
        return Press.NO_ACRES, 0
    ageless = _ageless(farm)
    if ageless:
        return Press.NO_AGES, ageless
    return (Press.NOTHING if shelved else Press.NO_PARTS), 0


def _ageless(farm: Farm) -> int:
    """How many components have parts on, of none of which the age is known."""
    ages, component = fitting_ages(farm.histories, farm.lines, farm.now_microseconds), farm.histories.fittings.component
    known = ~np.isnan(ages.exit)
    return len(set(component[ages.on].tolist()) - set(component[ages.on & known].tolist()))


def _is_planned(connection: Connection, farm: Farm) -> bool:
    """Whether anything is planned to be cut in the season that a plan would be for."""
    plans = {plan.season_id: plan for plan in find_all(connection, SeasonPlan)}
    season = coming_season(farm.entered_seasons, farm.now.date(), farm.last_cut, plans)
    plan = plans.get(season.id) if season is not None else None
    return plan is not None and bool(find_all(connection, PlannedArea, season_plan_id=plan.id))
