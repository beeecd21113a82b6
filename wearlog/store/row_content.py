"""What the rows of a file say, as versions have it, straight from the driver: whole columns of a page, without a fact in between.

For looking through hundreds of thousands of rows. It takes only what is as it should be: for anything else it raises, and whoever
asked reads that page row by row and says which row it is.
"""

from __future__ import annotations

import json
from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping, Sequence
from contextlib import closing
from dataclasses import dataclass
from datetime import date, timedelta
from functools import cache, lru_cache
from types import MappingProxyType
from typing import Any, Final

import numpy as np

from wearlog.many_instants import EPOCH
from wearlog.store.content import forms_of
from wearlog.store.schema import TABLE_OF_FACT, Owned, owned_by
from wearlog.store.schema.types import Day, Flag, Id, Instant, Listed, Several, instant

#: makes the JSON of a value that is not empty
_Way = Callable[[Any], str]
_ID_BYTES: Final = 16
_quoted: Final[_Way] = json.encoder.encode_basestring
_FLAGS: Final[Mapping[int, str]] = MappingProxyType({0: "false", 1: "true"})
_NOTHING: Final = type(None)


def written_id(value: bytes) -> str:
    """Return an id as it is written. ValueError where it has not 16 bytes."""
    if len(value) != _ID_BYTES:
        raise ValueError(f"an id has 16 bytes, and {len(value)} lie here")
    said = value.hex()
    return f"{said[:8]}-{said[8:12]}-{said[12:16]}-{said[16:20]}-{said[20:]}"


#: an id as JSON has it, before its digits stand in it
_ID_FORM: Final = b'"00000000-0000-0000-0000-000000000000"'
#: where the digits stand there, in their order
_ID_DIGITS: Final = np.flatnonzero(np.frombuffer(_ID_FORM, dtype=np.uint8) == ord("0"))
#: the two digits of each byte
_DIGITS: Final = np.frombuffer(bytes(range(256)).hex().encode(), dtype=np.uint8).reshape(256, 2)


def written_ids(values: Sequence[bytes]) -> list[str]:
    """Return what `written_id` returns of each, all at once in a third of the time. ValueError where one has not 16 bytes."""
    return [one[1:-1] for one in _quoted_ids(values)]


def _quoted_ids(values: Sequence[bytes]) -> list[str]:
    if not {*map(len, values)} <= {_ID_BYTES}:
        raise ValueError(f"an id has {_ID_BYTES} bytes, and one of another length lies here")
    said = np.tile(np.frombuffer(_ID_FORM, dtype=np.uint8), (len(values), 1))
    raw = np.frombuffer(b"".join(values), dtype=np.uint8)
    said[:, _ID_DIGITS] = _DIGITS[raw].reshape(len(values), 2 * _ID_BYTES)
    text, size = said.tobytes().decode("ascii"), len(_ID_FORM)
    return [text[at : at + size] for at in range(0, len(text), size)]


#: the minutes of a day as an instant has them: nearly everything that people tell happened on one
_MINUTES: Final = tuple(f"{one // 60:02}:{one % 60:02}:00.000000+00:00" for one in range(1_440))


def _quoted_instant(count: int) -> str:
    minute, rest = divmod(count, 60_000_000)
    if rest:
        return f'"{instant(count).isoformat(timespec="microseconds")}"'
    day, minute = divmod(minute, 1_440)
    return f'"{_day_told(day)}T{_MINUTES[minute]}"'


@lru_cache(maxsize=16_384)
def _day_told(day: int) -> str:
    return (EPOCH + timedelta(days=day)).date().isoformat()


@dataclass(frozen=True, slots=True)
class _Column:
    """How a column becomes JSON: the type in which the driver gives it, and what makes JSON of values that differ."""

    type: type
    ways: Callable[[Sequence[Any]], Iterable[str]]

    def told(self, values: Sequence[Any]) -> list[str]:
        """Return the JSON of each value; each value there is becomes JSON once. TypeError for one of another type."""
        if not {*map(type, values)} <= {self.type, _NOTHING}:
            raise TypeError("a value of another type than its column")
        there = set(values)
        nothing = None in there
        if len(there) == len(values) and not nothing:
            return list(self.ways(values))
        there.discard(None)
        several = list(there)
        json_of: dict[Any, str] = dict(zip(several, self.ways(several), strict=True))
        if nothing:
            json_of[None] = "null"
        return list(map(json_of.__getitem__, values))


def _each(kind: type, way: _Way) -> _Column:
    return _Column(kind, lambda values: map(way, values))


def _column(kind: Any) -> _Column:
    if isinstance(kind, Id):
        return _Column(bytes, _quoted_ids)
    if isinstance(kind, Instant):
        return _each(int, _quoted_instant)
    if isinstance(kind, Flag):
        return _each(int, _FLAGS.__getitem__)
    if isinstance(kind, Day):
        return _each(str, lambda text: _quoted(str(date.fromisoformat(text))))
    if isinstance(kind, Listed):
        return _each(str, {one.value: _quoted(one.value) for one in kind.closed_list}.__getitem__)
    if isinstance(kind, Several):
        return _each(str, lambda text: _quoted(kind.write(kind.read(text))))
    return _each(int, int.__repr__) if kind.python_type is int else _each(str, _quoted)


class _OwnedRows:
    """The lists that lie in a table of their own."""

    def __init__(self, table: str, owned: Owned) -> None:
        columns = owned.table.columns
        names = list(owned.fields.values())
        self._columns = [_column(columns[name].type) for name in names]
        self.fields = tuple(owned.fields)
        order = "place" if owned.is_numbered else names[0]
        self._query = (
            f"SELECT t.rowid, {', '.join(f'o.{name}' for name in names)} FROM {table} t NOT INDEXED "  # noqa: S608 - names of ours
            f"JOIN {owned.table.name} o ON o.{owned.owner.name} = t.id "
            f"WHERE t.rowid BETWEEN ? AND ? ORDER BY t.rowid, o.{order}"
        )

    def told(self, driver: Any, first: int, last: int, numbers: Sequence[int]) -> list[list[str]]:
        """Return the JSON of each list of the rows with these numbers, field by field."""
        rows = _fetched(driver, self._query, first, last)
        if not rows:
            return [["[]"] * len(numbers)] * len(self.fields)
        owners, *values = zip(*rows, strict=True)
        found = []
        for place, (column, its) in enumerate(zip(self._columns, values, strict=True)):
            lists: dict[int, list[str]] = defaultdict(list)
            for owner, said in zip(owners, column.told(its), strict=True):
                lists[owner].append(said)
            found.append([_list_told(lists.get(number, []), whole=place == 0) for number in numbers])
        return found


def _list_told(items: list[str], *, whole: bool) -> str:
    # the first list says how many there are; of the others nothing is told behind what somebody knows
    while items and not whole and items[-1] == "null":
        items.pop()
    return f"[{','.join(items)}]"


class RowContent:
    """How the rows of one table become what versions say."""

    def __init__(self, fact_type: Any) -> None:
        table = TABLE_OF_FACT[fact_type]
        names = sorted(forms_of(fact_type))
        self._own = [name for name in names if name in table.columns]
        self._columns = [_column(table.columns[name].type) for name in self._own]
        self._owned = [_OwnedRows(table.name, one) for one in owned_by(fact_type)]
        self._template = "{" + ",".join(f'"{name}":%s' for name in names) + "}"
        self._names = names
        self._query = (
            f"SELECT rowid, id, {', '.join(self._own)} FROM {table.name} NOT INDEXED "  # noqa: S608 - names of ours
            "WHERE rowid BETWEEN ? AND ? ORDER BY rowid"
        )

    def page(self, driver: Any, first: int, last: int) -> tuple[list[bytes], list[str]]:
        """Return the ids of the rows that have these numbers, and what each says.

        Raises
        ------
        sqlite3.Error, ValueError, TypeError, LookupError
            When one of them is not as it should be, whichever it is.
        """
        rows = _fetched(driver, self._query, first, last)
        if not rows:
            return [], []
        numbers, ids, *values = zip(*rows, strict=True)
        told = {name: column.told(its) for name, column, its in zip(self._own, self._columns, values, strict=True)}
        for owned in self._owned:
            told.update(zip(owned.fields, owned.told(driver, first, last, numbers), strict=True))
        said = map(self._template.__mod__, zip(*(told[name] for name in self._names), strict=True))
        return list(ids), list(said)


@cache
def row_content(fact_type: Any) -> RowContent:
    """Return what reads the rows of facts of a type; made once."""
    return RowContent(fact_type)


def _fetched(driver: Any, sql: str, first: int, last: int) -> list[tuple[Any, ...]]:
    with closing(driver.cursor()) as cursor:
        return list(cursor.execute(sql, (first, last)).fetchall())
