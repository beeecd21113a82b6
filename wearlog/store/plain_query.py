"""Queries that every entry sends, by the driver of a file: built and compiled once, their values bound as the tables say.

On a server SQLAlchemy sends them.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from contextlib import closing
from dataclasses import dataclass
from functools import lru_cache
from typing import Any, Final

from sqlalchemy import Connection, Dialect, Select
from sqlalchemy.types import TypeEngine

from wearlog.store.plain_insert import driver_of

#: where the compiled text leaves room for as many values as there will be
_ROOM: Final = re.compile(r"__\[POSTCOMPILE_(\w+)\]")

_Way = Callable[[Any], Any] | None


def plain_rows(
    connection: Connection, query: Select[Any], asked: Mapping[str, Any] | None = None
) -> Sequence[tuple[Any, ...]]:
    """Return the rows of a query that is made once and kept; errors are the driver's in a file.

    Parameters
    ----------
    asked : mapping of str to Any, optional
        Values of its parameters: a sequence for one that expands.
    """
    given = asked or {}
    if connection.dialect.name != "sqlite":
        return [tuple(row) for row in connection.execute(query, given)]
    compiled = _compiled(query, connection.dialect)
    values: list[Any] = []
    for name, way, usual in compiled.asked:
        value = given.get(name, usual)
        several = list(value) if name in compiled.expanding else [value]
        values += several if way is None else map(way, several)
    sql = _ROOM.sub(lambda room: ", ".join("?" * len(given[room[1]])), compiled.sql)
    with closing(driver_of(connection).execute(sql, values)) as cursor:
        rows = cursor.fetchall()
    if not rows:
        return []
    columns = zip(*rows, strict=True)
    told = (its if way is None else map(way, its) for way, its in zip(compiled.ways, columns, strict=True))
    return list(zip(*told, strict=True))


@dataclass(frozen=True, slots=True)
class _Compiled:
    """A query as its text, its parameters in their order (name, way, usual value), and the ways of its columns."""

    sql: str
    asked: tuple[tuple[str, _Way, Any], ...]
    expanding: frozenset[str]
    ways: tuple[_Way, ...]


@lru_cache(maxsize=64)
def _compiled(query: Select[Any], dialect: Dialect) -> _Compiled:
    made = query.compile(dialect=dialect)
    asked = [
        (name, _impl(made.binds[name].type, dialect).bind_processor(dialect), made.params[name])
        for name in made.positiontup or []
    ]
    ways = [_impl(column.type, dialect).result_processor(dialect, None) for column in query.selected_columns]
    return _Compiled(made.string, tuple(asked), frozenset(_ROOM.findall(made.string)), tuple(ways))


def _impl(kind: TypeEngine[Any], dialect: Dialect) -> TypeEngine[Any]:
    return kind.dialect_impl(dialect)
