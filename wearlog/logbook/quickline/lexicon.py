"""Phrases found in a line, longest first: kinds of part, whole names of machines, and the words for cause, mode and action.

A kind is known by its name, by the words people call it, and by the last words of these ("chain" for "feeder chain"); singular
and plural alike. Single words of a machine's name and beginnings of them are left to mentions.py: they may be anything else.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import cache
from uuid import UUID

from wearlog.facts.closed_lists import Cause
from wearlog.logbook.quickline.scan import KindMention, MachineMention, Role, Scan, SenseMention, plural
from wearlog.logbook.quickline.tokens import words_of
from wearlog.logbook.quickline.vocabulary import Vocabulary
from wearlog.logbook.quickline.word_lists import Sense, Weight
from wearlog.logbook.quickline.words import WORDS

_IRREGULAR = {"knife": "knives", "tooth": "teeth", "foot": "feet", "shelf": "shelves", "half": "halves"}
#: what stands for "because of" and the like, whatever comes after it
REASON = Sense()


@dataclass(slots=True, eq=False, repr=False)
class KindEntry:
    """What one phrase can mean: the kinds that are called so, and those whose name only ends so."""

    called: set[UUID] = field(default_factory=set)
    ends_so: set[UUID] = field(default_factory=set)
    plural: bool = False


@dataclass(slots=True, eq=False, repr=False)
class Lexicon:
    """All phrases by their words."""

    kinds: dict[tuple[str, ...], KindEntry]
    machines: dict[tuple[str, ...], frozenset[UUID]]
    senses: dict[tuple[str, ...], Sense]
    longest: int


def forms(word: str) -> Iterator[tuple[str, bool]]:
    """Yield the forms of a word with whether each is a plural: "fuse" gives fuse, fuses; "bars" gives bars, bar."""
    if len(word) > 3 and word.endswith("s") and not word.endswith("ss"):
        yield word, True
        if word.endswith("ies"):
            yield f"{word[:-3]}y", False
        elif word.endswith(("ches", "shes", "xes", "sses", "zes")):
            yield word[:-2], False
        else:
            yield word[:-1], False
        return
    singular = next((one for one, many in _IRREGULAR.items() if many == word), word)
    yield singular, False
    yield _IRREGULAR.get(singular, plural(singular)), True


@cache
def sense_phrases() -> dict[tuple[str, ...], Sense]:
    """Return the phrases of the closed lists by their words."""
    phrases = {words_of(phrase): sense for sense, listed in WORDS.senses for phrase in listed}
    phrases.update({words_of(phrase): REASON for phrase in WORDS.reasons})
    return phrases


def build(vocabulary: Vocabulary) -> Lexicon:
    """Lay out the phrases of a vocabulary."""
    kinds: dict[tuple[str, ...], KindEntry] = {}
    for kind_id, (name, called) in vocabulary.every_kind().items():
        # "rasp bars (set)" is called rasp bars as well
        for phrase in dict.fromkeys((name, name.partition("(")[0], *called)):
            words = words_of(phrase)
            for first in range(len(words)):
                _add_kind(kinds, words[first:], kind_id, whole=first == 0)
    _add_beginnings(kinds, vocabulary)
    machines: dict[tuple[str, ...], set[UUID]] = {}
    for machine in vocabulary.machines:
        words = words_of(machine.name)
        for first in range(len(words)):
            for last in range(first + 1, len(words) + 1):
                # a single word of a longer name may mean many other things: mentions.py comes to it last
                if last - first > 1 or len(words) == 1:
                    machines.setdefault(words[first:last], set()).add(machine.id)
    senses = sense_phrases()
    lengths = [len(phrase) for table in (kinds, machines, senses) for phrase in table]
    frozen = {phrase: frozenset(ids) for phrase, ids in machines.items()}
    return Lexicon(kinds, frozen, senses, max(lengths, default=1))


def _add_kind(kinds: dict[tuple[str, ...], KindEntry], words: tuple[str, ...], kind_id: UUID, *, whole: bool) -> None:
    """Add a phrase, in singular and plural, as a name of the kind or as the end of one."""
    if words[-1].isdigit():
        return
    for last, is_plural in forms(words[-1]):
        entry = kinds.setdefault((*words[:-1], last), KindEntry(plural=is_plural))
        (entry.called if whole else entry.ends_so).add(kind_id)


def _add_beginnings(kinds: dict[tuple[str, ...], KindEntry], vocabulary: Vocabulary) -> None:
    """Let a lone word that ends some names also mean the names it begins: "knife" is not only a chopper knife."""
    for kind_id, (name, called) in vocabulary.every_kind().items():
        for phrase in (name, *called):
            words = words_of(phrase)
            if len(words) > 1 and words[:1] in kinds:
                kinds[words[:1]].ends_so.add(kind_id)


def find_phrases(scan: Scan, lexicon: Lexicon) -> None:
    """Claim the phrases of the line from left to right, at each place the longest one."""
    index = 0
    while index < len(scan.tokens):
        index = _claim_longest(scan, lexicon, index)
    hard = [mention for mention in scan.kinds if not mention.soft]
    for mention in [one for one in scan.kinds if one.soft and hard]:
        # "section 41 bolt": a part is named already, so the bolt is the cause
        scan.kinds.remove(mention)
        sense = lexicon.senses[tuple(token.text for token in scan.tokens[mention.start : mention.stop])]
        scan.senses.append(SenseMention(mention.start, mention.stop, sense))
        scan.claim(mention.start, mention.stop, Role.SENSE)
    _set_reasons_apart(scan)


def _claim_longest(scan: Scan, lexicon: Lexicon, start: int) -> int:
    """Claim the longest phrase that begins at `start`; return where to go on."""
    words: list[str] = []
    for token in scan.tokens[start : start + lexicon.longest]:
        if not (token.is_word or token.is_number):
            break
        words.append(token.text)
    for length in range(len(words), 0, -1):
        phrase, stop = tuple(words[:length]), start + length
        entry, machines, sense = lexicon.kinds.get(phrase), lexicon.machines.get(phrase), lexicon.senses.get(phrase)
        if entry is not None:
            kinds = frozenset(entry.called or entry.ends_so)
            scan.kinds.append(KindMention(start, stop, kinds, entry.plural, soft=sense is not None))
            scan.claim(start, stop, Role.KIND)
            return stop
        if machines is not None:
            scan.machines.append(MachineMention(start, stop, machines, generic=False))
            scan.claim(start, stop, Role.MACHINE)
            return stop
        if sense is not None:
            scan.senses.append(SenseMention(start, stop, sense))
            scan.claim(start, stop, Role.SENSE)
            return stop
    return start + 1


def _set_reasons_apart(scan: Scan) -> None:
    """Read "because of the bearing" as a secondary breakage: the bearing is the reason, not the part that is logged."""
    for mention in [one for one in scan.senses if one.sense is REASON]:
        scan.senses.remove(mention)
        after = mention.stop
        while scan.word(after) in WORDS.small and scan.word(after):
            after += 1
        reason = next((one for one in scan.kinds if one.start == after and len(scan.kinds) > 1), None)
        stop = mention.stop if reason is None else reason.stop
        weight = Weight.LINK if reason is None else Weight.PLAIN
        if reason is not None:
            scan.kinds.remove(reason)
        scan.senses.append(SenseMention(mention.start, stop, _secondary(weight)))
        scan.claim(mention.start, stop, Role.SENSE if reason is None else Role.REASON)


def _secondary(weight: Weight) -> Sense:
    return Sense(cause=Cause.SECONDARY, cause_weight=weight)
