"""Which part a row is about: its machine, its kind, its component and its positions, or what has to be asked."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final
from uuid import UUID

from wearlog.facts.closed_lists import MachineKind, Subsystem
from wearlog.facts.plain_text import folded
from wearlog.facts.positions import format_positions
from wearlog.logbook.notebook.cell_words import CellSaid
from wearlog.logbook.notebook.columns import sort_of
from wearlog.logbook.notebook.holds import Holds
from wearlog.logbook.notebook.note_entry import Ask
from wearlog.logbook.notebook.row_figures import RowDraft
from wearlog.logbook.quickline.vocabulary import KnownComponent, KnownMachine

#: a word that so many kinds of one sort of machine are called by names none of them
_TOO_MANY: Final = 3
#: these sit on headers and on combines
_ANYWHERE: Final = frozenset({Subsystem.HYDRAULICS, Subsystem.ELECTRICAL, Subsystem.MONITORING, Subsystem.DRIVELINE})
_MACHINES: Final = (Holds.HEADER, Holds.MACHINE, Holds.COMBINE)


@dataclass(frozen=True, slots=True)
class PartNamed:
    """The machine, kind and component of a part; None and "" where they are open."""

    machine: KnownMachine | None
    kind: str = ""
    kind_id: UUID | None = None
    component: KnownComponent | None = None


def machine_of(draft: RowDraft, holds: Sequence[Holds] = _MACHINES) -> KnownMachine | None:
    """Return the machine that a row's cells name, else the one of the heading above it; asks where a cell names none."""
    for one in holds:
        text = draft.cell(one)
        if not text:
            continue
        found = draft.context.names.named(text, sort_of(one))
        if len(found) == 1:
            return found[0]
        if found:
            names = [each.name for each in found]
            draft.ask(Ask.MACHINE, f"'{text}' could be {_either(names)}.", one, names)
        else:
            all_names = [each.name for each in draft.context.names.machines]
            draft.ask(Ask.MACHINE, f"No machine is called '{text}'.", one, all_names, missing=text)
        return None
    return draft.machine


def told_machine(draft: RowDraft, said: CellSaid) -> KnownMachine | None:
    """Return the machine of a row's cells, else the one that its words name."""
    machine = machine_of(draft)
    if machine is None and len(said.machines) == 1 and not draft.has(_MACHINES):
        machine = next(one for one in draft.context.names.machines if one.id in said.machines)
    return machine


def part_of(draft: RowDraft, said: CellSaid) -> PartNamed:
    """Return the part that a row's words name; asks where it, or its machine, is open."""
    names_one = draft.has(_MACHINES)
    machine = told_machine(draft, said)
    kinds = kinds_on(draft, said, machine)
    if machine is None and not names_one:
        machine = _only_carrier(draft, kinds)
    generic = is_generic(draft, said, machine)
    named = draft.context.words.phrases.names
    if machine is None and not names_one:
        carriers = [one.name for one in _carriers(draft, kinds)]
        draft.ask(
            Ask.MACHINE,
            f"Which machine: {_either(carriers)}?" if carriers else "Which machine?",
            _column(draft),
            carriers,
        )
    if generic or len(kinds) != 1:
        choices = sorted(named[one] for one in kinds)
        text = said.kind_text or draft.cell(Holds.PART)
        draft.ask(
            Ask.PART,
            f"Which part is '{text}'?" if text else "Which part?",
            Holds.PART,
            choices[:9],
            missing="" if kinds else text,
        )
        return PartNamed(machine)
    kind_id = next(iter(kinds))
    component = _component(draft, machine, kind_id) if machine is not None else None
    return PartNamed(machine, named[kind_id], kind_id, component)


def kinds_on(draft: RowDraft, said: CellSaid, machine: KnownMachine | None) -> set[UUID]:
    """Return the kinds that the words may mean: those that sit on the machine first, then those that are called so."""
    there = {one.kind_id for one in machine.components} if machine is not None else set()
    for listed in (said.called, said.ends_so):
        if listed & there:
            return set(listed & there)
    possible = {one for one in said.called or said.ends_so if _may_sit(draft, one, machine)}
    return possible or set(said.called or said.ends_so)


def is_generic(draft: RowDraft, said: CellSaid, machine: KnownMachine | None) -> bool:
    """Say whether the word is one that many kinds of the trade go by: "belt", "bearing", "chain"."""
    if " " in said.kind_text.strip():
        return False
    if len(said.called) + len(said.ends_so) < _TOO_MANY:
        return False
    meant = {one for one in said.called | said.ends_so if _may_sit(draft, one, machine)}
    return len(meant) >= _TOO_MANY


def _may_sit(draft: RowDraft, kind_id: UUID, machine: KnownMachine | None) -> bool:
    subsystem = draft.context.farm.subsystems.get(kind_id)
    if machine is None or subsystem is None or subsystem in _ANYWHERE:
        return True
    return (subsystem is Subsystem.HEADER) == (machine.kind is MachineKind.HEADER)


def _carriers(draft: RowDraft, kinds: set[UUID]) -> list[KnownMachine]:
    machines = draft.context.names.machines
    found = [one for one in machines if any(part.kind_id in kinds for part in one.components)]
    return found or [one for one in machines if any(_may_sit(draft, kind, one) for kind in kinds)]


def _only_carrier(draft: RowDraft, kinds: set[UUID]) -> KnownMachine | None:
    carriers = _carriers(draft, kinds) if kinds else []
    if len(carriers) != 1:
        return None
    draft.grant(f"{carriers[0].name}: no other machine has one")
    return carriers[0]


def _component(draft: RowDraft, machine: KnownMachine, kind_id: UUID) -> KnownComponent | None:
    """Return the component of a kind; of several the one whose place the row names."""
    found = [one for one in machine.components if one.kind_id == kind_id]
    if len(found) < 2:
        return found[0] if found else None
    text = folded(" ".join(draft.cells.values()))
    here = [one for one in found if all(word in text.split() for word in folded(one.place).split())]
    if len(here) == 1:
        return here[0]
    places = [one.place for one in found]
    draft.ask(Ask.PART, f"Which of them: {_either(places)}?", Holds.PART, places)
    return None


@dataclass(frozen=True, slots=True)
class PlacesNamed:
    """Positions: None where they are not known, `every` where all are meant."""

    positions: tuple[int, ...] | None
    every: bool = False


def places_of(draft: RowDraft, said: CellSaid, part: PartNamed, count: int | None) -> PlacesNamed:
    """Return the positions of a row, held against how many there are and how many the row counts."""
    there = part.component.positions if part.component is not None else None
    if said.every and there is not None and said.positions == (there,):
        # "all 60" of 60
        return PlacesNamed(tuple(range(1, there + 1)), every=True)
    if said.between and there != 1:
        _ask_which(draft, said)
    found = _said_places(draft, said, there, count)
    if there is not None and found and found[-1] > there:
        beyond = format_positions(one for one in found if one > there)
        name = f"{part.machine.name} has {there}" if part.machine is not None else f"There are {there}"
        draft.ask(Ask.BEYOND, f"Position {beyond}: {name} only.", _where(draft))
        return PlacesNamed(None)
    if there is not None and there > 1 and (len(found) == there or (not found and count == there)):
        return PlacesNamed(tuple(range(1, there + 1)), every=True)
    if not found and said.every:
        return PlacesNamed(tuple(range(1, there + 1)) if there is not None else None, every=True)
    if found and count is not None and count != len(found):
        draft.ask(
            Ask.CONTRADICTION,
            f"{count} {'is' if count == 1 else 'are'} counted, and the positions named are {len(found)}.",
            _where(draft),
        )
    if not found and there == 1:
        return PlacesNamed((1,))
    if not found and ((there or 0) > 1 or (count or 1) > 1 or said.middle):
        many = f"Which of the {there}" if there else "Which ones"
        draft.ask(Ask.POSITIONS, f"{many}: no position is named.", _where(draft))
    return PlacesNamed(found or None)


def _ask_which(draft: RowDraft, said: CellSaid) -> None:
    pieces = said.between.split()
    span = len(pieces) == 3 and pieces[0].isdigit() and pieces[2].isdigit()
    asked = f"all from {pieces[0]} to {pieces[2]}, or these two?" if span else "which positions, counted from the left?"
    choices = (f"{pieces[0]}-{pieces[2]}", f"{pieces[0]} and {pieces[2]}") if span else ()
    draft.ask(Ask.POSITIONS, f"'{said.between}': {asked}", _where(draft), choices)


def _said_places(draft: RowDraft, said: CellSaid, there: int | None, count: int | None) -> tuple[int, ...]:
    if said.positions or not said.end:
        return said.positions
    many = count or said.count or 1
    if said.end == "both" and there is not None and there > 1:
        draft.grant("both ends: the first and the last position")
        return (1, there)
    if said.end == "left":
        draft.grant(f"the left end: position {format_positions(range(1, many + 1))}")
        return tuple(range(1, many + 1))
    if said.end == "right" and there is not None:
        draft.grant(f"the right end: position {format_positions(range(there - many + 1, there + 1))}")
        return tuple(range(there - many + 1, there + 1))
    return ()


def _where(draft: RowDraft) -> Holds:
    return Holds.POSITIONS


def _column(draft: RowDraft) -> Holds:
    return next((one for one in _MACHINES if draft.context.has(one)), Holds.MACHINE)


def _either(names: Sequence[str]) -> str:
    listed = [one for one in names[:8] if one]
    return " or ".join([", ".join(listed[:-1]), listed[-1]]) if len(listed) > 1 else (listed or ["none"])[0]
