"""What rows say of one another: the same row twice, a meter that runs backwards, which header hung on which combine."""

from __future__ import annotations

import re
from bisect import bisect_right
from collections import defaultdict
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import Final
from uuid import UUID

from wearlog.facts.closed_lists import MachineKind, MeterKind
from wearlog.logbook.notebook.columns import TableSeen
from wearlog.logbook.notebook.holds import Holds
from wearlog.logbook.notebook.layout import NoteSheet
from wearlog.logbook.notebook.machine_names import MachineNames
from wearlog.logbook.notebook.note_entry import Ask, Means, NoteRow, Question
from wearlog.logbook.plain_line import FarmWords
from wearlog.logbook.quickline.vocabulary import KnownMachine

_DAY: Final = 86_400

#: of a reading that says no time
_EVENING: Final = "21:00"

_HOLDS: Final = {
    MeterKind.SEPARATOR_HOURS: Holds.SEPARATOR,
    MeterKind.ENGINE_HOURS: Holds.ENGINE,
    MeterKind.AREA: Holds.AREA_METER,
}

#: a day, what the meter showed, and which row says so (None: the log)
_Point = tuple[date, int, int | None]

Known = Callable[[UUID, MeterKind], Sequence[tuple[date, int]]]

Settled = Mapping[tuple[str, int, str], frozenset[Ask]]


def ask_twice(rows: list[NoteRow], settled: Settled) -> None:
    """Ask about a row that says the same of the same day as one above it."""
    seen: dict[str, NoteRow] = {}
    for place, row in enumerate(rows):
        if not row.entries or all(one.day is None for one in row.entries):
            continue
        key = row.said.casefold() + str(row.entries[0].day)
        first = seen.setdefault(key, row)
        if first is not row and row.question is None and Ask.TWICE not in settled.get(row.place, frozenset()):
            where = f"row {first.row}" if first.sheet == row.sheet else f"row {first.row} of {first.sheet}"
            question = Question(ask=Ask.TWICE, says=f"It is {where} again. Was it twice?", about=Holds.NOTE)
            rows[place] = replace(row, question=question)


def ask_meters(rows: list[NoteRow], known: Known, settled: Settled) -> None:
    """Ask about readings that are lower than one before them, or higher than a meter can get.

    Of readings that cannot all be right the fewest are asked about.
    """
    points: dict[tuple[str, UUID | None, MeterKind], list[tuple[date, str, int, int]]] = defaultdict(list)
    last: date | None = None
    for place, row in enumerate(rows):
        for one in row.entries:
            last = one.day or last
            if one.what is Means.READING and one.shown_usage is not None and one.meter is not None and one.machine:
                points[one.machine, one.machine_id, one.meter].append(
                    (one.day or last or date.min, one.time or _EVENING, one.shown_usage, place)
                )
    for (_, machine_id, meter), said in points.items():
        in_log = known(machine_id, meter) if machine_id is not None else ()
        told = [(day, shown, place) for day, _, shown, place in sorted(said, key=lambda one: one[:2])]
        ordered: list[_Point] = sorted([*told, *((day, shown, None) for day, shown in in_log)], key=lambda one: one[0])
        for piece in _legs(ordered, rows):
            _ask_leg(rows, piece, meter, settled)


def _legs(points: Sequence[_Point], rows: Sequence[NoteRow]) -> list[list[_Point]]:
    """Cut readings where a new meter is told."""
    legs: list[list[_Point]] = [[]]
    for one in points:
        new = one[2] is not None and any(entry.new_meter for entry in rows[one[2]].entries)
        if new and legs[-1]:
            legs.append([])
        legs[-1].append(one)
    return legs


def _ask_leg(rows: list[NoteRow], points: Sequence[_Point], meter: MeterKind, settled: Settled) -> None:
    falling = _longest_rise([-shown for _, shown, _ in reversed(points)])
    # of two that exclude one another the one that came first is kept: so it is looked at from the end
    kept = {len(points) - 1 - place for place in falling}
    before: _Point | None = None
    for place, point in enumerate(points):
        row = point[2]
        if place not in kept:
            if row is not None:
                neighbour = before or points[place + 1 if place + 1 < len(points) else 0]
                if before is not None and _is_too_fast(before, point, meter):
                    _ask(rows, row, Ask.IMPOSSIBLE, _too_fast(before, point), meter, settled)
                else:
                    _ask(rows, row, Ask.BACKWARDS, _backwards(point, neighbour), meter, settled)
            continue
        if before is not None and row is not None and _is_too_fast(before, point, meter):
            _ask(rows, row, Ask.IMPOSSIBLE, _too_fast(before, point), meter, settled)
        before = point


def _is_too_fast(before: _Point, point: _Point, meter: MeterKind) -> bool:
    """Say whether a meter would have outrun the clock."""
    if meter is MeterKind.AREA or before[0] == date.min:
        return False
    return point[1] - before[1] > ((point[0] - before[0]).days + 1) * _DAY


def _too_fast(before: _Point, point: _Point) -> str:
    return f"{point[1] / 3600:,.1f} h on {point[0]} after {before[1] / 3600:,.1f} h on {before[0]} cannot be."


def _backwards(point: _Point, other: _Point) -> str:
    return f"The meter would run backwards: {other[1] / 3600:,.1f} h on {other[0]}, and here {point[1] / 3600:,.1f} h."


def _ask(rows: list[NoteRow], place: int, ask: Ask, says: str, meter: MeterKind, settled: Settled) -> None:
    row = rows[place]
    if row.question is None and ask not in settled.get(row.place, frozenset()):
        about = _HOLDS.get(meter, Holds.METER)
        about = about if about in row.cells else Holds.METER
        rows[place] = replace(row, question=Question(ask=ask, says=says, about=about))


def _longest_rise(values: Sequence[int]) -> set[int]:
    """Return the places of a longest subsequence that never falls."""
    tails: list[int] = []
    at: list[int] = []
    back: list[int] = []
    for place, value in enumerate(values):
        spot = bisect_right(tails, value)
        back.append(at[spot - 1] if spot else -1)
        if spot == len(tails):
            tails.append(value)
            at.append(place)
        else:
            tails[spot], at[spot] = value, place
    kept: set[int] = set()
    place = at[-1] if at else -1
    while place >= 0:
        kept.add(place)
        place = back[place]
    return kept


_CLAUSES: Final = re.compile(r"[,;.]|\band\b|\bwhile\b")

_WORD: Final = re.compile(r"[^\W_]+")

_SHORTEST_REMARK: Final = 3


@dataclass(frozen=True, slots=True)
class Partners:
    """The one combine of each header and the one header of each combine; `told` where the notebook itself says so."""

    by_machine: Mapping[UUID, KnownMachine]
    told: bool


def partners_of(
    sheets: Sequence[NoteSheet], seen: Sequence[TableSeen], names: MachineNames, farm: FarmWords
) -> Partners:
    """Find which header hung on which combine, where it was one only."""
    pairs: set[tuple[UUID, UUID]] = set()
    for sheet in sheets:
        for row in sheet.rows:
            cells = [one for one in row if one]
            if len(cells) == 1 and len(cells[0].split()) >= _SHORTEST_REMARK:
                pairs |= _in_remark(cells[0], names)
    pairs |= _in_rows(sheets, seen, names)
    told = bool(pairs)
    if not told:
        pairs = {(one.hitched_to, one.id) for one in farm.vocabulary.machines if one.hitched_to is not None}
    return Partners(_only_ones(pairs, names), told)


def _in_remark(text: str, names: MachineNames) -> set[tuple[UUID, UUID]]:
    """Return combine and header of each clause that names one of each: "Ivy always runs the East header, Rusty the West"."""
    found = set()
    for clause in _CLAUSES.split(text.casefold()):
        machines = [one for word in _WORD.findall(clause) if len(word) > 2 for one in _whole_word(word, names)]
        combines = {one.id for one in machines if one.kind is MachineKind.COMBINE}
        headers = {one.id for one in machines if one.kind is MachineKind.HEADER}
        if len(combines) == 1 and len(headers) == 1:
            found.add((combines.pop(), headers.pop()))
    return found


def _whole_word(word: str, names: MachineNames) -> list[KnownMachine]:
    return [one for one in names.machines if word in one.name.casefold().split() and word != one.kind.value]


def _in_rows(sheets: Sequence[NoteSheet], seen: Sequence[TableSeen], names: MachineNames) -> set[tuple[UUID, UUID]]:
    found: set[tuple[UUID, UUID]] = set()
    for one in seen:
        at = {column.holds: column.at for column in one.columns}
        if Holds.COMBINE not in at or Holds.HEADER not in at:
            continue
        rows = sheets[one.table.sheet].rows
        for index in range(one.table.begin, one.table.end):
            row = rows[index]
            if max(at[Holds.COMBINE], at[Holds.HEADER]) < len(row):
                combine = names.one(row[at[Holds.COMBINE]], MachineKind.COMBINE) if row[at[Holds.COMBINE]] else None
                header = names.one(row[at[Holds.HEADER]], MachineKind.HEADER) if row[at[Holds.HEADER]] else None
                if combine is not None and header is not None:
                    found.add((combine.id, header.id))
    return found


def _only_ones(pairs: set[tuple[UUID, UUID]], names: MachineNames) -> dict[UUID, KnownMachine]:
    partners: dict[UUID, set[UUID]] = defaultdict(set)
    for combine, header in pairs:
        partners[combine].add(header)
        partners[header].add(combine)
    by_id = {one.id: one for one in names.machines}
    return {one: by_id[next(iter(others))] for one, others in partners.items() if len(others) == 1}
