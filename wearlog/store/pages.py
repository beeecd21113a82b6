"""Pages of long lists: filter, order, count and place are one query each, so that the length of the list does not matter."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from types import MappingProxyType
from typing import Any, TypeAlias
from uuid import UUID

from sqlalchemy import ColumnElement, Connection, Select, and_, func, or_

#: for columns of closed lists: which members a word means
Members: TypeAlias = Mapping[Any, Callable[[str], Sequence[StrEnum]]]


@dataclass(frozen=True, slots=True)
class ListQuery:
    """A list in a certain order.

    Attributes
    ----------
    slim : Select
        The ids alone, filtered, unordered, with no more joins than filter and order need: skipping a million rows is then cheap.
    dressed : Select
        The rows with everything that is shown, unfiltered; fetched for the ids of one page only.
    key : column
        The id, which settles ties, so that the order is total.
    order : column
        What the rows are ordered by; never null.
    backwards : bool
    """

    slim: Select[Any]
    dressed: Select[Any]
    key: ColumnElement[Any]
    order: ColumnElement[Any]
    backwards: bool = False

    def ordered(self, rows: Select[Any], *, turned: bool = False) -> Select[Any]:
        """Return rows in the list's order, or in the opposite one."""
        down = self.backwards is not turned
        return rows.order_by(*(column.desc() if down else column for column in (self.order, self.key)))


def count_rows(connection: Connection, query: ListQuery) -> int:
    """Return how many rows the list has."""
    return int(connection.execute(_counted(query)).scalar_one())


def _counted(query: ListQuery) -> Select[Any]:
    return query.slim.with_only_columns(func.count(), maintain_column_froms=True)


def page_of(connection: Connection, query: ListQuery, first: int, size: int) -> Sequence[Any]:
    """Return `size` rows from number `first` on."""
    return _dressed(connection, query, query.ordered(query.slim).limit(size).offset(first))


def page_from_end(connection: Connection, query: ListQuery, first: int, size: int, count: int) -> Sequence[Any]:
    """Return the same rows, counted from the end: near the end that skips few rows instead of nearly all."""
    size = min(size, count - first)
    if size <= 0:
        return []
    turned = query.ordered(query.slim, turned=True).limit(size).offset(count - first - size)
    return _dressed(connection, query, turned)[::-1]


def _dressed(connection: Connection, query: ListQuery, slim: Select[Any]) -> Sequence[Any]:
    ids = list(connection.execute(slim).scalars())
    place = {row_id: number for number, row_id in enumerate(ids)}
    rows = connection.execute(query.dressed.where(query.key.in_(ids))).fetchall()
    return sorted(rows, key=lambda row: place[row[0]])


def place_of(connection: Connection, query: ListQuery, row_id: UUID) -> int | None:
    """Return the number of a row in the list, from 0; None when the filter hides it or it is gone."""
    here = connection.execute(
        query.slim.with_only_columns(query.order, maintain_column_froms=True).where(query.key == row_id)
    ).first()
    if here is None:
        return None
    value = here[0]
    if query.backwards:
        before = or_(query.order > value, and_(query.order == value, query.key > row_id))
    else:
        before = or_(query.order < value, and_(query.order == value, query.key < row_id))
    return int(connection.execute(_counted(query).where(before)).scalar_one())


def words_in(
    columns: Sequence[ColumnElement[Any]],
    words: str,
    members: Members = MappingProxyType({}),
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
