"""What every fact has: an id and a mark that it no longer counts. A fact is a frozen record of one row."""

from __future__ import annotations

from collections import deque
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import MISSING, Field, dataclass, field, fields
from itertools import repeat
from typing import Any, TypeVar
from uuid import UUID

from wearlog.ids import new_id

T = TypeVar("T")


@dataclass(frozen=True, slots=True, kw_only=True)
class Fact:
    """The part that all facts share.

    Attributes
    ----------
    id : UUID
        UUIDv7 for what was entered here, UUIDv8 for what was derived from an imported row without an id.
    voided : bool
        True when the fact was withdrawn (or its entry undone). It stays stored and counts for nothing.
    """

    id: UUID = field(default_factory=new_id)
    voided: bool = False


F = TypeVar("F", bound=Fact)


def facts_of_columns(fact_type: type[F], columns: Mapping[str, Sequence[Any]]) -> list[F]:
    """Return the facts that the columns of their fields make, row by row.

    Parameters
    ----------
    fact_type : type of Fact
        One whose facts are what they are given: without a `__post_init__`.
    columns : mapping of str to sequence
        A value for each fact, all of one length; the ids among them. A field without a column stands at its usual value.

    Raises
    ------
    TypeError
        When a field has no usual value and no column.
    """
    found = list(map(fact_type.__new__, repeat(fact_type, len(columns["id"]))))
    for one in fields(fact_type):
        values = columns[one.name] if one.name in columns else _usual(one, len(found))
        # facts are frozen and have slots: what `__init__` does for each field of each, done by the field itself
        deque(map(getattr(fact_type, one.name).__set__, found, values), maxlen=0)
    return found


def _usual(field_: Field[Any], count: int) -> Iterable[Any]:
    if field_.default is not MISSING:
        return repeat(field_.default, count)
    if field_.default_factory is MISSING:
        raise TypeError(f"{field_.name} has no usual value")
    return [field_.default_factory() for _ in range(count)]


def without_trailing_none(values: tuple[T, ...]) -> tuple[T, ...]:
    """Return the values up to the last that is known: the one form in which "nobody knows" is kept at the end of a list."""
    known = [place for place, value in enumerate(values, 1) if value is not None]
    return values[: known[-1]] if known else ()
