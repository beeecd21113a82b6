"""Repairing a damaged log: all that its journal still says goes into a new file, whose rows and indices are made of that."""

from __future__ import annotations

import os
from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from uuid import UUID

from sqlalchemy import Connection

from wearlog.disk import take_away_if_it_can_be
from wearlog.errors import ConflictError, RefusedError
from wearlog.facts.bookkeeping import Deed, Version
from wearlog.facts.closed_lists import Doing
from wearlog.facts.fact import Fact
from wearlog.store.content import content_of, digest_of, digest_of_deed, fact_of
from wearlog.store.finding import find_many
from wearlog.store.incoming import Incoming, ToldVersion
from wearlog.store.inspection import inspect_log
from wearlog.store.ledger import Entry, record
from wearlog.store.location import Location, free_name
from wearlog.store.opening import Store, create_store
from wearlog.store.readable import readable_deeds, readable_facts, readable_versions
from wearlog.store.restoring import change_counter, restore
from wearlog.store.schema import TABLE_OF_FACT
from wearlog.store.taking_back import pointers
from wearlog.store.union import take_in, unite


@dataclass(frozen=True, slots=True)
class Repaired:
    """What became of a damaged log.

    Attributes
    ----------
    entries, entries_lost : int
        Deeds that are whole, and those that are not (their rows are kept as they lay, where they can be read).
    rows, rows_as_they_lay : int
        Rows in the repaired log, and those of them that no whole entry tells of.
    kept : Path or None
        Where the damaged log is kept, when the repaired one took its place: nothing was lost.
    beside : Path or None
        The repaired log, when something was lost: it lies beside and nothing was replaced.
    """

    entries: int
    entries_lost: int
    rows: int
    rows_as_they_lay: int
    kept: Path | None
    beside: Path | None


def repair(store: Store) -> Repaired:
    """Build a sound log out of what a damaged one holds; put it in its place where nothing was lost, else leave it beside.

    The store is closed. What was dropped can come back by a merge with another laptop.

    Raises
    ------
    RefusedError
        When the log is on a server, or nothing in it can be read.
    """
    file = store.location.file
    if file is None:
        raise RefusedError("This log is on a server.", "Whoever keeps the server goes back to a backup of it.")
    file = Path(os.path.realpath(file))
    # before anything is read: what is saved while this works must not go aside with the old file
    counter = change_counter(file)
    with store.reading() as connection:
        whole, lost = _whole_deeds(connection)
        rows = [fact for fact_type in TABLE_OF_FACT for fact in readable_facts(connection, fact_type)[0]]
    store.close()
    if not whole and not rows:
        raise RefusedError(f"Nothing in {file} can be read.", "'wearlog restore' lists the copies there are.")
    target, laid = free_name(file, "repaired"), 0

    def fill(connection: Connection) -> None:
        nonlocal laid
        laid = _fill(connection, whole, rows, device=store.device, lost=bool(lost))

    fresh = create_store(Location(file=target), fill)
    try:
        found = inspect_log(fresh)
    finally:
        fresh.close()
    if found.problems:
        raise ConflictError(
            f"The repaired log {target} is not in order either: {found.problems[0]}.",
            "'wearlog restore' lists the copies there are.",
        )
    # something is missing, and which of the two files is worth more only a person can say
    if lost or laid:
        return Repaired(len(whole), lost, found.rows, laid, kept=None, beside=target)
    kept = restore(file, target, unchanged_since=counter)
    take_away_if_it_can_be(target)
    return Repaired(len(whole), 0, found.rows, 0, kept=kept, beside=None)


def _fill(connection: Connection, whole: Sequence[Incoming], rows: Sequence[Fact], *, device: str, lost: bool) -> int:
    """Write the whole deeds and, beside them, rows as they lay; return how many such rows."""
    take_in(connection, unite(connection, whole))
    told = {UUID(version.row_id) for one in whole for version in one.versions}
    # a row that the journal tells of wholly is what the journal says; one that lost a version is what lay there
    laid = [fact for fact in rows if fact.id not in told or lost]
    entries = _fitting(connection, _differing(connection, laid))
    if entries:
        record(
            connection, device=device, said=f"kept {len(entries)} rows as they lay in a damaged file", entries=entries
        )
    return len(entries)


def _whole_deeds(connection: Connection) -> tuple[list[Incoming], int]:
    """Return the deeds of which everything is there and unaltered, and how many are not."""
    deeds, unread_deeds = readable_deeds(connection)
    versions, unread = readable_versions(connection)
    of_deed: dict[UUID, list[Version]] = defaultdict(list)
    for version in versions:
        of_deed[version.deed_id].append(version)
    known_deeds: set[UUID] = set()
    known: dict[UUID, datetime] = {}
    whole = []
    for deed in sorted(deeds, key=lambda one: (one.recorded_at, one.id)):
        its = sorted(of_deed[deed.id], key=lambda one: one.id)
        facts = _facts_of(deed, its)
        follows = all(parent in known for version in its for parent in version.parents)
        if facts is not None and follows and (deed.undoes_deed_id is None or deed.undoes_deed_id in known_deeds):
            known_deeds.add(deed.id)
            known.update((version.id, deed.recorded_at) for version in its)
            whole.append(Incoming(deed, tuple(map(ToldVersion.of, its, facts))))
    strays = {version.deed_id for version in versions} - {deed.id for deed in deeds}
    lost = len(deeds) - len(whole) + max(len(unread_deeds), len(strays))
    return whole, lost or (1 if unread else 0)


def _facts_of(deed: Deed, versions: Sequence[Version]) -> tuple[Fact, ...] | None:
    """What the versions of a deed say; nothing when one is missing or anything was altered."""
    try:
        if not versions or deed.digest != digest_of_deed(deed, (version.digest for version in versions)):
            return None
        for one in versions:
            if one.digest != digest_of(one.table_name, one.row_id, one.parents, one.content, one.revision):
                return None
        return tuple(fact_of(one.table_name, one.content, one.revision) for one in versions)
    except (ConflictError, ValueError, TypeError):
        return None


def _differing(connection: Connection, rows: Iterable[Fact]) -> list[Entry]:
    """What is to be entered so that these rows stand as they lay."""
    by_type: dict[type[Fact], list[Fact]] = defaultdict(list)
    for fact in rows:
        by_type[type(fact)].append(fact)
    entries = []
    for fact_type, facts in by_type.items():
        there = {one.id: one for one in find_many(connection, fact_type, [one.id for one in facts], voided_too=True)}
        for fact in facts:
            try:
                content_of(fact)
            except (ValueError, TypeError, AttributeError):
                continue
            if there.get(fact.id) != fact:
                entries.append(Entry(fact, Doing.EDITED if fact.id in there else Doing.ENTERED))
    return entries


def _fitting(connection: Connection, entries: list[Entry]) -> list[Entry]:
    """Leave out, until none is left, rows that point at what is not there."""
    types = {table: fact_type for fact_type, table in TABLE_OF_FACT.items()}
    while True:
        coming = {entry.fact.id for entry in entries}
        named: dict[type[Fact], set[UUID]] = defaultdict(set)
        for entry in entries:
            for table, row_id in pointers(entry.fact):
                named[types[table]].add(row_id)
        there = {
            one.id
            for fact_type, ids in named.items()
            for one in find_many(connection, fact_type, ids - coming, voided_too=True)
        }
        # what is left out may have been pointed at itself, so it is looked at again until nothing goes
        left = [one for one in entries if all(row_id in there | coming for _, row_id in pointers(one.fact))]
        if len(left) == len(entries):
            return left
        entries = left
