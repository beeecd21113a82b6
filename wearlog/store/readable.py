"""What can be read of a damaged log, row by row, and which rows cannot. A sound log is read as fast as ever."""

from __future__ import annotations

import sqlite3
from collections import defaultdict
from collections.abc import Callable, Sequence
from typing import Any, Final, TypeVar
from uuid import UUID

from sqlalchemy import Connection, Table, select, text
from sqlalchemy.exc import SQLAlchemyError

from wearlog.facts.bookkeeping import Deed, Version
from wearlog.facts.fact import Fact
from wearlog.store.owned_rows import read_facts
from wearlog.store.packing import unpacked
from wearlog.store.schema import TABLE_OF_FACT, metadata
from wearlog.store.schema.journal_tables import deed as deed_table
from wearlog.store.schema.journal_tables import version as version_table
from wearlog.store.schema.journal_tables import version_parent

T = TypeVar("T")
_ANY_ROW: Final = text("1 = 1")
#: what bytes that are no text, ids of a wrong length and values of no list raise while they are read
UNREADABLE: Final = (
    SQLAlchemyError,
    sqlite3.Error,
    ValueError,
    TypeError,
    LookupError,
    ArithmeticError,
    AttributeError,
)


def readable_facts(connection: Connection, fact_type: type[Fact]) -> tuple[list[Fact], list[str]]:
    """Return the facts of a table that can be read, and what is wrong with the others as sentences."""
    table = TABLE_OF_FACT[fact_type]
    return _readable(connection, table, lambda which: read_facts(connection, fact_type, select(table).where(which)))


def readable_deeds(connection: Connection) -> tuple[list[Deed], list[str]]:
    """Return the deeds that can be read, and what is wrong with the others."""

    def read(which: Any) -> list[Deed]:
        return [Deed(**row) for row in connection.execute(select(deed_table).where(which)).mappings()]

    return _readable(connection, deed_table, read)


def readable_versions(connection: Connection) -> tuple[list[Version], list[str]]:
    """Return the versions that can be read (of content that cannot be unpacked nothing), and what is wrong with the others."""
    parents, problems = _parents(connection)

    def read(which: Any) -> list[Version]:
        rows = connection.execute(select(version_table).where(which)).mappings()
        return [_version(row, parents.get(row["id"], ())) for row in rows]

    found, told = _readable(connection, version_table, read)
    unpackable = [f"version {one.id} of a row of {one.table_name} cannot be read" for one in found if not one.content]
    return found, [*problems, *told, *unpackable]


def _version(row: Any, parents: Sequence[UUID]) -> Version:
    try:
        content = unpacked(row["table_name"], row["content"])
    except ValueError:
        content = ""
    return Version(**{**row, "content": content}, parents=tuple(sorted(parents)))


def _readable(connection: Connection, table: Table, read: Callable[[Any], list[T]]) -> tuple[list[T], list[str]]:
    """Read all rows at once; where that fails one by one, by their numbers in the file."""
    try:
        return read(_ANY_ROW), []
    except UNREADABLE:
        if connection.dialect.name != "sqlite":
            raise
    numbers, problems = _numbers(connection, table)
    found: list[T] = []
    for number, name in numbers:
        try:
            found += read(text(f"{table.name}.rowid = {number}"))
        except UNREADABLE:
            problems.append(f"row {name} of {table.name} cannot be read")
    return found, problems


def _numbers(connection: Connection, table: Table) -> tuple[list[tuple[int, str]], list[str]]:
    """Return the number of each row and how it is called; a page that cannot be read ends the list, from either side."""
    found: dict[int, str] = {}
    problems: list[str] = []
    for order in ("", "DESC"):
        try:
            query = f"SELECT rowid, hex(id) FROM {table.name} NOT INDEXED ORDER BY rowid {order}"  # noqa: S608 - our own name
            for number, name in connection.exec_driver_sql(query):
                if number in found:
                    break
                found[number] = _id_words(name)
            else:
                break
        except UNREADABLE:
            if not problems:
                problems.append(f"some rows of {table.name} cannot be read")
    return sorted(found.items()), problems


def _id_words(name: str) -> str:
    return str(UUID(name)) if len(name) == 32 else name or "without an id"


def _parents(connection: Connection) -> tuple[dict[UUID, list[UUID]], list[str]]:
    """Return which versions each follows, and what is wrong with the rest."""
    found: dict[UUID, list[UUID]] = defaultdict(list)
    query = select(version_parent.c.version_id, version_parent.c.parent_id)
    try:
        for version_id, parent in connection.execute(query):
            found[version_id].append(parent)
    except UNREADABLE:
        if connection.dialect.name != "sqlite":
            raise
    else:
        return found, []
    found.clear()
    problems: list[str] = []
    try:
        for version_id, parent in connection.exec_driver_sql(
            "SELECT hex(version_id), hex(parent_id) FROM version_parent"
        ):
            try:
                found[UUID(version_id)].append(UUID(parent))
            except ValueError:
                problems.append(f"version {_id_words(version_id)} follows what is no version ({_id_words(parent)})")
    except UNREADABLE:
        problems.append("some rows of version_parent cannot be read")
    return found, problems


def missing_of_shape(connection: Connection) -> list[str]:
    """Name the tables and the indices that a log has and this file lacks."""
    if connection.dialect.name != "sqlite":
        return []
    there = set(connection.exec_driver_sql("SELECT type || ' ' || name FROM sqlite_schema").scalars())
    missing = [
        f"the table {table.name} is missing" for table in metadata.sorted_tables if f"table {table.name}" not in there
    ]
    return missing + [
        f"the index {index.name} of {table.name} is missing"
        for table in metadata.sorted_tables
        for index in sorted(table.indexes, key=lambda one: str(one.name))
        if f"table {table.name}" in there and f"index {index.name}" not in there
    ]
