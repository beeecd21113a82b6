"""A row of a grid by season: a machine, or a part of it, with a figure under each year."""

from __future__ import annotations

from wearlog.facts.closed_lists import MachineKind, MeterKind
from wearlog.logbook.notebook.figures import figure_in
from wearlog.logbook.notebook.happened import RowSaid, joined_said
from wearlog.logbook.notebook.holds import Holds
from wearlog.logbook.notebook.note_entry import Ask, Means, NoteEntry
from wearlog.logbook.notebook.row_draft import RowDraft
from wearlog.logbook.notebook.table_rows import RawRow
from wearlog.logbook.quickline.vocabulary import KnownMachine
from wearlog.units import to_stored


def read_grid(draft: RowDraft, raw: RawRow) -> None:
    """Read a row of a grid: acres, hours at the end of each season, or how many of a part were changed."""
    headings = [one.heading for one in draft.context.columns if one.year is None and one.heading]
    label = " ".join((*raw.cells.values(), *headings))
    machine = _machine(draft, raw)
    said = joined_said([draft.context.words.read(label)]) if label else RowSaid()
    if machine is None:
        draft.ask(Ask.MACHINE, f"Which machine is '{label}'?", Holds.MACHINE)
    hours = any(word in label.casefold() for word in ("hour", "hrs", " h", "sep", "eng"))
    for year, text in sorted(raw.grid.items()):
        figure = figure_in(text, decimal_comma=draft.context.decimal_comma)
        if figure is None:
            draft.ask(Ask.MEANING, f"{year}: what does '{text}' mean?", Holds.NOTE)
            continue
        if figure.value < 0:
            draft.ask(Ask.NEGATIVE, f"{year}: '{text}' is below zero.", Holds.NOTE)
            continue
        if said.kinds:
            draft.say(_parts(draft, said, machine, year, int(figure.value)))
        elif hours and figure.unit not in ("ac", "ha"):
            meter = MeterKind.ENGINE_HOURS if "eng" in label.casefold() else MeterKind.SEPARATOR_HOURS
            draft.say(_reading(machine, year, meter, round(figure.value * 3600)))
        else:
            unit = figure.unit if figure.unit in ("ac", "ha") else _area_unit(draft, label)
            draft.say(
                _acres(machine, year, (format(figure.value.normalize(), "f"), unit), to_stored(figure.value, unit))
            )
    if said.kinds and draft.entries:
        draft.ask(Ask.POSITIONS, "A season's count says no day and no position.", Holds.POSITIONS)


def _machine(draft: RowDraft, raw: RawRow) -> KnownMachine | None:
    for holds in (Holds.HEADER, Holds.COMBINE, Holds.MACHINE, Holds.NOTE, Holds.PART):
        text = raw.cells.get(holds, "")
        if text and (found := draft.context.names.one(text)) is not None:
            return found
        named = draft.context.words.read(text).machines if text else frozenset()
        if len(named) == 1:
            return next(one for one in draft.context.names.machines if one.id in named)
    return draft.machine


def _area_unit(draft: RowDraft, label: str) -> str:
    if "ha" in label.casefold().split() or "hectares" in label.casefold():
        return "ha"
    if "ac" in label.casefold().split() or "acres" in label.casefold():
        return "ac"
    return next((one.unit for one in draft.context.columns if one.unit), "ha" if draft.context.farm.is_metric else "ac")


def _acres(machine: KnownMachine | None, year: int, said: tuple[str, str], area: int) -> NoteEntry:
    is_header = machine is not None and machine.kind is MachineKind.HEADER
    return NoteEntry(
        what=Means.SEASON_ACRES,
        machine=machine.name if machine is not None else "",
        machine_id=machine.id if machine is not None else None,
        header=machine.name if machine is not None and is_header else "",
        header_id=machine.id if machine is not None and is_header else None,
        area_square_metres=area,
        area_said=said,
        season=year,
    )


def _reading(machine: KnownMachine | None, year: int, meter: MeterKind, shown: int) -> NoteEntry:
    return NoteEntry(
        what=Means.READING,
        machine=machine.name if machine is not None else "",
        machine_id=machine.id if machine is not None else None,
        meter=meter,
        shown_usage=shown,
        season=year,
    )


def _parts(draft: RowDraft, said: RowSaid, machine: KnownMachine | None, year: int, count: int) -> NoteEntry:
    names = draft.context.words.phrases.names
    kinds = said.called or said.ends_so
    kind_id = next(iter(kinds)) if len(kinds) == 1 else None
    return NoteEntry(
        what=Means.BREAKAGE,
        machine=machine.name if machine is not None else "",
        machine_id=machine.id if machine is not None else None,
        kind=names[kind_id] if kind_id is not None else "",
        kind_id=kind_id,
        quantity=count,
        season=year,
    )
