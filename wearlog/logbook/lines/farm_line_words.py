"""The words of one farm for the plain line, read from its log: machines and parts, land, services, meters and the parts list."""

from __future__ import annotations

from collections import defaultdict
from uuid import UUID

from wearlog.facts.farm_settings import farm_settings
from wearlog.facts.machines import Hitch, Reading, standing
from wearlog.facts.parts import PartFit
from wearlog.logbook.name_book import KnownNames
from wearlog.logbook.names import known_names
from wearlog.logbook.plain_line import FarmWords, KnownMeter, KnownPart, KnownService
from wearlog.logbook.plain_line.farm_words import Shown
from wearlog.logbook.quick_entry import vocabulary_of
from wearlog.store.connection import Connection
from wearlog.store.finding import find_all, find_in_order, last_machine
from wearlog.store.opening import Store


def farm_words(store: Store) -> FarmWords:
    """Read what a plain line can name on this farm."""
    with store.reading() as connection:
        known = known_names(connection)
        hitched = {one.header_id: one.combine_id for one in standing(find_all(connection, Hitch))}
        settings = farm_settings(known.settings)
        return FarmWords(
            vocabulary=vocabulary_of(known, hitched, last_machine(connection)),
            fields=tuple((one.id, one.name) for one in known.fields),
            crops=tuple((one.id, one.name) for one in known.crops),
            services=tuple(
                KnownService(one.id, one.machine_id, one.name) for one in known.service_items if one.ended_at is None
            ),
            meters=tuple(KnownMeter(one.id, one.machine_id, one.kind) for one in known.meters),
            readings=lambda meter_id: _readings(store, meter_id),
            parts=_parts(connection, known),
            subsystems={kind.id: kind.subsystem for kind in known.part_kinds},
            is_metric=settings.is_metric,
        )


def _readings(store: Store, meter_id: UUID) -> tuple[Shown, ...]:
    with store.reading() as connection:
        return tuple((one.at, one.shown_usage) for one in find_in_order(connection, Reading, "at", meter_id=meter_id))


def _parts(connection: Connection, known: KnownNames) -> tuple[KnownPart, ...]:
    kinds: dict[UUID, set[UUID]] = defaultdict(set)
    for fit in find_all(connection, PartFit):
        kinds[fit.part_id].add(fit.part_kind_id)
    return tuple(
        KnownPart(part.id, part.number, part.name, part.pack_size, frozenset(kinds[part.id])) for part in known.parts
    )
