"""Rows about work: areas cut, meters, stops, a season's acres, and grids with a figure of a machine or part under each year."""

from __future__ import annotations

from decimal import Decimal

from wearlog.facts.closed_lists import MachineKind, MeterKind
from wearlog.logbook.notebook.cell_words import CellSaid
from wearlog.logbook.notebook.days_and_figures import figure_in
from wearlog.logbook.notebook.happened import joined_said, year_said
from wearlog.logbook.notebook.holds import Holds
from wearlog.logbook.notebook.named_parts import machine_of
from wearlog.logbook.notebook.note_entry import Ask, Means, NoteEntry
from wearlog.logbook.notebook.row_figures import MOST_ACRES_A_DAY, RowDraft, area_of, hours_of, seconds_of, time_of
from wearlog.logbook.notebook.table_rows import RawRow
from wearlog.logbook.quickline.vocabulary import KnownMachine
from wearlog.units import to_stored

_METERS = (
    (Holds.SEPARATOR, MeterKind.SEPARATOR_HOURS),
    (Holds.ENGINE, MeterKind.ENGINE_HOURS),
)


def combine_of(draft: RowDraft) -> tuple[KnownMachine | None, KnownMachine | None]:
    """Return the combine and the header of a row; asks where the combine is open.

    A header is on the combine that the notebook or the log names for it, where that is one only.
    """
    header = _named(draft, Holds.HEADER)
    combine = _named(draft, Holds.COMBINE)
    if combine is None or header is None:
        other = machine_of(draft, (Holds.MACHINE,)) if draft.question is None else draft.machine
        if other is not None and other.kind is MachineKind.HEADER:
            header = header or other
        elif other is not None:
            combine = combine or other
    if header is not None and header.kind is not MachineKind.HEADER:
        combine, header = combine or header, None
    if combine is not None and combine.kind is MachineKind.HEADER:
        combine, header = None, header or combine
    if combine is None and draft.question is None:
        combine = _by_header(draft, header)
    if header is None and combine is not None:
        header = draft.context.partners.get(combine.id) if draft.context.told_partners else None
    return combine, header


def _named(draft: RowDraft, holds: Holds) -> KnownMachine | None:
    return machine_of(draft, (holds,)) if draft.cell(holds) else None


def _by_header(draft: RowDraft, header: KnownMachine | None) -> KnownMachine | None:
    combines = [one for one in draft.context.names.machines if one.kind is MachineKind.COMBINE]
    found = draft.context.partners.get(header.id) if header is not None else None
    if found is None and len(combines) == 1:
        found = combines[0]
        draft.grant(f"{found.name} is the only combine")
    elif found is not None:
        draft.grant(f"{found.name}: it carried this header")
    if found is None:
        names = [one.name for one in combines]
        column = Holds.COMBINE if draft.context.has(Holds.COMBINE) else Holds.MACHINE
        draft.ask(Ask.MACHINE, f"Which combine: {' or '.join(names) or 'none is in the log'}?", column, names)
    return found


def read_work(draft: RowDraft) -> None:
    """Read what was cut and what the meters showed."""
    combine, header = combine_of(draft)
    if draft.cell(Holds.AREA):
        _read_run(draft, combine, header)
    for holds, meter in _METERS:
        if draft.cell(holds):
            _read_meter(draft, combine, meter, hours_of(draft, holds))
    if draft.cell(Holds.METER):
        _read_open_meter(draft, combine)
    if draft.cell(Holds.AREA_METER):
        area = area_of(draft, Holds.AREA_METER)
        _read_meter(draft, combine, MeterKind.AREA, area[0] if area is not None else None)


def _read_run(draft: RowDraft, combine: KnownMachine | None, header: KnownMachine | None) -> None:
    area = area_of(draft)
    if area is None and draft.question is None:
        return
    worked = seconds_of(draft, Holds.WORKED)
    if worked is None and draft.cell(Holds.METER) and not is_meter(draft):
        worked = hours_of(draft, Holds.METER)
    is_season = draft.day is None and draft.day_cell is not None and draft.day_cell.year and not draft.day_cell.month
    year = draft.day_cell.year if is_season and draft.day_cell is not None else year_said(draft.cell(Holds.YEAR))
    season = year if draft.day is None and (is_season or draft.cell(Holds.YEAR)) else None
    if season is None and area is not None and Decimal(area[0]) > to_stored(MOST_ACRES_A_DAY, "ac"):
        draft.ask(Ask.IMPOSSIBLE, f"'{draft.cell(Holds.AREA)}' in one day cannot be.", Holds.AREA)
    draft.say(
        NoteEntry(
            what=Means.SEASON_ACRES if season is not None else Means.RUN,
            machine=combine.name if combine is not None else "",
            machine_id=combine.id if combine is not None else None,
            header=header.name if header is not None else "",
            header_id=header.id if header is not None else None,
            area_square_metres=area[0] if area is not None else None,
            area_said=area[1] if area is not None else None,
            worked_seconds=worked,
            day=draft.day,
            season=season,
            field_name=draft.context.words.called(draft.cell(Holds.FIELD)),
            crop_name=draft.context.words.called(draft.cell(Holds.CROP)),
            note=draft.cell(Holds.NOTE),
        )
    )


def _read_meter(draft: RowDraft, machine: KnownMachine | None, meter: MeterKind, shown: int | None) -> None:
    if shown is None and draft.question is None:
        return
    text = " ".join((draft.cell(Holds.NOTE), draft.cell(Holds.DONE))).casefold()
    draft.say(
        NoteEntry(
            what=Means.READING,
            machine=machine.name if machine is not None else "",
            machine_id=machine.id if machine is not None else None,
            meter=meter,
            new_meter="new meter" in text or "meter replaced" in text or "new hour meter" in text,
            shown_usage=shown,
            day=draft.day,
            time=time_of(draft),
        )
    )


def is_meter(draft: RowDraft) -> bool:
    """Say whether the figures under "hours" go on like a meter's, and are no hours of a day's work."""
    return draft.context.bare.get(Holds.METER, "") != "worked"


def _read_open_meter(draft: RowDraft, combine: KnownMachine | None) -> None:
    """Read "hours" that do not say of which meter: a header's are the separator's; a lone meter is the one meant."""
    if not is_meter(draft):
        return
    shown = hours_of(draft, Holds.METER)
    told = draft.context.bare.get(Holds.METER, "")
    kinds = [one.kind for one in draft.context.farm.meters if combine is not None and one.machine_id == combine.id]
    hours = [one for one in kinds if one is not MeterKind.AREA]
    meter = MeterKind(told) if told in (MeterKind.ENGINE_HOURS, MeterKind.SEPARATOR_HOURS) else None
    if meter is None and len(hours) == 1:
        meter = hours[0]
    if meter is None:
        text = draft.cell(Holds.METER)
        draft.ask(Ask.UNIT, f"'{text}': engine or separator hours?", Holds.METER, ("engine", "separator"))
        meter = MeterKind.SEPARATOR_HOURS
    _read_meter(draft, combine, meter, shown)


def read_stoppage(draft: RowDraft, stood: int) -> None:
    """Read a time when a machine stood and nothing broke."""
    machine = machine_of(draft)
    combines = [one for one in draft.context.names.machines if one.kind is MachineKind.COMBINE]
    if machine is None and len(combines) == 1:
        machine = combines[0]
        draft.grant(f"{machine.name} is the only combine")
    elif machine is None:
        draft.ask(Ask.MACHINE, "Which machine stood?", Holds.MACHINE, [one.name for one in combines])
    draft.say(
        NoteEntry(
            what=Means.STOPPAGE,
            machine=machine.name if machine is not None else "",
            machine_id=machine.id if machine is not None else None,
            day=draft.day,
            time=time_of(draft),
            stood_seconds=stood,
            note=draft.cell(Holds.NOTE) or draft.cell(Holds.WHY) or draft.cell(Holds.PART),
        )
    )


def read_grid(draft: RowDraft, raw: RawRow) -> None:
    """Read a row of a grid: acres, hours at the end of each season, or how many of a part were changed."""
    headings = [one.heading for one in draft.context.columns if one.year is None and one.heading]
    label = " ".join((*raw.cells.values(), *headings))
    machine = _machine(draft, raw)
    said = joined_said([draft.context.words.read(label)]) if label else CellSaid()
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


def _parts(draft: RowDraft, said: CellSaid, machine: KnownMachine | None, year: int, count: int) -> NoteEntry:
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
