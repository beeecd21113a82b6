"""A fact as canonical JSON and back: the form in which the journal keeps every version of a row."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, fields
from datetime import UTC, date, datetime
from functools import cache
from operator import attrgetter
from types import MappingProxyType
from typing import Any, Final
from uuid import UUID

from wearlog.errors import ConflictError, UsageError
from wearlog.facts.bookkeeping import Deed
from wearlog.facts.fact import Fact
from wearlog.ids import written_ids
from wearlog.many_instants import in_utc, written_instants
from wearlog.store.revision import HEAD, lifted
from wearlog.store.schema import FACT_OF_TABLE, owned_by, table_of
from wearlog.store.schema.types import Day, Id, Instant, Listed, Several


@cache
def field_names(fact_type: Any) -> tuple[str, ...]:
    """Return the fields of a fact in order."""
    return tuple(field.name for field in fields(fact_type))


@cache
def field_values(fact_type: Any) -> Callable[[Any], tuple[Any, ...]]:
    """Return the function that takes all field values of such a fact, in order."""
    return attrgetter(*field_names(fact_type))


def _type_of(fact: Fact) -> Any:
    return type(fact)


def row_of(fact: Fact) -> dict[str, Any]:
    """Return the fact as parameters for its table; what it owns lies in other tables."""
    names = _column_names(_type_of(fact))
    return dict(zip(names, _column_values(_type_of(fact))(fact), strict=True))


def columns_of(facts: Sequence[Fact]) -> dict[str, tuple[Any, ...]]:
    """Return facts of one type as the columns of their table: name -> the values in the order of the facts, at least one."""
    kind = _type_of(facts[0])
    return dict(zip(_column_names(kind), zip(*map(_column_values(kind), facts), strict=True), strict=True))


@cache
def _column_names(fact_type: Any) -> tuple[str, ...]:
    columns = table_of(fact_type).columns
    return tuple(name for name in field_names(fact_type) if name in columns)


@cache
def _column_values(fact_type: Any) -> Callable[[Any], tuple[Any, ...]]:
    return attrgetter(*_column_names(fact_type))


#: made once: `json.dumps` with arguments makes one for each call
_CANONICAL: Final = json.JSONEncoder(sort_keys=True, separators=(",", ":"), ensure_ascii=False)


#: how the values that most fields hold stand in JSON, by what `json` itself writes them with
_JSON_OF: Final[Mapping[type[Any], Callable[[Any], str]]] = MappingProxyType(
    {
        str: json.encoder.encode_basestring,
        int: int.__repr__,
        bool: {False: "false", True: "true"}.__getitem__,
        type(None): {None: "null"}.__getitem__,
    }
)


def content_of(fact: Fact) -> str:
    """Return the canonical JSON of a fact: sorted keys, no spaces, instants in UTC; equal facts give equal text."""
    ways, values = _written(_type_of(fact))
    told = [f"{key}{_told(value, write)}" for (key, write), value in zip(ways, values(fact), strict=True)]
    return f"{{{','.join(told)}}}"


def _told(value: Any, write: Callable[[Any], Any] | None) -> str:
    said = value if write is None or value is None else write(value)
    return _JSON_OF.get(type(said), canonical)(said)


def contents_of(facts: Sequence[Fact]) -> tuple[list[str], list[str]]:
    """Return the ids of facts of one type, at least one, as they are written, and what `content_of` returns of each.

    A value that is one object in many facts is written once.
    """
    ways, values = _written(_type_of(facts[0]))
    ids, columns, pieces = [], [], []
    for (key, write), column in zip(ways, zip(*map(values, facts), strict=True), strict=True):
        told, quoted = _column_told(column, write)
        if key == _OWN:
            ids = told if quoted else [one[1:-1] for one in told]
        columns.append(told)
        pieces.append(f'{key}"%s"' if quoted else f"{key}%s")
    form = "{" + ",".join(pieces) + "}"
    return ids, list(map(form.__mod__, zip(*columns, strict=True)))


#: the key of a row's own id
_OWN: Final = '"id":'
#: a column in which each object stands in so many rows is told object by object
_SHARED: Final = 8


def _column_told(column: Sequence[Any], write: Callable[[Any], Any] | None) -> tuple[list[str], bool]:
    """Return what stands in the contents for each value, and whether it still is to be put into quotation marks."""
    objects = list(map(id, column))
    distinct = dict(zip(objects, column, strict=True))
    if len(distinct) * _SHARED <= len(column):
        told = _each_told(list(distinct.values()), write)
        return list(map(dict(zip(distinct, told, strict=True)).__getitem__, objects)), False
    if write is str and {*map(type, column)} == {UUID}:
        return written_ids(column), True
    if write is _write_instant and in_utc(column):
        return written_instants(column, "microseconds"), True
    return _each_told(column, write), False


def _each_told(values: Sequence[Any], write: Callable[[Any], Any] | None) -> list[str]:
    kinds = {*map(type, values)}
    if write is not None and type(None) not in kinds:
        values, write = list(map(write, values)), None
        kinds = {*map(type, values)}
    way = _JSON_OF.get(kinds.pop()) if write is None and len(kinds) == 1 else None
    return [_told(value, write) for value in values] if way is None else list(map(way, values))


@cache
def _written(
    fact_type: Any,
) -> tuple[tuple[tuple[str, Callable[[Any], Any] | None], ...], Callable[[Any], tuple[Any, ...]]]:
    """Return of each field, in the order in which they stand, its key and its form, and what takes their values."""
    forms = forms_of(fact_type)
    names = sorted(forms)
    return tuple((f'"{name}":', forms[name].write) for name in names), attrgetter(*names)


def canonical(plain: Any) -> str:
    """Return JSON in the one form that digests are taken over."""
    return _CANONICAL.encode(plain)


#: what reading a field of content that nobody here wrote may end in; positions that are none are taken for typed ones
UNREADABLE: Final = (ValueError, TypeError, KeyError, AttributeError, RecursionError, UsageError)


def fact_of(table_name: str, content: str, revision: str = HEAD) -> Fact:
    """Return the fact that `content` describes; the opposite of `content_of`.

    Content of an older revision is lifted first. A field that is there no more is left out, one that is missing stands at its usual
    value: what an old version says must stay readable.

    Raises
    ------
    ConflictError
        When the content was damaged: it is no JSON, or a needed field is missing or cannot be read.
    """
    try:
        stored = lifted(table_name, json.loads(content), revision)
        fact_type: Any = FACT_OF_TABLE[table_name]
        forms = forms_of(fact_type)
        known = {name: forms[name].take(value) for name, value in stored.items() if name in forms}
        fact: Fact = fact_type(**known)
    except UNREADABLE as error:
        raise ConflictError(
            f"A version of a row of {table_name} cannot be read: it was damaged.",
            "'wearlog check' names it; 'wearlog restore' brings a backup back.",
        ) from error
    return fact


def lifted_content(table_name: str, content: str, revision: str) -> str:
    """Return content in the shape of this program; the same text where it is of this revision."""
    return content if revision == HEAD else canonical(lifted(table_name, json.loads(content), revision))


def digest_of(table_name: str, row_id: UUID, parents: Iterable[UUID], content: str, revision: str = HEAD) -> str:
    """Return the SHA-256 over what a version says and which versions it followed.

    The first revision was under no digest; every later one is, since it says how the content is to be read.
    """
    return digest_of_written(table_name, str(row_id), [str(parent) for parent in parents], content, revision)


def digest_of_written(table_name: str, row_id: str, parents: Iterable[str], content: str, revision: str) -> str:
    """Return the digest of a version whose ids are written already."""
    lines = (
        (table_name, row_id, *parents, content)
        if revision == "0001"
        else (revision, table_name, row_id, *parents, content)
    )
    return hashlib.sha256("\n".join(lines).encode()).hexdigest()


def digest_of_deed(deed: Deed, version_digests: Iterable[str]) -> str:
    """Return the SHA-256 over what was said, when, where and by whom, and over the digests of its versions, sorted."""
    told = {
        "id": str(deed.id),
        "recorded_at": _write_instant(deed.recorded_at),
        "device": deed.device,
        "person": deed.person,
        "said": deed.said,
        "undoes_deed_id": None if deed.undoes_deed_id is None else str(deed.undoes_deed_id),
        "versions": sorted(version_digests),
    }
    return hashlib.sha256(canonical(told).encode()).hexdigest()


def _write_instant(value: datetime) -> str:
    if value.tzinfo is None:
        # it would be taken for local time
        raise ValueError(f"{value.isoformat()} has no time zone; an instant needs one")
    return (value if value.tzinfo is UTC else value.astimezone(UTC)).isoformat(timespec="microseconds")


@dataclass(frozen=True, slots=True)
class ContentForm:
    """How one field stands in JSON."""

    write: Callable[[Any], Any] | None
    read: Callable[[Any], Any]

    def take(self, value: Any) -> Any:
        """Return the value of a field, None for none."""
        return None if value is None else self.read(value)


@cache
def forms_of(fact_type: Any) -> dict[str, ContentForm]:
    """Return how each field of a fact stands in JSON."""
    columns = table_of(fact_type).columns
    owned = {
        field: one.table.columns[column].type for one in owned_by(fact_type) for field, column in one.fields.items()
    }
    return {
        name: _list_form(owned[name])
        if name in owned
        else ContentForm(_writer(columns[name].type), _reader(columns[name].type))
        for name in field_names(fact_type)
    }


def _list_form(kind: Any) -> ContentForm:
    write, read = _writer(kind), _reader(kind)

    def write_list(values: Iterable[Any]) -> list[Any]:
        return [value if write is None or value is None else write(value) for value in values]

    def read_list(values: Iterable[Any]) -> tuple[Any, ...]:
        return tuple(None if value is None else read(value) for value in values)

    return ContentForm(write_list, read_list)


def _writer(kind: Any) -> Callable[[Any], Any] | None:
    if isinstance(kind, Instant):
        return _write_instant
    if isinstance(kind, Several):
        return kind.write
    if isinstance(kind, Id | Day):
        return str
    return None


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
