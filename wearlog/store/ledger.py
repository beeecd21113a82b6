"""The one door through which every row is written: the row and its version in the journal, in the same transaction."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from typing import Any
from uuid import UUID

from sqlalchemy import Connection, Table, bindparam, delete, func, insert, select, update

from wearlog.errors import RefusedError
from wearlog.facts.bookkeeping import Deed, Version
from wearlog.facts.closed_lists import Doing
from wearlog.facts.fact import Fact
from wearlog.ids import new_id
from wearlog.store.content import content_of, digest_of, digest_of_deed, row_of
from wearlog.store.engine import WRITTEN
from wearlog.store.heads import head_ids, next_parents
from wearlog.store.owned_rows import batched_ids, write_owned
from wearlog.store.packing import packed
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
    parents = _parents(connection, entries)
    versions = [_version(deed, entry, parents.get(entry.fact.id, ())) for entry in entries]
    deed = replace(deed, digest=digest_of_deed(deed, (version.digest for version in versions)))
    connection.execute(insert(deed_table), row_of_deed(deed))
    connection.info[WRITTEN] = deed.id
    for table, group in _by_table(entries):
        fresh = [entry.fact for entry in group if entry.doing is Doing.ENTERED]
        write_rows(connection, table, fresh, [entry.fact for entry in group if entry.doing is not Doing.ENTERED])
    write_versions(connection, versions)
    return deed


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
    names = tuple(column.name for column in version_table.columns)
    rows = [
        {name: getattr(one, name) for name in names} | {"content": packed(one.table_name, one.content)}
        for one in versions
    ]
    connection.execute(insert(version_table), rows)
    follows = [{"version_id": one.id, "parent_id": parent} for one in versions for parent in one.parents]
    if follows:
        connection.execute(insert(version_parent), follows)


def _next_instant(connection: Connection) -> datetime:
    """Now, but always after everything recorded before: a clock set back must not reorder the journal."""
    latest = connection.execute(select(func.max(deed_table.c.recorded_at))).scalar()
    now = datetime.now(UTC)
    return now if latest is None else max(now, latest + timedelta(microseconds=1))


def _by_table(entries: Sequence[Entry]) -> list[tuple[Table, list[Entry]]]:
    groups: dict[type[Fact], list[Entry]] = defaultdict(list)
    for entry in entries:
        groups[type(entry.fact)].append(entry)
    return [(TABLE_OF_FACT[fact_type], groups[fact_type]) for fact_type in TABLE_OF_FACT if fact_type in groups]


def write_rows(connection: Connection, table: Table, fresh: Sequence[Fact], changed: Sequence[Fact]) -> None:
    """Write the rows of one table, with what they own. RefusedError when one to change is not there."""
    if fresh:
        _insert_rows(connection, table, [row_of(fact) for fact in fresh])
        write_owned(connection, fresh)
    if changed:
        rows = [row_of(fact) for fact in changed]
        names = [column.name for column in table.columns if column.name != "id"]
        if _update_rows(connection, table, names, rows) != len(changed):
            raise RefusedError(f"The {table.name.replace('_', ' ')} to change is not in the log.", "Look it up again.")
        for owned in owned_by(type(changed[0])):
            for some in batched_ids(fact.id for fact in changed):
                connection.execute(delete(owned.table).where(owned.owner.in_(some)))
        write_owned(connection, changed)


def _insert_rows(connection: Connection, table: Table, rows: list[dict[str, Any]]) -> None:
    """Insert rows; what points at rows of the same table is filled in when all of them are there, in whatever order they came."""
    own = [key.parent.name for key in table.foreign_keys if key.column.table is table]
    pointing = [row for row in rows if any(row[name] is not None for name in own)]
    connection.execute(insert(table), [{**row, **dict.fromkeys(own)} for row in rows] if pointing else rows)
    if pointing:
        _update_rows(connection, table, own, pointing)


def _update_rows(connection: Connection, table: Table, names: Sequence[str], rows: Sequence[Mapping[str, Any]]) -> int:
    statement = (
        update(table).where(table.c.id == bindparam("row_id")).values({name: bindparam(f"to_{name}") for name in names})
    )
    parameters = [{"row_id": row["id"], **{f"to_{name}": row[name] for name in names}} for row in rows]
    return connection.execute(statement, parameters).rowcount


def _version(deed: Deed, entry: Entry, parents: tuple[UUID, ...]) -> Version:
    table_name = table_of(entry.fact).name
    content = content_of(entry.fact)
    return Version(
        id=new_id(),
        deed_id=deed.id,
        row_id=entry.fact.id,
        table_name=table_name,
        doing=entry.doing,
        revision=HEAD,
        content=content,
        digest=digest_of(table_name, entry.fact.id, parents, content),
        parents=parents,
    )
