"""Rows that are sentences: each is what a plain line takes, heard as of its row's day on its row's machine."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import Final

from wearlog.facts.closed_lists import MachineKind, StockChange
from wearlog.logbook.notebook.holds import Holds
from wearlog.logbook.notebook.note_entry import Ask, Means, NoteEntry
from wearlog.logbook.notebook.row_figures import RowDraft, time_of
from wearlog.logbook.plain_line import Heard, HeardEntry, LineVerdict, hear
from wearlog.logbook.quickline.vocabulary import KnownMachine

_WHAT: Final = {
    LineVerdict.ENTRY: Means.BREAKAGE,
    LineVerdict.PLANNED: Means.PLANNED,
    LineVerdict.FAULT: Means.FAULT,
    LineVerdict.READING: Means.READING,
    LineVerdict.CUT: Means.RUN,
    LineVerdict.SERVICE: Means.SERVICE,
}
#: how a plain line says that the log has no such part yet
NOT_THERE: Final = ("No machine has", "No part", "There is no")
_STOCK: Final = {
    StockChange.RECEIVED: Means.PURCHASE,
    StockChange.RETURNED: Means.RETURN,
    StockChange.COUNTED: Means.COUNT,
    StockChange.USED: Means.OTHER,
}
#: what a question of the plain line is about -> the reason
_REASONS: Final[tuple[tuple[Ask, Holds, re.Pattern[str]], ...]] = (
    (
        Ask.BEYOND,
        Holds.POSITIONS,
        re.compile(r"has (?:only )?\d+|beyond|there (?:are|is) (?:only )?\d+", re.IGNORECASE),
    ),
    (Ask.BACKWARDS, Holds.NOTE, re.compile(r"backwards|showed", re.IGNORECASE)),
    (
        Ask.POSITIONS,
        Holds.POSITIONS,
        re.compile(r"which (?:position|of the \d+|ones)|where|how many of", re.IGNORECASE),
    ),
    (
        Ask.MACHINE,
        Holds.MACHINE,
        re.compile(r"which machine|on which|which combine|which header|either|whose", re.IGNORECASE),
    ),
    (Ask.QUANTITY, Holds.COUNT, re.compile(r"how many", re.IGNORECASE)),
    (
        Ask.PART,
        Holds.PART,
        re.compile(r"which (?:part|kind)|what broke|no part|which [a-z ]*(?:belt|bearing|chain)", re.IGNORECASE),
    ),
    (Ask.CONTRADICTION, Holds.POSITIONS, re.compile(r"counted|named|but|'.*' or '.*'", re.IGNORECASE)),
)


def hear_row(draft: RowDraft, text: str, machine: KnownMachine | None) -> Heard:
    """Hear a text as of the row's day; what was heard once is not heard again."""
    context = draft.context
    text = context.words.meant(text)
    key = (text, machine.name if machine is not None else "")
    known = context.heard.get(key)
    if isinstance(known, Heard):
        return known
    heard = hear(text, context.farm, context.now, context.words.phrases)
    if machine is not None and (heard.question or not all(one.machine for one in heard.entries)):
        under = hear(f"{machine.name} {text}", context.farm, context.now, context.words.phrases)
        if not under.question or heard.question:
            heard = under
    if machine is None and heard.question and reason_of(heard.question)[0] is Ask.MACHINE:
        heard = _on_the_only_combine(draft, text) or heard
    context.heard[key] = heard
    return heard


def _on_the_only_combine(draft: RowDraft, text: str) -> Heard | None:
    context = draft.context
    combines = [one for one in context.names.machines if one.kind is MachineKind.COMBINE]
    if len(combines) != 1:
        return None
    heard = hear(f"{combines[0].name} {text}", context.farm, context.now, context.words.phrases)
    return None if heard.question else heard


def read_text(draft: RowDraft, text: str, machine: KnownMachine | None) -> bool:
    """Read a row as a plain line; False where it says nothing that is known."""
    heard = hear_row(draft, text, machine)
    entries = [one for one in heard.entries if one.what is not LineVerdict.QUESTION]
    if not entries:
        return False
    if heard.question:
        ask, about = reason_of(heard.question)
        draft.ask(ask, f"{heard.question} {heard.hint}".strip(), about)
    for place, one in enumerate(entries):
        entry = _entry(draft, one, text, heard)
        # a line tells one time for all that it names on a machine
        told = [before for before in entries[:place] if before.stood_seconds and before.machine == one.machine]
        draft.say(replace(entry, shares_stop=bool(told)) if told else entry)
    for slip in heard.corrected:
        draft.grant(slip)
    if "machine" in heard.assumed and entries[0].machine is not None and machine is None:
        _machine_assumed(draft, entries[0])
    return True


def _with_person(note: str, person: str) -> str:
    """A notebook is one entry whoever wrote its rows: who did this one stays in its note."""
    return "; ".join(filter(None, (note, f"by {person}" if person else "")))


def _machine_assumed(draft: RowDraft, entry: HeardEntry) -> None:
    """The plain line takes the machine of the last entry; in an old notebook nobody is on a machine now."""
    assert entry.machine is not None
    others = [
        one
        for one in draft.context.names.machines
        if one.id != entry.machine.id
        and one.kind is entry.machine.kind
        and (entry.component is None or any(part.kind_id == entry.component.kind_id for part in one.components))
    ]
    if others:
        names = [entry.machine.name, *(one.name for one in others)]
        draft.ask(Ask.MACHINE, f"Which machine: {' or '.join(names)}?", Holds.MACHINE, names)
    else:
        draft.grant(f"{entry.machine.name}: no other machine has one")


def reason_of(question: str) -> tuple[Ask, Holds]:
    """Return why a plain line asks, and what an answer stands for."""
    for ask, about, pattern in _REASONS:
        if pattern.search(question):
            return ask, about
    return Ask.MEANING, Holds.NOTE


def _entry(draft: RowDraft, one: HeardEntry, text: str, heard: Heard) -> NoteEntry:
    stocked = one.stocked
    what = _STOCK[stocked.change] if stocked is not None else _WHAT[one.what]
    # the time beside a run does not say whether it began or ended then
    day, at = draft.day, time_of(draft) if one.work is None else ""
    if day is None and heard.dated:
        day = one.at.astimezone(draft.context.now.tzinfo).date()
    if heard.timed:
        at = f"{one.at.astimezone(draft.context.now.tzinfo):%H:%M}"
    entry = NoteEntry(
        what=what,
        machine=one.machine.name if one.machine is not None else "",
        machine_id=one.machine.id if one.machine is not None else None,
        kind=one.kind if what is not Means.READING else "",
        kind_id=one.component.kind_id if one.component is not None else None,
        component_id=one.component.id if one.component is not None else None,
        positions=one.positions or None,
        day=day,
        time=at,
        cause=one.cause,
        mode=one.mode,
        action=one.action,
        stood_seconds=one.stood_seconds,
        labour_seconds=one.labour_seconds,
        cost_minor=one.cost_minor,
        meter=one.meter,
        shown_usage=one.usage,
        service=one.kind if what is Means.SERVICE else "",
        service_id=one.service_id,
        note=text if what is Means.FAULT else _with_person(one.note, heard.person),
    )
    if stocked is not None:
        entry = replace(
            entry, quantity=stocked.quantity, unit_cost_minor=stocked.unit_cost_minor, part_id=stocked.part_id
        )
    return _with_work(draft, entry, one)


def _with_work(draft: RowDraft, entry: NoteEntry, one: HeardEntry) -> NoteEntry:
    if one.work is None:
        return entry
    header = next((m for m in draft.context.names.machines if m.id == one.work.header_id), None)
    named = dict(draft.context.farm.fields)
    figure, _, unit = one.amount.partition(" ")
    return replace(
        entry,
        area_square_metres=one.work.area_square_metres,
        area_said=(figure.replace(",", ""), unit.split()[0]) if unit else None,
        header=header.name if header is not None else "",
        header_id=one.work.header_id,
        field_name=named.get(one.work.field_id, "") if one.work.field_id is not None else "",
        worked_seconds=one.work.hours_seconds,
    )
