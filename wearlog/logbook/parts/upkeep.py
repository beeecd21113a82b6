"""Entering upkeep: repairs and overhauls, wear measured, services and when each was done."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime, timedelta

from wearlog.errors import RefusedError
from wearlog.facts.closed_lists import RepairKind, StockChange, StopReason
from wearlog.facts.fact import Fact
from wearlog.facts.machines import (
    Machine,
    ServiceDone,
    ServiceItem,
    is_drive_belt,
    new_belt_services,
    starting_services,
)
from wearlog.facts.parts import Part, StockMove
from wearlog.facts.plain_text import folded
from wearlog.facts.positions import component_name
from wearlog.facts.wearing import Component, Measurement, Repair
from wearlog.facts.work import Stoppage
from wearlog.ids import new_id
from wearlog.logbook.deed_sentences import measured_sentence, place_of, read_off, service_sentence
from wearlog.logbook.names import KnownNames, known_names
from wearlog.logbook.said.measures import FarmSpeaker
from wearlog.logbook.saving import Done, save
from wearlog.store.finding import find_by_id
from wearlog.store.opening import Store


def log_repair(
    store: Store, repair: Repair, *, stood_seconds: int | None = None, parts: Sequence[tuple[Part, int]] = ()
) -> Done:
    """Enter a repair that is not the follow-up of one breakage: planned work, an overhaul, hired work.

    Parameters
    ----------
    stood_seconds : int, optional
        How long the machine stood for it: a stop of the repair, as breakdown or as service.
    parts : sequence of (Part, int)
        What came off the shelf for it, and how many: they cost there and not in the repair again.
    """
    new: list[Fact] = [repair]
    new += [
        StockMove(part_id=part.id, at=repair.started_at, change=StockChange.USED, quantity=count, repair_id=repair.id)
        for part, count in parts
    ]
    if stood_seconds:
        new.append(
            Stoppage(
                machine_id=repair.machine_id,
                started_at=repair.started_at,
                ended_at=repair.started_at + timedelta(seconds=stood_seconds),
                reason=StopReason.BREAKDOWN if repair.kind is RepairKind.BREAKDOWN else StopReason.SERVICE,
                repair_id=repair.id,
            )
        )
    also = tuple(f"{part.number}: {count} used" for part, count in parts)
    with store.writing() as connection:
        known = known_names(connection)
        machine = next(machine for machine in known.machines if machine.id == repair.machine_id)
        what = f": {repair.note}" if repair.note else ""
        when = FarmSpeaker(known.farm).time_said(repair.started_at)
        said = f"{repair.kind.value} repair on {machine.name}{what}, {when}"
        return save(store, connection, said, new=new, known=known, also=also)


def measure(store: Store, measurement: Measurement, *, read: str = "") -> Done:
    """Enter a wear measurement; `read` says what the tape showed, where that is not what is stored."""
    with store.writing() as connection:
        known = known_names(connection)
        component = find_by_id(connection, Component, measurement.component_id)
        kind = next(one for one in known.part_kinds if one.id == component.part_kind_id)
        speak, where = FarmSpeaker(known.farm), place_of(known, component, (measurement.position,))
        read = read or read_off(speak, kind, measurement.measured_micrometres)
        said = measured_sentence(speak, where, read, measurement.at)
        return save(store, connection, said, new=[measurement], known=known)


def add_service(store: Store, item: ServiceItem) -> Done:
    """Enter a service that comes round."""
    with store.writing() as connection:
        return save(store, connection, f"added the service {item.name}", new=[item], known=known_names(connection))


def add_usual_services(store: Store, machine: Machine) -> Done:
    """Enter the services that such a machine starts with; those whose name it has already stay as they are.

    Raises
    ------
    RefusedError
        When there are none for such a machine, or it has them all.
    """
    with store.writing() as connection:
        known = known_names(connection)
        usual = (*starting_services(machine), *_new_belts(known, machine))
        if not usual:
            raise RefusedError(f"No usual services are known for a {machine.kind.value}.", "Add its own, one by one.")
        there = {folded(one.name) for one in known.service_items if one.machine_id == machine.id}
        # its ids are its own: what was taken back once can be brought in again
        new = [replace(one, id=new_id()) for one in usual if folded(one.name) not in there]
        if not new:
            raise RefusedError(f"{machine.name} has the usual services already.")
        said = f"added {len(new)} usual services of {machine.name}"
        return save(store, connection, said, new=new, known=known)


def _new_belts(known: KnownNames, machine: Machine) -> list[ServiceItem]:
    """Return the looks at the drive belts of a machine after each was new."""
    kinds = {kind.id: kind for kind in known.part_kinds if is_drive_belt(kind.name)}
    belts = sorted(
        (one for one in known.components if one.machine_id == machine.id and one.part_kind_id in kinds),
        key=lambda one: one.place,
    )
    return [
        item
        for belt in belts
        for item in new_belt_services(
            machine.id,
            belt.id,
            component_name(belt.place, kinds[belt.part_kind_id].name),
            kinds[belt.part_kind_id].meter_kind,
        )
    ]


def halve_service(store: Store, item: ServiceItem, *, halved: bool) -> Done:
    """Let a service be due after half its interval on the meter (heavy dust), or after the whole again."""
    if item.halved is halved:
        raise RefusedError(f"{item.name} is {'halved' if halved else 'at its whole interval'} already.")
    if halved and item.interval_usage is None:
        raise RefusedError(f"{item.name} goes by the calendar alone: dust does not hasten it.")
    with store.writing() as connection:
        known = known_names(connection)
        machine = next(one.name for one in known.machines if one.id == item.machine_id)
        how = "after half its interval, in heavy dust" if halved else "after its whole interval again"
        changed = replace(find_by_id(connection, ServiceItem, item.id), halved=halved)
        return save(store, connection, f"{machine}, {item.name}: due {how}", changed=[changed], known=known)


def end_service(store: Store, item: ServiceItem, *, at: datetime) -> Done:
    """Let a service be due no more from `at` on; what was noted as done stays."""
    with store.writing() as connection:
        known = known_names(connection)
        machine = next(one.name for one in known.machines if one.id == item.machine_id)
        changed = replace(find_by_id(connection, ServiceItem, item.id), ended_at=at)
        return save(store, connection, f"ended the service {machine}, {item.name}", changed=[changed], known=known)


def do_service(store: Store, done: ServiceDone, parts: Sequence[tuple[Part, int]] = (), *, person: str = "") -> Done:
    """Enter that a service was done; `parts` come off the shelf for it, each with how many, and cost there and not again.

    `person` is who did it, where somebody says so; else who enters on this device.
    """
    used = [
        StockMove(part_id=part.id, at=done.at, change=StockChange.USED, quantity=count, service_done_id=done.id)
        for part, count in parts
    ]
    also = tuple(f"{part.number}: {count} used" for part, count in parts)
    with store.writing() as connection:
        item = find_by_id(connection, ServiceItem, done.service_item_id)
        known = known_names(connection)
        machine = next(one.name for one in known.machines if one.id == item.machine_id)
        said = service_sentence(FarmSpeaker(known.farm), machine, item, done)
        return save(store, connection, said, new=[done, *used], known=known, also=also, person=person)


def do_services(store: Store, items: Sequence[ServiceItem], at: datetime) -> Done:
    """Enter that several services were done at one time, as one entry: a round, ticked off.

    Raises
    ------
    RefusedError
        When there is none to enter.
    """
    if not items:
        raise RefusedError("Nothing is ticked.", "Say which are done.")
    if len(items) == 1:
        return do_service(store, ServiceDone(service_item_id=items[0].id, at=at))
    with store.writing() as connection:
        known = known_names(connection)
        names = {one.id: one.name for one in known.machines}
        of_each: dict[str, list[str]] = {}
        for item in items:
            of_each.setdefault(names[item.machine_id], []).append(item.name)
        also = tuple(f"{machine}: {'; '.join(done)}" for machine, done in of_each.items())
        said = f"{len(items)} services done on {', '.join(of_each)}, {FarmSpeaker(known.farm).time_said(at)}"
        new = [ServiceDone(service_item_id=item.id, at=at) for item in items]
        return save(store, connection, said, new=new, known=known, also=also)
