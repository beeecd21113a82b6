"""Facts read from their rows: by id, field, table or number, with the rows that they own and the rows that point at them.

Voided facts stay behind unless they are asked for. Numbers are made of ids, so every id is looked at: some tenths of a second for
200,000.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import islice, zip_longest
from operator import attrgetter
from typing import Any, TypeVar
from uuid import UUID

from sqlalchemy import Column, ColumnElement, Connection, Select, Table, bindparam, func, literal, select

from wearlog.collecting import no_collecting
from wearlog.errors import NotFoundError
from wearlog.facts.bookkeeping import Setting
from wearlog.facts.fact import Fact, without_trailing_none
from wearlog.facts.farm_settings import FarmSettings, farm_settings
from wearlog.facts.neighbours import SUMS_OF
from wearlog.facts.wearing import Breakage, Component
from wearlog.facts.work import Run
from wearlog.ids import long_number
from wearlog.store.by_driver import Asked, driver_of, how_asked, insert_rows, plain_facts
from wearlog.store.schema import TABLE_OF_FACT, Owned, owned_by, table_of
from wearlog.store.schema.journal_tables import deed as deed_table
from wearlog.store.schema.types import Flag

F = TypeVar("F", bound=Fact)

_STANDS = literal(value=False, type_=Flag())


def find_all(connection: Connection, fact_type: type[F], **equal: Any) -> list[F]:
    """Return the facts of a type whose fields equal those given (None = empty), in the order they were entered.

    A set of values means any of them, a pair of instants in a list everything from the first to the second.
    """
    if connection.dialect.name == "sqlite":
        return plain_facts(connection, fact_type, equal)
    asked = {name: how_asked(value) for name, value in equal.items()}
    values: dict[str, Any] = {}
    for name, value in equal.items():
        if asked[name] is Asked.WITHIN:
            values[f"first_{name}"], values[f"last_{name}"] = value
        elif asked[name] is not Asked.EMPTY:
            values[f"its_{name}"] = list(value) if asked[name] is Asked.AMONG else value
    return read_facts(connection, fact_type, _standing(TABLE_OF_FACT[fact_type], tuple(asked.items())), values)


@lru_cache(maxsize=256)
def _standing(table: Table, asked: tuple[tuple[str, Asked], ...]) -> Select[Any]:
    """Build a query once for each way of asking: an entry sends a dozen, and building them took as long as sending them."""
    # an id that an entry made begins with its moment (RFC 9562, 5.7); those of imported rows are derived and stand where they fall
    query = select(table).where(table.c.voided == _STANDS).order_by(table.c.id)
    for name, how in asked:
        column = table.c[name]
        if how is Asked.EMPTY:
            query = query.where(column.is_(None))
        elif how is Asked.AMONG:
            query = query.where(column.in_(bindparam(f"its_{name}", expanding=True)))
        elif how is Asked.WITHIN:
            first, last = (bindparam(f"{end}_{name}", type_=column.type) for end in ("first", "last"))
            query = query.where(column.between(first, last))
        else:
            query = query.where(column == bindparam(f"its_{name}", type_=column.type))
    return query


def find_among(connection: Connection, fact_type: type[F], field: str, ids: Collection[UUID], **equal: Any) -> list[F]:
    """Return the facts of a type that name one of these ids in a field, as `find_all`; nothing is read where there are none."""
    if len(ids) <= _IDS_AT_ONCE:
        return find_all(connection, fact_type, **equal, **{field: frozenset(ids)}) if ids else []
    return [fact for fact in find_all(connection, fact_type, **equal) if getattr(fact, field) in ids]


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
    for some in batched_ids(_those_there(connection, table, list(ids))):
        if connection.dialect.name == "sqlite":
            found += plain_facts(connection, fact_type, {"id": frozenset(some)}, voided_too=voided_too)
            continue
        query = select(table).where(table.c.id.in_(some))
        found += read_facts(connection, fact_type, query if voided_too else query.where(table.c.voided == _STANDS))
    return found


def _those_there(connection: Connection, table: Table, ids: list[UUID]) -> list[UUID]:
    """Leave out ids that no row of a file has, where so many are asked for that to read all ids takes less than to ask for each."""
    if len(ids) < _MANY_IDS or connection.dialect.name != "sqlite":
        return ids
    driver = driver_of(connection)
    ((count,),) = driver.execute(f"SELECT count(*) FROM {table.name}").fetchall()  # noqa: S608 - a name of ours
    if count > 2 * len(ids):
        return ids
    there = {one for (one,) in driver.execute(f"SELECT id FROM {table.name}").fetchall()}  # noqa: S608 - a name of ours
    return [one for one in ids if one.bytes in there] if there else []


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
    if limit is None and connection.dialect.name == "sqlite":
        # those of one instant stand as they were entered, whichever come first
        found = plain_facts(connection, fact_type, equal)
        found.sort(key=attrgetter(field), reverse=latest_first)
        return found
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
    """Return the farm's settings. What each farm of the neighbourhood saw is left where it lies: every start asks for them."""
    return farm_settings(read_facts(connection, Setting, _of_this_farm()))


@lru_cache(maxsize=1)
def _of_this_farm() -> Select[Any]:
    table = TABLE_OF_FACT[Setting]
    return select(table).where(table.c.voided == _STANDS, ~table.c.key.startswith(SUMS_OF, autoescape=True))


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


@dataclass(frozen=True, slots=True)
class RestsOnGone:
    """A row that counts and points at one that does not."""

    table_name: str
    row_id: UUID
    gone_table: str
    gone_id: UUID


def rests_on_gone(connection: Connection) -> Iterator[RestsOnGone]:
    """Yield every such row, table by table."""
    # nothing points at what is gone in a table of which nothing is
    gone_from = {table for table in TABLE_OF_FACT.values() if _has_voided(connection, table)}
    for fact_type, table in TABLE_OF_FACT.items():
        for key in table.foreign_keys:
            if key.column.table in gone_from:
                yield from _pointing(connection, table, key.parent, key.column.table, table)
        for owned in owned_by(fact_type):
            for key in owned.table.foreign_keys:
                if key.parent is not owned.owner and key.column.table in gone_from:
                    joined = owned.table.join(table, owned.owner == table.c.id)
                    yield from _pointing(connection, table, key.parent, key.column.table, joined)


def _has_voided(connection: Connection, table: Table) -> bool:
    gone = table.c.voided == literal(value=True, type_=Flag())
    return connection.execute(select(table.c.id).where(gone).limit(1)).first() is not None


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


#: how many ids one query names; SQLite allows 32 766 parameters
_IDS_AT_ONCE = 10_000
#: of so many rows at once most are new mostly
_MANY_IDS = 1_000


def batched_ids(ids: Iterable[UUID]) -> Iterator[list[UUID]]:
    """Yield the ids in lists short enough for one query."""
    rest = iter(ids)
    while some := list(islice(rest, _IDS_AT_ONCE)):
        yield some


def read_facts(
    connection: Connection, fact_type: type[F], query: Select[Any], asked: Mapping[str, Any] | None = None
) -> list[F]:
    """Return the facts whose rows a query of their table gives, with what they own; `asked` are its parameters."""
    owns = owned_by(fact_type)
    nothing: list[tuple[tuple[Any, ...], ...]] = [((),) * len(owned.fields) for owned in owns]
    with no_collecting():
        rows = connection.execute(query, asked)
        names = tuple(rows.keys())
        found: list[F] = []
        # a mapping for each row of a large log at once would be its largest load
        for some in rows.partitions(_IDS_AT_ONCE):
            told = [dict(zip(names, row, strict=True)) for row in some]
            for owned, none in zip(owns, nothing, strict=True):
                values = owned_values(connection, owned, [row["id"] for row in told])
                for row in told:
                    row.update(zip(owned.fields, values.get(row["id"], none), strict=True))
            found += [fact_type(**row) for row in told]
    return found


def owned_values(connection: Connection, owned: Owned, ids: Sequence[UUID]) -> dict[UUID, tuple[tuple[Any, ...], ...]]:
    """Return for each owner what each of the fields holds; owners without rows are left out."""
    rows: dict[UUID, list[Any]] = defaultdict(list)
    for some in batched_ids(ids):
        for owner, *items in connection.execute(
            _owned_rows(owned.owner, owned.is_numbered, *owned.fields.values()), {"ids": some}
        ):
            rows[owner].append(items)
    return {owner: _fields(items) for owner, items in rows.items()}


@lru_cache(maxsize=64)
def _owned_rows(owner: Column[Any], is_numbered: bool, *names: str) -> Select[Any]:  # noqa: FBT001 - as the table says it
    columns = [owner.table.c[name] for name in names]
    order = owner.table.c["place"] if is_numbered else columns[0]
    asked = owner.in_(bindparam("ids", expanding=True))
    return select(owner, *columns).where(asked).order_by(owner, order)


def _fields(rows: Sequence[Sequence[Any]]) -> tuple[tuple[Any, ...], ...]:
    first, *others = zip(*rows, strict=True)
    # what nobody knows is not told: a field ends with the last that somebody knows
    return (first, *(without_trailing_none(other) for other in others))


def write_owned(connection: Connection, facts: Sequence[Fact]) -> None:
    """Write the rows that facts of one type own; none of them are there yet."""
    for owned in owned_by(type(facts[0])):
        rows = [row for fact in facts for row in _rows(owned, fact)]
        insert_rows(connection, owned.table, rows)


def _rows(owned: Owned, fact: Fact) -> Iterator[dict[str, Any]]:
    values = [getattr(fact, field) for field in owned.fields]
    for place, items in enumerate(zip_longest(*values), 1):
        row = dict(zip(owned.fields.values(), items, strict=True))
        row[owned.owner.name] = fact.id
        if owned.is_numbered:
            row["place"] = place
        yield row
