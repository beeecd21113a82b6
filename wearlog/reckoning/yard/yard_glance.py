"""The yard at a glance: machines, what they are hitched to, their last readings. Small tables only, and no numpy on the way."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from wearlog.facts.closed_lists import MachineKind, MeterKind
from wearlog.facts.farm_settings import FarmSettings
from wearlog.facts.machines import Hitch, Machine, Meter, Reading, partners
from wearlog.facts.work import Stoppage
from wearlog.reckoning.yard.standing import MachineStanding, Meters
from wearlog.store.connection import Connection
from wearlog.store.finding import find_all, find_in_order, settings_of


@dataclass(frozen=True, slots=True)
class YardGlance:
    """What the yard shows at once, before the usage of every machine has been read."""

    settings: FarmSettings
    machines: tuple[MachineStanding, ...]


def yard_glance(connection: Connection, now: datetime) -> YardGlance:
    """Answer the yard from the small tables alone: it takes as long on a farm of a million runs as on a new one."""
    machines = tuple(find_all(connection, Machine))
    shown = {machine.id: _last_readings(connection, machine) for machine in machines}
    return YardGlance(
        settings=settings_of(connection),
        machines=machines_standing(connection, machines, shown, now),
    )


def _last_readings(connection: Connection, machine: Machine) -> Meters:
    last: dict[MeterKind, float] = {}
    for meter in find_all(connection, Meter, machine_id=machine.id):
        for reading in find_in_order(connection, Reading, "at", latest_first=True, limit=1, meter_id=meter.id):
            last[meter.kind] = float(reading.shown_usage)
    return Meters(last.get(MeterKind.ENGINE_HOURS), last.get(MeterKind.SEPARATOR_HOURS), None)


def machines_standing(
    connection: Connection, machines: Iterable[Machine], shown: Mapping[UUID, Meters], now: datetime
) -> tuple[MachineStanding, ...]:
    """Return the machines with their meters, partners and stoppages: combines first, then by name."""
    by_id = {machine.id: machine for machine in machines}
    partner = partners(find_all(connection, Hitch), now)
    standing = {stop.machine_id: stop for stop in find_all(connection, Stoppage, ended_at=None)}
    order = list(MachineKind)
    found = [
        MachineStanding(
            machine,
            shown[machine.id],
            by_id.get(partner[machine.id]) if machine.id in partner else None,
            standing.get(machine.id),
        )
        for machine in by_id.values()
    ]
    return tuple(sorted(found, key=lambda one: (order.index(one.machine.kind), one.machine.name)))
