"""What lives and starting guess together say of a Weibull life: intervals, survival, nodes and draws."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import ArrayLike
from scipy.special import gammaln

from wearlog.errors import DataError
from wearlog.wear import law
from wearlog.wear.arrays import FloatArray, checked_level, fixed
from wearlog.wear.intervals import Estimate
from wearlog.wear.lives import Lives
from wearlog.wear.posterior_grid import Grid, build_parts, laid_together, parts_of_each
from wearlog.wear.posterior_quantiles import draw_laws, life_quantiles, shape_quantiles
from wearlog.wear.posterior_rows import LOG_LN2
from wearlog.wear.prior import Prior

_FAINT = 1e-9  # nodes that together weigh less than this are dropped


@dataclass(frozen=True, slots=True, eq=False)
class Nodes:
    """Weibull laws with weights that sum to 1: an average over them is an average over the posterior.

    Attributes
    ----------
    shape, scale, weight : arrays of shape (k,)
    """

    shape: FloatArray
    scale: FloatArray
    weight: FloatArray

    def survival(self, age: ArrayLike) -> FloatArray:
        """Return the chance that a new part reaches each age, averaged over the posterior.

        Parameters
        ----------
        age : array_like
            Ages in the units of usage of the fit, any shape.
        """
        column = np.asarray(age, float)[..., None]
        return np.asarray(law.survival(column, self.shape, self.scale) @ self.weight)

    def failing_within(self, usage: ArrayLike) -> FloatArray:
        """Return the chance that a part met at a chance moment of its life fails within each usage to come.

        Parameters
        ----------
        usage : array_like, shape (m,)
            Usage to come, in the units of the lives.

        Notes
        -----
        Of positions kept going for long with one part after the other, the part met at a moment chosen without looking
        has an age whose density is R(age) / mean life; it fails within u with chance (integral of R from 0 to u) / mean
        life: about u / mean life, never more than 1. Averaged over the posterior.

        References
        ----------
        D. R. Cox, Renewal Theory, Methuen 1962, sec. 5.2 (residual life in equilibrium).
        """
        column = np.asarray(usage, float)[..., None]
        used = law.life_used_by(column, self.shape, self.scale) / law.mean_life(self.shape, self.scale)
        return np.asarray(used @ self.weight)

    def __len__(self) -> int:
        """Return the number of laws."""
        return len(self.weight)


@dataclass(frozen=True, slots=True, eq=False)
class SurvivalEstimate:
    """Chance to be still whole at the end of a stretch, one row per stretch; interval and median over the posterior.

    Attributes
    ----------
    mean, median, low, high : arrays of shape (a,)
        The mean is the chance to plan with; low and high say how well that chance is known.
    level : float
    """

    mean: FloatArray
    median: FloatArray
    low: FloatArray
    high: FloatArray
    level: float


@dataclass(frozen=True, slots=True, eq=False, weakref_slot=True)
class Posterior:
    """Life of a part kind, as far as its lives and the starting guess tell.

    Attributes
    ----------
    prior : Prior
        The starting guess.
    failures, lives, exposure : float
        What it rests on besides; exposure in the unit of the ages.
    left_out : int
        Lives of unknown age that could not be used.
    grid : Grid
        The posterior itself.
    parts : tuple of Grid
        The posterior under each part of the prior (`Prior.parts`), which `grid` lays together; the guess's own first.
    part_weight : tuple of float
        Posterior weight of each; sums to 1.
    """

    prior: Prior
    failures: float
    lives: float
    exposure: float
    left_out: int
    grid: Grid
    parts: tuple[Grid, ...]
    part_weight: tuple[float, ...]

    def under_widest_part(self) -> Posterior:
        """Return the posterior under the widest part of the prior alone: what the lives say when they are left to speak."""
        widest = self.parts[-1]
        return replace(self, grid=widest, parts=(widest,), part_weight=(1.0,))

    def shape(self, level: float = 0.9) -> Estimate:
        """Return the shape: median, mean and equal-tailed interval.

        Parameters
        ----------
        level : float
            Chance that the interval holds, between 0 and 1.
        """
        low, median, high = shape_quantiles(self.grid, interval_tails(level))
        mean = float(self.grid.row_weight @ np.exp(self.grid.log_shape))
        return Estimate(float(median), float(low), float(high), level, mean)

    def middle(self) -> tuple[float, float]:
        """Return the medians of shape and median life alone, which take less than half the time that their intervals do."""
        half, flat = np.array([0.5]), np.zeros((1, len(self.grid.log_shape)))
        life = np.exp(life_quantiles(self.grid, flat, flat + 1, half)[0])
        return float(shape_quantiles(self.grid, half)[0]), float(life[0])

    def scale(self, level: float = 0.9) -> Estimate:
        """Return the scale, the age by which 63.2 % have failed: median and equal-tailed interval.

        Parameters
        ----------
        level : float
            Chance that the interval holds, between 0 and 1.
        """
        return self.life_at(-math.expm1(-1.0), level)

    def median_life(self, level: float = 0.9) -> Estimate:
        """Return the median life: median and equal-tailed interval.

        Parameters
        ----------
        level : float
            Chance that the interval holds, between 0 and 1.
        """
        return self.life_at(0.5, level)

    def life_at(self, fraction: float, level: float = 0.9) -> Estimate:
        """Return the age by which `fraction` have failed (0.1 gives B10): median and equal-tailed interval.

        Parameters
        ----------
        fraction : float
            Share that has failed by then, between 0 and 1.
        level : float
            Chance that the interval holds, between 0 and 1.
        """
        return self._life((law.log_hazard_at(fraction) - LOG_LN2) * np.exp(-self.grid.log_shape), level)

    def mean_life(self, level: float = 0.9) -> Estimate:
        """Return the mean life: median and equal-tailed interval.

        Parameters
        ----------
        level : float
            Chance that the interval holds, between 0 and 1.
        """
        power = np.exp(-self.grid.log_shape)
        return self._life(gammaln(1 + power) - LOG_LN2 * power, level)

    def survival(self, age: ArrayLike, level: float = 0.9) -> SurvivalEstimate:
        """Return the chance that a new part reaches each age.

        Parameters
        ----------
        age : array_like
            Ages in the units of usage of the fit, any shape.
        level : float
            Chance that the interval holds, between 0 and 1.
        """
        return self.survival_between(0.0, age, level)

    def survival_between(self, start: ArrayLike, end: ArrayLike, level: float = 0.9) -> SurvivalEstimate:
        """Return the chance that a part whole at age `start` is still whole at age `end`.

        Parameters
        ----------
        start, end : numbers or arrays of shape (a,)
            Ages in the unit of the lives, 0 <= start <= end.
        level : float
            Level of the interval.

        Returns
        -------
        SurvivalEstimate
            Rows of shape (a,).

        Raises
        ------
        DataError
            If a stretch runs backwards or starts before 0.

        Notes
        -----
        R(end) / R(start) is averaged over the posterior law by law. The posterior already knows that the part has
        reached its age if its life, censored now, is among the lives.
        """
        begin, finish = np.broadcast_arrays(np.atleast_1d(np.asarray(start, float)), np.asarray(end, float))
        if not ((begin >= 0) & (finish >= begin) & (finish < np.inf)).all():
            raise DataError("A stretch of ages runs backwards or starts before 0.", "Give the younger age first.")
        stretches, place = np.unique(np.stack([begin, finish]), axis=1, return_inverse=True)
        rows = np.stack(self._survival_rows(stretches[0], stretches[1], interval_tails(level)))[:, place.ravel()]
        return SurvivalEstimate(rows[0], rows[2], rows[1], rows[3], level)

    @property
    def nodes(self) -> Nodes:
        """Every law of the grid that weighs anything, with its weight."""
        grid = self.grid
        log_life, weight = grid.node_log_life, grid.node_weight
        heavy = weight > _FAINT / weight.size
        shape = np.broadcast_to(np.exp(grid.log_shape)[:, None], weight.shape)[heavy]
        return _nodes(shape, log_life[heavy], weight[heavy])

    def few_nodes(self, shapes: int = 8, lives: int = 12) -> Nodes:
        """Return shapes x lives laws of about equal weight that stand for the posterior, for work that grows with them.

        Parameters
        ----------
        shapes : int
            Laws along the shape.
        lives : int
            Laws along the life, for each shape.

        Notes
        -----
        The shapes are cut into strata of equal probability, each stratum's lives again; a law stands for its stratum
        by the mean logarithms. The spread of the logarithms comes out 2 to 4 % small with the default.
        """
        grid = self.grid
        heavy = grid.node_weight > _FAINT / grid.node_weight.size
        row = np.nonzero(heavy)[0]
        log_life = grid.node_log_life[heavy]
        order = np.argsort(log_life)
        row, log_life, weight = row[order], log_life[order], grid.node_weight[heavy][order]
        found: list[tuple[FloatArray, FloatArray, FloatArray]] = []
        # each stratum of shapes takes a share of every row's nodes, and cuts them by their lives
        for taken in _strata(grid.row_weight, shapes):
            share = taken / np.maximum(grid.row_weight, 1e-300)
            cut = _strata(weight * share[row], lives)
            total = cut.sum(axis=1)
            found.append((np.exp(cut @ grid.log_shape[row] / total), cut @ log_life / total, total))
        shape, middle, total = (np.concatenate(column) for column in zip(*found, strict=True))
        return _nodes(shape, middle, total)

    def draws(self, count: int, rng: np.random.Generator) -> Nodes:
        """Return `count` laws drawn from the posterior, of equal weight; the same generator, the same laws.

        Parameters
        ----------
        count : int
            How many laws.
        rng : numpy.random.Generator
            Where chance comes from.
        """
        log_shape, log_life = draw_laws(self.parts, self.part_weight, count, rng)
        return _nodes(np.exp(log_shape), log_life, np.ones(count))

    def _life(self, offset: FloatArray, level: float) -> Estimate:
        """Return exp(ln(median life) + offset of the shape)."""
        low, median, high = np.exp(
            life_quantiles(self.grid, -offset[None], np.ones((1, len(offset))), interval_tails(level))[0]
        )
        return Estimate(float(median), float(low), float(high), level)

    def _survival_rows(self, start: FloatArray, end: FloatArray, tails: FloatArray) -> tuple[FloatArray, ...]:
        """Return mean, low, median and high of R(end) / R(start) for distinct stretches."""
        grid = self.grid
        b = np.exp(grid.log_shape)
        with np.errstate(divide="ignore", invalid="ignore"):
            log_step = b * np.log(end)[:, None] + np.log(-np.expm1(b * np.log(start / end)[:, None])) + LOG_LN2
        moved = end > start
        log_step = np.where(moved[:, None], log_step, 0.0)
        node_step = np.exp(np.minimum(log_step[:, :, None] - b[:, None] * grid.node_log_life, 700.0))
        mean = np.einsum("ask,sk->a", np.exp(-node_step), grid.node_weight)
        # R <= r where u <= (ln(ln 2 x step) + q) / b with q = -ln(-ln r)
        reduced = life_quantiles(grid, log_step / b, np.broadcast_to(1 / b, log_step.shape), tails)
        ends = np.exp(-np.exp(-reduced))
        return (np.where(moved, mean, 1.0), *(np.where(moved, column, 1.0) for column in ends.T))


def fit_posterior(lives: Lives, prior: Prior) -> Posterior:
    """Return the posterior of a part kind's Weibull life.

    Parameters
    ----------
    lives : Lives
        Any mixture of exact, censored, late-entered and interval lives; may be empty if the prior knows the life.
    prior : Prior
        `starting_guess(life, shape)` or one of its relatives.

    Returns
    -------
    Posterior

    Raises
    ------
    DataError
        If nothing has failed and the prior does not know the life.

    Notes
    -----
    For each of 48 shapes the law of ln(median life) is integrated on 64 Gauss-Legendre nodes over the stretch where
    it lives, so that prior and lives may disagree by any distance. The cost is linear in the number of lives. A prior
    of two parts takes two such grids, each with the weight that the lives leave it.

    References
    ----------
    A. Gelman et al., Bayesian Data Analysis, 3rd ed., 2013, ch. 3 and 10.
    """
    return _posterior(lives, prior, build_parts(lives, prior))


def fit_posteriors(asked: Sequence[tuple[Lives, Prior]]) -> list[Posterior | None]:
    """Return the posteriors of many kinds, fitted in one go; the same as `fit_posterior` gives each.

    Parameters
    ----------
    asked : sequence of (Lives, Prior)
        One for each kind.

    Returns
    -------
    list of Posterior or None
        None where `fit_posterior` refuses.
    """
    try:
        return [_posterior(*one, parts) for one, parts in zip(asked, parts_of_each(asked), strict=True)]
    except DataError:
        if len(asked) == 1:
            return [None]
        # one of them leaves its life without a bound
        return [found for one in asked for found in fit_posteriors([one])]


def _posterior(lives: Lives, prior: Prior, built: tuple[tuple[Grid, ...], tuple[float, ...]]) -> Posterior:
    parts, weight = built
    grid = laid_together(parts, weight)
    return Posterior(prior, lives.failures, lives.count, lives.exposure, lives.left_out, grid, parts, weight)


def interval_tails(level: float) -> FloatArray:
    """Return the probabilities of low end, median and high end; shape (3,).

    Parameters
    ----------
    level : float
        Chance that the interval holds, between 0 and 1.
    """
    return np.array([0.5 - checked_level(level) / 2, 0.5, 0.5 + level / 2])


def _nodes(shape: FloatArray, log_life: FloatArray, weight: FloatArray) -> Nodes:
    """Return nodes with weights that sum to 1 from shapes and ln(median life)."""
    nodes = Nodes(shape, np.exp(log_life - LOG_LN2 / shape), weight / weight.sum())
    for column in (nodes.shape, nodes.scale, nodes.weight):
        fixed(column)
    return nodes


def _strata(weight: FloatArray, count: int) -> FloatArray:
    """Return how weights (k,), in their order, share out over `count` strata of equal total: (count, k)."""
    upper = np.cumsum(weight)
    edges = np.linspace(0, 1, count + 1) * upper[-1]
    first, last = edges[:-1, None], edges[1:, None]
    return np.asarray(np.maximum(np.minimum(upper, last) - np.maximum(upper - weight, first), 0.0))
