"""Looking through a whole log: the file's own checks, every row against its last version, every version against its digest."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Final
from uuid import UUID

from sqlalchemy import Connection, select

from wearlog.facts.bookkeeping import Deed, Version
from wearlog.facts.work import Stoppage
from wearlog.store.content import content_of, digest_of, digest_of_deed, lifted_content
from wearlog.store.finding import find_all
from wearlog.store.heads import VersionNode, standing_heads
from wearlog.store.opening import Store
from wearlog.store.owned_rows import read_facts
from wearlog.store.packing import unpacked
from wearlog.store.schema import TABLE_OF_FACT
from wearlog.store.schema.journal_tables import deed as deed_table
from wearlog.store.schema.journal_tables import version as version_table
from wearlog.store.schema.journal_tables import version_parent
from wearlog.store.schema.types import EPOCH

#: after so many the rest is only counted
MOST_TOLD = 50
#: a stop that is open for longer was probably forgotten
LONG_OPEN: Final = timedelta(days=1)


@dataclass(frozen=True, slots=True)
class LogInspection:
    """What there is, and what is not in order as sentences."""

    rows: int
    versions: int
    deeds: int
    problems: tuple[str, ...]


def inspect_log(store: Store) -> LogInspection:
    """Look through the log in one consistent view; cost is linear in the journal."""
    with store.reading() as connection:
        problems = _file_problems(connection)
        versions, damaged = _versions(connection)
        problems += damaged
        deeds = [Deed(**row) for row in connection.execute(select(deed_table)).mappings()]
        problems += _deed_problems(deeds, versions)
        rows, row_problems = _row_problems(connection, deeds, versions)
        problems += row_problems
    told = problems[:MOST_TOLD]
    if len(problems) > MOST_TOLD:
        told.append(f"and {len(problems) - MOST_TOLD} more")
    return LogInspection(rows, len(versions), len(deeds), tuple(told))


def forgotten_stops(connection: Connection, now: datetime) -> tuple[Stoppage, ...]:
    """Return the stops that have been open for more than a day, oldest first: the file is in order, but each day of them costs."""
    found = [stop for stop in find_all(connection, Stoppage, ended_at=None) if now - stop.started_at > LONG_OPEN]
    return tuple(sorted(found, key=lambda stop: stop.started_at))


def _file_problems(connection: Connection) -> list[str]:
    if connection.dialect.name != "sqlite":
        return []
    found = [row[0] for row in connection.exec_driver_sql("PRAGMA integrity_check(20)") if row[0] != "ok"]
    orphans = connection.exec_driver_sql("PRAGMA foreign_key_check").fetchmany(20)
    return found + [f"a row of {orphan[0]} points at a row of {orphan[2]} that is not there" for orphan in orphans]


def _versions(connection: Connection) -> tuple[list[Version], list[str]]:
    """Return every version that can be read, and what is wrong with the others or with what they say."""
    parents: dict[UUID, list[UUID]] = defaultdict(list)
    for version_id, parent in connection.execute(select(version_parent.c.version_id, version_parent.c.parent_id)):
        parents[version_id].append(parent)
    found, problems = [], []
    for row in connection.execute(select(version_table)).mappings():
        try:
            content = unpacked(row["table_name"], row["content"])
        except ValueError:
            problems.append(f"version {row['id']} of a row of {row['table_name']} cannot be read")
            content = ""
        one = Version(**{**row, "content": content}, parents=tuple(sorted(parents[row["id"]])))
        if content and one.digest != digest_of(one.table_name, one.row_id, one.parents, content, one.revision):
            problems.append(f"version {one.id} of a row of {one.table_name} was altered")
        found.append(one)
    return found, problems


def _deed_problems(deeds: list[Deed], versions: list[Version]) -> list[str]:
    """What was said, when, by whom, and which versions belong to it: all that is under the deed's digest."""
    digests: dict[UUID, list[str]] = defaultdict(list)
    for version in versions:
        digests[version.deed_id].append(version.digest)
    return [f"deed {deed.id} was altered" for deed in deeds if deed.digest != digest_of_deed(deed, digests[deed.id])]


def _row_problems(connection: Connection, deeds: list[Deed], versions: list[Version]) -> tuple[int, list[str]]:
    """Compare each row with what stands of it: what its last version says, after a merge of several the one that is shown."""
    of_row: dict[UUID, list[Version]] = defaultdict(list)
    for version in versions:
        of_row[version.row_id].append(version)
    at = {deed.id: deed.recorded_at for deed in deeds}
    count, problems = 0, []
    for fact_type, table in TABLE_OF_FACT.items():
        for fact in read_facts(connection, fact_type, select(table)):
            count += 1
            its = of_row.pop(fact.id, [])
            if not its:
                problems.append(f"row {fact.id} of {table.name} has no history")
            elif content_of(fact) != _shown(its, at):
                problems.append(f"row {fact.id} of {table.name} is not what its last version says")
    problems += [f"row {row_id} of {its[0].table_name} is missing" for row_id, its in of_row.items()]
    return count, problems


def _shown(versions: list[Version], at: Mapping[UUID, datetime]) -> str:
    """What the row of these versions must say; nothing where they make no sense, which was told already."""
    followed = {parent for version in versions for parent in version.parents}
    heads = [version for version in versions if version.id not in followed]
    if len(heads) == 1:
        return _as_of_today(heads[0])
    nodes = [VersionNode(one.id, one.parents, at.get(one.deed_id, EPOCH), _as_of_today(one)) for one in versions]
    says = {node.id: node.says for node in nodes}
    return next((says[head.version_id] for head in standing_heads(nodes)), "")


def _as_of_today(version: Version) -> str:
    """What a version says in the shape of this program; nothing when it was damaged, which was told already."""
    try:
        return lifted_content(version.table_name, version.content, version.revision)
    except (ValueError, TypeError, KeyError, AttributeError):
        return ""
