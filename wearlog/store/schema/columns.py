"""The words in which the tables are written: each makes one kind of column with its named checks."""

from __future__ import annotations

from enum import StrEnum
from typing import Any

from sqlalchemy import CheckConstraint, Column, ForeignKey, Index, LargeBinary, MetaData, Table, Text
from sqlalchemy.schema import SchemaItem

from wearlog.facts.positions import format_positions, parse_positions
from wearlog.store.schema.types import WHOLE, Day, Digest, Flag, Id, Instant, Listed, Several

metadata = MetaData(
    naming_convention={
        "pk": "pk_%(table_name)s",
        "fk": "fk_%(table_name)s_%(column_0_name)s",
        "ck": "ck_%(table_name)s_%(constraint_name)s",
        "ix": "ix_%(table_name)s_%(column_0_N_name)s",
    }
)


def table(name: str, *items: SchemaItem) -> Table:
    """A table of facts: id and voided first, then its own columns; STRICT on SQLite."""
    columns = (key(), flag("voided"), *items)
    flags = [item for item in columns if isinstance(item, Column) and isinstance(item.type, Flag)]
    return Table(name, metadata, *columns, *map(_flag_check, flags), sqlite_strict=True)


def _flag_check(column: Column[Any]) -> Any:
    # only SQLite keeps a flag as a number; the column of PostgreSQL is a boolean and needs no check
    return CheckConstraint(f"{column.name} IN (0, 1)", name=column.name).ddl_if(dialect="sqlite")


def owned(name: str, owner: str, *items: SchemaItem, numbered: bool = True) -> Table:
    """A table of what one fact has several of: written and replaced with its owner, so it has neither id nor mark of its own.

    Its rows are in the order of the first column after the owner: `place`, counted from 1, or without `numbered` the first item.
    """
    columns = (Column("place", WHOLE, primary_key=True, nullable=False), *items) if numbered else items
    first = columns[0]
    assert isinstance(first, Column)
    first.primary_key = True
    return Table(name, metadata, ref_key(f"{owner}_id", owner), *columns, sqlite_strict=True, sqlite_with_rowid=False)


def ref_key(name: str, target: str) -> Column[Any]:
    return Column(name, Id(), ForeignKey(f"{target}.id"), primary_key=True, nullable=False)


def plain_table(name: str, *items: SchemaItem) -> Table:
    """A table of the journal: written once, so there is nothing to void."""
    return Table(name, metadata, key(), *items, sqlite_strict=True)


def key() -> Column[Any]:
    return Column("id", Id(), primary_key=True, nullable=False)


def ref(name: str, target: str, *, optional: bool = False) -> Column[Any]:
    return Column(name, Id(), ForeignKey(f"{target}.id"), nullable=optional)


def row_ref(name: str) -> Column[Any]:
    """The id of a row in whichever table; no foreign key can say which."""
    return Column(name, Id(), nullable=False)


def text(name: str) -> Column[Any]:
    return Column(name, Text(), nullable=False)


def whole(name: str, *, least: int | None = 0, optional: bool = False) -> Column[Any]:
    checks = [] if least is None else [CheckConstraint(f"{name} >= {least}", name=name)]
    return Column(name, WHOLE, *checks, nullable=optional)


def instant(name: str, *, optional: bool = False) -> Column[Any]:
    return Column(name, Instant(), nullable=optional)


def day(name: str, *, optional: bool = False) -> Column[Any]:
    return Column(name, Day(), nullable=optional)


def flag(name: str) -> Column[Any]:
    return Column(name, Flag(), nullable=False)


def listed(name: str, closed_list: type[StrEnum], *, optional: bool = False) -> Column[Any]:
    values = ", ".join(f"'{value}'" for value in closed_list)
    return Column(name, Listed(closed_list), CheckConstraint(f"{name} IN ({values})", name=name), nullable=optional)


def positions(name: str) -> Column[Any]:
    return Column(name, Several(format_positions, parse_positions), nullable=False)


def packed(name: str) -> Column[Any]:
    return Column(name, LargeBinary(), nullable=False)


def digest(name: str) -> Column[Any]:
    return Column(name, Digest(), nullable=False)


def span(first: str, last: str) -> CheckConstraint:
    """The half-open interval [first, last) does not run backwards."""
    return CheckConstraint(f"{last} IS NULL OR {last} >= {first}", name=f"{first}_{last}")


def index(*columns: str) -> Index:
    return Index(None, *columns)
