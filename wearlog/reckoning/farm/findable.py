"""Everything on the farm that has a name to look for: machines, components, parts, faults."""

from __future__ import annotations

from dataclasses import dataclass
from uuid import UUID

from wearlog.facts.closed_lists import MachineKind
from wearlog.facts.electrics import Fault
from wearlog.facts.machines import Machine
from wearlog.facts.parts import Part, PartKind
from wearlog.facts.positions import component_name, place_said
from wearlog.facts.wearing import Component
from wearlog.store.connection import Connection
from wearlog.store.finding import find_all


@dataclass(frozen=True, slots=True)
class NamedThing:
    """`what` is machine, component, part or fault; `machine_id` is the machine it belongs to, None for a part."""

    what: str
    name: str
    row_id: UUID
    machine_id: UUID | None


def named_things(connection: Connection) -> tuple[NamedThing, ...]:
    """Return them all, machines first."""
    machines = {machine.id: machine.name for machine in find_all(connection, Machine)}
    found = [NamedThing("machine", name, machine_id, machine_id) for machine_id, name in machines.items()]
    kinds = kind_names(connection)
    for one in find_all(connection, Component):
        name = component_name(one.place, kinds.get(one.part_kind_id, ""))
        found.append(
            NamedThing("component", place_said(machines.get(one.machine_id, ""), name), one.id, one.machine_id)
        )
    found += [NamedThing("part", f"{one.number} {one.name}", one.id, None) for one in find_all(connection, Part)]
    found += [
        NamedThing("fault", f"{machines.get(one.machine_id, '')}: {one.title}", one.id, one.machine_id)
        for one in find_all(connection, Fault)
    ]
    return tuple(found)


def named_machines(connection: Connection, kind: MachineKind) -> tuple[NamedThing, ...]:
    """Return the machines of a kind, by name."""
    found = sorted(find_all(connection, Machine, kind=kind), key=lambda machine: machine.name)
    return tuple(NamedThing(kind.value, machine.name, machine.id, machine.id) for machine in found)


def kind_names(connection: Connection) -> dict[UUID, str]:
    """Return what the kinds of part are called."""
    return {kind.id: kind.name for kind in find_all(connection, PartKind)}
