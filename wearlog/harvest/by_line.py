"""Searching and summing inside the groups ("lines") of one long sorted array; knows nothing of meters or runs.

A grouped array is sorted by line; `first` has one entry more than there are lines, and line k owns first[k]:first[k + 1].
"""

from __future__ import annotations

from itertools import pairwise
from typing import Final, Literal

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.int64]
Bools = npt.NDArray[np.bool_]

#: so many entries are ranked in the time that the search of one line by itself takes
_ENTRIES_PER_TURN: Final = 32


def first_of_each(line: Ints, count: int) -> Ints:
    """Return `first` (count + 1) for a sorted array of line numbers.

    Parameters
    ----------
    line : array of int
        (n,), number of the line of each row.
    count : int
        Number of lines.
    """
    return np.searchsorted(line, np.arange(count + 1)).astype(np.int64)


def order_by_line_and_time(line: Ints, time: Ints) -> Ints:
    """Return the order by line, then time: by one number for both where it fits, fast for rows that mostly come in order.

    Parameters
    ----------
    line : array of int
        (n,), number of the line of each row.
    time : array of int
        (n,), microseconds.
    """
    if not time.size:
        return np.empty(0, dtype=np.int64)
    earliest, span = int(time.min()), int(time.max()) - int(time.min()) + 1
    lowest, lines = int(line.min()), int(line.max()) - int(line.min()) + 1
    if span * lines >= np.iinfo(np.int64).max:
        return np.lexsort((time, line))
    return np.argsort((line - lowest) * span + (time - earliest), kind="stable")


def sum_per(group: Ints, values: Floats, count: int) -> Floats:
    """Return the sum of the values of each of `count` groups.

    Parameters
    ----------
    group : array of int
        (n,), number of the group of each value.
    values : array
        (n,).
    count : int
        Number of groups.
    """
    return np.bincount(group, weights=values, minlength=count).astype(np.float64, copy=False)


def cumsum_by_line(values: Floats, first: Ints) -> Floats:
    """Return running totals that begin again in each line, so that no line's digits depend on its neighbours.

    Parameters
    ----------
    values : array
        (n,), sorted by line.
    first : array of int
        (lines + 1,), where each line begins, and the end.
    """
    totals = np.empty(values.size)
    bounds = first.tolist()
    for start, stop in pairwise(bounds):
        np.cumsum(values[start:stop], out=totals[start:stop])
    return totals


def sum_before(values: Floats, first: Ints) -> Floats:
    """Return for each entry the total of the entries before it in its own line.

    Parameters
    ----------
    values : array
        (n,), sorted by line.
    first : array of int
        (lines + 1,), where each line begins, and the end.
    """
    shifted = np.zeros(values.size)
    shifted[1:] = values[:-1]
    shifted[first[:-1][first[:-1] < values.size]] = 0.0
    return cumsum_by_line(shifted, first)


def last_before(times: Ints, first: Ints, line: Ints, at: Ints, side: Literal["left", "right"]) -> Ints:
    """Find the last entry of the asked line that is before (side "left") or not after (side "right") the asked time.

    Parameters
    ----------
    times : (n,) int64
        Sorted within each line.
    first : (count + 1,) int64
        Where each line begins in `times`.
    line, at : (m,) int64
        What is asked; any order.
    side : {"left", "right"}
        Whether an entry at the very moment asked is left out or taken.

    Returns
    -------
    (m,) int64
        Index into `times`; `first[line] - 1` where the line has no such entry.
    """
    count = first.size - 1
    # two-byte numbers are sorted by radix, several times faster than eight-byte ones
    order = np.argsort(line.astype(np.uint16) if count <= 65536 else line, kind="stable")
    bounds = np.searchsorted(line[order], np.arange(count + 1))
    asked_lines = np.flatnonzero(np.diff(bounds)).tolist()
    if len(asked_lines) * _ENTRIES_PER_TURN > times.size + at.size:
        return _last_before_by_rank(times, first, line, at, side)
    found = np.empty(at.size, dtype=np.int64)
    for k in asked_lines:
        asked = order[bounds[k] : bounds[k + 1]]
        start = first[k]
        found[asked] = start - 1 + np.searchsorted(times[start : first[k + 1]], at[asked], side=side)
    return found


def _last_before_by_rank(times: Ints, first: Ints, line: Ints, at: Ints, side: Literal["left", "right"]) -> Ints:
    """The same for many short lines in one search: by line and by rank of the time among all times, in one number."""
    known = np.unique(times)
    of_entry = np.repeat(np.arange(first.size - 1), np.diff(first)) * (known.size + 1) + np.searchsorted(known, times)
    return np.searchsorted(of_entry, line * (known.size + 1) + np.searchsorted(known, at, side=side)) - 1


def expand(lows: Ints, highs: Ints) -> tuple[Ints, Ints]:
    """Write out the whole numbers of many ranges: (which range, number), for each from low to high inclusive.

    Parameters
    ----------
    lows : array of int
        (ranges,), first number of each range.
    highs : array of int
        (ranges,), last number of each range.
    """
    counts = np.maximum(highs - lows + 1, 0)
    which = np.repeat(np.arange(lows.size), counts)
    ends = np.cumsum(counts)
    within = np.arange(which.size) - np.repeat(ends - counts, counts)
    return which, lows[which] + within
