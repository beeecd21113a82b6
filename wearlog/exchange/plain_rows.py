"""Many rows of a sheet read at once, column by column, where nothing is out of the ordinary; all else is read row by row.

A sheet of readings has a hundred thousand rows of which each says what the one before says, of another hour. What a text means
is asked once for all rows that have it. Whatever would be a problem, a notice or a guess is not said here: the rows are then given
back unread.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import MISSING, Field, fields
from typing import Any, Final

from wearlog.errors import UsageError
from wearlog.exchange.cells import Convert, RoughAge
from wearlog.exchange.columns import By, Form
from wearlog.exchange.headings import FACT_OF_SHEET, KEYED_SHEETS, NAME_FIELDS, OWN_FIELDS, BoundColumn
from wearlog.exchange.instants import FarmClock
from wearlog.exchange.raw_sheet import SpoiltSheetError
from wearlog.exchange.row_meaning import MEASURED_BY, Pointer, RowIds, canonical_cell, measure_of, refuse_wrong_unit
from wearlog.exchange.rows_by_name import NamedRows, as_id
from wearlog.exchange.sheets import SHEETS
from wearlog.facts.fact import Fact, facts_of_columns
from wearlog.facts.plain_text import plain
from wearlog.many_instants import in_utc, written_instants

#: so many rows are taken at once: what one of them does otherwise makes no more than these go row by row
_AT_ONCE: Final = 2_000

#: what a cell holds in which nothing stands
_NOTHING: Final = object()

RawRow = tuple[int, list[str]]
_ByField = dict[str, list[Any]]


def some_rows(rows: Iterable[RawRow]) -> Iterator[list[RawRow]]:
    """Yield rows that are not blank, some at a time. SpoiltSheetError after all that came before it."""
    some: list[RawRow] = []
    try:
        for row in rows:
            if any(map(str.strip, row[1])):
                some.append(row)
                if len(some) == _AT_ONCE:
                    yield some
                    some = []
    except SpoiltSheetError:
        yield some
        raise
    yield some


class RowsAtOnce:
    """Reads rows of one sheet that no other row names, whose cells stand by themselves.

    Attributes
    ----------
    sheet : str
        Which of `SHEETS` it is.
    width : int
        Columns that have a heading.
    """

    def __init__(
        self,
        sheet: str,
        width: int,
        columns: Sequence[tuple[int, str, Convert, BoundColumn]],
        pointers: Sequence[Pointer],
        key_index: int | None,
        named: NamedRows,
        clock: FarmClock,
        ids: RowIds,
    ) -> None:
        self.width = width
        self.sheet = sheet
        self._columns, self._pointers, self._key_index = columns, pointers, key_index
        self._named, self._clock, self._ids = named, clock, ids
        self._type: Any = FACT_OF_SHEET[sheet]
        self._fields = {one.name: one for one in fields(self._type) if one.name != "id"}
        self._needed = {column.field for column in SHEETS[sheet] if column.needed}

    @property
    def can_be_read(self) -> bool:
        """Whether this sheet with these headings is such a one."""
        named = self.sheet in NAME_FIELDS or self.sheet in KEYED_SHEETS or self.sheet == "fitting"
        forms = {one.form for one in SHEETS[self.sheet]}
        found = [field for _, field, _, _ in self._columns] + [one.column.field for one in self._pointers]
        return not (
            named
            or Form.POSITIONS in forms
            or hasattr(self._type, "__post_init__")
            or len(set(found)) < len(found)
            or any(one.column.by in (By.NODE, By.SHARED_NODE, By.PLAN) for one in self._pointers)
            or any(self._fields[field].default_factory is not MISSING for field in found)
        )

    def read(self, rows: Sequence[RawRow]) -> list[tuple[Fact, bool]] | None:
        """Return what rows become, and of each whether its key is its id; None where they must be looked at one by one."""
        before = [one.answers.copy() for one in self._pointers]
        try:
            values = self._values([cells for _, cells in rows])
        except UsageError:
            values = None
        told = self._clock.twice or self._named.begun
        if values is not None and not told:
            return self._facts(values, len(rows), self._keys(rows))
        # asked once more, row by row, they shall say the same again
        self._clock.twice.clear()
        self._named.begun.clear()
        for pointer, known in zip(self._pointers, before, strict=True):
            pointer.answers = known
        return None

    def _values(self, rows: Sequence[list[str]]) -> _ByField | None:
        """Return the values of each field; `_NOTHING` where nothing stands. None, or UsageError, where a row is not plain."""
        if any(any(map(str.strip, cells[self.width :])) for cells in rows):
            return None
        cells = list(zip(*((*one, *[""] * (self.width - len(one))) for one in rows), strict=False))
        values: _ByField = {}
        for index, field, convert, _ in self._columns:
            texts = list(map(str.strip, cells[index]))
            meaning = {text: convert(text) if text else _NOTHING for text in set(texts)}
            if any(type(one) is RoughAge for one in meaning.values()):
                return None
            values[field] = list(map(meaning.__getitem__, texts))
        for pointer in self._pointers:
            said = list(zip(self._owners(pointer, cells), cells[pointer.bound.index], strict=True))
            named = {asked: pointer.named(*asked, None) for asked in dict.fromkeys(said)}
            values[pointer.column.field] = [_NOTHING if (found := named[asked]) is None else found for asked in said]
        self._refuse_units(values)
        return None if any(_NOTHING in values[field] for field in self._needed & values.keys()) else values

    @staticmethod
    def _owners(pointer: Pointer, cells: Sequence[Sequence[str]]) -> Sequence[str]:
        if pointer.owner_index is None:
            return [""] * len(cells[pointer.bound.index])
        return cells[pointer.owner_index]

    def _refuse_units(self, values: _ByField) -> None:
        told = [field for field in MEASURED_BY if field in values]
        for _, field, _, bound in self._columns:
            if bound.column.form in (Form.USAGE, Form.AGE, Form.SENSOR):
                by = zip(values[field], *(values[one] for one in told), strict=True)
                for measured in {row[1:] for row in by if row[0] is not _NOTHING}:
                    known: dict[str, object] = {
                        one: value for one, value in zip(told, measured, strict=True) if value is not _NOTHING
                    }
                    refuse_wrong_unit(bound, measure_of(known, self._named))

    def _keys(self, rows: Sequence[RawRow]) -> list[str]:
        index = self._key_index
        if index is None:
            return [""] * len(rows)
        return [plain(cells[index]) if index < len(cells) else "" for _, cells in rows]

    def _facts(self, values: _ByField, count: int, keys: Sequence[str]) -> list[tuple[Fact, bool]]:
        unsaid = [""] * count
        own = [_canonical(values[one]) if one in values else unsaid for one in OWN_FIELDS[self.sheet]]
        contents = list(map("\x1e".join, zip(*own, strict=True)))
        ids = self._ids.of_rows(keys, contents)
        names = [one for one in self._fields if one in values or self._fields[one].default is MISSING]
        columns = {one: _filled(values.get(one), self._fields[one], count) for one in names}
        facts = facts_of_columns(self._type, {"id": ids, **columns})
        literal = [key != "" and as_id(key) == row_id for key, row_id in zip(keys, ids, strict=True)]
        return list(zip(facts, literal, strict=True))


def _filled(column: list[Any] | None, field: Field[Any], count: int) -> list[Any]:
    """Return the values of a field, the usual one where nothing stands."""
    usual = "" if field.default is MISSING else field.default
    if column is None:
        return [usual] * count
    return [usual if value is _NOTHING else value for value in column] if _NOTHING in column else column


def _canonical(column: Sequence[Any]) -> list[str]:
    """Return the values of a field as they tell rows apart; what is one object in many rows is written once."""
    if in_utc(column):
        return written_instants(column)
    objects = list(map(id, column))
    told = {
        key: canonical_cell(None if value is _NOTHING else value)
        for key, value in dict(zip(objects, column, strict=True)).items()
    }
    return list(map(told.__getitem__, objects))
