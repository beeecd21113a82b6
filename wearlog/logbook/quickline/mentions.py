"""The words that are left over after phrases, times and durations: places of a part ("left") and machines by any beginning ("nor").

A word that is the whole of a word in a machine's name beats one that only begins so. The words of words.py are never taken
for beginnings.
"""

from __future__ import annotations

from uuid import UUID

from wearlog.facts.closed_lists import Action
from wearlog.logbook.quickline.scan import MachineMention, Role, Scan, SenseMention
from wearlog.logbook.quickline.tokens import words_of
from wearlog.logbook.quickline.vocabulary import KnownComponent, KnownMachine, Vocabulary
from wearlog.logbook.quickline.word_lists import Sense
from wearlog.logbook.quickline.words import WORDS, known_words

#: one letter begins too many words
_SHORTEST_BEGINNING = 2

Pair = tuple[KnownMachine, KnownComponent]


def place_words(component: KnownComponent) -> frozenset[str]:
    """Return the words of the component's place that mean something ("on the left side" gives left)."""
    return frozenset(words_of(component.place)) - frozenset(WORDS.small)


def pairs_of_kinds(vocabulary: Vocabulary, kinds: frozenset[UUID]) -> list[Pair]:
    """Return every component of these kinds with its machine."""
    return [(one, part) for one in vocabulary.machines for part in one.components if part.kind_id in kinds]


def reach(vocabulary: Vocabulary, machines: frozenset[UUID]) -> frozenset[UUID]:
    """Return these machines and the headers that are hitched to them."""
    return machines | {machine.id for machine in vocabulary.machines if machine.hitched_to in machines}


def kinds_said(scan: Scan) -> frozenset[UUID]:
    """Return every kind that the line may mean."""
    return frozenset(kind for mention in scan.kinds for kind in mention.kinds)


def find_places_and_machines(scan: Scan, vocabulary: Vocabulary) -> list[int]:
    """Claim places and machines among the words left over; return the tokens that say a place."""
    pairs = pairs_of_kinds(vocabulary, kinds_said(scan))
    near = frozenset(word for _, component in pairs for word in place_words(component))
    far = frozenset(
        word for machine in vocabulary.machines for part in machine.components for word in place_words(part)
    )
    protected = known_words()
    places: list[int] = []
    for index, token in enumerate(scan.tokens):
        word = scan.word(index)
        if not word or word == "left" or not token.is_word or word in _never_a_name():
            continue
        whole = _machines_with_word(vocabulary, word)
        if word in near or (word in far and not whole and word not in protected):
            places.append(index)
            scan.claim(index, index + 1, Role.PLACE)
            continue
        begun = frozenset[UUID]() if word in protected else _machines_beginning(vocabulary, word)
        if whole or begun:
            generic = word in (machine.kind.value for machine in vocabulary.machines)
            scan.machines.append(MachineMention(index, index + 1, whole or begun, generic))
            scan.claim(index, index + 1, Role.MACHINE)
    places.extend(_settle_left(scan, vocabulary, pairs))
    return sorted(places)


def _never_a_name() -> frozenset[str]:
    """Return the words that build sentences, whatever a machine is called."""
    numbers = (word for word, _ in WORDS.numbers)
    return frozenset((*WORDS.small, *WORDS.position_markers, *WORDS.span, *WORDS.everything, *WORDS.both, *numbers))


def _machines_with_word(vocabulary: Vocabulary, word: str) -> frozenset[UUID]:
    """Return the machines with this whole word in their name, or of the kind with this name ("header")."""
    machines = vocabulary.machines
    return frozenset(machine.id for machine in machines if word in (*words_of(machine.name), machine.kind.value))


def _machines_beginning(vocabulary: Vocabulary, word: str) -> frozenset[UUID]:
    """Return the machines with a word of their name, or their kind, that begins so."""
    if len(word) < _SHORTEST_BEGINNING:
        return frozenset()
    return frozenset(
        machine.id
        for machine in vocabulary.machines
        if any(one.startswith(word) for one in (*words_of(machine.name), machine.kind.value))
    )


def _settle_left(scan: Scan, vocabulary: Vocabulary, pairs: list[Pair]) -> list[int]:
    """Settle each lone "left": a side where the part has one (or before "side" and "hand"), else it was left in service."""
    named = [reach(vocabulary, mention.machines) for mention in scan.machines]
    here = [pair for pair in pairs if all(pair[0].id in machines for machines in named)]
    current = {machine.id for machine in vocabulary.current_unit()}
    if not named and any(machine.id in current for machine, _ in here):
        here = [pair for pair in here if pair[0].id in current]
    has_left = any("left" in place_words(component) for _, component in here)
    sides: list[int] = []
    for index in range(len(scan.tokens)):
        if scan.word(index) != "left":
            continue
        if has_left or scan.word(index + 1) in ("side", "hand"):
            sides.append(index)
            scan.claim(index, index + 1, Role.PLACE)
        else:
            scan.senses.append(SenseMention(index, index + 1, Sense(action=Action.LEFT)))
            scan.claim(index, index + 1, Role.SENSE)
    return sides
