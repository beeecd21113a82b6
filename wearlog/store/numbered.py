"""Which row or deed has a number. Numbers are made of ids, so every id is looked at: some tenths of a second for 200,000."""

from __future__ import annotations

from dataclasses import dataclass
from uuid import UUID

from sqlalchemy import Connection, select

from wearlog.facts.fact import Fact
from wearlog.ids import long_number
from wearlog.store.schema import TABLE_OF_FACT
from wearlog.store.schema.journal_tables import deed as deed_table


@dataclass(frozen=True, slots=True)
class Numbered:
    """A row of a table, or a deed where `fact_type` is None."""

    row_id: UUID
    fact_type: type[Fact] | None


def numbered(connection: Connection, number: str, *, of_type: type[Fact] | None = None) -> list[Numbered]:
    """Return what has a number that begins with these digits, deeds first; with `of_type` rows of that type alone."""
    found: list[Numbered] = []
    if of_type is None:
        ids = connection.execute(select(deed_table.c.id)).scalars()
        found += [Numbered(one, None) for one in ids if long_number(one).startswith(number)]
    for fact_type, table in TABLE_OF_FACT.items():
        if of_type is None or fact_type is of_type:
            ids = connection.execute(select(table.c.id)).scalars()
            found += [Numbered(one, fact_type) for one in ids if long_number(one).startswith(number)]
    return found
