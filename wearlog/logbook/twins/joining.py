"""Joining two rows that are one thing: all that points at either points at the one that is kept, as one deed that one undo parts.

The row that was entered first is kept, so that two laptops that join the same two do the same. What hangs on both and is called
alike (the meters of a machine, its components, the parts at their positions) is joined along.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from uuid import UUID

from wearlog.errors import RefusedError
from wearlog.facts.bookkeeping import Deed, SameAs
from wearlog.facts.closed_lists import Doing
from wearlog.facts.fact import Fact
from wearlog.facts.machines import Machine
from wearlog.facts.wearing import Breakage, Component, Fitting
from wearlog.ids import derived_id
from wearlog.logbook.twins.joining_facts import (
    NotedChain,
    breakage_on,
    broke_before,
    one_chain,
    refuse_other_place,
    told_twice,
)
from wearlog.logbook.twins.looking import joined_along_by, with_what_it_lacks
from wearlog.store.connection import Connection
from wearlog.store.finding import facts_pointing, find_all, find_many, repointed
from wearlog.store.journal import entered_when
from wearlog.store.ledger import Entry, head_ids, heads_standing, record
from wearlog.store.opening import Store
from wearlog.store.schema import FACT_OF_TABLE, table_of
from wearlog.store.taking_back import pointers


@dataclass(frozen=True, slots=True)
class Joined:
    """What a join does: the row that is kept, how many rows of each table go into others, how many other rows change.

    `deed` is None where it was only looked at.
    """

    kept: Fact
    joined: Counter[str]
    repointed: int
    said: str
    deed: Deed | None = None


def join(store: Store, first: Fact, second: Fact, called: str, *, dry_run: bool = False) -> Joined:
    """Make one of two rows.

    Parameters
    ----------
    called : str
        What the thing is called in the sentence of the history.
    dry_run : bool
        Reckon all of it and write nothing.

    Raises
    ------
    RefusedError
        When they are of two sorts, one of them was taken back, or they cannot be one.
    """
    _refuse_unlike(first, second)
    with store.reading() if dry_run else store.writing() as connection:
        when = entered_when(connection, [first.id, second.id])
        kept, twin = sorted((first, second), key=lambda one: when[one.id])
        work = Joining(connection)
        work.join([(kept, twin)])
        what = table_of(kept).name.replace("_", " ")
        said = f"joined two entries of the {what} {called} into one" if called else f"joined two of {what} into one"
        return _written(store, connection, work, kept, said, dry_run=dry_run)


def join_again(store: Store) -> Joined | None:
    """Bring along what came in later and points at a row that was joined; None when there is nothing."""
    with store.writing() as connection:
        pairs = came_later(connection)
        if not pairs:
            return None
        work = Joining(connection)
        work.join(pairs)
        return _written(store, connection, work, pairs[0][0], "brought along what came in for joined entries")


def keep_apart(store: Store, first: Fact, second: Fact, called: str) -> Deed:
    """Say once for all that two rows that look like one are two."""
    _refuse_unlike(first, second)
    with store.writing() as connection:
        when = entered_when(connection, [first.id, second.id])
        kept, twin = sorted((first.id, second.id), key=lambda one: when[one])
        same = _same_as(table_of(first).name, twin, kept)
        entries = _same_entries(connection, [replace(same, voided=True)])
        if not entries:
            raise RefusedError("They are kept apart already.", "'wearlog join' with both numbers makes one of them.")
        return record(
            connection, device=store.device, person=store.person, said=f"{called} are two things", entries=entries
        )


def came_later(connection: Connection) -> list[tuple[Fact, Fact]]:
    """Return (kept, twin) of what was joined and is pointed at again, or counts again: entries that came in since."""
    of_table: dict[str, dict[UUID, UUID]] = defaultdict(dict)
    for same in find_all(connection, SameAs):
        of_table[same.table_name][same.row_id] = same.kept_row_id
    pairs: list[tuple[Fact, Fact]] = []
    # a component goes before its fittings: those of one position are put together as a chain
    for table in (table for table in FACT_OF_TABLE if table in of_table):
        into = of_table[table]
        rows = find_many(connection, FACT_OF_TABLE[table], {*into, *into.values()}, voided_too=True)
        by_id = {row.id: row for row in rows}
        pointed = _pointed_at(connection, table, set(into))
        for twin_id in into:
            twin, kept = by_id.get(twin_id), by_id.get(_end_of(into, twin_id))
            if twin and kept and not kept.voided and (not twin.voided or twin.id in pointed):
                pairs.append((kept, twin))
    return pairs


def _end_of(into: Mapping[UUID, UUID], row_id: UUID) -> UUID:
    """What a row went into in the end: one may have gone into one that went into a third."""
    seen: set[UUID] = set()
    while row_id in into and row_id not in seen:
        seen.add(row_id)
        row_id = into[row_id]
    return row_id


def _pointed_at(connection: Connection, table: str, ids: set[UUID]) -> set[UUID]:
    pointing = facts_pointing(connection, table, ids)
    return {row_id for fact in pointing for target, row_id in pointers(fact) if target.name == table} & ids


def _refuse_unlike(first: Fact, second: Fact) -> None:
    if first.id == second.id:
        raise RefusedError("That is one entry, named twice.", "'wearlog twins' lists what looks entered twice.")
    if type(first) is not type(second):
        one, other = (table_of(fact).name.replace("_", " ") for fact in (first, second))
        raise RefusedError(f"A {one} and a {other} are not one thing.", "Name two entries of one sheet.")
    if first.voided or second.voided:
        raise RefusedError("One of the two was taken back before.", "'wearlog history' shows by what.")
    if isinstance(first, Machine) and isinstance(second, Machine) and first.kind is not second.kind:
        raise RefusedError(f"A {first.kind} and a {second.kind} are two machines.", "Give one of them another name.")
    if isinstance(first, Component) and isinstance(second, Component) and first.part_kind_id != second.part_kind_id:
        raise RefusedError("The two components hold other kinds of part.", "Join the kinds first, or change one.")
    if isinstance(first, Breakage) and isinstance(second, Breakage):
        refuse_other_place(first, second)


class Joining:
    """What a join makes of the log, row by row, before anything is written.

    Attributes
    ----------
    was, now : dict of UUID to Fact
        The rows that it looked at, as they stand and as they shall stand.
    into : dict of UUID to UUID
        Row that goes -> row that is kept.
    settles : set of UUID
        Fittings that both sides ended: what is reckoned of both holds for both.
    """

    def __init__(self, connection: Connection) -> None:
        self._connection = connection
        self.was: dict[UUID, Fact] = {}
        self.now: dict[UUID, Fact] = {}
        self.into: dict[UUID, UUID] = {}
        self.settles: set[UUID] = set()

    def join(self, pairs: Iterable[tuple[Fact, Fact]]) -> None:
        """Make one of each pair (kept, twin), and of what hangs on both."""
        waiting = list(pairs)
        while waiting:
            kept, twin = (self._taken(one) for one in waiting.pop(0))
            if kept.id == twin.id or twin.id in self.into:
                continue
            self.into[twin.id] = kept.id
            self.now[twin.id] = replace(twin, voided=True)
            # what hangs on both and is called alike is one thing now as well, down to the last fitting
            waiting += self._moved_over(kept, twin)
            self.now[kept.id] = repointed(with_what_it_lacks(self.now[kept.id], twin), self.into)

    def entries(self) -> list[Entry]:
        """Return what is to be written: rows that differ, and which row counts as which."""
        apart = self._apart()
        changed = [fact for row_id, fact in self.now.items() if fact != self.was[row_id] or row_id in apart]
        entries = [Entry(fact, self._doing(fact, apart)) for fact in changed]
        same = [_same_as(table_of(self.was[twin]).name, twin, kept) for twin, kept in self.into.items()]
        return [*entries, *_same_entries(self._connection, same)]

    def _apart(self) -> set[UUID]:
        """Which rows that go, and fittings put together, two laptops changed apart: the join settles these alone."""
        ids = [row_id for row_id in (*self.into, *self.settles) if row_id in self.was]
        standing = heads_standing(self._connection, head_ids(self._connection, ids))
        return {row_id for row_id, heads in standing.items() if len(heads) > 1}

    def _doing(self, fact: Fact, apart: set[UUID]) -> Doing:
        if fact.id in apart:
            return Doing.SETTLED
        return Doing.VOIDED if fact.voided and not self.was[fact.id].voided else Doing.EDITED

    def _taken(self, fact: Fact) -> Fact:
        """The row as it shall stand by now; what another went into in its place."""
        row_id = fact.id
        while row_id in self.into and self.into[row_id] != row_id:
            row_id = self.into[row_id]
        if row_id == fact.id:
            self.was.setdefault(fact.id, fact)
            return self.now.setdefault(fact.id, fact)
        return self.now[row_id]

    def _moved_over(self, kept: Fact, twin: Fact) -> list[tuple[Fact, Fact]]:
        """Let all that points at the twin point at the kept row; return the pairs that are one now as well."""
        table = table_of(kept).name
        beside = [self._taken(one) for one in facts_pointing(self._connection, table, [kept.id])]
        moved = [self._taken(one) for one in facts_pointing(self._connection, table, [twin.id])]
        along = self._told_twice(kept, twin)
        for fact in moved:
            if not self.now[fact.id].voided:
                self.now[fact.id] = repointed(self.now[fact.id], {twin.id: kept.id})
        if isinstance(kept, Component):
            self._chained(beside, moved)
        by_words = {words: one for one in beside if not one.voided and (words := self._words(one)) is not None}
        for fact in moved:
            words = self._words(fact)
            if words in by_words and not self.now[fact.id].voided and type(by_words[words]) is type(fact):
                along.append((by_words[words], fact))
        return along

    def _words(self, fact: Fact) -> tuple[object, ...] | None:
        words = joined_along_by(self.now[fact.id])
        return None if words is None else (type(fact), *words)

    def _told_twice(self, kept: Fact, twin: Fact) -> list[tuple[Fact, Fact]]:
        if not isinstance(kept, Breakage) or not isinstance(twin, Breakage):
            return []
        along = told_twice(self._connection, kept, twin)
        self.now[kept.id] = broke_before(kept, twin)
        for fact in (*along.changed, *along.gone):
            self.was.setdefault(fact.id, self._stored(fact))
        self.settles |= {fact.id for fact in along.changed}
        self.now.update((fact.id, fact) for fact in along.changed)
        self.now.update((fact.id, replace(fact, voided=True)) for fact in along.gone)
        for one, _ in along.pairs:
            # a fitting that is kept may end otherwise than it stands
            self.was.setdefault(one.id, self._stored(one))
            self.now[one.id] = one
        return along.pairs

    def _stored(self, fact: Fact) -> Fact:
        return find_many(self._connection, type(fact), [fact.id], voided_too=True)[0]

    def _chained(self, beside: Sequence[Fact], moved: Sequence[Fact]) -> None:
        """Put the parts of each position together, and let breakages name what is then there."""
        theirs = [self.now[one.id] for one in moved]
        mine = [self.now[one.id] for one in beside]
        chains: dict[int, NotedChain] = {}
        for position in sorted({one.position for one in theirs if isinstance(one, Fitting)}):
            chain = one_chain(_at(mine, position), _at(theirs, position))
            chains[position] = chain
            self.into |= chain.joined
            self.settles |= {one.id for one in chain.fittings}
            self.now.update((one.id, one) for one in chain.fittings)
            self.now.update((one, replace(self.now[one], voided=True)) for one in chain.joined)
        for breakage in (*mine, *theirs):
            if isinstance(breakage, Breakage):
                self.now[breakage.id] = breakage_on(breakage, chains)


def _at(rows: Iterable[Fact], position: int) -> list[Fitting]:
    return [one for one in rows if isinstance(one, Fitting) and one.position == position and not one.voided]


def _same_as(table_name: str, twin: UUID, kept: UUID) -> SameAs:
    return SameAs(id=derived_id("same_as", str(twin), str(kept)), table_name=table_name, row_id=twin, kept_row_id=kept)


def _same_entries(connection: Connection, rows: Sequence[SameAs]) -> list[Entry]:
    """A pair that was joined before, and parted, is joined again in the row that it has."""
    there = {one.id: one for one in find_many(connection, SameAs, [row.id for row in rows], voided_too=True)}
    fresh = [Entry(row) for row in rows if row.id not in there]
    return [*fresh, *(Entry(row, Doing.EDITED) for row in rows if row.id in there and there[row.id] != row)]


def _written(
    store: Store, connection: Connection, work: Joining, kept: Fact, said: str, *, dry_run: bool = False
) -> Joined:
    entries = work.entries()
    gone = {twin for twin in work.into if not work.was[twin].voided}
    joined = Counter(table_of(work.was[twin]).name for twin in gone)
    others = sum(1 for one in entries if not isinstance(one.fact, SameAs) and one.fact.id not in work.into)
    if dry_run:
        return Joined(work.now[kept.id], joined, others, said)
    deed = record(connection, device=store.device, person=store.person, said=said, entries=entries)
    return Joined(work.now[kept.id], joined, others, said, deed)
