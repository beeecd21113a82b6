"""The working state of one plain line: its tokens, what each was taken for, what has to be asked, and what stays as its note.

It decides nothing itself.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime
from enum import StrEnum
from typing import Final
from uuid import UUID

from wearlog.logbook.plain_line.phrases import FarmWords, KnownPart, Phrase, Phrases, longest_phrase
from wearlog.logbook.plain_line.spoken import mended, ordinary_words
from wearlog.logbook.quickline.tokens import Role, Scan, Token
from wearlog.logbook.quickline.vocabulary import KnownMachine
from wearlog.logbook.quickline.words import WORDS

_LEADING: Final = frozenset(
    {"and", "so", "it", "was", "is", "were", "are", "then", "that", "plus", "or", "but", "also", "too", "we"}
)

_OUTER: Final = " ,;.:/+&-|"


def note_of(line: Line, start: int, stop: int) -> str:
    """Return the words of this stretch that nothing has claimed, in the order of the line; runs are parted by a semicolon."""
    runs: list[str] = []
    index = start
    while index < stop:
        if not _loose(line, index):
            index += 1
            continue
        end = index
        while end < stop and _loose(line, end):
            end += 1
        text = _run(line, index, end)
        if text:
            runs.append(text)
        index = end
    return "; ".join(runs)


def _loose(line: Line, index: int) -> bool:
    """Say whether a word is kept: nothing claimed it, it says why or in which field, or its mode is only taken from it."""
    role = line.scan.roles[index]
    if role is Role.SENSE:
        says = next((mark.phrase.said for mark in line.of(Tag.SAID) if mark.start <= index < mark.stop), None)
        return says is not None and says.soft and says.action is None
    return role in (None, Role.REASON, Role.PLACE)


def _run(line: Line, start: int, end: int) -> str:
    """Return a run word for word; nothing where it holds small words and signs only."""
    while start < end and (line.text(start) in _LEADING or _is_sign(line, start)):
        start += 1
    while end > start and _is_sign(line, end - 1) and line.text(end - 1) not in "%!)":
        end -= 1
    says = [at for at in range(start, end) if not _is_sign(line, at) and line.text(at) not in SMALL]
    if not says:
        return ""
    text = line.scan.shown(start, end).strip(_OUTER)
    return text if "(" in text else text.rstrip(")")


def _is_sign(line: Line, index: int) -> bool:
    token = line.tokens[index]
    return not (token.is_word or token.is_number)


#: words that say nothing by themselves and are never kept as a note alone
SMALL = frozenset(WORDS.small) | frozenset(
    {
        *(
            "so",
            "we",
            "i",
            "me",
            "he",
            "she",
            "they",
            "us",
            "you",
            "her",
            "his",
            "hey",
            "well",
            "ok",
            "now",
            "to",
            "as",
            "be",
            "been",
        ),
        *(
            "were",
            "cutting",
            "do",
            "did",
            "does",
            "or",
            "but",
            "if",
            "too",
            "all",
            "both",
            "each",
            "new",
            "old",
            "put",
            "up",
            "get",
        ),
        *(
            "let",
            "say",
            "said",
            "says",
            "please",
            "log",
            "machine",
            "header",
            "headers",
            "combine",
            "combines",
            "today",
            "right",
            "left",
        ),
        *(
            "happened",
            "found",
            "because",
            "over",
            "under",
            "near",
            "next",
            "into",
            "onto",
            "line",
            "these",
            "those",
            "here",
            "must",
        ),
        *(
            "another",
            "please",
            "like",
            "really",
            "bit",
            "little",
            "still",
            "yet",
            "plus",
            "while",
            "which",
            "who",
            "him",
            "them",
        ),
    }
)

_APOSTROPHE = "'"


class Tag(StrEnum):
    """What a phrase of the line names."""

    KIND = "kind"
    MACHINE = "machine"
    FIELD = "field"
    CROP = "crop"
    SAID = "said"


@dataclass(slots=True, eq=False)
class PhraseMark:
    """A phrase found in the line, at the tokens from `start` up to `stop`. `partial`: a kind whose name only ends so."""

    start: int
    stop: int
    tag: Tag
    phrase: Phrase
    kinds: frozenset[UUID] = frozenset()
    partial: bool = False


@dataclass(slots=True, eq=False)
class Line:
    """A line being read."""

    scan: Scan
    farm: FarmWords
    phrases: Phrases
    now: datetime
    marks: list[PhraseMark] = field(default_factory=list)
    corrected: list[str] = field(default_factory=list)
    asks: list[tuple[str, str]] = field(default_factory=list)
    remark: str = ""
    person: str = ""
    part: KnownPart | None = None
    #: where its number stands, or nowhere
    part_at: tuple[int, int] = (-1, -1)
    many: list[KnownMachine] = field(default_factory=list)
    _letters: str = ""

    @property
    def tokens(self) -> list[Token]:
        return self.scan.tokens

    def of(self, tag: Tag) -> list[PhraseMark]:
        """Return the marks of one tag, in the order of the line."""
        return [mark for mark in self.marks if mark.tag is tag]

    def text(self, index: int) -> str:
        """Return the folded text of the token at `index`, claimed or not; empty outside."""
        return self.tokens[index].text if 0 <= index < len(self.tokens) else ""

    def has(self, *phrases: str) -> bool:
        """Say whether one of these phrases stands in the line, as words."""
        padded = self._padded()
        return any(f" {phrase.replace(_APOSTROPHE, '')} " in padded for phrase in phrases)

    def forget(self) -> None:
        """Look at the tokens anew: one of them was changed."""
        self._letters = ""

    def _padded(self) -> str:
        if not self._letters:
            self._letters = f" {' '.join(token.text for token in self.tokens)} ".replace(_APOSTROPHE, "")
        return self._letters

    def find(self, phrase: str) -> int | None:
        """Return where a phrase stands, or None."""
        at = self._padded().find(f" {phrase.replace(_APOSTROPHE, '')} ")
        return None if at < 0 else self._padded().count(" ", 0, at)

    def ask(self, message: str, hint: str) -> None:
        """Remember what has to be asked; the first question is the one that is put."""
        self.asks.append((message, hint))

    def drop(self, mark: PhraseMark) -> None:
        """Take a mark back: its words are free again, for the note."""
        self.marks.remove(mark)
        self.scan.roles[mark.start : mark.stop] = [None] * (mark.stop - mark.start)


def mend_words(line: Line) -> None:
    """Read misspelt words as the known ones they are slips of, and remember what was read how."""
    known = line.phrases.words
    tokens = line.tokens
    for index, token in enumerate(tokens):
        word = token.text.replace("'", "")
        if not token.is_word or word in known or word in ordinary_words() or word in SMALL or _in_phrase(line, index):
            continue
        if line.farm.is_money(word):
            continue
        meant = mended(word, line.phrases.beginning(word[:2]))
        if meant:
            line.corrected.append(f"{token.shown} read as {meant}")
            tokens[index] = Token(meant, token.shown, token.start, token.stop, token.column, token.glued)
            line.forget()


def _in_phrase(line: Line, index: int) -> bool:
    """Say whether the word belongs to a phrase with its neighbour: "home place" for Homeplace."""
    around = (line.text(index - 1) + line.text(index), line.text(index) + line.text(index + 1))
    return any(letters != line.text(index) and line.phrases.at(letters) is not None for letters in around)


def find_part(line: Line) -> None:
    """Claim the number of a part of the farm's list: "used QF-1020"."""
    numbers = {_letters_of(part.number): part for part in line.farm.parts if part.number}
    for start in range(len(line.tokens)):
        letters = ""
        for stop in range(start, min(start + 5, len(line.tokens))):
            letters += line.text(stop).replace("-", "")
            if letters in numbers and not letters.isdigit():
                line.part, line.part_at = numbers[letters], (start, stop + 1)
                line.scan.claim(start, stop + 1, Role.COUNT)
                return


def _letters_of(number: str) -> str:
    return "".join(one for one in number.casefold() if one.isalnum())


def find_marks(line: Line) -> None:
    """Claim the phrases of the line from left to right, at each place the longest one."""
    index = 0
    while index < len(line.tokens):
        index = _claim_longest(line, index)


def _claim_longest(line: Line, start: int) -> int:
    letters = ""
    ends: list[tuple[int, str]] = []
    for stop in range(start, min(start + longest_phrase(), len(line.tokens))):
        token = line.tokens[stop]
        if not (token.is_word or token.is_number) or line.scan.roles[stop] is not None:
            break
        letters += token.text.replace("'", "")
        ends.append((stop + 1, letters))
    for stop, joined in reversed(ends):
        if line.tokens[start].is_number:
            break
        phrase = line.phrases.at(joined)
        mark = _mark(start, stop, phrase) if phrase is not None else None
        if mark is not None:
            line.marks.append(mark)
            line.scan.claim(start, stop, _ROLES[mark.tag])
            return stop
    return start + 1


def name_by_number(line: Line) -> None:
    """Let the number of a part stand for its name where the line names no other: "received 20 QF-1010"."""
    if line.part is None or not line.part.kind_ids or line.of(Tag.KIND):
        return
    start, stop = line.part_at
    mark = PhraseMark(start, stop, Tag.KIND, Phrase(called=set(line.part.kind_ids)), line.part.kind_ids)
    line.marks.append(mark)
    line.marks.sort(key=lambda one: one.start)
    line.scan.roles[start:stop] = [Role.KIND] * (stop - start)


_ROLES = {
    Tag.KIND: Role.KIND,
    Tag.MACHINE: Role.MACHINE,
    Tag.FIELD: Role.PLACE,
    Tag.CROP: Role.PLACE,
    Tag.SAID: Role.SENSE,
}


def _mark(start: int, stop: int, phrase: Phrase) -> PhraseMark | None:
    """Return what a phrase is taken for: a whole name first, then what is said, then the end of a name."""
    if phrase.called:
        return PhraseMark(start, stop, Tag.KIND, phrase, frozenset(phrase.called))
    if phrase.machines:
        return PhraseMark(start, stop, Tag.MACHINE, phrase)
    if phrase.field_id is not None:
        return PhraseMark(start, stop, Tag.FIELD, phrase)
    if phrase.said is not None:
        return PhraseMark(start, stop, Tag.SAID, phrase)
    if phrase.crop_id is not None:
        return PhraseMark(start, stop, Tag.CROP, phrase)
    if phrase.ends_so:
        return PhraseMark(start, stop, Tag.KIND, phrase, frozenset(phrase.ends_so), partial=True)
    return None
