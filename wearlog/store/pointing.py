"""Which rows point at some rows, and a row as it is when it points at others instead."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from typing import TypeVar
from uuid import UUID

from sqlalchemy import ColumnElement, Connection, Table, literal, select

from wearlog.facts.fact import Fact
from wearlog.store.owned_rows import batched_ids, read_facts
from wearlog.store.schema import TABLE_OF_FACT, owned_by, table_of
from wearlog.store.schema.types import Flag

F = TypeVar("F", bound=Fact)


def facts_pointing(connection: Connection, table_name: str, ids: Iterable[UUID]) -> list[Fact]:
    """Return the facts that count and point at one of these rows of a table, in the order in which tables are written."""
    wanted = list(batched_ids(ids))
    found: dict[UUID, Fact] = {}
    for fact_type, table in TABLE_OF_FACT.items():
        for some in wanted:
            for condition in _conditions(fact_type, table, table_name, some):
                stands = table.c.voided == literal(value=False, type_=Flag())
                query = select(table).where(stands, condition).order_by(table.c.id)
                found.update((fact.id, fact) for fact in read_facts(connection, fact_type, query))
    return list(found.values())


def _conditions(fact_type: type[Fact], table: Table, table_name: str, ids: list[UUID]) -> list[ColumnElement[bool]]:
    conditions: list[ColumnElement[bool]] = [
        key.parent.in_(ids) for key in table.foreign_keys if key.column.table.name == table_name
    ]
    for owned in owned_by(fact_type):
        for key in owned.table.foreign_keys:
            if key.parent is not owned.owner and key.column.table.name == table_name:
                conditions.append(table.c.id.in_(select(owned.owner).where(key.parent.in_(ids))))
    return conditions


def repointed(fact: F, to: Mapping[UUID, UUID]) -> F:
    """Return a fact that points at other rows: what `to` does not name stays."""
    changed: dict[str, object] = {}
    for key in table_of(fact).foreign_keys:
        value = getattr(fact, key.parent.name)
        if value in to:
            changed[key.parent.name] = to[value]
    for owned in owned_by(type(fact)):
        for field, column in owned.fields.items():
            values = getattr(fact, field)
            if owned.table.columns[column].foreign_keys and any(value in to for value in values):
                # a list of kinds names each once; the fittings of a breakage stand in the order of its positions
                moved = tuple(to.get(value, value) for value in values)
                changed[field] = tuple(dict.fromkeys(moved)) if len(owned.fields) == 1 else moved
    return replace(fact, **changed) if changed else fact  # type: ignore[arg-type]
