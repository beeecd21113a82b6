"""Rows that count and rest on rows that were taken away: no entry makes such a thing, a merge or a replaced import can."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any
from uuid import UUID

from sqlalchemy import Column, Connection, Table, literal, select

from wearlog.store.schema import TABLE_OF_FACT, owned_by
from wearlog.store.schema.types import Flag


@dataclass(frozen=True, slots=True)
class RestsOnGone:
    """A row that counts and points at one that does not."""

    table_name: str
    row_id: UUID
    gone_table: str
    gone_id: UUID


def rests_on_gone(connection: Connection) -> Iterator[RestsOnGone]:
    """Yield every such row, table by table."""
    for fact_type, table in TABLE_OF_FACT.items():
        for key in table.foreign_keys:
            yield from _pointing(connection, table, key.parent, key.column.table, table)
        for owned in owned_by(fact_type):
            for key in owned.table.foreign_keys:
                if key.parent is not owned.owner:
                    joined = owned.table.join(table, owned.owner == table.c.id)
                    yield from _pointing(connection, table, key.parent, key.column.table, joined)


def _pointing(
    connection: Connection, table: Table, pointer: Column[Any], target: Table, source: Any
) -> Iterator[RestsOnGone]:
    gone = target.alias("gone")
    stands, went = literal(value=False, type_=Flag()), literal(value=True, type_=Flag())
    query = (
        select(table.c.id, gone.c.id)
        .select_from(source.join(gone, pointer == gone.c.id))
        .where(table.c.voided == stands, gone.c.voided == went)
        .order_by(table.c.id)
    )
    for row_id, gone_id in connection.execute(query):
        yield RestsOnGone(table.name, row_id, target.name, gone_id)
