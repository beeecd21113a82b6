"""A typed line cut into words, numbers and signs, with the remark taken off, and the records of what a line was understood to say.

Every token remembers its column in the line as it was typed, although control characters are dropped, accents fall away and ½ is
read as 1/2. All of it is one pass over the text, whatever the text. Nothing here knows parts or time.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from functools import lru_cache

from wearlog.facts.closed_lists import Action, Cause, Mode
from wearlog.logbook.quickline.vocabulary import KnownComponent, KnownMachine

#: longer lines are not read: they are a story, and a story belongs in the remark
MOST_CHARACTERS = 2_000

MOST_TOKENS = 250

#: a word is shown in a sentence up to this length
MOST_SHOWN = 40

_REMARK = re.compile(r"(?<![0-9])--+|--+(?![0-9])|//+|(?<![^\W_])[Nn][Oo][Tt][Ee] ?:|[\"“”„«»]")

_CLOSING = re.compile('["“”«»]')

_PIECE = re.compile(r"[0-9]+|[^\W\d_]+(?:'[^\W\d_]+)*|\S")


@dataclass(slots=True, eq=False, repr=False)
class Token:
    """A word, a run of digits or one sign.

    Attributes
    ----------
    text : str
        Folded: lower case, no accents, plain digits.
    shown : str
        As typed, for sentences.
    start, stop : int
        Where it stands in `Typed.text`.
    column : int
        Where it stands in the line as typed, from 1.
    glued : bool
        True when no space stands before it.
    """

    text: str
    shown: str
    start: int
    stop: int
    column: int
    glued: bool

    @property
    def is_number(self) -> bool:
        # isdigit() is also true of signs that int() cannot read
        return "0" <= self.text[0] <= "9"

    @property
    def is_word(self) -> bool:
        return self.text[0].isalpha()


@dataclass(slots=True, eq=False, repr=False)
class Typed:
    """The line without control characters, and the column that each character of it had."""

    text: str
    columns: Sequence[int]


def without_controls(line: str) -> Typed:
    """Drop control and invisible format characters; a tab or a line break becomes a space."""
    if line.isprintable():
        return Typed(line, range(1, len(line) + 1))
    kept: list[str] = []
    columns: list[int] = []
    for column, character in enumerate(line, start=1):
        if character in "\t\n\r\v\f\x85\u2028\u2029":
            kept.append(" ")
        elif unicodedata.category(character) in ("Cc", "Cf", "Cs", "Co", "Cn"):
            continue
        else:
            kept.append(character)
        columns.append(column)
    return Typed("".join(kept), columns)


def split_remark(typed: Typed) -> tuple[str, str, tuple[Problem, ...]]:
    """Take the remark off: after `--`, `//` or `note:`, or between double quotes.

    Returns
    -------
    tuple
        The text with blanks where the remark stood, the remark word for word, and a problem when a quotation mark stays open.
    """
    text, remarks, kept = typed.text, [], []
    problems: tuple[Problem, ...] = ()
    start = 0
    while (match := _REMARK.search(text, start)) is not None:
        kept.append(text[start : match.start()])
        stop = len(text)
        if match[0] not in '"“”„«»':
            remark = text[match.end() :]
        elif (closing := _CLOSING.search(text, match.end())) is not None:
            remark, stop = text[match.end() : closing.start()], closing.end()
        else:
            remark = text[match.end() :]
            message, hint = (
                "The quotation mark is not closed.",
                "Close the remark with another one, or begin it with --.",
            )
            problems = (Problem("open_quote", message, hint, typed.columns[match.start()]),)
        kept.append(" " * (stop - match.start()))
        remarks.append(remark.strip())
        start = stop
    kept.append(text[start:])
    return "".join(kept), "; ".join(remark for remark in remarks if remark), problems


def _fold(text: str) -> tuple[str, Sequence[int]]:
    """Return `text` in lower case without accents, and for every character of it the index it came from."""
    if text.isascii():
        return text.lower(), range(len(text))
    folded: list[str] = []
    origins: list[int] = []
    for index, character in enumerate(text):
        plain = _plain(character)
        folded.append(plain)
        origins.extend([index] * len(plain))
    return "".join(folded), origins


def _plain(character: str) -> str:
    """Return the plain form of one character: "É" -> "e", "½" -> " 1/2", "–" -> "-", "٤" -> "4"."""
    if character.isascii():
        return character.lower()
    digit = unicodedata.decimal(character, None)
    if digit is not None:
        return str(digit)
    if unicodedata.category(character) == "Pd" or character == "−":
        return "-"
    if character in "’‘ʼ`´":
        return "'"
    spread = unicodedata.normalize("NFKD", character)
    if "⁄" in spread:
        spread = " " + spread.replace("⁄", "/")
    return "".join(one for one in spread.casefold() if not unicodedata.category(one).startswith("M"))


def cut(text: str, columns: Sequence[int]) -> list[Token]:
    """Cut `text` into at most `MOST_TOKENS` + 1 tokens. A hyphen between two parts of one word falls away ("knock-on")."""
    folded, origins = _fold(text)
    tokens: list[Token] = []
    last_stop = -1
    for match in _PIECE.finditer(folded):
        glued = match.start() == last_stop
        last_stop = match.end()
        if _joins_words(folded, match.start(), match[0]):
            continue
        start, stop = origins[match.start()], origins[match.end() - 1] + 1
        shown = text[start:stop]
        shown = shown if len(shown) <= MOST_SHOWN else shown[:MOST_SHOWN] + "…"
        plain = match[0].removesuffix("'s")
        tokens.append(Token(plain, shown, start, stop, columns[start], glued))
        if len(tokens) > MOST_TOKENS:
            break
    return tokens


def _joins_words(folded: str, at: int, piece: str) -> bool:
    """Say whether a hyphen stands inside a word: a letter before it, a letter or digit after it, no space."""
    if piece != "-" or at == 0 or at + 1 >= len(folded):
        return False
    return folded[at - 1].isalpha() and folded[at + 1].isalnum()


@lru_cache(maxsize=4_096)
def words_of(text: str) -> tuple[str, ...]:
    """Return the folded words and numbers of a name, cut as a line is cut, without signs."""
    return tuple(token.text for token in cut(text, range(1, len(text) + 1)) if token.is_word or token.is_number)


@dataclass(frozen=True, slots=True)
class Problem:
    """Something in the line that must be settled by the person who wrote it.

    Attributes
    ----------
    code : str
        A short name for programs, such as "unknown_word".
    message, hint : str
        One plain sentence what is wrong, and one what to do.
    column : int
        Where in the line as it was typed, counted from 1.
    """

    code: str
    message: str
    hint: str
    column: int


@dataclass(frozen=True, slots=True)
class Understanding:
    """A line, understood.

    Attributes
    ----------
    machine, component : KnownMachine, KnownComponent or None
        Where it broke; None when the line does not settle it.
    positions : tuple of int
        Ascending, each once.
    downtime_seconds, labour_seconds : int or None
        How long the machine stood and how long people worked; None when not said.
    at : datetime
        When it broke, in UTC.
    read_at : datetime
        The moment at which the line was understood, in UTC: "today" is counted from it.
    note : str
        The free remark, word for word.
    assumed : tuple of str
        What was not said and taken for granted: any of "machine", "cause", "mode", "action", "at", and of a date "year", "time".
    problems : tuple of Problem
        In the order of the line.
    """

    machine: KnownMachine | None
    component: KnownComponent | None
    positions: tuple[int, ...]
    cause: Cause
    mode: Mode
    action: Action
    downtime_seconds: int | None
    labour_seconds: int | None
    at: datetime
    read_at: datetime
    note: str
    assumed: tuple[str, ...]
    problems: tuple[Problem, ...]
