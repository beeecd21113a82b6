"""Phrases found in a line, longest first: kinds of part, whole names of machines, and the words for cause, mode and action.

A kind is known by its name, by the words people call it, and by the last words of these ("chain" for "feeder chain"); singular
and plural alike. A word that is not known is named with the known words nearest to it, and never taken for one of them. Single
words of a machine's name and beginnings of them are left to whereabouts.py: they may be anything else.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import cache
from uuid import UUID

from wearlog.facts.closed_lists import Cause, Mode
from wearlog.facts.positions import many_of
from wearlog.logbook.quickline.tokens import (
    KindMention,
    MachineMention,
    Role,
    Scan,
    SenseMention,
    Token,
    either,
    words_of,
)
from wearlog.logbook.quickline.vocabulary import Vocabulary
from wearlog.logbook.quickline.words import WORDS, Sense, Weight, known_words

#: signs that part the pieces of a line and mean nothing themselves
_QUIET_SIGNS = ",;.:!()-/&+'~|[]"

_MOST_NAMED = 8

_MOST_SUGGESTED = 3

_LONGEST_COMPARED = 24

_HINT = "Correct it, or put a remark behind --."


def blame_unknown(scan: Scan, lexicon: Lexicon, names: frozenset[str]) -> None:
    """Blame every token that nothing has claimed and that says something. `names` are the words of machines and places."""
    unknown = [index for index in range(len(scan.tokens)) if scan.free(index) and not _is_quiet(scan, index)]
    if not unknown:
        return
    known = known_words() | names | {word for phrase in lexicon.kinds for word in phrase}
    for index in unknown[:_MOST_NAMED]:
        scan.blame(*_sentence(scan.tokens[index], known), index)
    rest = len(unknown) - _MOST_NAMED
    if rest > 0:
        words = "1 more word" if rest == 1 else f"{rest} more words"
        hint = "Write only what broke, where, why and how long; put the rest behind --."
        scan.blame("unknown_word", f"There are {words} I do not know.", hint, unknown[_MOST_NAMED])
    for index in unknown:
        scan.claim(index, index + 1, Role.BLAMED)


def _is_quiet(scan: Scan, index: int) -> bool:
    token = scan.tokens[index]
    if not (token.is_word or token.is_number):
        return token.text in _QUIET_SIGNS
    return token.text in WORDS.small


def _sentence(token: Token, known: frozenset[str]) -> tuple[str, str, str]:
    """Return code, message and hint for an unknown word or sign."""
    unclear = dict(WORDS.unclear)
    if token.text in unclear:
        return "unclear_word", f"'{token.shown}' can mean two things.", unclear[token.text]
    if not (token.is_word or token.is_number):
        return (
            "unknown_sign",
            f"The sign '{token.shown}' means nothing here.",
            "Leave it out, or put a remark behind --.",
        )
    if token.text in (*WORDS.worked, *WORDS.stood):
        return (
            "no_duration",
            f"'{token.shown}' has no duration beside it.",
            f"Write how long, like 30 min {token.shown}.",
        )
    if token.text in known:
        return (
            "misplaced_word",
            f"'{token.shown}' means nothing where it stands.",
            "Leave it out, or put a remark behind --.",
        )
    near = [f"'{word}'" for word in nearest(token.text, known)]
    question = f"; did you mean {either(near)}?" if near else "."
    return "unknown_word", f"'{token.shown}' is not a word I know{question}", _HINT


def nearest(word: str, known: frozenset[str]) -> list[str]:
    """Return up to three known words that go on from `word` or differ least from it, if any is near."""
    if not 2 < len(word) <= _LONGEST_COMPARED:
        return []
    most = 1 if len(word) < 6 else 2
    scored = [(distance(word, one, most), one) for one in known if abs(len(one) - len(word)) <= most and len(one) > 2]
    least = min((distance for distance, _ in scored), default=most + 1)
    if least <= most:
        return sorted(one for distance, one in scored if distance == least)[:_MOST_SUGGESTED]
    return sorted((one for one in known if one.startswith(word)), key=lambda one: (len(one), one))[:_MOST_SUGGESTED]


def distance(word: str, other: str, most: int) -> int:
    """Return how many letters must be changed, added, dropped or swapped with a neighbour; more than `most` once it is."""
    before: list[int] = []
    row = list(range(len(other) + 1))
    for place, letter in enumerate(word, start=1):
        next_row = [place]
        for column, target in enumerate(other, start=1):
            cost = min(row[column] + 1, next_row[column - 1] + 1, row[column - 1] + (letter != target))
            if before and column > 1 and letter == other[column - 2] and word[place - 2] == target:
                cost = min(cost, before[column - 2] + 1)
            next_row.append(cost)
        if min(next_row) > most:
            return most + 1
        before, row = row, next_row
    return row[-1]


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
    yield _IRREGULAR.get(singular, many_of(singular)), True


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
                # a single word of a longer name may mean many other things: whereabouts.py comes to it last
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


def usual_mode(kind: str) -> Mode:
    """Return how a kind breaks when nobody says: a fuse fails, a section is broken."""
    words = words_of(kind)
    return next((mode for word, mode in WORDS.kind_modes if word in words or f"{word}s" in words), Mode.BROKEN)
