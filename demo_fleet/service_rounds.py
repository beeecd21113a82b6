"""Services of the demo fleet: which machines have which, and when each was done. A few are due when the story ends."""

from __future__ import annotations

from datetime import date, datetime
from typing import Final
from uuid import UUID

from wearlog.facts.closed_lists import MachineKind
from wearlog.facts.machines import Machine, ServiceDone, ServiceItem, starting_services

from .draws import Draws
from .farm_land import COMBINES, LAST_YEAR
from .machine_states import MachineState
from .records import Records, farm_time

#: what is done every day is not written down
_LEAST_HOURS: Final = 50
#: usual ones that this farm does by eye and keeps no book of
_NOT_KEPT: Final = ("brakes: try and look", "wheel bolts: tighten", "wash, dry, grease and store")
#: service -> hours of work and dollars of stuff; others take half an hour and nothing
_EFFORT: Final = {
    "engine oil and filter": (1.2, 310),
    "fuel filters": (0.8, 145),
    "hydraulic filter": (0.6, 120),
    "final drives and main gearbox oil": (2.5, 260),
    "coolant": (1.5, 190),
    "fire extinguishers: yearly check": (0.5, 48),
    "feed-draper roller bearings: replace": (3.0, 220),
    "header hydraulic oil, gearbox lubricant": (1.5, 140),
    "header hydraulic filter": (0.5, 74),
}
#: left undone in the last season: these are due when the story ends
_FORGOTTEN: Final = {
    ("Juniper", "engine oil and filter"),
    ("Alder", "fire extinguishers: yearly check"),
    ("Tamarack", "drum bearings, gearbox level, belt tension"),
    ("Merlin", "draper and idler rollers: grease"),
}


class ServiceRounds:
    """Keeps for every service the meter and the day when it was last done."""

    def __init__(self, records: Records, draws: Draws, states: dict[str, MachineState]) -> None:
        self._records = records
        self._draws = draws
        self._items: dict[str, tuple[ServiceItem, ...]] = {}
        self._last: dict[UUID, tuple[float, date]] = {}
        for name, state in states.items():
            kind = MachineKind.COMBINE if name in COMBINES else MachineKind.HEADER
            items = starting_services(Machine(id=state.id, name=name, kind=kind))
            self._items[name] = tuple(item for item in items if _is_written_down(item) and item.name not in _NOT_KEPT)
            for item in self._items[name]:
                records.add(item)

    def before_season(self, states: dict[str, MachineState], year: int, present: set[str]) -> None:
        """Do in March what comes round by the calendar; a machine that is new to the log gets everything once."""
        for name in sorted(present):
            day = date(year, 3, 15 + len(name))
            for item in self._items[name]:
                months = (year - self._last[item.id][1].year) * 12 if item.id in self._last else None
                if months is None or (item.interval_months is not None and months >= item.interval_months):
                    self._do(states[name], item, day, farm_time(day, 10))

    def after_day(self, combine: MachineState, header: MachineState, day: date) -> None:
        """Do next morning what has come due by the meter."""
        for state in (combine, header):
            for item in self._items[state.name]:
                if item.interval_usage is None or item.meter_kind is None:
                    continue
                since = state.used(item.meter_kind) - self._last[item.id][0]
                if since * 3600 >= item.interval_usage * self._draws.uniform(0.94, 1.06):
                    self._do(state, item, day, farm_time(day, 24 + 7.5))

    def _do(self, state: MachineState, item: ServiceItem, day: date, at: datetime) -> None:
        if day.year == LAST_YEAR and (state.name, item.name) in _FORGOTTEN:
            return
        hours, dollars = _EFFORT.get(item.name, (0.5, 0))
        used = state.used(item.meter_kind) if item.meter_kind else 0.0
        self._last[item.id] = (used, day)
        self._records.add(
            ServiceDone(
                id=self._records.next_id("service_done"),
                service_item_id=item.id,
                at=at,
                labour_seconds=round(hours * self._draws.uniform(0.8, 1.3) * 12) * 300,
                cost_minor=round(dollars * self._draws.uniform(0.93, 1.1)) * 100 if dollars else None,
            )
        )


def _is_written_down(item: ServiceItem) -> bool:
    return item.interval_usage is None or item.interval_usage >= _LEAST_HOURS * 3600
