"""Misspelt words, read as the one known word that is clearly meant. Where two words come close, none is taken."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final

from wearlog.logbook.quickline.suggestions import distance

_SHORTEST: Final = 3
_LONGEST: Final = 24
#: so many letters and more may hold two slips
_TWO_SLIPS_FROM: Final = 7


def mended(word: str, known: Iterable[str]) -> str:
    """Return the known word that `word` is a slip of; an empty string when none or more than one is near.

    Forms of one word are one: of "knife" and "knives" the likelier is taken.
    """
    near = nearest_known(word, known)
    return near[0] if len({_stem(one) for one in near}) == 1 else ""


def nearest_known(word: str, known: Iterable[str]) -> list[str]:
    """Return the known words at the least distance, if that is small enough; the likeliest first.

    The first letter of a word is rarely the slip: a word that begins otherwise counts only where two letters changed places.
    """
    if not _SHORTEST <= len(word) <= _LONGEST:
        return []
    most = 2 if len(word) >= _TWO_SLIPS_FROM else 1
    best: list[str] = []
    least = most + 1
    for one in known:
        if abs(len(one) - len(word)) > most or len(one) < _SHORTEST or not _begins_alike(word, one):
            continue
        if len(one) == _SHORTEST and len(word) == _SHORTEST:
            continue
        apart = distance(word, one, most)
        if apart < least:
            least, best = apart, [one]
        elif apart == least and apart <= most:
            best.append(one)
    return sorted(best, key=lambda one: (one[-1] != word[-1], abs(len(one) - len(word)), one))


def _begins_alike(word: str, other: str) -> bool:
    return word[0] == other[0] or (word[:2] == other[1::-1])


def _stem(word: str) -> str:
    """Return the word without the ending of a number or a time: knives and knife, broke and broken."""
    for ending in ("ves", "ing", "ed", "en", "es", "s", "e"):
        if word.endswith(ending) and len(word) - len(ending) >= 3:
            return word[: -len(ending)].removesuffix("f")
    return word.removesuffix("f")
