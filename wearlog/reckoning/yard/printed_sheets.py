"""The sheets that are printed for the clipboard as they are entered again: by their marks, line by line as on paper."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from uuid import UUID

from wearlog.errors import NotFoundError
from wearlog.facts.machines import ServiceItem
from wearlog.facts.parts import PartKind
from wearlog.facts.wearing import Component
from wearlog.facts.work import SeasonPlan, coming_season, next_harvest
from wearlog.reckoning.farm.whole_farm import Farm
from wearlog.reckoning.work.services_due import service_mark, service_numbers
from wearlog.reckoning.yard.inspection import LookOver, sheet_mark, walking_order
from wearlog.store.connection import Connection
from wearlog.store.finding import find_all


@dataclass(frozen=True, slots=True)
class PrintedLine:
    """One line: a component with its kind, a service with its machine, or (both None) what else is looked over, by its key."""

    number: int
    place: Component | ServiceItem | None
    kind: PartKind | None = None
    machine: str = ""
    look_at: str = ""


@dataclass(frozen=True, slots=True)
class PrintedSheet:
    """A sheet by its mark; `round` None is the service round of all machines. Its plan is that of `harvest_year`."""

    mark: str
    machine: str
    round: LookOver | None
    lines: tuple[PrintedLine, ...]
    harvest_year: int

    @property
    def places(self) -> Mapping[int, Component | ServiceItem]:
        """What stands on each line that something can be saved for."""
        return {one.number: one.place for one in self.lines if one.place is not None}


def printed_sheets(connection: Connection, farm: Farm) -> list[PrintedSheet]:
    """Return every sheet that can be printed today: the inspections machine by machine, then the service round."""
    year = _harvest_year(connection, farm)
    kinds = {kind.id: kind for kind in farm.part_kinds}
    found = [
        PrintedSheet(
            sheet_mark(farm, machine, which),
            machine.name,
            which,
            tuple(
                PrintedLine(number, one, kinds[one.part_kind_id] if one is not None else None, machine.name, look_at)
                for number, (one, look_at) in enumerate(walking_order(farm, machine, which), 1)
            ),
            year,
        )
        for machine in farm.machines
        for which in LookOver
    ]
    rounds = _service_round(connection, farm, year)
    return [one for one in (*found, rounds) if one.places]


def _service_round(connection: Connection, farm: Farm, year: int) -> PrintedSheet:
    numbers = service_numbers(farm, find_all(connection, ServiceItem))
    names: Mapping[UUID, str] = {machine.id: machine.name for machine in farm.machines}
    lines = tuple(PrintedLine(number, one, machine=names.get(one.machine_id, "")) for number, one in numbers.items())
    return PrintedSheet(service_mark(numbers), "", None, lines, year)


def sheet_marked(connection: Connection, farm: Farm, mark: str) -> PrintedSheet:
    """Return the sheet of a mark. NotFoundError where none has it today."""
    found = next((one for one in printed_sheets(connection, farm) if one.mark == mark.strip().upper()), None)
    if found is None:
        raise NotFoundError(
            f"No sheet has the mark {mark}.",
            "Its machine was changed since it was printed, or the mark is another: print it anew, or use 'wearlog measure'.",
        )
    return found


def _harvest_year(connection: Connection, farm: Farm) -> int:
    today = farm.now.date()
    planned = frozenset(plan.season_id for plan in find_all(connection, SeasonPlan))
    season = coming_season(farm.entered_seasons, today, farm.last_cut, planned)
    return season.harvest_year if season is not None else next_harvest(today, farm.last_cut)
