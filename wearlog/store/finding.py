"""Facts out of the log: by id, by field, by table. Voided facts stay behind unless they are asked for."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any, TypeVar
from uuid import UUID

from sqlalchemy import Connection, func, literal, select

from wearlog.errors import NotFoundError
from wearlog.facts.bookkeeping import Setting
from wearlog.facts.fact import Fact
from wearlog.facts.farm_settings import FarmSettings, farm_settings
from wearlog.facts.wearing import Breakage, Component
from wearlog.facts.work import Run
from wearlog.store.owned_rows import batched_ids, read_facts
from wearlog.store.schema import TABLE_OF_FACT
from wearlog.store.schema.types import Flag

F = TypeVar("F", bound=Fact)

_STANDS = literal(value=False, type_=Flag())


def find_all(connection: Connection, fact_type: type[F], **equal: Any) -> list[F]:
    """Return the facts of a type whose fields equal those given (None = empty), in the order they were entered."""
    table = TABLE_OF_FACT[fact_type]
    query = select(table).where(table.c.voided == _STANDS).order_by(table.c.id)
    for name, value in equal.items():
        query = query.where(table.c[name].is_(None) if value is None else table.c[name] == value)
    return read_facts(connection, fact_type, query)


def find_voided(connection: Connection, fact_type: type[F]) -> list[F]:
    """Return the facts of a type that count no more, in the order they were entered."""
    table = TABLE_OF_FACT[fact_type]
    gone = table.c.voided == literal(value=True, type_=Flag())
    return read_facts(connection, fact_type, select(table).where(gone).order_by(table.c.id))


def count_all(connection: Connection, fact_type: type[F]) -> int:
    """Return how many facts of a type count."""
    table = TABLE_OF_FACT[fact_type]
    return connection.execute(select(func.count()).select_from(table).where(table.c.voided == _STANDS)).scalar() or 0


def find_latest(connection: Connection, fact_type: type[F], field: str) -> F | None:
    """Return the fact of a type whose `field` is the greatest; None when there is none."""
    table = TABLE_OF_FACT[fact_type]
    query = select(table).where(table.c.voided == _STANDS).order_by(table.c[field].desc(), table.c.id).limit(1)
    return next(iter(read_facts(connection, fact_type, query)), None)


def find_by_id(connection: Connection, fact_type: type[F], row_id: UUID) -> F:
    """Return one fact that still counts. NotFoundError when there is none."""
    found = find_all(connection, fact_type, id=row_id)
    if not found:
        raise NotFoundError(f"This {TABLE_OF_FACT[fact_type].name.replace('_', ' ')} is not in the log any more.")
    return found[0]


def find_many(connection: Connection, fact_type: type[F], ids: Iterable[UUID], *, voided_too: bool = False) -> list[F]:
    """Return the facts of these ids that are there; with `voided_too` also those that no longer count."""
    table = TABLE_OF_FACT[fact_type]
    found: list[F] = []
    for some in batched_ids(ids):
        query = select(table).where(table.c.id.in_(some))
        found += read_facts(connection, fact_type, query if voided_too else query.where(table.c.voided == _STANDS))
    return found


def find_in_order(
    connection: Connection,
    fact_type: type[F],
    field: str,
    *,
    latest_first: bool = False,
    limit: int | None = None,
    **equal: Any,
) -> list[F]:
    """Return facts ordered by an instant field, for lists that show the latest or the next few."""
    table = TABLE_OF_FACT[fact_type]
    order = table.c[field].desc() if latest_first else table.c[field]
    query = select(table).where(table.c.voided == _STANDS, *(table.c[name] == value for name, value in equal.items()))
    return read_facts(connection, fact_type, query.order_by(order, table.c.id).limit(limit))


def last_machine(connection: Connection) -> UUID | None:
    """Return the machine of the latest breakage or run, whichever was later."""
    breakage, component, run = TABLE_OF_FACT[Breakage], TABLE_OF_FACT[Component], TABLE_OF_FACT[Run]
    broke = (
        select(breakage.c.at, component.c.machine_id)
        .join(component, breakage.c.component_id == component.c.id)
        .where(breakage.c.voided == _STANDS)
        .order_by(breakage.c.at.desc())
    )
    ran = select(run.c.started_at, run.c.combine_id).where(run.c.voided == _STANDS).order_by(run.c.started_at.desc())
    found = [row for query in (broke, ran) if (row := connection.execute(query.limit(1)).first()) is not None]
    return max(found, key=lambda row: row[0])[1] if found else None


def settings_of(connection: Connection) -> FarmSettings:
    """Return the farm's settings."""
    return farm_settings(find_all(connection, Setting))
