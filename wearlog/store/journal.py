"""Reading the journal: the history of deeds, the versions of a row."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from typing import Any, Final
from uuid import UUID

from sqlalchemy import Connection, Exists, and_, exists, func, literal_column, not_, or_, select

from wearlog.errors import ConflictError, NotFoundError
from wearlog.facts.bookkeeping import Deed, Person, Version
from wearlog.facts.fact import Fact
from wearlog.store.content import fact_of
from wearlog.store.finding import batched_ids
from wearlog.store.packing import unpacked
from wearlog.store.schema import TABLE_OF_FACT
from wearlog.store.schema.journal_tables import deed as deed_table
from wearlog.store.schema.journal_tables import version as version_table
from wearlog.store.schema.journal_tables import version_parent


@dataclass(frozen=True, slots=True)
class DeedLine:
    """A deed as history lists it: with how many rows it touched and whether it was taken back."""

    deed: Deed
    rows: int
    undone: bool

    @property
    def id(self) -> UUID:
        return self.deed.id

    @property
    def recorded_at(self) -> datetime:
        return self.deed.recorded_at

    @property
    def device(self) -> str:
        return self.deed.device

    @property
    def person(self) -> str:
        return self.deed.person

    @property
    def said(self) -> str:
        return self.deed.said

    @property
    def undoes_deed_id(self) -> UUID | None:
        return self.deed.undoes_deed_id


#: who entered something is looked for among so many entries, the latest first
_PEOPLE_OF: Final = 1_000


def people_named(connection: Connection) -> tuple[str, ...]:
    """Return who entered or did something, by name: of the latest entries, and of those who are noted as people of the farm."""
    latest = select(deed_table.c.person).order_by(deed_table.c.id.desc()).limit(_PEOPLE_OF).subquery()
    names = [row[0] for row in connection.execute(select(latest.c.person).where(latest.c.person != "").distinct())]
    people = TABLE_OF_FACT[Person]
    names += [row[0] for row in connection.execute(select(people.c.name).where(not_(people.c.voided)))]
    return tuple(sorted(dict.fromkeys(names)))


def deed_lines(
    connection: Connection, *, limit: int, before: DeedLine | None = None, row_id: UUID | None = None
) -> list[DeedLine]:
    """Return deeds, latest first; `before` (the last line of a page) pages back, `row_id` keeps those that touched one row."""
    rows = select(func.count()).where(version_table.c.deed_id == deed_table.c.id).scalar_subquery()
    # two laptops may have recorded something at the same microsecond: the id settles it
    query = select(deed_table, rows.label("rows"), is_undone().label("undone")).order_by(
        deed_table.c.recorded_at.desc(), deed_table.c.id.desc()
    )
    if before is not None:
        earlier = deed_table.c.recorded_at < before.recorded_at
        same = and_(deed_table.c.recorded_at == before.recorded_at, deed_table.c.id < before.id)
        query = query.where(or_(earlier, same))
    if row_id is not None:
        touched = exists().where(and_(version_table.c.deed_id == deed_table.c.id, version_table.c.row_id == row_id))
        query = query.where(touched)
    names = list(Deed.__dataclass_fields__)
    return [
        DeedLine(Deed(**{name: getattr(row, name) for name in names}), row.rows, bool(row.undone))
        for row in connection.execute(query.limit(limit))
    ]


def is_undone() -> Exists:
    """The condition that a deed was taken back, and that taking it back was not itself taken back."""
    taken_back, again = deed_table.alias("taken_back"), deed_table.alias("taken_back_again")
    brought_back = exists().where(again.c.undoes_deed_id == taken_back.c.id)
    return exists().where(taken_back.c.undoes_deed_id == deed_table.c.id, not_(brought_back))


def versions_of_deed(connection: Connection, deed_id: UUID) -> list[Version]:
    """Return what a deed wrote."""
    return _versions(connection, version_table.c.deed_id == deed_id)


def rows_of_deed(connection: Connection, deed_id: UUID, *, of_type: type[Fact]) -> tuple[int, int]:
    """Return how many rows a deed wrote, and how many of these are of a type."""
    of_these = func.count().filter(version_table.c.table_name == TABLE_OF_FACT[of_type].name)
    query = select(func.count(), of_these).where(version_table.c.deed_id == deed_id)
    every, some = connection.execute(query).one()
    return every, some


def versions_of_row(connection: Connection, row_id: UUID) -> list[Version]:
    """Return every version of a row, oldest first."""
    return _versions(connection, version_table.c.row_id == row_id)


def rows_changed_since(connection: Connection, row_ids: Iterable[UUID]) -> set[UUID]:
    """Return those of the rows that were changed after they were entered."""
    found: set[UUID] = set()
    for some in batched_ids(row_ids):
        query = select(version_table.c.row_id).where(version_table.c.row_id.in_(some))
        found.update(connection.execute(query.group_by(version_table.c.row_id).having(func.count() > 1)).scalars())
    return found


def entered_when(connection: Connection, row_ids: Iterable[UUID]) -> dict[UUID, tuple[datetime, UUID]]:
    """Return what puts rows into the order in which they were entered: when the journal says so, and their id for equal times.

    The time in an id is that of one machine's clock; the journal's own never goes back, whichever machines wrote it.
    """
    found: dict[UUID, tuple[datetime, UUID]] = {}
    first = func.min(deed_table.c.recorded_at, type_=deed_table.c.recorded_at.type)
    query = select(version_table.c.row_id, first).join(deed_table, version_table.c.deed_id == deed_table.c.id)
    for some in batched_ids(row_ids):
        for row_id, at in connection.execute(
            query.where(version_table.c.row_id.in_(some)).group_by(version_table.c.row_id)
        ):
            found[row_id] = (at, row_id)
    return found


def entering_devices(connection: Connection, row_ids: Iterable[UUID]) -> dict[UUID, str]:
    """Return on which device each of the rows was entered first."""
    found: dict[UUID, tuple[datetime, UUID, str]] = {}
    columns = (version_table.c.row_id, deed_table.c.recorded_at, deed_table.c.id, deed_table.c.device)
    query = select(*columns).join(deed_table, version_table.c.deed_id == deed_table.c.id)
    for some in batched_ids(row_ids):
        for row_id, at, deed_id, device in connection.execute(query.where(version_table.c.row_id.in_(some))):
            found[row_id] = min(found.get(row_id, (at, deed_id, device)), (at, deed_id, device))
    return {row_id: device for row_id, (_, _, device) in found.items()}


def contents_of(connection: Connection, version_ids: Iterable[UUID]) -> dict[UUID, Fact]:
    """Return what these versions say, by their ids, in the shape of this program."""
    found: dict[UUID, Fact] = {}
    columns = (version_table.c.id, version_table.c.table_name, version_table.c.content, version_table.c.revision)
    for some in batched_ids(version_ids):
        query = select(*columns).where(version_table.c.id.in_(some))
        for version_id, table_name, content, revision in connection.execute(query):
            found[version_id] = fact_of_packed(table_name, content, revision)
    return found


def fact_of_packed(table_name: str, stored: bytes, revision: str) -> Fact:
    """Return what a stored version says, in the shape of this program. ConflictError when it was damaged."""
    return fact_of(table_name, stored_content(table_name, stored), revision)


def stored_content(table_name: str, stored: bytes) -> str:
    """Return the text of a stored version. ConflictError when it was damaged."""
    try:
        return unpacked(table_name, stored)
    except ValueError as error:
        raise ConflictError(
            f"A version of a row of {table_name} cannot be read: {error}.",
            "'wearlog check' names it; 'wearlog restore' brings a backup back.",
        ) from error


def _versions(connection: Connection, condition: Any) -> list[Version]:
    joined = version_table.join(deed_table, version_table.c.deed_id == deed_table.c.id)
    query = select(version_table).select_from(joined).where(condition)
    rows = connection.execute(query.order_by(deed_table.c.recorded_at, version_table.c.id)).mappings().all()
    parents = parents_of(connection, [row["id"] for row in rows])
    return [
        Version(
            **{**row, "content": stored_content(row["table_name"], row["content"])}, parents=parents.get(row["id"], ())
        )
        for row in rows
    ]


def parents_of(connection: Connection, version_ids: Iterable[UUID]) -> dict[UUID, tuple[UUID, ...]]:
    """Return for each version those that it followed, in the order of their ids; a first version is left out."""
    found: dict[UUID, list[UUID]] = defaultdict(list)
    for some in batched_ids(version_ids):
        query = select(version_parent.c.version_id, version_parent.c.parent_id)
        for version_id, parent in connection.execute(query.where(version_parent.c.version_id.in_(some))):
            found[version_id].append(parent)
    return {version_id: tuple(sorted(ids)) for version_id, ids in found.items()}


def journal_end(connection: Connection) -> tuple[int, UUID | None]:
    """Return what changes with every write and with every merge: how far the table of deeds reaches, and its latest deed.

    A merge may bring deeds older than the latest. In a file both are one look at an index; a server counts.
    """
    reach = literal_column("max(rowid)") if connection.dialect.name == "sqlite" else func.count()
    far = connection.execute(select(reach).select_from(deed_table)).scalar() or 0
    query = select(deed_table.c.id).order_by(deed_table.c.recorded_at.desc(), deed_table.c.id.desc()).limit(1)
    return far, connection.execute(query).scalar()


def deed_of_version(connection: Connection, version_id: UUID) -> Deed:
    """Return the deed that wrote a version."""
    joined = deed_table.join(version_table, version_table.c.deed_id == deed_table.c.id)
    query = select(deed_table).select_from(joined).where(version_table.c.id == version_id)
    return Deed(**connection.execute(query).one()._mapping)


def last_deed(connection: Connection, device: str) -> Deed:
    """Return the latest deed of this device that was not taken back and took nothing back.

    Raises
    ------
    NotFoundError
        When there is none.
    """
    query = (
        select(deed_table)
        .where(deed_table.c.device == device, deed_table.c.undoes_deed_id.is_(None), not_(is_undone()))
        .order_by(deed_table.c.recorded_at.desc(), deed_table.c.id.desc())
        .limit(1)
    )
    row = connection.execute(query).first()
    if row is None:
        raise NotFoundError("There is nothing to undo.", "'wearlog history' lists what was entered.")
    return Deed(**row._mapping)


def first_deed_id(connection: Connection, device: str) -> UUID | None:
    """Return the id of the first deed of a device; None when it has none. Ids are in the order of time."""
    query = select(deed_table.c.id).where(deed_table.c.device == device).order_by(deed_table.c.id).limit(1)
    return connection.execute(query).scalar()


def deed_by_id(connection: Connection, deed_id: UUID) -> Deed:
    """Return one deed. NotFoundError when there is none of this id."""
    row = connection.execute(select(deed_table).where(deed_table.c.id == deed_id)).first()
    if row is None:
        raise NotFoundError(f"There is no entry {deed_id} in the history.", "'wearlog history' lists what was entered.")
    return Deed(**row._mapping)
