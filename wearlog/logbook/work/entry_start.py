"""What the entry forms start from: machines with their last readings and runs, and names that can be given. Writes nothing."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from wearlog.facts.closed_lists import Hazard, MachineKind, MeterKind
from wearlog.facts.farm_settings import FarmSettings
from wearlog.facts.machines import Hitch, Machine, Meter, Reading, partners
from wearlog.facts.parts import Part, PartFit, PartKind
from wearlog.facts.wearing import Breakage, Component
from wearlog.facts.work import Crop, Field, Run, Stoppage
from wearlog.store.connection import Connection
from wearlog.store.finding import find_all, find_in_order, last_machine, settings_of
from wearlog.store.opening import Store


@dataclass(frozen=True, slots=True)
class LastReading:
    """What a meter showed last; both None when it was never read."""

    kind: MeterKind
    shown_usage: int | None
    at: datetime | None


@dataclass(frozen=True, slots=True)
class MachineStart:
    """A machine as the forms see it: `field` and `crop` are those of its last run, `stands` the stoppage that goes on."""

    machine: Machine
    meters: tuple[LastReading, ...]
    hitched_to: UUID | None
    field: str
    crop: str
    stands: Stoppage | None


@dataclass(frozen=True, slots=True)
class EntryStart:
    """Everything the forms of work start from; the machines in the order of the yard."""

    settings: FarmSettings
    machines: tuple[MachineStart, ...]
    fields: tuple[Field, ...]
    crops: tuple[Crop, ...]
    last_machine_id: UUID | None

    def of(self, machine_id: UUID | None) -> MachineStart | None:
        """Return a machine by its id."""
        return next((one for one in self.machines if one.machine.id == machine_id), None)

    def current(self, pointed: UUID | None, *kinds: MachineKind) -> MachineStart | None:
        """Return the machine that is meant: the one pointed at, else the one that worked last, else the first.

        Where its kind does not fit, what it is hitched to stands for it.
        """
        for machine_id in (pointed, self.last_machine_id):
            found = self.of(machine_id)
            for one in (found, self.of(found.hitched_to) if found else None):
                if one is not None and (not kinds or one.machine.kind in kinds):
                    return one
        return next((one for one in self.machines if not kinds or one.machine.kind in kinds), None)


def entry_start(store: Store) -> EntryStart:
    """Read it."""
    with store.reading() as connection:
        partner = partners(find_all(connection, Hitch))
        order = list(MachineKind)
        machines = sorted(find_all(connection, Machine), key=lambda one: (order.index(one.kind), one.name))
        fields, crops = tuple(find_all(connection, Field)), tuple(find_all(connection, Crop))
        standing = {stop.machine_id: stop for stop in find_all(connection, Stoppage, ended_at=None)}
        return EntryStart(
            settings=settings_of(connection),
            machines=tuple(
                MachineStart(
                    machine,
                    _last_readings(connection, machine),
                    partner.get(machine.id),
                    *_last_ground(connection, machine, fields, crops),
                    standing.get(machine.id),
                )
                for machine in machines
            ),
            fields=fields,
            crops=crops,
            last_machine_id=last_machine(connection),
        )


def _last_readings(connection: Connection, machine: Machine) -> tuple[LastReading, ...]:
    found = []
    for meter in find_all(connection, Meter, machine_id=machine.id):
        last = find_in_order(connection, Reading, "at", latest_first=True, limit=1, meter_id=meter.id)
        found.append(LastReading(meter.kind, *((last[0].shown_usage, last[0].at) if last else (None, None))))
    return tuple(found)


def _last_ground(
    connection: Connection, machine: Machine, fields: Sequence[Field], crops: Sequence[Crop]
) -> tuple[str, str]:
    if machine.kind is not MachineKind.COMBINE:
        return "", ""
    last = find_in_order(connection, Run, "started_at", latest_first=True, limit=1, combine_id=machine.id)
    if not last:
        return "", ""
    return (
        next((one.name for one in fields if one.id == last[0].field_id), ""),
        next((one.name for one in crops if one.id == last[0].crop_id), ""),
    )


@dataclass(frozen=True, slots=True)
class PartStart:
    """What the form of a part starts from: the kinds it can fit, and the part with its kinds when one is changed."""

    settings: FarmSettings
    kinds: tuple[PartKind, ...]
    part: Part | None
    fits: tuple[PartKind, ...]


def part_start(store: Store, part_id: UUID | None = None) -> PartStart:
    """Read it; without an id for a new part."""
    with store.reading() as connection:
        kinds = tuple(sorted(find_all(connection, PartKind), key=lambda kind: kind.name))
        fits = {fit.part_kind_id for fit in find_all(connection, PartFit, part_id=part_id)} if part_id else set()
        return PartStart(
            settings_of(connection),
            kinds,
            next(iter(find_all(connection, Part, id=part_id)), None) if part_id else None,
            tuple(kind for kind in kinds if kind.id in fits),
        )


@dataclass(frozen=True, slots=True)
class FitStart:
    """What a planned change of parts starts from: the component, its kind with the danger in it, and the machine."""

    settings: FarmSettings
    machine: Machine
    component: Component
    kind: PartKind


def fit_start(store: Store, component_id: UUID) -> FitStart | None:
    """Read it; None when the component is gone."""
    with store.reading() as connection:
        found = next(iter(find_all(connection, Component, id=component_id)), None)
        if found is None:
            return None
        return FitStart(
            settings_of(connection),
            find_all(connection, Machine, id=found.machine_id)[0],
            found,
            find_all(connection, PartKind, id=found.part_kind_id)[0],
        )


@dataclass(frozen=True, slots=True)
class BreakageStart:
    """`hazards` by part kind; the last breakage's component and its last position, None when nothing broke yet."""

    hazards: Mapping[UUID, Hazard]
    last_component_id: UUID | None
    last_position: int | None
    settings: FarmSettings


def breakage_start(store: Store) -> BreakageStart:
    """Read it."""
    with store.reading() as connection:
        hazards = {kind.id: kind.hazard for kind in find_all(connection, PartKind) if kind.hazard is not None}
        last = find_in_order(connection, Breakage, "at", latest_first=True, limit=1)
        settings = settings_of(connection)
    return BreakageStart(
        hazards=hazards,
        last_component_id=last[0].component_id if last else None,
        last_position=last[0].positions[-1] if last else None,
        settings=settings,
    )
