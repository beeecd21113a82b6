"""Two copies of one log become one: the deeds and versions of both, and each row as what stands of it says.

First `unite` looks at everything and refuses what does not go together; then `take_in` writes. So a person can be told before.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence, Set
from dataclasses import dataclass
from datetime import datetime
from itertools import islice
from typing import Any, Final, TypeAlias
from uuid import UUID

from sqlalchemy import Column, Connection, select
from sqlalchemy.exc import IntegrityError

from wearlog.errors import ConflictError, RefusedError
from wearlog.facts.fact import Fact
from wearlog.progress import counted
from wearlog.store.by_driver import insert_rows
from wearlog.store.content import lifted_content
from wearlog.store.engine import WRITTEN
from wearlog.store.finding import batched_ids
from wearlog.store.incoming import Incoming, ToldVersion, fact_told, write_told_versions
from wearlog.store.journal import contents_of
from wearlog.store.ledger import VersionNode, row_of_deed, standing_heads, stored_nodes, write_rows
from wearlog.store.schema import TABLE_OF_FACT
from wearlog.store.schema.journal_tables import deed as deed_table
from wearlog.store.schema.journal_tables import version as version_table
from wearlog.store.schema.journal_tables import version_parent
from wearlog.store.straight_rows import bytes_of_written, insert_straight
from wearlog.store.telling import straight_table_of

#: a version with the moment at which its deed was recorded
_Coming: TypeAlias = tuple[ToldVersion, datetime]

#: how many ids one query names; SQLite allows 32 766 parameters
_IDS_AT_ONCE: Final = 10_000
_LACKING: Final = "It builds on entries that this log lacks."
_WHOLE: Final = "Nothing was taken. Have the other laptop pack all it has, without --since."
_DAMAGED: Final = "Nothing was taken. Have it packed anew; if that does not help, run 'wearlog check' on both laptops."


@dataclass(frozen=True, slots=True)
class Union:
    """What taking another copy's deeds in would do.

    Attributes
    ----------
    fresh : tuple of Incoming
        The deeds that this log lacks, in the order of time.
    new_rows : tuple of ToldVersion
        What rows will say that are not there yet.
    changed_rows : tuple of Fact
        How rows will stand that are.
    apart : frozenset of str
        Rows of which two sides will differ: both changed them.
    """

    fresh: tuple[Incoming, ...]
    new_rows: tuple[ToldVersion, ...]
    changed_rows: tuple[Fact, ...]
    apart: frozenset[str]

    @property
    def touching(self) -> tuple[Incoming, ...]:
        """The deeds that changed what was changed here too."""
        apart = self.apart
        return tuple(one for one in self.fresh if apart and any(version.row_id in apart for version in one.versions))


@dataclass(frozen=True, slots=True)
class _Stored:
    """A version that is in the log already."""

    table_name: str
    at: datetime
    parents: tuple[str, ...]


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
        write_told_versions(connection, union.fresh)
        straight, told = _straight_and_others(connection, union.new_rows)
        new, changed = _by_type(map(fact_told, told)), _by_type(union.changed_rows)
        # what is pointed at comes first
        for fact_type, table in counted(TABLE_OF_FACT.items(), of=len(TABLE_OF_FACT)):
            write_rows(connection, table, new[fact_type], changed[fact_type])
            its, way = straight.get(table.name), straight_table_of(table.name)
            if its and way:
                insert_straight(connection, way, (one.row_id for one in its), [one.caught for one in its])
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


def _straight_and_others(
    connection: Connection, rows: Iterable[ToldVersion]
) -> tuple[Mapping[str, list[ToldVersion]], Sequence[ToldVersion]]:
    """Part the rows that can be written down as they were told, by table, from those that cannot: on a server none can."""
    straight: dict[str, list[ToldVersion]] = defaultdict(list)
    others: list[ToldVersion] = []
    in_a_file = connection.dialect.name == "sqlite"
    for told in rows:
        (straight[told.table_name] if in_a_file and told.fact is None else others).append(told)
    return straight, others


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


def _stored_versions(connection: Connection, row_ids: Set[str]) -> dict[str, dict[str, _Stored]]:
    """Return the versions of these rows that are in the log: row -> version."""
    found: dict[str, dict[str, _Stored]] = {}
    own = (version_table.c.id, version_table.c.row_id, version_table.c.table_name, deed_table.c.recorded_at)
    query = select(*own).join(deed_table, version_table.c.deed_id == deed_table.c.id)
    follows = select(version_parent.c.version_id, version_parent.c.parent_id).join(
        version_table, version_parent.c.version_id == version_table.c.id
    )
    # of most rows nothing is here
    for some in batched_ids(sorted(_there(connection, version_table.c.row_id, row_ids))):
        here = connection.execute(query.where(version_table.c.row_id.in_(some))).fetchall()
        parents: dict[UUID, list[str]] = defaultdict(list)
        for version_id, parent in connection.execute(follows.where(version_table.c.row_id.in_(some))):
            parents[version_id].append(str(parent))
        for version_id, row_id, table, at in here:
            its = found.setdefault(str(row_id), {})
            its[str(version_id)] = _Stored(table, at, tuple(parents.get(version_id, ())))
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
    connection: Connection, fresh: Sequence[Incoming], stored: Mapping[str, Mapping[str, _Stored]]
) -> None:
    """Each version follows earlier ones of its own row, which are here or come along; so no row's history runs in a circle."""
    table_of_row = {row_id: next(iter(its.values())).table_name for row_id, its in stored.items()}
    ids: set[str] = set()
    for one in fresh:
        for version in one.versions:
            if table_of_row.setdefault(version.row_id, version.table_name) != version.table_name:
                raise RefusedError(f"A row of {version.table_name} is one of another table too.", _DAMAGED)
        if len({version.row_id for version in one.versions}) != len(one.versions):
            raise RefusedError(f"'{one.deed.said}' says two things of one row.", _DAMAGED)
        ids.update([version.id for version in one.versions])
    if len(ids) != sum(len(one.versions) for one in fresh) or _there(connection, version_table.c.id, ids):
        raise RefusedError("A version of an entry is in it twice.", _DAMAGED)
    _look_at_parents(fresh, stored)


def _look_at_parents(fresh: Sequence[Incoming], stored: Mapping[str, Mapping[str, _Stored]]) -> None:
    following = [(one, version) for one in fresh for version in one.versions if version.parents]
    if not following:
        return
    coming = {version.id: (version.row_id, one.deed.recorded_at) for one in fresh for version in one.versions}
    for one, version in following:
        for parent in version.parents:
            row_id, at = coming.get(parent, (None, None))
            if row_id is None and parent in stored.get(version.row_id, {}):
                row_id, at = version.row_id, stored[version.row_id][parent].at
            if row_id is None or at is None:
                raise RefusedError(_LACKING, _WHOLE)
            if row_id != version.row_id or at >= one.deed.recorded_at:
                raise RefusedError(f"'{one.deed.said}' follows what it cannot follow.", _DAMAGED)


def _there(connection: Connection, column: Column[Any], ids: Set[str]) -> set[UUID]:
    """Return which of these ids stand in a column of the versions."""
    if connection.dialect.name == "sqlite":
        return {UUID(bytes=one) for one in _there_in_file(connection, column.name, ids)}
    found: set[UUID] = set()
    for some in batched_ids(map(UUID, ids)):
        found.update(connection.execute(select(column).where(column.in_(some))).scalars())
    return found


def _there_in_file(connection: Connection, name: str, ids: Set[str]) -> Iterator[bytes]:
    """Find them in a file, by the driver: what SQLAlchemy does around each id takes several times what SQLite needs for it."""
    # rows are never taken out of the journal, so their highest number says how many there are
    if (connection.exec_driver_sql("SELECT max(rowid) FROM version").scalar() or 0) < len(ids):
        rows = connection.exec_driver_sql(f"SELECT {name} FROM version")  # noqa: S608 - names of our own table
        yield from (one for (one,) in rows if str(UUID(bytes=one)) in ids)
        return
    wanted = map(bytes_of_written, ids)
    while some := tuple(islice(wanted, _IDS_AT_ONCE)):
        marks = ",".join("?" * len(some))
        query = f"SELECT {name} FROM version WHERE {name} IN ({marks})"  # noqa: S608 - names of our own table
        yield from (one for (one,) in connection.exec_driver_sql(query, some))


def _rows_after(
    connection: Connection, fresh: Sequence[Incoming], stored: Mapping[str, Mapping[str, _Stored]]
) -> Union:
    # nearly every row has one version, and then nothing is to be weighed to know which is shown
    rows: dict[str, ToldVersion] = {}
    weighed = set(stored)
    for one in fresh:
        for told in one.versions:
            if rows.setdefault(told.row_id, told) is not told:
                weighed.add(told.row_id)
    if not weighed:
        return Union(tuple(fresh), tuple(rows.values()), (), frozenset())
    coming: dict[str, list[_Coming]] = defaultdict(list)
    for one in fresh:
        for told in one.versions:
            if told.row_id in weighed:
                coming[told.row_id].append((told, one.deed.recorded_at))
    shown, apart = _shown(connection, coming, stored)
    says = {told.id: told for its in coming.values() for told, _ in its}
    new = (says[shown[row_id]] if row_id in weighed else told for row_id, told in rows.items() if row_id not in stored)
    kept = contents_of(connection, [UUID(shown[row_id]) for row_id in stored if shown[row_id] not in says])
    changed = (shown[row_id] for row_id in rows if row_id in stored)
    facts = (fact_told(says[one]) if one in says else kept[UUID(one)] for one in changed)
    return Union(tuple(fresh), tuple(new), tuple(facts), apart)


def _shown(
    connection: Connection, coming: Mapping[str, Sequence[_Coming]], stored: Mapping[str, Mapping[str, _Stored]]
) -> tuple[dict[str, str], frozenset[str]]:
    """Find which version of each of these rows is shown, and of which rows two sides differ."""
    shown: dict[str, str] = {}
    several: list[str] = []
    for row_id, its in coming.items():
        # most of them have one end, and then no content has to be unpacked
        heads = _unfollowed(its, stored.get(row_id, {}))
        if len(heads) == 1:
            shown[row_id] = heads[0]
        else:
            several.append(row_id)
    apart: list[str] = []
    known = stored_nodes(connection, map(UUID, several))
    for row_id in several:
        nodes = list(known.get(UUID(row_id), ()))
        for told, at in coming[row_id]:
            content = lifted_content(told.table_name, told.content, told.revision)
            nodes.append(VersionNode(UUID(told.id), tuple(map(UUID, told.parents)), at, content))
        found = standing_heads(nodes)
        shown[row_id] = str(found[0].version_id)
        if len(found) > 1:
            apart.append(row_id)
    return shown, frozenset(apart)


def _unfollowed(coming: Sequence[_Coming], stored: Mapping[str, _Stored]) -> list[str]:
    followed = {parent for told, _ in coming for parent in told.parents}
    followed.update(parent for one in stored.values() for parent in one.parents)
    return [one for one in (*stored, *(told.id for told, _ in coming)) if one not in followed]
