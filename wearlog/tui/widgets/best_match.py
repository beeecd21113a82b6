"""Rows that typing narrows down, the best match first; what is written a little wrong is found where nothing is written so."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from wearlog.facts.plain_text import folded
from wearlog.tui.widgets.list_rows import FixedSource, ListOrder, ListRow

#: how well a row answers: the same name, one that begins so, one with a word that does, a number written without its strokes, what
#: people also call it, words in another order, what has it anywhere, the sort of thing that it is
_SAME, _BEGINS, _WORD, _NUMBER, _ALSO, _WORDS, _WITHIN, _SORT, _NOT = range(9)
#: letters from which on one may be wrong in a word, and two
_ONE_WRONG, _TWO_WRONG = 4, 8
_APART: Final = re.compile(r"[\W_]+")


@dataclass(frozen=True, slots=True)
class MatchSource(FixedSource):
    """Rows that typing narrows down: the best match stands first, those that match alike in their own order.

    `sort_at` is the column that says what sort of thing a row is: it counts less than names.
    """

    sort_at: int | None = None

    def filtered(self, order: ListOrder) -> Sequence[ListRow]:
        """Return the rows that answer what was typed; where none does, those in which its words stand with a wrong letter."""
        typed = _said(order.words) or order.words.strip()
        if not typed:
            return self.rows
        ranked = [(self._rank(row, typed), row) for row in self.rows if not row.heading]
        if all(rank == _NOT for rank, _ in ranked):
            wrong = [(_letters_wrong(row, typed.split()), row) for row in self.rows if not row.heading]
            return [row for letters, row in sorted(wrong, key=lambda one: one[0] or 0) if letters is not None]
        # sorted keeps the order of those that match alike
        return [row for rank, row in sorted(ranked, key=lambda one: one[0]) if rank < _NOT]

    def _rank(self, row: ListRow, typed: str) -> int:
        # a key may be a stroke alone
        named = [_said(cell) or cell.strip() for place, cell in enumerate(row.cells) if place != self.sort_at]
        best = min((_match(said, typed) for said in named), default=_NOT)
        if best > _ALSO and any(f" {_said(one)}".find(f" {typed}") >= 0 for one in row.also):
            return _ALSO
        if best < _NOT:
            return best
        everything = " ".join((*row.cells, *row.also)).casefold()
        return _SORT if all(word in everything for word in typed.split()) else _NOT


def _said(words: str) -> str:
    """Words as they are compared: without capitals, and with one space where anything else stands between them."""
    return _APART.sub(" ", folded(words)).strip()


def _match(said: str, typed: str) -> int:
    """How well a cell answers what was typed."""
    if said == typed:
        return _SAME
    if said.startswith(typed):
        return _BEGINS
    if f" {typed}" in said:
        return _WORD
    # "qf1010" is QF-1010; a letter or two stand in any name
    if any(one.isdigit() for one in typed) and said.replace(" ", "").startswith(typed.replace(" ", "")):
        return _NUMBER
    words, wanted = said.split(), typed.split()
    if all(any(one.startswith(word) for one in words) for word in wanted):
        return _WORDS
    return _WITHIN if all(word in said for word in wanted) else _NOT


def _letters_wrong(row: ListRow, typed: Sequence[str]) -> int | None:
    """How many letters of what was typed are wrong for a row; None where it is another."""
    words = {word for cell in (*row.cells, *row.also) for word in _said(cell).split()}
    most = [min((_apart(word, one) for one in words), default=len(word)) for word in typed]
    allowed = (2 if len(word) >= _TWO_WRONG else 1 if len(word) >= _ONE_WRONG else 0 for word in typed)
    return sum(most) if all(wrong <= may for wrong, may in zip(most, allowed, strict=True)) else None


def _apart(typed: str, word: str) -> int:
    """How many letters are wrong, missing, too many or changed for each other, of a word or of its beginning."""
    before: list[int] = []
    row = list(range(len(word) + 1))
    for place, letter in enumerate(typed, 1):
        earlier, before, row = before, row, [place]
        for at, other in enumerate(word, 1):
            cost = min(before[at] + 1, row[at - 1] + 1, before[at - 1] + (letter != other))
            if place > 1 and at > 1 and letter == word[at - 2] and typed[place - 2] == other:
                cost = min(cost, earlier[at - 2] + 1)
            row.append(cost)
    return min(row)
