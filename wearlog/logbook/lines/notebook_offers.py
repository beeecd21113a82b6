"""What a notebook names and the log does not have: machines, fields, crops, kinds, parts of machines, articles, services."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass
from enum import StrEnum, unique
from typing import Final
from uuid import UUID

from wearlog.facts.closed_lists import Ground, MachineKind, Subsystem
from wearlog.facts.plain_text import folded
from wearlog.logbook.notebook.holds import Holds
from wearlog.logbook.notebook.note_entry import Ask, Means, NoteEntry, NoteRow
from wearlog.logbook.plain_line import FarmWords
from wearlog.units import from_stored


@unique
class Lack(StrEnum):
    """What is not there."""

    MACHINE = "machine"
    FIELD = "field"
    CROP = "crop"
    KIND = "kind of part"
    PART = "part"
    ARTICLE = "article"
    SERVICE = "service"


#: what may be made: what it is, on which machine (or ""), how it is called; both in one case
Made = tuple[Lack, str, str]


def made_key(lack: Lack, name: str, machine: str = "") -> Made:
    """Return by what an offer is known."""
    return lack, folded(machine), folded(name)


@dataclass(frozen=True, slots=True, kw_only=True)
class Offer:
    """Something that is not there, with one answer for all rows that name it.

    Attributes
    ----------
    rows : tuple of NoteRow
        Those that name it.
    ways : tuple of str
        What it can be made as, as `--make` takes it behind the equals sign; () where there is only one way.
    called : tuple of str
        What it may be instead.
    """

    lack: Lack
    name: str
    machine: str = ""
    rows: tuple[NoteRow, ...]
    ways: tuple[str, ...] = ()
    called: tuple[str, ...] = ()

    @property
    def key(self) -> Made:
        """By what it is known."""
        return made_key(self.lack, self.name, self.machine)

    @property
    def says(self) -> str:
        """What is not there: "field 'North' is not there"."""
        if self.lack is Lack.PART:
            return f"{self.machine} has no {self.name} in the log"
        if self.lack is Lack.SERVICE:
            return f"{self.machine} has no service '{self.name}'"
        if self.lack is Lack.ARTICLE:
            return f"the parts list has no {self.name}"
        return f"{self.lack.value} '{self.name}' is not there"


def offers_of(
    farm: FarmWords, rows: Sequence[NoteRow], known: Collection[str], agreed: Collection[Made]
) -> tuple[Offer, ...]:
    """Return what rows name that is not there, what most rows name first.

    Parameters
    ----------
    known : collection of str
        Digests of rows that are in the log.
    agreed : collection of Made
        What may be made already.
    """
    named: dict[Made, list[NoteRow]] = defaultdict(list)
    called: dict[Made, tuple[str, str]] = {}
    for row in rows:
        if row.digest in known:
            continue
        for lack, name, machine in _lacks(farm, row):
            key = made_key(lack, name, machine)
            if key not in agreed:
                called.setdefault(key, (name, machine))
                named[key].append(row)
    found = [_offer(farm, key[0], *called[key], tuple(of)) for key, of in named.items()]
    return tuple(sorted(found, key=lambda one: (list(Lack).index(one.lack), -len(one.rows), one.name)))


def _lacks(farm: FarmWords, row: NoteRow) -> set[tuple[Lack, str, str]]:
    if row.question is not None:
        name = row.question.missing
        sort = {Ask.MACHINE: Lack.MACHINE, Ask.PART: Lack.KIND}.get(row.question.ask)
        return {(sort, name, "")} if name and sort is not None else set()
    found: set[tuple[Lack, str, str]] = set()
    for entry in row.entries:
        if entry.what is Means.RUN:
            if entry.field_name and not _has(farm.fields, entry.field_name):
                found.add((Lack.FIELD, entry.field_name, ""))
            if entry.crop_name and not _has(farm.crops, entry.crop_name):
                found.add((Lack.CROP, entry.crop_name, ""))
        elif entry.what in (Means.BREAKAGE, Means.PLANNED):
            if entry.component_id is None and entry.kind and entry.machine and not _sits(farm, entry):
                found.add((Lack.PART, entry.kind, entry.machine))
        elif entry.what in (Means.PURCHASE, Means.COUNT):
            if entry.part_id is None and not _listed(farm, entry):
                found.add((Lack.ARTICLE, entry.part or entry.kind, ""))
        elif entry.what is Means.SERVICE and entry.service_id is None and entry.machine and not _due(farm, entry):
            found.add((Lack.SERVICE, entry.service, entry.machine))
    return found


def _has(listed: Iterable[tuple[UUID, str]], name: str) -> bool:
    return any(one.casefold() == name.casefold() for _, one in listed)


def _sits(farm: FarmWords, entry: NoteEntry) -> bool:
    machine = next((one for one in farm.vocabulary.machines if one.id == entry.machine_id), None)
    return machine is not None and any(one.kind_id == entry.kind_id for one in machine.components)


def _listed(farm: FarmWords, entry: NoteEntry) -> bool:
    if entry.part:
        return any(one.number.casefold() == entry.part.casefold() for one in farm.parts)
    return sum(entry.kind_id in one.kind_ids for one in farm.parts) == 1


def _due(farm: FarmWords, entry: NoteEntry) -> bool:
    return any(
        one.machine_id == entry.machine_id and one.name.casefold() == entry.service.casefold() for one in farm.services
    )


def _offer(farm: FarmWords, lack: Lack, name: str, machine: str, rows: tuple[NoteRow, ...]) -> Offer:
    ways: tuple[str, ...] = ()
    called: tuple[str, ...] = ()
    if lack is Lack.MACHINE:
        ways = tuple(one.value for one in _sorts(rows))
        called = tuple(one.name for one in farm.vocabulary.machines)
    elif lack is Lack.FIELD:
        area = f"field {_most_cut(name, rows, is_metric=farm.is_metric)}"
        ways = tuple(f"{area} {one.value.replace('_', ' ')}" for one in Ground)
        called = tuple(one for _, one in farm.fields)
    elif lack is Lack.CROP:
        ways, called = ("crop",), tuple(one for _, one in farm.crops)
    elif lack is Lack.KIND:
        ways = tuple(f"kind {one.value.replace('_', ' ')}" for one in Subsystem)
        called = tuple(sorted(kind for kind, _ in farm.vocabulary.every_kind().values()))
    return Offer(lack=lack, name=name, machine=machine, rows=rows, ways=ways, called=called)


_BY_COLUMN: Final = {Holds.HEADER: MachineKind.HEADER, Holds.COMBINE: MachineKind.COMBINE}


def _sorts(rows: Sequence[NoteRow]) -> list[MachineKind]:
    """The sorts of machine, that of the column first."""
    about = rows[0].question.about if rows[0].question is not None else Holds.MACHINE
    first = _BY_COLUMN.get(about, MachineKind.COMBINE)
    return [first, *(one for one in MachineKind if one is not first)]


def _most_cut(name: str, rows: Sequence[NoteRow], *, is_metric: bool) -> str:
    """How large a field is at least: what was cut of it in the year with most."""
    years: dict[int, int] = defaultdict(int)
    for row in rows:
        for one in row.entries:
            if one.what is Means.RUN and one.field_name.casefold() == name.casefold():
                years[one.day.year if one.day is not None else 0] += one.area_square_metres or 0
    unit = "ha" if is_metric else "ac"
    return f"{max(1, round(from_stored(max(years.values(), default=0), unit)))} {unit}"
