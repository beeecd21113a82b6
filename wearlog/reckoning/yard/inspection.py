"""What there is to look at on a machine before and after a season: every component in walking order, with what is known of it."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from enum import StrEnum, unique
from uuid import UUID

from wearlog.facts.closed_lists import Hazard, MachineKind
from wearlog.reckoning.farm.whole_farm import Farm
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
    view = machine_view(connection, farm, machine_id)
    lines = [
        InspectionLine(number, now, _lasts(ahead.get(now.component.id)))
        for number, now in enumerate(view.components, 1)
    ]
    besides = _BESIDES.get(view.machine.kind, {}).get(which, ())
    lines += [InspectionLine(number, None, None, one) for number, one in enumerate(besides, len(lines) + 1)]
    return MachineInspection(view, which, tuple(lines), _mark(view, which, lines))


def _lasts(ahead: ComponentOutlook | None) -> float | None:
    return None if ahead is None else ahead.worst


def _mark(view: MachineView, which: LookOver, lines: list[InspectionLine]) -> str:
    """A short name that the same machine has with the same lines in the same order, and no other sheet."""
    keys = [
        str(view.machine.id),
        which.value,
        *(str(one.now.component.id) if one.now else one.look_at for one in lines),
    ]
    return hashlib.sha256("|".join(keys).encode()).hexdigest()[:6].upper()
