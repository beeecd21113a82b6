"""Where on the cutterbar breakages bunch: a scan over windows of positions; says where to look, not what is bent.

When one stone breaks several neighbours the scan moves stones whole, not pieces.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike
from scipy.special import xlogy

from wearlog.errors import DataError
from wearlog.wear.arrays import FloatArray, IntArray, float_column

_ROUND = 1e-9


@dataclass(frozen=True, slots=True)
class HotWindow:
    """The window of positions with the strongest excess of breakages.

    Attributes
    ----------
    first, last : int
        Positions, counted from 1, ends included.
    breakages : int
        Breakages inside.
    expected : float
        What an even spread would put there.
    ratio : float
        Breakages per position inside over those outside; infinite if there are none outside.
    p_value : float
        Chance that an even spread shows anywhere a window as strong as this (Monte Carlo, never 0).
    """

    first: int
    last: int
    breakages: int
    expected: float
    ratio: float
    p_value: float


def scan_positions(
    breakages: ArrayLike, rng: np.random.Generator, *, widest: int | None = None, simulations: int = 999
) -> HotWindow:
    """Find the window of neighbouring positions that breaks most beyond an even spread.

    Parameters
    ----------
    breakages : array of shape (positions,)
        Breakages at each position, in order along the bar. One stone that breaks three neighbours is one hit: count
        it once, at its middle, or it passes for a hot spot.
    rng : numpy Generator
        Seeded by the caller, so that the same log gives the same answer.
    widest : int, optional
        Widest window in positions; a third of the bar by default.
    simulations : int
        Even spreads to compare with; the smallest possible p is 1 / (simulations + 1).

    Returns
    -------
    HotWindow

    Raises
    ------
    DataError
        Fewer than 3 positions or fewer than 2 breakages.

    Notes
    -----
    For a window of w of n positions with c of N breakages the strength is Kulldorff's likelihood ratio
    c ln(c/e) + (N - c) ln((N - c)/(N - e)), e = N w / n, counted only where c > e. Its maximum over all windows is
    compared with the maxima of multinomial spreads, so that having looked everywhere is allowed for. Every position is
    taken to have cut the same ground.

    References
    ----------
    M. Kulldorff, A spatial scan statistic, Comm. Statist. Theory Methods 26 (1997) 1481.
    """
    counts = _whole_counts(breakages)
    n, total = len(counts), int(counts.sum())
    if n < 3 or total < 2:
        raise DataError(
            f"{total} breakages over {n} positions are too few to bunch anywhere.",
            "Wait for at least 2 breakages on a bar of 3 or more positions.",
        )
    # beyond a third of the bar a window is no place to look at any more
    widths = np.arange(1, min(n - 1, max(1, n // 3 if widest is None else widest)) + 1)
    strength = strength_table(n, total, widths)
    found, width, first = strongest(counts[None, :], widths, strength)
    spreads = rng.multinomial(total, np.full(n, 1 / n), size=simulations)
    # ties count as "as strong", or equal counts would look rarer than they are
    as_strong = int(np.count_nonzero(strongest(spreads, widths, strength)[0] >= found[0] - _ROUND))
    inside = int(counts[first[0] : first[0] + width[0]].sum())
    outside = total - inside
    ratio = (inside / width[0]) / (outside / (n - width[0])) if outside else np.inf
    return HotWindow(
        int(first[0]) + 1,
        int(first[0] + width[0]),
        inside,
        total * float(width[0]) / n,
        float(ratio),
        (1 + as_strong) / (1 + simulations),
    )


def _whole_counts(breakages: ArrayLike) -> IntArray:
    """Return the counts as whole numbers."""
    column = float_column(breakages, "breakages")
    if not ((column >= 0) & (column == np.round(column))).all():
        raise DataError("Breakages per position must be whole numbers of 0 or more.", "Count hits, not parts of them.")
    return column.astype(np.int64)


def strength_table(n: int, total: int, widths: IntArray) -> FloatArray:
    """Return the strength of c breakages in a window, shape (widths, total + 1).

    Parameters
    ----------
    n : int
        Positions of the bar.
    total : int
        Breakages along all of it.
    widths : array of shape (widths,)
        Widths of the windows, in positions.
    """
    expected = total * widths[:, None] / n
    inside = np.arange(total + 1)[None, :]
    outside = total - inside
    value = xlogy(inside, inside / expected) + xlogy(outside, outside / (total - expected))
    return np.asarray(np.where(inside > expected, value, 0.0))


def strongest(counts: IntArray, widths: IntArray, strength: FloatArray) -> tuple[FloatArray, IntArray, IntArray]:
    """Return strength, width and first position (from 0) of the strongest window in each row of counts.

    Parameters
    ----------
    counts : array of shape (rows, positions)
        Breakages at each position.
    widths : array of shape (widths,)
        Widths of the windows, in positions.
    strength : array of shape (widths, total + 1)
        As `strength_table` gives it.

    Notes
    -----
    The strength grows with the breakages inside, so that only the fullest window of each width need be weighed.
    """
    rows = len(counts)
    running = np.concatenate([np.zeros((rows, 1), dtype=np.int64), np.cumsum(counts, axis=1)], axis=1)
    best, best_width, best_first = np.full(rows, -1.0), np.zeros(rows, dtype=np.int64), np.zeros(rows, dtype=np.int64)
    for width, table in zip(widths.tolist(), strength, strict=True):
        inside = running[:, width:] - running[:, :-width]
        first = inside.argmax(axis=1)
        value = table[inside[np.arange(rows), first]]
        better = value > best + _ROUND
        best = np.where(better, value, best)
        best_width = np.where(better, width, best_width)
        best_first = np.where(better, first, best_first)
    return best, best_width, best_first


#: sums in another order differ by less: a moved row that ties with the found one counts as just as strong


def scan_stones(
    first: ArrayLike,
    last: ArrayLike,
    positions: int,
    rng: np.random.Generator,
    *,
    widest: int | None = None,
    simulations: int = 999,
) -> HotWindow:
    """Find the window of neighbouring positions that stones hit most beyond an even spread of stones.

    Parameters
    ----------
    first, last : array_like of int, shape (stones,)
        First and last position that each stone broke, from 1.
    positions : int
        Positions of the bar.
    rng : numpy Generator
        Seeded by the caller, so that the same log gives the same answer.
    widest : int, optional
        Widest window in positions; a third of the bar by default.
    simulations : int
        Even spreads to compare with.

    Returns
    -------
    HotWindow
        `breakages` and `expected` count stones, each by its middle.

    Raises
    ------
    DataError
        Fewer than 3 positions or 2 stones, or a stone that lies beside the bar.

    Notes
    -----
    Kulldorff's strength as in `scan_positions`. The spreads it is compared with leave every stone as wide as it was and put it
    anywhere along the bar, so that a stone that takes four neighbours is one hit, and ends of the bar, which the middle of a
    wide stone cannot reach, are allowed for.
    """
    begin, end = float_column(first, "first position"), float_column(last, "last position")
    if len(begin) != len(end) or positions < 3 or len(begin) < 2:
        raise DataError(
            f"{len(begin)} stones over {positions} positions are too few to bunch anywhere.",
            "Wait for at least 2 stones on a bar of 3 or more positions.",
        )
    if not ((begin >= 1) & (end >= begin) & (end <= positions)).all():
        raise DataError(f"A stone lies beside a bar of {positions} positions.", "Count positions from 1.")
    low = begin.astype(np.int64) - 1
    width = (end - begin).astype(np.int64) + 1
    widths = np.arange(1, min(positions - 1, max(1, positions // 3 if widest is None else widest)) + 1)
    strength = strength_table(positions, len(low), widths)
    # a stone counts once, at the middle of what it broke: three sections of one stone are no bunch
    counts = np.bincount(low + width // 2, minlength=positions)[None, :]
    found, wide, start = strongest(counts, widths, strength)
    # each stone keeps its width and is moved whole: a wide one has fewer places to begin at
    moved = rng.integers(0, positions - width + 1, size=(simulations, len(low))) + width // 2
    as_strong = int(np.count_nonzero(strongest(_rows(moved, positions), widths, strength)[0] >= found[0] - _ROUND))
    inside = int(counts[0, start[0] : start[0] + wide[0]].sum())
    outside = len(low) - inside
    ratio = (inside / wide[0]) / (outside / (positions - wide[0])) if outside else np.inf
    return HotWindow(
        int(start[0]) + 1,
        int(start[0] + wide[0]),
        inside,
        len(low) * float(wide[0]) / positions,
        float(ratio),
        # the found one is one of the ways it could have come about: a chance of nothing is never claimed
        (1 + as_strong) / (1 + simulations),
    )


def _rows(middles: IntArray, positions: int) -> IntArray:
    """Return the stones at each position for each row of middles."""
    rows = np.arange(len(middles))[:, None] * positions
    flat = np.bincount((rows + middles).ravel(), minlength=len(middles) * positions)
    return flat.reshape(len(middles), positions)
