"""The services of the farm as the lines of a sheet: numbers that stay the same whatever was done since it was printed."""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from dataclasses import dataclass

from wearlog.facts.service import ServiceItem
from wearlog.reckoning.farm.whole_farm import Farm
from wearlog.reckoning.work.services_due import DueStanding, ServiceDue, services_due
from wearlog.store.connection import Connection


@dataclass(frozen=True, slots=True)
class ServiceLine:
    """One service of the round: its number on the sheet and the name of its machine."""

    number: int
    machine: str
    due: ServiceDue


def round_lines(connection: Connection, farm: Farm) -> tuple[tuple[ServiceLine, ...], str]:
    """Return the services that are overdue, soon due or never noted, by number, and the mark of the sheet."""
    due = {one.item.id: one for one in services_due(connection, farm)}
    numbers = service_numbers(farm, [one.item for one in due.values()])
    names = {machine.id: machine.name for machine in farm.machines}
    lines = tuple(
        ServiceLine(number, names.get(item.machine_id, ""), due[item.id])
        for number, item in numbers.items()
        if due[item.id].standing is not DueStanding.LATER
    )
    return lines, service_mark(numbers)


def service_numbers(farm: Farm, items: Sequence[ServiceItem]) -> dict[int, ServiceItem]:
    """Return every service under its number: machine by machine, then by name."""
    names = {machine.id: machine.name.casefold() for machine in farm.machines}
    order = sorted(items, key=lambda one: (names.get(one.machine_id, ""), one.name.casefold(), one.id))
    return dict(enumerate(order, 1))


def service_mark(numbers: dict[int, ServiceItem]) -> str:
    """Return a short name that the same services have in the same order."""
    return hashlib.sha256("|".join(str(one.id) for one in numbers.values()).encode()).hexdigest()[:6].upper()
