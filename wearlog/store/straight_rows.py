"""Rows that go into their table as they stand in a version, from text to what the driver takes, without a fact in between.

Most rows of another laptop's bundle are new here and plain: no lists, nothing escaped. One pattern for each table says that all of
such a row is in the one form we write and of its columns' types, and catches the value of each column; a file's driver then gets
ids as bytes and times as counts. A pattern takes less than `telling.asked_about` takes, and nothing else.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from enum import StrEnum
from functools import lru_cache
from typing import Any, Final
from uuid import UUID

from sqlalchemy import Connection, Table

from wearlog.store.by_driver import insert_plain
from wearlog.store.schema import table_of
from wearlog.store.schema.types import microseconds
from wearlog.store.written_form import PLAIN, WRITTEN_ID, Kind

#: what a row's own id is caught as before its content stands there
ROW_ID: Final = "row_id"
#: a quotation mark of a text that stands in a text
_QUOTE: Final = r'\\"'
#: days that every year has: whatever else is a day, or a figure of 19 digits, is asked about one thing after the other
_DAY: Final = (
    "(?!0000)[0-9]{4}-(?:(?:0[13578]|1[02])-(?:0[1-9]|[12][0-9]|3[01])|(?:0[469]|11)-(?:0[1-9]|[12][0-9]|30)"
    "|02-(?:0[1-9]|1[0-9]|2[0-8]))"
)
_INSTANT: Final = rf"{_DAY}T(?:[01][0-9]|2[0-3]):[0-5][0-9]:[0-5][0-9]\.[0-9]{{6}}\+00:00"
_WHOLE: Final = "0|-?[1-9][0-9]{0,17}"
_BETWEEN_QUOTES: Final[dict[Any, str]] = {UUID: WRITTEN_ID, datetime: _INSTANT, date: _DAY, str: PLAIN}


@dataclass(frozen=True, slots=True)
class StraightTable:
    """How rows of one table stand as a text in a line of JSON: `pattern` catches a value for each of `names`, all but the row's id.

    The row's own id is the group `ROW_ID`, which must have been caught before.
    """

    table: Table
    pattern: str
    names: tuple[str, ...]
    ways: tuple[Callable[[str], Any] | None, ...]


def straight_table(fact_type: Any, kinds: Mapping[str, Kind]) -> StraightTable | None:
    """Return how plain rows of a table stand in a line of JSON; None where one of them may need more than to be written down."""
    table = table_of(fact_type)
    # a row may point at another of its table that comes later; a fact may bring what it is given into another form
    if any(key.column.table is table for key in table.foreign_keys) or hasattr(fact_type, "__post_init__"):
        return None
    if any(kind.type is tuple for kind in kinds.values()):
        return None
    parts, names = [], []
    for name, kind in sorted(kinds.items()):
        if name == "id":
            said = f"{_QUOTE}(?P={ROW_ID}){_QUOTE}"
        elif kind.several:
            said = r"\[\]"
        else:
            names.append(name)
            said = _value(kind)
        parts.append(f"{_QUOTE}{re.escape(name)}{_QUOTE}:{said}")
    ways = tuple(_WAYS.get(kinds[name].type) for name in names)
    return StraightTable(table, r"\{" + ",".join(parts) + r"\}", tuple(names), ways)


def _value(kind: Kind) -> str:
    if kind.type is bool:
        value = "(true|false)"
    elif kind.type is int:
        value = f"({_WHOLE})"
    elif issubclass(kind.type, StrEnum):
        value = f"{_QUOTE}({'|'.join(re.escape(one.value) for one in kind.type)}){_QUOTE}"
    else:
        value = f"{_QUOTE}({_BETWEEN_QUOTES[kind.type]}){_QUOTE}"
    return f"(?:null|{value})" if kind.optional else value


def bytes_of_written(row_id: str) -> bytes:
    """Return the 16 bytes of an id that stands there as ids are written."""
    return bytes.fromhex(row_id.replace("-", ""))


@lru_cache(maxsize=4_096)
def _count_of(instant: str) -> int:
    return microseconds(datetime.fromisoformat(instant))


#: what makes of a text that which a file keeps; of all others it is the text
_WAYS: Final[dict[Any, Callable[[str], Any]]] = {
    UUID: lru_cache(maxsize=4_096)(bytes_of_written),
    datetime: _count_of,
    int: int,
    bool: {"false": 0, "true": 1}.__getitem__,
}


def insert_straight(
    connection: Connection, its: StraightTable, row_ids: Iterable[str], rows: Sequence[Sequence[str | None]]
) -> None:
    """Insert rows, at least one, into a table of a file: their ids and what was caught of each. Errors as `insert_plain`."""
    columns = [_taken(values, way) for values, way in zip(zip(*rows, strict=True), its.ways, strict=True)]
    ids = map(bytes_of_written, row_ids)
    insert_plain(connection, its.table, ("id", *its.names), list(zip(ids, *columns, strict=True)))


def _taken(values: Sequence[str | None], way: Callable[[str], Any] | None) -> Iterable[Any]:
    if way is None or (values[0] is None and not any(values)):
        return values
    if None in values:
        return (None if value is None else way(value) for value in values)
    return map(way, values)  # type: ignore[arg-type]
