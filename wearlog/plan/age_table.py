"""Costs to come of parts of any age, by node: worked out once for a kind, its costs and its seasons. Decides nothing."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from wearlog.errors import DataError
from wearlog.plan.age_values import AgeGrid, RuleCosts, RuleValue, best_rule, rule_value, season_step
from wearlog.plan.life_nodes import LifeNodes, even_steps, median_life, survival
from wearlog.plan.season_kernel import reach, renewal_weights, with_renewals

_STEPS: Final = (4, 32)
_STEPS_PER_MEDIAN: Final = 14
_MOST_SEASONS: Final = 48
_MOST_AGES: Final = 240


@dataclass(frozen=True, slots=True)
class ReplacementCosts:
    """What one position costs to replace in the shop, and what its failure in the field costs, in whole minor units.

    A failure costs part, labour, the hours lost x what an hour is worth, and what it damages besides.
    """

    planned_minor: int
    failure_minor: int


@dataclass(frozen=True, slots=True)
class Seasons:
    """The usage to come, in the units of the part's meter.

    Attributes
    ----------
    usage_now : float
        Of the coming season, by the plan.
    usage_later : float
        Of the seasons after it: their mean.
    discount : float
        What a cost counts for when it comes one season later, above 0 and below 1.
    impact_per_usage : float
        Breakages by impact per unit of usage of one position; they do not depend on age.
    """

    usage_now: float
    usage_later: float
    discount: float = 0.95
    impact_per_usage: float = 0.0


@dataclass(frozen=True, slots=True)
class AgeTable:
    """All that can be worked out before the ages of the parts are known; made by `tabulate`.

    Attributes
    ----------
    nodes, costs, seasons : LifeNodes, ReplacementCosts, Seasons
    grid : AgeGrid
    keep : ndarray of bool, shape (ages,)
        The rule from the next season on: keep at this age.
    later : RuleValue
        Cost to come by node under that rule, for the ages up to where the rule replaces all.
    within : ndarray of float, shape (nodes, steps + 1, 2)
        A new part with s steps left in the coming season: cost to come, and failures in that season.
    """

    nodes: LifeNodes
    costs: ReplacementCosts
    seasons: Seasons
    grid: AgeGrid
    keep: NDArray[np.bool_]
    later: RuleValue
    within: NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class NowByNode:
    """The coming season from its start, by node; arrays of shape (nodes, ages).

    `cost` is all that is to come, `failures` and `lasts` are of the coming season alone.
    """

    cost: NDArray[np.float64]
    failures: NDArray[np.float64]
    lasts: NDArray[np.float64]


def choose_grid(nodes: LifeNodes, seasons: Seasons) -> AgeGrid:
    """Choose steps fine enough for the shortest lives believed in, and ages up to where hardly any part is left.

    Parameters
    ----------
    nodes : LifeNodes
        Laws with their weights, life in the unit of usage.
    seasons : Seasons
        What the coming seasons ask of a part, in the unit of usage.
    """
    medians = median_life(nodes)
    short = float(nodes.quantile(medians, 0.1))
    season = seasons.usage_later
    steps = int(np.clip(np.ceil(_STEPS_PER_MEDIAN * season / short), *_STEPS))
    ages = season * np.arange(2, _MOST_SEASONS + 1)
    reached = nodes.mean(survival(nodes, ages, impact_per_usage=seasons.impact_per_usage))
    # with lives of many seasons a coarse season will do, and the ages stay few enough to be quick
    beyond = np.flatnonzero(reached < 1e-4)
    wanted = int(beyond[0]) + 2 if beyond.size else _MOST_SEASONS
    return AgeGrid(season / steps, steps, max(2, min(wanted, _MOST_AGES // steps)))


def tabulate(nodes: LifeNodes, costs: ReplacementCosts, seasons: Seasons, *, grid: AgeGrid | None = None) -> AgeTable:
    """Work out the rule for later seasons and its cost, for parts of any age.

    Parameters
    ----------
    nodes : LifeNodes
        What is believed of the life; many nodes are better condensed first.
    costs : ReplacementCosts
    seasons : Seasons
    grid : AgeGrid, optional
        By default `choose_grid`.

    Returns
    -------
    AgeTable

    Raises
    ------
    DataError
        When a cost is negative, the usage of later seasons is not above zero, or the discount is not between 0 and 1.

    Notes
    -----
    The rule of later seasons is the best one for a life drawn from the posterior predictive (the mixture of the nodes). What it
    costs is then valued for each node alone and averaged, because all parts of a kind share the one unknown life.
    """
    _check(costs, seasons)
    grid = choose_grid(nodes, seasons) if grid is None else grid
    prices = RuleCosts(float(costs.planned_minor), float(costs.failure_minor), seasons.discount)
    by_node = survival(nodes, grid.reached, impact_per_usage=seasons.impact_per_usage)
    # the mixture of survivals is the predictive life: an age that only long lives reach speaks for long lives
    keep, _ = best_rule(season_step(nodes.mean(by_node)[None, :], grid), prices)
    kept = _until_all_replaced(keep, grid)
    later = rule_value(season_step(by_node[:, : kept.count + kept.steps], kept), keep[: kept.count], prices)
    return AgeTable(nodes, costs, seasons, grid, keep, later, _coming_season(nodes, costs, seasons, grid, keep, later))


def now_by_node(table: AgeTable, ages: ArrayLike) -> NowByNode:
    """Value the coming season for parts kept at these ages.

    Parameters
    ----------
    table : AgeTable
    ages : array_like, shape (ages,)
        0 is a part just fitted.

    Notes
    -----
    The belief is the same at every age: that this very part has lived so long is already in the posterior.
    """
    at = np.atleast_1d(np.asarray(ages, dtype=np.float64))
    if not np.all((at >= 0) & np.isfinite(at)):
        raise DataError(
            "A part's age is not known or negative.", "Give the age of every part that is to be decided on."
        )
    seasons, steps = table.seasons, table.grid.steps
    whole = reach(table.nodes, at, seasons.usage_now, steps, impact_per_usage=seasons.impact_per_usage)
    after = np.einsum("nas,nsk->nak", renewal_weights(whole), table.within)
    lasts = whole[..., -1]
    fails = 1.0 - lasts
    to_come = (
        seasons.discount * lasts * _at_start(table.grid, table.costs, table.keep, table.later, at + seasons.usage_now)
    )
    return NowByNode(table.costs.failure_minor * fails + after[..., 0] + to_come, fails + after[..., 1], lasts)


def _coming_season(
    nodes: LifeNodes,
    costs: ReplacementCosts,
    seasons: Seasons,
    grid: AgeGrid,
    keep: NDArray[np.bool_],
    later: RuleValue,
) -> NDArray[np.float64]:
    """Cost to come and failures of a new part with s steps left in the coming season; shape (nodes, steps + 1, 2)."""
    usage, steps = seasons.usage_now, grid.steps
    whole = reach(nodes, np.zeros(1), usage, steps, impact_per_usage=seasons.impact_per_usage)[:, 0]
    ages = even_steps(usage, steps)
    to_come = seasons.discount * whole * _at_start(grid, costs, keep, later, ages)
    fails = 1.0 - whole
    known = np.stack([costs.failure_minor * fails + to_come, fails], axis=-1)
    return with_renewals(whole, known)


def _until_all_replaced(keep: NDArray[np.bool_], grid: AgeGrid) -> AgeGrid:
    """The grid up to one season past the last age that is kept: beyond it every age costs the same."""
    last = int(np.flatnonzero(keep)[-1])
    return AgeGrid(grid.step, grid.steps, min(grid.seasons, max(2, last // grid.steps + 2)))


def _at_start(
    grid: AgeGrid, costs: ReplacementCosts, keep: NDArray[np.bool_], later: RuleValue, ages: NDArray[np.float64]
) -> NDArray[np.float64]:
    """Cost to come at the start of the next season by the rule, between the ages of the grid; shape (nodes, ages)."""
    count = later.kept.shape[1]
    by_rule = np.where(keep[:count], later.kept, costs.planned_minor + later.kept[:, :1])
    place = np.clip(ages / grid.step, 0.0, count - 1.0)
    below = np.minimum(place.astype(np.intp), count - 2)
    share = place - below
    return np.asarray(by_rule[:, below] * (1.0 - share) + by_rule[:, below + 1] * share)


def _check(costs: ReplacementCosts, seasons: Seasons) -> None:
    if costs.planned_minor < 0 or costs.failure_minor < 0:
        raise DataError("The cost of a replacement or of a failure is negative.", "Check price, labour and downtime.")
    if not (
        seasons.usage_later > 0 and seasons.usage_now >= 0 and np.isfinite(seasons.usage_later + seasons.usage_now)
    ):
        raise DataError(
            "Nothing is planned for the seasons to come.", "Plan an area, or give the mean use of a season."
        )
    if not 0 < seasons.discount < 1:
        raise DataError(
            f"A discount of {seasons.discount:g} a season is not possible.", "Write 5 per cent a year as 0.95."
        )
    if not seasons.impact_per_usage >= 0:
        raise DataError("The rate of breakage by impact is negative.", "Check the rate by ground.")
