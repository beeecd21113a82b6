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
from wearlog.wear.arrays import FloatArray, IntArray
from wearlog.wear.lives import Lives
from wearlog.wear.posterior_rows import DROP, LifeEvidence, Rows
from wearlog.wear.prior import Prior
from wearlog.wear.quadrature import hermite, panel, times_table

SHAPE_NODES, SHAPE_CELLS = 48, 256
LIFE_NODES, LIFE_CELLS = 64, 256
_LADDER = 25
#: so many grids are built at once: their rows share the calls, and stay in the cache
_AT_ONCE = 16


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


def _built(asked: Sequence[LifeEvidence]) -> list[Grid]:
    """Return a grid for each: those without failures between inspections and with a shape to learn in stacks, others alone."""
    for one in asked:
        if not one.has_failure and not one.prior.knows_life:
            raise DataError(
                "Nothing has failed yet and there is no starting guess, so the life could be anything.",
                "Give a starting guess of the life, or wait for the first failure.",
            )
    together = [place for place, one in enumerate(asked) if one.prior.log_shape_sd != 0 and not len(one.between_weight)]
    stacks = [together[begin : begin + _AT_ONCE] for begin in range(0, len(together), _AT_ONCE)]
    stacks += [[place] for place in range(len(asked)) if place not in together]
    found: dict[int, Grid] = {}
    for stack in stacks:
        found |= zip(stack, _grids([asked[place] for place in stack]), strict=True)
    return [found[place] for place in range(len(asked))]


def _grids(stack: Sequence[LifeEvidence]) -> list[Grid]:
    """Return the grids of evidences whose shapes are all to be learned, or of one."""
    if stack[0].prior.log_shape_sd == 0:
        known = np.array([stack[0].prior.log_shape_mean])
        return _grids_of_rows(stack, known[:, None], known, np.zeros(1))
    start, end = _shape_stretches(stack)
    nodes = start[:, None] + (end - start)[:, None] * panel(SHAPE_NODES, SHAPE_CELLS).nodes
    return _grids_of_rows(stack, nodes, start, end - start)


def _shape_stretches(stack: Sequence[LifeEvidence]) -> tuple[FloatArray, FloatArray]:
    """Return the stretches of ln(shape) that hold the posteriors: ladders of shapes, narrowed or moved until they fit.

    A prior that the lives contradict only makes its ladder move further; it never fixes where the posterior may lie.
    """
    low, high, limits = np.empty(len(stack)), np.empty(len(stack)), []
    for place, prior in enumerate(one.prior for one in stack):
        lowest, highest = math.log(prior.shape_low), math.log(prior.shape_high)
        limits.append((lowest, highest))
        low[place], high[place] = lowest, highest
        if math.isfinite(prior.log_shape_sd):
            reach = math.sqrt(2 * DROP) * prior.log_shape_sd
            low[place] = max(lowest, prior.log_shape_mean - reach)
            high[place] = min(highest, prior.log_shape_mean + reach)
    moving = list(range(len(stack)))
    for _ in range(60):
        ladders = np.linspace(low[moving], high[moving], _LADDER).T
        mass = Rows([stack[place] for place in moving], ladders).log_mass()
        weighs = mass > mass.max(axis=1, keepdims=True) - DROP
        firsts, lasts = weighs.argmax(axis=1).tolist(), (_LADDER - 1 - weighs[:, ::-1].argmax(axis=1)).tolist()
        still = []
        for place, ladder, first, last in zip(moving, ladders, firsts, lasts, strict=True):
            (lowest, highest), begin, end = limits[place], float(low[place]), float(high[place])
            # weight at an end: look further out; else keep one rung of room on either side of what weighs anything
            width = end - begin
            if first == 0 and begin > lowest:
                low[place] = max(lowest, begin - width)
            elif last == _LADDER - 1 and end < highest:
                high[place] = min(highest, end + width)
            else:
                low[place], high[place] = ladder[max(first - 1, 0)], ladder[min(last + 1, _LADDER - 1)]
                if high[place] - low[place] > 0.6 * width:
                    continue
            still.append(place)
        moving = still
        if not moving:
            break
    return low, high


def _grids_of_rows(
    stack: Sequence[LifeEvidence], log_shape: FloatArray, start: FloatArray, width: FloatArray
) -> list[Grid]:
    """Return the grids on given shapes (p, s), every row on its own stretch of ln(median life)."""
    rows = Rows(stack, log_shape)
    rule = panel(LIFE_NODES, LIFE_CELLS)
    low, high = rows.stretch()
    stretch = high - low
    logs = rows.density(low[:, None] + stretch[:, None] * rule.nodes)
    tops = logs.max(axis=1)
    logs -= tops[:, None]
    density = np.exp(logs, out=logs)
    by_part = density.reshape(*log_shape.shape, LIFE_NODES)
    mass = by_part @ rule.weights
    # rows differ by hundreds of powers of e: kept as logarithms
    log_mass = tops.reshape(mass.shape) + np.log(mass * stretch.reshape(mass.shape))
    running, values = times_table(density, rule.running), times_table(density, rule.values)
    running /= mass.reshape(-1, 1)
    values /= mass.reshape(-1, 1)
    np.clip(running, 0.0, 1.0, out=running)
    np.maximum(values, 0.0, out=values)
    found = []
    for place, one in enumerate(stack):
        of = slice(place * log_shape.shape[1], (place + 1) * log_shape.shape[1])
        row_weight, shape_law, log_evidence = _shape_weights(log_mass[place], float(width[place]))
        if one.prior.knows_life:
            log_evidence -= math.log(one.prior.log_life_sd)  # the norm of the prior, which the rows leave out
        found.append(
            Grid(
                log_shape[place],
                row_weight,
                float(start[place]),
                float(width[place]),
                *shape_law,
                low[of] + one.unit,
                stretch[of],
                # of their own: what is kept of one kind shall not keep the tables of all
                running[of].copy(),
                values[of].copy(),
                row_weight[:, None] * by_part[place] * rule.weights / mass[place][:, None],
                log_evidence,
            )
        )
    return found


def _shape_weights(log_mass: FloatArray, width: float) -> tuple[FloatArray, tuple[FloatArray, FloatArray], float]:
    """Return the weight of each row, distribution and density of ln(shape), and ln of the integral over all."""
    if not width > 0:
        return np.ones(1), (np.array([0.0, 1.0]), np.zeros(2)), float(log_mass[0])
    shape_rule = panel(SHAPE_NODES, SHAPE_CELLS)
    row_density = np.exp(log_mass - log_mass.max())
    norm = float(row_density @ shape_rule.weights)
    shape_running = np.clip(shape_rule.running @ row_density / norm, 0.0, 1.0)
    shape_density = np.maximum(shape_rule.values @ row_density / norm, 0.0)
    log_evidence = float(log_mass.max()) + math.log(norm * width)
    return row_density * shape_rule.weights / norm, (shape_running, shape_density), log_evidence


_FAINT = 1e-13  # a part of less weight is not laid in: its rows would only cost time


def build_parts(lives: Lives, prior: Prior) -> tuple[tuple[Grid, ...], tuple[float, ...]]:
    """Return a grid for each part of the prior and the posterior weight of each.

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

    Notes
    -----
    The weight of a part is in proportion to its prior weight times the integral of likelihood x prior over it.
    """
    return parts_of_each([(lives, prior)])[0]


def parts_of_each(
    asked: Sequence[tuple[Lives, Prior]],
) -> list[tuple[tuple[Grid, ...], tuple[float, ...]]]:
    """Return the same for many lives with a prior each, the grids of all in one go.

    Parameters
    ----------
    asked : sequence of (Lives, Prior)
        One for each kind.
    """
    each = [prior.parts for _, prior in asked]
    plain = [LifeEvidence(lives, priors[0][1]) for (lives, _), priors in zip(asked, each, strict=True)]
    stack = [one.under(own) for one, priors in zip(plain, each, strict=True) for _, own in priors]
    built = iter(_built(stack))
    return [_weighed([share for share, _ in priors], [next(built) for _ in priors]) for priors in each]


def _weighed(shares: Sequence[float], grids: Sequence[Grid]) -> tuple[tuple[Grid, ...], tuple[float, ...]]:
    if len(grids) == 1:
        return tuple(grids), (1.0,)
    logs = np.array([np.log(share) + grid.log_evidence for share, grid in zip(shares, grids, strict=True)])
    weight = np.exp(logs - logs.max())
    return tuple(grids), tuple((weight / weight.sum()).tolist())


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
    place = np.empty(log_shape.size, dtype=np.int64)
    place[np.argsort(log_shape, kind="stable")] = np.arange(log_shape.size)
    start = min(part.shape_start for part in parts)
    width = max(part.shape_start + part.shape_width for part in parts) - start
    running, density = _shape_law(parts, shares, start, width)
    return Grid(
        _in_order([part.log_shape for part in parts], place),
        _in_order([share * part.row_weight for part, share in zip(parts, shares, strict=True)], place),
        start,
        width,
        running,
        density,
        _in_order([part.life_start for part in parts], place),
        _in_order([part.life_width for part in parts], place),
        _in_order([part.life_running for part in parts], place),
        _in_order([part.life_density for part in parts], place),
        _in_order([share * part.node_weight for part, share in zip(parts, shares, strict=True)], place),
        float(
            np.logaddexp.reduce([part.log_evidence + np.log(share) for part, share in zip(parts, shares, strict=True)])
        ),
    )


def _in_order(columns: Sequence[FloatArray], place: IntArray) -> FloatArray:
    """Return the rows of all parts in one table, each at its place."""
    found, begin = np.empty((place.size, *columns[0].shape[1:])), 0
    for one in columns:
        found[place[begin : begin + len(one)]] = one
        begin += len(one)
    return found


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
