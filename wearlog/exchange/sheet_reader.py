"""From the rows of one sheet to facts; every problem is noted with its line and column and reading goes on."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import MISSING, fields
from typing import Any, Final
from uuid import UUID

from wearlog.errors import UsageError
from wearlog.exchange.cells import Convert, RoughAge, converter
from wearlog.exchange.columns import BUSHELS_PER_ACRE, Form
from wearlog.exchange.headings import FACT_OF_SHEET, FIELDS_OF_SHEET, KEY, KEYED_SHEETS, NAME_FIELDS, BoundColumn, bind
from wearlog.exchange.instants import FarmClock
from wearlog.exchange.plain_rows import RawRow, RowsAtOnce, some_rows
from wearlog.exchange.raw_sheet import ProblemList, RawSheet, SheetProblem, SpoiltSheetError, column_letter
from wearlog.exchange.row_meaning import (
    LATE_FORMS,
    MEASURED_BY,
    Pointer,
    RowIds,
    measure_of,
    positions_left_out,
    refuse_positions_beyond,
    refuse_wrong_unit,
    yield_from_bushels,
)
from wearlog.exchange.rows_by_name import NamedRows, as_id, name_part
from wearlog.exchange.sheets import SHEETS
from wearlog.facts.fact import Fact
from wearlog.facts.plain_text import plain

#: who a row is, and what follows from other rows without a heading
_ALWAYS: Final = frozenset({"id", "voided", "position", "positions", "removed_at", "removal"})
_TWO_UNITS: Final = ("The same amount stands here and in another unit.", "Leave one of them empty.")


class SheetReader:
    """Reads one sheet.

    Attributes
    ----------
    facts, lines : list of Fact, list of int
        What the rows became, and the line of each.
    row_count : int
        Rows that were not blank.
    literal : set of UUID
        Rows whose key is an id: the program wrote them, so nothing is to be read between the lines.
    taken : list of (int, str)
        Line, and what an age that is told roughly was taken for there.
    rough : set of UUID
        The rows whose age is told so.
    """

    def __init__(self, raw: RawSheet, named: NamedRows, clock: FarmClock, problems: ProblemList) -> None:
        self.raw = raw
        self.facts: list[Fact] = []
        self.lines: list[int] = []
        self.row_count = 0
        self.literal: set[UUID] = set()
        self.twice: list[tuple[int, str]] = []
        self.begun: list[tuple[int, str, str]] = []
        self.taken: list[tuple[int, str]] = []
        self.rough: set[UUID] = set()
        self._named, self._clock, self._problems = named, clock, problems
        before = problems.count
        self._bindings = bind(raw, problems)
        #: with a wrong heading every row would be wrong: only the names are read then, for what points at them
        self._names_only = problems.count > before
        self._type = FACT_OF_SHEET[raw.name]
        self._ids = RowIds(raw.name, named)
        self._told_roughly = False
        self._suited: set[tuple[object, ...]] = set()
        self._key_index = self._bindings.index_of(KEY)
        self._plain: list[tuple[int, str, Convert, BoundColumn]] = []
        self._late: list[BoundColumn] = []
        self._pointers: list[Pointer] = []
        for bound in self._bindings.bound:
            self._place(bound)
        self._bound_fields = {bound.column.field: bound for bound in reversed(self._bindings.bound)}
        self._needed = [column for column in SHEETS[raw.name] if column.needed and column.field in self._bound_fields]
        self._without_default = [
            field.name for field in fields(self._type) if field.default is MISSING and field.default_factory is MISSING
        ]
        self._positions = next((one for one in SHEETS[raw.name] if one.form is Form.POSITIONS), None)
        self._is_named = raw.name in NAME_FIELDS
        sheet = RowsAtOnce(
            raw.name, self._bindings.width, self._plain, self._pointers, self._key_index, named, clock, self._ids
        )
        by_volume = any(bound.unit == BUSHELS_PER_ACRE for bound in self._late)
        self._at_once = None if self._names_only or by_volume or not sheet.can_be_read else sheet

    def bound_of(self, field: str) -> BoundColumn | None:
        """Return the column of this sheet that fills a field of the fact; None when the sheet has none."""
        return self._bound_fields.get(field)

    def told(self) -> frozenset[str]:
        """Return the fields that this sheet says: those of its headings, those that have no default, and what follows of itself."""
        return frozenset({*_ALWAYS, *self._bound_fields, *self._without_default} & FIELDS_OF_SHEET[self.raw.name])

    def _place(self, bound: BoundColumn) -> None:
        column = bound.column
        if column.form is Form.POINTER:
            self._pointers.append(Pointer(bound, self._bindings, self._named))
            return
        if column.form in LATE_FORMS or bound.unit == BUSHELS_PER_ACRE:
            self._late.append(bound)
        if bound.unit != BUSHELS_PER_ACRE:
            convert = converter(column, bound.unit, self._clock, decimal_comma=self.raw.decimal_comma)
            self._plain.append((bound.index, column.field, convert, bound))

    def read(self) -> None:
        """Read all rows. When a heading is wrong, only the names and keys of the rows are taken in."""
        problems = self._problems
        if self._names_only:
            self._problems = ProblemList()
        try:
            for rows in some_rows(self.raw.rows):
                if not self._read_at_once(rows):
                    for line, cells in rows:
                        self._read_row(line, cells)
        except SpoiltSheetError as error:
            problems.add(SheetProblem(error.message, error.hint, self.raw.file, error.line))
            self._named.unreadable.add(self.raw.name)

    def _read_at_once(self, rows: Sequence[RawRow]) -> bool:
        """Read rows of which none is out of the ordinary; tell whether they were."""
        found = self._at_once.read(rows) if self._at_once is not None and rows else None
        if found is None:
            return False
        self.row_count += len(rows)
        self.facts += [fact for fact, _ in found]
        self.lines += [line for line, _ in rows]
        self.literal |= {fact.id for fact, by_id in found if by_id}
        return True

    def _read_row(self, line: int, cells: list[str]) -> None:
        self.row_count += 1
        missing = self._bindings.width - len(cells)
        if missing > 0:
            cells = cells + [""] * missing
        before = self._problems.count
        if missing < 0:
            self._refuse_beyond(line, cells)
        failed: set[str] = set()
        self._told_roughly = False
        values = self._converted(line, cells, failed)
        self._resolve(line, cells, values, failed)
        self._look_again(line, cells, values, failed)
        self._refuse_empty(line, values, failed)
        if self._clock.twice:
            self.twice += [(line, text) for text in self._clock.twice]
            self._clock.twice.clear()
        if self._named.begun:
            self.begun += [(line, text, name) for text, name in self._named.begun]
            self._named.begun.clear()
        if self._named.ages.said:
            self.taken += [(line, text) for text in self._named.ages.said]
            self._named.ages.said.clear()
        key = plain(cells[self._key_index]) if self._key_index is not None else ""
        if self._problems.count == before and not failed and not self._names_only:
            self._keep(line, values, key)
        else:
            self._keep_name(values, key)

    def _converted(self, line: int, cells: list[str], failed: set[str]) -> dict[str, object]:
        values: dict[str, object] = {}
        for index, field, convert, bound in self._plain:
            text = cells[index].strip()
            if not text:
                continue
            if field in values:
                self._note(line, bound, *_TWO_UNITS)
                continue
            try:
                values[field] = convert(text)
            except UsageError as error:
                failed.add(field)
                self._note(line, bound, error.message, error.hint)
        return values

    def _resolve(self, line: int, cells: list[str], values: dict[str, object], failed: set[str]) -> None:
        for pointer in self._pointers:
            field = pointer.column.field
            try:
                found = pointer.resolve(cells, values)
            except UsageError as error:
                failed.add(field)
                if not self._named.unreadable & {pointer.column.target, "machine"}:
                    self._note(line, pointer.bound, error.message, error.hint)
            else:
                if found is not None:
                    values[field] = found

    def _look_again(self, line: int, cells: list[str], values: dict[str, object], failed: set[str]) -> None:
        """Check and complete what depends on other cells of the row."""
        for bound in self._late:
            text = cells[bound.index].strip()
            if text and bound.column.field not in failed:
                try:
                    self._suit(bound, text, values)
                except UsageError as error:
                    failed.add(bound.column.field)
                    self._note(line, bound, error.message, error.hint)
        column = self._positions
        if column is not None and column.field not in failed:
            try:
                self._settle_positions(column.field, values)
            except UsageError as error:
                failed.add(column.field)
                self._note(line, self.bound_of(column.field), error.message, error.hint)

    def _settle_positions(self, field: str, values: dict[str, object]) -> None:
        if field not in values:
            positions = positions_left_out(self.raw.name, values, self._named)
            if positions is not None:
                values[field] = positions
        elif self.raw.name == "fitting":
            refuse_positions_beyond(values, self._named)

    def _suit(self, bound: BoundColumn, text: str, values: dict[str, object]) -> None:
        age = values.get(bound.column.field)
        if isinstance(age, RoughAge):
            values[bound.column.field] = self._named.ages.settle(age, values, self._named.rows)
            self._told_roughly = True
        elif bound.unit != BUSHELS_PER_ACRE:
            # what the row's amounts count by follows from these alone; a row that was refused is asked again
            asked = (bound.index, *map(values.get, MEASURED_BY))
            if asked not in self._suited:
                refuse_wrong_unit(bound, measure_of(values, self._named))
                self._suited.add(asked)
        elif bound.column.field in values:
            raise UsageError(*_TWO_UNITS)
        else:
            grams = yield_from_bushels(text, values, self._named, decimal_comma=self.raw.decimal_comma)
            values[bound.column.field] = grams

    def _refuse_empty(self, line: int, values: dict[str, object], failed: set[str]) -> None:
        for column in self._needed:
            if column.field not in values and column.field not in failed:
                bound = self._bound_fields[column.field]
                self._note(line, bound, "This cell is empty, but it is needed.", "Fill it in.")

    def _refuse_beyond(self, line: int, cells: list[str]) -> None:
        for index in range(self._bindings.width, len(cells)):
            if cells[index].strip():
                where = (self.raw.file, line, column_letter(index))
                self._problems.add(
                    SheetProblem(
                        "There is a cell beyond the last heading.", "Is a delimiter too many in this row?", *where
                    )
                )
                return

    def _keep(self, line: int, values: dict[str, object], key: str) -> None:
        if self.raw.name == "fitting":
            self._keep_fittings(line, values, key)
            return
        row_id = self._ids.of(values, key)
        self._complete(values, row_id)
        fact: Any = self._type(id=row_id, **values)  # type: ignore[arg-type]
        self.facts.append(fact)
        self.lines.append(line)
        if as_id(key) == row_id:
            self.literal.add(row_id)
        if self._is_named or self.raw.name in KEYED_SHEETS:
            self._named.add(self.raw.name, fact, key)

    def _keep_fittings(self, line: int, values: dict[str, object], key: str) -> None:
        positions: Any = values["position"]
        make: Any = self._type
        for position in positions:
            one = {**values, "position": position}
            row_id = self._ids.of(one, key, position, many=len(positions) > 1)
            self.facts.append(make(id=row_id, **one))
            self.lines.append(line)
            if self._told_roughly:
                self.rough.add(row_id)

    def _keep_name(self, values: dict[str, object], key: str) -> None:
        """Take in the name and key of a row that is spoilt, as far as it has them: what points at it is not wrong too."""
        own = [values.get(field) for field in NAME_FIELDS.get(self.raw.name, ())]
        name = tuple(name_part(part) for part in own)
        if (name and None not in name) or (key and self.raw.name in KEYED_SHEETS):
            self._named.add_name(self.raw.name, name, self._ids.of(values, key), key, str(own[-1]) if own else "")

    def _complete(self, values: dict[str, object], row_id: UUID) -> None:
        """Leave alone what a row of the log holds under headings that this sheet does not have; empty texts are texts."""
        known = self._named.rows.get(row_id) if self._is_named else None
        if known is not None and type(known) is self._type:
            for field in fields(known):
                if field.name not in self._bound_fields and field.name not in ("id", "voided"):
                    values.setdefault(field.name, getattr(known, field.name))
        for name in self._without_default:
            values.setdefault(name, "")

    def _note(self, line: int, bound: BoundColumn | None, message: str, hint: str) -> None:
        letter, heading = (column_letter(bound.index), bound.heading) if bound else ("", "")
        self._problems.add(SheetProblem(message, hint, self.raw.file, line, letter, heading))
