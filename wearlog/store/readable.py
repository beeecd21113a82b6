"""What can be read of a log, sound or damaged: page by page, and where a page cannot be read row by row, naming what cannot."""

from __future__ import annotations

import sqlite3
from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Any, Final, TypeVar
from uuid import UUID

from sqlalchemy import Connection, Table, select, text
from sqlalchemy.exc import SQLAlchemyError

from wearlog.facts.bookkeeping import Deed, Version
from wearlog.facts.fact import Fact
from wearlog.store.finding import batched_ids, read_facts
from wearlog.store.packing import unpacked
from wearlog.store.schema import TABLE_OF_FACT
from wearlog.store.schema.journal_tables import deed as deed_table
from wearlog.store.schema.journal_tables import version as version_table
from wearlog.store.schema.journal_tables import version_parent

T = TypeVar("T")

#: rows of a page
PAGE: Final = 2_000
#: how much of a file is kept while it is looked through whole
_KEPT_KIBIBYTES: Final = 16_000
#: numbers of rows in a file
_LEAST, _MOST = -(2**63), 2**63 - 1

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


@dataclass(frozen=True, slots=True)
class Page:
    """Some rows of a table: which, as a condition; in a file the numbers of its first and last row, on a server 0."""

    table: Table
    which: Any
    first: int = 0
    last: int = 0


def pages(connection: Connection, table: Table) -> Iterator[Page]:
    """Yield the pages of a table, in a file in the order in which its rows lie there; one that cannot be turned is the last."""
    if connection.dialect.name != "sqlite":
        yield from _pages_on_server(connection, table)
        return
    first = _LEAST
    while first <= _MOST:
        # by the table alone: what an index says may be damaged
        some = f"SELECT rowid FROM {table.name} NOT INDEXED WHERE rowid >= {first} ORDER BY rowid LIMIT {PAGE}"  # noqa: S608 - our own name
        try:
            last = connection.exec_driver_sql(f"SELECT max(rowid) FROM ({some})").scalar()  # noqa: S608 - our own name
        except UNREADABLE:
            last = _MOST
        if last is None:
            return
        yield Page(table, text(f"{table.name}.rowid BETWEEN {first} AND {last}"), first, last)
        first = last + 1


@contextmanager
def many_pages_kept(connection: Connection) -> Iterator[None]:
    """Keep many pages of a file in memory inside the block: an index is held against its table row by row, wherever that lies."""
    usual = connection.exec_driver_sql("PRAGMA cache_size").scalar()
    connection.exec_driver_sql(f"PRAGMA cache_size = -{_KEPT_KIBIBYTES}")
    try:
        yield
    finally:
        connection.exec_driver_sql(f"PRAGMA cache_size = {usual}")
        connection.exec_driver_sql("PRAGMA shrink_memory")


def _pages_on_server(connection: Connection, table: Table) -> Iterator[Page]:
    ids = select(table.c.id).order_by(table.c.id).limit(PAGE)
    found = connection.execute(ids).scalars().all()
    while found:
        yield Page(table, table.c.id.between(found[0], found[-1]))
        found = connection.execute(ids.where(table.c.id > found[-1])).scalars().all()


def rows_of_page(connection: Connection, page: Page, read: Callable[[Any], list[T]]) -> tuple[list[T], list[str]]:
    """Read the rows of a page at once; where that fails one by one, and say which cannot be read."""
    try:
        return read(page.which), []
    except UNREADABLE:
        if connection.dialect.name != "sqlite":
            raise
    numbers, problems = _numbers(connection, page)
    found: list[T] = []
    for some in range(0, len(numbers), PAGE):
        found += _one_by_one(page.table.name, numbers[some : some + PAGE], read, problems)
    return found, problems


def _one_by_one(
    table: str, numbers: Sequence[tuple[int, str]], read: Callable[[Any], list[T]], problems: list[str]
) -> list[T]:
    found: list[T] = []
    for number, name in numbers:
        try:
            found += read(text(f"{table}.rowid = {number}"))
        except UNREADABLE:
            problems.append(f"row {name} of {table} cannot be read")
    return found


def _numbers(connection: Connection, page: Page) -> tuple[list[tuple[int, str]], list[str]]:
    """Return the number of each row and how it is called; a page that cannot be read ends the list, from either side."""
    table = page.table.name
    found: dict[int, str] = {}
    problems: list[str] = []
    for order in ("", "DESC"):
        try:
            query = (
                f"SELECT rowid, hex(id) FROM {table} NOT INDEXED "  # noqa: S608 - our own name
                f"WHERE rowid BETWEEN {page.first} AND {page.last} ORDER BY rowid {order}"
            )
            for number, name in connection.exec_driver_sql(query):
                if number in found:
                    break
                found[number] = id_words(name)
            else:
                break
        except UNREADABLE:
            if not problems:
                problems.append(f"some rows of {table} cannot be read")
    return sorted(found.items()), problems


def id_words(name: str) -> str:
    """Return how a row is called whose id is given in hexadecimal."""
    return str(UUID(name)) if len(name) == 32 else name or "without an id"


def facts_of_page(connection: Connection, fact_type: type[Fact], page: Page) -> tuple[list[Fact], list[str]]:
    """Return the facts of a page of their table that can be read, and what is wrong with the others as sentences."""

    def read(which: Any) -> list[Fact]:
        return list(read_facts(connection, fact_type, select(page.table).where(which)))

    return rows_of_page(connection, page, read)


def deeds_of_page(connection: Connection, page: Page) -> tuple[list[Deed], list[str]]:
    """Return the deeds of a page that can be read, and what is wrong with the others."""

    def read(which: Any) -> list[Deed]:
        return [Deed(**row) for row in connection.execute(select(deed_table).where(which)).mappings()]

    return rows_of_page(connection, page, read)


def versions_of_page(connection: Connection, page: Page) -> tuple[list[Version], list[str]]:
    """Return the versions of a page that can be read; of content that cannot be unpacked nothing stands in it."""
    return rows_of_page(connection, page, lambda which: versions_where(connection, which))


def versions_where(connection: Connection, which: Any) -> list[Version]:
    """Return the versions that a condition names, as `versions_of_page`; raises one of `UNREADABLE` where one cannot be read."""
    rows = connection.execute(select(version_table).where(which)).mappings().all()
    parents = readable_parents(connection, [row["id"] for row in rows])
    return [_version(row, parents.get(row["id"], ())) for row in rows]


def _version(row: Any, parents: Sequence[UUID]) -> Version:
    try:
        content = unpacked(row["table_name"], row["content"])
    except ValueError:
        content = ""
    return Version(**{**row, "content": content}, parents=tuple(sorted(parents)))


def readable_parents(connection: Connection, version_ids: Iterable[UUID]) -> dict[UUID, list[UUID]]:
    """Return which versions each of these follows, as far as that can be read."""
    found: dict[UUID, list[UUID]] = defaultdict(list)
    for some in batched_ids(version_ids):
        query = select(version_parent.c.version_id, version_parent.c.parent_id)
        try:
            for version_id, parent in connection.execute(query.where(version_parent.c.version_id.in_(some))):
                found[version_id].append(parent)
        except UNREADABLE:
            if connection.dialect.name != "sqlite":
                raise
            _parents_one_by_one(connection, some, found)
    return found


def _parents_one_by_one(connection: Connection, version_ids: list[UUID], found: dict[UUID, list[UUID]]) -> None:
    for version_id in version_ids:
        found.pop(version_id, None)
        query = f"SELECT hex(parent_id) FROM version_parent WHERE version_id = x'{version_id.hex}'"  # noqa: S608 - an id
        try:
            for (parent,) in connection.exec_driver_sql(query):
                if len(parent) == 32:
                    found[version_id].append(UUID(parent))
        except UNREADABLE:
            continue


def parent_problems(connection: Connection) -> list[str]:
    """Say which rows of the table of parents are none, and whether some cannot be read."""
    if connection.dialect.name != "sqlite":
        return []
    columns = ("version_id", "parent_id")
    wrong = " OR ".join(f"typeof({name}) <> 'blob' OR length({name}) <> 16" for name in columns)
    try:
        rows = connection.exec_driver_sql(f"SELECT hex(version_id), hex(parent_id) FROM version_parent WHERE {wrong}")  # noqa: S608 - our own names
        return [
            f"version {id_words(version_id)} follows what is no version ({id_words(parent)})"
            for version_id, parent in rows
        ]
    except UNREADABLE:
        return ["some rows of version_parent cannot be read"]


def readable_facts(connection: Connection, fact_type: type[Fact]) -> tuple[list[Fact], list[str]]:
    """Return the facts of a table that can be read, and what is wrong with the others as sentences."""
    read = (facts_of_page(connection, fact_type, page) for page in pages(connection, TABLE_OF_FACT[fact_type]))
    return _together(read)


def readable_deeds(connection: Connection) -> tuple[list[Deed], list[str]]:
    """Return the deeds that can be read, and what is wrong with the others."""
    return _together(deeds_of_page(connection, page) for page in pages(connection, deed_table))


def readable_versions(connection: Connection) -> tuple[list[Version], list[str]]:
    """Return the versions that can be read (of content that cannot be unpacked nothing), and what is wrong with the others."""
    found, problems = _together(versions_of_page(connection, page) for page in pages(connection, version_table))
    unpackable = [unpackable_words(one) for one in found if not one.content]
    return found, [*parent_problems(connection), *problems, *unpackable]


def unpackable_words(version: Version) -> str:
    """Say that what a version says cannot be unpacked."""
    return f"version {version.id} of a row of {version.table_name} cannot be read"


def _together(read: Iterable[tuple[list[T], list[str]]]) -> tuple[list[T], list[str]]:
    found: list[T] = []
    problems: list[str] = []
    for some, told in read:
        found += some
        problems += told
    return found, problems
