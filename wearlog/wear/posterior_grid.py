"""The grid that carries the posterior of a Weibull life: where it lies, its density and its weights; answers nothing.

Rows of equal shape come from posterior_rows; here they are laid out, integrated and weighed. Under a prior of two parts each part
has a grid, and both are laid together as one: each part alone is concave in ln(life), on which the rows of a grid rest; their sum
is not.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from wearlog.errors import DataError
from wearlog.wear.arrays import FloatArray
from wearlog.wear.lives import Lives
from wearlog.wear.posterior_rows import DROP, LifeEvidence
from wearlog.wear.prior import Prior
from wearlog.wear.quadrature import hermite, panel, times_table

SHAPE_NODES, SHAPE_CELLS = 48, 256
LIFE_NODES, LIFE_CELLS = 64, 256
_LADDER = 25


@dataclass(frozen=True, slots=True, eq=False)
class Grid:
    """Posterior on rows of equal shape.

    Attributes
    ----------
    log_shape : array of shape (s,)
        Nodes.
    row_weight : array of shape (s,)
        Posterior probability of each row; sums to 1.
    shape_start, shape_width : float
        Stretch of ln(shape) the nodes cover; width 0 for a known shape.
    shape_running, shape_density : arrays of shape (SHAPE_CELLS + 1,)
        Posterior distribution of ln(shape) and its density on even points of that stretch.
    life_start, life_width : arrays of shape (s,)
        Stretch of ln(median life) each row covers.
    life_running, life_density : arrays of shape (s, LIFE_CELLS + 1)
        Distribution of ln(median life) given the shape, and its density, on even points of the row's stretch.
    node_weight : array of shape (s, LIFE_NODES)
        Posterior probability of each node; sums to 1.
    log_evidence : float
        Logarithm of the integral of likelihood x prior, but for factors that priors of other spreads of the life share.
    """

    log_shape: FloatArray
    row_weight: FloatArray
    shape_start: float
    shape_width: float
    shape_running: FloatArray
    shape_density: FloatArray
    life_start: FloatArray
    life_width: FloatArray
    life_running: FloatArray
    life_density: FloatArray
    node_weight: FloatArray
    log_evidence: float

    @property
    def node_log_life(self) -> FloatArray:
        """The ln(median life) of each node, shape (s, LIFE_NODES)."""
        return self.life_start[:, None] + self.life_width[:, None] * panel(LIFE_NODES, LIFE_CELLS).nodes


def build_grid(lives: Lives, prior: Prior) -> Grid:
    """Return the posterior grid.

    Parameters
    ----------
    lives : Lives
        The lives, in the unit of usage of their meter.
    prior : Prior
        What is believed of shape and median life beforehand.

    Raises
    ------
    DataError
        If the prior is flat in the life and no life ended in failure.
    """
    evidence = LifeEvidence(lives, prior)
    if not evidence.has_failure and not prior.knows_life:
        raise DataError(
            "Nothing has failed yet and there is no starting guess, so the life could be anything.",
            "Give a starting guess of the life, or wait for the first failure.",
        )
    if prior.log_shape_sd == 0:
        return _grid_of_rows(evidence, np.array([prior.log_shape_mean]), prior.log_shape_mean, 0.0)
    start, end = _shape_stretch(evidence)
    nodes = start + (end - start) * panel(SHAPE_NODES, SHAPE_CELLS).nodes
    return _grid_of_rows(evidence, nodes, start, end - start)


def _shape_stretch(evidence: LifeEvidence) -> tuple[float, float]:
    """Return the stretch of ln(shape) that holds the posterior: a ladder of shapes, narrowed or moved until it fits.

    A prior that the lives contradict only makes the ladder move further; it never fixes where the posterior may lie.
    """
    prior = evidence.prior
    lowest, highest = math.log(prior.shape_low), math.log(prior.shape_high)
    if math.isfinite(prior.log_shape_sd):
        reach = math.sqrt(2 * DROP) * prior.log_shape_sd
        low, high = max(lowest, prior.log_shape_mean - reach), min(highest, prior.log_shape_mean + reach)
    else:
        low, high = lowest, highest
    for _ in range(60):
        ladder = np.linspace(low, high, _LADDER)
        mass = evidence.rows(ladder).log_mass()
        kept = np.flatnonzero(mass > mass.max() - DROP)
        first, last = int(kept[0]), int(kept[-1])
        # weight at an end: look further out; else keep one rung of room on either side of what weighs anything
        width = high - low
        if first == 0 and low > lowest:
            low = max(lowest, low - width)
        elif last == _LADDER - 1 and high < highest:
            high = min(highest, high + width)
        else:
            low, high = float(ladder[max(first - 1, 0)]), float(ladder[min(last + 1, _LADDER - 1)])
            if high - low > 0.6 * width:
                break
    return low, high


def _grid_of_rows(evidence: LifeEvidence, log_shape: FloatArray, start: float, width: float) -> Grid:
    """Return the grid on given shapes, every row on its own stretch of ln(median life)."""
    rows = evidence.rows(log_shape)
    rule = panel(LIFE_NODES, LIFE_CELLS)
    low, high = rows.stretch()
    stretch = high - low
    logs = rows.density(low[:, None] + stretch[:, None] * rule.nodes)
    tops = logs.max(axis=1)
    density = np.exp(logs - tops[:, None])
    mass = density @ rule.weights
    log_mass = tops + np.log(mass * stretch)  # rows differ by hundreds of powers of e: kept as logarithms
    row_density = np.exp(log_mass - log_mass.max())
    shape_rule = panel(SHAPE_NODES, SHAPE_CELLS)
    if width > 0:
        norm = float(row_density @ shape_rule.weights)
        log_evidence = float(log_mass.max()) + math.log(norm * width)
        row_weight = row_density * shape_rule.weights / norm
        shape_running = np.clip(shape_rule.running @ row_density / norm, 0.0, 1.0)
        shape_density = np.maximum(shape_rule.values @ row_density / norm, 0.0)
    else:
        row_weight, shape_running, shape_density = np.ones(1), np.array([0.0, 1.0]), np.zeros(2)
        log_evidence = float(log_mass[0])
    if evidence.prior.knows_life:
        log_evidence -= math.log(evidence.prior.log_life_sd)  # the norm of the prior, which the rows leave out
    return Grid(
        log_shape,
        row_weight,
        start,
        width,
        shape_running,
        shape_density,
        low + evidence.unit,
        stretch,
        np.clip(times_table(density, rule.running) / mass[:, None], 0.0, 1.0),
        np.maximum(times_table(density, rule.values) / mass[:, None], 0.0),
        row_weight[:, None] * density * rule.weights / mass[:, None],
        log_evidence,
    )


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
