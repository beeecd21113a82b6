"""Sets of equal positions (knife sections, tines): run them, replace those past their limit, or replace the whole set."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum, unique

import numpy as np
from numpy.typing import ArrayLike, NDArray

from wearlog.errors import DataError
from wearlog.plan.age_table import AgeTable, ReplacementCosts, Seasons, now_by_node, tabulate
from wearlog.plan.decide import USUAL_LEVEL, Decision, Verdict, decide
from wearlog.plan.life_nodes import LifeNodes
from wearlog.plan.set_renewal import best_set_interval, cost_of_new_set, cost_of_old_set


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
    limit_age: float | None
    seasons_between_sets: int | None
    verdict: Verdict


@dataclass(frozen=True, slots=True)
class _Ways:
    """Costs to come of each way, by node, and what each way replaces."""

    run: NDArray[np.float64]
    some: NDArray[np.float64]
    whole: NDArray[np.float64]
    some_places: NDArray[np.bool_]
    interval: int | None


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
    replacement). Running now may be followed by either, whichever costs less; so may a whole set now.
    """
    at = np.atleast_1d(np.asarray(ages, dtype=np.float64))
    if at.size == 0:
        raise DataError("A set without positions cannot be decided on.", "Give the number of positions.")
    table = tabulate(nodes, ReplacementCosts(costs.setup_minor + costs.each_minor, costs.failure_minor), seasons)
    kept, new = now_by_node(table, at), now_by_node(table, 0.0)
    ways = _ways(table, at, costs, kept.cost, new.cost[:, 0])
    run, some, whole = (float(nodes.weight @ way) for way in (ways.run, ways.some, ways.whole))
    choice = SetChoice.RUN if run <= min(some, whole) else SetChoice.SOME if some <= whole else SetChoice.WHOLE_SET
    done = ways.some if some <= whole else ways.whole
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
        singly[0].limit_age,
        ways.interval,
        Verdict.REPLACE if low > 0 else Verdict.RUN if high < 0 else Verdict.EITHER_WAY,
    )


def _ways(
    table: AgeTable, ages: NDArray[np.float64], costs: SetCosts, kept: NDArray[np.float64], new: NDArray[np.float64]
) -> _Ways:
    """Value every way by node; `kept` has shape (nodes, positions), `new` shape (nodes,)."""
    nodes, count = table.nodes, ages.size
    over = nodes.mean(kept) - costs.each_minor - float(nodes.weight @ new)
    places = _worth_opening_for(over)
    some = np.where(places, costs.each_minor + new[:, None], kept).sum(axis=1) + costs.setup_minor
    all_parts = costs.each_minor * count if costs.whole_set_minor is None else costs.whole_set_minor
    set_price = float(costs.setup_minor + all_parts)
    run, whole = kept.sum(axis=1), set_price + count * new
    together = count * (costs.setup_minor + costs.each_minor) - set_price
    if count == 1 or together <= 0:
        return _Ways(run, some, whole, places, None)
    # only where replacing together saves something can a rule for the whole set be the cheaper one
    plan = best_set_interval(table, count, set_price)
    run_to_set = cost_of_old_set(table, ages, plan)
    whole_to_set = set_price + cost_of_new_set(table, count, plan)
    run = min(run, run_to_set, key=lambda way: float(nodes.weight @ way))
    whole = min(whole, whole_to_set, key=lambda way: float(nodes.weight @ way))
    return _Ways(run, some, whole, places, plan.seasons)


def _worth_opening_for(over: NDArray[np.float64]) -> NDArray[np.bool_]:
    """Places that save by themselves once it is open; where none does, the one that loses least."""
    worth = over > 0
    return worth if worth.any() else np.arange(over.size) == int(np.argmax(over))
