"""Causes, modes and deeds as people say them, by the words of the plain line: rock is impact, welded is mended. Writes nothing.

The plain line finds these words among others; a cell or a field holds nothing else. Both know the same ones, from
quickline/words.py.
"""

from __future__ import annotations

import re
from enum import StrEnum
from functools import cache
from typing import Final, TypeVar

from wearlog.errors import UsageError
from wearlog.facts.closed_lists import Action, Cause, Mode
from wearlog.facts.plain_text import one_line
from wearlog.logbook.quickline.lexicon import Lexicon, find_phrases, sense_phrases
from wearlog.logbook.quickline.reading import weigh
from wearlog.logbook.quickline.tokens import Role, Scan, cut, words_of
from wearlog.logbook.quickline.words import WORDS, Sense

C = TypeVar("C", bound=StrEnum)

#: the lists that the plain line has words for, and where a sense says one of them
_FIELDS: Final[dict[type[StrEnum], str]] = {Cause: "cause", Mode: "mode", Action: "action"}
_MOST_CHARACTERS: Final = 80


def choice_said(text: str, closed_list: type[C]) -> C | None:
    """Return the value of a closed list that `text` says: the value itself, or a word of the plain line for it.

    Returns
    -------
    StrEnum or None
        None when the list has no such value and no such word.

    Raises
    ------
    UsageError
        When the words say two values of the list, or a word that nobody can know the meaning of ("fixed").
    """
    word = re.sub(r"[\s-]+", "_", one_line(text).casefold())
    # an enum would look a word up in every value; a set is what a long sheet has time for
    if word in _values(closed_list):
        return closed_list(word)
    field = _FIELDS.get(closed_list)
    if field is None or len(text) > _MOST_CHARACTERS:
        return None
    return _by_words(one_line(text), closed_list, field)


@cache
def _values(closed_list: type[StrEnum]) -> frozenset[str]:
    return frozenset(str(one) for one in closed_list)


@cache
def _lexicon() -> Lexicon:
    """Return the words of the plain line without those of any farm, and the lone "left", which on a line may be a side too."""
    senses = {**sense_phrases(), ("left",): Sense(action=Action.LEFT)}
    return Lexicon({}, {}, senses, max(map(len, senses)))


def _by_words(text: str, closed_list: type[C], field: str) -> C | None:
    scan = Scan(text, tokens := cut(text, range(1, len(text) + 2)), [None] * len(tokens))
    find_phrases(scan, _lexicon())
    unclear = dict(WORDS.unclear)
    for token, role in zip(tokens, scan.roles, strict=True):
        if closed_list is Action and token.text in unclear:
            raise UsageError(f"'{text}' does not say what was done.", unclear[token.text])
        if role is not Role.SENSE and token.is_word and token.text not in WORDS.small:
            return None
    verdict = weigh(scan, "")
    if field in verdict.assumed:
        return None
    problem = next((one for one in scan.problems if one.code == f"two_{field}s"), None)
    if problem is not None:
        raise UsageError(problem.message.replace("The line", f"'{text}'", 1), problem.hint)
    found: C = getattr(verdict, field)
    return found


def words_for(closed_list: type[StrEnum]) -> dict[str, tuple[str, ...]]:
    """Return the words of the plain line for each value of a closed list; none for a list that it has no words for."""
    field = _FIELDS.get(closed_list)
    found: dict[str, list[str]] = {}
    for sense, phrases in WORDS.senses if field else ():
        value = getattr(sense, field or "")
        if value is not None:
            found.setdefault(str(value), []).extend(one for one in phrases if words_of(one) != (str(value),))
    return {value: tuple(words) for value, words in found.items()}
