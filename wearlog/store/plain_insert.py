"""Rows go into the tables: in a file by the driver itself, on a server by SQLAlchemy.

What SQLAlchemy does around each row (a dictionary of parameters, a chain of calls for each value) costs several times what SQLite
needs to insert it. In a file the statement and the way of each column's values are worked out once; the driver gets plain tuples.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Iterable, Mapping, Sequence
from contextlib import closing
from dataclasses import dataclass
from functools import lru_cache
from operator import itemgetter
from typing import Any

from sqlalchemy import Connection, Dialect, Table, insert
from sqlalchemy.exc import DBAPIError

#: what makes of a value that which the driver takes; None where it takes it as it is
_Way = Callable[[Any], Any] | None


def driver_of(connection: Connection) -> Any:
    """Return the driver's own connection, in a transaction: as SQLAlchemy begins one for whatever goes through it."""
    if not connection.in_transaction():
        connection.begin()
    return connection.connection.driver_connection


def insert_rows(connection: Connection, table: Table, rows: Sequence[Mapping[str, Any]]) -> None:
    """Insert rows, each with a value for the same columns as the first. Errors are the driver's, on a server SQLAlchemy's."""
    if rows:
        insert_columns(connection, table, {name: list(map(itemgetter(name), rows)) for name in rows[0]})


def insert_columns(connection: Connection, table: Table, columns: Mapping[str, Sequence[Any]]) -> None:
    """Insert rows that are given column by column, all of one length, at least one. Errors as `insert_rows`."""
    if connection.dialect.name != "sqlite":
        rows = [dict(zip(columns, row, strict=True)) for row in zip(*columns.values(), strict=True)]
        connection.execute(insert(table), rows)
        return
    plan = _plan(connection.dialect, table, tuple(columns))
    send(connection, plan.insert, _rows(columns.values(), plan.ways))


def update_columns(connection: Connection, table: Table, columns: Mapping[str, Sequence[Any]]) -> int:
    """Change rows of a file, given column by column, their ids last; return how many of them are there. Errors as `insert_rows`."""
    plan = _plan(connection.dialect, table, tuple(columns))
    return send(connection, plan.update, _rows(columns.values(), plan.ways))


def _rows(columns: Iterable[Sequence[Any]], ways: Iterable[_Way]) -> list[tuple[Any, ...]]:
    told = (
        values if way is None or _is_empty(values) else map(way, values)
        for values, way in zip(columns, ways, strict=True)
    )
    return list(zip(*told, strict=True))


def insert_plain(connection: Connection, table: Table, names: Sequence[str], rows: list[tuple[Any, ...]]) -> None:
    """Insert rows into a table of a file, each a tuple of what the driver takes for these columns. Errors as `insert_rows`."""
    if rows:
        send(connection, _plan(connection.dialect, table, tuple(names)).insert, rows)


def send(connection: Connection, statement: str, rows: list[tuple[Any, ...]]) -> int:
    """Send a statement to a file's driver for each of the rows, and return how many rows it changed.

    Raises
    ------
    DBAPIError
        What the driver refuses, as SQLAlchemy tells it: who asks need not know which way the rows went.
    """
    try:
        with closing(driver_of(connection).executemany(statement, rows)) as cursor:
            count: int = cursor.rowcount
    except sqlite3.Error as error:
        raise DBAPIError.instance(statement, None, error, sqlite3.Error) from error
    return count


def _is_empty(values: Sequence[Any]) -> bool:
    # most rows leave most of what may be left out; nothing has to be made of nothing
    return values[0] is None and {*map(type, values)} == {type(None)}


@dataclass(frozen=True, slots=True)
class _Statements:
    """The statements for some columns of a table, and the way of each column's values."""

    insert: str
    update: str
    ways: tuple[_Way, ...]


@lru_cache(maxsize=128)
def _plan(dialect: Dialect, table: Table, names: tuple[str, ...]) -> _Statements:
    columns = [table.columns[name] for name in names]
    its = dialect.identifier_preparer.format_table(table)
    quoted = [dialect.identifier_preparer.format_column(column) for column in columns]
    marks = ", ".join("?" * len(columns))
    return _Statements(
        f"INSERT INTO {its} ({', '.join(quoted)}) VALUES ({marks})",  # noqa: S608 - names of our own tables
        f"UPDATE {its} SET {', '.join(f'{name} = ?' for name in quoted[:-1])} WHERE {quoted[-1]} = ?",  # noqa: S608
        tuple(column.type.dialect_impl(dialect).bind_processor(dialect) for column in columns),
    )
