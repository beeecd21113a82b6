"""Entering upkeep: repairs and overhauls, wear measured, services and when each was done."""

from __future__ import annotations

from wearlog.facts.service import ServiceDone, ServiceItem
from wearlog.facts.wearing import Component, Measurement, Repair
from wearlog.logbook.names import known_names, place_of
from wearlog.logbook.saving import Done, save
from wearlog.store.finding import find_by_id
from wearlog.store.opening import Store


def log_repair(store: Store, repair: Repair) -> Done:
    """Enter a repair that is not the follow-up of one breakage: planned work, an overhaul, hired work."""
    with store.writing() as connection:
        known = known_names(connection)
        machine = next(machine for machine in known.machines if machine.id == repair.machine_id)
        what = f": {repair.note}" if repair.note else ""
        return save(store, connection, f"{repair.kind.value} repair on {machine.name}{what}", new=[repair], known=known)


def measure(store: Store, measurement: Measurement) -> Done:
    """Enter a wear measurement."""
    with store.writing() as connection:
        known = known_names(connection)
        place = place_of(known, find_by_id(connection, Component, measurement.component_id))
        return save(store, connection, f"measured {place}", new=[measurement], known=known)


def add_service(store: Store, item: ServiceItem) -> Done:
    """Enter a service that comes round."""
    with store.writing() as connection:
        return save(store, connection, f"added the service {item.name}", new=[item], known=known_names(connection))


def do_service(store: Store, done: ServiceDone) -> Done:
    """Enter that a service was done."""
    with store.writing() as connection:
        item = find_by_id(connection, ServiceItem, done.service_item_id)
        return save(store, connection, f"service done: {item.name}", new=[done], known=known_names(connection))
