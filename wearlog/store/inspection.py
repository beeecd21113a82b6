"""Looking through a whole log: the file's own checks, every row against its last version, every version against its digest.

Tables, versions and deeds are read in pages. Of a version is kept what rows and deeds are held against, and nothing else.
"""

from __future__ import annotations

import hashlib
from collections import defaultdict
from collections.abc import Collection, Iterator, Mapping, Sequence
from contextlib import closing
from dataclasses import dataclass
from datetime import datetime
from typing import Any, Final
from uuid import UUID

import numpy as np
from sqlalchemy import Connection, Table, select

from wearlog.collecting import no_collecting
from wearlog.facts.bookkeeping import Version
from wearlog.facts.closed_lists import Doing
from wearlog.facts.fact import Fact
from wearlog.facts.plain_text import one_line
from wearlog.many_instants import EPOCH
from wearlog.progress import step, stretch
from wearlog.store.content import content_of, digest_of, digest_of_deed, lifted_content
from wearlog.store.finding import batched_ids
from wearlog.store.ledger import VersionNode, standing_heads
from wearlog.store.opening import Store
from wearlog.store.packing import unpacked
from wearlog.store.readable import (
    UNREADABLE,
    Page,
    deeds_of_page,
    facts_of_page,
    many_pages_kept,
    pages,
    parent_problems,
    unpackable_words,
    versions_of_page,
    versions_where,
)
from wearlog.store.revision import HEAD
from wearlog.store.row_content import row_content, written_id, written_ids
from wearlog.store.schema import TABLE_OF_FACT, metadata
from wearlog.store.schema.journal_tables import deed as deed_table
from wearlog.store.schema.journal_tables import version as version_table
from wearlog.store.version_book import RowsTold, VersionBook

#: after so many the rest is only counted
MOST_TOLD = 50

#: the shares of the time at which the file's own checks are done, the versions, and the deeds
_FILE, _VERSIONS, _DEEDS = 0.25, 0.65, 0.7
#: rows of several versions that are weighed at once
_WEIGHED: Final = 500


@dataclass(frozen=True, slots=True)
class LogInspection:
    """What there is, and what is not in order as sentences."""

    rows: int
    versions: int
    deeds: int
    problems: tuple[str, ...]


def inspect_log(store: Store) -> LogInspection:
    """Look through the log in one consistent view; cost is linear in the journal, memory 60 bytes for each version of it."""
    with store.reading() as connection, no_collecting(), stretch():
        problems = _file_problems(connection)
        book = VersionBook()
        with stretch(_FILE, _VERSIONS):
            problems += _version_problems(connection, book)
        with stretch(_VERSIONS, _DEEDS):
            deeds, told_of_deeds = _deed_problems(connection, book)
        problems += told_of_deeds
        with stretch(first=_DEEDS):
            rows, row_problems = _row_problems(connection, book.by_row())
        problems += row_problems
    told = problems[:MOST_TOLD]
    if len(problems) > MOST_TOLD:
        told.append(f"and {len(problems) - MOST_TOLD} more")
    return LogInspection(rows, len(book), deeds, tuple(told))


def _file_problems(connection: Connection) -> list[str]:
    if connection.dialect.name != "sqlite":
        return []
    problems = missing_of_shape(connection)
    with many_pages_kept(connection):
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


def _counted(connection: Connection, tables: Sequence[Table]) -> Iterator[tuple[Table, Iterator[Page]]]:
    """Yield the tables with their pages, and count them by how many rows there are."""
    if connection.dialect.name != "sqlite":
        yield from ((table, pages(connection, table)) for table in tables)
        return
    sizes = [_last_number(connection, table) for table in tables]
    before, of = 0, sum(sizes) or 1

    def its(table: Table, size: int) -> Iterator[Page]:
        for page in pages(connection, table):
            step((before + min(max(page.first, 0), size)) / of)
            yield page

    for table, size in zip(tables, sizes, strict=True):
        yield table, its(table, size)
        before += size


def _last_number(connection: Connection, table: Table) -> int:
    try:
        return max(connection.exec_driver_sql(f"SELECT max(rowid) FROM {table.name}").scalar() or 0, 0)  # noqa: S608 - our own name
    except UNREADABLE:
        return 0


# versions -------------------------------------------------------------------------------------------------------------


@dataclass(slots=True)
class _VersionsTold:
    """What is wrong with the versions, in the order in which it is said."""

    unread: list[str]
    unpackable: list[str]
    altered: list[str]


def _version_problems(connection: Connection, book: VersionBook) -> list[str]:
    """Write every version that can be read into the book; say what is wrong with the others or with what they say."""
    told = _VersionsTold([], [], [])
    parents = parent_problems(connection)
    follow = bool(parents) or connection.exec_driver_sql("SELECT 1 FROM version_parent LIMIT 1").first() is not None
    ((_, its),) = _counted(connection, [version_table])
    for page in its:
        if connection.dialect.name == "sqlite" and _plain_versions(connection, page, book, follow=follow):
            continue
        versions, unread = versions_of_page(connection, page)
        told.unread += unread
        told.unpackable += [unpackable_words(one) for one in versions if not one.content]
        told.altered += [
            f"version {one.id} of a row of {one.table_name} was altered"
            for one in versions
            if one.content
            and one.digest != digest_of(one.table_name, one.row_id, one.parents, one.content, one.revision)
        ]
        book.add(
            [one.row_id.bytes for one in versions],
            [one.table_name for one in versions],
            [one.deed_id.bytes for one in versions],
            map(_as_of_today, versions),
            [_digest_bytes(one.digest) for one in versions],
        )
    return [*parents, *told.unread, *told.unpackable, *told.altered]


def _digest_bytes(digest: str) -> bytes:
    # one of another length fits nothing, cut or filled up as well
    return bytes.fromhex(digest)[:32].ljust(32, b"\0")


_PLAIN_VERSIONS: Final = (
    "SELECT id, deed_id, row_id, table_name, doing, revision, content, digest FROM version NOT INDEXED "
    "WHERE rowid BETWEEN ? AND ? ORDER BY rowid"
)
_PLAIN_PARENTS: Final = (
    "SELECT v.id, p.parent_id FROM version v NOT INDEXED JOIN version_parent p ON p.version_id = v.id "
    "WHERE v.rowid BETWEEN ? AND ? ORDER BY p.parent_id"
)
_DOINGS: Final = frozenset(one.value for one in Doing)
_HASH: Final = hashlib.sha256


def _plain_versions(connection: Connection, page: Page, book: VersionBook, *, follow: bool) -> bool:
    """Write the versions of a page of a file into the book, past SQLAlchemy; False where any of them is not as it should be."""
    driver = connection.connection.driver_connection
    assert driver is not None
    try:
        with closing(driver.cursor()) as cursor:
            rows = cursor.execute(_PLAIN_VERSIONS, (page.first, page.last)).fetchall()
            parents: dict[bytes, str] = defaultdict(str)
            for version_id, parent in cursor.execute(_PLAIN_PARENTS, (page.first, page.last)) if follow else ():
                parents[version_id] += f"\n{written_id(parent)}"
        if not rows:
            return True
        says = []
        named = written_ids([row[2] for row in rows])
        for (version_id, deed_id, _, table, doing, revision, packed_content, digest), its in zip(
            rows, named, strict=True
        ):
            content = unpacked(table, packed_content)
            # as `digest_of` takes it
            under = f"{table}\n{its}{parents.get(version_id, '')}\n{content}"
            if revision != "0001":
                under = f"{revision}\n{under}"
            if _HASH(under.encode()).digest() != digest or doing not in _DOINGS or len(version_id) + len(deed_id) != 32:
                return False
            says.append(content if revision == HEAD else lifted_content(table, content, revision))
    except UNREADABLE:
        return False
    _, deed_ids, row_ids, tables, _, _, _, digests = zip(*rows, strict=True)
    book.add(row_ids, tables, deed_ids, says, digests)
    return True


def _deed_problems(connection: Connection, book: VersionBook) -> tuple[int, list[str]]:
    """What was said, when, by whom, and which versions belong to it: all that is under the deed's digest."""
    digests = book.digests_of_deeds()
    count = 0
    unread: list[str] = []
    altered: list[str] = []
    ((_, its),) = _counted(connection, [deed_table])
    for page in its:
        deeds, told = deeds_of_page(connection, page)
        count += len(deeds)
        unread += told
        altered += [
            f"deed {deed.id} was altered"
            for deed in deeds
            if deed.digest != digest_of_deed(deed, digests.of(deed.id.bytes))
        ]
    return count, [*unread, *altered]


# rows -----------------------------------------------------------------------------------------------------------------


def _row_problems(connection: Connection, told: RowsTold) -> tuple[int, list[str]]:
    """Compare each row with what stands of it: what its last version says, after a merge of several the one that is shown."""
    look = _Looking(connection, told)
    fact_types = {table.name: fact_type for fact_type, table in TABLE_OF_FACT.items()}
    for table, its in _counted(connection, list(TABLE_OF_FACT.values())):
        for page in its:
            look.at_page(fact_types[table.name], page)
    named = " ".join(look.problems)
    return look.count, [*look.problems, *look.missing(named)]


class _Looking:
    """Goes through the rows and keeps which of those that versions tell of were met."""

    def __init__(self, connection: Connection, told: RowsTold) -> None:
        self.count = 0
        self.problems: list[str] = []
        self._connection = connection
        self._told = told
        self._met = np.zeros(told.ids.size, dtype=np.bool_)

    def at_page(self, fact_type: type[Fact], page: Page) -> None:
        """Hold the rows of a page against what their versions say."""
        ids, says = self._read(fact_type, page)
        self.count += len(ids)
        if not self._told.ids.size:
            self.problems += [f"row {UUID(bytes=one)} of {page.table.name} has no history" for one in ids]
        if not ids or not self._told.ids.size:
            return
        places, there = self._told.places(ids)
        # two tables with a row of one id: the versions are those of the first
        there &= ~self._met[places]
        self._met[places[there]] = True
        alone = there & (self._told.versions[places] == 1)
        same = np.fromiter(map(hash, says), dtype=np.int64, count=len(says)) == self._told.says[places]
        several = (there & ~alone).nonzero()[0]
        shown = self._shown([ids[row] for row in several.tolist()], self._told.versions[places[several]].tolist())
        for row in (~(alone & same)).nonzero()[0].tolist():
            name = f"row {UUID(bytes=ids[row])} of {page.table.name}"
            if not there[row]:
                self.problems.append(f"{name} has no history")
            elif alone[row] or says[row] != shown[ids[row]]:
                self.problems.append(f"{name} is not what its last version says")

    def _read(self, fact_type: Any, page: Page) -> tuple[Sequence[bytes], Sequence[str]]:
        """Return the ids of the rows of a page and what each says."""
        if self._connection.dialect.name == "sqlite":
            try:
                return row_content(fact_type).page(self._connection.connection.driver_connection, page.first, page.last)
            except UNREADABLE:
                pass
        facts, unread = facts_of_page(self._connection, fact_type, page)
        self.problems += unread
        return [fact.id.bytes for fact in facts], list(map(_says, facts))

    def _shown(self, row_ids: Sequence[bytes], counts: Sequence[int]) -> dict[bytes, str]:
        """Return what rows of several versions must say; of each how many there are."""
        found: dict[bytes, str] = {}
        for some in range(0, len(row_ids), _WEIGHED):
            asked = [UUID(bytes=one) for one in row_ids[some : some + _WEIGHED]]
            versions = _versions_of(self._connection, asked, sum(counts[some : some + _WEIGHED]))
            several = [version.deed_id for its in versions.values() if len(_heads(its)) > 1 for version in its]
            at = _recorded(self._connection, several)
            found.update((row_id.bytes, _shown(its, at)) for row_id, its in versions.items())
        return found

    def missing(self, named: str) -> list[str]:
        """Say which rows are not there, in the order in which versions told of them; those that are named were told already."""
        gone = np.flatnonzero(~self._met)
        gone = gone[np.argsort(self._told.first[gone], kind="stable")]
        rows = map(self._told.row_at, gone.tolist())
        return [f"row {row_id} of {table} is missing" for row_id, table in rows if str(row_id) not in named]


def _versions_of(connection: Connection, row_ids: Collection[UUID], count: int) -> dict[UUID, list[Version]]:
    """Return the versions of these rows, of which `count` can be read."""
    found: dict[UUID, list[Version]] = {row_id: [] for row_id in row_ids}
    try:
        its = versions_where(connection, version_table.c.row_id.in_(row_ids))
    except UNREADABLE:
        if connection.dialect.name != "sqlite":
            raise
        its = []
    if len(its) != count:
        # one cannot be read, or the index by which they are found is damaged: then the table is gone through
        read = (versions_of_page(connection, page)[0] for page in pages(connection, version_table))
        its = [one for some in read for one in some if one.row_id in found]
    for one in its:
        found[one.row_id].append(one)
    return found


def _recorded(connection: Connection, deed_ids: Sequence[UUID]) -> Mapping[UUID, datetime]:
    found: dict[UUID, datetime] = {}
    for some in batched_ids(dict.fromkeys(deed_ids)):
        query = select(deed_table.c.id, deed_table.c.recorded_at).where(deed_table.c.id.in_(some))
        try:
            found.update((deed_id, at) for deed_id, at in connection.execute(query))
        except UNREADABLE:
            # told already
            continue
    return found


def _says(fact: Fact) -> str:
    try:
        return content_of(fact)
    except (ValueError, TypeError, AttributeError):
        return "nothing that can be written"


def _heads(versions: Sequence[Version]) -> list[Version]:
    followed = {parent for version in versions for parent in version.parents}
    return [version for version in versions if version.id not in followed]


def _shown(versions: Sequence[Version], at: Mapping[UUID, datetime]) -> str:
    """What the row of these versions must say; nothing where they make no sense, which was told already."""
    heads = _heads(versions)
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
