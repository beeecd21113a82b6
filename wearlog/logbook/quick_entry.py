"""The quick line on a real log: the words of this farm for the grammar, and saving what was understood."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection
from uuid import UUID

from wearlog.errors import UsageError
from wearlog.facts.machines import Hitch, standing
from wearlog.facts.parts import PartKind
from wearlog.facts.wearing import Component
from wearlog.logbook.checks.doubts import NO_DOUBT_SETTLED
from wearlog.logbook.deed_sentences import place_of
from wearlog.logbook.name_book import KnownNames
from wearlog.logbook.names import known_names
from wearlog.logbook.parts.breaking import BreakageEntry, ask_before_logging, log_breakage
from wearlog.logbook.quickline import KnownComponent, KnownMachine, Understanding, Vocabulary, describe
from wearlog.logbook.said.measures import farm_speaker
from wearlog.logbook.saving import Done
from wearlog.store.finding import find_all, find_by_id, last_machine
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


def entry_of(understood: Understanding) -> BreakageEntry:
    """Return the entry that a complete understanding means. UsageError with its first problem when it is not complete."""
    if understood.problems or understood.component is None:
        problem = understood.problems[0]
        raise UsageError(problem.message, problem.hint)
    return BreakageEntry(
        component_id=understood.component.id,
        positions=understood.positions,
        at=understood.at,
        cause=understood.cause,
        mode=understood.mode,
        action=understood.action,
        downtime_seconds=understood.downtime_seconds,
        labour_seconds=understood.labour_seconds,
        note=understood.note,
    )


def save_understood(store: Store, understood: Understanding, sure: Collection[str] = NO_DOUBT_SETTLED) -> Done:
    """Save what a quick line was understood to say. DoubtError as `log_breakage`."""
    return log_breakage(store, entry_of(understood), sure=sure)


def read_back(store: Store, understood: Understanding) -> str:
    """Say a line back before it is saved, with what was taken for granted: a name and the clock are the farm's own."""
    entry = entry_of(understood)
    with store.reading() as connection:
        known = known_names(connection)
        component = find_by_id(connection, Component, entry.component_id)
    return describe(understood, farm_speaker(known).zone, place_of(known, component, entry.positions or (1,)))


def ask_before_saving(store: Store, understood: Understanding) -> None:
    """Raise DoubtError where saving this would ask first. Saves nothing."""
    ask_before_logging(store, entry_of(understood))
