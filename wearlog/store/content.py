"""A fact as canonical JSON and back: the form in which the journal keeps every version of a row."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable, Iterable
from dataclasses import fields
from datetime import date, datetime
from functools import cache
from operator import attrgetter
from typing import Any
from uuid import UUID

from wearlog.facts.fact import Fact
from wearlog.store.schema import FACT_OF_TABLE, table_of
from wearlog.store.schema.types import Day, Id, Instant, Listed, Several, instant, microseconds


@cache
def field_names(fact_type: Any) -> tuple[str, ...]:
    """Return the fields of a fact in order; the columns of its table have the same names."""
    return tuple(field.name for field in fields(fact_type))


@cache
def field_values(fact_type: Any) -> Callable[[Any], tuple[Any, ...]]:
    """Return the function that takes all field values of such a fact, in order."""
    return attrgetter(*field_names(fact_type))


def _type_of(fact: Fact) -> Any:
    return type(fact)


def row_of(fact: Fact) -> dict[str, Any]:
    """Return the fact as parameters for its table."""
    return dict(zip(field_names(_type_of(fact)), field_values(_type_of(fact))(fact), strict=True))


def content_of(fact: Fact) -> str:
    """Return the canonical JSON of a fact: sorted keys, no spaces, instants in UTC; equal facts give equal text."""
    writers = _writers(_type_of(fact))
    plain = {
        name: value if write is None or value is None else write(value)
        for (name, write), value in zip(writers, field_values(_type_of(fact))(fact), strict=True)
    }
    return json.dumps(plain, sort_keys=True, separators=(",", ":"), ensure_ascii=False)


def fact_of(table_name: str, content: str) -> Fact:
    """Return the fact that `content` describes; the opposite of `content_of`."""
    fact_type: Any = FACT_OF_TABLE[table_name]
    readers = _readers(fact_type)
    stored = json.loads(content)
    fact: Fact = fact_type(**{name: None if value is None else readers[name](value) for name, value in stored.items()})
    return fact


def digest_of(table_name: str, row_id: UUID, parents: Iterable[UUID], content: str) -> str:
    """Return the SHA-256 over what a version says and which versions it followed."""
    lines = [table_name, str(row_id), *(str(parent) for parent in parents), content]
    return hashlib.sha256("\n".join(lines).encode()).hexdigest()


def _write_instant(value: datetime) -> str:
    # through whole microseconds, which refuses an instant without a time zone instead of taking it for local time
    return instant(microseconds(value)).isoformat(timespec="microseconds")


@cache
def _writers(fact_type: Any) -> tuple[tuple[str, Callable[[Any], Any] | None], ...]:
    columns = table_of(fact_type).columns
    return tuple((name, _writer(columns[name].type)) for name in field_names(fact_type))


def _writer(kind: Any) -> Callable[[Any], Any] | None:
    if isinstance(kind, Instant):
        return _write_instant
    if isinstance(kind, Several):
        return kind.write
    if isinstance(kind, Id | Day):
        return str
    return None


@cache
def _readers(fact_type: Any) -> dict[str, Callable[[Any], Any]]:
    columns = table_of(fact_type).columns
    return {name: _reader(columns[name].type) for name in field_names(fact_type)}


def _reader(kind: Any) -> Callable[[Any], Any]:
    if isinstance(kind, Id):
        return UUID
    if isinstance(kind, Instant):
        return datetime.fromisoformat
    if isinstance(kind, Day):
        return date.fromisoformat
    if isinstance(kind, Listed):
        return kind.closed_list
    if isinstance(kind, Several):
        return kind.read
    return _same


def _same(value: Any) -> Any:
    return value
