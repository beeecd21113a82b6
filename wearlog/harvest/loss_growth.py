"""What loss checks say of wear: how machine loss grows with the age of the threshing parts, as a belief. No money.

ln(machine loss, % of the crop) = al + k x + e: al of each combine and crop, k shared by all, x the age of the parts in median
lives, e normal with standard deviation s. Loss never falls with wear: k >= 0.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from scipy.special import logsumexp, ndtr

from wearlog.errors import DataError
from wearlog.harvest.by_line import Floats, Ints

#: worn parts about double the loss in a life; 1 % of the crop with new ones; scatter of checks (common practice, no source)
GROWTH_SPREAD: Final = 0.7
LOSS_SPREAD: Final = 1.0
SCATTER: Final = 0.35
SCATTER_SPREAD: Final = 0.5

_MOST_GROWTH: Final = 4.5
_SCATTER_RANGE: Final = (0.08, 1.6)
_GROWTHS: Final = 121
_SCATTERS: Final = 25
#: counts that one more check may bring, and as many standard deviations to either side
_COUNTS: Final = 61
_REACH: Final = 6.0
#: nodes believed less than this share of the likeliest are left out of what a check is worth: a ten-millionth of it in all
_NEGLIGIBLE: Final = 1e-10
#: steps of a cell of the growth between which a chance is looked for
_STEPS: Final = 16


@dataclass(frozen=True, slots=True, eq=False)
class LossGrowth:
    """A belief of the growth, of the scatter and of each combine's loss in a crop.

    Attributes
    ----------
    growth, scatter, weight : (n,) float64
        Nodes of k and s, and how much each is believed; the weights add up to 1.
    level : (groups, n) float64
        Mean of al given the node, by group; ln of per cent with new parts.
    level_variance : (groups, n) float64
        Its variance.
    checks : (groups,) int64
    """

    growth: Floats
    scatter: Floats
    weight: Floats
    level: Floats
    level_variance: Floats
    checks: Ints

    def growth_at(self, chance: float) -> float:
        """Return the k that is not exceeded with a chance.

        Parameters
        ----------
        chance : float
            Strictly between 0 and 1.
        """
        grid, place = np.unique(self.growth, return_inverse=True)
        density = np.bincount(place, self.weight)
        density[[0, -1]] *= 2  # the ends of a trapezoid weigh half
        finer = _finer(np.log(np.maximum(density, 1e-300)))
        steps = np.exp(finer - finer.max())
        below = np.concatenate([[0.0], np.cumsum(steps[1:] + steps[:-1])])
        return float(np.interp(chance * below[-1], below, np.linspace(grid[0], grid[-1], steps.size)))

    def lost_more(self, group: int, life_shares: Floats) -> Floats:
        """Return what parts of these ages lose more than new ones on the mean, per cent of the crop.

        Parameters
        ----------
        group : int
        life_shares : array, any shape
            Ages in median lives.
        """
        mean = np.exp(self.level[group] + self.level_variance[group] / 2 + self.scatter**2 / 2)
        grid, place = np.unique(self.growth, return_inverse=True)
        grown = np.expm1(np.multiply.outer(life_shares, grid))
        return np.asarray(grown @ np.bincount(place, self.weight * mean))


def _finer(values: Floats) -> Floats:
    """Values on even steps, with `_STEPS` to each: cubics with the slopes of the neighbours, exact for a parabola."""
    slopes = np.gradient(values, edge_order=2)
    part = np.arange(_STEPS)[:, None] / _STEPS
    left, right, start, end = values[:-1], values[1:], slopes[:-1], slopes[1:]
    bend, twist = 3 * (right - left) - 2 * start - end, 2 * (left - right) + start + end
    return np.append((left + part * (start + part * (bend + part * twist))).T.ravel(), values[-1])


@dataclass(frozen=True, slots=True, eq=False)
class LossSaved:
    """What renewing the parts now saves: for each node a lognormal sum over crops, in the unit that the weights were given in.

    Attributes
    ----------
    mean, variance : (n,) float64
        By node, over what is not known of the levels.
    weight : (n,) float64
    """

    mean: Floats
    variance: Floats
    weight: Floats

    @property
    def expected(self) -> float:
        return float(self.weight @ self.mean)

    def quantile(self, chance: float) -> float:
        """Return what is not exceeded with a chance.

        Parameters
        ----------
        chance : float
            Strictly between 0 and 1.
        """
        grown = self.mean > 0
        nothing = float(self.weight[~grown].sum())
        if chance <= nothing or not grown.any():
            return 0.0
        # loaded here: it takes as long to load as all the rest of what stands on this page
        from scipy.optimize import brentq

        mean, weight = self.mean[grown], self.weight[grown]
        spread = np.sqrt(np.log1p(self.variance[grown] / mean**2))
        middle = np.log(mean) - spread**2 / 2
        # a spread of nothing would divide by it
        spread = np.maximum(spread, 1e-9)

        def short(log_amount: float) -> float:
            return nothing + float(weight @ ndtr((log_amount - middle) / spread)) - chance

        return float(np.exp(brentq(short, float((middle - 9 * spread).min()), float((middle + 9 * spread).max()))))


def loss_growth(life_shares: Floats, loss_percent: Floats, group: Ints, groups: int) -> LossGrowth:
    """Return what the checks say of the growth of machine loss with wear.

    Parameters
    ----------
    life_shares : (c,) float64
        Age of the threshing parts at each check, in median lives.
    loss_percent : (c,) float64
        Machine loss in per cent of the crop, above 0: a count of nothing enters as half a kernel.
    group : (c,) int64
        Combine and crop of each check, from 0.
    groups : int
        How many there are; one without a check goes by the belief before any.

    Raises
    ------
    DataError
        A loss that is not above 0, or an age below 0.

    Notes
    -----
    Before any check k is half-normal (0.7), al N(0, 1), ln s N(ln 0.35, 0.5) within 0.08 to 1.6. al is integrated by hand for each
    group, k and ln s on a grid of 121 x 25 (trapezoids).
    """
    if (loss_percent <= 0).any() or (life_shares < 0).any():
        raise DataError("A loss or an age is below what can be.", "Enter a count of nothing as half a kernel.")
    growths = np.linspace(0.0, _MOST_GROWTH, _GROWTHS)
    log_scatters = np.linspace(np.log(_SCATTER_RANGE[0]), np.log(_SCATTER_RANGE[1]), _SCATTERS)
    growth, log_scatter = (axis.ravel() for axis in np.meshgrid(growths, log_scatters, indexing="ij"))
    scatter = np.exp(log_scatter)
    log_weight = -0.5 * (growth / GROWTH_SPREAD) ** 2 - 0.5 * ((log_scatter - np.log(SCATTER)) / SCATTER_SPREAD) ** 2
    ends = (growth == growths[0]) | (growth == growths[-1])
    log_weight[ends] += np.log(0.5)
    variance, before = scatter**2, LOSS_SPREAD**2
    level, level_variance = np.empty((groups, growth.size)), np.empty((groups, growth.size))
    logs = np.log(loss_percent)
    for number in range(groups):
        mine = group == number
        count = int(mine.sum())
        left = logs[mine][:, None] - np.multiply.outer(life_shares[mine], growth)
        total = left.sum(axis=0)
        whole = variance + count * before
        squares = (left**2).sum(axis=0) / variance - before * total**2 / (variance * whole)
        log_weight -= (count - 1) / 2 * np.log(variance) + 0.5 * np.log(whole) + 0.5 * squares
        level[number] = before * total / whole
        level_variance[number] = variance * before / whole
    weight = np.exp(log_weight - logsumexp(log_weight))
    return LossGrowth(growth, scatter, weight, level, level_variance, np.bincount(group, minlength=groups))


def saved_by_renewing(
    belief: LossGrowth, groups: Sequence[int], worth_per_percent: Floats, age: float, ahead: float
) -> LossSaved:
    """Return what new parts would lose less than those of an age over the work ahead.

    Parameters
    ----------
    belief : LossGrowth
    groups : sequence of int
        The combine's crops ahead.
    worth_per_percent : (groups,) float64
        What a hundredth of each crop ahead is worth, in any unit.
    age, ahead : float
        Age now and usage ahead, both in median lives; new parts age over the same usage.

    Notes
    -----
    The integral of D(age + .) - D(.) over the work ahead, D the loss beyond that of new parts. Over al given k and s a crop's
    sum is lognormal; several are taken as one lognormal with their mean and variance.
    """
    times = _times_more(belief.growth, age, ahead)
    places = list(groups)
    spread = belief.level_variance[places]
    each = worth_per_percent[:, None] * np.exp(belief.level[places] + spread / 2 + belief.scatter**2 / 2) * times
    return LossSaved(each.sum(axis=0), (each**2 * np.expm1(spread)).sum(axis=0), belief.weight)


def _times_more(growth: Floats, age: float, ahead: float) -> Floats:
    """Return the mean over the work ahead of e^(k (age + u)) - e^(k u), by node."""
    reach = growth * ahead
    with np.errstate(invalid="ignore", divide="ignore"):
        mean = np.where(reach > 1e-9, np.expm1(reach) / reach, 1.0)
    return np.asarray(np.expm1(growth * age) * mean)


def check_worth(
    belief: LossGrowth,
    groups: Sequence[int],
    worth_per_percent: Floats,
    age: float,
    ahead: float,
    cost: float,
    checked: int,
) -> float:
    """Return what one more check before the decision is worth on the mean: what choosing by it saves beyond choosing now.

    Parameters
    ----------
    belief, groups, worth_per_percent, age, ahead
        As for `saved_by_renewing`.
    cost : float
        What renewing costs beside the grain, in the unit of the worth.
    checked : int
        Which of `groups` the check is made in, counted from 0; at the age of now.

    Returns
    -------
    float
        E over the count to come of max(gain, 0) less max(gain now, 0), never below 0; within a ten-thousandth of the cost of
        what finer grids give.
    """
    now = saved_by_renewing(belief, groups, worth_per_percent, age, ahead)
    others = [place for place in range(len(groups)) if place != checked]
    rest = np.zeros(belief.growth.size)
    if others:
        rest = saved_by_renewing(belief, [groups[one] for one in others], worth_per_percent[others], age, ahead).mean
    kept = belief.weight > _NEGLIGIBLE * belief.weight.max()
    weight, growth, rest = belief.weight[kept], belief.growth[kept], rest[kept]
    level, spread = belief.level[groups[checked]][kept], belief.level_variance[groups[checked]][kept]
    noise = belief.scatter[kept] ** 2
    middle, wide = level + growth * age, spread + noise
    mean = float(weight @ middle) / float(weight.sum())
    deviation = float(np.sqrt(weight @ (wide + (middle - mean) ** 2)))
    counts = np.linspace(mean - _REACH * deviation, mean + _REACH * deviation, _COUNTS)
    off = counts[:, None] - middle
    density = np.exp(-(off**2) / (2 * wide))
    # what the count tells of this crop's level, node by node
    after = np.exp(spread / wide * off)
    times = _times_more(growth, age, ahead) * float(worth_per_percent[checked])
    times *= np.exp(level + spread * noise / wide / 2 + noise / 2)
    chance = weight / np.sqrt(wide)
    # sums row by row: the linear algebra library would wake its threads for them
    by_count = (density * (after * (chance * times) + chance * (rest - cost))).sum(axis=1)
    # a check is worth what it turns: where renewing pays now, the losses that it spares, else the gains
    turned = -by_count if now.expected > cost else by_count
    return max(_positive_part(turned) / float((density * chance).sum()), 0.0)


def _positive_part(values: Floats) -> float:
    """The sum of what is above 0, as its integral has it: where it begins or ends within a step that is put right.

    Euler and Maclaurin: a line that begins t steps before its first point has (t^2 - t + 1/6) / 2 times its rise more than its sum.
    """
    above = values > 0
    total = float(values[above].sum())
    for step in np.flatnonzero(above[1:] != above[:-1]).tolist():
        rise = float(abs(values[step + 1] - values[step]))
        begun = float(max(values[step], values[step + 1])) / rise
        total += rise * (begun * begun - begun + 1 / 6) / 2
    return total
