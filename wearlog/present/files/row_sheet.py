"""Rows of the log as answers: those of one sheet with the numbers that name them, and field by field what a deed did."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, fields
from datetime import date, datetime
from enum import StrEnum
from typing import Any, Final
from uuid import UUID

from wearlog.facts.closed_lists import Doing, MeterKind
from wearlog.facts.fact import Fact
from wearlog.facts.plain_text import one_line
from wearlog.facts.positions import format_positions
from wearlog.logbook.said.opening_words import WEEKDAYS, written_clock
from wearlog.present.answer_sheet import AnswerColumn, AnswerSheet, data
from wearlog.present.digits import NOTHING, Measures, duration, number
from wearlog.present.words import counted, word
from wearlog.reckoning.files import RowChange, RowNames

#: a column is not wider than this, however long a note is
_MOST: Final = 28


@dataclass(frozen=True, slots=True)
class SheetRow:
    """A row: its number, and what stands under each heading."""

    number: str
    cells: Mapping[str, str]

    def __hash__(self) -> int:
        return hash(self.number)


def row_sheet(
    sheet: str, headings: Sequence[str], rows: Sequence[SheetRow], measures: Measures, *, in_all: int
) -> AnswerSheet[SheetRow]:
    """Return rows of one sheet; headings under which nothing stands in any row are left out of the table.

    Parameters
    ----------
    headings : sequence of str
        In the order of the format.
    in_all : int
        How many rows of the sheet there are.
    """
    used = [heading for heading in headings if any(row.cells.get(heading) for row in rows)]
    columns: tuple[AnswerColumn[SheetRow], ...] = (
        AnswerColumn("no.", lambda row, _: row.number, "entry_number", lambda row, _: row.number, least=6, most=18),
        *(_column(heading, place, rows) for place, heading in enumerate(used)),
    )
    more = f"The latest {counted(len(rows), 'row')} of {in_all}; --last shows more." if in_all > len(rows) else ""
    return AnswerSheet(
        "rows",
        columns,
        rows,
        measures,
        sentences=(more,) if more else (),
        empty=f"The sheet {sheet} has no row. 'wearlog enter {sheet} ...' enters one.",
        beside={"sheet": sheet, "in_all": in_all},
        key_of=lambda row: row.number,
    )


def _column(heading: str, place: int, rows: Sequence[SheetRow]) -> AnswerColumn[SheetRow]:
    widest = max((len(row.cells.get(heading, "")) for row in rows), default=0)
    cell = _cell(heading)
    return AnswerColumn(
        heading,
        lambda row, measures: by_farm_clock(cell(row), measures),
        heading,
        lambda row, _: cell(row) or None,
        least=min(max(widest, 4), _MOST),
        most=min(max(widest, len(heading)), _MOST),
        # what identifies a row stands first in the format; what stands last gives way first
        gives=0 if place < 3 else min(1 + place, 8),
    )


def _cell(heading: str) -> Callable[[SheetRow], str]:
    return lambda row: row.cells.get(heading, "")


#: a moment as a sheet writes it, with what its clock is ahead of UTC
_WITH_OFFSET: Final = re.compile(r"(\d{4}-\d\d-\d\d \d\d:\d\d(?::\d\d(?:\.\d+)?)?)(?:[+-]\d\d:\d\d|Z)")


def by_farm_clock(text: str, measures: Measures) -> str:
    """Return a cell as people read it: a moment by the farm's clock alone, without what that is ahead of UTC.

    What is left away says nothing that the day does not say, but in the hour that comes twice when the clocks go back: there, and
    where a cell is by another clock, it stays.

    Examples
    --------
    >>> from wearlog.facts.farm_settings import FarmSettings
    >>> chicago = Measures(FarmSettings(time_zone="America/Chicago"))
    >>> by_farm_clock("2026-09-10 22:04-05:00", chicago), by_farm_clock("2026-11-01 01:30-06:00", chicago)
    ('2026-09-10 22:04', '2026-11-01 01:30-06:00')
    """
    match = _WITH_OFFSET.fullmatch(text)
    if match is None:
        return text
    said = datetime.fromisoformat(text)
    local = measures.local(said)
    comes_twice = local.utcoffset() != local.replace(fold=1 - local.fold).utcoffset()
    return text if comes_twice or local.utcoffset() != said.utcoffset() else match[1]


def one_row_lines(called: str, cells: Mapping[str, str], choices: Mapping[str, str], measures: Measures) -> list[str]:
    """Return one row whole: a line for each heading, with what may stand there where it is one of a few words."""
    width = max((len(heading) for heading in cells), default=0)
    lines = [f"{called[:1].upper()}{called[1:]}"]
    for heading, text in cells.items():
        may = f"   ({choices[heading]})" if heading in choices else ""
        lines.append(f"  {heading:<{width}}  {by_farm_clock(text, measures) or '-'}{may}")
    return lines


#: ends of field names that say the unit; the rest of the name is what a person calls it
_UNITS = ("_square_metres", "_metres", "_micrometres", "_seconds", "_minor", "_usage", "_grams", "_thousandths", "_id")


@dataclass(frozen=True, slots=True)
class DeedRow:
    """A row in words; `about` is one line, `details` has a line for each field that matters."""

    version_id: UUID
    row_id: UUID
    what: str
    did: str
    about: str
    details: tuple[str, ...]


DEED_ROW_COLUMNS: Final[tuple[AnswerColumn[DeedRow], ...]] = (
    AnswerColumn("row", lambda row, _: row.what, "row", lambda row, _: row.what, least=12, most=14),
    AnswerColumn("was", lambda row, _: row.did, "did", lambda row, _: row.did, least=10, most=10),
    AnswerColumn(
        "what it says", lambda row, _: row.about, "fields", lambda row, _: row.details, least=20, most=200, clauses=True
    ),
    data("id", lambda row, _: row.row_id),
)


def deed_row_sheet(
    rows: Sequence[DeedRow], measures: Measures, said: str = "", *, in_all: int = 0
) -> AnswerSheet[DeedRow]:
    """Return the rows that one deed wrote, in the order of writing; `said` is its sentence, `in_all` how many rows it wrote."""
    left = in_all - len(rows)
    return AnswerSheet(
        "rows",
        DEED_ROW_COLUMNS,
        rows,
        measures,
        headline=f"{one_line(said)}.",
        sentences=(f"and {left:,} more; --limit shows more, --save all of them",) if left > 0 else (),
        empty="This entry wrote nothing.",
        beside={"said": said},
        key_of=lambda row: row.version_id,
    )


def deed_row(change: RowChange, names: RowNames, measures: Measures) -> DeedRow:
    """Say one row."""
    now, before = change.now, change.before
    said = {field.name: _said(now, field.name, names, measures) for field in fields(now)}
    shown = [name for name in said if name not in ("id", "voided")]
    if before is None:
        kept = [name for name in shown if said[name] != NOTHING]
        lines = [f"{_called(name)}: {said[name]}" for name in kept]
    else:
        stood = {name: _said(before, name, names, measures) for name in said}
        changed = [name for name in shown if stood[name] != said[name]]
        lines = [f"{_called(name)}: {stood[name]} → {said[name]}" for name in changed]
        if now.voided != before.voided:
            lines = [_gone(now), *(f"{_called(name)}: {said[name]}" for name in shown if said[name] != NOTHING)]
    return DeedRow(
        change.version_id,
        now.id,
        change.table_name.replace("_", " "),
        _did(change),
        one_line(", ".join(lines)) or "unchanged",
        tuple(one_line(line) for line in lines),
    )


def sides_apart(facts: Sequence[Fact], names: RowNames, measures: Measures) -> list[tuple[str, tuple[str, ...]]]:
    """Return the fields in which several forms of one row differ, each with what every form says there."""
    found = [
        (_called(field.name), tuple(_said(fact, field.name, names, measures) for fact in facts))
        for field in fields(facts[0])
        if field.name not in ("id", "voided")
    ]
    counts = ("counts", tuple("no" if fact.voided else "yes" for fact in facts))
    return [(called, said) for called, said in (counts, *found) if len(set(said)) > 1]


def _gone(now: Fact) -> str:
    return "counts no more" if now.voided else "counts again"


def _did(change: RowChange) -> str:
    if change.doing is Doing.UNDONE:
        return "taken back" if change.now.voided else "put back"
    return word(change.doing)


def _called(name: str) -> str:
    for end in _UNITS:
        name = name.removesuffix(end)
    return name.replace("_", " ")


def _said(fact: Fact, name: str, names: RowNames, measures: Measures) -> str:
    value = getattr(fact, name)
    if value is None or value == "" or value == ():
        return NOTHING
    if isinstance(value, UUID):
        return one_line(names.names.get(value, "")) or NOTHING
    if isinstance(value, bool):
        return "yes" if value else NOTHING
    if isinstance(value, StrEnum):
        return word(value)
    if isinstance(value, datetime):
        return measures.moment(value)
    if isinstance(value, date):
        return measures.day(value)
    if isinstance(value, tuple):
        return _several(value, names)
    if isinstance(value, int):
        return _figure(fact, name, value, names, measures)
    return one_line(str(value))


def _several(value: tuple[Any, ...], names: RowNames) -> str:
    if all(isinstance(one, int) for one in value):
        return format_positions(value)
    # rows that have no name of their own, such as fittings, are not named
    return ", ".join(said for one in value if (said := _one(one, names))) or NOTHING


def _one(value: Any, names: RowNames) -> str:
    if isinstance(value, UUID):
        return names.names.get(value, "")
    # the words of a kind are plain text, the conditions of a fault members of a closed list
    return word(value) if isinstance(value, StrEnum) else one_line(str(value))


def _figure(fact: Fact, name: str, value: int, names: RowNames, measures: Measures) -> str:
    if name.endswith("_usage"):
        return measures.usage(_meter(fact, names), value, 1)
    if name.endswith("_square_metres"):
        return measures.area(value, 1)
    if name in ("opens_seconds", "closes_seconds"):
        return written_clock(value)
    if name.endswith("_seconds"):
        return duration(value)
    if name == "weekday":
        return WEEKDAYS[value]
    if name == "distance_metres":
        return measures.road(value)
    if name.endswith("_minor"):
        return measures.money(value)
    if name == "cut_width_micrometres":
        return measures.width(value)
    if name.endswith("_micrometres"):
        return measures.small_length(value)
    if name.endswith("_thousandths"):
        return number(value / 1000, 1)
    # a year has no comma
    return str(value)


def _meter(fact: Fact, names: RowNames) -> MeterKind:
    """The meter that a usage is counted on: the row's own, that of the meter read, or that of the kind of the component or part."""
    own = getattr(fact, "meter_kind", None)
    if isinstance(own, MeterKind):
        return own
    if fact.id in names.meters:
        return names.meters[fact.id]
    pointed = getattr(fact, "meter_id", None) or getattr(fact, "component_id", None)
    return names.meters.get(pointed, MeterKind.AREA) if pointed is not None else MeterKind.AREA
