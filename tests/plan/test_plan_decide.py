"""Replace or run: against closed forms, against simulation, and never dearer than the simple rules."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.special import ndtri

from wearlog.errors import DataError
from wearlog.facts.closed_lists import Choice
from wearlog.plan.age_table import ReplacementCosts, Seasons, now_by_node, tabulate
from wearlog.plan.age_values import AgeGrid, RuleCosts, best_rule, rule_value, season_step
from wearlog.plan.decide import Verdict, decide, limit_age
from wearlog.plan.life_nodes import LifeNodes, condense, survival

PRICES = ReplacementCosts(100_00, 700_00)


def belief(life: tuple[float, float], shape: tuple[float, float], per_axis: int = 9) -> LifeNodes:
    """A starting guess: central 80 % ranges of median life and shape, at equal chances."""
    z = ndtri((np.arange(per_axis) + 0.5) / per_axis) / ndtri(0.9)
    first, second = (axis.ravel() for axis in np.meshgrid(z, z))
    median = np.sqrt(life[0] * life[1]) * (life[1] / life[0]) ** (first / 2)
    shapes = np.sqrt(shape[0] * shape[1]) * (shape[1] / shape[0]) ** (second / 2)
    return LifeNodes.of(shapes, median / np.log(2) ** (1 / shapes), np.ones(median.size))


@dataclass(slots=True)
class Farm:
    """Positions simulated side by side with continuous lives drawn beforehand: the k-th part of a position has the k-th life."""

    lives: NDArray[np.float64]
    ages: NDArray[np.float64]
    part: NDArray[np.intp]

    @classmethod
    def new(cls, lives: NDArray[np.float64]) -> Farm:
        return cls(lives, np.zeros(len(lives)), np.zeros(len(lives), dtype=np.intp))

    def fit_new(self, places: NDArray[np.intp]) -> None:
        self.ages[places] = 0.0
        self.part[places] += 1

    def season(self, usage: float, limit: float, prices: ReplacementCosts) -> NDArray[np.float64]:
        """Cost of one season of every position: replaced at its start from the limit on, and whenever it fails."""
        due = np.flatnonzero(self.ages >= limit)
        self.fit_new(due)
        cost = np.zeros(len(self.lives))
        cost[due] += prices.planned_minor
        left = np.full(len(self.lives), usage)
        while True:
            to_failure = self.lives[np.arange(len(self.lives)), self.part] - self.ages
            failing = np.flatnonzero(to_failure <= left)
            if failing.size == 0:
                break
            cost[failing] += prices.failure_minor
            left[failing] -= to_failure[failing]
            self.fit_new(failing)
        self.ages += left
        return cost


def draws(rng: np.random.Generator, shape: float, scale: float, positions: int, parts: int) -> NDArray[np.float64]:
    return scale * rng.weibull(shape, (positions, parts))


def test_a_life_without_wear_costs_the_same_at_every_age() -> None:
    """Shape 1: cost to come = c_f x failures of a season / (1 - g), and replacing is never worth while."""
    table = tabulate(LifeNodes.known(1.0, 1_000.0), PRICES, Seasons(250.0, 250.0, 0.9))
    decided = decide(table, [0.0, 400.0, 2_000.0])
    for decision in decided:
        assert decision.cost_keep_minor == pytest.approx(700_00 * 0.25 / 0.1, rel=5e-4)
        assert decision.stops_keep == pytest.approx(0.25, rel=5e-4)
        assert decision.saving_minor == pytest.approx(-100_00, abs=1)
        assert decision.verdict is Verdict.RUN
        assert decision.limit_age is None


def test_impacts_alone_behave_like_a_life_without_wear() -> None:
    never_wears = LifeNodes.known(4.0, 1e9)
    table = tabulate(never_wears, PRICES, Seasons(500.0, 250.0, 0.9, impact_per_usage=0.001))
    kept = now_by_node(table, 1_000.0)
    assert kept.failures[0, 0] == pytest.approx(0.5, rel=2e-3)
    assert kept.cost[0, 0] == pytest.approx(700_00 * (0.5 + 0.25 * 9), rel=2e-3)


def test_a_season_without_use_costs_nothing_but_the_wait() -> None:
    table = tabulate(LifeNodes.known(3.0, 1_000.0), PRICES, Seasons(0.0, 250.0, 0.9))
    decision = decide(table, 900.0)[0]
    assert (decision.stops_keep, decision.lasts_season, decision.do) == (0.0, 1.0, Choice.RUN)
    used = tabulate(LifeNodes.known(3.0, 1_000.0), PRICES, Seasons(250.0, 250.0, 0.9))
    waits = decide(used, 900.0)[0]
    assert decision.cost_keep_minor == pytest.approx(
        0.9 * min(waits.cost_keep_minor, waits.cost_replace_minor), rel=1e-3
    )


def test_the_limit_age_is_where_the_decision_turns() -> None:
    table = tabulate(LifeNodes.known(3.0, 1_000.0), PRICES, Seasons(250.0, 250.0, 0.95))
    limit = limit_age(table)
    assert limit is not None
    before, past = decide(table, [limit - 5, limit + 5])
    assert (before.do, past.do) == (Choice.RUN, Choice.REPLACE)
    assert (before.verdict, past.verdict) == (Verdict.RUN, Verdict.REPLACE)
    assert before.limit_age == limit
    assert abs(before.saving_minor) < 0.02 * 700_00


def test_older_parts_save_more_when_replaced_and_avoid_more_stops() -> None:
    table = tabulate(belief((500, 2_000), (2, 5)), PRICES, Seasons(250.0, 250.0))
    decided = decide(table, np.linspace(0, 1_500, 12))
    savings = [decision.saving_minor for decision in decided]
    assert savings == sorted(savings)
    assert savings[0] == -100_00
    avoided = [decision.stops_avoided for decision in decided]
    assert avoided[0] == pytest.approx(0.0, abs=1e-12)
    assert avoided == sorted(avoided)
    assert all(decision.saving_low_minor <= decision.saving_minor <= decision.saving_high_minor for decision in decided)


def test_either_way_when_the_saving_lies_within_its_uncertainty() -> None:
    known = tabulate(LifeNodes.known(3.0, 1_000.0), PRICES, Seasons(250.0, 250.0))
    limit = limit_age(known)
    assert limit is not None
    guess = tabulate(belief((500, 2_000), (2, 5)), PRICES, Seasons(250.0, 250.0))
    unsure = decide(guess, limit + 20)[0]
    assert decide(known, limit + 20)[0].verdict is Verdict.REPLACE
    assert unsure.verdict is Verdict.EITHER_WAY
    assert unsure.saving_low_minor < 0 < unsure.saving_high_minor
    assert 0.2 < unsure.chance_saves < 0.9
    surer = decide(guess, limit + 20, level=0.02)[0]
    assert surer.saving_high_minor - surer.saving_low_minor < unsure.saving_high_minor - unsure.saving_low_minor


def test_what_falls_into_the_season_is_failures_at_their_price() -> None:
    decision = decide(tabulate(LifeNodes.known(3.0, 1_000.0), PRICES, Seasons(250.0, 250.0)), 600.0)[0]
    assert decision.season_keep_minor == round(700_00 * decision.stops_keep)
    assert decision.season_replace_minor == round(100_00 + 700_00 * decision.stops_replace)
    assert decision.lasts_season == pytest.approx(np.exp(0.6**3 - 0.85**3), rel=1e-12)


@pytest.mark.parametrize(
    ("shape", "scale", "usage"),
    [(2.0, 900.0, 250.0), (3.5, 1_000.0, 250.0), (3.0, 300.0, 250.0), (5.0, 2_000.0, 1_500.0)],
)
def test_ten_thousand_seasons_of_the_rule_cost_what_it_says(shape: float, scale: float, usage: float) -> None:
    """Long-run cost of a season, 200 positions x 50 seasons after 30 to forget the start; continuous ages and failure times."""
    nodes = LifeNodes.known(shape, scale)
    discount = 1 - 1e-9
    table = tabulate(nodes, PRICES, Seasons(usage, usage, discount))
    a_season = (1 - discount) * float(table.later.kept[0, 0])
    limit = limit_age(table)
    assert limit is not None
    farm = Farm.new(draws(np.random.default_rng(4_711), shape, scale, 200, 900))
    costs = np.array([farm.season(usage, limit, PRICES) for _ in range(80)])[30:]
    mean, error = costs.mean(), costs.mean(axis=0).std(ddof=1) / np.sqrt(200)
    assert abs(mean - a_season) < 3 * error + 0.005 * a_season


def test_keeping_and_replacing_now_cost_what_simulation_says() -> None:
    """20,000 positions at age 700, a first season of 400 and later ones of 250, discounted at 0.85 until nothing is left."""
    nodes = LifeNodes.known(2.5, 1_000.0)
    table = tabulate(nodes, PRICES, Seasons(400.0, 250.0, 0.85))
    later = float(table.grid.ages[int(np.argmin(table.keep))])
    rng = np.random.default_rng(11)
    for age in (700.0, 0.0):
        lives = draws(rng, 2.5, 1_000.0, 20_000, 60)
        # the part that lies there has lived to its age already
        lives[:, 0] = 1_000.0 * ((age / 1_000.0) ** 2.5 + rng.exponential(size=20_000)) ** (1 / 2.5)
        farm = Farm.new(lives)
        farm.ages[:] = age
        cost = farm.season(400.0, np.inf, PRICES)
        first = cost / 700_00
        for season in range(1, 45):
            cost += 0.85**season * farm.season(250.0, later - 1e-9, PRICES)
        kept = now_by_node(table, age)
        assert abs(cost.mean() - kept.cost[0, 0]) < 3 * cost.std() / np.sqrt(20_000) + 0.005 * kept.cost[0, 0]
        assert abs(first.mean() - kept.failures[0, 0]) < 3 * first.std() / np.sqrt(20_000) + 0.002


@pytest.mark.parametrize("shape", [0.8, 1.0, 1.3, 2.0, 4.0])
@pytest.mark.parametrize("ratio", [1.0, 3.0, 20.0])
@pytest.mark.parametrize("usage", [60.0, 400.0, 2_500.0])
def test_the_rule_is_never_dearer_than_run_to_failure_or_always_new(shape: float, ratio: float, usage: float) -> None:
    """Valued exactly, at every age on the grid."""
    grid = AgeGrid(usage / 8, 8, 14)
    step = season_step(survival(LifeNodes.known(shape, 1_000.0), grid.reached), grid)
    costs = RuleCosts(100_00.0, 100_00.0 * ratio, 0.95)
    keep, best = best_rule(step, costs)
    at_start = np.where(keep, best.kept[0], costs.planned + best.kept[0, 0])
    run = rule_value(step, np.ones(grid.count, dtype=bool), costs).kept[0]
    always = rule_value(step, np.arange(grid.count) == 0, costs).kept[0]
    always_start = np.where(np.arange(grid.count) == 0, always, costs.planned + always[0])
    assert np.all(at_start <= run * (1 + 1e-9))
    assert np.all(at_start <= always_start * (1 + 1e-9))


@pytest.mark.parametrize(
    ("shape", "scale", "usage"),
    [(3.5, 1_000.0, 250.0), (3.0, 300.0, 250.0), (2.0, 3_000.0, 250.0), (1.1, 800.0, 200.0)],
)
def test_the_rule_is_never_dearer_than_the_simple_rules_on_the_same_draws(
    shape: float, scale: float, usage: float
) -> None:
    """10,000 seasons each, the k-th part of a position living equally long under all three rules."""
    table = tabulate(LifeNodes.known(shape, scale), PRICES, Seasons(usage, usage, 1 - 1e-9))
    limit = limit_age(table)
    lives = draws(np.random.default_rng(99), shape, scale, 200, 900)
    cost = {}
    for name, at in (("rule", np.inf if limit is None else limit), ("run", np.inf), ("always new", 1e-9)):
        farm = Farm.new(lives)
        cost[name] = np.array([farm.season(usage, at, PRICES) for _ in range(50)]).sum(axis=0)
    for other in ("run", "always new"):
        more = cost["rule"] - cost[other]
        assert more.mean() <= 2 * more.std() / np.sqrt(200), other


def test_the_rule_for_an_uncertain_life_is_close_to_the_best_age_limit_on_the_mean_of_the_nodes() -> None:
    """All age limits of the grid tried: the rule costs within 1 % of the best, and less than the two simple rules."""
    nodes = belief((500, 2_000), (2, 5))
    table = tabulate(nodes, PRICES, Seasons(250.0, 250.0))
    costs = RuleCosts(float(PRICES.planned_minor), float(PRICES.failure_minor), 0.95)
    step = season_step(survival(nodes, table.grid.reached), table.grid)
    ages = np.arange(table.grid.count)
    by_limit = [
        float(nodes.weight @ rule_value(step, ages < limit, costs).kept[:, 0]) for limit in (*ages[1:], ages.size)
    ]
    ours = float(nodes.weight @ table.later.kept[:, 0])
    assert min(by_limit) <= ours * (1 + 1e-12) <= 1.01 * min(by_limit)
    assert ours < min(by_limit[0], by_limit[-1])


def test_a_thousand_farms_whose_lives_are_drawn_from_the_belief_pay_less_with_the_rule() -> None:
    """1,000 farms of 4 positions over 25 seasons, the same draws under every rule; nothing is learnt on the way."""
    rng = np.random.default_rng(77)
    nodes = belief((500, 2_000), (2, 5))
    table = tabulate(nodes, PRICES, Seasons(250.0, 250.0))
    later = float(table.grid.ages[int(np.argmin(table.keep))])
    life = rng.choice(nodes.weight.size, 1_000, p=nodes.weight).repeat(4)
    lives = nodes.scale[life][:, None] * rng.exponential(size=(4_000, 160)) ** (1 / nodes.shape[life])[:, None]
    cost = {}
    for name, limit in (("rule", later - 1e-9), ("run", np.inf), ("always new", 1e-9)):
        farm = Farm.new(lives)
        cost[name] = sum(farm.season(250.0, limit, PRICES) for _ in range(25)).reshape(1_000, 4).sum(axis=1)
    saved = {name: 1 - cost["rule"].mean() / cost[name].mean() for name in ("run", "always new")}
    print(f"\nthe rule saves {saved['run']:.1%} against run to failure, {saved['always new']:.1%} against always new")
    for name in ("run", "always new"):
        less = cost[name] - cost["rule"]
        assert less.mean() > 3 * less.std() / np.sqrt(1_000), name


def test_few_nodes_decide_like_many() -> None:
    many = belief((1_500, 8_000), (1.5, 4), per_axis=40)
    few = condense(many)
    seasons = Seasons(1_100.0, 1_000.0)
    by_many, by_few = (decide(tabulate(nodes, PRICES, seasons), [800, 3_000]) for nodes in (many, few))
    for a, b in zip(by_many, by_few, strict=True):
        assert b.cost_keep_minor == pytest.approx(a.cost_keep_minor, rel=0.01)
        assert b.saving_minor == pytest.approx(a.saving_minor, abs=0.02 * 700_00)
        assert b.stops_keep == pytest.approx(a.stops_keep, rel=0.02)


def test_a_finer_grid_changes_little() -> None:
    nodes, seasons = belief((500, 2_000), (2, 5)), Seasons(300.0, 250.0)
    usual = tabulate(nodes, PRICES, seasons)
    grid = usual.grid
    fine = tabulate(nodes, PRICES, seasons, grid=AgeGrid(grid.step / 4, grid.steps * 4, grid.seasons))
    for a, b in zip(decide(usual, [0, 500, 1_200]), decide(fine, [0, 500, 1_200]), strict=True):
        assert a.cost_keep_minor == pytest.approx(b.cost_keep_minor, rel=0.005)
        assert a.saving_minor == pytest.approx(b.saving_minor, rel=0.015, abs=100)


@pytest.mark.parametrize(
    ("costs", "seasons", "words"),
    [
        (ReplacementCosts(-1, 5), Seasons(1, 1), "negative"),
        (PRICES, Seasons(1, 0), "Nothing is planned"),
        (PRICES, Seasons(1, 1, 1.0), "discount of 1"),
        (PRICES, Seasons(1, 1, 0.9, -1), "impact is negative"),
    ],
)
def test_what_makes_no_sense_is_refused(costs: ReplacementCosts, seasons: Seasons, words: str) -> None:
    with pytest.raises(DataError, match=words):
        tabulate(LifeNodes.known(2.0, 100.0), costs, seasons)


def test_an_unknown_age_is_refused() -> None:
    with pytest.raises(DataError, match="age is not known"):
        decide(tabulate(LifeNodes.known(2.0, 100.0), PRICES, Seasons(1, 1)), [np.nan])
