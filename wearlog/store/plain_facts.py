"""Facts of a file read by its driver: rows become facts column by column, without what SQLAlchemy does around each query.

An entry sends a dozen queries that find a row or two each. To build, bind and unpack one took ten times as long as SQLite needs.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import closing
from dataclasses import dataclass
from enum import Enum, auto
from functools import lru_cache
from typing import Any, Final, TypeVar

from sqlalchemy import Column, Connection, Dialect

from wearlog.collecting import no_collecting
from wearlog.facts.fact import Fact, without_trailing_none
from wearlog.store.plain_insert import driver_of
from wearlog.store.schema import TABLE_OF_FACT, Owned, owned_by

F = TypeVar("F", bound=Fact)

#: how many rows are made facts at once: all of a large log at once would be its largest load
_AT_ONCE: Final = 10_000

#: makes a value of what the driver gives, or the other way round; None where both are the same
_Way = Callable[[Any], Any] | None


class Asked(Enum):
    """How a field is asked for."""

    EMPTY = auto()
    EQUAL = auto()
    AMONG = auto()
    WITHIN = auto()


def how_asked(value: Any) -> Asked:
    """Return what a value asks of its field: a set any of its values, a list all from its first to its last, None nothing."""
    if isinstance(value, (set, frozenset)):
        return Asked.AMONG
    if isinstance(value, list):
        return Asked.WITHIN
    return Asked.EMPTY if value is None else Asked.EQUAL


def plain_facts(
    connection: Connection, fact_type: type[F], equal: Mapping[str, Any], *, voided_too: bool = False
) -> list[F]:
    """Return the facts of a file that count and whose fields are as asked, by their ids; errors are the driver's.

    Parameters
    ----------
    equal : mapping of str to Any
        Fields with what is asked of them, at least one with `voided_too`, as `how_asked` says.
    voided_too : bool
        Return those that count no more as well.
    """
    plan = _plan(fact_type, connection.dialect)  # type: ignore[arg-type]
    conditions, values = [] if voided_too else ["voided = 0"], []
    for name, value in equal.items():
        condition, its = plan.asking[name].told(value)
        conditions.append(condition)
        values += its
    sql = f"{plan.select} WHERE {' AND '.join(conditions)} ORDER BY id"
    found: list[F] = []
    with no_collecting(), closing(driver_of(connection).execute(sql, values)) as cursor:
        while rows := cursor.fetchmany(_AT_ONCE):
            found += plan.facts(driver_of(connection), rows)
    return found


@dataclass(frozen=True, slots=True)
class _Asking:
    """How a column is asked for: as it stands in SQL, and the way of its values."""

    name: str
    way: _Way

    def told(self, value: Any) -> tuple[str, list[Any]]:
        """Return a condition and its values."""
        how = how_asked(value)
        if how is Asked.EMPTY:
            return f"{self.name} IS NULL", []
        values = list(value) if how is not Asked.EQUAL else [value]
        if self.way is not None:
            values = list(map(self.way, values))
        if how is Asked.AMONG:
            return f"{self.name} IN ({', '.join('?' * len(values))})", values
        return (f"{self.name} = ?" if how is Asked.EQUAL else f"{self.name} BETWEEN ? AND ?"), values


@dataclass(frozen=True, slots=True)
class _OwnedPlan:
    """How rows that facts own are read: `first` stands before their owners' ids, `last` behind."""

    first: str
    last: str
    ways: tuple[_Way, ...]

    def lists(self, driver: Any, ids: Sequence[bytes]) -> Iterator[tuple[tuple[Any, ...], ...]]:
        """Yield what each owner has, field by field."""
        rows: dict[bytes, list[Any]] = defaultdict(list)
        sql = f"{self.first} IN ({', '.join('?' * len(ids))}) {self.last}"
        for owner, *items in driver.execute(sql, ids).fetchall():
            rows[owner].append(items)
        nothing = ((),) * len(self.ways)
        for one in ids:
            yield self._told(rows[one]) if one in rows else nothing

    def _told(self, rows: Sequence[Sequence[Any]]) -> tuple[tuple[Any, ...], ...]:
        taken = zip(self.ways, zip(*rows, strict=True), strict=True)
        first, *others = (its if way is None else tuple(map(way, its)) for way, its in taken)
        # what nobody knows is not told: a field ends with the last that somebody knows
        return (first, *(without_trailing_none(other) for other in others))


@dataclass(frozen=True, slots=True)
class _FactPlan:
    """How facts of one type are read from a file."""

    fact_type: Any
    select: str
    names: tuple[str, ...]
    ways: tuple[_Way, ...]
    asking: Mapping[str, _Asking]
    #: at which place a row has its id
    id_place: int
    owned: tuple[_OwnedPlan, ...]

    def facts(self, driver: Any, rows: Sequence[tuple[Any, ...]]) -> list[Any]:
        """Return the facts of rows, at least one."""
        columns = list(zip(*rows, strict=True))
        told: list[Any] = [its if way is None else map(way, its) for way, its in zip(self.ways, columns, strict=True)]
        for owned in self.owned:
            told += zip(*owned.lists(driver, columns[self.id_place]), strict=True)
        fact_type, names = self.fact_type, self.names
        return [fact_type(**dict(zip(names, values, strict=True))) for values in zip(*told, strict=True)]


@lru_cache(maxsize=128)
def _plan(fact_type: Any, dialect: Dialect) -> _FactPlan:
    table, owns = TABLE_OF_FACT[fact_type], owned_by(fact_type)
    names = [column.name for column in table.columns]
    quoted = [dialect.identifier_preparer.format_column(column) for column in table.columns]
    return _FactPlan(
        fact_type,
        f"SELECT {', '.join(quoted)} FROM {table.name}",  # noqa: S608 - names of our own tables
        (*names, *(field for owned in owns for field in owned.fields)),
        tuple(_taking(column, dialect) for column in table.columns),
        {
            column.name: _Asking(said, column.type.dialect_impl(dialect).bind_processor(dialect))
            for column, said in zip(table.columns, quoted, strict=True)
        },
        names.index("id"),
        tuple(_owned_plan(owned, dialect) for owned in owns),
    )


def _owned_plan(owned: Owned, dialect: Dialect) -> _OwnedPlan:
    columns = [owned.table.c[name] for name in owned.fields.values()]
    told = ", ".join(column.name for column in columns)
    owner, order = owned.owner.name, "place" if owned.is_numbered else columns[0].name
    return _OwnedPlan(
        f"SELECT {owner}, {told} FROM {owned.table.name} WHERE {owner}",  # noqa: S608 - names of our own tables
        f"ORDER BY {owner}, {order}",
        tuple(_taking(column, dialect) for column in columns),
    )


def _taking(column: Column[Any], dialect: Dialect) -> _Way:
    return column.type.dialect_impl(dialect).result_processor(dialect, None)
