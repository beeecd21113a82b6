"""Where along a bar stones hit more than they should, when one stone breaks several neighbours: the scan that moves stones."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from wearlog.errors import DataError
from wearlog.wear.arrays import IntArray, float_column
from wearlog.wear.scan import HotWindow, strength_table, strongest

#: sums in another order differ by less: a moved row that ties with the found one counts as just as strong
_ROUND = 1e-9


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
