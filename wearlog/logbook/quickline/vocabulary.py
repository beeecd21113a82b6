"""What a farm has that a line can name: machines, the parts that sit on them and what people call them. Reads nothing itself."""

from __future__ import annotations

from dataclasses import dataclass
from uuid import UUID

from wearlog.facts.closed_lists import MachineKind

#: a kind of part as the library knows it: its id, its name and what people call it
KindWords = tuple[UUID, str, tuple[str, ...]]


@dataclass(frozen=True, slots=True)
class KnownComponent:
    """A kind of part at a place on a machine; `words` are what people call the kind, besides its name `kind`."""

    id: UUID
    kind_id: UUID
    kind: str
    words: tuple[str, ...]
    place: str
    positions: int


@dataclass(frozen=True, slots=True)
class KnownMachine:
    """A machine with its components; `hitched_to` is the combine that a header is on now."""

    id: UUID
    name: str
    kind: MachineKind
    components: tuple[KnownComponent, ...]
    hitched_to: UUID | None = None


@dataclass(frozen=True, slots=True)
class Vocabulary:
    """Everything that a line can name.

    Attributes
    ----------
    machines : tuple of KnownMachine
        The machines of the farm, in the order in which a question lists them.
    kind_words : tuple of (kind id, name, words)
        Every kind that is known, also those that sit on no machine.
    current_machine_id : UUID or None
        The machine of the last entry or of the run that is going on. What is hitched to it counts as current too.
    """

    machines: tuple[KnownMachine, ...]
    kind_words: tuple[KindWords, ...] = ()
    current_machine_id: UUID | None = None

    def current_unit(self) -> tuple[KnownMachine, ...]:
        """Return the current machine with the combine or the headers that it is hitched to."""
        current = next((machine for machine in self.machines if machine.id == self.current_machine_id), None)
        if current is None:
            return ()
        return tuple(
            machine
            for machine in self.machines
            if machine.id in (current.id, current.hitched_to) or machine.hitched_to == current.id
        )

    def every_kind(self) -> dict[UUID, tuple[str, tuple[str, ...]]]:
        """Return name and words by kind id, of the library and of the components together."""
        kinds = {kind_id: (name, words) for kind_id, name, words in self.kind_words}
        for machine in self.machines:
            for component in machine.components:
                name, words = kinds.get(component.kind_id, (component.kind, ()))
                kinds[component.kind_id] = (name, tuple(dict.fromkeys((*words, *component.words))))
        return kinds


Pair = tuple[KnownMachine, KnownComponent]


def pairs_of_kinds(vocabulary: Vocabulary, kinds: frozenset[UUID]) -> list[Pair]:
    """Return every component of these kinds with its machine."""
    return [(one, part) for one in vocabulary.machines for part in one.components if part.kind_id in kinds]


def reach(vocabulary: Vocabulary, machines: frozenset[UUID]) -> frozenset[UUID]:
    """Return these machines and the headers that are hitched to them."""
    return machines | {machine.id for machine in vocabulary.machines if machine.hitched_to in machines}
