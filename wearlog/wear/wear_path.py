"""Where measured wear goes from here: averaged over the ways it may run, by how well each holds the readings of the part."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import ArrayLike
from scipy.special import stdtr

from wearlog.errors import DataError
from wearlog.wear.arrays import FloatArray, checked_level, fixed
from wearlog.wear.measured import Crossing, wear_of
from wearlog.wear.path_nodes import COURSES, PathNodes, WearCourse, path_nodes

#: before any reading: scatter of about a twentieth of the wear so far, worth one reading
_USUAL_SCATTER, _WORTH_READINGS = 0.05, 1.0
#: share of the room to the limit below which wear is no measure of scatter
_LEAST_WEAR = 0.01
#: the pace of what is still to run may differ by so much (sd) from what the readings say: other ground, other crops; by more
#: where it is not known how far the part has come, and so which part of a bent path the readings are
_PACE_AHEAD, _PACE_AHEAD_OF_UNKNOWN = 0.17, 0.3
#: readings beyond so many are averaged with their neighbours
_MOST_READINGS = 40
#: nodes of less than this share of the best one's weight are left out
_LEAST_WEIGHT = 1e-3
#: rounding must not leave the last of the weights out
_MIDDLE = 0.5 - 1e-9
#: past so many times the readings' reach nothing is known
_FARTHEST = 100.0
_STEPS = np.concatenate(([0.0], np.geomspace(1e-3, _FARTHEST - 1, 40)))
_CLOSER = np.linspace(0.0, 1.0, 12)


@dataclass(frozen=True, slots=True, eq=False)
class _Fit:
    """Least squares of every node, nodes first: what predicts from the n readings by p coefficients.

    `room` is the wear that is the limit, `freedom` that of the t law, `shape` (nodes, n); `inverse` (nodes, n, n) that of the
    covariance of the readings over `variance`, `pull` (nodes, n) the residuals under it; `design` (nodes, n, p) and
    `spread` (nodes, p, p), the covariance of the `coefficients` (nodes, p) over `variance`.
    """

    room: float
    freedom: float
    intercept: bool
    shape: FloatArray
    inverse: FloatArray
    design: FloatArray
    spread: FloatArray
    coefficients: FloatArray
    pull: FloatArray
    variance: FloatArray

    def ahead(self, nodes: PathNodes, x: FloatArray) -> tuple[FloatArray, FloatArray]:
        """Return mean and standard deviation of a reading to come at x (m,): shapes (nodes, m).

        From the last reading on the mean does not fall: nothing wears back, whatever the last readings seem to say.
        """
        shape = nodes.shape_at(np.append(x, 1.0))
        with_readings = nodes.wander(self.shape, shape)
        place = _columns(shape, intercept=self.intercept)
        mean = (place @ self.coefficients[:, :, None])[:, :, 0] + (self.pull[:, None, :] @ with_readings)[:, 0, :]
        weights = self.inverse @ with_readings
        own = 1 + nodes.wander_variance(shape) - (with_readings * weights).sum(axis=1)
        left = place - weights.transpose(0, 2, 1) @ self.design
        doubt = ((left @ self.spread) * left).sum(axis=2)
        pace = (_PACE_AHEAD_OF_UNKNOWN if self.intercept else _PACE_AHEAD) * self.coefficients[:, -1:]
        on = np.maximum(shape - 1, 0.0) * pace
        variance = self.variance[:, None] * np.maximum(own + doubt, 1e-12) + on * on
        mean[:, :-1] = np.where(x > 1, np.maximum(mean[:, :-1], mean[:, -1:]), mean[:, :-1])
        return mean[:, :-1], np.sqrt(variance[:, :-1])


@dataclass(frozen=True, slots=True, eq=False)
class WearPath:
    """What the readings of one part say of its wear to come.

    Attributes
    ----------
    new_value, limit : float
        Of the dimension measured.
    origin, last : float
        Usage from which shapes are counted, and of the last reading.
    within : bool
        The last reading lay within the limit: then the limit is met after it.
    degrees : int
        Readings beyond those that a line needs.
    nodes : PathNodes
        The ways of wear that hold the readings, weighted by how well.
    """

    new_value: float
    limit: float
    origin: float
    last: float
    within: bool
    degrees: int
    nodes: PathNodes
    _fit: _Fit

    @property
    def course_chances(self) -> dict[WearCourse, float]:
        """How likely each way of wear is by prior and readings; they sum to 1."""
        weight = np.bincount(self.nodes.course.astype(np.int64), self.nodes.weight, minlength=len(COURSES))
        return dict(zip(COURSES, weight.tolist(), strict=True))

    @property
    def course(self) -> WearCourse:
        """The likeliest way of wear."""
        chances = self.course_chances
        return max(COURSES, key=lambda one: chances[one])

    def value_at(self, usage: ArrayLike) -> FloatArray:
        """Return the dimension that is expected at each usage (m,), among the readings and beyond: the middle one of the ways.

        Parameters
        ----------
        usage : array_like, shape (m,)
            Usage in the units of the readings.
        """
        mean, _ = self._fit.ahead(self.nodes, self._scaled(np.atleast_1d(np.asarray(usage, float))))
        order = np.argsort(mean, axis=0)
        middle = (np.cumsum(self.nodes.weight[order], axis=0) < _MIDDLE).sum(axis=0)
        wear = np.take_along_axis(mean, order, axis=0)[middle, np.arange(middle.size)]
        return np.asarray(self.new_value + math.copysign(1.0, self.limit - self.new_value) * wear)

    def crossing(self, level: float = 0.9) -> Crossing:
        """Return the usage at which the limit is met: the median and its interval.

        Where the last reading lay within the limit the interval begins there or later. An end is infinite where the readings
        do not say that the limit is met within a hundred times their reach.

        Parameters
        ----------
        level : float
            Chance that the interval holds, between 0 and 1.
        """
        return self.crossings([level])[0]

    def crossings(self, levels: Sequence[float]) -> list[Crossing]:
        """Return the same with intervals of several levels.

        Parameters
        ----------
        levels : sequence of float
            Chances that each interval holds, between 0 and 1.
        """
        usage = (self.last if self.within else max(self.origin, 0.0)) + (self.last - self.origin) * _STEPS
        crossed, found = self._crossed(usage), []
        for level in levels:
            tail = 0.5 - checked_level(level) / 2
            middle, low, high = self._quantiles(usage, crossed, np.array([0.5, tail, 1 - tail]))
            found.append(Crossing(middle, low, high, level))
        return found

    def chance_of_crossing(self, then: ArrayLike) -> FloatArray:
        """Return the chance that the limit is met by each usage; 0 up to the last reading where that lay within it.

        That nobody has looked since does not keep a part within its limit.

        Parameters
        ----------
        then : array_like, shape (m,)
            Usages in the units of the readings, each for itself.
        """
        x = self._scaled(np.asarray(then, float))
        if not self.within:
            return np.asarray(1 - self._still_within(x))
        kept = self._still_within(np.append(np.maximum(x, 1.0), 1.0))
        return np.asarray(np.clip(1 - kept[:-1] / max(float(kept[-1]), 1e-300), 0.0, 1.0))

    def _scaled(self, usage: FloatArray) -> FloatArray:
        return np.maximum((usage - self.origin) / (self.last - self.origin), 0.0)

    def _crossed(self, usage: FloatArray) -> FloatArray:
        """Return the chance that the limit is met by each usage, never falling."""
        return np.asarray(np.maximum.accumulate(self.chance_of_crossing(usage)))

    def _still_within(self, x: FloatArray) -> FloatArray:
        """Return the chance that a reading to come lies within the limit."""
        mean, sd = self._fit.ahead(self.nodes, x)
        steps, chance = _student(self._fit.freedom)
        return np.asarray(self.nodes.weight @ np.interp((self._fit.room - mean) / sd, steps, chance))

    def _quantiles(self, usage: FloatArray, crossed: FloatArray, chances: FloatArray) -> list[float]:
        """Return the usage at which each chance of having met the limit is reached, by what it is at some usages."""
        place = np.searchsorted(crossed, chances)
        known = place < usage.size
        # between two steps once more, closer
        upper = np.clip(place, 1, usage.size - 1)
        width = usage[upper] - usage[upper - 1]
        closer = usage[upper - 1, None] + width[:, None] * _CLOSER
        order = np.argsort(closer, axis=None, kind="stable")
        fine = np.empty(closer.size)
        fine[order] = self._crossed(closer.ravel()[order])
        return [
            float(np.interp(chance, one, at)) if sure else math.inf
            for chance, one, at, sure in zip(chances, fine.reshape(closer.shape), closer, known, strict=True)
        ]


def fit_path(
    usage: ArrayLike, value: ArrayLike, *, new_value: float, limit: float, through_new: bool = True
) -> WearPath:
    """Weigh the ways in which wear may run by the readings of one part.

    Parameters
    ----------
    usage : array of shape (n,)
        Usage since the part was new, or, without `through_new`, since whenever.
    value : array of shape (n,)
        The dimension measured.
    new_value, limit : float
        The dimension when new, and where the part is worn out; the limit says which way wear goes.
    through_new : bool
        Wear is 0 at usage 0, so that 2 readings are enough; else it has an intercept of its own and needs 3 at 2 usages,
        and the part is taken to have run as long before its first reading as from there to its last.

    Returns
    -------
    WearPath

    Raises
    ------
    DataError
        Too few readings, none after usage 0, or new value and limit alike.

    Notes
    -----
    Wear is a coefficient times a shape of usage (straight; a power from 0.2 to 2.2; exponential, ever faster) plus
    scatter of three parts: of each reading by itself, a random walk of the level, and one of the pace, in nine
    mixtures. For each shape and mixture the coefficient has a flat prior and the size of the scatter an inverse-gamma
    one worth one reading; both are integrated out (a t law), and the marginal likelihood weighs the node. Ahead of the
    last reading the pace may differ by 17 % (sd) more, 30 % where the age is not known: without that the intervals of
    published paths, read to the half of their way, hold too seldom. Each part is weighed by itself; the cost is about
    a millisecond a part.

    References
    ----------
    W. Q. Meeker and L. A. Escobar, Statistical Methods for Reliability Data, Wiley 1998, ch. 13 and 21; A. Gelman et al.,
    Bayesian Data Analysis, 3rd ed., 2013, ch. 14 and 21; J. A. Hoeting et al., Statistical Science 14 (1999) 382.
    """
    x, wear = wear_of(usage, value, new_value, limit)
    order, room = np.argsort(x, kind="stable"), abs(limit - new_value)
    x, wear = x[order], wear[order]
    needed = 1 if through_new else 2
    if len(x) <= needed or len(np.unique(x[x > 0] if through_new else x)) < needed:
        raise DataError(
            f"{len(x)} reading(s) are too few to say how wear goes on.", "Measure once more after some usage."
        )
    within, degrees = bool(wear[-1] < room), len(x) - needed
    span = float(x[-1] - x[0])
    origin, last = 0.0 if through_new else float(x[0]) - span, float(x[-1])
    so_far = float(np.abs(wear[-3:]).mean()) if through_new else float(np.ptp(wear))
    scatter = _USUAL_SCATTER * max(so_far, _LEAST_WEAR * room)
    x, wear, count = _averaged((x - origin) / (last - origin), wear)
    nodes, fit = _weigh(path_nodes(), x, wear, count, room=room, scatter=scatter, intercept=not through_new)
    return WearPath(new_value, limit, origin, last, within, degrees, nodes, fit)


def _averaged(x: FloatArray, wear: FloatArray) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Return no more readings than are weighed one by one, and how many each stands for; the last stays at 1."""
    if len(x) <= _MOST_READINGS:
        return x, wear, np.ones(len(x))
    starts = np.linspace(0, len(x) - 1, _MOST_READINGS).astype(np.int64)
    count = np.diff(np.append(starts, len(x))).astype(np.float64)
    return np.add.reduceat(x, starts) / count, np.add.reduceat(wear, starts) / count, count


def _columns(shape: FloatArray, *, intercept: bool) -> FloatArray:
    """Return the columns of the regression: (nodes, n, 1 or 2)."""
    return np.stack([np.ones_like(shape), shape], axis=2) if intercept else shape[:, :, None]


def _weigh(
    nodes: PathNodes,
    x: FloatArray,
    wear: FloatArray,
    count: FloatArray,
    *,
    room: float,
    scatter: float,
    intercept: bool,
) -> tuple[PathNodes, _Fit]:
    """Return the nodes that hold the readings with their weights, and their least squares."""
    shape = nodes.shape_at(x)
    design = _columns(shape, intercept=intercept)
    covariance = nodes.wander(shape, shape) + np.diag(1 / count)
    inverse = np.linalg.inv(covariance)
    leaning = inverse @ design
    spread = np.linalg.inv(design.transpose(0, 2, 1) @ leaning)
    coefficients = (spread @ (leaning.transpose(0, 2, 1) @ wear)[:, :, None])[:, :, 0]
    residual = wear - (design @ coefficients[:, :, None])[:, :, 0]
    pull = (inverse @ residual[:, :, None])[:, :, 0]
    freedom = _WORTH_READINGS + len(x) - design.shape[2]
    # what the scatter is before any reading is said of the last one, wanders and all
    usual = _WORTH_READINGS * scatter**2 / (1 + nodes.level + nodes.pace)
    squares = usual + (residual * pull).sum(axis=1)
    log_weight = np.log(nodes.weight) + 0.5 * (
        _WORTH_READINGS * np.log(usual)
        - np.linalg.slogdet(covariance)[1]
        + np.linalg.slogdet(spread)[1]
        - freedom * np.log(squares)
    )
    weight = np.exp(log_weight - log_weight.max())
    kept = np.asarray(weight > _LEAST_WEIGHT)
    found = nodes.weighed(kept, weight[kept] / weight[kept].sum())
    fit = _Fit(
        room,
        freedom,
        intercept,
        shape[kept],
        inverse[kept],
        design[kept],
        spread[kept],
        coefficients[kept],
        pull[kept],
        squares[kept] / freedom,
    )
    return found, fit


@lru_cache(maxsize=64)
def _student(freedom: float) -> tuple[FloatArray, FloatArray]:
    """Return steps and the t law at them, close enough to be read between (to 1e-4)."""
    steps = np.sinh(np.linspace(-9.0, 9.0, 601))
    chance = np.asarray(stdtr(freedom, steps))
    fixed(steps)
    fixed(chance)
    return steps, chance
