"""The one place where rows are written: the row and its version in the journal, in the same transaction.

A row's heads are the versions that no later one follows; several of them were changed apart.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from functools import lru_cache
from operator import attrgetter
from typing import Any
from uuid import UUID

from sqlalchemy import Connection, Select, Table, Update, bindparam, delete, func, select, update

from wearlog.errors import ConflictError, RefusedError
from wearlog.facts.bookkeeping import Deed, Version
from wearlog.facts.closed_lists import Doing
from wearlog.facts.fact import Fact
from wearlog.ids import new_id, new_ids
from wearlog.progress import counted
from wearlog.store.by_driver import insert_columns, insert_rows, plain_rows, update_columns
from wearlog.store.content import columns_of, content_of, digest_of, digest_of_deed, lifted_content, row_of
from wearlog.store.engine import WRITTEN
from wearlog.store.finding import batched_ids, write_owned
from wearlog.store.new_rows import MANY, NewVersions, new_versions, write_new_versions
from wearlog.store.packing import packed, unpacked
from wearlog.store.revision import HEAD
from wearlog.store.schema import TABLE_OF_FACT, owned_by, table_of
from wearlog.store.schema.journal_tables import deed as deed_table
from wearlog.store.schema.journal_tables import version as version_table
from wearlog.store.schema.journal_tables import version_parent


@dataclass(frozen=True, slots=True)
class Entry:
    """One row to write: the whole fact as it shall stand, and what this does to it."""

    fact: Fact
    doing: Doing = Doing.ENTERED


def record(
    connection: Connection,
    *,
    device: str,
    said: str,
    entries: Sequence[Entry],
    undoes: UUID | None = None,
    person: str = "",
) -> Deed:
    """Write one deed: every entry's row and its version. The caller's transaction makes it whole.

    Parameters
    ----------
    connection : Connection
        Of a `Store.writing` block.
    said : str
        The sentence that history shows.
    entries : sequence of Entry
        At most one for each row.

    Raises
    ------
    RefusedError
        When there is nothing to write, or a row to change is not there.
    """
    if not entries:
        raise RefusedError("There is nothing to save.")
    deed = Deed(
        id=new_id(),
        recorded_at=_next_instant(connection),
        device=device,
        said=said,
        undoes_deed_id=undoes,
        person=person,
    )
    # read before anything is written: a version follows what stood, never itself
    parents = _parents(connection, entries)
    ids = new_ids(len(entries))
    several = _several_new(connection, entries)
    versions = [
        _version(deed, entry, parents.get(entry.fact.id, ()), UUID(int=one))
        for entry, one in zip(entries, ids, strict=True)
        if several is None or entry.doing is not Doing.ENTERED
    ]
    digests = [version.digest for version in versions]
    digests += [one.hex() for group in several or () for one in group.digests]
    deed = replace(deed, digest=digest_of_deed(deed, digests))
    insert_rows(connection, deed_table, [row_of_deed(deed)])
    # by it a server can be asked whether this was saved when the connection breaks in the commit
    connection.info[WRITTEN] = deed.id
    # one table after the other, what is pointed at first: a file checks each key as its row is written
    groups = _by_table(entries)
    for table, group in counted(groups, of=len(groups) + 1):
        fresh = [entry.fact for entry in group if entry.doing is Doing.ENTERED]
        write_rows(connection, table, fresh, [entry.fact for entry in group if entry.doing is not Doing.ENTERED])
    if several is not None:
        write_new_versions(connection, deed.id, several, ids)
    write_versions(connection, versions)
    return deed


def _several_new(connection: Connection, entries: Sequence[Entry]) -> list[NewVersions] | None:
    """Return the versions of new rows where there are many of them and they go into a file; None where each is made by itself."""
    new = {place: entry.fact for place, entry in enumerate(entries) if entry.doing is Doing.ENTERED}
    return new_versions(new) if len(new) >= MANY and connection.dialect.name == "sqlite" else None


def _parents(connection: Connection, entries: Sequence[Entry]) -> dict[UUID, tuple[UUID, ...]]:
    """Which versions each entry follows: what is shown of its row; of a settled row whatever stands."""
    settled = [entry.fact.id for entry in entries if entry.doing is Doing.SETTLED]
    changed = [entry.fact.id for entry in entries if entry.doing not in (Doing.ENTERED, Doing.SETTLED)]
    return {**next_parents(connection, changed), **head_ids(connection, settled)}


def row_of_deed(deed: Deed) -> dict[str, Any]:
    """Return a deed as parameters for its table."""
    return {name: getattr(deed, name) for name in Deed.__dataclass_fields__}


def write_versions(connection: Connection, versions: Sequence[Version]) -> None:
    """Write versions, packed, and which versions each followed."""
    if not versions:
        return
    columns = {column.name: list(map(attrgetter(column.name), versions)) for column in version_table.columns}
    columns["content"] = [packed(one.table_name, one.content) for one in versions]
    insert_columns(connection, version_table, columns)
    follows = [{"version_id": one.id, "parent_id": parent} for one in versions for parent in one.parents]
    insert_rows(connection, version_parent, follows)


def _next_instant(connection: Connection) -> datetime:
    """Now, but always after everything recorded before: a clock set back must not reorder the journal."""
    ((latest,),) = plain_rows(connection, _latest_deed())
    now = datetime.now(UTC)
    return now if latest is None else max(now, latest + timedelta(microseconds=1))


@lru_cache(maxsize=1)
def _latest_deed() -> Select[Any]:
    return select(func.max(deed_table.c.recorded_at))


def _by_table(entries: Sequence[Entry]) -> list[tuple[Table, list[Entry]]]:
    groups: dict[type[Fact], list[Entry]] = defaultdict(list)
    for entry in entries:
        groups[type(entry.fact)].append(entry)
    return [(TABLE_OF_FACT[fact_type], groups[fact_type]) for fact_type in TABLE_OF_FACT if fact_type in groups]


def write_rows(connection: Connection, table: Table, fresh: Sequence[Fact], changed: Sequence[Fact]) -> None:
    """Write the rows of one table, with what they own. RefusedError when one to change is not there."""
    if fresh:
        _insert_facts(connection, table, fresh)
        write_owned(connection, fresh)
    if changed:
        rows = [row_of(fact) for fact in changed]
        names = [column.name for column in table.columns if column.name != "id"]
        if _update_rows(connection, table, names, rows) != len(changed):
            raise RefusedError(f"The {table.name.replace('_', ' ')} to change is not in the log.", "Look it up again.")
        # what a row owns has no history of its own, the version holds it: written anew, nothing has to be compared
        for owned in owned_by(type(changed[0])):
            for some in batched_ids(fact.id for fact in changed):
                connection.execute(delete(owned.table).where(owned.owner.in_(some)))
        write_owned(connection, changed)


def _insert_facts(connection: Connection, table: Table, facts: Sequence[Fact]) -> None:
    """Insert rows; what points at rows of the same table is filled in when all of them are there, in whatever order they came."""
    own = [key.parent.name for key in table.foreign_keys if key.column.table is table]
    pointing = [fact for fact in facts if any(getattr(fact, name) is not None for name in own)] if own else []
    nothing = dict.fromkeys(own, [None] * len(facts)) if pointing else {}
    insert_columns(connection, table, {**columns_of(facts), **nothing})
    if pointing:
        _update_rows(connection, table, own, [row_of(fact) for fact in pointing])


def _update_rows(connection: Connection, table: Table, names: Sequence[str], rows: Sequence[Mapping[str, Any]]) -> int:
    if connection.dialect.name == "sqlite":
        return update_columns(connection, table, {name: [row[name] for row in rows] for name in (*names, "id")})
    statement = _update(table, tuple(names))
    parameters = [{"row_id": row["id"], **{f"to_{name}": row[name] for name in names}} for row in rows]
    return connection.execute(statement, parameters).rowcount


@lru_cache(maxsize=64)
def _update(table: Table, names: tuple[str, ...]) -> Update:
    return (
        update(table).where(table.c.id == bindparam("row_id")).values({name: bindparam(f"to_{name}") for name in names})
    )


def _version(deed: Deed, entry: Entry, parents: tuple[UUID, ...], version_id: UUID) -> Version:
    table_name = str(table_of(entry.fact).name)
    content = content_of(entry.fact)
    return Version(
        id=version_id,
        deed_id=deed.id,
        row_id=entry.fact.id,
        table_name=table_name,
        doing=entry.doing,
        revision=HEAD,
        content=content,
        digest=digest_of(table_name, entry.fact.id, parents, content),
        parents=parents,
    )


@dataclass(frozen=True, slots=True)
class VersionNode:
    """A version as far as it matters here: `says` is its content in the shape of this program, `at` when its deed was recorded."""

    id: UUID
    parents: tuple[UUID, ...]
    at: datetime
    says: str


@dataclass(frozen=True, slots=True)
class Head:
    """What one side says of a row: the version that said it last, and every version that says it and is followed by none."""

    version_id: UUID
    at: datetime
    version_ids: tuple[UUID, ...]


def standing_heads(versions: Iterable[VersionNode]) -> tuple[Head, ...]:
    """Return what stands of one row, the one to show first: one head, or several where it was changed apart.

    Versions that say the same after the same are one (a sheet imported on two laptops, an edit made twice): what follows the one
    follows the other. A first version that nobody built on and that says what another says is that one come in once more. Heads of
    equal content are one head. Among those that differ the one recorded last is shown; of equal times the greater id.

    Parameters
    ----------
    versions : iterable of VersionNode
        Every version of one row; each was recorded after those that it follows.
    """
    # what is followed was recorded before: in this order one pass numbers them all
    nodes = sorted(versions, key=lambda one: (one.at, one.id))
    keys = _keys(nodes)
    followed = {keys[parent] for one in nodes for parent in one.parents if parent in keys}
    said_by: dict[str, set[int]] = defaultdict(set)
    for one in nodes:
        said_by[one.says].add(keys[one.id])
    sides: dict[str, list[VersionNode]] = defaultdict(list)
    for one in nodes:
        come_in_again = not one.parents and len(said_by[one.says]) > 1
        if keys[one.id] not in followed and not come_in_again:
            sides[one.says].append(one)
    heads = [Head(its[-1].id, its[-1].at, tuple(sorted(one.id for one in its))) for its in sides.values()]
    return tuple(sorted(heads, key=lambda head: (head.at, head.version_id), reverse=True))


def _keys(nodes: Sequence[VersionNode]) -> dict[UUID, int]:
    """Number the versions so that those that say the same after the same have one number."""
    numbers: dict[tuple[str, frozenset[int]], int] = {}
    keys: dict[UUID, int] = {}
    for one in nodes:
        after = frozenset(keys[parent] for parent in one.parents if parent in keys)
        keys[one.id] = numbers.setdefault((one.says, after), len(numbers))
    return keys


def ancestry(versions: Iterable[VersionNode], of: Iterable[UUID]) -> list[VersionNode]:
    """Return the versions named and all that they follow: the row as whoever wrote upon them knew it."""
    by_id = {one.id: one for one in versions}
    found: dict[UUID, VersionNode] = {}
    waiting = list(of)
    while waiting:
        version_id = waiting.pop()
        if version_id in by_id and version_id not in found:
            found[version_id] = by_id[version_id]
            waiting += by_id[version_id].parents
    return list(found.values())


def head_ids(connection: Connection, row_ids: Iterable[UUID]) -> dict[UUID, tuple[UUID, ...]]:
    """Return for each row the versions that no later version follows: one, or several after a merge."""
    found: dict[UUID, set[UUID]] = defaultdict(set)
    followed: set[UUID] = set()
    for some in batched_ids(row_ids):
        for version_id, row_id, parent in plain_rows(connection, _versions_and_followed(), {"row_ids": some}):
            found[row_id].add(version_id)
            followed.add(parent)
    return {row_id: tuple(sorted(ids - followed)) for row_id, ids in found.items()}


@lru_cache(maxsize=1)
def _versions_and_followed() -> Select[Any]:
    joined = version_table.outerjoin(version_parent, version_parent.c.version_id == version_table.c.id)
    query = select(version_table.c.id, version_table.c.row_id, version_parent.c.parent_id).select_from(joined)
    return query.where(version_table.c.row_id.in_(bindparam("row_ids", expanding=True)))


def stored_nodes(connection: Connection, row_ids: Iterable[UUID]) -> dict[UUID, list[VersionNode]]:
    """Return every version of these rows as the graph sees it. ConflictError when one was damaged."""
    own = (version_table.c.id, version_table.c.row_id, version_table.c.table_name, version_table.c.content)
    query = select(*own, version_table.c.revision, deed_table.c.recorded_at).join(
        deed_table, version_table.c.deed_id == deed_table.c.id
    )
    follows = select(version_parent.c.version_id, version_parent.c.parent_id).join(
        version_table, version_parent.c.version_id == version_table.c.id
    )
    found: dict[UUID, list[VersionNode]] = defaultdict(list)
    for some in batched_ids(row_ids):
        parents: dict[UUID, list[UUID]] = defaultdict(list)
        for version_id, parent in connection.execute(follows.where(version_table.c.row_id.in_(some))):
            parents[version_id].append(parent)
        for version_id, row_id, table, content, revision, at in connection.execute(
            query.where(version_table.c.row_id.in_(some))
        ):
            says = _says(table, content, revision)
            found[row_id].append(VersionNode(version_id, tuple(sorted(parents[version_id])), at, says))
    return found


def _says(table_name: str, stored: bytes, revision: str) -> str:
    try:
        return lifted_content(table_name, unpacked(table_name, stored), revision)
    except (ValueError, TypeError, KeyError, AttributeError) as error:
        raise ConflictError(
            f"A version of a row of {table_name} cannot be read: it was damaged.",
            "'wearlog check' names it; 'wearlog restore' brings a backup back.",
        ) from error


def heads_standing(connection: Connection, heads: Mapping[UUID, Collection[UUID]]) -> dict[UUID, tuple[Head, ...]]:
    """Return what stands of the rows that have several heads, the shown one first; rows with one head are left out."""
    several = [row_id for row_id, ids in heads.items() if len(ids) > 1]
    if not several:
        return {}
    return {row_id: standing_heads(nodes) for row_id, nodes in stored_nodes(connection, several).items()}


def next_parents(connection: Connection, row_ids: Iterable[UUID]) -> dict[UUID, tuple[UUID, ...]]:
    """Return for each row which versions its next one follows: what is shown, and not what stands beside it.

    So whoever edits a row that was changed apart loses nothing unseen: the other side stays, listed, until it is settled.
    """
    heads = head_ids(connection, row_ids)
    return {**heads, **{row_id: its[0].version_ids for row_id, its in heads_standing(connection, heads).items()}}


def rows_apart(connection: Connection) -> dict[UUID, tuple[Head, ...]]:
    """Return every row of the log of which two sides differ, with what each says last; the shown one first."""
    # found by keys alone, so that only the contents of the few rows with several ends are unpacked; a row of one version has one
    several = select(version_table.c.row_id).group_by(version_table.c.row_id).having(func.count() > 1)
    unfollowed = version_table.outerjoin(version_parent, version_parent.c.parent_id == version_table.c.id)
    query = (
        select(version_table.c.row_id)
        .select_from(unfollowed)
        .where(version_parent.c.parent_id.is_(None), version_table.c.row_id.in_(several))
        .group_by(version_table.c.row_id)
        .having(func.count() > 1)
    )
    found = stored_nodes(connection, connection.execute(query).scalars().all())
    standing = {row_id: standing_heads(nodes) for row_id, nodes in found.items()}
    return {row_id: heads for row_id, heads in standing.items() if len(heads) > 1}
