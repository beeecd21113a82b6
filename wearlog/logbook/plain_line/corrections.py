"""A line that corrects itself while it is said: "41, no wait, 42", "60-62 I mean 60-63", "20 min, sorry, 30 min".

Only a figure or a span that stands right before is taken back by one of the same sort right behind. Where a list stands before,
nobody can know how much of it is meant: that is left for a question.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from wearlog.logbook.plain_line.numbers import UNITS
from wearlog.logbook.quickline.tokens import Token

_WORDS: Final = (
    *(("no", "wait"), ("wait", "no"), ("i", "mean"), ("i", "meant"), ("make", "that"), ("scratch", "that")),
    *(("correction",), ("sorry",), ("no", ","), ("rather",)),
)
_SPANS: Final = ("-", "to", "thru", "through")


def corrected(tokens: list[Token]) -> list[Token]:
    """Return the tokens without what is taken back, and without the words that take it back."""
    for index in range(1, len(tokens)):
        for words in _WORDS:
            stop = index + len(words)
            if tuple(one.text for one in tokens[index:stop]) != words:
                continue
            while stop < len(tokens) and tokens[stop].text == ",":
                stop += 1
            before = index - (tokens[index - 1].text == ",")
            start = _taken_back(tokens, before, stop)
            if start is not None:
                return [*tokens[:start], *tokens[stop:]]
    return tokens


def _taken_back(tokens: Sequence[Token], end: int, stop: int) -> int | None:
    """Return where what is taken back begins, which ends at `end`; None where no figure of one sort stands on both sides."""
    unit = tokens[end - 1].text if end > 0 and tokens[end - 1].text in UNITS else ""
    last = end - bool(unit)
    start = _figure_before(tokens, last)
    behind = _figure_behind(tokens, stop)
    if start is None or behind is None:
        return None
    following = tokens[behind].text if behind < len(tokens) else ""
    if (following if following in UNITS else "") != unit:
        return None
    listed = start > 0 and (
        tokens[start - 1].text in (",", "&", "+", "/", "and", ".", ":", "$") or tokens[start - 1].is_number
    )
    return None if listed else start


def _figure_before(tokens: Sequence[Token], end: int) -> int | None:
    if end < 1 or not tokens[end - 1].is_number:
        return None
    if end >= 3 and tokens[end - 2].text in _SPANS and tokens[end - 3].is_number:
        return end - 3
    return end - 1


def _figure_behind(tokens: Sequence[Token], start: int) -> int | None:
    if start >= len(tokens) or not tokens[start].is_number:
        return None
    if start + 2 < len(tokens) and tokens[start + 1].text in _SPANS and tokens[start + 2].is_number:
        return start + 3
    if (
        start + 1 < len(tokens)
        and tokens[start + 1].glued
        and not tokens[start + 1].text.isalpha()
        and tokens[start + 1].text in ".:/,"
    ):
        glued = start + 2 < len(tokens) and tokens[start + 2].glued
        return None if glued else start + 1
    return start + 1
