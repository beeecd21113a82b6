"""The heads of rows: the versions that no later one follows, what stands where there are several, and what was changed apart."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping
from uuid import UUID

from sqlalchemy import Connection, func, select

from wearlog.errors import ConflictError
from wearlog.store.content import lifted_content
from wearlog.store.owned_rows import batched_ids
from wearlog.store.packing import unpacked
from wearlog.store.schema.journal_tables import deed as deed_table
from wearlog.store.schema.journal_tables import version as version_table
from wearlog.store.schema.journal_tables import version_parent
from wearlog.store.version_graph import Head, VersionNode, standing_heads


def head_ids(connection: Connection, row_ids: Iterable[UUID]) -> dict[UUID, tuple[UUID, ...]]:
    """Return for each row the versions that no later version follows: one, or several after a merge."""
    found: dict[UUID, set[UUID]] = defaultdict(set)
    followed: set[UUID] = set()
    joined = version_table.outerjoin(version_parent, version_parent.c.version_id == version_table.c.id)
    query = select(version_table.c.id, version_table.c.row_id, version_parent.c.parent_id).select_from(joined)
    for some in batched_ids(row_ids):
        for version_id, row_id, parent in connection.execute(query.where(version_table.c.row_id.in_(some))):
            found[row_id].add(version_id)
            followed.add(parent)
    return {row_id: tuple(sorted(ids - followed)) for row_id, ids in found.items()}


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
    return {row_id: standing_heads(nodes) for row_id, nodes in stored_nodes(connection, several).items()}


def next_parents(connection: Connection, row_ids: Iterable[UUID]) -> dict[UUID, tuple[UUID, ...]]:
    """Return for each row which versions its next one follows: what is shown, and not what stands beside it.

    So whoever edits a row that was changed apart loses nothing unseen: the other side stays, listed, until it is settled.
    """
    heads = head_ids(connection, row_ids)
    return {**heads, **{row_id: its[0].version_ids for row_id, its in heads_standing(connection, heads).items()}}


def rows_apart(connection: Connection) -> dict[UUID, tuple[Head, ...]]:
    """Return every row of the log of which two sides differ, with what each says last; the shown one first."""
    unfollowed = version_table.outerjoin(version_parent, version_parent.c.parent_id == version_table.c.id)
    query = (
        select(version_table.c.row_id)
        .select_from(unfollowed)
        .where(version_parent.c.parent_id.is_(None))
        .group_by(version_table.c.row_id)
        .having(func.count() > 1)
    )
    found = stored_nodes(connection, connection.execute(query).scalars().all())
    standing = {row_id: standing_heads(nodes) for row_id, nodes in found.items()}
    return {row_id: heads for row_id, heads in standing.items() if len(heads) > 1}
