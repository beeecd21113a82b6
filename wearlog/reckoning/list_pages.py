"""Pages of long lists: filter, order, count and place are one query each, so that the length of the list does not matter."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from types import MappingProxyType
from typing import Any
from uuid import UUID

from sqlalchemy import ColumnElement, Connection, Select, and_, func, or_


@dataclass(frozen=True, slots=True)
class ListQuery:
    """A list in a certain order.

    Attributes
    ----------
    rows : Select
        The rows unordered, with the filter applied; their first column is the id.
    key : column
        The id, which settles ties, so that the order is total.
    order : column
        What the rows are ordered by; never null.
    backwards : bool
    """

    rows: Select[Any]
    key: ColumnElement[Any]
    order: ColumnElement[Any]
    backwards: bool = False

    def ordered(self, *, turned: bool = False) -> Select[Any]:
        """Return the rows in order, or in the opposite one."""
        down = self.backwards is not turned
        columns = (self.order, self.key)
        return self.rows.order_by(*(column.desc() if down else column for column in columns))


def count_rows(connection: Connection, query: ListQuery) -> int:
    """Return how many rows the list has."""
    counted = query.rows.with_only_columns(func.count(), maintain_column_froms=True).order_by(None)
    return int(connection.execute(counted).scalar_one())


def page_of(connection: Connection, query: ListQuery, first: int, size: int) -> Sequence[Any]:
    """Return `size` rows from number `first` on."""
    return connection.execute(query.ordered().limit(size).offset(first)).fetchall()


def page_from_end(connection: Connection, query: ListQuery, first: int, size: int, count: int) -> Sequence[Any]:
    """Return the same rows, counted from the end: near the end that skips few rows instead of nearly all."""
    size = min(size, count - first)
    if size <= 0:
        return []
    found = connection.execute(query.ordered(turned=True).limit(size).offset(count - first - size)).fetchall()
    return found[::-1]


def place_of(connection: Connection, query: ListQuery, row_id: UUID) -> int | None:
    """Return the number of a row in the list, from 0; None when the filter hides it or it is gone."""
    here = connection.execute(
        query.rows.with_only_columns(query.order, maintain_column_froms=True).where(query.key == row_id)
    ).first()
    if here is None:
        return None
    value = here[0]
    if query.backwards:
        before = or_(query.order > value, and_(query.order == value, query.key > row_id))
    else:
        before = or_(query.order < value, and_(query.order == value, query.key < row_id))
    counted = query.rows.with_only_columns(func.count(), maintain_column_froms=True).where(before)
    return int(connection.execute(counted).scalar_one())


def words_in(
    columns: Sequence[ColumnElement[Any]],
    words: str,
    members: Mapping[ColumnElement[Any], Callable[[str], Sequence[StrEnum]]] = MappingProxyType({}),
) -> list[ColumnElement[bool]]:
    """Return the condition that every word occurs in one of the columns, in any case; its % and _ mean themselves.

    Parameters
    ----------
    members : mapping of column to callable
        For columns of closed lists: which members a word means, since a person does not say them as they are stored.
    """
    return [
        or_(
            *(column.icontains(word, autoescape=True) for column in columns),
            *(column.in_(found) for column, meant in members.items() if (found := list(meant(word)))),
        )
        for word in words.split()
    ]
