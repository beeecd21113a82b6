"""Reading the journal: the history of deeds, the versions of a row, and taking a deed back."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Any
from uuid import UUID

from sqlalchemy import Connection, Exists, Table, and_, exists, func, literal, not_, select

from wearlog.errors import ConflictError, NotFoundError, RefusedError
from wearlog.facts.bookkeeping import Deed, Version
from wearlog.facts.closed_lists import Doing
from wearlog.facts.fact import Fact
from wearlog.store.content import fact_of
from wearlog.store.ledger import Entry, head_ids, record
from wearlog.store.owned_rows import batched_ids
from wearlog.store.packing import unpacked
from wearlog.store.schema import TABLE_OF_FACT, Owned, owned_by, table_of
from wearlog.store.schema.journal_tables import deed as deed_table
from wearlog.store.schema.journal_tables import version as version_table
from wearlog.store.schema.journal_tables import version_parent
from wearlog.store.schema.types import Flag


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
    def said(self) -> str:
        return self.deed.said

    @property
    def undoes_deed_id(self) -> UUID | None:
        return self.deed.undoes_deed_id


def deed_lines(connection: Connection, *, limit: int, before: Any = None, row_id: UUID | None = None) -> list[DeedLine]:
    """Return deeds, latest first; `before` (an instant) pages back, `row_id` keeps those that touched one row."""
    rows = select(func.count()).where(version_table.c.deed_id == deed_table.c.id).scalar_subquery()
    query = select(deed_table, rows.label("rows"), is_undone().label("undone")).order_by(
        deed_table.c.recorded_at.desc()
    )
    if before is not None:
        query = query.where(deed_table.c.recorded_at < before)
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
    return fact_of(table_name, _content(table_name, stored), revision)


def _content(table_name: str, stored: bytes) -> str:
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
        Version(**{**row, "content": _content(row["table_name"], row["content"])}, parents=parents.get(row["id"], ()))
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


def journal_end(connection: Connection) -> UUID | None:
    """Return the latest deed of all, which changes with every write; None in an empty journal. One look at an index."""
    query = select(deed_table.c.id).order_by(deed_table.c.recorded_at.desc()).limit(1)
    found: UUID | None = connection.execute(query).scalar()
    return found


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
        .order_by(deed_table.c.recorded_at.desc())
        .limit(1)
    )
    row = connection.execute(query).first()
    if row is None:
        raise NotFoundError("There is nothing to undo.", "'wearlog history' lists what was entered.")
    return Deed(**row._mapping)


def first_deed_id(connection: Connection) -> UUID | None:
    """Return the id of the first deed of the journal; None when there is none. Ids are in the order of time."""
    return connection.execute(select(deed_table.c.id).order_by(deed_table.c.id).limit(1)).scalar()


def deed_by_id(connection: Connection, deed_id: UUID) -> Deed:
    """Return one deed. NotFoundError when there is none of this id."""
    row = connection.execute(select(deed_table).where(deed_table.c.id == deed_id)).first()
    if row is None:
        raise NotFoundError(f"There is no entry {deed_id} in the history.", "'wearlog history' lists what was entered.")
    return Deed(**row._mapping)


def take_back(connection: Connection, *, device: str, deed: Deed) -> Deed:
    """Undo a deed: each of its rows gets a version with the content it had before.

    Raises
    ------
    RefusedError
        When it was taken back before, something that still counts rests on a row it entered, or a row that would come back
        rests on one that went away since.
    ConflictError
        When one of its rows was changed since.
    """
    refuse_if_undone(connection, deed)
    versions = versions_of_deed(connection, deed.id)
    _refuse_if_changed_since(connection, versions)
    entries = [Entry(_content_before(connection, version), Doing.UNDONE) for version in versions]
    refuse_if_rested_on(connection, [entry.fact for entry in entries if entry.fact.voided])
    _refuse_if_ground_is_gone(connection, versions, entries)
    return record(connection, device=device, said=f"undid: {deed.said}", entries=entries, undoes=deed.id)


def refuse_if_undone(connection: Connection, deed: Deed) -> None:
    """Refuse a deed that was taken back before, or that brought one back."""
    if deed.undoes_deed_id is not None:
        brought_back = deed_by_id(connection, deed.undoes_deed_id)
        if brought_back.undoes_deed_id is not None:
            raise RefusedError("This brought an entry back.", "Undo that entry itself.")
    if connection.execute(select(deed_table.c.id).where(deed_table.c.id == deed.id, is_undone())).first() is not None:
        raise RefusedError(f"'{deed.said}' was undone before.", "'wearlog history' shows by what.")


def _refuse_if_changed_since(connection: Connection, versions: Sequence[Version]) -> None:
    heads = head_ids(connection, (version.row_id for version in versions))
    for version in versions:
        head = heads[version.row_id]
        if head == (version.id,) or (len(head) == 1 and _stands_again(connection, head[0], version)):
            continue
        newer = versions_of_row(connection, version.row_id)[-1]
        later = deed_by_id(connection, newer.deed_id)
        raise ConflictError(f"What this entered was changed since by '{later.said}'.", "Undo that first.")


def _stands_again(connection: Connection, head: UUID, version: Version) -> bool:
    """Say whether whatever came after a version was taken back, so that the row is as that version left it."""
    by_id = {one.id: one for one in versions_of_row(connection, version.row_id)}
    by_deed = {one.deed_id: one for one in by_id.values()}
    while head != version.id:
        undone = by_deed.get(deed_by_id(connection, by_id[head].deed_id).undoes_deed_id)  # type: ignore[arg-type]
        if undone is None or len(undone.parents) != 1:
            return False
        head = undone.parents[0]
    return True


def _content_before(connection: Connection, version: Version) -> Fact:
    if not version.parents:
        return replace(_fact(version), voided=True)
    joined = version_table.join(deed_table, version_table.c.deed_id == deed_table.c.id)
    query = (
        select(version_table.c.content, version_table.c.revision)
        .select_from(joined)
        .where(version_table.c.id.in_(version.parents))
        .order_by(deed_table.c.recorded_at.desc(), version_table.c.id.desc())
    )
    content, revision = connection.execute(query.limit(1)).one()
    return fact_of_packed(version.table_name, content, revision)


def _fact(version: Version) -> Fact:
    return fact_of(version.table_name, version.content, version.revision)


def refuse_if_rested_on(connection: Connection, facts: Sequence[Fact]) -> None:
    """Refuse that rows go away while a row that stays points at one of them."""
    going: dict[Table, set[UUID]] = defaultdict(set)
    for fact in facts:
        going[table_of(fact)].add(fact.id)
    gone = {fact.id for fact in facts}
    for fact_type, table in TABLE_OF_FACT.items():
        staying: set[UUID] = set()
        for column in table.columns:
            staying |= set(_rows_pointing(connection, column, _named_by(column, going))) - gone
        for owned in owned_by(fact_type):
            for column in owned.table.columns:
                if column is not owned.owner:
                    named = _named_by(column, going)
                    staying |= set(_owners_pointing(connection, table, owned, column, named)) - gone
        if staying:
            raise RefusedError(f"{len(staying)} later {_kind(fact_type, len(staying))} on this.", "Undo those first.")


def _named_by(column: Any, going: Mapping[Table, set[UUID]]) -> set[UUID]:
    """Those that go away and lie in a table that the column names rows of: the rest it cannot point at."""
    return {row_id for key in column.foreign_keys for row_id in going.get(key.column.table, ())}


def _refuse_if_ground_is_gone(connection: Connection, versions: Sequence[Version], entries: Sequence[Entry]) -> None:
    """A row that comes back must not point at a row that went away since."""
    coming = {entry.fact.id for entry in entries if not entry.fact.voided}
    for version, entry in zip(versions, entries, strict=True):
        now = _fact(version)
        for table, row_id in _pointers(entry.fact) - _pointers(now):
            gone = select(table.c.id).where(table.c.id == row_id, table.c.voided == literal(value=True, type_=Flag()))
            if row_id not in coming and connection.execute(gone).first() is not None:
                name = table.name.replace("_", " ")
                raise RefusedError(f"The {name} that this rests on was taken away since.", "Bring that back first.")


def _pointers(fact: Fact) -> set[tuple[Table, UUID]]:
    """Which rows a fact that counts rests on."""
    if fact.voided:
        return set()
    found = [(key.column.table, getattr(fact, key.parent.name)) for key in table_of(fact).foreign_keys]
    for owned in owned_by(type(fact)):
        for field, column in owned.fields.items():
            keys = owned.table.columns[column].foreign_keys
            found += [(key.column.table, row_id) for key in keys for row_id in getattr(fact, field)]
    return {(table, row_id) for table, row_id in found if row_id is not None}


def _kind(fact_type: type[Any], count: int) -> str:
    name = table_of(fact_type).name.replace("_", " ")
    return f"{name} rests" if count == 1 else f"entries of {name} rest"


def _rows_pointing(connection: Connection, column: Any, targets: set[UUID]) -> Iterator[UUID]:
    table = column.table
    for some in batched_ids(targets):
        query = select(table.c.id).where(column.in_(some), table.c.voided == literal(value=False, type_=Flag()))
        yield from connection.execute(query).scalars()


def _owners_pointing(
    connection: Connection, table: Table, owned: Owned, column: Any, targets: set[UUID]
) -> Iterator[UUID]:
    joined = owned.table.join(table, owned.owner == table.c.id)
    stands = table.c.voided == literal(value=False, type_=Flag())
    for some in batched_ids(targets):
        query = select(table.c.id).select_from(joined).where(column.in_(some), stands)
        yield from connection.execute(query).scalars()
