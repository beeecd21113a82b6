"""Rows about parts: what broke, what was renewed in winter, what came, went back, was counted, what service was done."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import date
from typing import Final

from wearlog.facts.closed_lists import Action
from wearlog.facts.plain_text import folded
from wearlog.logbook.notebook.cell_words import CellSaid
from wearlog.logbook.notebook.days_and_figures import time_in
from wearlog.logbook.notebook.happened import LedgerMove, happened_so, move_in, year_said
from wearlog.logbook.notebook.holds import Holds
from wearlog.logbook.notebook.named_parts import is_generic, kinds_on, part_of, places_of, told_machine
from wearlog.logbook.notebook.note_entry import Ask, Means, NoteEntry
from wearlog.logbook.notebook.row_figures import RowDraft, count_of, minor_of, money_said, seconds_of, time_of
from wearlog.logbook.plain_line.phrases import KnownPart
from wearlog.logbook.plain_line.services_told import service_called

_EACH: Final = frozenset({"ea", "each", "pc", "pcs", "apiece", "a piece", "per", "per piece", "/ea", "one"})
_TOGETHER: Final = frozenset({"all", "total", "together", "for all", "tot", "lot", "the lot", "for the lot"})
_KEPT: Final = (Holds.PART, Holds.WHY, Holds.DONE, Holds.NOTE)


def note_of(draft: RowDraft, said: CellSaid) -> str:
    """Return what is kept word for word: remarks, and the words of a part that nobody knows."""
    kept = [draft.cell(Holds.NOTE)] if draft.cell(Holds.NOTE) else []
    if draft.cell(Holds.TIME) and not time_in(draft.cell(Holds.TIME)):
        kept.append(draft.cell(Holds.TIME))
    if said.unknown:
        kept += [draft.cell(one) for one in _KEPT[:3] if draft.cell(one)]
    return "; ".join(dict.fromkeys(kept))


def read_breakage(draft: RowDraft, said: CellSaid) -> None:
    """Read what broke, or what was renewed with nothing broken."""
    part = part_of(draft, said)
    so = happened_so(said.said, part.kind)
    counted, is_open = count_of(draft)
    count = counted if counted is not None else said.count
    if is_open and not said.positions:
        draft.ask(Ask.QUANTITY, f"'{draft.cell(Holds.COUNT)}': how many?", Holds.COUNT)
    if count is not None and count < 0:
        draft.ask(Ask.NEGATIVE, f"'{draft.cell(Holds.COUNT)}' is below zero.", Holds.COUNT)
        count = None
    places = places_of(draft, said, part, count)
    if so.clash:
        draft.ask(Ask.CONTRADICTION, "Two causes are named that exclude one another.", Holds.WHY)
    stood = seconds_of(draft, Holds.STOOD)
    labour = seconds_of(draft, Holds.LABOUR)
    planned = so.planned or (move_in(draft.cell(Holds.MOVE)) is LedgerMove.PLANNED and not so.told)
    entry = NoteEntry(
        what=Means.PLANNED if planned else Means.BREAKAGE,
        machine=part.machine.name if part.machine is not None else "",
        machine_id=part.machine.id if part.machine is not None else None,
        kind=part.kind,
        kind_id=part.kind_id,
        component_id=part.component.id if part.component is not None else None,
        positions=places.positions,
        every=places.every,
        day=draft.day,
        time=time_of(draft),
        cause=None if planned else so.cause,
        mode=None if planned else so.mode,
        action=Action.REPLACED if planned else so.action,
        stood_seconds=stood if stood is not None else said.stood,
        labour_seconds=labour if labour is not None else said.labour,
        shares_stop=_shares_stop(draft),
        cost_minor=minor_of(draft, Holds.COST),
        part=draft.cell(Holds.NUMBER),
        season=_season_of(draft) if planned else None,
        note=note_of(draft, said),
    )
    if entry.season is not None:
        draft.grant(f"before the season of {entry.season}")
    if not planned and not any(one.action for one in said.said):
        draft.grant("a new part was put on")
    draft.say(entry)


_SAME_STOP: Final = re.compile(
    r"\b(?:same|one) stop\b|\bat the same (?:time|stop)\b|\bwhile (?:we|i|it) (?:was|were|stood)\b"
)
_SAME_ROW: Final = frozenset({Holds.DAY, Holds.STOOD})


def _shares_stop(draft: RowDraft) -> bool:
    """Say whether it stood once for this row and the one above: so it says, or ditto marks stand under day, machine and time."""
    machines = {one for one in (Holds.HEADER, Holds.MACHINE, Holds.COMBINE) if draft.cell(one)}
    note = draft.cell(Holds.NOTE)
    if not draft.dittos >= (_SAME_ROW | machines) and not (note and _SAME_STOP.search(folded(note))):
        return False
    draft.grant("one stop with the row above")
    return True


def _season_of(draft: RowDraft) -> int | None:
    """The season of work of which only the year is told."""
    cell = draft.day_cell
    return cell.year if draft.day is None and cell is not None and not cell.problem else None


def read_delivery(draft: RowDraft, said: CellSaid, what: Means) -> None:
    """Read parts that came, went back or were counted."""
    listed = listed_part(draft)
    kinds = kinds_on(draft, said, None)
    named = draft.context.words.phrases.names
    number = draft.cell(Holds.NUMBER)
    kind_id = next(iter(kinds)) if len(kinds) == 1 and not is_generic(draft, said, None) else None
    if listed is not None and kind_id is None and len(listed.kind_ids) == 1:
        kind_id = next(iter(listed.kind_ids))
    if kind_id is None and listed is None and not number:
        text = draft.cell(Holds.PART)
        choices = sorted(named[one] for one in kinds)[:9]
        draft.ask(
            Ask.PART, f"Which part is '{text}'?" if text else "Which part?", Holds.PART, choices, "" if kinds else text
        )
    count, is_open = count_of(draft)
    if count is None:
        count = None if is_open else said.count
    if count is None:
        text = draft.cell(Holds.COUNT)
        draft.ask(Ask.QUANTITY, f"'{text}': how many?" if text else "How many?", Holds.COUNT)
    elif count < 0 and what is not Means.RETURN:
        draft.ask(Ask.NEGATIVE, f"{count}: were they sent back?", Holds.COUNT)
        count = None
    draft.say(
        NoteEntry(
            what=what,
            kind=named[kind_id] if kind_id is not None else "",
            kind_id=kind_id,
            day=_day_of(draft, what),
            part=listed.number if listed is not None else number,
            part_id=listed.id if listed is not None else None,
            quantity=abs(count) if count is not None else None,
            unit_cost_minor=_unit_cost(draft, kind_id, count) if what is Means.PURCHASE else None,
            note="; ".join(
                one for one in (draft.cell(Holds.PART) if said.unknown else "", draft.cell(Holds.NOTE)) if one
            ),
        )
    )


def _day_of(draft: RowDraft, what: Means) -> date | None:
    """A count without a day is of the day of the row above it, where that is of the year it names."""
    above = draft.day_above
    year = year_said(draft.cell(Holds.MOVE) or draft.cell(Holds.PART))
    if draft.day is not None or what is not Means.COUNT or above is None or (year is not None and year != above.year):
        return draft.day
    draft.grant(f"the day of the row above: {above}")
    return above


def listed_part(draft: RowDraft) -> KnownPart | None:
    """Return the part of the parts list that a row names by its number."""
    number = folded(draft.cell(Holds.NUMBER))
    parts = draft.context.farm.parts
    return next((one for one in parts if folded(one.number) == number), None) if number else None


def _unit_cost(draft: RowDraft, kind_id: object, count: int | None) -> int | None:
    """Return what one piece cost: as the words say, else as the column and what one costs elsewhere in the notebook."""
    holds = Holds.PRICE if draft.cell(Holds.PRICE) else Holds.COST
    price = money_said(draft, holds)
    if price is None:
        return None
    if price.value < 0:
        draft.ask(Ask.NEGATIVE, f"'{draft.cell(holds)}' is below zero.", holds)
        return None
    minor = round(price.value * 100)
    if price.unit in _EACH:
        return minor
    together = round(minor / count) if count else None
    if price.unit in _TOGETHER:
        return together
    usual = draft.context.each_price.get(kind_id) if kind_id is not None else None  # type: ignore[call-overload]
    if usual and together and count and count > 1:
        is_each = abs(minor - usual) <= abs(together - usual)
        draft.grant("the price is for one" if is_each else "the price is for all")
        return minor if is_each else together
    if holds is Holds.COST and count and count > 1:
        draft.grant("the price is for all")
        return together
    if count and count > 1:
        draft.grant("the price is for one")
    return minor


def price_told(draft: RowDraft, count: int | None) -> int | None:
    """Return what one piece costs where the row's own words say it."""
    price = money_said(draft, Holds.PRICE if draft.cell(Holds.PRICE) else Holds.COST)
    if price is None or price.value <= 0:
        return None
    if price.unit in _EACH or count == 1:
        return round(price.value * 100)
    return round(price.value * 100 / count) if price.unit in _TOGETHER and count else None


def read_service(draft: RowDraft, said: CellSaid) -> None:
    """Read a service that was done."""
    machine = told_machine(draft, said)
    listed = (Holds.SERVICE, Holds.PART, Holds.DONE, Holds.NOTE)
    holds = next((one for one in listed if draft.cell(one)), Holds.NOTE)
    name = draft.cell(holds)
    if machine is None:
        machines = draft.context.names.machines
        if len(machines) == 1:
            machine = machines[0]
            draft.grant(f"{machine.name}: there is no other machine")
        else:
            draft.ask(Ask.MACHINE, "Which machine was serviced?", Holds.MACHINE, [one.name for one in machines])
    known = [one for one in draft.context.farm.services if machine is not None and one.machine_id == machine.id]
    service = service_called(name, known)
    cost = minor_of(draft, Holds.COST)
    labour = seconds_of(draft, Holds.LABOUR)
    draft.say(
        NoteEntry(
            what=Means.SERVICE,
            machine=machine.name if machine is not None else "",
            machine_id=machine.id if machine is not None else None,
            service=name,
            service_id=service.id if service is not None else None,
            day=draft.day,
            time=time_of(draft),
            cost_minor=cost if cost is not None else minor_of(draft, Holds.PRICE),
            labour_seconds=labour if labour is not None else said.labour,
            note=draft.cell(Holds.NOTE) if holds is not Holds.NOTE else "",
        )
    )


def read_service_beside(draft: RowDraft) -> None:
    """Read the service beside what broke: an entry where its machine has it, else a note. Time and money are the breakage's."""
    name = draft.cell(Holds.SERVICE)
    if not name or not draft.entries:
        return
    first = draft.entries[0]
    known = [one for one in draft.context.farm.services if one.machine_id == first.machine_id]
    service = service_called(name, known)
    if service is None:
        draft.entries[0] = replace(first, note="; ".join(filter(None, (first.note, name))))
        draft.grant(f"'{name}' is kept as a note")
        return
    draft.say(
        NoteEntry(
            what=Means.SERVICE,
            machine=first.machine,
            machine_id=first.machine_id,
            service=name,
            service_id=service.id,
            day=first.day,
            time=first.time,
        )
    )
