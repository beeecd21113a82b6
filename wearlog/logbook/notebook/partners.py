"""Which header hung on which combine: as a notebook says in a remark or by its rows, else as the log knows."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final
from uuid import UUID

from wearlog.facts.closed_lists import MachineKind
from wearlog.logbook.notebook.columns import TableSeen
from wearlog.logbook.notebook.holds import Holds
from wearlog.logbook.notebook.machine_names import MachineNames
from wearlog.logbook.notebook.note_sheet import NoteSheet
from wearlog.logbook.plain_line import FarmWords
from wearlog.logbook.quickline.vocabulary import KnownMachine

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
