"""The log as a notebook is written into it: what is there, what was made, what is still to be made, step by step. One deed.

A row that is left leaves no trace.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import (
    Callable,
    Collection,
    Iterable,
    Mapping,
    MutableMapping,
    MutableSequence,
    MutableSet,
    Sequence,
)
from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta
from typing import TypeVar
from uuid import UUID

from wearlog.facts.closed_lists import MeterKind, Removal
from wearlog.facts.fact import Fact
from wearlog.facts.machines import Machine, Meter, ServiceItem
from wearlog.facts.parts import Part, PartFit
from wearlog.facts.wearing import Breakage, Component, Fitting
from wearlog.facts.work import Crop, Field, Run
from wearlog.logbook.lines.notebook_offers import Lack, Made, made_key
from wearlog.logbook.names import KnownNames
from wearlog.logbook.notebook.note_entry import NoteEntry
from wearlog.logbook.parts.fitting import change_fittings
from wearlog.logbook.said.measures import FarmSpeaker
from wearlog.store.connection import Connection
from wearlog.store.finding import find_all

_Key = TypeVar("_Key")
_Value = TypeVar("_Value")


class Steps:
    """The changes that were made for one row, each with how it is undone."""

    __slots__ = ("_back",)

    def __init__(self) -> None:
        self._back: list[Callable[[], object]] = []

    def put(self, into: MutableMapping[_Key, _Value], key: _Key, value: _Value) -> None:
        """Write under a key."""
        if key in into:
            before = into[key]
            self._back.append(lambda: into.__setitem__(key, before))
        else:
            self._back.append(lambda: into.pop(key))
        into[key] = value

    def drop(self, out_of: MutableMapping[_Key, _Value], key: _Key) -> _Value:
        """Take what stands under a key out, and return it."""
        value = out_of.pop(key)
        self._back.append(lambda: out_of.__setitem__(key, value))
        return value

    def mark(self, among: MutableSet[_Value], value: _Value) -> None:
        """Add to a set."""
        if value not in among:
            among.add(value)
            self._back.append(lambda: among.discard(value))

    def append(self, to: MutableSequence[_Value], value: _Value) -> None:
        """Add at the end of a list."""
        to.append(value)
        self._back.append(to.pop)

    def keep(self) -> None:
        """Let what was done stand: the next row begins."""
        self._back.clear()

    def take_back(self) -> None:
        """Undo all since the last row, the last step first."""
        while self._back:
            self._back.pop()()


class NotThereError(Exception):
    """The log has no such thing, and nobody said that it may be made. Its text says what."""


@dataclass(slots=True, eq=False)
class NotebookLog:
    """What rows are written into.

    Attributes
    ----------
    may_make : bool
        Parts of machines, articles and services that are not there may be made.
    allowed : collection of Made
        Those of them that may be made in any case.
    first_day : dict of UUID to datetime
        When the notebook first tells anything of a machine.
    most_positions : dict of (machine id, kind id) to int
        The highest position that the notebook names.
    until, read : dict of UUID to datetime
        When the last run of a combine was over, and when a meter was read last, as far as rows are written.
    steps : Steps
        By which all of this is changed, so that a row that is left can be taken back.
    """

    known: KnownNames
    may_make: bool
    allowed: Collection[Made]
    machines: dict[UUID, Machine]
    components: dict[UUID, Component]
    fittings: dict[UUID, dict[UUID, Fitting]]
    meters: dict[tuple[UUID, MeterKind], Meter]
    parts: dict[UUID, Part]
    parts_of_kind: dict[UUID, list[UUID]]
    services: list[ServiceItem]
    runs: list[Run]
    first_day: Mapping[UUID, datetime]
    most_positions: Mapping[tuple[UUID, UUID], int]
    this_year: int
    made: list[Fact] = field(default_factory=list)
    new_fittings: set[UUID] = field(default_factory=set)
    touched: set[UUID] = field(default_factory=set)
    until: dict[UUID, datetime] = field(default_factory=dict)
    read: dict[UUID, datetime] = field(default_factory=dict)
    told: dict[str, None] = field(default_factory=dict)
    steps: Steps = field(default_factory=Steps)

    def _may(self, lack: Lack, name: str, machine: str = "") -> bool:
        return self.may_make or made_key(lack, name, machine) in self.allowed

    @property
    def fitted(self) -> list[Fitting]:
        """The fittings that were made."""
        return [one for by_id in self.fittings.values() for one in by_id.values() if one.id in self.new_fittings]

    @property
    def changed(self) -> list[Fitting]:
        """The fittings of the log that end or begin otherwise now."""
        touched = self.touched - self.new_fittings
        return [one for by_id in self.fittings.values() for one in by_id.values() if one.id in touched]

    def component(self, entry: NoteEntry) -> Component:
        """Return the component of an entry, made where it is not there and may be."""
        if entry.component_id is not None:
            return self.components[entry.component_id]
        if entry.machine_id is None or entry.kind_id is None:
            raise NotThereError(f"The log has no {entry.kind or 'such part'} on {entry.machine or 'a machine'}.")
        for one in self.components.values():
            if one.machine_id == entry.machine_id and one.part_kind_id == entry.kind_id:
                return one
        if not self._may(Lack.PART, entry.kind, entry.machine):
            raise NotThereError(f"The log has no {entry.kind} on {entry.machine}.")
        positions = self.most_positions.get((entry.machine_id, entry.kind_id), 1)
        made = Component(machine_id=entry.machine_id, part_kind_id=entry.kind_id, place=entry.kind, positions=positions)
        self.steps.put(self.components, made.id, made)
        self.steps.append(self.made, made)
        self.steps.put(self.fittings, made.id, {})
        few = f", {positions} positions as far as the notebook names them" if positions > 1 else ""
        self.steps.put(self.told, f"{entry.machine}: {entry.kind} was made{few}", None)
        self._fit_first(made)
        return made

    def _fit_first(self, component: Component) -> None:
        """What was on when the notebook began is of unknown age."""
        since = self.first_day[component.machine_id]
        self._tell_unknown(component, since)
        for position in range(1, component.positions + 1):
            one = Fitting(component_id=component.id, position=position, fitted_at=since, age_when_fitted_usage=None)
            self._put_on(one)

    def _tell_unknown(self, component: Component, since: datetime) -> None:
        day = since.astimezone(FarmSpeaker(self.known.farm).zone).date()
        seasons = self.this_year - day.year + 1
        where = f"{self.machines[component.machine_id].name}, {component.place}"
        said = f"{where}: what was on before {day} is of unknown age, about {seasons} season{'' if seasons == 1 else 's'} or more"
        self.steps.put(self.told, said, None)

    def as_they_were(self, component: Component, positions: Sequence[int], at: datetime) -> None:
        """Let parts of unknown age that were noted only later have been on since the notebook's first day."""
        since = min(self.first_day.get(component.machine_id, at), at - timedelta(seconds=1))
        first: dict[int, Fitting] = {}
        for one in self.fittings[component.id].values():
            if one.position not in first or one.fitted_at < first[one.position].fitted_at:
                first[one.position] = one
        for position in positions:
            one_there = first.get(position)
            if one_there is None:
                self._tell_unknown(component, since)
                new = Fitting(component_id=component.id, position=position, fitted_at=since, age_when_fitted_usage=None)
                self._put_on(new)
            elif one_there.fitted_at > at and one_there.age_when_fitted_usage is None:
                self._correct(replace(one_there, fitted_at=since))

    def change(
        self, component: Component, positions: Sequence[int], at: datetime, removal: Removal, part_id: UUID | None
    ) -> tuple[dict[int, UUID], dict[int, UUID]]:
        """Put new parts on; return what was on and what followed, by position."""
        here = self.fittings[component.id]
        change = change_fittings(list(here.values()), component, positions, at=at, removal=removal, part_id=part_id)
        for one in change.ended:
            self._correct(one)
        for one in change.new:
            self._put_on(one)
        return {one.position: one.id for one in change.ended}, {one.position: one.id for one in change.new}

    def as_before(self, breakage: Breakage, said: str) -> list[Fitting]:
        """Let what broke be on again, and return what was put on for it. NotThereError where that was changed since."""
        here = self.fittings[breakage.component_id]
        pairs = [
            (here.get(broke), here.get(followed))
            for broke, followed in zip(breakage.broke_fitting_ids, breakage.followed_fitting_ids, strict=False)
            if broke is not None and followed is not None
        ]
        if any(new is None or new.removed_at is not None or old is None for old, new in pairs):
            raise NotThereError(f"It was '{said}', and what was put on then was changed since: correct that by hand.")
        gone: list[Fitting] = []
        for old, new in pairs:
            assert old is not None
            assert new is not None
            self._correct(replace(old, removed_at=None, removal=None))
            gone.append(self.steps.drop(here, new.id))
        return gone

    def _put_on(self, fitting: Fitting) -> None:
        self.steps.put(self.fittings[fitting.component_id], fitting.id, fitting)
        self.steps.mark(self.new_fittings, fitting.id)

    def _correct(self, fitting: Fitting) -> None:
        self.steps.put(self.fittings[fitting.component_id], fitting.id, fitting)
        self.steps.mark(self.touched, fitting.id)

    def on(self, component: Component, positions: Sequence[int], at: datetime) -> dict[int, UUID]:
        """Return what was on at positions, by position."""
        wanted = set(positions)
        return {
            one.position: one.id
            for one in self.fittings[component.id].values()
            if one.position in wanted and one.fitted_at < at and (one.removed_at is None or at <= one.removed_at)
        }

    def meter(self, machine_id: UUID, kind: MeterKind) -> Meter:
        """Return a machine's meter, made where it has none."""
        found = self.meters.get((machine_id, kind))
        if found is None:
            found = Meter(machine_id=machine_id, kind=kind)
            self.steps.put(self.meters, (machine_id, kind), found)
            self.steps.append(self.made, found)
        return found

    def part(self, entry: NoteEntry) -> Part | None:
        """Return the article of an entry; made where it may be, None where there is none."""
        if entry.part_id is not None:
            return self.parts[entry.part_id]
        if entry.part:
            listed = [one for one in self.parts.values() if one.number.casefold() == entry.part.casefold()]
            if listed:
                return listed[0]
        elif entry.kind_id is not None and len(self.parts_of_kind[entry.kind_id]) == 1:
            return self.parts[self.parts_of_kind[entry.kind_id][0]]
        name = entry.part or entry.kind
        if not name or not self._may(Lack.ARTICLE, name):
            return None
        made = Part(number=entry.part or entry.kind, name=entry.kind or entry.note or entry.part)
        self.steps.put(self.parts, made.id, made)
        self.steps.append(self.made, made)
        if entry.kind_id is not None:
            self.steps.append(self.parts_of_kind[entry.kind_id], made.id)
            self.steps.append(self.made, PartFit(part_id=made.id, part_kind_id=entry.kind_id))
        self.steps.put(self.told, f"the part {made.number} was made", None)
        return made

    def service(self, entry: NoteEntry) -> ServiceItem:
        """Return the service of an entry; made, without an interval, where it is not there and may be."""
        if entry.service_id is not None:
            return next(one for one in self.services if one.id == entry.service_id)
        assert entry.machine_id is not None
        for one in self.services:
            if one.machine_id == entry.machine_id and one.name.casefold() == entry.service.casefold():
                return one
        if not self._may(Lack.SERVICE, entry.service, entry.machine):
            raise NotThereError(f"{entry.machine} has no service '{entry.service}'.")
        made = ServiceItem(machine_id=entry.machine_id, name=entry.service.casefold(), interval_months=12)
        self.steps.append(self.services, made)
        self.steps.append(self.made, made)
        said = f"{entry.machine}: the service '{made.name}' was made, due once a year until somebody says otherwise"
        self.steps.put(self.told, said, None)
        return made

    def field_id(self, name: str) -> UUID | None:
        """Return the field of this name, None for no name. NotThereError where it is not there."""
        return _named("field", [*self.known.fields, *(one for one in self.made if isinstance(one, Field))], name)

    def crop_id(self, name: str) -> UUID | None:
        """Return the crop of this name, None for no name. NotThereError where it is not there."""
        return _named("crop", [*self.known.crops, *(one for one in self.made if isinstance(one, Crop))], name)


def _named(sort: str, rows: Iterable[Field | Crop], name: str) -> UUID | None:
    if not name:
        return None
    found = [one.id for one in rows if one.name.casefold() == name.casefold()]
    if len(found) > 1:
        raise NotThereError(f"{len(found)} {sort}s are called '{name}': give one of them another name.")
    if not found:
        # a run is brought in once: without its field it would be so for good
        raise NotThereError(f"There is no {sort} '{name}' yet: make it, or say which one it is, and bring it in again.")
    return found[0]


def read_log(
    connection: Connection,
    known: KnownNames,
    *,
    may_make: bool,
    allowed: Collection[Made],
    new: Sequence[Fact],
    first_day: Mapping[UUID, datetime],
    most_positions: Mapping[tuple[UUID, UUID], int],
    this_year: int,
) -> NotebookLog:
    """Read what a notebook's rows may touch. `new` is what is made with them."""
    fittings: dict[UUID, dict[UUID, Fitting]] = defaultdict(dict)
    for one in find_all(connection, Fitting):
        fittings[one.component_id][one.id] = one
    parts_of_kind: dict[UUID, list[UUID]] = defaultdict(list)
    for fit in find_all(connection, PartFit):
        parts_of_kind[fit.part_kind_id].append(fit.part_id)
    meters = [*known.meters, *(one for one in new if isinstance(one, Meter))]
    machines = [*known.machines, *(one for one in new if isinstance(one, Machine))]
    return NotebookLog(
        known=known,
        may_make=may_make,
        allowed=allowed,
        machines={one.id: one for one in machines},
        components={one.id: one for one in known.components},
        fittings=fittings,
        meters={(one.machine_id, one.kind): one for one in meters},
        parts={one.id: one for one in known.parts},
        parts_of_kind=parts_of_kind,
        services=list(known.service_items),
        runs=find_all(connection, Run),
        first_day=first_day,
        most_positions=most_positions,
        this_year=this_year,
        made=list(new),
    )
