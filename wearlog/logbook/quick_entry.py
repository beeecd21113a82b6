"""The words of a farm for the quick line and the plain line: its machines with their parts, and what people call them."""

from __future__ import annotations

from collections import defaultdict
from uuid import UUID

from wearlog.facts.machines import Hitch, standing
from wearlog.facts.parts import PartKind
from wearlog.facts.wearing import Component
from wearlog.logbook.name_book import KnownNames
from wearlog.logbook.names import known_names
from wearlog.logbook.quickline import KnownComponent, KnownMachine, Vocabulary
from wearlog.store.finding import find_all, last_machine
from wearlog.store.opening import Store


def vocabulary(store: Store) -> Vocabulary:
    """Read what a quick line can name on this farm."""
    with store.reading() as connection:
        known = known_names(connection)
        hitched = {one.header_id: one.combine_id for one in standing(find_all(connection, Hitch))}
        current = last_machine(connection)
    return vocabulary_of(known, hitched, current)


def vocabulary_of(known: KnownNames, hitched: dict[UUID, UUID], current: UUID | None) -> Vocabulary:
    """Build the vocabulary from facts."""
    kinds = {kind.id: kind for kind in known.part_kinds}
    by_machine: dict[UUID, list[KnownComponent]] = defaultdict(list)
    for component in known.components:
        by_machine[component.machine_id].append(_known_component(component, kinds[component.part_kind_id]))
    return Vocabulary(
        machines=tuple(
            KnownMachine(machine.id, machine.name, machine.kind, tuple(by_machine[machine.id]), hitched.get(machine.id))
            for machine in known.machines
        ),
        kind_words=tuple((kind.id, kind.name, _words(kind)) for kind in known.part_kinds),
        current_machine_id=current,
    )


def _known_component(component: Component, kind: PartKind) -> KnownComponent:
    return KnownComponent(component.id, kind.id, kind.name, _words(kind), component.place, component.positions)


def _words(kind: PartKind) -> tuple[str, ...]:
    return kind.words
