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
class Saving:
    """What replacing some places saves against running all: mean, central interval, belief that it is above zero."""

    mean_minor: int
    low_minor: int
    high_minor: int
    chance: float

    @property
    def verdict(self) -> Verdict:
        """What that says; either way where the interval holds nothing."""
        if self.low_minor > 0:
            return Verdict.REPLACE
        return Verdict.RUN if self.high_minor < 0 else Verdict.EITHER_WAY


@dataclass(frozen=True, slots=True, eq=False)
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
    best : tuple of int
        Places of the choice, or of the better replacement where that is to run.
    saving : Saving
        Of the best places against running all.
    stops_run, stops_chosen : float
        Failures expected in the coming season when run, and after the choice.
    some : tuple of int
        Places of the best few, whatever is chosen.
    going_on : GoingOn
        Costs to come of every way to go on, for whatever else may be replaced.
    nodes : LifeNodes
    costs : SetCosts
    limit_age : float or None
        Age past which one position alone is worth replacing.
    seasons_between_sets : int or None
        How often the whole set would be renewed; None where there is nothing to gain by it.
    level : float
        Of the intervals.
    """

    choice: SetChoice
    replace: tuple[int, ...]
    by_position: tuple[Decision, ...]
    cost_run_minor: int
    cost_some_minor: int
    cost_set_minor: int
    best: tuple[int, ...]
    saving: Saving
    stops_run: float
    stops_chosen: float
    some: tuple[int, ...]
    going_on: GoingOn
    nodes: LifeNodes
    costs: SetCosts
    limit_age: float | None
    seasons_between_sets: int | None
    level: float

    @property
    def verdict(self) -> Verdict:
        """What the figures say of replacing the best places."""
        return self.saving.verdict

    def cost_minor(self, replaced: Collection[int]) -> int:
        """Return the mean cost to come of replacing these places now and going on in the way that then costs least.

        Parameters
        ----------
        replaced : sequence of int
            Places along the set that get new parts now.
        """
        return round(float(self.nodes.weight @ _cost(self.nodes, self.going_on, self.costs, self._places(replaced))))

    def saving_of(self, replaced: Collection[int]) -> Saving:
        """Return what replacing these places saves against running all.

        Parameters
        ----------
        replaced : sequence of int
            Places along the set that get new parts now.
        """
        run, done = (
            _cost(self.nodes, self.going_on, self.costs, self._places(places)) for places in ((), tuple(replaced))
        )
        return _saving(self.nodes, run, done, self.level)

    def _places(self, replaced: Collection[int]) -> NDArray[np.bool_]:
        places = np.zeros(self.going_on.age_of.size, dtype=bool)
        places[list(replaced)] = True
        return places


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
    # the 160 places of a knife have a handful of ages: each is worked out once
    ages_here, age_of = np.unique(at, return_inverse=True)
    kept, new = now_by_node(table, ages_here), now_by_node(table, 0.0)
    plan = _plan_for_the_set(table, at.size, costs)
    until = None if plan is None else until_renewal(table, ages_here, plan)
    going_on = ways_to_go_on(kept.cost, age_of, new.cost, until)
    few = _best_few(nodes, going_on, costs)
    none = np.zeros(at.size, dtype=bool)
    by_node = [_cost(nodes, going_on, costs, places) for places in (none, few, ~none)]
    run, some, whole = (float(nodes.weight @ one) for one in by_node)
    # a few that are all of them are told as the whole set, which they are
    best, done = (few, by_node[1]) if some <= whole and not few.all() else (~none, by_node[2])
    replacing = SetChoice.WHOLE_SET if best.all() else SetChoice.SOME
    choice = SetChoice.RUN if run <= min(some, whole) else replacing
    replaced = none if choice is SetChoice.RUN else best
    stops, stops_new = nodes.mean(kept.failures)[age_of], float(nodes.weight @ new.failures[:, 0])
    # shown beside the set's decision, so that a person sees which single positions would be worth it
    by_age = decide(table, ages_here, level=level, known=(kept, new))
    singly = tuple(by_age[place] for place in age_of)
    return SetDecision(
        choice,
        _numbers(replaced),
        singly,
        round(run),
        round(some),
        round(whole),
        _numbers(best),
        _saving(nodes, by_node[0], done, level),
        float(stops.sum()),
        float(np.where(replaced, stops_new, stops).sum()),
        _numbers(few),
        going_on,
        nodes,
        costs,
        singly[0].limit_age,
        None if plan is None else plan.seasons,
        level,
    )


def _numbers(places: NDArray[np.bool_]) -> tuple[int, ...]:
    return tuple(int(place) for place in np.flatnonzero(places))


def _plan_for_the_set(table: AgeTable, count: int, costs: SetCosts) -> SetPlan | None:
    """How often to renew the whole set; None where that saves nothing against one position at a time."""
    together = _price(costs, np.ones(count, dtype=bool))
    if count == 1 or count * (costs.setup_minor + costs.each_minor) <= together:
        return None
    return best_set_interval(table, count, together)


def _best_few(nodes: LifeNodes, going_on: GoingOn, costs: SetCosts) -> NDArray[np.bool_]:
    """The places that are best replaced, at least one; of every way to go on its own best, then the cheapest of these."""
    kept, new = np.tensordot(nodes.weight, going_on.kept, axes=1), nodes.weight @ going_on.new
    over = kept - costs.each_minor - new[:, None]
    few = [_worth_opening_for(one)[going_on.age_of] for one in over]
    # where nothing pays, one place is looked at, not all of its age
    few = [places if worth.max() > 0 else _first(places) for places, worth in zip(few, over, strict=True)]
    cost = [float(nodes.weight @ _cost(nodes, going_on, costs, places)) for places in few]
    return few[int(np.argmin(cost))]


def _cost(nodes: LifeNodes, going_on: GoingOn, costs: SetCosts, replaced: NDArray[np.bool_]) -> NDArray[np.float64]:
    """All costs to come by node; the way to go on is the one that costs least on the mean. Shape (nodes,)."""
    ways = going_on.after(replaced)
    return np.asarray(_price(costs, replaced) + ways[:, int(np.argmin(nodes.weight @ ways))])


def _saving(nodes: LifeNodes, run: NDArray[np.float64], done: NDArray[np.float64], level: float) -> Saving:
    by_node = run - done
    low, high = nodes.quantile(by_node, [(1 - level) / 2, (1 + level) / 2])
    # of rounded figures, which stand beside it and must add up
    mean = round(float(nodes.weight @ run)) - round(float(nodes.weight @ done))
    return Saving(mean, round(float(low)), round(float(high)), float(nodes.weight @ (by_node > 0)))


def _first(places: NDArray[np.bool_]) -> NDArray[np.bool_]:
    return np.asarray(np.arange(places.size) == int(np.argmax(places)))


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
