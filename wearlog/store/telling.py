"""What copies of the log tell each other: the deeds that one lacks, and what a version from elsewhere says, distrusted.

A version that is in the log was written here, or went through this. So whatever reads it later need not ask again.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from datetime import date, datetime
from functools import cache
from itertools import islice
from typing import Any, Final, TypeAlias
from uuid import UUID

from sqlalchemy import Connection, func, select

from wearlog.errors import ConflictError
from wearlog.facts.bookkeeping import Deed, Version
from wearlog.facts.fact import Fact
from wearlog.facts.plain_text import acts_on_a_terminal
from wearlog.store.content import (
    UNREADABLE,
    content_of,
    fact_of,
    field_names,
    field_values,
    forms_of,
)
from wearlog.store.finding import batched_ids
from wearlog.store.journal import parents_of, stored_content
from wearlog.store.packing import MOST_BYTES
from wearlog.store.revision import HEAD
from wearlog.store.schema import FACT_OF_TABLE, owned_by, table_of
from wearlog.store.schema.journal_tables import deed as deed_table
from wearlog.store.schema.journal_tables import version as version_table
from wearlog.store.schema.types import Day, Flag, Id, Instant, Listed, Several
from wearlog.store.straight_rows import StraightTable, straight_table
from wearlog.store.written_form import LEAST, MOST, Kind, WrittenForm

#: device -> how many of its deeds, and when the last was recorded. A copy that has one of a device's deeds has all before it
Reach: TypeAlias = Mapping[str, tuple[int, datetime]]

_DEEDS_AT_ONCE: Final = 500


def reach_of(connection: Connection) -> dict[str, tuple[int, datetime]]:
    """Return how far this log knows each device."""
    last = func.max(deed_table.c.recorded_at, type_=deed_table.c.recorded_at.type)
    query = select(deed_table.c.device, func.count(), last).group_by(deed_table.c.device).order_by(deed_table.c.device)
    return {device: (count, at) for device, count, at in connection.execute(query)}


def deeds_lacking(connection: Connection, reach: Reach) -> list[Deed]:
    """Return the deeds beyond what somebody else knows, in the order of time."""
    query = select(deed_table).order_by(deed_table.c.recorded_at, deed_table.c.id)
    deeds = (Deed(**row._mapping) for row in connection.execute(query))
    return [deed for deed in deeds if deed.device not in reach or deed.recorded_at > reach[deed.device][1]]


def count_versions(connection: Connection, deeds: Sequence[Deed]) -> int:
    """Return how many versions these deeds wrote."""
    query = select(func.count()).select_from(version_table)
    return sum(
        connection.execute(query.where(version_table.c.deed_id.in_(some))).scalar_one()
        for some in batched_ids(deed.id for deed in deeds)
    )


def is_short_of(connection: Connection, reach: Reach) -> bool:
    """Tell whether this log lacks any deed that such a reach takes for granted."""
    for device, (count, last) in reach.items():
        known = (deed_table.c.device == device, deed_table.c.recorded_at <= last)
        if connection.execute(select(func.count()).where(*known)).scalar_one() < count:
            return True
    return False


def with_versions(connection: Connection, deeds: list[Deed]) -> Iterator[tuple[Deed, list[Version]]]:
    """Yield each deed with the versions it wrote. ConflictError when one was damaged."""
    rest = iter(deeds)
    names = [column.name for column in version_table.columns]
    while some := list(islice(rest, _DEEDS_AT_ONCE)):
        query = select(version_table).where(version_table.c.deed_id.in_([deed.id for deed in some]))
        rows = connection.execute(query.order_by(version_table.c.id)).fetchall()
        parents = parents_of(connection, [row.id for row in rows])
        found: dict[UUID, list[Version]] = defaultdict(list)
        for row in rows:
            said = dict(zip(names, row, strict=True))
            said["content"] = stored_content(row.table_name, row.content)
            found[row.deed_id].append(Version(**said, parents=parents.get(row.id, ())))
        for deed in some:
            yield deed, found[deed.id]


def fact_of_strange(version: Version) -> Fact:
    """Return the fact that a version from elsewhere describes.

    Raises
    ------
    ValueError
        With the reason, when no wearlog would have written it.
    """
    fact = plain_fact(version)
    return asked_about(version) if fact is None else fact


def plain_fact(version: Version) -> Fact | None:
    """Return what a version says that is plainly as we write it, looked at in one pass; None where anything is to be asked.

    It takes less than what `fact_of_strange` takes otherwise, and nothing else: whatever is wrong is named there.
    """
    if version.revision != HEAD or version.table_name not in FACT_OF_TABLE or len(version.content) > MOST_BYTES:
        return None
    fact_type: Any = FACT_OF_TABLE[version.table_name]
    try:
        values = _form_of(fact_type).read(version.content)
        if values is None or values["id"] != version.row_id:
            return None
        fact: Fact = fact_type(**values)
    except UNREADABLE:
        return None
    # a fact may bring what it is given into one form, and then what stands there is in another
    return fact if not hasattr(fact_type, "__post_init__") or content_of(fact) == version.content else None


@cache
def _form_of(fact_type: Any) -> WrittenForm:
    return WrittenForm(_kinds(fact_type), forms_of(fact_type))


@cache
def straight_table_of(table_name: str) -> StraightTable | None:
    """Return how rows of a table stand in a version that can be written down straight; None for a table where none can."""
    fact_type = FACT_OF_TABLE.get(table_name)
    return None if fact_type is None else straight_table(fact_type, _kinds(fact_type))


def _kinds(fact_type: Any) -> dict[str, Kind]:
    return dict(zip(field_names(fact_type), _expected(fact_type), strict=True))


def asked_about(version: Version) -> Fact:
    """Return what a version says, looked at one thing after the other; ValueError with the first that is wrong."""
    if version.table_name not in FACT_OF_TABLE:
        raise ValueError("a table that this program does not know")
    if len(version.content) > MOST_BYTES:
        raise ValueError("longer than any entry")
    try:
        fact = fact_of(version.table_name, version.content, version.revision)
    except ConflictError as error:
        raise ValueError("content that is no entry") from error
    if fact.id != version.row_id:
        raise ValueError("another row than it names")
    _look_at_values(fact)
    # an older revision was written in an older form, which was lifted; it must at least be writable now
    if content_of(fact) != version.content and version.revision == HEAD:
        raise ValueError("content in another form than wearlog writes")
    return fact


def _look_at_values(fact: Fact) -> None:
    kind: Any = type(fact)
    for name, value, expected in zip(field_names(kind), field_values(kind)(fact), _expected(kind), strict=True):
        types, optional = expected.type, expected.optional
        if expected.several:
            if type(value) is not tuple:
                raise ValueError(f"{name} is no list")
            for one in value:
                _look_at(name, one, types, optional=optional)
        else:
            _look_at(name, value, types, optional=optional)


def _look_at(name: str, value: Any, types: type[Any], *, optional: bool) -> None:
    if value is None:
        if not optional:
            raise ValueError(f"{name} is missing")
    elif type(value) is not types:
        raise ValueError(f"{name} is of another kind")
    elif types is int and not LEAST <= value <= MOST:
        raise ValueError(f"{name} is larger than any figure")
    elif types is str and acts_on_a_terminal(value):
        raise ValueError(f"{name} holds control codes")


@cache
def _expected(fact_type: Any) -> tuple[Kind, ...]:
    """What each field holds."""
    columns = table_of(fact_type).columns
    owned = {field: one.table.columns[column] for one in owned_by(fact_type) for field, column in one.fields.items()}
    return tuple(
        Kind(_type_of(owned[name].type), bool(owned[name].nullable), several=True)
        if name in owned
        else Kind(_type_of(columns[name].type), bool(columns[name].nullable), several=False)
        for name in field_names(fact_type)
    )


def _type_of(kind: Any) -> type[Any]:
    known: tuple[tuple[type[Any], type[Any]], ...] = (
        *((Id, UUID), (Instant, datetime), (Day, date), (Flag, bool), (Several, tuple)),
    )
    if isinstance(kind, Listed):
        return kind.closed_list
    return next((plain for column, plain in known if isinstance(kind, column)), kind.python_type)
