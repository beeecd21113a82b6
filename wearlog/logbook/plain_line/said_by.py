"""Who did it, where a line says so: "by Sam" at its end, "Sam:" before it. What may be no person stays in the note."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from wearlog.logbook.plain_line.phrases import FarmWords, Phrases
from wearlog.logbook.plain_line.spoken import ordinary_words
from wearlog.logbook.quickline.tokens import Token
from wearlog.logbook.quickline.words import WORDS

#: words of the ordinary list that, behind "by", are somebody on the farm and nothing else
_FIRST_NAMES: Final = frozenset(
    [
        "anna",
        "bob",
        "carl",
        "dad",
        "dave",
        "ella",
        "grandpa",
        "jen",
        "jim",
        "joe",
        "kate",
        "leroy",
        "mary",
        "mike",
        "mom",
        "mother",
        "father",
        "nick",
        "sam",
        "steve",
        "sue",
        "tom",
    ]
)

#: behind these "by" says what did it, or where
_NOT_WHO: Final = frozenset(
    [
        "hit",
        "struck",
        "caused",
        "broken",
        "broke",
        "bent",
        "cracked",
        "chipped",
        "torn",
        "damaged",
        "snapped",
        "taken",
        "stopped",
        "close",
        "near",
        "passed",
        "parked",
    ]
)

#: what a person does: before "by NAME", or behind NAME at the start
_DOING: Final = frozenset(
    [
        "did",
        "done",
        "do",
        "replaced",
        "changed",
        "swapped",
        "fitted",
        "fixed",
        "mended",
        "repaired",
        "welded",
        "straightened",
        "tightened",
        "put",
        "installed",
        "renewed",
        "greased",
        "serviced",
        "checked",
        "cleaned",
        "oiled",
        "lubed",
        "cut",
        "entered",
        "logged",
        "noted",
        "found",
        "counted",
        "drained",
        "rebuilt",
        "sharpened",
        "adjusted",
    ]
)

_MINUTES: Final = frozenset(
    ["h", "hr", "hrs", "hour", "hours", "min", "mins", "minute", "minutes", "ac", "acres", "acre", "ha"]
)

_SIGNS: Final = frozenset({":", ",", "-"})


def take_person(tokens: Sequence[Token], farm: FarmWords, phrases: Phrases) -> tuple[list[Token], str]:
    """Return the tokens without those that say who did it, and that person; an empty name where nobody is clearly meant.

    Parameters
    ----------
    tokens : sequence of Token
        The whole line.
    farm : FarmWords
        Its `people` are known: their names are read in any spelling of case, and behind "by" anywhere in the line.
    """
    line = list(tokens)
    people = {tuple(name.casefold().split()): name for name in farm.people if name.strip()}
    for start, token in enumerate(line):
        found = _behind_by(line, start, people, phrases) if token.text == "by" else None
        if found is not None:
            stop, name = found
            rest = line[:start] + _without_sign(line[stop:], alone=not start)
            return (rest, name) if rest else (line, "")
    begun = _at_the_start(line, people, phrases)
    return begun if begun is not None else (line, "")


def _behind_by(
    line: list[Token], by: int, people: dict[tuple[str, ...], str], phrases: Phrases
) -> tuple[int, str] | None:
    before = line[by - 1].text if by else ""
    if before in _NOT_WHO:
        return None
    for words, name in people.items():
        stop = by + 1 + len(words)
        if tuple(one.text for one in line[by + 1 : stop]) == words and not _means_more(words, phrases):
            return stop, name
    rest = [one for one in line[by + 1 :] if one.is_word]
    ends = len(rest) == 1 and all(one.is_word or one.text in ".!" for one in line[by + 1 :])
    if not ends and not (by == 0 and len(line) > 2 and line[2].text in _SIGNS):
        return None
    token = line[by + 1]
    if token.text in _FIRST_NAMES and not _means_more((token.text,), phrases):
        return by + 2, token.shown[:1].upper() + token.shown[1:]
    told = not by or before in _DOING or before in _MINUTES or not line[by - 1].is_word
    return (by + 2, token.shown) if told and _is_name(line, token, phrases) else None


def _at_the_start(
    line: list[Token], people: dict[tuple[str, ...], str], phrases: Phrases
) -> tuple[list[Token], str] | None:
    for words, name in [*people.items(), *(((one,), one.capitalize()) for one in sorted(_FIRST_NAMES))]:
        here = len(words)
        if tuple(one.text for one in line[:here]) != words or len(line) < here + 2 or _means_more(words, phrases):
            continue
        follows = line[here]
        if follows.text in _SIGNS or follows.text in _DOING:
            return _without_sign(line[here:], alone=True), name
    return None


def _without_sign(rest: list[Token], *, alone: bool) -> list[Token]:
    """Drop the colon behind a name that stood before the line, or the full stop that ended it."""
    signs = _SIGNS if alone else frozenset(".!")
    return rest[1:] if rest and rest[0].text in signs else rest


def _means_more(words: tuple[str, ...], phrases: Phrases) -> bool:
    """Say whether the farm calls a machine, a field, a part or a word of the trade so."""
    return phrases.at("".join(words)) is not None or any(word in phrases.words for word in words)


def _is_name(line: Sequence[Token], token: Token, phrases: Phrases) -> bool:
    """Say whether a word is written like a name in a line that is not all capitals, and is no word of its own."""
    shown = token.shown
    written = shown[:1].isupper() and shown[1:].islower() and any(one.shown.islower() for one in line)
    known = token.text in ordinary_words() or token.text in WORDS.small or _means_more((token.text,), phrases)
    return written and not known and "'" not in token.text
