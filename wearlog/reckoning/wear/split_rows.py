"""The lives of a kind one by one, with when they had their ages, to be split by the ways in which parts were run."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from wearlog.reckoning.farm.whole_farm import Farm
from wearlog.reckoning.parts.life_records import LifeRecords, joined_rows
from wearlog.store.histories import NONE, Bools, Floats, Ints
from wearlog.wear.lives import Lives
from wearlog.wear.speeds import SplitLives

_WEAR = 1


@dataclass(frozen=True, slots=True, eq=False)
class LifeRows:
    """Lives of known age on a machine, one row each; ages in the unit of the kind's meter.

    Attributes
    ----------
    machine, part, fitted_at, entry_at, exit_at, seen_at : (n,) int64
        Places of the machine and of the part number in the histories (NONE: not noted), and microseconds since 1970.
    used : (n,) float64
        Age when fitted.
    entry, exit, seen : (n,) float64
    failed : (n,) bool
        Worn out.
    left_out : int
    apart : (n,) int64 or None
        Which lives stand together where it is not those of a machine.
    """

    machine: Ints
    part: Ints
    fitted_at: Ints
    entry_at: Ints
    exit_at: Ints
    seen_at: Ints
    used: Floats
    entry: Floats
    exit: Floats
    seen: Floats
    failed: Bools
    left_out: int
    apart: Ints | None = None

    def apart_by_number(self) -> LifeRows:
        """Return the same, but the lives of a machine with one part number stand apart from those with another.

        A number that lives longer than the one before it must not pass for years that grow easier.
        """
        return replace(self, apart=self.machine * (int(self.part.max(initial=0)) + 2) + self.part + 1)

    @property
    def groups(self) -> Ints:
        """Which lives stand together: those of a machine."""
        return self.machine if self.apart is None else self.apart

    @property
    def late(self) -> Ints:
        """Rows that entered at a later age than they were fitted at."""
        return np.flatnonzero(self.entry > self.used)

    @property
    def between(self) -> Ints:
        """Rows that were last seen whole before they ended."""
        return np.flatnonzero(self.seen < self.exit)


def life_rows(farm: Farm, records: LifeRecords, rows: Bools) -> LifeRows:
    """Return the chosen lives, but for those that no age is known of or that lasted no time, as the wear law sees them."""
    fittings = farm.histories.fittings
    mine = np.flatnonzero(rows & ~np.isnan(records.exit) & (records.machine != NONE))
    failed = records.ended_by[mine] == _WEAR
    lived = records.exit[mine] > records.entry[mine]
    left_out = int(rows.sum()) - mine.size + int((failed & ~lived).sum())
    mine, failed = mine[lived], failed[lived]
    fitting = records.fitting[mine]
    return LifeRows(
        records.machine[mine],
        fittings.part[fitting],
        fittings.fitted_at[fitting],
        records.entry_at[mine],
        records.exit_at[mine],
        records.seen_at[mine],
        fittings.age_when_fitted[fitting],
        records.entry[mine],
        records.exit[mine],
        np.minimum(records.last_seen[mine], records.exit[mine]),
        failed,
        left_out,
    )


def split_lives(
    rows: LifeRows, ages: tuple[Floats, Floats, Floats], parts: tuple[Floats, Floats, Floats], way: Ints
) -> tuple[SplitLives, tuple[int, ...]]:
    """Return lives split by ways, equal ones joined, and the machines they were on, by their places in the histories.

    Parameters
    ----------
    ages : three arrays of shape (n,)
        At entry, at exit, and when last seen whole.
    parts : three arrays of shape (n, c)
        What of these was run in each way.
    way : (n,) int64
        In which it ended; NONE for none.
    """
    entry, leaving, seen = ages
    count = parts[0].shape[1]
    ended_in = np.where(rows.failed, way, NONE)
    table = np.vstack([entry, leaving, rows.failed, seen, rows.groups, ended_in, *(one.T for one in parts)])
    distinct, weight = joined_rows(table)
    start, leave, event, whole = distinct[:4]
    numbers, place = np.unique(distinct[4].astype(np.int64), return_inverse=True)
    between = bool((whole < leave)[event == 1].any())
    lives = Lives.of(
        leave, event == 1, entry=start, weight=weight, last_seen=whole if between else None, left_out=rows.left_out
    )
    of_way = distinct[5].astype(np.int64)
    ended = (of_way[:, None] == np.arange(count)).astype(float)
    at_entry, at_exit, at_seen = (distinct[6 + k * count : 6 + (k + 1) * count].T for k in range(3))
    return SplitLives(lives, place.astype(np.int64).ravel(), at_entry, at_exit, at_seen, ended), tuple(numbers.tolist())
