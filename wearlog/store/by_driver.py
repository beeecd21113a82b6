"""Rows of a file by its driver, without what SQLAlchemy does around each statement: facts read, rows written, queries sent.

An entry sends a dozen queries that find a row or two each, and writes ten rows. To build, bind and unpack one took ten times as
long as SQLite needs, to compile an insert longer than to insert. The types of the tables say how values come and go.
"""

from __future__ import annotations

import re
import sqlite3
from collections import defaultdict
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from enum import Enum, auto
from functools import lru_cache
from operator import itemgetter
from typing import Any, Final, TypeVar

from sqlalchemy import Column, Connection, Dialect, Select, Table, insert
from sqlalchemy.exc import DBAPIError
from sqlalchemy.types import TypeEngine

from wearlog.collecting import no_collecting
from wearlog.facts.fact import Fact, without_trailing_none
from wearlog.store.schema import TABLE_OF_FACT, Owned, owned_by
from wearlog.store.schema.types import taken_at_once

#: what makes of a value that which the driver takes; None where it takes it as it is
_Way = Callable[[Any], Any] | None
#: so few rows are made value by value: to look through a whole column pays for more
_FEW: Final = 8


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
    plan = _statements(connection.dialect, table, tuple(columns))
    send(connection, plan.insert, _rows(columns.values(), plan.ways))


def update_columns(connection: Connection, table: Table, columns: Mapping[str, Sequence[Any]]) -> int:
    """Change rows of a file, given column by column, their ids last; return how many of them are there. Errors as `insert_rows`."""
    plan = _statements(connection.dialect, table, tuple(columns))
    return send(connection, plan.update, _rows(columns.values(), plan.ways))


def _rows(columns: Collection[Sequence[Any]], ways: Sequence[_Way]) -> Iterable[tuple[Any, ...]]:
    if len(next(iter(columns))) <= _FEW:
        return [_row(values, ways) for values in zip(*columns, strict=True)]
    told = (values if way is None else taken_at_once(way, values) for values, way in zip(columns, ways, strict=True))
    return zip(*told, strict=True)


def _row(values: Sequence[Any], ways: Sequence[_Way]) -> tuple[Any, ...]:
    told = zip(values, ways, strict=True)
    return tuple([value if way is None or value is None else way(value) for value, way in told])


def insert_plain(connection: Connection, table: Table, names: Sequence[str], rows: Iterable[tuple[Any, ...]]) -> None:
    """Insert rows into a table of a file, each a tuple of what the driver takes for these columns. Errors as `insert_rows`."""
    send(connection, _statements(connection.dialect, table, tuple(names)).insert, rows)


def send(connection: Connection, statement: str, rows: Iterable[tuple[Any, ...]]) -> int:
    """Send a statement to a file's driver for each of the rows, and return how many rows it changed.

    Raises
    ------
    DBAPIError
        What the driver refuses, as SQLAlchemy tells it: who asks need not know which way the rows went.
    """
    try:
        cursor = driver_of(connection).executemany(statement, rows)
    except sqlite3.Error as error:
        raise DBAPIError.instance(statement, None, error, sqlite3.Error) from error
    count: int = cursor.rowcount
    cursor.close()
    return count


@dataclass(frozen=True, slots=True)
class _Statements:
    """The statements for some columns of a table, and the way of each column's values."""

    insert: str
    update: str
    ways: tuple[_Way, ...]


@lru_cache(maxsize=128)
def _statements(dialect: Dialect, table: Table, names: tuple[str, ...]) -> _Statements:
    columns = [table.columns[name] for name in names]
    its = dialect.identifier_preparer.format_table(table)
    quoted = [dialect.identifier_preparer.format_column(column) for column in columns]
    marks = ", ".join("?" * len(columns))
    return _Statements(
        f"INSERT INTO {its} ({', '.join(quoted)}) VALUES ({marks})",  # noqa: S608 - names of our own tables
        f"UPDATE {its} SET {', '.join(f'{name} = ?' for name in quoted[:-1])} WHERE {quoted[-1]} = ?",  # noqa: S608
        tuple(column.type.dialect_impl(dialect).bind_processor(dialect) for column in columns),
    )


F = TypeVar("F", bound=Fact)

#: how many rows are made facts at once: all of a large log at once would be its largest load
_AT_ONCE: Final = 10_000
#: so few rows are read by an entry or a form, which soon reads them again: to look up a fact takes a tenth of making one
_READ_AGAIN: Final = 200
#: more facts of a type than these are not kept
_MOST_MADE: Final = 2_000


class Asked(Enum):
    """How a field is asked for."""

    EMPTY = auto()
    EQUAL = auto()
    AMONG = auto()
    WITHIN = auto()


def how_asked(value: Any) -> Asked:
    """Return what a value asks of its field: a set any of its values, a list all from its first to its last, None nothing."""
    if isinstance(value, (set, frozenset)):
        return Asked.AMONG
    if isinstance(value, list):
        return Asked.WITHIN
    return Asked.EMPTY if value is None else Asked.EQUAL


def plain_facts(
    connection: Connection, fact_type: type[F], equal: Mapping[str, Any], *, voided_too: bool = False
) -> list[F]:
    """Return the facts of a file that count and whose fields are as asked, by their ids; errors are the driver's.

    Parameters
    ----------
    equal : mapping of str to Any
        Fields with what is asked of them, at least one with `voided_too`, as `how_asked` says.
    voided_too : bool
        Return those that count no more as well.
    """
    plan = _fact_plan(fact_type, connection.dialect)  # type: ignore[arg-type]
    conditions, values = [] if voided_too else ["voided = 0"], []
    for name, value in equal.items():
        condition, its = plan.asking[name].told(value)
        conditions.append(condition)
        values += its
    sql = f"{plan.select} WHERE {' AND '.join(conditions)} ORDER BY id"
    driver = driver_of(connection)
    cursor = driver.execute(sql, values)
    try:
        rows = cursor.fetchmany(_READ_AGAIN + 1)
        if len(rows) <= _READ_AGAIN:
            return plan.facts(driver, rows) if rows else []
        found: list[F] = []
        with no_collecting():
            while rows:
                found += plan.facts(driver, rows)
                rows = cursor.fetchmany(_AT_ONCE)
        return found
    finally:
        cursor.close()


@dataclass(frozen=True, slots=True)
class _Asking:
    """How a column is asked for: as it stands in SQL, and the way of its values."""

    name: str
    way: _Way

    def told(self, value: Any) -> tuple[str, list[Any]]:
        """Return a condition and its values."""
        how = how_asked(value)
        if how is Asked.EMPTY:
            return f"{self.name} IS NULL", []
        values = list(value) if how is not Asked.EQUAL else [value]
        if self.way is not None:
            values = list(map(self.way, values))
        if how is Asked.AMONG:
            return f"{self.name} IN ({', '.join('?' * len(values))})", values
        return (f"{self.name} = ?" if how is Asked.EQUAL else f"{self.name} BETWEEN ? AND ?"), values


@dataclass(frozen=True, slots=True)
class _OwnedPlan:
    """How rows that facts own are read: `first` stands before their owners' ids, `last` behind."""

    first: str
    last: str
    ways: tuple[_Way, ...]

    def lists(self, driver: Any, ids: Sequence[bytes]) -> Iterator[tuple[tuple[Any, ...], ...]]:
        """Yield what each owner has, field by field."""
        rows: dict[bytes, list[Any]] = defaultdict(list)
        sql = f"{self.first} IN ({', '.join('?' * len(ids))}) {self.last}"
        for owner, *items in driver.execute(sql, ids).fetchall():
            rows[owner].append(items)
        nothing = ((),) * len(self.ways)
        for one in ids:
            yield self._told(rows[one]) if one in rows else nothing

    def _told(self, rows: Sequence[Sequence[Any]]) -> tuple[tuple[Any, ...], ...]:
        taken = zip(self.ways, zip(*rows, strict=True), strict=True)
        first, *others = (its if way is None else tuple(map(way, its)) for way, its in taken)
        # what nobody knows is not told: a field ends with the last that somebody knows
        return (first, *(without_trailing_none(other) for other in others))


@dataclass(frozen=True, slots=True)
class _FactPlan:
    """How facts of one type are read from a file."""

    fact_type: Any
    select: str
    names: tuple[str, ...]
    ways: tuple[_Way, ...]
    asking: Mapping[str, _Asking]
    #: at which place a row has its id
    id_place: int
    owned: tuple[_OwnedPlan, ...]
    #: rows with what they own, and the facts that were made of them
    made: dict[tuple[Any, ...], Any]

    def facts(self, driver: Any, rows: Sequence[tuple[Any, ...]]) -> list[Any]:
        """Return the facts of rows, at least one; of rows that stand as they stood when they were read before, the same facts."""
        ids = [row[self.id_place] for row in rows] if self.owned else []
        whole = list(zip(rows, *(owned.lists(driver, ids) for owned in self.owned), strict=True))
        if len(whole) > _READ_AGAIN:
            return self._of(whole)
        found = list(map(self.made.get, whole))
        fresh = [one for one, fact in zip(whole, found, strict=True) if fact is None]
        if not fresh:
            return found
        new = dict(zip(fresh, self._of(fresh), strict=True))
        if len(self.made) > _MOST_MADE:
            self.made.clear()
        self.made.update(new)
        return [new[one] if fact is None else fact for one, fact in zip(whole, found, strict=True)]

    def _of(self, whole: Sequence[tuple[Any, ...]]) -> list[Any]:
        rows, *lists = zip(*whole, strict=True)
        columns = zip(*rows, strict=True)
        told: list[Any] = [its if way is None else map(way, its) for way, its in zip(self.ways, columns, strict=True)]
        for its in lists:
            told += zip(*its, strict=True)
        fact_type, names = self.fact_type, self.names
        return [fact_type(**dict(zip(names, values, strict=True))) for values in zip(*told, strict=True)]


@lru_cache(maxsize=128)
def _fact_plan(fact_type: Any, dialect: Dialect) -> _FactPlan:
    table, owns = TABLE_OF_FACT[fact_type], owned_by(fact_type)
    names = [column.name for column in table.columns]
    quoted = [dialect.identifier_preparer.format_column(column) for column in table.columns]
    return _FactPlan(
        fact_type,
        f"SELECT {', '.join(quoted)} FROM {table.name}",  # noqa: S608 - names of our own tables
        (*names, *(field for owned in owns for field in owned.fields)),
        tuple(_taking(column, dialect) for column in table.columns),
        {
            column.name: _Asking(said, column.type.dialect_impl(dialect).bind_processor(dialect))
            for column, said in zip(table.columns, quoted, strict=True)
        },
        names.index("id"),
        tuple(_owned_plan(owned, dialect) for owned in owns),
        {},
    )


def _owned_plan(owned: Owned, dialect: Dialect) -> _OwnedPlan:
    columns = [owned.table.c[name] for name in owned.fields.values()]
    told = ", ".join(column.name for column in columns)
    owner, order = owned.owner.name, "place" if owned.is_numbered else columns[0].name
    return _OwnedPlan(
        f"SELECT {owner}, {told} FROM {owned.table.name} WHERE {owner}",  # noqa: S608 - names of our own tables
        f"ORDER BY {owner}, {order}",
        tuple(_taking(column, dialect) for column in columns),
    )


def _taking(column: Column[Any], dialect: Dialect) -> _Way:
    return column.type.dialect_impl(dialect).result_processor(dialect, None)


#: where the compiled text leaves room for as many values as there will be
_ROOM: Final = re.compile(r"__\[POSTCOMPILE_(\w+)\]")


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
    cursor = driver_of(connection).execute(sql, values)
    try:
        rows = cursor.fetchall()
    finally:
        cursor.close()
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
