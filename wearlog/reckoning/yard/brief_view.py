"""What the brief answers: the yard, with wear and costs beside it. It loads what they need; the yard does not wait for that."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Final

from wearlog.facts.farm_settings import FarmSettings
from wearlog.facts.machines import Machine
from wearlog.progress import stretch
from wearlog.reckoning.costs.costs import CostTable, Split, cost_tables
from wearlog.reckoning.farm import Farm, farm_from
from wearlog.reckoning.faults.fault_list import FaultLine, fault_lines
from wearlog.reckoning.harvest.field_time import Progress, progress
from wearlog.reckoning.parts.fitted_now import LeftInService, left_in_service
from wearlog.reckoning.parts.stock import Shelf, costed_moves, shelves
from wearlog.reckoning.wear.wear_outlook import WearOutlook, wear_outlook
from wearlog.reckoning.work.services_due import ServiceDue, services_due
from wearlog.reckoning.yard.standing import MachineStanding
from wearlog.reckoning.yard.yard_view import standing
from wearlog.store.opening import Store

#: the shares of a brief's time at which the farm is read, its costs are told, and its wear
_READ: Final = 0.3
_COSTS: Final = 0.4
_WEAR: Final = 0.9


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


def brief(store: Store, now: datetime, *, intervals: bool = True) -> Brief:
    """Read the brief of a log at a moment; without `intervals` the chances of parts stand without theirs."""
    with store.reading() as connection, stretch():
        with stretch(last=_READ):
            farm: Farm = farm_from(connection, now)
        done = progress(connection, farm)
        costed = costed_moves(connection)
        by_machine, by_season = cost_tables(connection, farm, (Split.MACHINE, Split.SEASON), costed=costed)
        shelved = shelves(connection, costed)
        # the moves of a hundred farms are not kept beside their lives, and what reads rows by themselves takes their room
        del costed
        services, faults, left = services_due(connection, farm), fault_lines(connection, farm), left_in_service(farm)
        with stretch(_COSTS, _WEAR):
            wear = wear_outlook(connection, farm, intervals=intervals)
        return Brief(
            as_of=now,
            settings=farm.settings,
            machines=farm.machines,
            standing=standing(connection, farm, done),
            left=left,
            progress=done,
            wear=wear,
            shelves=shelved,
            faults=faults,
            services=services,
            cost_by_machine=by_machine,
            cost_by_season=by_season,
        )
