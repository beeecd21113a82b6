"""All phrases that a line may hold on one farm, by their letters: kinds, machines, land, crops, services, what is said of parts."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from functools import cache
from typing import Final
from uuid import UUID

from wearlog.facts.closed_lists import MeterKind, Subsystem
from wearlog.logbook.plain_line.electric_words import BLEW, SIGNS, THINGS
from wearlog.logbook.plain_line.said_table import Said, joined, said_phrases, said_words
from wearlog.logbook.plain_line.spoken import as_figures
from wearlog.logbook.quickline.lexicon import forms
from wearlog.logbook.quickline.tokens import cut, words_of
from wearlog.logbook.quickline.vocabulary import Vocabulary
from wearlog.logbook.quickline.words import known_words

#: how people call a kind beside its words in the log; a word for the same thing as the one behind it
_ALSO: Final[tuple[tuple[str, str], ...]] = (
    *(
        ("sec", "section"),
        ("sect", "section"),
        ("sickle", "sickle section"),
        ("blade", "sickle section"),
        ("grd", "guard"),
    ),
    *(
        ("gd", "guard"),
        ("finger guard", "guard"),
        ("rock guard", "guard"),
        ("point", "guard"),
        ("reel tooth", "reel tine"),
    ),
    *(("reel finger", "reel tine"), ("tooth", "tine"), ("pickup tooth", "reel tine"), ("hyd hose", "hydraulic hose")),
    *(("hyd line", "hydraulic hose"), ("oil line", "hydraulic hose"), ("hydraulic pipe", "hydraulic hose")),
    *(
        ("elev chain", "elevator chain"),
        ("clean grain elev chain", "clean grain elevator chain"),
        ("elev paddle", "paddle"),
    ),
    *(
        ("clean grain paddle", "elevator paddle"),
        ("flight paddle", "paddle"),
        ("drive box", "knife drive"),
        ("gear box", "gearbox"),
    ),
    *(("wobble drive", "knife drive"), ("knife gearbox", "knife drive"), ("feeder house chain", "feeder chain")),
    *(
        ("feeder house slat", "slat"),
        ("feeder chain slat", "slat"),
        ("u joint", "universal joint"),
        ("uj", "universal joint"),
    ),
    *(
        ("drive joint", "universal joint"),
        ("cross joint", "universal joint"),
        ("brg", "bearing"),
        ("shoe", "skid shoe"),
    ),
    *(
        ("auger tooth", "auger finger"),
        ("retractable finger", "auger finger"),
        ("finger", "reel finger"),
        ("finger", "auger finger"),
    ),
    *(
        ("beater bar", "rasp bar"),
        ("chopper knife", "chopper knife"),
        ("shaker", "straw walker"),
        ("unload auger bolt", "shear bolt"),
    ),
    *(
        ("auger shear bolt", "shear bolt"),
        ("unloader shear bolt", "shear bolt"),
        ("unloading auger shear bolt", "shear bolt"),
    ),
    *(
        ("draper canvas", "draper"),
        ("apron", "draper"),
        ("auger flight", "flighting"),
        ("grain auger flighting", "auger flighting"),
    ),
    *(
        ("clean grain auger flighting", "auger flighting"),
        ("wire harness", "wiring harness"),
        ("speed pickup", "speed sensor"),
    ),
    *(("blower belt", "fan belt"), ("knife clip", "knife clip"), ("hd", "hold down"), ("hold down clip", "hold down")),
    *(
        ("clip", "knife clip"),
        ("skid plate shoe", "skid plate"),
        ("feeder conveyor slat", "slat"),
        ("concave bar", "concave"),
    ),
)

#: ends of names that are ordinary words by themselves
_NO_NAME: Final = tuple((word,) for word in ("down", "up", "off", "out", "set", "unit", "back", "side", "knife"))

_LONGEST: Final = 7

#: the currencies that a word or sign can mean
CURRENCIES: Final = {
    **dict.fromkeys(("dollar", "dollars", "bucks", "$"), ("USD", "CAD", "AUD", "NZD")),
    **dict.fromkeys(("euro", "euros", "eur"), ("EUR",)),
    **{code.casefold(): (code,) for code in ("USD", "CAD", "GBP", "AUD", "NZD")},
}

#: behind a figure they say that it is money; the farm's own currency does as well
MONEY: Final = frozenset((*CURRENCIES, "each", "ea", "apiece"))


@dataclass(slots=True, eq=False)
class Phrase:
    """What one phrase can mean on this farm. `called`: kinds of this name; `ends_so`: kinds whose name only ends or begins so."""

    called: set[UUID] = field(default_factory=set)
    ends_so: set[UUID] = field(default_factory=set)
    plural: bool = False
    machines: set[UUID] = field(default_factory=set)
    generic: bool = False
    field_id: UUID | None = None
    crop_id: UUID | None = None
    said: Said | None = None


@dataclass(slots=True, eq=False)
class Phrases:
    """The phrases by their letters, and every word of them: what a misspelt one is compared with."""

    table: dict[str, Phrase]
    words: dict[str, object]
    names: dict[UUID, str]
    _by_letter: dict[str, list[str]] = field(default_factory=dict)

    def at(self, letters: str) -> Phrase | None:
        """Return what these letters mean."""
        return self.table.get(letters)

    def beginning(self, letters: str) -> list[str]:
        """Return the known words that begin with one of these letters."""
        if not self._by_letter:
            for word in self.words:
                self._by_letter.setdefault(word[:1], []).append(word)
        return [word for letter in dict.fromkeys(letters) for word in self._by_letter.get(letter, ())]


def phrases_of(farm: FarmWords) -> Phrases:
    """Lay out the phrases of a farm."""
    table: dict[str, Phrase] = {letters: Phrase(said=said) for letters, said in said_phrases().items()}
    words: dict[str, object] = dict.fromkeys(said_words() | _plain_words(), None)
    _add_kinds(table, words, farm)
    for machine in farm.vocabulary.machines:
        names = words_of(machine.name)
        _phrase(table, "".join(names)).machines.add(machine.id)
        words["".join(names)] = None
        for name in names:
            if name != machine.kind.value:
                _phrase(table, name).machines.add(machine.id)
                words[name] = None
        for said in (machine.kind.value, f"{machine.kind.value}s"):
            generic = _phrase(table, said)
            generic.generic = True
            generic.machines.add(machine.id)
            words[said] = None
    for service in farm.services:
        words.update(dict.fromkeys(words_of(service.name), None))
    for field_id, name in farm.fields:
        figures = "".join(token.text for token in as_figures(cut(name, range(1, len(name) + 1))))
        for letters in {"".join(words_of(name)), figures}:
            _phrase(table, joined(letters)).field_id = field_id
        words.update(dict.fromkeys(words_of(name), None))
        words["".join(words_of(name))] = None
    for crop_id, name in farm.crops:
        for phrase in {name, name.split()[-1]}:
            _phrase(table, joined("".join(words_of(phrase)))).crop_id = crop_id
        words.update(dict.fromkeys(words_of(name), None))
    return Phrases(table, words, {kind: name for kind, (name, _) in farm.vocabulary.every_kind().items()})


@cache
def _plain_words() -> frozenset[str]:
    """Return the words of the quick line's own tables that a slip may be meant for: units, months, weekdays, parts of the day."""
    electric = [word for thing in THINGS for word in thing.replace("'", "").split()]
    signs = [word for _, listed in SIGNS for phrase in listed for word in phrase.replace("'", "").split()]
    return known_words() | {
        *electric,
        *signs,
        *BLEW,
        *(
            "separator",
            "engine",
            "eng",
            "sep",
            "quarters",
            "quarter",
            "combined",
            "acre",
            "acres",
            "hectare",
            "hectares",
            "rest",
        ),
    }


def _phrase(table: dict[str, Phrase], letters: str) -> Phrase:
    return table.setdefault(letters, Phrase())


def _add_kinds(table: dict[str, Phrase], words: dict[str, object], farm: FarmWords) -> None:
    by_word: dict[str, set[UUID]] = {}
    for kind_id, (name, called) in farm.vocabulary.every_kind().items():
        for phrase in dict.fromkeys((name, name.partition("(")[0], *called)):
            pieces = words_of(phrase)
            by_word.setdefault("".join(pieces), set()).add(kind_id)
            for first in range(len(pieces)):
                _add(table, words, pieces[first:], kind_id, whole=first == 0)
            if len(pieces) > 1:
                _add_beginning(table, pieces[0], kind_id)
    for also, same in _ALSO:
        kinds = by_word.get("".join(words_of(same)), set())
        for kind_id in kinds:
            _add(table, words, words_of(also), kind_id, whole=True)


def _add(
    table: dict[str, Phrase], words: dict[str, object], pieces: tuple[str, ...], kind_id: UUID, *, whole: bool
) -> None:
    """Add a phrase, in singular and plural, as a name of the kind or as the end of one."""
    if not pieces or pieces[-1].isdigit() or pieces in _NO_NAME:
        return
    for last, is_plural in forms(pieces[-1]):
        phrase = _phrase(table, "".join((*pieces[:-1], last)))
        phrase.plural = phrase.plural or is_plural
        (phrase.called if whole else phrase.ends_so).add(kind_id)
        words.setdefault(last, None)
        if len(pieces) > 1:
            words.setdefault("".join((*pieces[:-1], last)), None)
    for piece in pieces[:-1]:
        words.setdefault(piece, None)


def _add_beginning(table: dict[str, Phrase], first: str, kind_id: UUID) -> None:
    """Let a lone word that ends some names also mean the names it begins: "knife" is not only a chopper knife."""
    if first in table and (table[first].called or table[first].ends_so):
        table[first].ends_so.add(kind_id)


def longest_phrase() -> int:
    """Return how many words the longest phrase may have."""
    return _LONGEST


@dataclass(frozen=True, slots=True)
class KnownService:
    """A service that comes round on a machine."""

    id: UUID
    machine_id: UUID
    name: str


@dataclass(frozen=True, slots=True)
class KnownMeter:
    """A meter of a machine."""

    id: UUID
    machine_id: UUID
    kind: MeterKind


#: when a meter was read, and what it showed then in seconds or square metres
Shown = tuple[datetime, int]


def never_read(_: UUID) -> Sequence[Shown]:
    """Return the readings of a meter that nobody has read."""
    return ()


@dataclass(frozen=True, slots=True)
class KnownPart:
    """A part of the parts list: its number and name, how many a pack holds, and which kinds it fits."""

    id: UUID
    number: str
    name: str
    pack_size: int
    kind_ids: frozenset[UUID]
    price_minor: int | None = None


@dataclass(frozen=True, slots=True, repr=False)
class FarmWords:
    """All that a line can name on one farm.

    Attributes
    ----------
    fields, crops : tuple of (id, name)
        The land and what grows on it.
    people : tuple of str
        Who entered something so far, or works on the farm.
    readings : callable
        Takes a meter's id and returns its readings, earliest first; called only for a line that says what a meter shows.
    """

    vocabulary: Vocabulary
    fields: tuple[tuple[UUID, str], ...] = ()
    crops: tuple[tuple[UUID, str], ...] = ()
    services: tuple[KnownService, ...] = ()
    meters: tuple[KnownMeter, ...] = ()
    readings: Callable[[UUID], Sequence[Shown]] = never_read
    parts: tuple[KnownPart, ...] = ()
    subsystems: dict[UUID, Subsystem] = field(default_factory=dict)
    is_metric: bool = False
    people: tuple[str, ...] = ()
    day_first: bool = False
    currency: str = ""

    def is_money(self, word: str) -> bool:
        """Say whether the word behind a figure makes it money."""
        return word in MONEY or word == self.currency.casefold() != ""
