"""Lives of parts: what was seen of each, from which age to which, and whether it failed; no fitting, no database."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import ArrayLike

from wearlog.errors import DataError
from wearlog.wear.arrays import BoolArray, FloatArray, IntArray, bool_column, dot, fixed, float_column


class CauseGroup(StrEnum):
    """What ended a life, as far as the law of its life cares."""

    WEAR = "wear"  # worn, fatigue, loosened, and unknown: depends on age
    IMPACT = "impact"  # rock or foreign object: does not depend on age
    SECONDARY = "secondary"  # something else broke it: says nothing about this part
    NONE = "none"  # removed as planned, or still running


@dataclass(frozen=True, slots=True, eq=False)
class CauseEvents:
    """One truth array per cause group, True where that group ended the life; every other life is censored for it."""

    wear: BoolArray
    impact: BoolArray
    secondary: BoolArray


@dataclass(frozen=True, slots=True, eq=False)
class Lives:
    """Lives under observation, one row each, ages on the part's own meter.

    Parameters
    ----------
    entry : array of shape (n,)
        Age at which it came under observation: 0 if fitted new, more if tracking began part-way (left truncation).
    exit : array of shape (n,)
        Age at failure, at removal, or now; later than `entry`.
    event : bool array of shape (n,)
        True where the life ended in failure; False where it was still whole (right censoring).
    weight : array of shape (n,)
        How many equal lives the row stands for; above 0.
    last_seen : array of shape (n,), optional
        For failures: the age at which it was last seen whole. The failure lies in (last_seen, exit]; where the two
        are equal the age at failure is known exactly. None: all ages are exact.
    left_out : int
        Lives that could not be used because their age is not known.

    Raises
    ------
    DataError
        Naming the first row that cannot be right.
    """

    entry: FloatArray
    exit: FloatArray
    event: BoolArray
    weight: FloatArray
    last_seen: FloatArray | None = None
    left_out: int = 0

    def __post_init__(self) -> None:
        """Refuse rows that cannot be right, then lock the arrays."""
        # three quick tests for the usual case; the row at fault is looked for only when one of them fails
        if not ((self.exit > self.entry).all() and (self.entry >= 0).all() and (self.weight > 0).all()):
            _refuse_first_bad_row(self.entry, self.exit, self.weight)
        if len(self.exit) and not (self.exit.max() < np.inf and self.weight.max() < np.inf):
            _refuse_first_bad_row(self.entry, self.exit, self.weight)
        for column in (self.entry, self.exit, self.event, self.weight):
            fixed(column)
        if self.last_seen is not None:
            _check_last_seen(self.entry, self.exit, self.last_seen)
            fixed(self.last_seen)

    @classmethod
    def of(
        cls,
        exit_age: ArrayLike,
        event: ArrayLike = True,  # noqa: FBT002 - a column of truth values, not a switch
        *,
        entry: ArrayLike = 0.0,
        weight: ArrayLike = 1.0,
        last_seen: ArrayLike | None = None,
        left_out: int = 0,
    ) -> Lives:
        """Return lives from anything array-like; a single number stands for every row.

        Parameters
        ----------
        exit_age : array_like, shape (n,)
            Age at failure or when last watched, in the units of usage.
        event : array_like of bool, shape (n,)
            True where it failed.
        entry : array_like, shape (n,)
            Age from which it was watched; 0 from new.
        weight : array_like, shape (n,)
            How often the row counts.
        last_seen : array_like, shape (n,)
            Age at which it was last known to be whole.
        left_out : int
            Rows that could not be used, told beside the answer.
        """
        leaving = float_column(exit_age, "exit")
        n = len(leaving)
        seen = None if last_seen is None else float_column(last_seen, "last seen", n)
        return cls(
            float_column(entry, "entry", n),
            leaving,
            bool_column(event, "failed", n),
            float_column(weight, "count", n),
            seen,
            left_out,
        )

    def __len__(self) -> int:
        """Return the number of rows."""
        return len(self.exit)

    @property
    def failures(self) -> float:
        """Failures, each row as often as its weight."""
        return float(self.weight[self.event].sum())

    @property
    def count(self) -> float:
        """Lives, each row as often as its weight."""
        return float(self.weight.sum())

    @property
    def exposure(self) -> float:
        """Usage seen in all: the sum of weight x (exit - entry)."""
        return dot(self.weight, self.exit - self.entry)

    @property
    def between_inspections(self) -> BoolArray:
        """True where a failure is known only to lie between two inspections."""
        if self.last_seen is None:
            return np.zeros(len(self), dtype=bool)
        return self.event & (self.last_seen < self.exit)

    def take(self, rows: BoolArray) -> Lives:
        """Return the lives where `rows` is True; those left out are not carried along.

        Parameters
        ----------
        rows : array of bool, shape (n,)
            Which lives stay.
        """
        seen = None if self.last_seen is None else self.last_seen[rows]
        return Lives(self.entry[rows], self.exit[rows], self.event[rows], self.weight[rows], seen)

    def by_group(self, group: IntArray) -> dict[int, Lives]:
        """Return the lives of each group, by its number; those left out are not carried along.

        Parameters
        ----------
        group : array of int, shape (n,)
            Which lives stand together.
        """
        order = np.argsort(group, kind="stable")
        numbers, starts = np.unique(group[order], return_index=True)
        entry, leaving, event, weight = self.entry[order], self.exit[order], self.event[order], self.weight[order]
        seen = None if self.last_seen is None else self.last_seen[order]
        for column in (entry, leaving, weight, *(() if seen is None else (seen,))):
            fixed(column)
        fixed(event)
        found = {}
        for number, begin, end in zip(
            numbers.tolist(), starts.tolist(), [*starts[1:].tolist(), order.size], strict=True
        ):
            of = slice(begin, end)
            last_seen = None if seen is None else seen[of]
            found[number] = Lives._of_sound(entry[of], leaving[of], event[of], weight[of], last_seen)
        return found

    @classmethod
    def _of_sound(
        cls,
        entry: FloatArray,
        exit_age: FloatArray,
        event: BoolArray,
        weight: FloatArray,
        last_seen: FloatArray | None = None,
    ) -> Lives:
        """Take some rows of lives that were looked through: a hundred farms have thousands of machines, of a few rows each."""
        found = object.__new__(cls)
        columns = (entry, exit_age, event, weight, last_seen, 0)
        for name, column in zip(("entry", "exit", "event", "weight", "last_seen", "left_out"), columns, strict=True):
            object.__setattr__(found, name, column)
        return found

    @classmethod
    def joined(cls, parts: Sequence[Lives]) -> Lives:
        """Return all lives of `parts` in one table; no parts give the empty table.

        Parameters
        ----------
        parts : iterable of Lives
            In the order in which they follow.
        """
        if not parts:
            return cls.of([], [])
        seen = None
        if any(part.last_seen is not None for part in parts):
            seen = np.concatenate([part.exit if part.last_seen is None else part.last_seen for part in parts])
        return cls(
            np.concatenate([part.entry for part in parts]),
            np.concatenate([part.exit for part in parts]),
            np.concatenate([part.event for part in parts]),
            np.concatenate([part.weight for part in parts]),
            seen,
            sum(part.left_out for part in parts),
        )


def events_by_cause(groups: Sequence[CauseGroup]) -> CauseEvents:
    """Return which lives count as failures for each cause group; for the other groups the same life is censored.

    Parameters
    ----------
    groups : sequence of CauseGroup
        What ended each life; NONE for a planned removal or a part still running.

    Notes
    -----
    Competing causes are taken as independent given age: a life ended by a rock says only that wear had not ended it
    by then.
    """
    column = np.array([CauseGroup(group).value for group in groups], dtype="U9")
    return CauseEvents(
        wear=column == CauseGroup.WEAR.value,
        impact=column == CauseGroup.IMPACT.value,
        secondary=column == CauseGroup.SECONDARY.value,
    )


def mended_lives(entry: float, mends: Sequence[float], exit_age: float, *, failed: bool) -> Lives:
    """Return the lives of one fitting that was mended at the ages `mends`: each mend is a failure, and the fitting goes
    on as a life that enters at that age (left truncation does exactly this).

    Parameters
    ----------
    entry : float
        Usage at which the fitting came under watch.
    mends : sequence of float
        (mends,), usage at each mend, rising.
    exit_age : float
        Usage at which the watch ended.
    failed : bool
        Whether it ended in failure.
    """
    stops = [float(age) for age in mends]
    if any(later < earlier for earlier, later in zip([entry, *stops], [*stops, exit_age], strict=True)):
        raise DataError(
            f"The mends of a fitting seen from {entry:g} to {exit_age:g} are not in order of age.",
            "Check the ages at which it was mended.",
        )
    starts, ends = [entry, *stops], [*stops, exit_age]
    # a mend just now leaves nothing to watch after it: that piece has no length and is dropped
    events = [True] * len(stops) + [failed]
    rows = [(start, end, event) for start, end, event in zip(starts, ends, events, strict=True) if end > start or event]
    return Lives.of([row[1] for row in rows], [row[2] for row in rows], entry=[row[0] for row in rows])


def lives_from_columns(
    entry: Sequence[float | None],
    exit_age: Sequence[float | None],
    failed: Sequence[float | bool | None],
    count: Sequence[float | None] | None = None,
    *,
    first_row: int = 1,
    last_seen: Sequence[float | None] | None = None,
) -> Lives:
    """Return lives from the columns of a life table that somebody else has read.

    Parameters
    ----------
    entry, exit_age : sequences of n numbers
        Ages; an unknown entry (None or NaN) leaves the life out and counts it in `left_out`.
    failed : sequence of n values
        1 or True for a failure, 0 or False for a life that had not failed.
    count : sequence of n numbers, optional
        How many equal lives a row stands for; missing means one.
    first_row : int
        What to call the first row in messages: 2 for a table with one heading line.
    last_seen : sequence of n numbers, optional
        For failures the age at which the part was last seen whole, so that it failed between that and its exit; missing
        means that it failed at the very age of its exit. Of lives that had not failed it says nothing.

    Raises
    ------
    DataError
        Naming the first row that cannot be right, as its reader counts rows.

    Examples
    --------
    Three sections broke, one is still on, and of one nobody knows how old it was when the log began:

    >>> lives = lives_from_columns(
    ...     entry=[0, 0, 0, 310, None], exit_age=[412, 655, 700, 880, 900], failed=[1, 1, 0, 1, 1]
    ... )
    >>> lives.exit.tolist(), lives.event.tolist(), lives.left_out
    ([412.0, 655.0, 700.0, 880.0], [True, True, False, True], 1)
    """
    n = len(exit_age)
    columns = {"entry": entry, "exit": exit_age, "failed": failed, "count": [1.0] * n if count is None else count}
    rows = {name: float_column([np.nan if v is None else v for v in c], name, n) for name, c in columns.items()}
    rows["count"][np.isnan(rows["count"])] = 1.0
    for name, bad in (
        ("exit age", np.isnan(rows["exit"])),
        ("failed mark of 0 or 1", (rows["failed"] != 0) & (rows["failed"] != 1)),
    ):
        if bad.any():
            raise DataError(f"Row {np.flatnonzero(bad)[0] + first_row} has no {name}.", "Fill it in or drop the row.")
    known = ~np.isnan(rows["entry"])
    # rows of unknown age pass the checks with harmless numbers and are dropped after
    start, end, weight = (
        np.where(known, rows[name], fill) for name, fill in (("entry", 0.0), ("exit", 1.0), ("count", 1.0))
    )
    if not ((end > start) & (start >= 0) & (weight > 0) & np.isfinite(end) & np.isfinite(weight)).all():
        _refuse_first_bad_row(start, end, weight, first_row)
    left_out = round(float(rows["count"][~known].sum()))
    failed_rows = rows["failed"][known] == 1
    seen = _seen_whole(last_seen, failed_rows, end[known], known)
    return Lives(start[known], end[known], failed_rows, weight[known], seen, left_out=left_out)


def _seen_whole(
    last_seen: Sequence[float | None] | None, failed: BoolArray, leaving: FloatArray, known: BoolArray
) -> FloatArray | None:
    """Return the ages at which failures were last seen whole, those of exact age at their exit; None where all are exact."""
    if last_seen is None or all(value is None for value in last_seen):
        return None
    column = float_column([np.nan if v is None else v for v in last_seen], "last seen", len(known))[known]
    return np.where(np.isnan(column) | ~failed, leaving, column)


def _refuse_first_bad_row(entry: FloatArray, leaving: FloatArray, weight: FloatArray, first_row: int = 1) -> None:
    """Raise the DataError that names the first row with an impossible age or count."""
    for row, (start, end, count) in enumerate(zip(entry, leaving, weight, strict=True), start=first_row):
        if not (np.isfinite(start) and np.isfinite(end) and np.isfinite(count)):
            raise DataError(f"Row {row} holds a number that is missing or endless.", "Correct or drop that life.")
        if end <= 0:
            raise DataError(f"Row {row} ends at age {end:g}; a life must end after age 0.", "Check its meter readings.")
        if start < 0:
            raise DataError(f"Row {row} enters at age {start:g}, below 0.", "Use 0 for a part that was fitted new.")
        if end <= start:
            raise DataError(
                f"Row {row} enters at age {start:g} and ends at {end:g}, not later.",
                "Check the meter when it was fitted and when it came off.",
            )
        if count <= 0:
            raise DataError(f"Row {row} stands for {count:g} lives.", "Give a count of 1 or more, or drop the row.")


def _check_last_seen(entry: FloatArray, leaving: FloatArray, seen: FloatArray) -> None:
    """Refuse an inspection that lies before entry or after exit."""
    bad = ~((seen >= entry) & (seen <= leaving))
    if bad.any():
        row = int(np.flatnonzero(bad)[0])
        raise DataError(
            f"Row {row + 1} was last seen whole at {seen[row]:g}, outside its {entry[row]:g} to {leaving[row]:g}.",
            "Check the age at the last inspection.",
        )
