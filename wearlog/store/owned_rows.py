"""Facts as rows and back, with the rows that they own."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from itertools import islice, zip_longest
from typing import Any, TypeVar
from uuid import UUID

from sqlalchemy import Connection, Select, insert, select

from wearlog.facts.fact import Fact, without_trailing_none
from wearlog.store.schema import Owned, owned_by

F = TypeVar("F", bound=Fact)

#: how many ids one query names; SQLite allows 32 766 parameters
_IDS_AT_ONCE = 10_000


def batched_ids(ids: Iterable[UUID]) -> Iterator[list[UUID]]:
    """Yield the ids in lists short enough for one query."""
    rest = iter(ids)
    while some := list(islice(rest, _IDS_AT_ONCE)):
        yield some


def read_facts(connection: Connection, fact_type: type[F], query: Select[Any]) -> list[F]:
    """Return the facts whose rows a query of their table gives, with what they own."""
    rows = connection.execute(query)
    # a mapping of its own for each row would take longer than all the rest
    names = tuple(rows.keys())
    found = [dict(zip(names, row, strict=True)) for row in rows]
    for owned in owned_by(fact_type):
        values = owned_values(connection, owned, [row["id"] for row in found])
        nothing: tuple[tuple[Any, ...], ...] = ((),) * len(owned.fields)
        for row in found:
            row.update(zip(owned.fields, values.get(row["id"], nothing), strict=True))
    return [fact_type(**row) for row in found]


def owned_values(connection: Connection, owned: Owned, ids: Sequence[UUID]) -> dict[UUID, tuple[tuple[Any, ...], ...]]:
    """Return for each owner what each of the fields holds; owners without rows are left out."""
    columns = [owned.table.c[name] for name in owned.fields.values()]
    order = owned.table.c["place"] if owned.is_numbered else columns[0]
    rows: dict[UUID, list[Any]] = defaultdict(list)
    for some in batched_ids(ids):
        query = select(owned.owner, *columns).where(owned.owner.in_(some)).order_by(owned.owner, order)
        for owner, *items in connection.execute(query):
            rows[owner].append(items)
    return {owner: _fields(items) for owner, items in rows.items()}


def _fields(rows: Sequence[Sequence[Any]]) -> tuple[tuple[Any, ...], ...]:
    first, *others = zip(*rows, strict=True)
    # what nobody knows is not told: a field ends with the last that somebody knows
    return (first, *(without_trailing_none(other) for other in others))


def write_owned(connection: Connection, facts: Sequence[Fact]) -> None:
    """Write the rows that facts of one type own; none of them are there yet."""
    for owned in owned_by(type(facts[0])):
        rows = [row for fact in facts for row in _rows(owned, fact)]
        if rows:
            connection.execute(insert(owned.table), rows)


def _rows(owned: Owned, fact: Fact) -> Iterator[dict[str, Any]]:
    values = [getattr(fact, field) for field in owned.fields]
    for place, items in enumerate(zip_longest(*values), 1):
        row = dict(zip(owned.fields.values(), items, strict=True))
        row[owned.owner.name] = fact.id
        if owned.is_numbered:
            row["place"] = place
        yield row
