"""Rows that two laptops changed apart: what each side says, who said it, and the names that it needs. Reads only."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from wearlog.facts.fact import Fact
from wearlog.facts.farm_settings import FarmSettings
from wearlog.reckoning.files.history import RowNames, row_names
from wearlog.store.connection import Connection
from wearlog.store.finding import settings_of
from wearlog.store.heads import rows_apart
from wearlog.store.journal import contents_of, deed_of_version
from wearlog.store.schema import table_of


@dataclass(frozen=True, slots=True)
class Side:
    """What one side says of a row: the row as it would stand, and the entry that said so last."""

    version_id: UUID
    device: str
    at: datetime
    said: str
    fact: Fact


@dataclass(frozen=True, slots=True)
class RowApart:
    """A row of which two sides or more differ; the first is shown."""

    row_id: UUID
    table_name: str
    sides: tuple[Side, ...]


@dataclass(frozen=True, slots=True)
class RowsApart:
    """All such rows, the latest first, with what they point at by name and the farm's settings."""

    rows: tuple[RowApart, ...]
    names: RowNames
    settings: FarmSettings


def rows_apart_view(connection: Connection) -> RowsApart:
    """Return what is to be settled. ConflictError when a version was damaged."""
    found = rows_apart(connection)
    facts = contents_of(connection, [head.version_id for heads in found.values() for head in heads])
    rows = []
    for row_id, heads in found.items():
        sides = []
        for head in heads:
            deed = deed_of_version(connection, head.version_id)
            sides.append(Side(head.version_id, deed.device, deed.recorded_at, deed.said, facts[head.version_id]))
        rows.append(RowApart(row_id, table_of(sides[0].fact).name, tuple(sides)))
    rows.sort(key=lambda row: (row.sides[0].at, row.row_id), reverse=True)
    names = row_names(connection, [side.fact for row in rows for side in row.sides])
    return RowsApart(tuple(rows), names, settings_of(connection))
