"""Speed of the season plan, as ratios to a plain matrix product timed in the same run, and against the limits of the screens."""

from __future__ import annotations

import time
from collections.abc import Callable

import numpy as np
import pytest
from scipy.special import ndtri

from wearlog.plan.age_table import ReplacementCosts, Seasons, tabulate
from wearlog.plan.budget import Limits, Wishes, choose
from wearlog.plan.decide import decide
from wearlog.plan.demand import KindWear, PositionGroup, season_demand
from wearlog.plan.life_nodes import LifeNodes, condense
from wearlog.plan.spares import SparePart, advise
from wearlog.plan.totals import ReplaceLines, plan_totals

pytestmark = pytest.mark.bench

#: median life, shape, usage of a season: the kinds of a combine and its header, common practice
KINDS = [
    ((1_500, 8_000), (1.5, 4), 1_500), ((4_000, 20_000), (1.5, 4), 1_500), ((2_000, 9_000), (1.5, 4), 1_500),
    ((500, 2_500), (1.5, 4), 200), ((500, 2_000), (2, 5), 200), ((400, 2_000), (2, 5), 200), ((600, 3_000), (2, 5), 200),
    ((1_000, 5_000), (2, 5), 200), ((200, 1_500), (1.5, 4), 200), ((300, 2_000), (1.2, 3), 200),
    ((1_000, 8_000), (1, 2.5), 200),
]  # fmt: skip


def belief(life: tuple[float, float], shape: tuple[float, float]) -> LifeNodes:
    z = ndtri((np.arange(40) + 0.5) / 40) / ndtri(0.9)
    first, second = (axis.ravel() for axis in np.meshgrid(z, z))
    median = np.sqrt(life[0] * life[1]) * (life[1] / life[0]) ** (first / 2)
    shapes = np.sqrt(shape[0] * shape[1]) * (shape[1] / shape[0]) ** (second / 2)
    return LifeNodes.of(shapes, median / np.log(2) ** (1 / shapes), np.ones(median.size))


def seconds(work: Callable[[], object], times: int = 3) -> float:
    best = np.inf
    for _ in range(times):
        start = time.perf_counter()
        work()
        best = min(best, time.perf_counter() - start)
    return float(best)


def yardstick() -> float:
    """One product of two 500 x 500 matrices in double precision."""
    matrix = np.random.default_rng(0).random((500, 500))
    return seconds(lambda: matrix @ matrix, 20)


def test_the_decision_for_a_fleet_of_150_components_takes_less_than_a_second() -> None:
    beliefs = [belief(life, shape) for life, shape, _ in KINDS]
    rng = np.random.default_rng(1)
    usages = [(KINDS[place % len(KINDS)][2] * rng.uniform(0.7, 1.3), place % len(KINDS)) for place in range(150)]

    def fleet() -> None:
        condensed = [condense(nodes) for nodes in beliefs]
        for usage, kind in usages:
            table = tabulate(condensed[kind], ReplacementCosts(120_00, 900_00), Seasons(usage, usage * 0.9))
            decide(table, rng.uniform(0, 3 * usage, 4))

    took, unit = seconds(fleet), yardstick()
    print(f"\n150 components: {took:.3f} s, {took / unit:,.0f} matrix products, {took / 150 * 1e3:.1f} ms each")
    assert took < 1.0


def test_toggling_one_line_recomputes_the_totals_in_less_than_50_milliseconds() -> None:
    rng = np.random.default_rng(2)
    few = condense(belief(*KINDS[0][:2]))
    ages = rng.uniform(0, 5_000, 210)
    section = SparePart(4_00, 20, 10, 40.0, 300_00.0, 1.5)
    others = [
        advise(section, season_demand([KindWear(few, (PositionGroup(ages[:n], 1_000.0),))])) for n in range(1, 60)
    ]
    lines = ReplaceLines(
        rng.integers(10_00, 900_00, 150), rng.integers(-100_00, 900_00, 150), rng.integers(600, 20_000, 150),
        rng.random(150), rng.random(150) / 4, rng.random(150) * 4,
    )  # fmt: skip
    chosen = rng.random(150) < 0.3

    def toggle() -> None:
        """One knife of 70 renewed: the demand of its part is worked out again, the part's advice, and all sums."""
        chosen[7] = not chosen[7]
        now = np.where((np.arange(210) < 70) & chosen[7], 0.0, ages)
        groups = tuple(PositionGroup(now[first : first + 70], 1_000.0 + first) for first in (0, 70, 140))
        plan_totals(lines, chosen, [*others, advise(section, season_demand([KindWear(few, groups)]))])

    took, unit = seconds(toggle, 7), yardstick()
    print(f"\ntoggle: {took * 1e3:.1f} ms, {took / unit:,.1f} matrix products")
    assert took < 0.05


def test_a_budget_over_150_lines_is_settled_within_a_second() -> None:
    rng = np.random.default_rng(4)
    spend = rng.integers(20_00, 2_000_00, 150)
    wishes = Wishes.of(rng.integers(-100_00, 3_000_00, 150), spend, rng.integers(600, 40_000, 150))
    took, unit = seconds(lambda: choose(wishes, Limits(6_000_00, 80 * 3_600))), yardstick()
    print(f"\nbudget of 150 lines: {took * 1e3:.1f} ms, {took / unit:,.1f} matrix products")
    assert took < 1.0


def test_a_decision_costs_in_proportion_to_its_nodes() -> None:
    nodes = belief(*KINDS[4][:2])
    seasons = Seasons(200.0, 200.0)
    took = [seconds(lambda n=n: tabulate(condense(nodes, n), ReplacementCosts(1, 9), seasons)) for n in (32, 512)]  # type: ignore[misc]
    print(f"\n16 times the nodes: {took[1] / took[0]:.1f} times the time")
    assert took[1] / took[0] < 32
