"""Does the plan pay? A sample of simulated farms: records first, then a decision every winter, played with the true lives.

The thousand farms, with their figures, stand in tests/bench/test_bench_plan_pays.py.
"""

from __future__ import annotations

import numpy as np
import pytest

from tests.plan.farm_reckoning import Bill, Compared, bills, totals
from tests.plan.farm_rules import Rule
from tests.plan.simulated_farms import ARTICLES, RECORDED, Floats, draw_farm, recorded_farm, waits

FARMS = 60
SEASONS = 2
RULES = (Rule.PLAN, Rule.RUN_WITHIN, Rule.PLAN_FREE, Rule.RUN, Rule.NEW)

Bills = list[dict[Rule, Bill]]


@pytest.fixture(scope="module")
def played() -> Bills:
    return [bills(number, SEASONS, RULES) for number in range(FARMS)]


@pytest.fixture(scope="module")
def cost(played: Bills) -> dict[Rule, Floats]:
    return totals(played)


@pytest.mark.parametrize("simple", [Rule.RUN, Rule.NEW])
def test_the_plan_costs_less_than_either_simple_rule(cost: dict[Rule, Floats], simple: Rule) -> None:
    found = Compared.of(cost[Rule.PLAN_FREE], cost[simple])
    print(f"\n{found} against {simple.value}")
    assert found.saved > 3 * found.error


def test_within_a_budget_the_plan_costs_less_than_running_to_failure_within_it(cost: dict[Rule, Floats]) -> None:
    found = Compared.of(cost[Rule.PLAN], cost[Rule.RUN_WITHIN])
    print(f"\n{found} within the budget")
    assert found.saved > 3 * found.error


def test_the_plan_is_not_dearer_than_the_rule_that_turned_out_better_on_each_farm(cost: dict[Rule, Floats]) -> None:
    found = Compared.of(cost[Rule.PLAN_FREE], np.minimum(cost[Rule.RUN], cost[Rule.NEW]))
    print(f"\n{found} against the better of both")
    assert found.saved > -3 * found.error


@pytest.mark.parametrize("rule", [Rule.PLAN, Rule.PLAN_FREE])
def test_as_many_parts_fail_as_the_plan_expected_before_each_season(played: Bills, rule: Rule) -> None:
    """True lives come from the starting guesses, so that beliefs formed from records have to be right on the mean."""
    more = np.array([one[rule].stops - one[rule].expected_stops for one in played])
    assert abs(more.mean()) < 3 * more.std(ddof=1) / np.sqrt(FARMS)


def test_a_farm_played_again_costs_the_same() -> None:
    assert bills(3, 2, (Rule.PLAN,)) == bills(3, 2, (Rule.PLAN,))


def test_the_records_hold_every_acre_and_hour_of_every_place() -> None:
    farm = draw_farm(8, 1)
    seasons = slice(farm.before, farm.before + RECORDED)
    for article, shelf in zip(ARTICLES, recorded_farm(farm), strict=True):
        seen = sum(leaving - entry for entry, leaving, _ in shelf.ended) + float((shelf.ages - shelf.entry).sum())
        asked = float(farm.usage(article)[seasons].sum())
        assert seen == pytest.approx(asked * article.components * article.positions, rel=1e-9)


def test_parts_fail_when_the_lives_drawn_for_them_are_over() -> None:
    """Belts, which no stone breaks: every place takes one part after the other."""
    belts = next(at for at, article in enumerate(ARTICLES) if article.kind.name == "main drive belt")
    found = 0
    for number in range(20):
        farm = draw_farm(number, 1)
        shelf = recorded_farm(farm)[belts]
        ran = float(farm.usage(ARTICLES[belts])[: farm.first_decided].sum())
        ends = np.cumsum(farm.truths[belts].lives, axis=1)
        used = (ends <= ran).sum(axis=1)
        assert shelf.part.tolist() == used.tolist()
        begun = np.array([0.0 if count == 0 else row[count - 1] for row, count in zip(ends, used, strict=True)])
        assert shelf.ages == pytest.approx(ran - begun, rel=1e-9)
        found += int(used.sum())
    assert found > 0


@pytest.mark.parametrize(("failed", "stock", "pack", "times"), [(3, 3, 1, 0), (5, 3, 1, 2), (5, 3, 4, 1), (9, 0, 4, 3)])
def test_who_runs_out_waits_for_a_whole_pack(failed: int, stock: int, pack: int, times: int) -> None:
    assert waits(failed, stock, pack) == times
