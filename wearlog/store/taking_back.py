"""Taking a deed back: its rows get what they said before, unless something was changed or built upon since."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Any
from uuid import UUID

from sqlalchemy import Connection, Table, literal, select

from wearlog.errors import ConflictError, RefusedError
from wearlog.facts.bookkeeping import Deed, Version
from wearlog.facts.closed_lists import Doing
from wearlog.facts.fact import Fact
from wearlog.store.content import fact_of
from wearlog.store.finding import batched_ids
from wearlog.store.journal import (
    contents_of,
    deed_by_id,
    deed_of_version,
    is_undone,
    versions_of_deed,
    versions_of_row,
)
from wearlog.store.ledger import Entry, ancestry, head_ids, heads_standing, record, standing_heads, stored_nodes
from wearlog.store.schema import TABLE_OF_FACT, Owned, owned_by, table_of
from wearlog.store.schema.journal_tables import deed as deed_table
from wearlog.store.schema.types import Flag


def take_back(connection: Connection, *, device: str, deed: Deed, person: str = "") -> Deed:
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
    _refuse_if_changed_since(connection, versions, device)
    entries = [Entry(_content_before(connection, version), Doing.UNDONE) for version in versions]
    refuse_if_rested_on(connection, [entry.fact for entry in entries if entry.fact.voided])
    _refuse_if_ground_is_gone(connection, versions, entries)
    said = f"undid: {deed.said}"
    return record(connection, device=device, person=person, said=said, entries=entries, undoes=deed.id)


def refuse_if_undone(connection: Connection, deed: Deed) -> None:
    """Refuse a deed that was taken back before, or that brought one back."""
    if deed.undoes_deed_id is not None:
        brought_back = deed_by_id(connection, deed.undoes_deed_id)
        if brought_back.undoes_deed_id is not None:
            raise RefusedError("This brought an entry back.", "Undo that entry itself.")
    if connection.execute(select(deed_table.c.id).where(deed_table.c.id == deed.id, is_undone())).first() is not None:
        raise RefusedError(f"'{deed.said}' was undone before.", "'wearlog history' shows by what.")


def _refuse_if_changed_since(connection: Connection, versions: Sequence[Version], device: str) -> None:
    heads = head_ids(connection, (version.row_id for version in versions))
    standing = heads_standing(connection, heads)
    for version in versions:
        sides = [one.version_ids for one in standing.get(version.row_id, ())] or [heads[version.row_id]]
        if len(sides) == 1 and (version.id in sides[0] or _stands_again(connection, sides[0], version)):
            continue
        others = [one for one in sides if version.id not in one]
        later = deed_of_version(connection, others[0][-1])
        where = "" if later.device == device else f" on '{later.device}'"
        if len(sides) > 1:
            raise ConflictError(
                f"What this entered was changed apart by '{later.said}'{where}.", "'wearlog settle' shows both sides."
            )
        raise ConflictError(f"What this entered was changed since by '{later.said}'{where}.", "Undo that first.")


def _stands_again(connection: Connection, heads: Iterable[UUID], version: Version) -> bool:
    """Say whether whatever came after a version was taken back, so that the row is as that version left it."""
    by_id = {one.id: one for one in versions_of_row(connection, version.row_id)}
    by_deed = {one.deed_id: one for one in by_id.values()}
    waiting = list(heads)
    while waiting:
        undone = by_deed.get(deed_of_version(connection, waiting.pop()).undoes_deed_id)  # type: ignore[arg-type]
        # all versions that an undone one followed say the same, unless it settled what differed
        if undone is not None and undone.doing is not Doing.SETTLED:
            if version.id in undone.parents:
                return True
            waiting += undone.parents
    return False


def _content_before(connection: Connection, version: Version) -> Fact:
    if not version.parents:
        # nothing was before it. The row stays, marked: another laptop may have built on it already
        return replace(_fact(version), voided=True)
    before = version.parents[0]
    if len(version.parents) > 1:
        # it settled what differed: taken back, the row shows again what was shown before it was settled
        nodes = stored_nodes(connection, [version.row_id])[version.row_id]
        before = standing_heads(ancestry(nodes, version.parents))[0].version_id
    return contents_of(connection, [before])[before]


def _fact(version: Version) -> Fact:
    return fact_of(version.table_name, version.content, version.revision)


def refuse_if_rested_on(connection: Connection, facts: Sequence[Fact], rewritten: Iterable[UUID] = ()) -> None:
    """Refuse that rows go away while a row that stays points at one of them; `rewritten` ones are about to point elsewhere."""
    going: dict[Table, set[UUID]] = defaultdict(set)
    for fact in facts:
        going[table_of(fact)].add(fact.id)
    gone = {fact.id for fact in facts} | set(rewritten)
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
        for table, row_id in _counting(entry.fact) - _counting(now):
            gone = select(table.c.id).where(table.c.id == row_id, table.c.voided == literal(value=True, type_=Flag()))
            if row_id not in coming and connection.execute(gone).first() is not None:
                name = table.name.replace("_", " ")
                raise RefusedError(f"The {name} that this rests on was taken away since.", "Bring that back first.")


def _counting(fact: Fact) -> set[tuple[Table, UUID]]:
    return set() if fact.voided else pointers(fact)


def pointers(fact: Fact) -> set[tuple[Table, UUID]]:
    """Return which rows a fact names, with their tables."""
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
