"""Renewing a whole set together every so many seasons, with failures in between replaced singly. Compares with nothing else."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from wearlog.plan.age_table import AgeTable
from wearlog.plan.life_nodes import even_steps, survival
from wearlog.plan.season_kernel import reach

_LONGEST_SEASONS: Final = 12
_LONGEST_WAIT: Final = 5


@dataclass(frozen=True, slots=True)
class SetPlan:
    """Renew the set every `seasons` seasons.

    Attributes
    ----------
    seasons : int
    for_ever : ndarray of float, shape (nodes,)
        Cost to come of that, at the start of a season in which the set is renewed.
    new_failures : ndarray of float, shape (nodes, steps + 1)
        Failures of one position since it was new, on a grid of usage.
    step : float
        Usage of one step of it.
    """

    seasons: int
    for_ever: NDArray[np.float64]
    new_failures: NDArray[np.float64]
    step: float


def best_set_interval(table: AgeTable, positions: int, set_price: float) -> SetPlan:
    """Find how often to renew the whole set.

    Parameters
    ----------
    table : AgeTable
    positions : int
    set_price : float
        Price of a whole set fitted, in minor units.

    Notes
    -----
    Block replacement (Barlow and Hunter 1960) at season starts: cost to come = [price + c_f x discounted failures of J seasons]
    / (1 - g^J), least over J on the mean of the nodes.
    """
    grid, seasons = table.grid, table.seasons
    reaches = max(seasons.usage_now, seasons.usage_later) + (_LONGEST_SEASONS - 1) * seasons.usage_later
    steps = int(np.ceil(reaches / grid.step)) + 1
    new = _failures_from_new(table, steps)
    ends = np.asarray(seasons.usage_later * np.arange(1, _LONGEST_SEASONS + 1), dtype=np.float64)
    paid = table.costs.failure_minor * positions * _discounted(_at(new, grid.step, ends), seasons.discount)
    lengths = np.arange(1, _LONGEST_SEASONS + 1)
    for_ever = (set_price + paid) / (1.0 - seasons.discount**lengths)
    best = int(np.argmin(table.nodes.mean(for_ever)))
    return SetPlan(best + 1, for_ever[:, best], new, grid.step)


@dataclass(frozen=True, slots=True, eq=False)
class UntilRenewal:
    """Cost to come when the whole set is renewed after 1, 2 ... seasons, and every so many from then on.

    Attributes
    ----------
    kept : ndarray of float, shape (nodes, waits, ages)
        Failures of a position of each age until then, when it is kept now.
    new : ndarray of float, shape (nodes, waits)
        Failures of a position until then, when it is fitted new now; without its price.
    renewals : ndarray of float, shape (nodes, waits)
        All renewals from then on, and the failures between them.
    """

    kept: NDArray[np.float64]
    new: NDArray[np.float64]
    renewals: NDArray[np.float64]


def until_renewal(table: AgeTable, ages: NDArray[np.float64], plan: SetPlan) -> UntilRenewal:
    """Value running a set some seasons more and renewing it then.

    Parameters
    ----------
    table : AgeTable
    ages : ndarray of float, shape (ages,)
    plan : SetPlan
    """
    ends = _season_ends(table, max(_LONGEST_WAIT, plan.seasons))
    by_age = _failures_from_age(table, ages, plan, int(np.ceil(ends[-1] / plan.step)) + 1)
    failure, discount = table.costs.failure_minor, table.seasons.discount
    kept = failure * _discounted(_at(by_age, plan.step, ends), discount)
    new = failure * _discounted(_at(plan.new_failures, plan.step, ends), discount)
    waits = discount ** np.arange(1, ends.size + 1)
    return UntilRenewal(np.swapaxes(kept, 1, 2), new, waits * plan.for_ever[:, None])


def _season_ends(table: AgeTable, seasons: int) -> NDArray[np.float64]:
    return np.asarray(table.seasons.usage_now + table.seasons.usage_later * np.arange(seasons), dtype=np.float64)


def _discounted(failures_by: NDArray[np.float64], discount: float) -> NDArray[np.float64]:
    """Failures up to the end of each season, each counted by the season it falls in; shape (..., seasons)."""
    in_season = np.diff(failures_by, axis=-1, prepend=0.0)
    return np.cumsum(in_season * discount ** np.arange(in_season.shape[-1]), axis=-1)


def _at(on_grid: NDArray[np.float64], step: float, usage: NDArray[np.float64]) -> NDArray[np.float64]:
    """Values between the steps of a grid, by straight line; shape (..., usages)."""
    place = usage / step
    below = np.minimum(place.astype(np.intp), on_grid.shape[-1] - 2)
    share = place - below
    return np.asarray(on_grid[..., below] * (1.0 - share) + on_grid[..., below + 1] * share)


def _failures_from_new(table: AgeTable, steps: int) -> NDArray[np.float64]:
    """Renewal function of each node on 0 ... steps: n(s) = F(s) + sum_u f(u) [n(s - u) + n(s - u + 1)] / 2."""
    at = even_steps(table.grid.step * steps, steps)
    whole = survival(table.nodes, at, impact_per_usage=table.seasons.impact_per_usage)
    first = whole[:, :-1] - whole[:, 1:]
    count = np.zeros_like(whole)
    middle = np.zeros_like(first)
    for s in range(1, steps + 1):
        known = 1.0 - whole[:, s] + np.einsum("nu,nu->n", first[:, 1:s], middle[:, : s - 1][:, ::-1])
        # the failure of the first step leads to n(s) itself
        count[:, s] = (known + first[:, 0] * count[:, s - 1] / 2) / (1.0 - first[:, 0] / 2)
        middle[:, s - 1] = (count[:, s - 1] + count[:, s]) / 2
    return count


def _failures_from_age(table: AgeTable, ages: NDArray[np.float64], plan: SetPlan, steps: int) -> NDArray[np.float64]:
    """The same from a known age; shape (nodes, ages, steps + 1)."""
    usage = plan.step * steps
    whole = reach(table.nodes, ages, usage, steps, impact_per_usage=table.seasons.impact_per_usage)
    first = whole[..., :-1] - whole[..., 1:]
    middle = (plan.new_failures[:, :-1] + plan.new_failures[:, 1:]) / 2
    count = 1.0 - whole
    for s in range(1, steps + 1):
        count[..., s] += np.einsum("nau,nu->na", first[..., :s], middle[:, :s][:, ::-1])
    return count
