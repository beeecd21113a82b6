"""Rows go into the tables: in a file by the driver itself, on a server by SQLAlchemy.

What SQLAlchemy does around each row (a dictionary of parameters, a chain of calls for each value) costs several times what SQLite
needs to insert it. In a file the statement and the way of each column's values are worked out once; the driver gets plain tuples.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from functools import lru_cache
from operator import itemgetter
from typing import Any

from sqlalchemy import Connection, Dialect, Table, insert

#: what makes of a value that which the driver takes; None where it takes it as it is
_Way = Callable[[Any], Any] | None


def insert_rows(connection: Connection, table: Table, rows: Sequence[Mapping[str, Any]]) -> None:
    """Insert rows, each with a value for the same columns as the first. Errors are those of SQLAlchemy on both databases."""
    if rows:
        insert_columns(connection, table, {name: list(map(itemgetter(name), rows)) for name in rows[0]})


def insert_columns(connection: Connection, table: Table, columns: Mapping[str, Sequence[Any]]) -> None:
    """Insert rows that are given column by column, all of one length, at least one. Errors as `insert_rows`."""
    if connection.dialect.name != "sqlite":
        rows = [dict(zip(columns, row, strict=True)) for row in zip(*columns.values(), strict=True)]
        connection.execute(insert(table), rows)
        return
    statement, ways = _plan(connection.dialect, table, tuple(columns))
    told = (
        values if way is None or _is_empty(values) else map(way, values)
        for values, way in zip(columns.values(), ways, strict=True)
    )
    connection.exec_driver_sql(statement, list(zip(*told, strict=True)))


def insert_plain(connection: Connection, table: Table, names: Sequence[str], rows: list[tuple[Any, ...]]) -> None:
    """Insert rows into a table of a file, each a tuple of what the driver takes for these columns. Errors as `insert_rows`."""
    if rows:
        statement, _ = _plan(connection.dialect, table, tuple(names))
        connection.exec_driver_sql(statement, rows)


def _is_empty(values: Sequence[Any]) -> bool:
    # most rows leave most of what may be left out; nothing has to be made of nothing
    return values[0] is None and {*map(type, values)} == {type(None)}


@lru_cache(maxsize=128)
def _plan(dialect: Dialect, table: Table, names: tuple[str, ...]) -> tuple[str, tuple[_Way, ...]]:
    columns = [table.columns[name] for name in names]
    quoted = ", ".join(dialect.identifier_preparer.format_column(column) for column in columns)
    marks = ", ".join("?" * len(columns))
    statement = f"INSERT INTO {dialect.identifier_preparer.format_table(table)} ({quoted}) VALUES ({marks})"  # noqa: S608 - names of our own tables
    return statement, tuple(column.type.dialect_impl(dialect).bind_processor(dialect) for column in columns)
