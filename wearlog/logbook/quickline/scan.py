"""The working state of one reading: which token was understood as what, and what went wrong. It decides nothing itself.

The records that live only while a line is read, here and in the modules around, have no frozen attributes, equality or repr:
building those took half of the time that the import of this package may take.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum
from uuid import UUID

from wearlog.logbook.quickline.tokens import Problem, Token
from wearlog.logbook.quickline.words import Sense


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
