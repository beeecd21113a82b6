"""Sets of equal positions (knife sections, tines): run them, replace those past their limit, or replace the whole set."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from enum import StrEnum, unique

import numpy as np
from numpy.typing import ArrayLike, NDArray

from wearlog.errors import DataError
from wearlog.plan.age_table import AgeTable, ReplacementCosts, Seasons, now_by_node, tabulate
from wearlog.plan.decide import USUAL_LEVEL, Decision, Verdict, decide
from wearlog.plan.going_on import GoingOn, ways_to_go_on
from wearlog.plan.life_nodes import LifeNodes
from wearlog.plan.set_renewal import SetPlan, best_set_interval, until_renewal


@unique
class SetChoice(StrEnum):
    """What is done with the set before the season."""

    RUN = "run"
    SOME = "some"
    WHOLE_SET = "whole_set"


@dataclass(frozen=True, slots=True)
class SetCosts:
    """Costs of a set of equal positions, in whole minor units.

    Attributes
    ----------
    setup_minor : int
        Opening up and closing again, once however many are replaced.
    each_minor : int
        Part and labour of each position.
    failure_minor : int
        Failure of one position in the field.
    whole_set_minor : int or None
        Parts and labour of all positions when bought and fitted as a set, without the setup; by default each x positions.
    """

    setup_minor: int
    each_minor: int
    failure_minor: int
    whole_set_minor: int | None = None


@dataclass(frozen=True, slots=True)
class SetDecision:
    """What to do with a set of positions before the season.

    Attributes
    ----------
    choice : SetChoice
        What costs least.
    replace : tuple of int
        Places (from 0, in the order of the ages) that are replaced now.
    by_position : tuple of Decision
        Each position decided as if it were alone, paying the whole setup.
    cost_run_minor, cost_some_minor, cost_set_minor : int
        All costs to come of running all, of replacing the best few, of replacing the whole set.
    saving_minor, saving_low_minor, saving_high_minor, chance_saves
        Of the choice (or, where that is to run, of the better replacement) against running all: mean, central interval, belief
        that it is above zero.
    stops_run, stops_chosen : float
        Failures expected in the coming season when run, and after the choice.
    some : tuple of int
        Places of the best few, whatever is chosen.
    going_on : GoingOn
        Mean costs to come of every way to go on, for whatever else may be replaced.
    costs : SetCosts
    limit_age : float or None
        Age past which one position alone is worth replacing.
    seasons_between_sets : int or None
        How often the whole set would be renewed; None where there is nothing to gain by it.
    verdict : Verdict
    """

    choice: SetChoice
    replace: tuple[int, ...]
    by_position: tuple[Decision, ...]
    cost_run_minor: int
    cost_some_minor: int
    cost_set_minor: int
    saving_minor: int
    saving_low_minor: int
    saving_high_minor: int
    chance_saves: float
    stops_run: float
    stops_chosen: float
    some: tuple[int, ...]
    going_on: GoingOn
    costs: SetCosts
    limit_age: float | None
    seasons_between_sets: int | None
    verdict: Verdict

    def cost_minor(self, replaced: Collection[int]) -> int:
        """Return the mean cost to come of replacing these places now and going on in the way that then costs least."""
        places = np.zeros(self.going_on.kept.shape[-1], dtype=bool)
        places[list(replaced)] = True
        return round(_price(self.costs, places) + float(self.going_on.after(places).min()))


@dataclass(frozen=True, slots=True)
class _Ways:
    """Costs to come of each way, by node, and what each way replaces."""

    run: NDArray[np.float64]
    some: NDArray[np.float64]
    whole: NDArray[np.float64]
    some_places: NDArray[np.bool_]


def decide_positions(
    nodes: LifeNodes, ages: ArrayLike, costs: SetCosts, seasons: Seasons, *, level: float = USUAL_LEVEL
) -> SetDecision:
    """Decide on a set of equal positions, as a set and one by one.

    Parameters
    ----------
    nodes : LifeNodes
    ages : array_like, shape (positions,)
    costs : SetCosts
    seasons : Seasons
    level : float

    Returns
    -------
    SetDecision

    Notes
    -----
    One by one: each position follows its own rule in later seasons and pays the setup in full each time, so the figure is never
    better than can be had. As a set: all are renewed together every so many seasons, failures in between one at a time (block
    replacement). Whatever is replaced now, none, some or all, may be followed by either, whichever costs less.
    """
    at = np.atleast_1d(np.asarray(ages, dtype=np.float64))
    if at.size == 0:
        raise DataError("A set without positions cannot be decided on.", "Give the number of positions.")
    table = tabulate(nodes, ReplacementCosts(costs.setup_minor + costs.each_minor, costs.failure_minor), seasons)
    kept, new = now_by_node(table, at), now_by_node(table, 0.0)
    plan = _plan_for_the_set(table, at.size, costs)
    by_node = ways_to_go_on(kept.cost, new.cost, None if plan is None else until_renewal(table, at, plan))
    mean = by_node.mean(nodes.weight)
    ways = _ways(nodes, by_node, mean, costs)
    run, some, whole = (float(nodes.weight @ way) for way in (ways.run, ways.some, ways.whole))
    by_few = some <= whole and not ways.some_places.all()
    choice = SetChoice.RUN if run <= min(some, whole) else SetChoice.SOME if by_few else SetChoice.WHOLE_SET
    done = ways.some if by_few else ways.whole
    saving = ways.run - done
    low, high = nodes.quantile(saving, [(1 - level) / 2, (1 + level) / 2])
    replaced = {
        SetChoice.RUN: np.zeros(at.size, dtype=bool),
        SetChoice.SOME: ways.some_places,
        SetChoice.WHOLE_SET: np.ones(at.size, dtype=bool),
    }[choice]
    stops, stops_new = nodes.mean(kept.failures), float(nodes.weight @ new.failures[:, 0])
    # shown beside the set's decision, so that a person sees which single positions would be worth it
    singly = decide(table, at, level=level)
    return SetDecision(
        choice,
        tuple(int(place) for place in np.flatnonzero(replaced)),
        singly,
        round(run),
        round(some),
        round(whole),
        round(run) - round(min(some, whole)),
        round(float(low)),
        round(float(high)),
        float(nodes.weight @ (saving > 0)),
        float(stops.sum()),
        float(np.where(replaced, stops_new, stops).sum()),
        tuple(int(place) for place in np.flatnonzero(ways.some_places)),
        mean,
        costs,
        singly[0].limit_age,
        None if plan is None else plan.seasons,
        Verdict.REPLACE if low > 0 else Verdict.RUN if high < 0 else Verdict.EITHER_WAY,
    )


def _plan_for_the_set(table: AgeTable, count: int, costs: SetCosts) -> SetPlan | None:
    """How often to renew the whole set; None where that saves nothing against one position at a time."""
    together = _price(costs, np.ones(count, dtype=bool))
    if count == 1 or count * (costs.setup_minor + costs.each_minor) <= together:
        return None
    return best_set_interval(table, count, together)


def _ways(nodes: LifeNodes, by_node: GoingOn, mean: GoingOn, costs: SetCosts) -> _Ways:
    """Value running all, replacing the best few and replacing all, by node; the way to go on is chosen on the mean."""
    none = np.zeros(mean.kept.shape[-1], dtype=bool)
    over = mean.kept[0] - costs.each_minor - mean.new[0][:, None]
    few = [_worth_opening_for(one) for one in over]
    cost = [_price(costs, places) + float(mean.after(places).min()) for places in few]
    places = few[int(np.argmin(cost))]
    run, some, whole = (
        _price(costs, done) + by_node.after(done)[:, int(np.argmin(mean.after(done)))] for done in (none, places, ~none)
    )
    return _Ways(run, some, whole, places)


def _price(costs: SetCosts, replaced: NDArray[np.bool_]) -> float:
    """Opening up, parts and labour of what is replaced now."""
    count = int(replaced.sum())
    if not count:
        return 0.0
    each = costs.each_minor * count
    if count == replaced.size and costs.whole_set_minor is not None:
        each = min(each, costs.whole_set_minor)
    return float(costs.setup_minor + each)


def _worth_opening_for(over: NDArray[np.float64]) -> NDArray[np.bool_]:
    """Places that save by themselves once it is open; where none does, the one that loses least."""
    worth = over > 0
    return worth if worth.any() else np.arange(over.size) == int(np.argmax(over))
