"""The state of the fleet on one page: what wears, what to buy, which faults are open, what is due, what an acre costs."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from wearlog.facts.farm_settings import FarmSettings
from wearlog.facts.machines import Machine
from wearlog.reckoning.costs import CostTable, Split, cost_table
from wearlog.reckoning.due import ServiceDue, services_due
from wearlog.reckoning.farm import Farm, farm_from
from wearlog.reckoning.fault_list import FaultLine, fault_lines
from wearlog.reckoning.progress import Progress, progress
from wearlog.reckoning.stock import Shelf, shelves
from wearlog.reckoning.wear_outlook import WearOutlook, wear_outlook
from wearlog.store.opening import Store


@dataclass(frozen=True, slots=True)
class Brief:
    """Everything on the page; tuples are complete, the page shows the first few."""

    as_of: datetime
    settings: FarmSettings
    machines: tuple[Machine, ...]
    progress: Progress
    wear: WearOutlook
    shelves: tuple[Shelf, ...]
    faults: tuple[FaultLine, ...]
    services: tuple[ServiceDue, ...]
    cost_by_machine: CostTable
    cost_by_season: CostTable


def brief(store: Store, now: datetime) -> Brief:
    """Read the brief of a log at a moment."""
    with store.reading() as connection:
        farm: Farm = farm_from(connection, now)
        return Brief(
            as_of=now,
            settings=farm.settings,
            machines=farm.machines,
            progress=progress(connection, farm),
            wear=wear_outlook(connection, farm),
            shelves=shelves(connection),
            faults=fault_lines(connection, farm),
            services=services_due(connection, farm),
            cost_by_machine=cost_table(connection, farm, Split.MACHINE),
            cost_by_season=cost_table(connection, farm, Split.SEASON),
        )
