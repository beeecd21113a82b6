"""The rows of one sheet out of the log: as lists that words narrow down, and one at a time with the cells that a hand changes.

The readers are those of the import, so whatever reads right in a sheet reads right here. A hand may leave away the unit of a
heading (the farm's usual one is meant), say a time by today ("yesterday 16:20"), and name a row without a name by its number.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from functools import cached_property
from typing import Final
from uuid import UUID

from wearlog.errors import NotFoundError, UsageError
from wearlog.exchange.cells import read_listed, written_cell
from wearlog.exchange.columns import By, Form, Measure, SheetColumn, System, heading_with, units_of, written_unit
from wearlog.exchange.headings import (
    FACT_OF_SHEET,
    FIELDS_OF_SHEET,
    KEY,
    NAME_FIELDS,
    OWN_FIELDS,
    bind,
    helpers_of,
    normal_heading,
)
from wearlog.exchange.instants import FarmClock, farm_zone
from wearlog.exchange.raw_sheet import ProblemList, RawSheet
from wearlog.exchange.row_meaning import Pointer, measure_of
from wearlog.exchange.rows_by_name import NamedRows, WrittenNames, rows_by_sheet, what_is
from wearlog.exchange.sheet_reader import SheetReader
from wearlog.exchange.sheets import SHEETS
from wearlog.exchange.told_ages import ToldAges
from wearlog.facts.electrics import Fault
from wearlog.facts.fact import Fact
from wearlog.facts.parts import PartFit
from wearlog.facts.plain_text import folded
from wearlog.ids import NUMBER_DIGITS, short_number
from wearlog.logbook.names import KnownNames, known_names
from wearlog.logbook.rows.entering import find_entry, row_of_number
from wearlog.logbook.said.measures import read_moment
from wearlog.present.digits import Measures
from wearlog.present.files.row_sheet import SheetRow
from wearlog.store.connection import Connection
from wearlog.store.finding import count_all, find_all, find_in_order, find_many
from wearlog.store.journal import versions_of_deed
from wearlog.store.opening import Store
from wearlog.store.schema import FACT_OF_TABLE, table_of

#: the version of the ids of what was entered by hand
_ENTERED: Final = 7

_LONG_AGO: Final = datetime.min.replace(tzinfo=UTC)

_WHEN: Final = ("at", "started_at", "fitted_at", "from_at", "opened_at", "starts_on")


def row_book(store: Store, now: datetime) -> RowBook:
    """Return a reader and writer of this log's rows; `now` is by the farm's clock."""
    with store.reading() as connection:
        faults, fits = tuple(find_all(connection, Fault)), tuple(find_all(connection, PartFit))
        return RowBook(store, known_names(connection), faults, fits, now)


@dataclass(frozen=True, slots=True)
class SheetRows:
    """Rows of one sheet with their cells, the headings in the order of the format, and how many rows fit in all."""

    sheet: str
    headings: tuple[str, ...]
    rows: tuple[SheetRow, ...]
    facts: tuple[Fact, ...]
    in_all: int


def sheet_rows(book: RowBook, sheet: str, words: Sequence[str] = (), last: int = 20) -> SheetRows:
    """Return the latest rows of a sheet; with words those in which each of them stands, which looks at every row."""
    fact_type = FACT_OF_SHEET[sheet]
    with book.store.reading() as connection:
        facts = _latest_first(connection, fact_type, None if words else last)
        in_all = count_all(connection, fact_type)
    wanted = [folded(word) for word in words]
    rows: list[SheetRow] = []
    kept: list[Fact] = []
    hits = 0
    for fact in facts:
        row = SheetRow(short_number(fact.id), book.cells(sheet, fact))
        if wanted and not all(word in folded(" ".join(row.cells.values())) for word in wanted):
            continue
        hits += 1
        if len(rows) < last:
            rows.append(row)
            kept.append(fact)
    headings = (
        *helpers_of(SHEETS[sheet]),
        *(heading_with(column, unit) for column in SHEETS[sheet] for unit in units_of(column)),
    )
    return SheetRows(sheet, tuple(dict.fromkeys(headings)), tuple(rows), tuple(kept), hits if words else in_all)


def _latest_first(connection: Connection, fact_type: type[Fact], limit: int | None) -> Sequence[Fact]:
    """Rows by the time they tell of; rows of no time by when a hand entered them, those that an import brought last."""
    when = next((field for field in _WHEN if field in table_of(fact_type).columns), None)
    if when is not None and table_of(fact_type).columns[when].nullable:
        facts = find_all(connection, fact_type)
        return sorted(facts, key=lambda one: _by_time(one, getattr(one, when)), reverse=True)[:limit]
    if when is not None:
        return find_in_order(connection, fact_type, when, latest_first=True, limit=limit)
    # ids of what was entered are in the order of time; ids derived from a sheet are in none
    facts = sorted(find_all(connection, fact_type), key=lambda one: (one.id.version == _ENTERED, one.id), reverse=True)
    return facts[:limit]


def rows_from(book: RowBook, sheet: str, first: int, size: int) -> tuple[tuple[SheetRow, ...], tuple[Fact, ...]]:
    """Return a page of a sheet, the latest row first: the rows with their cells, and the facts that they are."""
    with book.store.reading() as connection:
        facts = tuple(_latest_first(connection, FACT_OF_SHEET[sheet], first + size))[first:]
    return tuple(SheetRow(short_number(fact.id), book.cells(sheet, fact)) for fact in facts), facts


def row_of_id(book: RowBook, sheet: str, row_id: UUID) -> Fact:
    """Return a row of a sheet by its id. NotFoundError when it was taken back meanwhile."""
    with book.store.reading() as connection:
        found = find_many(connection, FACT_OF_SHEET[sheet], [row_id])
    if not found:
        raise NotFoundError("This row is not in the log any more.", "It was taken back meanwhile; read the log again.")
    return found[0]


def _by_time(fact: Fact, at: datetime | None) -> tuple[bool, datetime, UUID]:
    """What has no time would stand behind all that has one: what a hand entered stands before it."""
    return at is None and fact.id.version == _ENTERED, at or _LONG_AGO, fact.id


def sheet_counts(store: Store) -> dict[str, int]:
    """Return how many rows each sheet has, in the order of the format."""
    with store.reading() as connection:
        return {sheet: count_all(connection, fact_type) for sheet, fact_type in FACT_OF_SHEET.items()}


def rows_of_entry(store: Store, number: str, most: int = 50) -> list[Fact]:
    """Return the row that has this number, or the rows (at most so many) that an entry of the history wrote."""
    with store.reading() as connection:
        found = find_entry(connection, number)
        if found.deed is None:
            return [found.fact] if found.fact is not None else []
        rows: list[Fact] = []
        for version in versions_of_deed(connection, found.deed.id)[:most]:
            rows += find_many(connection, FACT_OF_TABLE[version.table_name], [version.row_id], voided_too=True)
        return rows


def choices_of(sheet: str) -> dict[str, str]:
    """Return what may stand under the headings that take one of a few words."""
    return {
        column.heading: "yes or no" if column.form is Form.FLAG else ", ".join(column.closed_list or ())
        for column in SHEETS[sheet]
        if column.closed_list is not None or column.form is Form.FLAG
    }


#: a row without a name is called by what stands in so many of its cells
_CALLED_BY: Final = 3
#: how far the clock of a written time is ahead of UTC
_OFFSET: Final = re.compile(r"(?<=\d\d:\d\d)[+-]\d\d:\d\d$")


@dataclass(frozen=True)
class RowBook:
    """Reads and writes the rows of one log.

    Attributes
    ----------
    known : KnownNames
        The rows that cells can name.
    faults : tuple of Fault
        They have no name, but a node is looked for on the machine of its fault.
    fits : tuple of PartFit
        By what a part's warranty counts stands with the kind that it fits.
    now : datetime
        By the farm's clock, for times like "yesterday 16:20".
    """

    store: Store
    known: KnownNames
    faults: tuple[Fault, ...]
    fits: tuple[PartFit, ...]
    now: datetime

    @cached_property
    def ages(self) -> ToldAges:
        """What reckons the ages that are told roughly, and says what they were taken for."""
        return ToldAges(self.store, self.now, Measures(self.known.farm))

    @cached_property
    def taken(self) -> list[str]:
        """What was taken for granted in the rows read so far, as sentences."""
        return []

    @cached_property
    def _clock(self) -> FarmClock:
        return FarmClock(farm_zone(self.known.farm.time_zone))

    @cached_property
    def _names(self) -> WrittenNames:
        return WrittenNames(dict(rows_by_sheet(self.known)) | {"fault": self.faults, "part_fit": self.fits})

    @property
    def _units(self) -> System:
        return "metric" if self.known.farm.is_metric else "us"

    def cells(self, sheet: str, fact: Fact, *, by_number: bool = True) -> dict[str, str]:
        """Return what stands under each heading of a row; what it points at by key is shown by its number, or by its id."""
        pointing, measure = self._names.pointing_cells(sheet, fact), self._names.measure_of(fact)
        found = {heading: pointing[heading] for heading in helpers_of(SHEETS[sheet])}
        for column in SHEETS[sheet]:
            value = getattr(fact, column.field)
            if column.by is By.KEY:
                found[column.heading] = "" if value is None else short_number(value) if by_number else str(value)
            elif column.form is Form.POINTER:
                found[column.heading] = pointing[column.heading]
            else:
                unit = written_unit(column, self._units, measure)
                found[heading_with(column, unit)] = written_cell(column, unit, value, self._clock)
        return found

    def unit_of(self, column: SheetColumn, fact: Fact | None = None) -> str:
        """Return the unit in which a column is written here; empty for none, and where a row must say first by what it counts."""
        if fact is None and column.form in (Form.USAGE, Form.AGE, Form.SENSOR):
            return ""
        return written_unit(column, self._units, Measure() if fact is None else self._names.measure_of(fact))

    def called(self, sheet: str, fact: Fact) -> str:
        """Return what a row is called in a sentence: "run 482913 (Kestrel, North, home place)"."""
        cells = self.cells(sheet, fact)
        fields = NAME_FIELDS.get(sheet) or OWN_FIELDS[sheet]
        own = [column for column in SHEETS[sheet] if column.field in fields]
        shown = [cells[heading] for heading in (*helpers_of(SHEETS[sheet]), *self._headings(own)) if cells.get(heading)]
        # a sheet says beside a time how far its clock is ahead; in a sentence the farm's clock is meant
        what = ", ".join(dict.fromkeys(_OFFSET.sub("", one) for one in shown[:_CALLED_BY]))
        return f"{what_is(sheet)} {short_number(fact.id)}{f' ({what})' if what else ''}"

    def _headings(self, columns: Sequence[SheetColumn]) -> Iterator[str]:
        for column in columns:
            yield from (heading_with(column, unit) for unit in units_of(column))

    def changed(self, sheet: str, old: Fact, said: Mapping[str, str]) -> Fact:
        """Return a row as it is with these cells changed. UsageError names the first cell that cannot be read."""
        cells = self.cells(sheet, old, by_number=False)
        for heading, text in self._bound(sheet, said, self._names.measure_of(old)).items():
            column = next((one for one in SHEETS[sheet] if heading in self._headings([one])), None)
            for other in self._headings([column]) if column else ():
                cells.pop(other, None)
            cells[heading] = text
        new = self._read(sheet, {KEY: str(old.id), **cells})
        if len(new) != 1:
            raise UsageError("One row is one position here.", "Write one position, or enter the others as rows.")
        told = {name: getattr(new[0], name) for name in FIELDS_OF_SHEET[sheet] - {"id", "voided"}}
        return replace(old, **told)

    def entered(self, sheet: str, said: Mapping[str, str]) -> list[Fact]:
        """Return what a new row becomes: one fact, or one for each position of a fitting. UsageError as `changed`."""
        cells = self._bound(sheet, said, self._measure(sheet, said))
        has = {column.heading for column in SHEETS[sheet] if any(one in cells for one in self._headings([column]))}
        has |= {column.heading for column in SHEETS[sheet] if column.also and column.also in cells}
        for column in SHEETS[sheet]:
            if column.heading == "at" and "at" not in has and column.needed:
                cells["at"] = self._clock.write(self.now)
                has.add("at")
        missing = [column.heading for column in SHEETS[sheet] if column.needed and column.heading not in has]
        if missing:
            raise UsageError(f"A {what_is(sheet)} needs {', '.join(missing)}.", f"Add {missing[0]}=...")
        return self._read(sheet, cells)

    def _read(self, sheet: str, cells: Mapping[str, str]) -> list[Fact]:
        problems = ProblemList()
        named = NamedRows(self.known, self.ages)
        for fault in self.faults:
            named.add("fault", fault)
        reader = SheetReader(_one_row(sheet, cells), named, self._clock, problems)
        reader.read()
        if problems:
            first = problems.kept[0]
            raise UsageError(f"{first.heading}: {first.message}" if first.heading else first.message, first.hint)
        self.taken.extend(text for _, text in reader.taken)
        return reader.facts

    def _bound(self, sheet: str, said: Mapping[str, str], measure: Measure) -> dict[str, str]:
        """Return the cells under whole headings: with a unit, a moment written out, an id for a number."""
        found: dict[str, str] = {}
        for typed, text in said.items():
            heading = normal_heading(typed)
            column = next((one for one in SHEETS[sheet] if heading in (one.heading, *self._headings([one]))), None)
            if column is None:
                found[heading] = text
                continue
            if (heading == column.heading and "" not in units_of(column)) or column.form in (Form.AGE, Form.SENSOR):
                heading = heading_with(column, written_unit(column, self._units, measure))
            found[heading if heading in self._headings([column]) else typed] = self._written_out(column, text)
        return found

    def _written_out(self, column: SheetColumn, text: str) -> str:
        if column.form is Form.INSTANT and text:
            try:
                self._clock.read(text, column.lone_day)
            except UsageError:
                return self._clock.write(read_moment(text, self.now))
        if column.by is By.KEY and text.isdigit() and len(text) >= NUMBER_DIGITS:
            return str(row_of_number(self.store, column.target, text))
        return text

    def _measure(self, sheet: str, said: Mapping[str, str]) -> Measure:
        """Return the meter and the sensor of a row, as far as its cells say them."""
        cells = {normal_heading(heading): text for heading, text in said.items()}
        raw = _one_row(sheet, cells)
        bindings, named = bind(raw, ProblemList()), NamedRows(self.known)
        values: dict[str, object] = {}
        line = list(cells.values())
        for bound in bindings.bound:
            try:
                if bound.column.form is Form.POINTER and bound.column.by in (By.METER, By.COMPONENT):
                    values[bound.column.field] = Pointer(bound, bindings, named).resolve(line, values)
                elif bound.column.field in ("meter_kind", "sensor") and bound.column.closed_list and line[bound.index]:
                    values[bound.column.field] = read_listed(line[bound.index], bound.column.closed_list)
            except UsageError:
                continue  # the reader of the row says it
        return measure_of(values, named)


def _one_row(sheet: str, cells: Mapping[str, str]) -> RawSheet:
    return RawSheet(sheet, "", tuple(cells), 0, iter([(0, list(cells.values()))]), None)


def differing(old: Mapping[str, str], new: Mapping[str, str]) -> list[tuple[str, str, str]]:
    """Return the headings whose cell changed, with both: (heading, before, after)."""
    return [
        (heading, old.get(heading, ""), new.get(heading, ""))
        for heading in dict.fromkeys((*old, *new))
        if old.get(heading, "") != new.get(heading, "")
    ]


def sheet_of(fact: Fact) -> str:
    """Return the sheet whose rows become facts of this type; empty for what no sheet can say."""
    return next((sheet for sheet, fact_type in FACT_OF_SHEET.items() if type(fact) is fact_type), "")
