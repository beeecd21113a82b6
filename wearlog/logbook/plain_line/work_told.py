"""Lines about work: "juniper with kestrel cut 60 ac on homeplace", "10am to 9pm"."""

from __future__ import annotations

from datetime import datetime, timedelta
from decimal import Decimal
from typing import Final
from uuid import UUID

from wearlog.facts.closed_lists import MachineKind
from wearlog.logbook.plain_line.heard import HeardEntry, LineVerdict, Work
from wearlog.logbook.plain_line.line import Line, Tag
from wearlog.logbook.plain_line.machines import machine_by_id, said_machines
from wearlog.logbook.plain_line.readings import Figure, figures_of
from wearlog.logbook.plain_line.spans import TimeSpans
from wearlog.logbook.plain_line.when import When
from wearlog.logbook.quickline.tokens import either
from wearlog.logbook.quickline.vocabulary import KnownMachine
from wearlog.units import to_stored

#: more than one machine cuts in a day and a night
_MOST_ACRES: Final = 600

#: what a combine cuts in an hour where nobody says how long it took (common practice, no source)
_ACRES_AN_HOUR: Final = 12

_LONGEST_DAY: Final = 14 * 3_600


def is_cut(line: Line) -> bool:
    """Say whether the line is about an area that was cut."""
    return any(figure.unit in ("ac", "ha") for figure in figures_of(line))


def read_cut(
    line: Line, spans: TimeSpans, when: When, span: tuple[datetime, datetime] | None, assumed: list[str]
) -> list[HeardEntry]:
    """Return the run that the line tells of; asks for the machine, or about an area that cannot be."""
    areas = [one for one in figures_of(line) if one.unit in ("ac", "ha")]
    figure = areas[0]
    _ask_of_run(line, spans, areas)
    if span is None and when.timed and line.has("started", "start", "began", "from", "since"):
        line.ask("Until when did it cut?", "Write both times, like 10am to 9pm.")
    machines = [
        machine_by_id(line, one)
        for one in dict.fromkeys(one for mark in said_machines(line) for one in mark.phrase.machines)
    ]
    combines = [one for one in machines if one.kind is not MachineKind.HEADER]
    headers = [one for one in machines if one.kind is MachineKind.HEADER]
    area = to_stored(figure.value, figure.unit)
    combine = combines[0] if len(combines) == 1 else None
    if line.many or len(combines) > 1 or line.has("all three", "both of them"):
        line.ask("How much did each machine cut?", "Write a line for each: the acres of a machine wear its parts.")
    elif combine is None:
        combine = _combine_of(line, headers, assumed)
    if area > to_stored(Decimal(_MOST_ACRES), "ac"):
        line.ask(
            f"{figure.shown} {figure.unit} is more than a combine cuts in a day.",
            "Check the figure, or write a line for each day.",
        )
    hours = span[1] - span[0] if span is not None else None
    seconds = spans.lone or spans.labour or (round(hours.total_seconds()) if hours is not None else None)
    if seconds is None:
        assumed.append("hours")
    field_id, crop_id = _first(line, Tag.FIELD), _first(line, Tag.CROP)
    work = Work(
        area_square_metres=area,
        header_id=headers[0].id if len(headers) == 1 else None,
        field_id=field_id,
        crop_id=crop_id,
        started_at=span[0] if span is not None else None,
        ended_at=span[1] if span is not None else None,
        hours_seconds=seconds,
    )
    note = _note(line, headers, field_id, crop_id, seconds)
    return [
        HeardEntry(
            what=LineVerdict.CUT,
            machine=combine,
            at=when.at,
            amount=f"{figure.shown} {figure.unit}",
            note=note,
            work=work,
        )
    ]


def _ask_of_run(line: Line, spans: TimeSpans, areas: list[Figure]) -> None:
    """Ask about what a run has no place for: a second area, nothing cut, a stop, a yield."""
    if len(areas) > 1:
        line.ask(f"The line tells of {len(areas)} areas.", "Write a line for each run.")
    if line.text(areas[0].stop) in ("/", "per", "an"):
        line.ask("How much was cut? The line says how much in an hour.", "Write the acres, like 60 ac.")
    if not areas[0].value:
        line.ask("Was anything cut?", "Leave the line out where nothing was.")
    if spans.stood:
        line.ask("The line tells of a run and of a stop.", "Write a line for each.")
    for index, token in enumerate(line.tokens):
        inside = any(one.start <= index < one.stop for one in areas)
        if token.is_number and line.scan.roles[index] is None and not inside:
            line.ask(
                f"What is the {token.shown}? A run keeps its area, its hours, field and crop.", "Leave it out here."
            )
            return


def _combine_of(line: Line, headers: list[KnownMachine], assumed: list[str]) -> KnownMachine | None:
    vocabulary = line.farm.vocabulary
    if len(headers) == 1 and headers[0].hitched_to is not None:
        assumed.append("machine")
        return machine_by_id(line, headers[0].hitched_to)
    combines = [one for one in vocabulary.machines if one.kind is MachineKind.COMBINE]
    working = [one for one in vocabulary.current_unit() if one.kind is MachineKind.COMBINE]
    if len(combines) == 1 or (len(working) == 1 and len(vocabulary.current_unit()) > 1):
        assumed.append("machine")
        return working[0] if working else combines[0]
    line.ask(f"Which combine cut it: {either([one.name for one in combines] or ['which'])}?", "Add its name.")
    return None


def _first(line: Line, tag: Tag) -> UUID | None:
    marks = line.of(tag)
    if not marks:
        return None
    return marks[0].phrase.field_id if tag is Tag.FIELD else marks[0].phrase.crop_id


def _note(
    line: Line, headers: list[KnownMachine], field_id: UUID | None, crop_id: UUID | None, seconds: int | None
) -> str:
    names = dict((*line.farm.fields, *line.farm.crops))
    pieces = [f"header {headers[0].name}"] if len(headers) == 1 else []
    pieces += [f"field {names[field_id]}"] if field_id is not None else []
    pieces += [f"crop {names[crop_id]}"] if crop_id is not None else []
    pieces += [f"{seconds / 3600:g} h"] if seconds is not None else []
    pieces += ["finished"] if line.has("finished", "done with") else []
    return "; ".join(pieces)


def run_of(work: Work, at: datetime) -> tuple[datetime, datetime]:
    """Return when a run began and ended: as said, else it ended at `at` and took the hours said, or those that are usual."""
    if work.started_at is not None and work.ended_at is not None:
        return work.started_at, work.ended_at
    usual = min(_LONGEST_DAY, work.area_square_metres * 3_600 // to_stored(Decimal(_ACRES_AN_HOUR), "ac"))
    return at - timedelta(seconds=work.hours_seconds or max(60, usual)), at
