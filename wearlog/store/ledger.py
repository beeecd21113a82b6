"""The one door through which every row is written: the row and its version in the journal, in the same transaction."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from itertools import islice
from typing import Any
from uuid import UUID

from sqlalchemy import Connection, Table, bindparam, func, insert, select, update

from wearlog.errors import RefusedError
from wearlog.facts.bookkeeping import Deed, Version
from wearlog.facts.closed_lists import Doing
from wearlog.facts.fact import Fact
from wearlog.ids import new_id
from wearlog.store.content import content_of, digest_of, row_of
from wearlog.store.schema import TABLE_OF_FACT, table_of
from wearlog.store.schema.journal_tables import deed as deed_table
from wearlog.store.schema.journal_tables import version as version_table

#: how many ids one query names; SQLite allows 32 766 parameters
_IDS_AT_ONCE = 10_000


@dataclass(frozen=True, slots=True)
class Entry:
    """One row to write: the whole fact as it shall stand, and what this does to it."""

    fact: Fact
    doing: Doing = Doing.ENTERED


def record(
    connection: Connection, *, device: str, said: str, entries: Sequence[Entry], undoes: UUID | None = None
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
    deed = Deed(id=new_id(), recorded_at=_next_instant(connection), device=device, said=said, undoes_deed_id=undoes)
    connection.execute(insert(deed_table), row_of_deed(deed))
    heads = head_ids(connection, (entry.fact.id for entry in entries if entry.doing is not Doing.ENTERED))
    for table, group in _by_table(entries):
        _write_rows(connection, table, group)
    versions = [_version(deed, entry, heads.get(entry.fact.id, ())) for entry in entries]
    connection.execute(insert(version_table), versions)
    return deed


def row_of_deed(deed: Deed) -> dict[str, Any]:
    """Return a deed as parameters for its table."""
    return {name: getattr(deed, name) for name in Deed.__dataclass_fields__}


def head_ids(connection: Connection, row_ids: Iterable[UUID]) -> dict[UUID, tuple[UUID, ...]]:
    """Return for each row the versions that no later version follows: one, or several after a merge."""
    found: dict[UUID, set[UUID]] = defaultdict(set)
    followed: set[UUID] = set()
    columns = (version_table.c.id, version_table.c.row_id, version_table.c.parents)
    for some in batched_ids(row_ids):
        for version_id, row_id, parents in connection.execute(select(*columns).where(version_table.c.row_id.in_(some))):
            found[row_id].add(version_id)
            followed.update(parents)
    return {row_id: tuple(sorted(ids - followed)) for row_id, ids in found.items()}


def batched_ids(ids: Iterable[UUID]) -> Iterator[list[UUID]]:
    """Yield the ids in lists short enough for one query."""
    rest = iter(ids)
    while some := list(islice(rest, _IDS_AT_ONCE)):
        yield some


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


def _write_rows(connection: Connection, table: Table, entries: list[Entry]) -> None:
    fresh = [row_of(entry.fact) for entry in entries if entry.doing is Doing.ENTERED]
    if fresh:
        connection.execute(insert(table), fresh)
    changed = [row_of(entry.fact) for entry in entries if entry.doing is not Doing.ENTERED]
    if not changed:
        return
    names = [column.name for column in table.columns if column.name != "id"]
    statement = (
        update(table).where(table.c.id == bindparam("row_id")).values({name: bindparam(f"to_{name}") for name in names})
    )
    parameters = [{"row_id": row["id"], **{f"to_{name}": row[name] for name in names}} for row in changed]
    if connection.execute(statement, parameters).rowcount != len(changed):
        raise RefusedError(f"The {table.name.replace('_', ' ')} to change is not in the log.", "Look it up again.")


def _version(deed: Deed, entry: Entry, parents: tuple[UUID, ...]) -> dict[str, Any]:
    table_name = table_of(entry.fact).name
    content = content_of(entry.fact)
    version = Version(
        id=new_id(),
        deed_id=deed.id,
        row_id=entry.fact.id,
        table_name=table_name,
        parents=parents,
        doing=entry.doing,
        content=content,
        digest=digest_of(table_name, entry.fact.id, parents, content),
    )
    return {name: getattr(version, name) for name in Version.__dataclass_fields__}
