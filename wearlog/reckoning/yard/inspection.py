"""What there is to look at on a machine before and after a season: every component in walking order, with what is known of it."""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum, unique
from itertools import combinations
from uuid import UUID

from wearlog.facts.closed_lists import Hazard, MachineKind, Subsystem
from wearlog.facts.machines import Machine
from wearlog.facts.wearing import Component
from wearlog.reckoning.farm import Farm
from wearlog.reckoning.wear.wear_outlook import ComponentOutlook, WearOutlook
from wearlog.reckoning.yard.machine_view import ComponentNow, MachineView, machine_view
from wearlog.store.connection import Connection


@unique
class LookOver(StrEnum):
    """When a machine is looked over."""

    BEFORE_SEASON = "before_season"
    AFTER_SEASON = "after_season"


@dataclass(frozen=True, slots=True)
class InspectionLine:
    """One line of the sheet, numbered from 1 in walking order.

    Attributes
    ----------
    number : int
    now : ComponentNow or None
        None for what belongs to no component.
    lasts : float or None
        The chance of the weakest single part to last the season ahead.
    look_at : str
        The key of what else is to be looked at where there is no component; else empty.
    """

    number: int
    now: ComponentNow | None
    lasts: float | None
    look_at: str = ""


@dataclass(frozen=True, slots=True)
class MachineInspection:
    """A machine's sheet; `mark` names its lines, so that what was written on paper is entered at the same ones."""

    view: MachineView
    round: LookOver
    lines: tuple[InspectionLine, ...]
    mark: str

    @property
    def hazards(self) -> tuple[Hazard, ...]:
        """The dangers of the work, each once, that under a header first."""
        found = dict.fromkeys(
            line.now.kind.hazard for line in self.lines if line.now is not None and line.now.kind.hazard
        )
        kinds = [one for one in found if one is not None]
        return tuple(sorted(kinds, key=list(Hazard).index))


#: what is looked over besides the components; what is said of each stands with the words
_BESIDES = {
    MachineKind.COMBINE: {
        LookOver.BEFORE_SEASON: ("guards", "extinguishers", "mice", "battery", "leaks", "tyres"),
        LookOver.AFTER_SEASON: ("cleaned", "leaks", "loosened", "battery_rest", "fuel"),
    },
    MachineKind.HEADER: {
        LookOver.BEFORE_SEASON: ("guards", "lock", "leaks", "plugs"),
        LookOver.AFTER_SEASON: ("cleaned", "loosened", "stands"),
    },
}


def inspection(
    connection: Connection, farm: Farm, outlook: WearOutlook, machine_id: UUID, which: LookOver
) -> MachineInspection:
    """Make the sheet of one machine. NotFoundError when there is no such machine any more."""
    ahead = {one.component_id: one for kind in outlook.kinds for one in kind.components}
    # lives rest on what the farm looks ahead to: those of another look are reckoned anew
    view = machine_view(connection, farm, machine_id, outlook if outlook.farm is farm else None)
    now = {one.component.id: one for one in view.components}
    lines = [
        InspectionLine(
            number, None if one is None else now[one.id], _lasts(ahead.get(one.id)) if one else None, look_at
        )
        for number, (one, look_at) in enumerate(walking_order(farm, view.machine, which), 1)
    ]
    return MachineInspection(view, which, tuple(lines), sheet_mark(farm, view.machine, which))


def walking_order(farm: Farm, machine: Machine, which: LookOver) -> list[tuple[Component | None, str]]:
    """Return what stands on the lines: the components from front to back, then what is looked over besides."""
    kinds = {kind.id: kind for kind in farm.part_kinds}
    subsystems = list(Subsystem)
    mine = sorted(
        (one for one in farm.components if one.machine_id == machine.id),
        key=lambda one: (subsystems.index(kinds[one.part_kind_id].subsystem), -one.positions, one.place, one.id),
    )
    besides = _BESIDES.get(machine.kind, {}).get(which, ())
    return [*((one, "") for one in mine), *((None, look_at) for look_at in besides)]


def sheet_mark(farm: Farm, machine: Machine, which: LookOver) -> str:
    """Return a short name that the same machine has with the same lines in the same order, and no other sheet."""
    return _mark(machine, which, walking_order(farm, machine, which))


def _mark(machine: Machine, which: LookOver, lines: Sequence[tuple[Component | None, str]]) -> str:
    keys = [str(machine.id), which.value, *(str(one.id) if one else key for one, key in lines)]
    return hashlib.sha256("|".join(keys).encode()).hexdigest()[:6].upper()


def came_since(farm: Farm, machine: Machine, which: LookOver, mark: str) -> tuple[Component, ...]:
    """Return the one component or two that a machine has got since a sheet with this mark was printed; empty where none fits."""
    lines = walking_order(farm, machine, which)
    mine = [one for one, _ in lines if one is not None]
    for many in (1, 2):
        for new in combinations(mine, many):
            if _mark(machine, which, [line for line in lines if line[0] not in new]) == mark:
                return new
    return ()


def _lasts(ahead: ComponentOutlook | None) -> float | None:
    return None if ahead is None else ahead.worst
