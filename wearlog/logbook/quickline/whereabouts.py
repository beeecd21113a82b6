"""Which component the line means: kind, machine and place narrow one another down, and what stays open becomes a question.

The order is fixed: machines by name, then places, then the current machine with what is hitched to it; only where a single
component is left does the line mean it. A combine that is named means its own part before the part of its header. A word that is
the whole of a word in a machine's name beats one that only begins so. The words of words.py are never taken for beginnings.
"""

from __future__ import annotations

from dataclasses import dataclass
from uuid import UUID

from wearlog.facts.closed_lists import Action
from wearlog.facts.positions import many_of
from wearlog.logbook.quickline.tokens import KindMention, MachineMention, Role, Scan, SenseMention, either, words_of
from wearlog.logbook.quickline.vocabulary import KnownComponent, KnownMachine, Pair, Vocabulary, pairs_of_kinds, reach
from wearlog.logbook.quickline.words import WORDS, Sense, known_words


@dataclass(slots=True, eq=False, repr=False)
class Whereabouts:
    """The component and its machine; `machine_assumed` when the line names no machine. `kind` is for sentences."""

    pair: Pair | None
    kind: str
    machine: KnownMachine | None
    machine_assumed: bool


def locate(scan: Scan, vocabulary: Vocabulary, places: list[int]) -> Whereabouts:
    """Return where it broke; blame what is missing or does not fit."""
    named = _only_named(scan, vocabulary)
    kinds = _kinds(scan, vocabulary)
    if not kinds:
        return Whereabouts(None, "", named, machine_assumed=not scan.machines)
    names = {kind: name for kind, (name, _) in vocabulary.every_kind().items()}
    kind_name = either(sorted(names[kind] for kind in kinds))
    pairs = pairs_of_kinds(vocabulary, kinds)
    at = scan.kinds[0].start
    if not pairs:
        message, hint = f"No machine has a part of the kind {kind_name}.", "Add it to a machine first."
        scan.blame("not_fitted", message, hint, at)
        return Whereabouts(None, kind_name, named, machine_assumed=not scan.machines)
    pairs = _on_machines(scan, vocabulary, pairs, kind_name)
    pairs = _at_places(scan, pairs, places)
    pairs = _on_current(scan, vocabulary, pairs)
    if len(pairs) > 1:
        _ask(scan, pairs, at)
    found = pairs[0] if len(pairs) == 1 else None
    machine = found[0] if found else named
    return Whereabouts(found, found[1].kind if found else kind_name, machine, machine_assumed=not scan.machines)


def _only_named(scan: Scan, vocabulary: Vocabulary) -> KnownMachine | None:
    """Return the one machine that every mention fits, if there is one."""
    if not scan.machines:
        return None
    common = frozenset.intersection(*(mention.machines for mention in scan.machines))
    fitting = [machine for machine in vocabulary.machines if machine.id in common]
    return fitting[0] if len(fitting) == 1 else None


def _kinds(scan: Scan, vocabulary: Vocabulary) -> frozenset[UUID]:
    """Return the kinds that all mentions agree on; blame none at all or two different ones."""
    if not scan.kinds:
        unit = [part.kind for machine in vocabulary.current_unit() for part in machine.components]
        choices = list(dict.fromkeys(unit))
        few = f"such as {either(choices[:3])}" if choices else "such as knife section or guard"
        scan.blame("no_part", "The line names no part.", f"Say what broke, {few}.", -1)
        return frozenset()
    common = frozenset.intersection(*(mention.kinds for mention in scan.kinds))
    if common:
        return common
    first = scan.kinds[0]
    other = next(mention for mention in scan.kinds if not mention.kinds & first.kinds)
    message = f"The line names two parts: '{_shown(scan, first)}' and '{_shown(scan, other)}'."
    scan.blame("two_parts", message, "Log each on a line of its own.", other.start)
    return frozenset()


def _shown(scan: Scan, mention: KindMention) -> str:
    return scan.shown(mention.start, mention.stop)


def _on_machines(scan: Scan, vocabulary: Vocabulary, pairs: list[Pair], kind_name: str) -> list[Pair]:
    """Keep what sits on the machines named, or on a header of the combine named; blame a machine without the part."""
    if not scan.machines:
        return pairs
    reached = [reach(vocabulary, mention.machines) for mention in scan.machines]
    fitting = [pair for pair in pairs if all(pair[0].id in machines for machines in reached)]
    if not fitting:
        named = [machine.name for machine in vocabulary.machines if machine.id in scan.machines[0].machines]
        common = frozenset.intersection(*reached)
        where = list(dict.fromkeys(machine.name for machine, _ in pairs))
        first = scan.machines[0]
        if common:
            together = [machine.name for machine in vocabulary.machines if machine.id in common]
            message, hint = (
                f"{either(together, 'and')} {_have(together)} no {kind_name}.",
                f"It is on {either(where[:6])}.",
            )
        elif len(scan.machines) > 1:
            message, hint = "The line names machines that do not belong together.", "Name the one it broke on."
            first = scan.machines[1]
        else:
            message, hint = f"{either(named)} has no {kind_name}.", f"It is on {either(where[:6])}."
        scan.blame("not_on_machine", message, hint, first.start)
        return []
    own = [pair for pair in fitting if all(pair[0].id in mention.machines for mention in scan.machines)]
    return own if own and _only_named(scan, vocabulary) is not None else fitting


def _have(names: list[str]) -> str:
    return "has" if len(names) == 1 else "have"


def _at_places(scan: Scan, pairs: list[Pair], places: list[int]) -> list[Pair]:
    """Keep what sits at the places named; blame a place where no such part is."""
    for index in places:
        word = scan.tokens[index].text
        there = [pair for pair in pairs if word in place_words(pair[1])]
        if pairs and not there:
            known = list(dict.fromkeys(part.place for _, part in pairs if part.place))
            message = f"No {pairs[0][1].kind} here is at '{scan.tokens[index].shown}'."
            hint = f"There is: {either(known[:6])}." if known else "Leave the place out."
            scan.blame("no_such_place", message, hint, index)
            return []
        pairs = there
    return pairs


def _on_current(scan: Scan, vocabulary: Vocabulary, pairs: list[Pair]) -> list[Pair]:
    """Where several machines are left, keep the current one if the line names none or only says "the header"."""
    machines = {machine.id for machine, _ in pairs}
    if len(machines) < 2 or any(not mention.generic for mention in scan.machines):
        return pairs
    current = {machine.id for machine in vocabulary.current_unit()}
    here = [pair for pair in pairs if pair[0].id in current]
    return here or pairs


def _ask(scan: Scan, pairs: list[Pair], at: int) -> None:
    """Ask for what is still open: the kind, the machine or the place."""
    machines = list(dict.fromkeys(machine.name for machine, _ in pairs))
    kinds = list(dict.fromkeys(part.kind for _, part in pairs))
    shown = _shown(scan, scan.kinds[0])
    if len(kinds) > 1:
        on = f" on {machines[0]}" if len(machines) == 1 else ""
        scan.blame("shared_word", f"'{shown}' can be {either(kinds[:8])}{on}.", "Write more of its name.", at)
    if len(machines) > 1:
        unsure = next((mention for mention in scan.machines if len(mention.machines) > 1), None)
        if unsure is not None:
            word = scan.shown(unsure.start, unsure.stop)
            message, hint = f"'{word}' can be {either(machines[:8])}.", "Write more of its name."
            scan.blame("ambiguous_machine", message, hint, unsure.start)
        elif len(kinds) == 1:
            # one name for all of them, so the sentence can say it
            message = f"Which machine? {many_of(kinds[0]).capitalize()} are on {either(machines[:8], 'and')}."
            scan.blame("which_machine", message, f"Add its name, like '{machines[0]}'.", at)
    elif len(kinds) == 1:
        places = [part.place or "no place named" for _, part in pairs]
        message = f"Which {kinds[0]} on {machines[0]}? There is {either(places[:8], 'and')}."
        scan.blame("which_place", message, "Add its place.", at)


#: one letter begins too many words
_SHORTEST_BEGINNING = 2


def place_words(component: KnownComponent) -> frozenset[str]:
    """Return the words of the component's place that mean something ("on the left side" gives left)."""
    return frozenset(words_of(component.place)) - frozenset(WORDS.small)


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
