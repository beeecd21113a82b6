"""Entering upkeep: repairs and overhauls, wear measured, services and when each was done."""

from __future__ import annotations

from wearlog.facts.service import ServiceDone, ServiceItem
from wearlog.facts.wearing import Component, Measurement, Repair
from wearlog.logbook.deed_sentences import measured_sentence, place_of, read_off, service_sentence
from wearlog.logbook.names import known_names
from wearlog.logbook.said.measures import farm_speaker
from wearlog.logbook.saving import Done, save
from wearlog.store.finding import find_by_id
from wearlog.store.opening import Store


def log_repair(store: Store, repair: Repair) -> Done:
    """Enter a repair that is not the follow-up of one breakage: planned work, an overhaul, hired work."""
    with store.writing() as connection:
        known = known_names(connection)
        machine = next(machine for machine in known.machines if machine.id == repair.machine_id)
        what = f": {repair.note}" if repair.note else ""
        when = farm_speaker(known).moment(repair.started_at)
        said = f"{repair.kind.value} repair on {machine.name}{what}, {when}"
        return save(store, connection, said, new=[repair], known=known)


def measure(store: Store, measurement: Measurement, *, read: str = "") -> Done:
    """Enter a wear measurement; `read` says what the tape showed, where that is not what is stored."""
    with store.writing() as connection:
        known = known_names(connection)
        component = find_by_id(connection, Component, measurement.component_id)
        kind = next(one for one in known.part_kinds if one.id == component.part_kind_id)
        speak, where = farm_speaker(known), place_of(known, component, (measurement.position,))
        read = read or read_off(speak, kind, measurement.measured_micrometres)
        said = measured_sentence(speak, where, read, measurement.at)
        return save(store, connection, said, new=[measurement], known=known)


def add_service(store: Store, item: ServiceItem) -> Done:
    """Enter a service that comes round."""
    with store.writing() as connection:
        return save(store, connection, f"added the service {item.name}", new=[item], known=known_names(connection))


def do_service(store: Store, done: ServiceDone) -> Done:
    """Enter that a service was done."""
    with store.writing() as connection:
        item = find_by_id(connection, ServiceItem, done.service_item_id)
        known = known_names(connection)
        machine = next(one.name for one in known.machines if one.id == item.machine_id)
        said = service_sentence(farm_speaker(known), machine, item, done)
        return save(store, connection, said, new=[done], known=known)
