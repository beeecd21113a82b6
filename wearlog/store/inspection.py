"""Looking through a whole log, row by row against its versions and digests, and reading what can be read of a damaged one."""

from __future__ import annotations

import sqlite3
from collections import defaultdict
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any, Final, TypeVar
from uuid import UUID

from sqlalchemy import Connection, Table, select, text
from sqlalchemy.exc import SQLAlchemyError

from wearlog.facts.bookkeeping import Deed, Version
from wearlog.facts.fact import Fact
from wearlog.facts.plain_text import one_line
from wearlog.facts.work import Stoppage
from wearlog.store.content import content_of, digest_of, digest_of_deed, lifted_content
from wearlog.store.finding import find_all, read_facts
from wearlog.store.ledger import VersionNode, standing_heads
from wearlog.store.opening import Store
from wearlog.store.packing import unpacked
from wearlog.store.schema import TABLE_OF_FACT, metadata
from wearlog.store.schema.journal_tables import deed as deed_table
from wearlog.store.schema.journal_tables import version as version_table
from wearlog.store.schema.journal_tables import version_parent
from wearlog.store.schema.types import EPOCH

#: after so many the rest is only counted
MOST_TOLD = 50

#: a stop that is open for longer was probably forgotten
LONG_OPEN: Final = timedelta(days=1)


@dataclass(frozen=True, slots=True)
class LogInspection:
    """What there is, and what is not in order as sentences."""

    rows: int
    versions: int
    deeds: int
    problems: tuple[str, ...]


def inspect_log(store: Store) -> LogInspection:
    """Look through the log in one consistent view; cost is linear in the journal."""
    with store.reading() as connection:
        problems = _file_problems(connection)
        versions, damaged = _versions(connection)
        problems += damaged
        deeds, unread = readable_deeds(connection)
        problems += unread + _deed_problems(deeds, versions)
        rows, row_problems = _row_problems(connection, deeds, versions)
        problems += row_problems
    told = problems[:MOST_TOLD]
    if len(problems) > MOST_TOLD:
        told.append(f"and {len(problems) - MOST_TOLD} more")
    return LogInspection(rows, len(versions), len(deeds), tuple(told))


def forgotten_stops(connection: Connection, now: datetime) -> tuple[Stoppage, ...]:
    """Return the stops that have been open for more than a day, oldest first: the file is in order, but each day of them costs."""
    found = [stop for stop in find_all(connection, Stoppage, ended_at=None) if now - stop.started_at > LONG_OPEN]
    return tuple(sorted(found, key=lambda stop: stop.started_at))


def _file_problems(connection: Connection) -> list[str]:
    if connection.dialect.name != "sqlite":
        return []
    problems = missing_of_shape(connection)
    for question, words in (("integrity_check(20)", _page_words), ("foreign_key_check", _orphan_words)):
        try:
            rows = connection.exec_driver_sql(f"PRAGMA {question}").fetchmany(20)
            problems += [told for row in rows if (told := words(row))]
        except UNREADABLE as error:
            problems.append(f"the file cannot be looked through to its end ({getattr(error, 'orig', error)})")
    return problems


def _page_words(row: Sequence[Any]) -> str:
    return "" if row[0] == "ok" else one_line(str(row[0]))


def _orphan_words(row: Sequence[Any]) -> str:
    return f"a row of {row[0]} points at a row of {row[2]} that is not there"


def _versions(connection: Connection) -> tuple[list[Version], list[str]]:
    """Return every version that can be read, and what is wrong with the others or with what they say."""
    found, problems = readable_versions(connection)
    problems += [
        f"version {one.id} of a row of {one.table_name} was altered"
        for one in found
        if one.content and one.digest != digest_of(one.table_name, one.row_id, one.parents, one.content, one.revision)
    ]
    return found, problems


def _deed_problems(deeds: list[Deed], versions: list[Version]) -> list[str]:
    """What was said, when, by whom, and which versions belong to it: all that is under the deed's digest."""
    digests: dict[UUID, list[str]] = defaultdict(list)
    for version in versions:
        digests[version.deed_id].append(version.digest)
    return [f"deed {deed.id} was altered" for deed in deeds if deed.digest != digest_of_deed(deed, digests[deed.id])]


def _row_problems(connection: Connection, deeds: list[Deed], versions: list[Version]) -> tuple[int, list[str]]:
    """Compare each row with what stands of it: what its last version says, after a merge of several the one that is shown."""
    of_row: dict[UUID, list[Version]] = defaultdict(list)
    for version in versions:
        of_row[version.row_id].append(version)
    at = {deed.id: deed.recorded_at for deed in deeds}
    count = 0
    problems: list[str] = []
    for fact_type, table in TABLE_OF_FACT.items():
        facts, unread = readable_facts(connection, fact_type)
        problems += unread
        for fact in facts:
            count += 1
            its = of_row.pop(fact.id, [])
            if not its:
                problems.append(f"row {fact.id} of {table.name} has no history")
            elif _says(fact) != _shown(its, at):
                problems.append(f"row {fact.id} of {table.name} is not what its last version says")
    named = " ".join(problems)
    problems += [
        f"row {row_id} of {its[0].table_name} is missing" for row_id, its in of_row.items() if str(row_id) not in named
    ]
    return count, problems


def _says(fact: Fact) -> str:
    try:
        return content_of(fact)
    except (ValueError, TypeError, AttributeError):
        return "nothing that can be written"


def _shown(versions: list[Version], at: Mapping[UUID, datetime]) -> str:
    """What the row of these versions must say; nothing where they make no sense, which was told already."""
    followed = {parent for version in versions for parent in version.parents}
    heads = [version for version in versions if version.id not in followed]
    if len(heads) == 1:
        return _as_of_today(heads[0])
    nodes = [VersionNode(one.id, one.parents, at.get(one.deed_id, EPOCH), _as_of_today(one)) for one in versions]
    says = {node.id: node.says for node in nodes}
    return next((says[head.version_id] for head in standing_heads(nodes)), "")


def _as_of_today(version: Version) -> str:
    """What a version says in the shape of this program; nothing when it was damaged, which was told already."""
    try:
        return lifted_content(version.table_name, version.content, version.revision)
    except (ValueError, TypeError, KeyError, AttributeError):
        return ""


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
