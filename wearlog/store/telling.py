"""What another copy of the log is told: the deeds it lacks with their versions, and how far this copy knows each device."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from datetime import datetime
from itertools import islice
from typing import Final, TypeAlias
from uuid import UUID

from sqlalchemy import Connection, func, select

from wearlog.facts.bookkeeping import Deed, Version
from wearlog.store.journal import parents_of, stored_content
from wearlog.store.owned_rows import batched_ids
from wearlog.store.schema.journal_tables import deed as deed_table
from wearlog.store.schema.journal_tables import version as version_table

#: device -> how many of its deeds, and when the last was recorded. A copy that has one of a device's deeds has all before it
Reach: TypeAlias = Mapping[str, tuple[int, datetime]]
_DEEDS_AT_ONCE: Final = 500


def reach_of(connection: Connection) -> dict[str, tuple[int, datetime]]:
    """Return how far this log knows each device."""
    last = func.max(deed_table.c.recorded_at, type_=deed_table.c.recorded_at.type)
    query = select(deed_table.c.device, func.count(), last).group_by(deed_table.c.device).order_by(deed_table.c.device)
    return {device: (count, at) for device, count, at in connection.execute(query)}


def deeds_lacking(connection: Connection, reach: Reach) -> list[Deed]:
    """Return the deeds beyond what somebody else knows, in the order of time."""
    query = select(deed_table).order_by(deed_table.c.recorded_at, deed_table.c.id)
    deeds = (Deed(**row._mapping) for row in connection.execute(query))
    return [deed for deed in deeds if deed.device not in reach or deed.recorded_at > reach[deed.device][1]]


def count_versions(connection: Connection, deeds: Sequence[Deed]) -> int:
    """Return how many versions these deeds wrote."""
    query = select(func.count()).select_from(version_table)
    return sum(
        connection.execute(query.where(version_table.c.deed_id.in_(some))).scalar_one()
        for some in batched_ids(deed.id for deed in deeds)
    )


def is_short_of(connection: Connection, reach: Reach) -> bool:
    """Tell whether this log lacks any deed that such a reach takes for granted."""
    for device, (count, last) in reach.items():
        known = (deed_table.c.device == device, deed_table.c.recorded_at <= last)
        if connection.execute(select(func.count()).where(*known)).scalar_one() < count:
            return True
    return False


def with_versions(connection: Connection, deeds: list[Deed]) -> Iterator[tuple[Deed, list[Version]]]:
    """Yield each deed with the versions it wrote. ConflictError when one was damaged."""
    rest = iter(deeds)
    names = [column.name for column in version_table.columns]
    while some := list(islice(rest, _DEEDS_AT_ONCE)):
        query = select(version_table).where(version_table.c.deed_id.in_([deed.id for deed in some]))
        rows = connection.execute(query.order_by(version_table.c.id)).fetchall()
        parents = parents_of(connection, [row.id for row in rows])
        found: dict[UUID, list[Version]] = defaultdict(list)
        for row in rows:
            said = dict(zip(names, row, strict=True))
            said["content"] = stored_content(row.table_name, row.content)
            found[row.deed_id].append(Version(**said, parents=parents.get(row.id, ())))
        for deed in some:
            yield deed, found[deed.id]
