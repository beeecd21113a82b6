"""Questions of the services: tonight's round, all of them as they come, and noting what was done, halved or ended."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING
from uuid import UUID

from wearlog.errors import NotFoundError
from wearlog.facts.farm_settings import FarmSettings
from wearlog.present.digits import Measures
from wearlog.present.words import saved_line

if TYPE_CHECKING:
    from wearlog.facts.bookkeeping import Person
    from wearlog.facts.machines import ServiceDone, ServiceItem
    from wearlog.facts.parts import Part
    from wearlog.reckoning.work.tonight import EveningRound
    from wearlog.tui.door import Door


@dataclass(frozen=True, slots=True)
class ServicesShown:
    """The round of tonight with all services behind it, and the names of the machines."""

    round: EveningRound
    names: dict[UUID, str]
    measures: Measures

    def item(self, item_id: UUID) -> ServiceItem | None:
        """Return a service; None once it is gone."""
        return next((one.item for one in self.round.services if one.item.id == item_id), None)


def services_shown(door: Door) -> ServicesShown:
    """Return the services as they come."""
    from wearlog.reckoning.work.tonight import tonight

    with door.log.reading() as connection:
        farm = door.farm(connection)
        found = tonight(connection, farm)
    return ServicesShown(found, {one.id: one.name for one in farm.machines}, Measures(farm.settings))


def services_done(door: Door, items: Collection[ServiceItem]) -> str:
    """Note services as done now, as one entry."""
    from wearlog.logbook.parts.upkeep import do_services

    return saved_line(do_services(door.log, list(items), door.now()))


@dataclass(frozen=True, slots=True)
class ServiceStart:
    """What the form of a service that was done starts from: its machine, the parts, who works here, who enters now."""

    machine: str
    parts: tuple[Part, ...]
    people: tuple[Person, ...]
    person: str
    settings: FarmSettings


def service_start(door: Door, item: ServiceItem) -> ServiceStart:
    """Return what noting a service with cost, parts and who did it starts from. NotFoundError when its machine is gone."""
    from wearlog.logbook.names import known_names

    with door.log.reading() as connection:
        known = known_names(connection)
    machine = next((one.name for one in known.machines if one.id == item.machine_id), None)
    if machine is None:
        raise NotFoundError("The machine of this service is not in the log any more.")
    return ServiceStart(machine, known.parts, known.people, door.log.person, known.farm)


def service_done(door: Door, done: ServiceDone, parts: Sequence[tuple[Part, int]], person: str) -> str:
    """Note one service as done, with what it took; the parts come off the shelf."""
    from wearlog.logbook.parts.upkeep import do_service

    return saved_line(do_service(door.log, done, parts, person=person))


def service_halved(door: Door, item: ServiceItem) -> str:
    """Let a service be due after half its interval, or after the whole again if that is how it is."""
    from wearlog.logbook.parts.upkeep import halve_service

    return saved_line(halve_service(door.log, item, halved=not item.halved))


def service_ended(door: Door, item: ServiceItem) -> str:
    """Let a service be due no more from now on."""
    from wearlog.logbook.parts.upkeep import end_service

    if item.ended_at is not None:
        raise NotFoundError(f"{item.name} comes no more already.")
    return saved_line(end_service(door.log, item, at=door.now()))
