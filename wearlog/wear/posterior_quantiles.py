"""Quantiles of the posterior of a Weibull life, read off its grid; builds no grid."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from wearlog.wear.arrays import FloatArray, IntArray
from wearlog.wear.posterior_grid import LIFE_CELLS, SHAPE_CELLS, Grid
from wearlog.wear.quadrature import hermite

_STEPS = 80


def shape_quantiles(grid: Grid, probabilities: FloatArray) -> FloatArray:
    """Return the shape below which each probability lies.

    Parameters
    ----------
    grid : Grid
        The posterior grid.
    probabilities : array
        (q,), between 0 and 1.
    """
    if grid.shape_width == 0:
        return np.full(len(probabilities), np.exp(grid.log_shape[0]))
    running = np.maximum.accumulate(grid.shape_running)
    cell = np.clip(np.searchsorted(running, probabilities) - 1, 0, SHAPE_CELLS - 1)
    slope = grid.shape_density / SHAPE_CELLS
    ends = running[cell], running[cell + 1], slope[cell], slope[cell + 1]
    # three numbers or so: one by one they are found sooner than as arrays
    share = np.array(list(map(_share_of_cell, *(one.tolist() for one in ends), probabilities.tolist())))
    return np.asarray(np.exp(grid.shape_start + grid.shape_width * (cell + share) / SHAPE_CELLS))


def _share_of_cell(left: float, right: float, left_slope: float, right_slope: float, wanted: float) -> float:
    """Return where in a cell a distribution reaches a probability, by halving; see `hermite`."""
    rise = right - left
    bend, twist = left_slope - rise, right_slope - rise
    low, high = 0.0, 1.0
    for _ in range(28):  # a cell is at most 0.1 wide in ln(shape): 4e-10
        t = 0.5 * (low + high)
        if left + t * rise + t * (1 - t) * ((1 - t) * bend - t * twist) < wanted:
            low = t
        else:
            high = t
    return 0.5 * (low + high)


def life_quantiles(grid: Grid, offset: FloatArray, factor: FloatArray, probabilities: FloatArray) -> FloatArray:
    """Return quantiles of quantities q that are linear in u = ln(median life) for each shape.

    Parameters
    ----------
    grid : Grid
        The posterior, rows of shape (s,).
    offset, factor : arrays of shape (a, s)
        Quantity a lies below q where u lies below offset + factor x q; factor > 0.
    probabilities : array of shape (p,)
        Which quantiles.

    Returns
    -------
    array of shape (a, p)

    Notes
    -----
    P(quantity <= q) is the sum over rows of row weight x P(u <= offset + factor q | shape). Its root is found by
    Newton's method inside a bracket, for all quantities and probabilities at once.
    """
    heavy = grid.row_weight > 1e-13
    rows = _RowTable(grid, np.flatnonzero(heavy), offset[:, heavy], factor[:, heavy])
    low, high = rows.bracket(probabilities)
    q = 0.5 * (low + high)
    for _ in range(_STEPS):
        value, slope = rows.distribution(q)
        gap = value - probabilities
        low, high = np.where(gap < 0, q, low), np.where(gap < 0, high, q)
        with np.errstate(divide="ignore", invalid="ignore"):
            step = q - gap / slope
        following = np.where((step >= low) & (step <= high), step, 0.5 * (low + high))
        moved = np.abs(following - q)
        q = following
        if (moved <= 1e-11 * (1 + np.abs(q))).all():
            break
    return q


def draw_laws(
    parts: Sequence[Grid], weight: Sequence[float], count: int, rng: np.random.Generator
) -> tuple[FloatArray, FloatArray]:
    """Return ln(shape) and ln(median life) of `count` laws drawn from parts of the posterior with these weights.

    Parameters
    ----------
    parts : sequence of Grid
        (parts,), a grid for each part of the prior.
    weight : sequence of float
        (parts,), posterior weight of each part, summing to 1.
    count : int
        How many.
    rng : Generator
        Where chance comes from.
    """
    if len(parts) == 1:
        return _drawn(parts[0], count, rng)
    shares = rng.multinomial(count, weight)
    drawn = [_drawn(part, int(share), rng) for part, share in zip(parts, shares, strict=True)]
    order = rng.permutation(count)  # so that the first laws are a sample as good as the last
    return np.concatenate([one[0] for one in drawn])[order], np.concatenate([one[1] for one in drawn])[order]


def _drawn(grid: Grid, count: int, rng: np.random.Generator) -> tuple[FloatArray, FloatArray]:
    """Return ln(shape) and ln(median life) of laws drawn from one part.

    The shape is drawn first; the life's quantile at one uniform number is read off the rows on either side of it and
    mixed, which keeps both continuous.
    """
    rows = len(grid.log_shape)
    drawn, level = rng.random(count), rng.random(count)
    if grid.shape_width == 0:
        log_shape = np.full(count, grid.log_shape[0])
    else:
        even = grid.shape_start + grid.shape_width * np.linspace(0, 1, SHAPE_CELLS + 1)
        log_shape = np.interp(drawn, np.maximum.accumulate(grid.shape_running), even)
    place = np.interp(log_shape, grid.log_shape, np.arange(rows))
    before = np.minimum(place.astype(np.int64), rows - 1)
    after = np.minimum(before + 1, rows - 1)
    at_row = np.empty((2, count))
    for row in range(rows):
        even = grid.life_start[row] + grid.life_width[row] * np.linspace(0, 1, LIFE_CELLS + 1)
        running = np.maximum.accumulate(grid.life_running[row])
        for side, wanted in enumerate((before == row, after == row)):
            at_row[side, wanted] = np.interp(level[wanted], running, even)
    share = place - before
    return log_shape, (1 - share) * at_row[0] + share * at_row[1]


class _RowTable:
    """The rows' distribution functions, ready to be read at many places at once."""

    def __init__(self, grid: Grid, kept: IntArray, offset: FloatArray, factor: FloatArray) -> None:
        self.weight = grid.row_weight[kept] / grid.row_weight[kept].sum()
        self.start, self.width = grid.life_start[kept], grid.life_width[kept]
        running = grid.life_running[kept]
        # all rows as one, so that a place is one number
        self.first = np.arange(len(kept)) * running.shape[1]
        self.running, self.density = running.ravel(), grid.life_density[kept].ravel() / LIFE_CELLS
        self.offset, self.factor = offset[:, None, :], factor[:, None, :]  # (a, 1, s)

    def bracket(self, probabilities: FloatArray) -> tuple[FloatArray, FloatArray]:
        """Return q of shape (a, p) surely below and surely above the quantiles."""
        first = ((self.start - self.offset) / self.factor).min(axis=2)
        last = ((self.start + self.width - self.offset) / self.factor).max(axis=2)
        across = np.zeros(len(probabilities))
        return first + across, last + across

    def distribution(self, q: FloatArray) -> tuple[FloatArray, FloatArray]:
        """Return P(quantity <= q) and its density at q, shape (a, p)."""
        place = (self.offset + self.factor * q[:, :, None] - self.start) / self.width * LIFE_CELLS
        clipped = np.minimum(np.maximum(place, 0.0), LIFE_CELLS)
        cell = np.minimum(clipped.astype(np.int64), LIFE_CELLS - 1)
        at = cell + self.first
        after = at + 1
        value, slope = hermite(
            clipped - cell,
            self.running.take(at),
            self.running.take(after),
            self.density.take(at),
            self.density.take(after),
        )
        inside = clipped == place
        return value @ self.weight, np.where(inside, slope, 0.0) * (self.factor / self.width * LIFE_CELLS) @ self.weight
