"""Bringing tables to a new shape inside a migration, on either database. Which shape it is, each migration writes out itself."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Any, TypeAlias

from sqlalchemy import CheckConstraint, Column, Connection, MetaData, Table, Text, inspect, text
from sqlalchemy.schema import AddConstraint, CreateIndex, CreateTable

#: takes a connection, the table as it was and the table as it shall be, and fills the second from the first
Fill: TypeAlias = Callable[[Connection, str, Table], None]


def reshape(connection: Connection, table: Table, fill: Fill | None = None) -> None:
    """Make a table, or bring the one that is there to this shape; its rows stay.

    A column that is new and may not be empty holds an empty text, or no, in the rows that are there.

    Parameters
    ----------
    table : Table
        With every constraint named; new columns stand at its end.
    fill : callable or None
        Copies the rows on SQLite, where they go into a table made anew; None copies the columns that both have.

    Raises
    ------
    ValueError
        When a new column may not be empty and is neither text nor a flag.
    """
    if not inspect(connection).has_table(table.name):
        connection.execute(CreateTable(table))
        _index(connection, table)
    elif connection.dialect.name != "sqlite":
        _alter(connection, table)
    elif _differs(connection, table):
        _make_anew(connection, table, fill or copy_rows)
    else:
        _index(connection, table)


def _differs(connection: Connection, table: Table) -> bool:
    inspector = inspect(connection)
    there = [column["name"] for column in inspector.get_columns(table.name)]
    checks = {one["name"]: one["sqltext"] for one in inspector.get_check_constraints(table.name)}
    return there != [column.name for column in table.columns] or checks != {
        str(one.name): str(one.sqltext) for one in _checks(table)
    }


def _make_anew(connection: Connection, table: Table, fill: Fill) -> None:
    """SQLite alters little of a table that is there: it is made anew beside, filled, and takes the old one's name."""
    beside = table.to_metadata(_with_targets(table), name=f"new_{table.name}")
    connection.execute(CreateTable(beside))
    fill(connection, table.name, beside)
    connection.execute(text(f"DROP TABLE {table.name}"))
    connection.execute(text(f"ALTER TABLE new_{table.name} RENAME TO {table.name}"))
    _index(connection, table)


def _with_targets(table: Table) -> MetaData:
    """A collection of tables that has what this one points at, for a table of another name to be made in."""
    found = MetaData()
    for key in table.foreign_keys:
        target = key.column.table
        if target is not table and target.name not in found.tables:
            Table(target.name, found, *(Column(one.name, one.type, primary_key=True) for one in target.primary_key))
    return found


def copy_rows(connection: Connection, old: str, table: Table) -> None:
    """Copy the rows of a table, the columns that both have and what is usual for the others."""
    there = {column["name"] for column in inspect(connection).get_columns(old)}
    names = [column.name for column in table.columns]
    values = [name if name in there else _usual(table.columns[name]) for name in names]
    # every name is one of our own tables' or columns', as the migration writes it
    copying = f"INSERT INTO {table.name} ({', '.join(names)}) SELECT {', '.join(values)} FROM {old}"  # noqa: S608
    connection.execute(text(copying))


def _usual(column: Column[Any]) -> str:
    """What stands in a new column of rows that were there before it, in SQL."""
    if column.nullable:
        return "NULL"
    if isinstance(column.type, Text):
        return "''"
    if any(str(check.sqltext) == f"{column.name} IN (0, 1)" for check in _checks(column.table)):
        return "0"
    raise ValueError(f"{column.table.name}.{column.name} is new and may not be empty")


def usual_in(tables: MetaData) -> Callable[[str, dict[str, Any]], dict[str, Any]]:
    """Return the step (`lift`) of a migration that only adds columns: what `reshape` puts in rows is put in their versions.

    Lists stand in tables of their own; a migration that brings one says in a step of its own that they are empty.
    """

    def lift(table: str, content: dict[str, Any]) -> dict[str, Any]:
        if table not in tables.tables:
            return content
        usual: dict[str, Any] = {"NULL": None, "''": "", "0": False}
        new = [one for one in tables.tables[table].columns if one.name not in content]
        return {**content, **{one.name: usual[_usual(one)] for one in new}}

    return lift


def _checks(table: Table) -> Iterable[CheckConstraint]:
    every = [*table.constraints, *(one for column in table.columns for one in column.constraints)]
    return [one for one in every if isinstance(one, CheckConstraint)]


def _alter(connection: Connection, table: Table) -> None:
    inspector = inspect(connection)
    there = {column["name"] for column in inspector.get_columns(table.name)}
    checks = [one["name"] for one in inspector.get_check_constraints(table.name)]
    keys = {one["name"] for one in inspector.get_foreign_keys(table.name)}
    for column in table.columns:
        if column.name not in there:
            _add(connection, table, column)
    # all are made anew, since a server keeps them in words of its own that cannot be compared with ours
    for name in checks:
        connection.execute(text(f"ALTER TABLE {table.name} DROP CONSTRAINT {name}"))
    for name in there - {column.name for column in table.columns}:
        connection.execute(text(f"ALTER TABLE {table.name} DROP COLUMN {name}"))
    for check in _checks(table):
        if _is_for(check, connection):
            connection.execute(AddConstraint(check))
    for key in table.foreign_key_constraints:
        if key.name not in keys:
            connection.execute(AddConstraint(key))
    _index(connection, table)


def _is_for(check: CheckConstraint, connection: Connection) -> bool:
    """Whether a check is meant for this database: that a flag is 0 or 1 is one of SQLite's."""
    return not str(check.sqltext).endswith("IN (0, 1)") or connection.dialect.name == "sqlite"


def _add(connection: Connection, table: Table, column: Column[Any]) -> None:
    kind = column.type.compile(connection.dialect)
    usual = "" if column.nullable else f" NOT NULL DEFAULT {_usual(column).replace('0', 'false')}"
    connection.execute(text(f"ALTER TABLE {table.name} ADD COLUMN {column.name} {kind}{usual}"))
    # the default was for the rows that were there; who writes a new one says what it holds
    if usual:
        connection.execute(text(f"ALTER TABLE {table.name} ALTER COLUMN {column.name} DROP DEFAULT"))


def _index(connection: Connection, table: Table) -> None:
    there = {one["name"] for one in inspect(connection).get_indexes(table.name)}
    for index in table.indexes:
        if index.name not in there:
            connection.execute(CreateIndex(index))
