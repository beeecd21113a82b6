"""The life of a part on one machine, from its own records and those of the others: weighted Weibull laws and what they say."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from wearlog.errors import DataError
from wearlog.wear import law
from wearlog.wear.arrays import FloatArray, IntArray, fixed, stable_order
from wearlog.wear.intervals import Estimate
from wearlog.wear.posterior import Nodes, SurvivalEstimate, interval_tails
from wearlog.wear.posterior_rows import LOG_LN2


@dataclass(frozen=True, slots=True, eq=False, weakref_slot=True)
class OwnLife:
    """Weibull laws of one machine with their weights.

    Attributes
    ----------
    told : Nodes
        The laws as the records tell them, on the usual mix of ground.
    ratio : Estimate
        This machine's life over that of a machine in the middle of the fleet, 80 % interval: 0.67 says it wears them out a
        third sooner.
    failures, lives : float
        Of this machine.
    pace : float
        How fast the mix that its life is asked for wears beside the usual one.
    doubts : tuple of float
        What is not known of that pace, of each thing that is not: sd of ln(pace).
    """

    told: Nodes
    ratio: Estimate
    failures: float
    lives: float
    pace: float = 1.0
    doubts: tuple[float, ...] = ()

    @property
    def nodes(self) -> Nodes:
        """The laws; an average over them is an average over the posterior.

        Laid out whenever they are asked for: each doubt makes three of one, and a hundred farms have thousands of lives.
        """
        if self.pace == 1.0 and not self.doubts:
            return self.told
        shape, scale, weight = self.told.shape, self.told.scale / self.pace, self.told.weight
        for doubt in self.doubts:
            # three points carry mean and spread of a normal law
            apart = math.exp(math.sqrt(3) * doubt)
            scale = np.concatenate([scale / apart, scale, scale * apart])
            shape, weight = np.tile(shape, 3), np.concatenate([weight / 6, weight * 2 / 3, weight / 6])
        for one in (shape, scale, weight):
            fixed(one)
        return Nodes(shape, scale, weight)

    @property
    def log_life(self) -> FloatArray:
        """ln(median life) of each law."""
        return _log_life(self.nodes)

    def median_life(self, level: float = 0.9) -> Estimate:
        """Return the median life on this machine.

        Parameters
        ----------
        level : float
            Chance that the interval holds, between 0 and 1.
        """
        return self.life_at(0.5, level)

    def life_at(self, fraction: float, level: float = 0.9) -> Estimate:
        """Return the age by which `fraction` have failed on this machine.

        Parameters
        ----------
        fraction : float
            Share that has failed by then, between 0 and 1.
        level : float
            Chance that the interval holds, between 0 and 1.
        """
        hazard, nodes = law.log_hazard_at(fraction), self.nodes
        return _estimate(np.exp(np.log(nodes.scale) + hazard / nodes.shape), nodes.weight, level)

    def shape(self, level: float = 0.9) -> Estimate:
        """Return the shape.

        Parameters
        ----------
        level : float
            Chance that the interval holds, between 0 and 1.
        """
        nodes = self.nodes
        return _estimate(nodes.shape, nodes.weight, level)

    def scale(self, level: float = 0.9) -> Estimate:
        """Return the scale.

        Parameters
        ----------
        level : float
            Chance that the interval holds, between 0 and 1.
        """
        nodes = self.nodes
        return _estimate(nodes.scale, nodes.weight, level)

    def survival(self, age: ArrayLike, level: float = 0.9) -> SurvivalEstimate:
        """Return the chance that a new part reaches each age.

        Parameters
        ----------
        age : array of shape (a,)
            Ages in the unit of the lives.
        level : float
            Level of the interval.
        """
        return self.survival_between(np.zeros(np.shape(age)), age, level)

    def survival_between(self, start: ArrayLike, end: ArrayLike, level: float = 0.9) -> SurvivalEstimate:
        """Return the chance that a part whole at age `start` is still whole at age `end` on this machine.

        Parameters
        ----------
        start, end : arrays of shape (a,)
            Ages in the unit of the lives, 0 <= start <= end.
        level : float
            Level of the interval.

        Raises
        ------
        DataError
            If a stretch runs backwards or starts before 0.
        """
        begin, finish = np.broadcast_arrays(np.atleast_1d(np.asarray(start, float)), np.asarray(end, float))
        if not ((begin >= 0) & (finish >= begin) & (finish < np.inf)).all():
            raise DataError("A stretch of ages runs backwards or starts before 0.", "Give the younger age first.")
        nodes, tails = self.nodes, interval_tails(level)
        # a stretch of no length is survived for certain
        rows = np.ones((4, begin.size))
        for place, (young, old) in enumerate(zip(begin.tolist(), finish.tolist(), strict=True)):
            if old > young:
                step = law.cumulative_hazard(np.array([young, old])[:, None], nodes.shape, nodes.scale)
                # by the difference of the hazards: at a great age both survivals are 0 in floating point, and 0 / 0 is no chance
                chance = np.exp(step[0] - step[1])
                rows[:, place] = nodes.weight @ chance, *weighted_quantiles(chance, nodes.weight, tails)
        return SurvivalEstimate(rows[0], rows[2], rows[1], rows[3], level)

    def few_nodes(self, shapes: int = 8, lives: int = 12) -> Nodes:
        """Return about shapes x lives laws that stand for all, for work that grows with them.

        Parameters
        ----------
        shapes : int
            Laws along the shape.
        lives : int
            Laws along the life, for each shape.
        """
        nodes = self.nodes
        life = _log_life(nodes)
        # by shape, and within a shape by life: laws that become one shall be alike in both
        stratum = _strata_of(nodes.shape, nodes.weight, shapes) * lives
        for one in np.unique(stratum):
            mine = stratum == one
            stratum[mine] += _strata_of(life[mine], nodes.weight[mine], lives)
        _, place = np.unique(stratum, return_inverse=True)
        weight = np.bincount(place, nodes.weight)
        shape = np.exp(np.bincount(place, nodes.weight * np.log(nodes.shape)) / weight)
        middle = np.bincount(place, nodes.weight * life) / weight
        return Nodes(shape, np.exp(middle - LOG_LN2 / shape), weight / weight.sum())


def _log_life(nodes: Nodes) -> FloatArray:
    return np.asarray(np.log(nodes.scale) + LOG_LN2 / nodes.shape)


def _estimate(values: FloatArray, weight: FloatArray, level: float) -> Estimate:
    low, median, high = weighted_quantiles(values, weight, interval_tails(level))
    return Estimate(float(median), float(low), float(high), level, float(weight @ values))


def weighted_quantiles(values: FloatArray, weight: FloatArray, tails: FloatArray) -> FloatArray:
    """Return quantiles of a law of points, each of which stands for the stretch about it.

    Parameters
    ----------
    values, weight : arrays of shape (n,)
        Points and their weights, which sum to 1.
    tails : array of shape (q,)
        Probabilities.
    """
    order = stable_order(values)
    running = np.cumsum(weight[order])
    # half of a point's weight lies below it and half above
    return np.asarray(np.interp(tails, running - 0.5 * weight[order], values[order]))


def _strata_of(values: FloatArray, weight: FloatArray, count: int) -> IntArray:
    """Return for each point which of `count` strata of about equal weight it lies in."""
    order = stable_order(values)
    running = np.cumsum(weight[order])
    found = np.empty(len(values), dtype=np.int64)
    found[order] = np.minimum((running - 0.5 * weight[order]) / running[-1] * count, count - 1).astype(np.int64)
    return found
