"""Simulated farms under every rule: what each season costs, what the parts left over are worth, and how the rules compare."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from tests.plan.farm_rules import (
    CARRYING_RATE,
    DISCOUNT,
    Belief,
    Done,
    Rule,
    Winter,
    settle_one_pack,
    settle_winter,
    spare_part,
)
from tests.plan.simulated_farms import (
    ARTICLES,
    BUDGET_MINOR,
    Floats,
    Shelf,
    SimulatedFarm,
    draw_farm,
    play_season,
    recorded_farm,
    usual_usage,
    waits,
)
from wearlog.plan.age_table import ReplacementCosts, Seasons, now_by_node, tabulate
from wearlog.plan.life_nodes import LifeNodes


@dataclass(slots=True)
class Bill:
    """What a rule cost one farm, in minor units, later seasons counting less, and plain numbers beside it.

    Attributes
    ----------
    planned, failures, waiting, carrying : float
        Replaced before a season; failed in the field; waited when a spare ran out; 10 % of the price of what is left.
    used_up : float
        What the parts fitted at the end will cost sooner than new ones.
    stops : int
        Failures in the field.
    expected_stops : float
        What the plan expected of them in the winters before; 0 where there is none.
    bound : int
        Winters in which the budget kept the rule from something.
    """

    planned: float = 0.0
    failures: float = 0.0
    waiting: float = 0.0
    carrying: float = 0.0
    used_up: float = 0.0
    stops: int = 0
    expected_stops: float = 0.0
    bound: int = 0

    @property
    def total(self) -> float:
        return self.planned + self.failures + self.waiting + self.carrying + self.used_up


@dataclass(frozen=True, slots=True)
class Compared:
    """The plan against another rule over many farms.

    Attributes
    ----------
    saved, error : float
        Mean over the farms of what is saved, as a share of the other rule's mean cost, and its standard error.
    cheaper, equal : float
        Share of the farms on which the plan cost less, and on which both cost the same.
    """

    saved: float
    error: float
    cheaper: float
    equal: float

    @classmethod
    def of(cls, ours: Floats, theirs: Floats) -> Compared:
        less = (theirs - ours) / theirs.mean()
        return cls(
            float(less.mean()),
            float(less.std(ddof=1) / np.sqrt(less.size)),
            float(np.mean(less > 0)),
            float(np.mean(less == 0)),
        )


@dataclass(frozen=True, slots=True)
class WorthOfAge:
    """What a part of each age costs to come beyond a new one, its true life known and the best rule followed from then on."""

    ages: Floats
    beyond_new: Floats

    def lost(self, ages: Floats) -> float:
        return float(np.interp(ages, self.ages, self.beyond_new).sum())


def bills(number: int, decided: int = 6, rules: Sequence[Rule] = tuple(Rule)) -> dict[Rule, Bill]:
    """Play one farm for so many seasons under each rule, from the same start and on the same draws."""
    farm = draw_farm(number, decided)
    start = recorded_farm(farm)
    worth = _worth_of_age(farm)
    known: dict[tuple[object, ...], Belief] = {}
    return {rule: _bill(farm, rule, [one.copy() for one in start], worth, known) for rule in rules}


def totals(found: Sequence[dict[Rule, Bill]]) -> dict[Rule, Floats]:
    """Cost of every farm by rule."""
    return {rule: np.array([one[rule].total for one in found]) for rule in found[0]}


def _bill(
    farm: SimulatedFarm,
    rule: Rule,
    shelves: list[Shelf],
    worth: Sequence[WorthOfAge],
    known: dict[tuple[object, ...], Belief],
) -> Bill:
    bill = Bill()
    for years, season in enumerate(range(farm.first_decided, farm.area.size)):
        done = _winter(farm, rule, shelves, season, known, bill)
        for number, (shelf, one) in enumerate(zip(shelves, done, strict=True)):
            _one_season(farm, number, shelf, one, season, DISCOUNT**years, bill)
    after = DISCOUNT ** (farm.area.size - farm.first_decided)
    bill.used_up = after * sum(one.lost(shelf.ages) for one, shelf in zip(worth, shelves, strict=True))
    return bill


def _winter(
    farm: SimulatedFarm,
    rule: Rule,
    shelves: Sequence[Shelf],
    season: int,
    known: dict[tuple[object, ...], Belief],
    bill: Bill,
) -> list[Done]:
    if rule.keeps_one_pack:
        return [settle_one_pack(rule, shelf, article) for shelf, article in zip(shelves, ARTICLES, strict=True)]
    beliefs = []
    for number, shelf in enumerate(shelves):
        usage = farm.usage(ARTICLES[number])
        past = usage[farm.before : season]
        winter = Winter(
            number, shelf.copy(), float(usage[season]), usual_usage(past), float(farm.area[season]), farm.ground
        )
        if winter.known not in known:
            known[winter.known] = Belief.of(winter)
        beliefs.append(known[winter.known])
    done, bound = settle_winter(rule, beliefs, [shelf.stock for shelf in shelves], BUDGET_MINOR)
    bill.bound += bound
    if rule.plans:
        bill.expected_stops += sum(one.stops(each.replaced) for one, each in zip(beliefs, done, strict=True))
    return done


def _one_season(
    farm: SimulatedFarm, number: int, shelf: Shelf, done: Done, season: int, counts: float, bill: Bill
) -> None:
    """Do what was decided, play the season, and pay for it: a part is paid for when it is fitted."""
    article = ARTICLES[number]
    costs = article.costs
    replaced = np.flatnonzero(done.replaced)
    opened = int(done.replaced.reshape(article.components, -1).any(axis=1).sum())
    shelf.fit_new(replaced, failed=False)
    shelf.stock += done.packs * article.pack_size - replaced.size
    assert shelf.stock >= 0
    failed = play_season(farm, shelf, number, season)
    waited = waits(failed, shelf.stock, article.pack_size)
    shelf.stock += waited * article.pack_size - failed
    bill.stops += failed
    bill.planned += counts * (opened * costs.setup_minor + replaced.size * costs.each_minor)
    bill.failures += counts * failed * costs.failure_minor
    bill.waiting += counts * waited * spare_part(article, 0).shortage_minor
    bill.carrying += counts * shelf.stock * article.price_minor * CARRYING_RATE


def _worth_of_age(farm: SimulatedFarm) -> list[WorthOfAge]:
    found = []
    for truth, article in zip(farm.truths, ARTICLES, strict=True):
        usage = float(farm.usage(article).mean())
        stones = truth.impacts * float(farm.area.mean()) / article.positions / usage
        costs = article.costs
        # the opening is shared, so that an old part is never charged more than its own replacement
        each = costs.each_minor + costs.setup_minor // article.positions
        table = tabulate(
            LifeNodes.known(truth.shape, truth.scale),
            ReplacementCosts(each, costs.failure_minor),
            Seasons(usage, usage, DISCOUNT, stones),
        )
        ages = np.linspace(0.0, usage * table.grid.seasons, 4 * table.grid.seasons + 1)
        cost = now_by_node(table, ages).cost[0]
        found.append(WorthOfAge(ages, np.minimum(cost - cost[0], each)))
    return found
