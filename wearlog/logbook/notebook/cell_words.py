"""The words of cells, by the phrases of the plain line: kinds of part, what happened, positions, times. Each text is read once."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Final
from uuid import UUID

from wearlog.facts.closed_lists import Action
from wearlog.facts.plain_text import folded
from wearlog.facts.positions import MOST_POSITIONS, SPAN_WORDS
from wearlog.logbook.notebook.days_and_figures import duration_in
from wearlog.logbook.plain_line.phrases import Phrase, Phrases, longest_phrase
from wearlog.logbook.plain_line.said_table import Said
from wearlog.logbook.plain_line.spoken import mended
from wearlog.logbook.quickline.durations import units
from wearlog.logbook.quickline.lexicon import distance
from wearlog.logbook.quickline.words import WORDS

_PIECE: Final = re.compile(r"\d+(?:[.,]\d+)?(?![\d,]*\d{3})|\d+|[^\W\d_]+(?:'[^\W\d_]+)*|\S")
_TIMES: Final = "|".join(sorted((one for one, size in units().items() if size in (60, 3600)), key=len, reverse=True))
_DURATION: Final = re.compile(
    rf"(?:\b(labou?r|work(?:ed)?|shop)\s+)?((?:\d+:\d\d|\d+(?:[.,]\d+)?|half an|½)\s*(?:{_TIMES})\b\.?"
    rf"(?:\s*\d+\s*(?:min|mins|m)\b\.?)?)(?:\s*(?:of\s+)?(labou?r|work|down|stood|lost|in the shop))?"
)
_MONEY: Final = re.compile(
    r"[$€£]\s*(\d+(?:[.,]\d\d?)?)|(\d+(?:[.,]\d\d?)?)\s*(?:[$€£]|bucks|dollars|usd|cad|eur)(?!\w)"
)
_METER: Final = re.compile(rf"(?:@|at)\s*(\d[\d.,]*)\s*(eng(?:ine)?|sep(?:arator)?)?\s*(?:{_TIMES})\b")
_END: Final = re.compile(
    r"\b(?:(l|left|lh|r|right|rh|both)[\s-]*(?:hand\s*)?(ends?|side|tip))\b|\b(?:end|tip)\s+(left|right|l|r)\b"
)
_LONE_END: Final = re.compile(r"(?:far |outer )?(l|left|lh|r|right|rh)(?: hand)?\.?$")
_MIDDLE: Final = re.compile(r"\b(?:centre|center|middle|mid|inner|outer)\b")
_EVERY: Final = re.compile(r"\b(?:all|every|whole|full set|complete set|entire|full knife|whole knife)\b")
#: "12 (was 13)", "all but 3", "5 from the right", "R3", "every 2nd 1-19", "40?", "7..9"
_DOUBTFUL: Final = re.compile(
    r"[?~…]|\.\.|\b(?:was|between|not|but|except|every|all|other|alternate|or|about|ca)\b|\bold\W*\d"
    r"|\bfrom (?:the )?(?:right|rh|r)\b|(?<![a-z])(?:rh?|right)[\s.#]*\d|\d\s*(?:rh?|right)(?![a-z])(?!\W*(?:end|side|tip))"
)
_NOBODY_KNOWS: Final = re.compile(r"\?")
_SPAN: Final = ("-", "–", "—", *SPAN_WORDS)
_JOINS: Final = frozenset({"and", "plus", "also", "n"})
_SIDES: Final = {"l": "left", "lh": "left", "r": "right", "rh": "right"}


@dataclass(slots=True, eq=False)
class CellSaid:
    """What the words of a text say together.

    Attributes
    ----------
    called, ends_so : frozenset of UUID
        The kinds of part that are called so, and those whose name only ends or begins so.
    kind_text : str
        The words for the kind.
    kinds : int
        How many parts were named, one behind the other.
    positions : tuple of int
        As written, ascending; `end` is "left", "right" or "both" where an end was named, `middle` where no number was.
    count : int or None
        A number before the part.
    stood, labour : int or None
        Seconds.
    unknown : tuple of str
        Words that nobody knows.
    between : str
        Figures that may mean others: "20 bis 23" may be four positions or two.
    """

    called: frozenset[UUID] = frozenset()
    ends_so: frozenset[UUID] = frozenset()
    kind_text: str = ""
    kinds: int = 0
    machines: frozenset[UUID] = frozenset()
    said: tuple[Said, ...] = ()
    positions: tuple[int, ...] = ()
    figures: int = 0
    every: bool = False
    end: str = ""
    middle: bool = False
    count: int | None = None
    stood: int | None = None
    labour: int | None = None
    money: str = ""
    meter: str = ""
    unknown: tuple[str, ...] = ()
    between: str = ""
    mended: tuple[str, ...] = ()


@dataclass(slots=True, eq=False)
class CellWords:
    """Reads texts by the phrases of a farm, and the words that a person gave for this notebook.

    Parameters
    ----------
    words : mapping of str to str
        What the notebook says -> what it means: "sickle" -> "knife section", "the old one" -> "Alder".
    """

    phrases: Phrases
    words: Mapping[str, str] = field(default_factory=dict)
    _seen: dict[str, CellSaid] = field(default_factory=dict)
    _replace: re.Pattern[str] | None = None
    _meant: dict[str, str] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self._meant = {folded(word): meant for word, meant in self.words.items()}
        if self._meant:
            listed = "|".join(re.escape(one) for one in sorted(self._meant, key=len, reverse=True))
            self._replace = re.compile(rf"(?<!\w)(?:{listed})(?!\w)")

    def meant(self, text: str) -> str:
        """Return a text in one case, with the notebook's own words replaced by what they mean."""
        clean = folded(text)
        return self._replace.sub(lambda one: self._meant[one[0]], clean).casefold() if self._replace else clean

    def called(self, text: str) -> str:
        """Return a name, or what it means where somebody said so."""
        return self._meant.get(folded(text), text) if self._meant else text

    def read(self, text: str) -> CellSaid:
        """Read a text."""
        found = self._seen.get(text)
        if found is None:
            found = self._seen[text] = self._read(self.meant(text))
        return found

    def read_part(self, text: str) -> CellSaid:
        """Read the name of a part, also turned round as counters write it: "CHAIN, FEEDER HOUSE"."""
        said = self.read(text)
        pieces = [one.strip() for one in text.split(",")]
        if len(pieces) < 2 or any(one[:1].isdigit() for one in pieces):
            return said
        turned = self.read(" ".join(reversed(pieces)))
        return turned if len(turned.kind_text.split()) > len(said.kind_text.split()) else said

    def read_positions(self, text: str) -> CellSaid:
        """Read what stands under positions: what makes its figures other than they stand there is doubtful."""
        said = self.read(text)
        doubtful = _DOUBTFUL if said.positions else _NOBODY_KNOWS
        return said if said.between or not doubtful.search(self.meant(text)) else replace(said, between=text)

    def as_done(self, said: CellSaid) -> CellSaid:
        """Return what "left" alone says of what was done, and not of where."""
        return replace(said, end="", said=(*said.said, Said(action=Action.LEFT)))

    def without_positions(self, said: CellSaid) -> CellSaid:
        """Return what a text says without the positions in it."""
        return replace(said, positions=(), figures=0)

    def _read(self, text: str) -> CellSaid:
        said = CellSaid()
        text = _take_ends(said, _take_figures(said, text))
        pieces = _PIECE.findall(text)
        if len(pieces) > 120:
            said.unknown = (text,)
            return said
        _Walk(self.phrases, pieces, said).walk()
        return said


def _take_figures(said: CellSaid, text: str) -> str:
    """Take out times, money and meters: a figure with its unit is no position."""
    meter = _METER.search(text)
    if meter is not None:
        said.meter = meter[0].lstrip("@at ")
        text = text.replace(meter[0], " ")
    for found in list(_DURATION.finditer(text)):
        amount = duration_in(re.sub(r"half an", "0.5", found[2]))
        if amount is None or not amount[1]:
            continue
        seconds = round(amount[0] * 60)
        if (found[1] or (found[3] or "")).startswith(("lab", "work", "shop", "in the")):
            said.labour = seconds
        elif said.stood is None:
            said.stood = seconds
        else:
            said.unknown = (*said.unknown, found[2])
        text = text.replace(found[0], " , ", 1)
    money = _MONEY.search(text)
    if money is not None:
        said.money = money[1] or money[2]
        text = text.replace(money[0], " , ", 1)
    return text


def _take_ends(said: CellSaid, text: str) -> str:
    lone = _LONE_END.fullmatch(text.strip())
    found = _END.search(text)
    if lone is not None:
        said.end = _SIDES.get(lone[1], lone[1])
        return ""
    if found is not None:
        side = found[1] or found[3]
        said.end = _SIDES.get(side, side)
        text = text.replace(found[0], " , ", 1)
    if _MIDDLE.search(text):
        said.middle = True
        text = _MIDDLE.sub(" ", text)
    if _EVERY.search(text):
        said.every = True
        text = _EVERY.sub(" ", text)
    return text


class _Walk:
    """One way through the pieces of a text, longest phrases first."""

    def __init__(self, phrases: Phrases, pieces: Sequence[str], said: CellSaid) -> None:
        self.phrases, self.pieces, self.said = phrases, list(pieces), said
        self.positions: set[int] = set()
        self.unknown: list[str] = list(said.unknown)
        self.mended: list[str] = []
        self.known: list[Said] = []

    def walk(self) -> None:
        at = 0
        while at < len(self.pieces):
            piece = self.pieces[at]
            if piece[0].isdigit():
                at = self._number(at)
            elif piece[0].isalpha():
                at = self._phrase(at)
            else:
                at += 1
        said = self.said
        said.positions = tuple(sorted(self.positions))
        said.said, said.unknown, said.mended = tuple(self.known), tuple(self.unknown), tuple(self.mended)

    def _number(self, at: int) -> int:
        piece = self.pieces[at]
        if re.fullmatch(r"\d{1,4},\d{1,4}", piece):
            # "41,42" is two positions; a decimal comma has its unit behind it and was taken out
            self._add(*(int(one) for one in piece.split(",")))
            return at + 1
        if not piece.isdigit():
            self.unknown.append(piece)
            return at + 1
        first = int(piece)
        after = at + 1
        if self._text(after) in _SPAN and self._text(after + 1).isdigit():
            last = int(self._text(after + 1))
            if first <= last <= MOST_POSITIONS and last - first < 1000:
                self._add(*range(first, last + 1))
            else:
                self.unknown.append(f"{first}-{last}")
            return after + 2
        if self._is_count(at):
            self.said.count = first
            return after + (self._text(after) in ("x", "×"))
        if 1900 <= first <= 2100:
            return after
        self._add(first)
        return after

    def _add(self, *positions: int) -> None:
        self.positions.update(positions)
        self.said.figures += 1

    def _is_count(self, at: int) -> bool:
        """A number before the part is how many: "2 sections", "3x guard", "x3"; one behind it is where."""
        if self._text(at - 1) in ("x", "×") or self._text(at + 1) in ("x", "×"):
            return True
        if self.said.kinds or self._text(at - 1) in ("#", "no", "nr", "number", "pos", "position", "at"):
            return False
        ahead = at + 1
        while ahead < len(self.pieces) and ahead < at + 4 and self._text(ahead)[0].isalpha():
            phrase, length = self._longest(ahead)
            if phrase is not None and (phrase.called or phrase.ends_so):
                return True
            ahead += max(length, 1)
        return False

    def _text(self, at: int) -> str:
        return self.pieces[at] if 0 <= at < len(self.pieces) else ""

    def _longest(self, at: int) -> tuple[Phrase | None, int]:
        """Return the longest phrase that begins here, and how many pieces it has."""
        letters, best, length = "", None, 0
        step = at
        words = 0
        while step < len(self.pieces) and words < longest_phrase():
            piece = self.pieces[step]
            if piece in ("-", "'") and words:
                step += 1
                continue
            if not piece[0].isalnum():
                break
            letters += piece.replace("'", "")
            words += 1
            step += 1
            found = self.phrases.at(letters)
            if found is not None:
                best, length = found, step - at
        return best, length

    def _phrase(self, at: int) -> int:
        if self.pieces[at] == "left" and at and not self._text(at + 1).isalpha():
            # behind what happened it is what was done: it was left in
            self.known.append(Said(action=Action.LEFT))
            return at + 1
        phrase, length = self._longest(at)
        word = self.pieces[at]
        if phrase is None:
            if self._text(at - 1).isdigit() and self._text(at + 1).isdigit() and word not in _JOINS:
                self.said.between = " ".join(self.pieces[at - 1 : at + 2])
            if word in WORDS.small or len(word) < 3:
                return at + 1
            slip = mended(word, self.phrases.beginning(word[:2])) if len(word) > 3 else ""
            if slip and distance(word, slip, 1) > 1:
                # "freight" is no slip of "flight": where nobody looks on, one letter must be enough
                slip = ""
            phrase = self.phrases.at(slip) if slip else None
            if phrase is None:
                self.unknown.append(word)
                return at + 1
            self.mended.append(f"{word} read as {slip}")
            length = 1
        self._take(phrase, " ".join(self.pieces[at : at + length]))
        return at + length

    def _take(self, phrase: Phrase, text: str) -> None:
        said = self.said
        if phrase.said is not None and not (phrase.called and not self.said.kinds and phrase.said.mode is None):
            self.known.append(phrase.said)
        elif phrase.called or phrase.ends_so:
            said.kinds += 1
            if said.kinds == 1:
                said.called, said.ends_so = frozenset(phrase.called), frozenset(phrase.ends_so)
                said.kind_text = text
        elif phrase.machines and not phrase.generic:
            said.machines |= frozenset(phrase.machines)
        elif phrase.field_id is None and phrase.crop_id is None and not phrase.generic:
            self.unknown.append(text)
