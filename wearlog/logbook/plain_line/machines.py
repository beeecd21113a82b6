"""Which machine each part of a line sits on: by name, by being the only one that has it, or the one at work now."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final
from uuid import UUID

from wearlog.facts.positions import many_of
from wearlog.logbook.plain_line.groups import Group
from wearlog.logbook.plain_line.line import SMALL, Line, PhraseMark, Tag
from wearlog.logbook.plain_line.phrases import Phrase
from wearlog.logbook.plain_line.spoken import ordinary_words
from wearlog.logbook.quickline.tokens import Role, either, words_of
from wearlog.logbook.quickline.vocabulary import KnownMachine, Pair, pairs_of_kinds, reach

#: machines that a farm may speak of and this log may not have
_OTHERS: Final = frozenset(
    {
        *(
            "swather",
            "windrower",
            "mower",
            "baler",
            "sprayer",
            "seeder",
            "drill",
            "airseeder",
            "tractor",
            "truck",
            "cart",
            "wagon",
        ),
        *(
            "trailer",
            "loader",
            "pickup",
            "skidsteer",
            "auger wagon",
            "cultivator",
            "planter",
            "haybine",
            "rake",
            "quad",
            "bobcat",
        ),
    }
)
#: small words of a place that tell no two apart
_NO_PLACE: Final = frozenset({"the", "of", "on", "at", "side", "and", "in", "end"})
#: they tell two machines apart, and no name in the log says how
_APART: Final = frozenset(
    {"old", "older", "new", "newer", "other", "big", "small", "bigger", "smaller", "second", "spare", "rented"}
)
_SHORTEST_BEGINNING: Final = 2


@dataclass(slots=True, eq=False)
class Where:
    """The component that is meant; `assumed` when the line does not name its machine."""

    pair: Pair
    assumed: bool = False


def find_machines(line: Line) -> None:
    """Claim the beginnings of machines' names among the words that nothing has claimed."""
    for index, token in enumerate(line.tokens):
        word = line.scan.word(index)
        if (
            not token.is_word
            or len(word) < _SHORTEST_BEGINNING
            or word in SMALL
            or (word in ordinary_words() and not _before_part(line, index))
            or word in line.phrases.words
        ):
            continue
        begun = {
            machine.id
            for machine in line.farm.vocabulary.machines
            if any(name.startswith(word) for name in words_of(machine.name))
        }
        if begun:
            mark = PhraseMark(index, index + 1, Tag.MACHINE, Phrase(machines=begun))
            line.marks.append(mark)
            line.marks.sort(key=lambda one: one.start)
            line.scan.claim(index, index + 1, Role.MACHINE)


def _before_part(line: Line, index: int) -> bool:
    """Say whether a part is named right behind a word, where a machine's name would stand."""
    return index + 1 < len(line.tokens) and line.scan.roles[index + 1] is Role.KIND


def said_machines(line: Line) -> list[PhraseMark]:
    """Return the marks that name one machine; "header" and "combine" alone name none."""
    return [mark for mark in line.of(Tag.MACHINE) if not mark.phrase.generic or len(mark.phrase.machines) == 1]


def machine_by_id(line: Line, machine_id: UUID) -> KnownMachine:
    """Return a machine of the farm."""
    return next(machine for machine in line.farm.vocabulary.machines if machine.id == machine_id)


def every_machine(line: Line) -> list[KnownMachine]:
    """Return the machines of "all three combines", "both headers"; none where the line does not say so. Claims the words."""
    for mark in line.of(Tag.MACHINE):
        if not mark.phrase.generic or not line.text(mark.stop - 1).endswith("s"):
            continue
        at = mark.start - 1
        while line.scan.digits(at) is not None or line.scan.word(at) in ("the", "our", "of", "my"):
            at -= 1
        if line.text(at) in ("all", "every", "both", "each") and line.scan.roles[at] is None:
            many = [machine for machine in line.farm.vocabulary.machines if machine.id in mark.phrase.machines]
            _ask_how_many(line, at, mark, len(many))
            line.scan.claim(at, mark.start, Role.MACHINE)
            return many
    return []


def _ask_how_many(line: Line, at: int, mark: PhraseMark, here: int) -> None:
    """Ask which machines "both combines" or "all 3 headers" are where the farm has another number of them."""
    figures = [line.scan.digits(index) for index in range(at, mark.start) if line.scan.digits(index) is not None]
    said = figures[0] if figures else 2 if line.text(at) == "both" else here
    if said != here:
        shown = line.scan.shown(at, mark.stop)
        line.ask(f"You wrote '{shown}', but there are {here} of them here.", "Name the machines that you mean.")


def other_machine(line: Line) -> str:
    """Return a machine that is named and that this farm has not; empty when there is none."""
    known = {
        word for machine in line.farm.vocabulary.machines for word in (*words_of(machine.name), machine.kind.value)
    }
    return next((token.shown for token in line.tokens if token.text in _OTHERS and token.text not in known), "")


def machines_of(line: Line, group: Group, groups: list[Group]) -> frozenset[UUID]:
    """Return the machines that are named for a part: in its stretch, else before it, else anywhere in its sentence."""
    named = said_machines(line)
    own = [mark for mark in named if group.start <= mark.start < group.stop]
    if not own:
        before = [mark for mark in named if mark.start < group.start]
        after = [mark for mark in named if mark.start >= group.stop]
        own = before[-1:] or after[:1]
    if len(own) > 1 and len(groups) == 1:
        found = [machine_by_id(line, next(iter(mark.phrase.machines))) for mark in own]
        ids = frozenset(machine.id for machine in found)
        together = [one for one in found if one.hitched_to in ids]
        return frozenset(one.id for one in together) or ids
    return frozenset(one for mark in own for one in mark.phrase.machines)


def locate(line: Line, group: Group, groups: list[Group]) -> Where | None:
    """Return the component that a part of the line means; asks and returns None where that is open."""
    vocabulary = line.farm.vocabulary
    shown = line.scan.shown(group.mark.start, group.mark.stop)
    machines = machines_of(line, group, groups)
    pairs = pairs_of_kinds(vocabulary, group.mark.kinds)
    if not pairs:
        kinds = either(sorted(line.phrases.names[kind] for kind in group.mark.kinds)[:4])
        line.ask(f"No machine has a part of the kind {kinds}.", "Add it to a machine first: wearlog add component.")
        return None
    if machines:
        return _on_named(line, group, groups, pairs, machines, shown)
    strange = other_machine(line)
    if strange:
        line.ask(
            f"'{strange}' is no machine of this farm.",
            f"There is {either([one.name for one in vocabulary.machines], 'and')}.",
        )
        return None
    return _unnamed(line, group, groups, pairs, shown)


def _on_named(
    line: Line, group: Group, groups: list[Group], pairs: list[Pair], machines: frozenset[UUID], shown: str
) -> Where | None:
    vocabulary = line.farm.vocabulary
    own = [pair for pair in pairs if pair[0].id in machines]
    assumed = False
    apart = _apart(line, own, machines)
    if apart:
        line.ask(f"{apart} do not belong together.", "Name the one that it broke on.")
        return None
    if not own:
        own = [pair for pair in pairs if pair[0].id in reach(vocabulary, machines)]
        assumed = bool(own)
    if not own:
        who = either([machine_by_id(line, one).name for one in machines], "and")
        where = list(dict.fromkeys(pair[0].name for pair in pairs))
        line.ask(f"{who} has no {shown}.", f"It is on {either(where[:6])}.")
        return None
    return _one(line, group, groups, own, shown, assumed=assumed)


def _apart(line: Line, own: list[Pair], machines: frozenset[UUID]) -> str:
    """Return the names of a combine and a header of the line where the log has another header on that combine; else nothing."""
    vocabulary = line.farm.vocabulary
    for machine in vocabulary.machines:
        carried = {one.id for one in vocabulary.machines if one.hitched_to == machine.id}
        strange = [pair[0] for pair in own if pair[0].id != machine.id and pair[0].id not in carried]
        if machine.id in machines and carried and strange and strange[0].hitched_to is not None:
            return f"{machine.name} and {strange[0].name}"
    return ""


def _unnamed(line: Line, group: Group, groups: list[Group], pairs: list[Pair], shown: str) -> Where | None:
    vocabulary = line.farm.vocabulary
    owners = {pair[0].id for pair in pairs}
    if len(owners) > 1:
        generic = [mark.phrase.machines for mark in line.of(Tag.MACHINE) if mark.phrase.generic]
        current = {machine.id for machine in vocabulary.current_unit()}
        here = [pair for pair in pairs if pair[0].id in current and all(pair[0].id in one for one in generic)]
        stranger = _stranger(line, group)
        other = _told_apart(line)
        if other and here:
            named = either([one.name for one in vocabulary.machines if one.id in owners])
            line.ask(f"Which machine is '{other}': {named}?", "Name it as the log does.")
            return None
        if here and stranger:
            line.ask(
                f"Is '{stranger}' a machine? I do not know it.",
                f"Name it as the log does: {either([one.name for one in vocabulary.machines])}.",
            )
            return None
        if len({pair[0].id for pair in here}) != 1:
            where = list(dict.fromkeys(pair[0].name for pair in pairs))
            line.ask(f"Which machine? '{shown}' is on {either(where[:8], 'and')}.", f"Add its name, like '{where[0]}'.")
            return None
        pairs = here
    return _one(line, group, groups, pairs, shown, assumed=True)


def _told_apart(line: Line) -> str:
    """Return "the old combine", "header 2": a word for a sort of machine, told apart by something that the log does not know."""
    for mark in line.of(Tag.MACHINE):
        if mark.phrase.generic and line.text(mark.start - 1) in _APART:
            return line.scan.shown(mark.start - 1, mark.stop)
    return ""


def _stranger(line: Line, group: Group) -> str:
    """Return an unknown word right before the part, where a machine's name would stand."""
    at = group.mark.start - 1
    while line.scan.word(at) in SMALL and line.scan.word(at):
        at -= 1
    word = line.scan.word(at)
    places = {
        one for machine in line.farm.vocabulary.machines for part in machine.components for one in words_of(part.place)
    }
    known = word in ordinary_words() or word in line.phrases.words or word in places
    strange = word and line.tokens[at].is_word and not known
    return line.tokens[at].shown if strange else ""


def _one(
    line: Line, group: Group, groups: list[Group], pairs: list[Pair], shown: str, *, assumed: bool
) -> Where | None:
    """Return the one component of these; by its positions or its neighbour in the line, where its name fits several."""
    if len({pair[0].id for pair in pairs}) > 1:
        where = list(dict.fromkeys(pair[0].name for pair in pairs))
        line.ask(f"The line names {either(where, 'and')}: which one was it?", "Keep the machine that it broke on.")
        return None
    if len(pairs) > 1:
        pairs = _by_other_name(line, groups, group, pairs)
    if len(pairs) > 1:
        pairs = _by_line(line, group, pairs)
    if len(pairs) > 1:
        pairs = _by_place(line, pairs)
    if len(pairs) > 1:
        pairs = _by_neighbour(groups, group, pairs, line)
    if len(pairs) > 1:
        pairs = _by_number(group, pairs)
    if len(pairs) > 1:
        kinds = list(dict.fromkeys(pair[1].kind for pair in pairs))
        if len(kinds) > 1:
            line.ask(f"'{shown}' can be {either(kinds[:8])} on {pairs[0][0].name}.", "Write more of its name.")
        else:
            places = [pair[1].place or "no place named" for pair in pairs]
            line.ask(f"Which {kinds[0]} on {pairs[0][0].name}? There is {either(places[:8], 'and')}.", "Add its place.")
        return None
    return Where(pairs[0], assumed)


def _by_other_name(line: Line, groups: list[Group], group: Group, pairs: list[Pair]) -> list[Pair]:
    """Drop what the line calls by another name beside it: of "tine 12 and finger 4" the finger is no reel tine."""
    others = {
        kind
        for other in groups
        if other is not group
        and len(other.mark.kinds) == 1
        and line.text(other.mark.start) != line.text(group.mark.start)
        for kind in other.mark.kinds
    }
    fitting = [pair for pair in pairs if pair[1].kind_id not in others]
    return fitting or pairs


def _by_line(line: Line, group: Group, pairs: list[Pair]) -> list[Pair]:
    """Keep the parts whose other words stand right before what was said: "feeder house chain"."""
    near = {line.text(at) for at in range(max(0, group.mark.start - 3), group.mark.start)}
    fitting = [pair for pair in pairs if near & (set(words_of(pair[1].kind)) - {line.text(group.mark.start)})]
    return fitting or pairs


def _by_place(line: Line, pairs: list[Pair]) -> list[Pair]:
    said = {token.text for token in line.tokens}
    fitting = [
        pair for pair in pairs if said & (set(words_of(pair[1].place)) - set(words_of(pair[1].kind)) - _NO_PLACE)
    ]
    return fitting if len(fitting) == 1 else pairs


def _by_neighbour(groups: list[Group], group: Group, pairs: list[Pair], line: Line) -> list[Pair]:
    """Keep the part that shares a word with another one of the line: beside feeder slats the chain is the feeder's."""
    words: set[str] = set()
    for other in groups:
        if other is not group:
            for _, part in pairs_of_kinds(line.farm.vocabulary, other.mark.kinds):
                words.update(words_of(part.kind))
    words -= {line.text(at) for at in range(group.mark.start, group.mark.stop)}
    fitting = [pair for pair in pairs if words & set(words_of(pair[1].kind))]
    return fitting if len(fitting) == 1 else pairs


def _by_number(group: Group, pairs: list[Pair]) -> list[Pair]:
    """Keep the part that has the number said: chain 3 is the drive chain, the only one with three."""
    last = max((number.last for spot in group.spots for number in spot.numbers), default=0)
    fitting = [pair for pair in pairs if pair[1].positions >= last] if last > 1 else pairs
    return fitting if len(fitting) == 1 else pairs


def _begins_names(line: Line) -> tuple[str, str] | None:
    """Return the question for a word that only begins the names of parts: "knife" of the knife's sections, head and drive."""
    named = {one for mark in said_machines(line) for one in mark.phrase.machines}
    machines = [one for one in line.farm.vocabulary.machines if not named or one.id in named]
    for index, token in enumerate(line.tokens):
        kinds = dict.fromkeys(
            part.kind
            for machine in machines
            for part in machine.components
            if len(words := words_of(part.kind)) > 1 and words[0] == token.text
        )
        if kinds and line.scan.free(index):
            return f"'{token.text}' can be {either(list(kinds)[:8])}.", "Write more of its name."
    return None


def no_part(line: Line) -> tuple[str, str]:
    """Return the question for a line that names no part: a word that nobody knows is named."""
    begun = _begins_names(line)
    if begun is not None:
        return begun
    unknown = [
        token.shown
        for index, token in enumerate(line.tokens)
        if token.is_word and line.scan.free(index) and token.text not in SMALL and token.text not in ordinary_words()
    ]
    if unknown:
        return (
            f"What is '{unknown[0]}'? It is no part that the log knows.",
            "Say what broke, such as knife section or guard.",
        )
    unit = list(
        dict.fromkeys(many_of(part.kind) for machine in line.farm.vocabulary.machines for part in machine.components)
    )
    return "The line does not say what broke.", f"Name the part, such as {either(unit[:3] or ['guards'])}."
