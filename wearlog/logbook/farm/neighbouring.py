"""Keeping what other farms saw, forgetting it, and this farm's own number among them."""

from __future__ import annotations

import secrets
from collections import defaultdict
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field

from wearlog.errors import NotFoundError
from wearlog.facts.bookkeeping import Setting
from wearlog.facts.neighbours import (
    OWN_ISSUE,
    OWN_KEYS,
    OWN_NUMBER,
    FarmSums,
    NeighbourLife,
    every_sums,
    is_of_neighbours,
)
from wearlog.logbook.farm.farm_setting import setting_rows
from wearlog.logbook.saving import Done, save
from wearlog.store.connection import Connection
from wearlog.store.finding import find_all
from wearlog.store.opening import Store

Learn = Callable[[Connection, Sequence[FarmSums]], Sequence[NeighbourLife]]


@dataclass(slots=True)
class Kept:
    """What became of the farms of a file.

    Attributes
    ----------
    done : Done or None
        None where nothing new was read.
    farms : list of str
        Numbers of the farms that were taken.
    own : bool
        This farm's own lives were in the file, and passed over.
    older : int
        Farms of which the log has the same issue or a newer one.
    """

    done: Done | None = None
    farms: list[str] = field(default_factory=list)
    own: bool = False
    older: int = 0


def keep_neighbours(store: Store, sums: Iterable[FarmSums], learn: Learn) -> Kept:
    """Keep what other farms saw, each in place of its older issue, and learn the guesses anew, as one deed.

    Parameters
    ----------
    sums : iterable of FarmSums
        Of each farm all its kinds. None at all: only the guesses are learned anew.
    learn : callable
        (connection, sums of all farms) -> the guesses that come of them.
    """
    by_farm: dict[str, list[FarmSums]] = defaultdict(list)
    for one in sums:
        by_farm[one.farm].append(one)
    with store.writing() as connection:
        rows = find_all(connection, Setting)
        own = next((row.content for row in rows if row.key == OWN_NUMBER), "")
        kept_sums = every_sums(rows)
        issues = {one.farm: one.issue for one in kept_sums}
        found = Kept(own=own in by_farm)
        fresh: list[FarmSums] = []
        for farm, told in by_farm.items():
            if farm == own:
                continue
            if issues.get(farm, 0) >= told[0].issue:
                found.older += 1
                continue
            found.farms.append(farm)
            fresh += told
        stay = [one for one in kept_sums if one.farm not in found.farms]
        contents = {one.key: one.content for one in fresh}
        contents |= {one.key: one.content for one in learn(connection, [*stay, *fresh])}
        there = {row.key: row.content for row in rows}
        staying = {one.key for one in stay} | contents.keys()
        gone = [row for row in rows if is_of_neighbours(row.key) and row.key not in staying]
        contents = {key: said for key, said in contents.items() if there.get(key) != said}
        if contents or gone:
            new, changed = setting_rows(connection, contents)
            found.done = save(store, connection, _said(found, fresh), new=new, changed=changed, gone=gone)
        return found


def _said(found: Kept, fresh: Sequence[FarmSums]) -> str:
    if not found.farms:
        return "guesses learned anew from neighbours' lives"
    farms, kinds = len(found.farms), len({one.kind for one in fresh})
    told = f"{farms} {'farm' if farms == 1 else 'farms'}"
    return f"neighbours' lives read: {told}, {kinds} {'kind' if kinds == 1 else 'kinds'} of part"


def forget_neighbours(store: Store) -> Done:
    """Take back all that was read of other farms: the library's guesses count again. NotFoundError where nothing was read."""
    with store.writing() as connection:
        gone = [row for row in find_all(connection, Setting) if is_of_neighbours(row.key)]
        if not gone:
            raise NotFoundError("No neighbours' lives are in the log.", "Read some: wearlog neighbours --read FILE")
        return save(store, connection, "neighbours' lives forgotten", gone=gone)


@dataclass(frozen=True, slots=True)
class OwnNumber:
    """What this farm is called in such files, and the issue of the one it writes next."""

    farm: str
    issue: int


def own_number(connection: Connection) -> OwnNumber:
    """Return what the next file is written under; a number is drawn where the farm has none yet, and saved with `wrote`."""
    said = {row.key: row.content for row in find_all(connection, Setting)}
    return OwnNumber(said.get(OWN_NUMBER) or secrets.token_hex(16), int(said.get(OWN_ISSUE, "0")) + 1)


def wrote(store: Store, own: OwnNumber) -> Done:
    """Note that a file was written under this number, so that the next one counts as newer."""
    with store.writing() as connection:
        new, changed = setting_rows(connection, {OWN_NUMBER: own.farm, OWN_ISSUE: str(own.issue)})
        return save(store, connection, f"lives written for neighbours, issue {own.issue}", new=new, changed=changed)


def throw_number_away(store: Store) -> Done:
    """Take this farm's number away: what it writes next is another farm's to whoever reads it. NotFoundError without one."""
    with store.writing() as connection:
        gone = [row for row in find_all(connection, Setting) if row.key in OWN_KEYS]
        if not gone:
            raise NotFoundError("This farm has no number among neighbours yet.", "It gets one with its first file.")
        return save(store, connection, "own number among neighbours thrown away", gone=gone)
