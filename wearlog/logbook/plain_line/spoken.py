"""A line as it was dictated: numbers in words become figures, "period" and "comma" become signs, "um" says nothing."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from wearlog.logbook.quickline.tokens import Token
from wearlog.logbook.quickline.words import WORDS

_HUNDRED: Final = 100
_THOUSAND: Final = 1_000
#: said by who dictates for a sign; "new paragraph" ends a sentence
_SIGNS: Final = (
    (("new", "paragraph"), "."),
    (("new", "line"), "."),
    (("full", "stop"), "."),
    (("semi", "colon"), ";"),
    (("period",), "."),
    (("comma",), ","),
    (("semicolon",), ";"),
    (("dash",), "-"),
)
_FILLERS: Final = frozenset({"um", "uh", "uhm", "er", "erm", "hmm", "hey", "ah", "eh"})
_ZEROS: Final = frozenset({"oh", "o", "zero"})
#: these say how many and not which figure, or a small word
_KEPT: Final = frozenset({"one", "dozen", "pair", "couple"})
_ORDINALS: Final = (
    *("first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth", "eleventh"),
    *("twelfth", "thirteenth", "fourteenth", "fifteenth", "sixteenth", "seventeenth", "eighteenth", "nineteenth"),
    "twentieth",
)


@dataclass(slots=True, eq=False)
class _Figure:
    value: int
    stop: int


def as_figures(tokens: list[Token]) -> list[Token]:
    """Return the tokens with numbers in words as figures and dictated signs as signs; fillers are gone."""
    found: list[Token] = []
    index = 0
    while index < len(tokens):
        sign = _sign_at(tokens, index)
        figure = _figure_at(tokens, index)
        if tokens[index].text in _FILLERS:
            index += 1
        elif sign is not None:
            found.append(_as(tokens, index, sign[1], sign[0]))
            index = sign[1]
        elif figure is not None:
            found.append(_as(tokens, index, figure.stop, str(figure.value)))
            index = figure.stop
        else:
            found.append(tokens[index])
            index += 1
    return found


def ordinal_said(word: str) -> int | None:
    """Return 4 for "fourth"; None for a word that is none. "second" and "third" are left to the sentence."""
    return _ORDINALS.index(word) + 1 if word in _ORDINALS else None


def _as(tokens: list[Token], start: int, stop: int, text: str) -> Token:
    first, last = tokens[start], tokens[stop - 1]
    shown = first.shown if stop == start + 1 else " ".join(one.shown for one in tokens[start:stop])
    return Token(text, shown, first.start, last.stop, first.column, first.glued)


def _sign_at(tokens: list[Token], index: int) -> tuple[str, int] | None:
    for words, sign in _SIGNS:
        stop = index + len(words)
        if tuple(one.text for one in tokens[index:stop]) == words:
            # "no comma" is a slip of who dictates, and stays in the note
            said = index > 0 and tokens[index - 1].text not in ("no", "the", "a")
            return (sign, stop) if said else None
    return None


def _figure_at(tokens: list[Token], index: int) -> _Figure | None:
    """Read "sixty one", "one oh four", "one hundred and twenty one", "five thousand thirty" at `index`."""
    values = dict(WORDS.numbers)
    word = tokens[index].text
    if word in _KEPT and not _goes_on(tokens, index):
        return None
    if word not in values or word in ("dozen", "pair", "couple") or _text(tokens, index + 1) == "quarters":
        return None
    small = _below_hundred(tokens, index)
    if small is None:
        return None
    total, at = small.value, small.stop
    following = _text(tokens, at)
    if total < 10 and following in _ZEROS and 0 < values.get(_text(tokens, at + 1), 0) < 10:
        return _Figure(total * _HUNDRED + values[_text(tokens, at + 1)], at + 2)
    if following in ("hundred", "thousand"):
        return _large(tokens, at, total)
    if total < 10 and 10 <= values.get(following, 0) <= 90 and following not in _KEPT:
        rest = _below_hundred(tokens, at)
        return _Figure(total * _HUNDRED + rest.value, rest.stop) if rest is not None else None
    return _Figure(total, at)


def _large(tokens: list[Token], at: int, total: int) -> _Figure:
    """Go on from "five" before "thousand" or "hundred"."""
    value, rest = 0, total
    while _text(tokens, at) in ("hundred", "thousand"):
        if _text(tokens, at) == "thousand":
            value, rest = value + rest * _THOUSAND, 0
        else:
            value, rest = value + rest * _HUNDRED, 0
        at += 1
        ahead = at + 1 if _text(tokens, at) == "and" and _is_number(tokens, at + 1) else at
        more = _below_hundred(tokens, ahead)
        if more is None:
            break
        rest, at = more.value, more.stop
    return _Figure(value + rest, at)


def _below_hundred(tokens: list[Token], index: int) -> _Figure | None:
    values = dict(WORDS.numbers)
    word = _text(tokens, index)
    value = values.get(word, 0)
    if not value or word in ("dozen", "pair", "couple"):
        return None
    ones = values.get(_text(tokens, index + 1), 0)
    if 20 <= value <= 90 and 0 < ones < 10:
        return _Figure(value + ones, index + 2)
    return _Figure(value, index + 1)


def _goes_on(tokens: list[Token], index: int) -> bool:
    """Say whether "one" begins a larger figure: one oh four, one hundred, one twenty."""
    values = dict(WORDS.numbers)
    following = _text(tokens, index + 1)
    if following in ("hundred", "thousand"):
        return True
    if following in _ZEROS:
        return 0 < values.get(_text(tokens, index + 2), 0) < 10
    return 10 <= values.get(following, 0) <= 90 and following not in _KEPT


def _is_number(tokens: list[Token], index: int) -> bool:
    return _text(tokens, index) in dict(WORDS.numbers)


def _text(tokens: list[Token], index: int) -> str:
    return tokens[index].text if 0 <= index < len(tokens) else ""
