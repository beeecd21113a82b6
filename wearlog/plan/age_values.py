"""What a position costs for ever under a rule of keeping or replacing by age, for all nodes at once. Chooses the rule too.

Ages and seasons lie on one grid. Under a fixed rule everything is linear in the few unknowns "cost to come of a new part with s
steps left in the season", so one small system for each node gives the exact limit of value iteration.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.lib.stride_tricks import sliding_window_view
from numpy.typing import NDArray

from wearlog.errors import DataError
from wearlog.plan.life_nodes import even_steps
from wearlog.plan.season_kernel import renewal_matrix, renewal_weights

_MOST_ROUNDS = 60
_LEAST = 1e-200


@dataclass(frozen=True, slots=True)
class AgeGrid:
    """Ages 0, step, 2 step ... of whole seasons.

    Attributes
    ----------
    step : float
        Usage of one step.
    steps : int
        Steps in a season.
    seasons : int
        Seasons of age that are told apart, at least 2; an older part fails like one in the last of them.
    """

    step: float
    steps: int
    seasons: int

    @property
    def count(self) -> int:
        """Number of ages."""
        return self.steps * self.seasons

    @property
    def ages(self) -> NDArray[np.float64]:
        """The ages, shape (count,)."""
        return even_steps(self.step * self.count, self.count)[:-1]

    @property
    def reached(self) -> NDArray[np.float64]:
        """The ages, and those reached by the end of the season; shape (count + steps,)."""
        count = self.count + self.steps
        return even_steps(self.step * count, count)[:-1]


@dataclass(frozen=True, slots=True)
class RuleCosts:
    """Price of a planned replacement and of a failure (minor units), and what a cost one season later counts for."""

    planned: float
    failure: float
    discount: float


@dataclass(frozen=True, slots=True)
class SeasonStep:
    """What one season does to a part of each age on the grid, by node; no rule and no money in it.

    Attributes
    ----------
    whole : ndarray of float, shape (nodes, ages)
        Chance to last the season.
    left : ndarray of float, shape (nodes, ages, steps + 1)
        Renewal weights of a part of that age.
    new_whole : ndarray of float, shape (nodes, steps + 1)
        Chance that a new part lasts s steps.
    new_left : ndarray of float, shape (nodes, steps + 1, steps + 1)
        Renewal matrix of a new part.
    """

    whole: NDArray[np.float64]
    left: NDArray[np.float64]
    new_whole: NDArray[np.float64]
    new_left: NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class RuleValue:
    """Cost to come under a rule, this season on.

    Attributes
    ----------
    kept : ndarray of float, shape (nodes, ages)
        Kept at the start of this season, under the rule from the next one on. Age 0 is a new part just fitted.
    within : ndarray of float, shape (nodes, steps + 1)
        A new part with s steps left in the season.
    """

    kept: NDArray[np.float64]
    within: NDArray[np.float64]


def season_step(survival: NDArray[np.float64], grid: AgeGrid) -> SeasonStep:
    """Prepare what one season does, from the survival of a new part.

    Parameters
    ----------
    survival : ndarray of float, shape (nodes, grid.count + grid.steps)
        Chance to reach each age of `grid.reached`.
    grid : AgeGrid
    """
    windows = sliding_window_view(survival, grid.steps + 1, axis=1)
    now = windows[..., :1]
    if now.min() > _LEAST:
        whole = windows / now
    else:
        # so old that the survival is no longer a number worth dividing by: it fails at once
        whole = np.where(now > _LEAST, windows / np.maximum(now, _LEAST), np.arange(grid.steps + 1) == 0)
    new_whole = survival[:, : grid.steps + 1]
    return SeasonStep(whole[..., -1], renewal_weights(whole), new_whole, renewal_matrix(new_whole))


def rule_value(step: SeasonStep, keep: NDArray[np.bool_], costs: RuleCosts) -> RuleValue:
    """Return the cost to come under a fixed rule.

    Parameters
    ----------
    step : SeasonStep
    keep : ndarray of bool, shape (ages,)
        Keep a part that has this age at the start of a season; age 0 is always kept.
    costs : RuleCosts

    Notes
    -----
    kept(a) = c_f F_a + sum_j left_a(j) within(j) + g R_a next(a + season), next = kept, or c_p + kept(0) where the rule replaces.
    Going down from the highest ages, kept(a) = alpha(a) + beta(a) . within; within then solves a small linear system.
    """
    alpha, beta = _in_terms_of_within(step, keep, costs)
    steps = step.new_whole.shape[1] - 1
    ahead_alpha, ahead_beta = _next(alpha, beta, keep, slice(0, steps + 1), costs.planned)
    # at the very end of the season a part just fitted starts the next one new
    ahead_alpha[:, 0], ahead_beta[:, 0] = 0.0, np.arange(steps + 1) == steps
    carry = costs.discount * step.new_whole
    system = np.eye(steps + 1) - step.new_left - carry[..., None] * ahead_beta
    paid = costs.failure * (1.0 - step.new_whole) + carry * ahead_alpha
    within = np.asarray(np.linalg.solve(system, paid[..., None])[..., 0], dtype=np.float64)
    return RuleValue(alpha + np.einsum("nas,ns->na", beta, within), within)


def best_rule(step: SeasonStep, costs: RuleCosts) -> tuple[NDArray[np.bool_], RuleValue]:
    """Return the ages to keep and the cost to come of the rule that costs least, for a life of one node.

    Parameters
    ----------
    step : SeasonStep
        What one season does to a part of each age on the grid; of one node.
    costs : RuleCosts
        What replacing beforehand and a failure cost, in minor units.

    Notes
    -----
    Policy iteration (Howard 1960): value a rule exactly, improve it everywhere at once, until nothing improves.
    """
    keep = np.ones(step.whole.shape[1], dtype=bool)
    for _ in range(_MOST_ROUNDS):
        valued = rule_value(step, keep, costs)
        # without it a difference of rounding alone lets two equal rules take turns for ever
        slack = 1e-9 * (abs(costs.failure) + abs(costs.planned))
        better = valued.kept[0] <= costs.planned + valued.kept[0, 0] + slack
        # a part just fitted is never replaced by another new one
        better[0] = True
        if np.array_equal(better, keep):
            return keep, valued
        keep = better
    raise DataError("The replacement rule did not settle.", "Check the costs and the usage of a season.")


def _in_terms_of_within(
    step: SeasonStep, keep: NDArray[np.bool_], costs: RuleCosts
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Alpha (nodes, ages) and beta (nodes, ages, steps + 1), block by block of one season from the top down."""
    nodes, count = step.whole.shape
    steps = step.left.shape[2] - 1
    carry = costs.discount * step.whole
    # both in one array, beta first, so that a block is one product and one sum
    both = np.empty((nodes, count, steps + 2))
    both[..., :-1], both[..., -1] = step.left, costs.failure * (1.0 - step.whole)
    # where the next age is replaced nothing of it is carried on: a new part, the last unknown, and its price
    ahead = np.append(keep[steps:], keep[-steps:])
    replaced = np.where(ahead, 0.0, carry)
    both[..., steps] += replaced
    both[..., -1] += replaced * costs.planned
    carried = np.where(ahead, carry, 0.0)[..., None]
    # a part kept past the last season counted stays as it is: V = ... + g R V, solved for V
    both[:, -steps:] *= 1.0 / (1.0 - carried[:, -steps:])
    block = np.empty((nodes, steps, steps + 2))
    for first in range(count - 2 * steps, -1, -steps):
        np.multiply(carried[:, first : first + steps], both[:, first + steps : first + 2 * steps], out=block)
        both[:, first : first + steps] += block
    return both[..., -1], both[..., :-1]


def _next(
    alpha: NDArray[np.float64], beta: NDArray[np.float64], keep: NDArray[np.bool_], at: slice, planned: float
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Cost at the start of the next season by the rule: kept, or replaced and new (a new part is the last unknown)."""
    unit = np.arange(beta.shape[2]) == beta.shape[2] - 1
    return np.where(keep[at], alpha[:, at], planned), np.where(keep[at, None], beta[:, at], unit)
