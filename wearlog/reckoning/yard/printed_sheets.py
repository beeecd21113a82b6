"""The sheets that are printed for the clipboard as they are entered again: by their marks, line by line as on paper."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final
from uuid import UUID

from wearlog.errors import NotFoundError
from wearlog.facts.machines import ServiceItem
from wearlog.facts.parts import PartKind
from wearlog.facts.positions import component_name
from wearlog.facts.wearing import Component
from wearlog.facts.work import SeasonPlan, coming_season, next_harvest
from wearlog.reckoning.farm import Farm
from wearlog.reckoning.work.services_due import service_mark, service_numbers
from wearlog.reckoning.yard.inspection import LookOver, came_since, sheet_mark, walking_order
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
    """Return the sheet of a mark. NotFoundError where none has it today; an older one is known by what has come since."""
    clean = mark.strip().upper()
    sheets = printed_sheets(connection, farm)
    found = next((one for one in sheets if one.mark == clean), None)
    if found is None:
        raise _older(farm, clean) or NotFoundError(
            f"No sheet has the mark {mark}.",
            _near(sheets, clean)
            or "Its machine was changed since it was printed, or the mark is another: print it anew, or use 'wearlog measure'.",
        )
    return found


def _older(farm: Farm, mark: str) -> NotFoundError | None:
    kinds = {kind.id: kind.name for kind in farm.part_kinds}
    for machine in farm.machines:
        for which in LookOver:
            new = [component_name(one.place, kinds[one.part_kind_id]) for one in came_since(farm, machine, which, mark)]
            if new:
                return NotFoundError(
                    f"Sheet {mark} is an older one of {machine.name}: since then {' and '.join(new)} came to it.",
                    f"Print it anew: it is {sheet_mark(farm, machine, which)} now; or use 'wearlog measure'.",
                )
    return None


def _near(sheets: Sequence[PrintedSheet], mark: str) -> str:
    """Name the sheets whose mark is another in two letters at most: it was misread or mistyped."""
    near = [
        f"{one.mark} ({one.machine or 'the service round'})"
        for one in sheets
        if len(mark) == len(one.mark) and sum(a != b for a, b in zip(mark, one.mark, strict=True)) <= _MISREAD
    ]
    return f"Is it {' or '.join(near)}?" if near else ""


_MISREAD: Final = 2


def _harvest_year(connection: Connection, farm: Farm) -> int:
    today = farm.now.date()
    planned = frozenset(plan.season_id for plan in find_all(connection, SeasonPlan))
    season = coming_season(farm.entered_seasons, today, farm.last_cut, planned)
    return season.harvest_year if season is not None else next_harvest(today, farm.last_cut)
