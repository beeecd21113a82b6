"""The posterior under a prior of two parts: a grid for each part, how much each weighs, and both laid together as one grid.

Each part alone is concave in ln(life), on which the rows of a grid rest; their sum is not.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from wearlog.wear.arrays import FloatArray
from wearlog.wear.lives import Lives
from wearlog.wear.posterior_grid import SHAPE_CELLS, Grid, build_grid
from wearlog.wear.prior import Prior
from wearlog.wear.quadrature import hermite

_FAINT = 1e-13  # a part of less weight is not laid in: its rows would only cost time


def build_parts(lives: Lives, prior: Prior) -> tuple[tuple[Grid, ...], tuple[float, ...]]:
    """Return a grid for each part of the prior and the posterior weight of each.

    Parameters
    ----------
    lives : Lives
        The lives, in the unit of usage of their meter.
    prior : Prior
        What is believed of shape and median life beforehand.

    Notes
    -----
    The weight of a part is in proportion to its prior weight times the integral of likelihood x prior over it.
    """
    priors = prior.parts
    grids = tuple(build_grid(lives, own) for _, own in priors)
    if len(grids) == 1:
        return grids, (1.0,)
    logs = np.array([np.log(share) + grid.log_evidence for (share, _), grid in zip(priors, grids, strict=True)])
    weight = np.exp(logs - logs.max())
    return grids, tuple((weight / weight.sum()).tolist())


def laid_together(grids: Sequence[Grid], weight: Sequence[float]) -> Grid:
    """Return one grid that carries all parts, its rows in the order of their shapes; a part that weighs nothing is left out.

    Parameters
    ----------
    grids : sequence of Grid
        (parts,), a grid for each part of the prior.
    weight : sequence of float
        (parts,), posterior weight of each part, summing to 1.
    """
    kept = [(grid, share) for grid, share in zip(grids, weight, strict=True) if share > _FAINT]
    if len(kept) == 1:
        return kept[0][0]
    parts = [grid for grid, _ in kept]
    shares = np.array([share for _, share in kept]) / sum(share for _, share in kept)
    log_shape = np.concatenate([part.log_shape for part in parts])
    order = np.argsort(log_shape, kind="stable")
    rows = np.concatenate([share * part.row_weight for part, share in zip(parts, shares, strict=True)])
    nodes = np.concatenate([share * part.node_weight for part, share in zip(parts, shares, strict=True)])
    start = min(part.shape_start for part in parts)
    width = max(part.shape_start + part.shape_width for part in parts) - start
    running, density = _shape_law(parts, shares, start, width)
    return Grid(
        log_shape[order],
        rows[order],
        start,
        width,
        running,
        density,
        np.concatenate([part.life_start for part in parts])[order],
        np.concatenate([part.life_width for part in parts])[order],
        np.concatenate([part.life_running for part in parts])[order],
        np.concatenate([part.life_density for part in parts])[order],
        nodes[order],
        float(
            np.logaddexp.reduce([part.log_evidence + np.log(share) for part, share in zip(parts, shares, strict=True)])
        ),
    )


def _shape_law(parts: Sequence[Grid], shares: FloatArray, start: float, width: float) -> tuple[FloatArray, FloatArray]:
    """Return distribution and density of ln(shape) of all parts on even points of one stretch; density per its width."""
    if width == 0:
        return parts[0].shape_running, parts[0].shape_density
    even = start + width * np.linspace(0, 1, SHAPE_CELLS + 1)
    running, density = np.zeros(SHAPE_CELLS + 1), np.zeros(SHAPE_CELLS + 1)
    for part, share in zip(parts, shares, strict=True):
        place = (even - part.shape_start) / part.shape_width * SHAPE_CELLS
        clipped = np.clip(place, 0.0, SHAPE_CELLS)
        cell = np.minimum(clipped.astype(np.int64), SHAPE_CELLS - 1)
        level, per_cell = np.maximum.accumulate(part.shape_running), part.shape_density / SHAPE_CELLS
        value, slope = hermite(clipped - cell, level[cell], level[cell + 1], per_cell[cell], per_cell[cell + 1])
        running += share * value
        density += share * np.where(clipped == place, slope, 0.0) * SHAPE_CELLS * width / part.shape_width
    return running, density
