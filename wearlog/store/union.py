"""Two copies of one log become one: the deeds and versions of both, and each row as what stands of it says.

First `unite` looks at everything and refuses what does not go together; then `take_in` writes. So a person can be told before.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any, Final
from uuid import UUID

from sqlalchemy import Column, Connection, select
from sqlalchemy.exc import IntegrityError

from wearlog.errors import ConflictError, RefusedError
from wearlog.facts.bookkeeping import Deed, Version
from wearlog.facts.fact import Fact
from wearlog.store.content import lifted_content
from wearlog.store.engine import WRITTEN
from wearlog.store.finding import batched_ids
from wearlog.store.journal import contents_of
from wearlog.store.ledger import VersionNode, row_of_deed, standing_heads, stored_nodes, write_rows, write_versions
from wearlog.store.plain_insert import insert_rows
from wearlog.store.schema import TABLE_OF_FACT
from wearlog.store.schema.journal_tables import deed as deed_table
from wearlog.store.schema.journal_tables import version as version_table
from wearlog.store.schema.journal_tables import version_parent

_LACKING: Final = "It builds on entries that this log lacks."
_WHOLE: Final = "Nothing was taken. Have the other laptop pack all it has, without --since."
_DAMAGED: Final = "Nothing was taken. Have it packed anew; if that does not help, run 'wearlog check' on both laptops."


@dataclass(frozen=True, slots=True)
class Incoming:
    """A deed of another copy with its versions and, in their order, what these say."""

    deed: Deed
    versions: tuple[Version, ...]
    facts: tuple[Fact, ...]


@dataclass(frozen=True, slots=True)
class Union:
    """What taking another copy's deeds in would do.

    Attributes
    ----------
    fresh : tuple of Incoming
        The deeds that this log lacks, in the order of time.
    new_rows, changed_rows : tuple of Fact
        How rows will stand that are not there yet, and those that are.
    apart : frozenset of UUID
        Rows of which two sides will differ: both changed them.
    """

    fresh: tuple[Incoming, ...]
    new_rows: tuple[Fact, ...]
    changed_rows: tuple[Fact, ...]
    apart: frozenset[UUID]

    @property
    def touching(self) -> tuple[Incoming, ...]:
        """The deeds that changed what was changed here too."""
        return tuple(one for one in self.fresh if any(version.row_id in self.apart for version in one.versions))


@dataclass(frozen=True, slots=True)
class _Stored:
    """A version that is in the log already."""

    table_name: str
    at: datetime
    parents: tuple[UUID, ...]


def unite(connection: Connection, told: Sequence[Incoming]) -> Union:
    """Look at what the deeds of another copy would do to this log; writes nothing.

    Parameters
    ----------
    told : sequence of Incoming
        Each sound by itself: its digests fit, its content is of the types of its table.

    Raises
    ------
    RefusedError
        When something that they build on is not in this log, or they make no history.
    ConflictError
        When a deed is in both and says different things.
    """
    fresh = tuple(sorted(_lacking(connection, told), key=lambda one: (one.deed.recorded_at, one.deed.id)))
    stored = _stored_versions(connection, {version.row_id for one in fresh for version in one.versions})
    _look_at_deeds(connection, fresh)
    _look_at_versions(connection, fresh, stored)
    return _rows_after(connection, fresh, stored)


def take_in(connection: Connection, union: Union) -> None:
    """Write what `unite` found, inside the caller's transaction and before anything else is written in it.

    Raises
    ------
    RefusedError
        When a row does not fit the tables (it points at nothing): the transaction must then be given up.
    """
    if not union.fresh:
        return
    try:
        insert_rows(connection, deed_table, [row_of_deed(one.deed) for one in union.fresh])
        # all of them are one transaction, so any of them tells for the others
        connection.info[WRITTEN] = union.fresh[-1].deed.id
        versions = [version for one in union.fresh for version in one.versions]
        write_versions(connection, versions)
        new, changed = _by_type(union.new_rows), _by_type(union.changed_rows)
        # what is pointed at comes first
        for fact_type, table in TABLE_OF_FACT.items():
            write_rows(connection, table, new[fact_type], changed[fact_type])
    except IntegrityError as error:
        lacking = _points_at_nothing(error)
        raise RefusedError(
            _LACKING if lacking else f"An entry in it does not fit the log ({error.orig}).",
            _WHOLE if lacking else _DAMAGED,
        ) from error


def _points_at_nothing(error: IntegrityError) -> bool:
    """Whether a row names one that is not there, by the driver's code: a server says it in its own language."""
    state, name = (getattr(error.orig, said, None) for said in ("sqlstate", "sqlite_errorname"))
    return state == "23503" or name == "SQLITE_CONSTRAINT_FOREIGNKEY"


def _by_type(facts: Iterable[Fact]) -> Mapping[type[Fact], list[Fact]]:
    found: dict[type[Fact], list[Fact]] = defaultdict(list)
    for fact in facts:
        found[type(fact)].append(fact)
    return found


def known_deeds(connection: Connection, told: Sequence[Incoming]) -> dict[UUID, str]:
    """Return which of another copy's deeds are in this log, each with its digest here."""
    known: dict[UUID, str] = {}
    for some in batched_ids(one.deed.id for one in told):
        query = select(deed_table.c.id, deed_table.c.digest).where(deed_table.c.id.in_(some))
        known.update((deed_id, digest) for deed_id, digest in connection.execute(query))
    return known


def _lacking(connection: Connection, told: Sequence[Incoming]) -> list[Incoming]:
    known = known_deeds(connection, told)
    for one in told:
        if known.get(one.deed.id, one.deed.digest) != one.deed.digest:
            raise ConflictError(
                f"'{one.deed.said}' of '{one.deed.device}' is in this log too and says something else there: one was altered.",
                "Nothing was taken. 'wearlog check' on both laptops names the altered one; 'wearlog restore' mends it.",
            )
    return [one for one in told if one.deed.id not in known]


def _stored_versions(connection: Connection, row_ids: Iterable[UUID]) -> dict[UUID, dict[UUID, _Stored]]:
    """Return the versions of these rows that are in the log: row -> version."""
    found: dict[UUID, dict[UUID, _Stored]] = {}
    own = (version_table.c.id, version_table.c.row_id, version_table.c.table_name, deed_table.c.recorded_at)
    query = select(*own).join(deed_table, version_table.c.deed_id == deed_table.c.id)
    follows = select(version_parent.c.version_id, version_parent.c.parent_id).join(
        version_table, version_parent.c.version_id == version_table.c.id
    )
    # of most rows nothing is here
    for some in batched_ids(sorted(_there(connection, version_table.c.row_id, row_ids))):
        here = connection.execute(query.where(version_table.c.row_id.in_(some))).fetchall()
        parents: dict[UUID, list[UUID]] = defaultdict(list)
        for version_id, parent in connection.execute(follows.where(version_table.c.row_id.in_(some))):
            parents[version_id].append(parent)
        for version_id, row_id, table, at in here:
            found.setdefault(row_id, {})[version_id] = _Stored(table, at, tuple(parents.get(version_id, ())))
    return found


def _look_at_deeds(connection: Connection, fresh: Sequence[Incoming]) -> None:
    """What was taken back is here or comes along, and was recorded before."""
    at: dict[UUID, datetime] = {}
    for one in fresh:
        if at.setdefault(one.deed.id, one.deed.recorded_at) is not one.deed.recorded_at:
            raise RefusedError("An entry is in it twice.", _DAMAGED)
    taken_back = {one.deed.undoes_deed_id for one in fresh if one.deed.undoes_deed_id is not None} - set(at)
    for some in batched_ids(taken_back):
        query = select(deed_table.c.id, deed_table.c.recorded_at).where(deed_table.c.id.in_(some))
        at.update((deed_id, recorded) for deed_id, recorded in connection.execute(query))
    for one in fresh:
        if one.deed.undoes_deed_id is None:
            continue
        if one.deed.undoes_deed_id not in at:
            raise RefusedError(_LACKING, _WHOLE)
        if at[one.deed.undoes_deed_id] >= one.deed.recorded_at:
            raise RefusedError(f"'{one.deed.said}' takes back what was entered later.", _DAMAGED)


def _look_at_versions(
    connection: Connection, fresh: Sequence[Incoming], stored: Mapping[UUID, Mapping[UUID, _Stored]]
) -> None:
    """Each version follows earlier ones of its own row, which are here or come along; so no row's history runs in a circle."""
    coming: dict[UUID, tuple[UUID, datetime]] = {}
    table_of_row = {row_id: next(iter(its.values())).table_name for row_id, its in stored.items()}
    for one in fresh:
        for version in one.versions:
            if coming.setdefault(version.id, (version.row_id, one.deed.recorded_at))[0] != version.row_id:
                raise RefusedError("A version of an entry is in it twice.", _DAMAGED)
            if table_of_row.setdefault(version.row_id, version.table_name) != version.table_name:
                raise RefusedError(f"A row of {version.table_name} is one of another table too.", _DAMAGED)
        if len({version.row_id for version in one.versions}) != len(one.versions):
            raise RefusedError(f"'{one.deed.said}' says two things of one row.", _DAMAGED)
    if len(coming) != sum(len(one.versions) for one in fresh) or _there(connection, version_table.c.id, coming):
        raise RefusedError("A version of an entry is in it twice.", _DAMAGED)
    for one in fresh:
        for version in one.versions:
            for parent in version.parents:
                row_id, at = coming.get(parent, (None, None))
                if row_id is None and parent in stored.get(version.row_id, {}):
                    row_id, at = version.row_id, stored[version.row_id][parent].at
                if row_id is None or at is None:
                    raise RefusedError(_LACKING, _WHOLE)
                if row_id != version.row_id or at >= one.deed.recorded_at:
                    raise RefusedError(f"'{one.deed.said}' follows what it cannot follow.", _DAMAGED)


def _there(connection: Connection, column: Column[Any], ids: Iterable[UUID]) -> set[UUID]:
    """Return which of these ids stand in a column of the versions."""
    found: set[UUID] = set()
    for some in batched_ids(ids):
        if connection.dialect.name == "sqlite":
            # what SQLAlchemy does around each id of such a list takes several times what SQLite needs to look it up
            marks = ",".join("?" * len(some))
            query = f"SELECT {column.name} FROM version WHERE {column.name} IN ({marks})"  # noqa: S608 - names of our own table
            rows = connection.exec_driver_sql(query, tuple(one.int.to_bytes(16) for one in some))
            found.update(UUID(bytes=one) for (one,) in rows)
        else:
            found.update(connection.execute(select(column).where(column.in_(some))).scalars())
    return found


def _rows_after(
    connection: Connection, fresh: Sequence[Incoming], stored: Mapping[UUID, Mapping[UUID, _Stored]]
) -> Union:
    coming: dict[UUID, list[tuple[Version, datetime]]] = defaultdict(list)
    says: dict[UUID, Fact] = {}
    for one in fresh:
        for version, fact in zip(one.versions, one.facts, strict=True):
            coming[version.row_id].append((version, one.deed.recorded_at))
            says[version.id] = fact
    shown: dict[UUID, UUID] = {}
    several: list[UUID] = []
    for row_id, versions in coming.items():
        # nearly every row has one end, and then no content has to be unpacked to know which is shown
        heads = _unfollowed(versions, stored.get(row_id, {}))
        if len(heads) == 1:
            shown[row_id] = heads[0]
        else:
            several.append(row_id)
    apart = _settle_heads(connection, several, coming, shown)
    says.update(contents_of(connection, [version_id for version_id in shown.values() if version_id not in says]))
    new = tuple(says[shown[row_id]] for row_id in coming if row_id not in stored)
    changed = tuple(says[shown[row_id]] for row_id in coming if row_id in stored)
    return Union(tuple(fresh), new, changed, frozenset(apart))


def _unfollowed(versions: Sequence[tuple[Version, Any]], stored: Mapping[UUID, _Stored]) -> list[UUID]:
    if len(versions) == 1 and not stored:
        return [versions[0][0].id]
    followed = {parent for version, _ in versions for parent in version.parents}
    followed.update(parent for one in stored.values() for parent in one.parents)
    return [one for one in (*stored, *(version.id for version, _ in versions)) if one not in followed]


def _settle_heads(
    connection: Connection,
    row_ids: Sequence[UUID],
    coming: Mapping[UUID, Sequence[tuple[Version, datetime]]],
    shown: dict[UUID, UUID],
) -> list[UUID]:
    """Find which version of each of these rows is shown, and return the rows of which two sides differ."""
    apart: list[UUID] = []
    known = stored_nodes(connection, row_ids)
    for row_id in row_ids:
        nodes = list(known.get(row_id, ()))
        for version, at in coming[row_id]:
            content = lifted_content(version.table_name, version.content, version.revision)
            nodes.append(VersionNode(version.id, version.parents, at, content))
        heads = standing_heads(nodes)
        shown[row_id] = heads[0].version_id
        if len(heads) > 1:
            apart.append(row_id)
    return apart
