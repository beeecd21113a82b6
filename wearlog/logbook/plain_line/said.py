"""The phrases of what is said of a part, by their letters: those of the quick line that a cell knows too, and those of a line."""

from __future__ import annotations

from functools import cache
from typing import Final

from wearlog.facts.closed_lists import Cause
from wearlog.logbook.plain_line.meaning import Said
from wearlog.logbook.plain_line.said_table import SAID
from wearlog.logbook.quickline.word_lists import Weight
from wearlog.logbook.quickline.words import WORDS

#: words of the quick line's own tables that a whole line takes otherwise
_NOT_HERE: Final = frozenset({"new", "hot", "rivet", "rivets", "bolt", "bolts"})
_FASTENERS: Final = ("rivet", "rivets", "bolt", "bolts")


@cache
def said_phrases() -> dict[str, Said]:
    """Return what each phrase says, by its letters without spaces; the phrases of the quick line's own tables among them."""
    found: dict[str, Said] = {}
    for sense, listed in WORDS.senses:
        weights = (
            sense.cause_weight if sense.cause else Weight.PLAIN,
            sense.mode_weight if sense.mode else Weight.PLAIN,
        )
        one = Said(sense.cause, sense.mode, sense.action, min(weights))
        found.update({joined(phrase): one for phrase in listed if phrase not in _NOT_HERE})
    found.update({phrase: Said(cause=Cause.LOOSE, weight=Weight.HINT) for phrase in _FASTENERS})
    for one, text in SAID:
        found.update({joined(phrase): one for phrase in listed_in(text)})
    found.update({joined(phrase): Said(reason=True) for phrase in WORDS.reasons})
    return found


@cache
def said_words() -> frozenset[str]:
    """Return every single word of these phrases."""
    listed = [phrase for _, phrases in WORDS.senses for phrase in phrases]
    listed += [phrase for _, text in SAID for phrase in listed_in(text)]
    return frozenset(
        word for phrase in (*listed, *_FASTENERS, *WORDS.reasons) for word in phrase.replace("'", "").split()
    )


def joined(phrase: str) -> str:
    """Return the letters of a phrase without spaces, hyphens and apostrophes: hold down, hold-down and holddown are one."""
    return phrase.replace(" ", "").replace("-", "").replace("'", "")


def listed_in(text: str) -> list[str]:
    """Return the phrases of a text of a table, which are parted by strokes."""
    return [" ".join(phrase.split()) for phrase in text.split("|")]
