"""What the plan saves on 1,000 simulated farms, and against what; takes some minutes, so it stands with the benches."""

from __future__ import annotations

from concurrent.futures import ProcessPoolExecutor
from multiprocessing import get_context

import numpy as np
import pytest

from tests.plan.farm_reckoning import Bill, Compared, bills, totals
from tests.plan.farm_rules import Rule

pytestmark = pytest.mark.bench

FARMS = 1_000
_BOTH = f"{Rule.RUN.value} and {Rule.NEW.value}"
PAIRS = (
    (Rule.PLAN_FREE, Rule.RUN),
    (Rule.PLAN_FREE, Rule.NEW),
    (Rule.PLAN_FREE, Rule.RUN_ONE_PACK),
    (Rule.PLAN_FREE, Rule.NEW_ONE_PACK),
    (Rule.PLAN, Rule.RUN_WITHIN),
    (Rule.PLAN, Rule.RUN),
    (Rule.PLAN, Rule.NEW),
    (Rule.PLAN, Rule.PLAN_FREE),
)


def test_the_plan_pays_on_a_thousand_farms() -> None:
    with ProcessPoolExecutor(2, mp_context=get_context("spawn")) as workers:
        played = list(workers.map(bills, range(FARMS), chunksize=25))
    cost = totals(played)
    on_each = np.minimum(cost[Rule.RUN], cost[Rule.NEW])
    better = {rule: Compared.of(cost[rule], on_each) for rule in (Rule.PLAN_FREE, Rule.PLAN)}
    compared = {(ours, theirs): Compared.of(cost[ours], cost[theirs]) for ours, theirs in PAIRS}
    print()
    for rule in Rule:
        print(_line(rule, [one[rule] for one in played]))
    for (ours, theirs), found in compared.items():
        print(f"{ours.value} against {theirs.value}: {_told(found)}")
    for rule, found in better.items():
        print(f"{rule.value} against what turned out better on each farm of {_BOTH}: {_told(found)}")
    for (ours, theirs), found in compared.items():
        assert theirs.plans or found.saved > 3 * found.error, (ours, theirs)
    for rule, found in better.items():
        assert found.saved > -3 * found.error, rule


def _line(rule: Rule, found: list[Bill]) -> str:
    parts = ("total", "planned", "failures", "waiting", "carrying", "used_up")
    money = ", ".join(f"{name} {np.mean([getattr(one, name) for one in found]) / 100:,.0f}" for name in parts)
    stops, expected, bound = (
        np.mean([getattr(one, name) for one in found]) for name in ("stops", "expected_stops", "bound")
    )
    told = f" ({expected:.1f} expected)" if rule.plans else ""
    return f"{rule.value}: {money}; {stops:.1f} stops{told}, the budget told in {bound:.1f} winters"


def _told(found: Compared) -> str:
    return (
        f"saves {found.saved:.1%}, standard error {found.error:.1%}; "
        f"cheaper on {found.cheaper:.0%} of the farms, equal on {found.equal:.0%}"
    )
