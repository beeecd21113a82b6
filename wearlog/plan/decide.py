"""Replace before the season, or run: what each costs over the seasons to come, and how sure that is. One position at a time."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum, unique
from typing import Final

import numpy as np
from numpy.typing import ArrayLike

from wearlog.facts.closed_lists import Choice
from wearlog.plan.age_table import AgeTable, NowByNode, now_by_node

#: central share of the belief that the saving must lie clear of nothing for a plain "replace" or "run"
USUAL_LEVEL: Final = 0.80
_SEARCH_AGES: Final = 13


@unique
class Verdict(StrEnum):
    """What the figures say. `either_way`: the saving lies within its own uncertainty."""

    REPLACE = "replace"
    RUN = "run"
    EITHER_WAY = "either_way"


@dataclass(frozen=True, slots=True)
class Decision:
    """Replace one position before the season, or run it.

    Attributes
    ----------
    age : float
    cost_keep_minor, cost_replace_minor : int
        All costs to come, later seasons counting less by the discount.
    season_keep_minor, season_replace_minor : int
        Of them, what falls into the coming season.
    saving_minor : int
        cost_keep - cost_replace: above zero, replacing is cheaper.
    saving_low_minor, saving_high_minor : int
        Its central interval over what is believed of the life.
    chance_saves : float
        Belief that replacing is cheaper.
    stops_keep, stops_replace : float
        Failures expected in the coming season.
    lasts_season : float
        Chance that the part, kept, lasts the season.
    limit_age : float or None
        Past this age replace before the coming season; None when no age makes it worth while.
    verdict : Verdict
    """

    age: float
    cost_keep_minor: int
    cost_replace_minor: int
    season_keep_minor: int
    season_replace_minor: int
    saving_minor: int
    saving_low_minor: int
    saving_high_minor: int
    chance_saves: float
    stops_keep: float
    stops_replace: float
    lasts_season: float
    limit_age: float | None
    verdict: Verdict

    @property
    def do(self) -> Choice:
        """What is cheaper on the mean, however close it is."""
        return Choice.REPLACE if self.saving_minor > 0 else Choice.RUN

    @property
    def stops_avoided(self) -> float:
        """Failures that replacing avoids in the coming season."""
        return self.stops_keep - self.stops_replace


def decide(
    table: AgeTable, ages: ArrayLike, *, level: float = USUAL_LEVEL, known: tuple[NowByNode, NowByNode] | None = None
) -> tuple[Decision, ...]:
    """Decide for parts of these ages, each on its own.

    Parameters
    ----------
    table : AgeTable
    ages : array_like, shape (parts,)
    level : float
        Central share of the belief that the interval of the saving covers.
    known : tuple of NowByNode, optional
        `now_by_node` of these ages and of a part just fitted, where the ages go up and the two were worked out already.

    Returns
    -------
    tuple of Decision, one for each age

    Examples
    --------
    A part of a known life (shape 3, scale 900 h), 100.00 to replace before the season and 700.00 when it fails in it, 300 h a
    season: new it runs, at 700 h it is replaced.

    >>> from wearlog.plan.age_table import ReplacementCosts, Seasons, tabulate
    >>> from wearlog.plan.life_nodes import LifeNodes
    >>> life = LifeNodes.of(np.array([3.0]), np.array([900.0]), np.array([1.0]))
    >>> table = tabulate(life, ReplacementCosts(planned_minor=100_00, failure_minor=700_00), Seasons(300.0, 300.0))
    >>> [decision.verdict.value for decision in decide(table, [0.0, 700.0])]
    ['run', 'replace']
    """
    # many positions are of one age: each age is decided once
    at, age_of = np.unique(np.atleast_1d(np.asarray(ages, dtype=np.float64)), return_inverse=True)
    kept, new = (now_by_node(table, at), now_by_node(table, 0.0)) if known is None else known
    limit = limit_age(table, new)
    by_age = [_decision(table, kept, new, place, float(age), limit, level) for place, age in enumerate(at)]
    return tuple(by_age[place] for place in age_of)


def limit_age(table: AgeTable, new: NowByNode | None = None) -> float | None:
    """Return the age past which replacing before the coming season is cheaper; None when there is none.

    Parameters
    ----------
    table : AgeTable
        Costs, seasons and rule as `tabulate` lays them out, in minor units and units of usage.
    new : NowByNode, optional
        `now_by_node` of a part just fitted, where it is known already.
    """
    nodes = table.nodes
    just_fitted = now_by_node(table, 0.0) if new is None else new
    replace = table.costs.planned_minor + float(nodes.mean(just_fitted.cost)[0])
    low, high = 0.0, float(table.grid.ages[-1])
    # two rounds of a coarse look, the second within the step where the first one crosses
    for _ in range(2):
        ages = np.linspace(low, high, _SEARCH_AGES)
        over = nodes.mean(now_by_node(table, ages).cost) - replace
        dearer = np.flatnonzero(over > 0)
        if dearer.size == 0:
            return None
        first = max(int(dearer[0]), 1)
        low, high = float(ages[first - 1]), float(ages[first])
    return low + (high - low) * float(np.clip(-over[first - 1] / (over[first] - over[first - 1]), 0.0, 1.0))


def _decision(
    table: AgeTable, kept: NowByNode, new: NowByNode, place: int, age: float, limit: float | None, level: float
) -> Decision:
    nodes, costs = table.nodes, table.costs
    saving = kept.cost[:, place] - costs.planned_minor - new.cost[:, 0]
    low, high = nodes.quantile(saving, [(1 - level) / 2, (1 + level) / 2])
    keep, replace = (
        float(nodes.weight @ kept.cost[:, place]),
        costs.planned_minor + float(nodes.weight @ new.cost[:, 0]),
    )
    stops_keep, stops_replace = float(nodes.weight @ kept.failures[:, place]), float(nodes.weight @ new.failures[:, 0])
    verdict = Verdict.REPLACE if low > 0 else Verdict.RUN if high < 0 else Verdict.EITHER_WAY
    return Decision(
        age,
        round(keep),
        round(replace),
        round(costs.failure_minor * stops_keep),
        round(costs.planned_minor + costs.failure_minor * stops_replace),
        # of the figures that stand beside it, so that a person who subtracts them gets the same
        round(keep) - round(replace),
        round(float(low)),
        round(float(high)),
        float(nodes.weight @ (saving > 0)),
        stops_keep,
        stops_replace,
        float(nodes.weight @ kept.lasts[:, place]),
        limit,
        verdict,
    )
