"""A typed line cut into words, numbers and signs, with the remark taken off; what each token was taken for; what was understood.

Every token remembers its column in the line as it was typed, although control characters are dropped, accents fall away and ½ is
read as 1/2. All of it is one pass over the text, whatever the text. Nothing here knows parts or time, or decides anything.

The records that live only while a line is read, here and in the modules around, have no frozen attributes, equality or repr:
building those took half of the time that the import of this package may take.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import datetime
from enum import StrEnum
from functools import lru_cache
from uuid import UUID

from wearlog.facts.closed_lists import Action, Cause, Mode
from wearlog.logbook.quickline.vocabulary import KnownComponent, KnownMachine
from wearlog.logbook.quickline.words import Sense

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


class Role(StrEnum):
    """What a token was understood as."""

    KIND = "kind"
    MACHINE = "machine"
    PLACE = "place"
    SENSE = "sense"
    REASON = "reason"
    TIME = "time"
    DURATION = "duration"
    COUNT = "count"
    POSITION = "position"
    SMALL = "small"
    BLAMED = "blamed"


@dataclass(slots=True, eq=False, repr=False)
class KindMention:
    """Words that name a kind of part. `soft` when the same words can also be a cause ("bolt")."""

    start: int
    stop: int
    kinds: frozenset[UUID]
    plural: bool
    soft: bool


@dataclass(slots=True, eq=False, repr=False)
class MachineMention:
    """Words that name a machine. `generic` when they only say what it is ("header")."""

    start: int
    stop: int
    machines: frozenset[UUID]
    generic: bool


@dataclass(slots=True, eq=False, repr=False)
class SenseMention:
    start: int
    stop: int
    sense: Sense


@dataclass(slots=True, eq=False, repr=False)
class Scan:
    """A line being read."""

    text: str
    tokens: list[Token]
    roles: list[Role | None]
    problems: list[Problem] = field(default_factory=list)
    kinds: list[KindMention] = field(default_factory=list)
    machines: list[MachineMention] = field(default_factory=list)
    senses: list[SenseMention] = field(default_factory=list)

    def free(self, index: int) -> bool:
        """Say whether there is a token at `index` that nothing has claimed yet."""
        return 0 <= index < len(self.tokens) and self.roles[index] is None

    def word(self, index: int) -> str:
        """Return the folded text of a free token, else an empty string."""
        return self.tokens[index].text if self.free(index) else ""

    def sign(self, index: int, signs: str) -> bool:
        """Say whether one of `signs` stands free at `index`."""
        return self.free(index) and self.tokens[index].text in signs

    def glued(self, index: int) -> bool:
        """Say whether the token at `index` stands right behind the one before it."""
        return 0 < index < len(self.tokens) and self.tokens[index].glued

    def digits(self, index: int, most: int = 6) -> int | None:
        """Return the number at `index` when it is a free run of at most `most` digits."""
        if not self.free(index):
            return None
        token = self.tokens[index]
        return int(token.text) if token.is_number and len(token.text) <= most else None

    def claim(self, start: int, stop: int, role: Role) -> None:
        """Mark the tokens from `start` up to `stop` as understood."""
        self.roles[start:stop] = [role] * (stop - start)

    def shown(self, start: int, stop: int) -> str:
        """Return the tokens from `start` up to `stop` as they were typed."""
        return self.text[self.tokens[start].start : self.tokens[stop - 1].stop]

    def blame(self, code: str, message: str, hint: str, index: int) -> None:
        """Add a problem at the token `index` (column 1 when there is no such token)."""
        column = self.tokens[index].column if 0 <= index < len(self.tokens) else 1
        self.problems.append(Problem(code, message, hint, column))


def either(choices: list[str], word: str = "or") -> str:
    """Join choices for a sentence: "A, B or C"."""
    return choices[0] if len(choices) == 1 else f"{', '.join(choices[:-1])} {word} {choices[-1]}"
