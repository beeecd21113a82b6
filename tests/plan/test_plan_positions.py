"""Sets of positions: as a set and one by one, whichever costs less."""

from __future__ import annotations

from itertools import combinations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from wearlog.errors import DataError
from wearlog.plan.age_table import ReplacementCosts, Seasons, tabulate
from wearlog.plan.decide import Verdict, decide
from wearlog.plan.life_nodes import LifeNodes
from wearlog.plan.positions import SetChoice, SetCosts, decide_positions
from wearlog.plan.set_renewal import best_set_interval, until_renewal

NODES = LifeNodes.known(3.5, 1_000.0)
SEASONS = Seasons(250.0, 250.0, 0.95)


def test_without_a_setup_each_position_is_decided_on_its_own() -> None:
    ages = np.array([0.0, 300.0, 700.0, 1_100.0])
    singly = decide(tabulate(NODES, ReplacementCosts(100_00, 700_00), SEASONS), ages)
    both = decide_positions(NODES, ages, SetCosts(0, 100_00, 700_00), SEASONS)
    assert both.choice is SetChoice.SOME
    assert both.replace == tuple(place for place, one in enumerate(singly) if one.saving_minor > 0)
    assert both.saving.mean_minor == pytest.approx(sum(max(one.saving_minor, 0) for one in singly), abs=4)
    assert both.cost_run_minor == pytest.approx(sum(one.cost_keep_minor for one in singly), abs=4)
    assert both.seasons_between_sets is None
    assert both.by_position == singly
    assert both.verdict is Verdict.REPLACE


def test_young_positions_are_run() -> None:
    decision = decide_positions(NODES, np.full(6, 50.0), SetCosts(50_00, 100_00, 700_00), SEASONS)
    assert (decision.choice, decision.replace) == (SetChoice.RUN, ())
    assert decision.saving.mean_minor < 0
    assert decision.stops_chosen == decision.stops_run


def test_a_dear_setup_makes_it_the_whole_set_or_nothing() -> None:
    """Opening up costs 10 times a part: one old position does not pay for it, ten old ones are renewed together."""
    costs = SetCosts(1_000_00, 100_00, 900_00)
    one_old = decide_positions(NODES, np.append(np.full(9, 100.0), 900.0), costs, SEASONS)
    assert one_old.choice is SetChoice.RUN
    all_old = decide_positions(NODES, np.full(10, 900.0), costs, SEASONS)
    assert all_old.choice in (SetChoice.SOME, SetChoice.WHOLE_SET)
    assert len(all_old.replace) == 10
    assert all_old.stops_chosen < all_old.stops_run / 5
    assert all_old.seasons_between_sets is not None


def test_a_set_sold_cheaply_is_renewed_whole() -> None:
    costs = SetCosts(100_00, 100_00, 700_00, whole_set_minor=400_00)
    decision = decide_positions(NODES, np.linspace(300.0, 900.0, 10), costs, SEASONS)
    assert decision.choice is SetChoice.WHOLE_SET
    assert decision.replace == tuple(range(10))
    assert decision.cost_set_minor <= decision.cost_some_minor < decision.cost_run_minor


def test_the_choice_is_never_dearer_than_either_simple_way() -> None:
    rng = np.random.default_rng(8)
    for setup in (0, 80_00, 600_00):
        ages = rng.uniform(0, 1_200, 12)
        found = decide_positions(NODES, ages, SetCosts(setup, 100_00, 700_00), SEASONS)
        cost = {SetChoice.RUN: found.cost_run_minor, SetChoice.SOME: found.cost_some_minor}
        cost[SetChoice.WHOLE_SET] = found.cost_set_minor
        assert cost[found.choice] == min(cost.values())
        assert (found.saving.mean_minor > 0) is (found.choice is not SetChoice.RUN)


def test_renewing_a_set_for_ever_costs_what_simulation_says() -> None:
    """2,000 sets of 5, renewed every J seasons, failures in between singly; discounted at 0.85 over 60 seasons."""
    seasons = Seasons(400.0, 250.0, 0.85)
    table = tabulate(NODES, ReplacementCosts(300_00, 700_00), seasons)
    plan = best_set_interval(table, 5, 800_00.0)
    rng = np.random.default_rng(21)

    def simulate(start: float, renew_first: int) -> tuple[float, float]:
        scale, shape = 1_000.0, 3.5
        to_failure = scale * ((start / scale) ** shape + rng.exponential(size=(2_000, 5))) ** (1 / shape) - start
        cost = np.zeros(2_000)
        for season in range(60):
            if season >= renew_first and (season - renew_first) % plan.seasons == 0:
                to_failure = scale * rng.weibull(shape, (2_000, 5))
                cost += 0.85**season * 800_00
            to_failure -= 400.0 if season == 0 else 250.0
            while np.any(to_failure <= 0):
                failed = to_failure <= 0
                cost += 0.85**season * 700_00 * failed.sum(axis=1)
                to_failure = np.where(failed, to_failure + scale * rng.weibull(shape, (2_000, 5)), to_failure)
        return float(cost.mean()), float(cost.std() / np.sqrt(2_000))

    mean, error = simulate(0.0, plan.seasons)
    new = until_renewal(table, np.zeros(5), plan)
    at = plan.seasons - 1
    assert abs(mean - (5 * new.new + new.renewals)[0, at]) < 3 * error + 0.01 * mean
    np.testing.assert_allclose(new.kept, np.repeat(new.new[..., None], 5, axis=-1), rtol=1e-3)
    waits = [simulate(500.0, wait)[0] for wait in range(1, 6)]
    old = until_renewal(table, np.full(5, 500.0), plan)
    np.testing.assert_allclose((old.kept.sum(axis=-1) + old.renewals)[0, :5], waits, rtol=0.02)


def test_replacing_a_few_now_and_the_set_later_costs_what_simulation_says() -> None:
    """4,000 sets of 5: places 3 and 4 renewed now, all five after 2 seasons, and so on; discounted at 0.85 over 60 seasons."""
    seasons = Seasons(300.0, 250.0, 0.85)
    table = tabulate(NODES, ReplacementCosts(300_00, 700_00), seasons)
    plan = best_set_interval(table, 5, 800_00.0)
    ages = np.array([200.0, 300.0, 400.0, 800.0, 900.0])
    until = until_renewal(table, ages, plan)
    figured = float(until.kept[0, 1, :3].sum() + 2 * until.new[0, 1] + until.renewals[0, 1])
    rng = np.random.default_rng(22)
    start = np.where(ages > 700, 0.0, ages)
    to_failure = 1_000.0 * ((start / 1_000.0) ** 3.5 + rng.exponential(size=(4_000, 5))) ** (1 / 3.5) - start
    cost = np.zeros(4_000)
    for season in range(60):
        if season >= 2 and (season - 2) % plan.seasons == 0:
            to_failure = 1_000.0 * rng.weibull(3.5, (4_000, 5))
            cost += 0.85**season * 800_00
        to_failure -= 300.0 if season == 0 else 250.0
        while np.any(to_failure <= 0):
            failed = to_failure <= 0
            cost += 0.85**season * 700_00 * failed.sum(axis=1)
            to_failure = np.where(failed, to_failure + 1_000.0 * rng.weibull(3.5, (4_000, 5)), to_failure)
    assert abs(figured - cost.mean()) < 3 * cost.std() / np.sqrt(4_000) + 0.01 * cost.mean()


@settings(max_examples=40, deadline=None)
@given(
    st.lists(st.floats(0, 1_500, allow_subnormal=False), min_size=1, max_size=6),
    st.integers(0, 900_00),
    st.integers(1_00, 300_00),
    st.integers(0, 900_00),
    st.one_of(st.none(), st.integers(50_00, 900_00)),
)
def test_no_other_choice_of_positions_costs_less(
    ages: list[float], setup: int, each: int, more: int, whole: int | None
) -> None:
    """All 2^n choices, each going on in the way that then costs least."""
    found = decide_positions(NODES, ages, SetCosts(setup, each, each + more, whole), SEASONS)
    for some in ((), found.best, tuple(range(0, len(ages), 2))):
        saving = found.saving_of(some)
        assert saving.mean_minor == found.cost_run_minor - found.cost_minor(some)
        # a belief of one node: the interval is the mean
        assert saving.low_minor == pytest.approx(saving.mean_minor, abs=1) == saving.high_minor
    assert found.saving == found.saving_of(found.best)
    least = min(
        found.cost_minor(some) for size in range(len(ages) + 1) for some in combinations(range(len(ages)), size)
    )
    assert found.cost_minor(found.replace) <= least + 1
    assert found.cost_minor(()) == found.cost_run_minor
    assert found.cost_minor(range(len(ages))) == found.cost_set_minor


def test_of_a_set_to_be_renewed_later_what_failed_already_is_replaced_now() -> None:
    """Opening up costs little, the set is renewed whole in some seasons: a broken part is not left in until then."""
    ages = np.append(np.full(9, 250.0), 1e7)
    found = decide_positions(NODES, ages, SetCosts(150_00, 100_00, 900_00), SEASONS)
    assert (found.choice, found.replace) == (SetChoice.SOME, (9,))
    assert found.seasons_between_sets is not None
    assert found.verdict is Verdict.REPLACE


def test_failures_since_new_of_a_life_without_wear_grow_evenly() -> None:
    """Shape 1: the renewal function is usage / scale."""
    table = tabulate(LifeNodes.known(1.0, 400.0), ReplacementCosts(300_00, 700_00), SEASONS)
    plan = best_set_interval(table, 3, 500_00.0)
    usage = plan.step * np.arange(plan.new_failures.shape[1])
    np.testing.assert_allclose(plan.new_failures[0], usage / 400.0, rtol=2e-3)


def test_uncertain_lives_carry_into_the_saving_of_a_set() -> None:
    belief = LifeNodes.of([2.0, 3.0, 4.0], [600.0, 1_200.0, 2_400.0], [1, 1, 1])
    decision = decide_positions(belief, np.full(8, 700.0), SetCosts(200_00, 100_00, 700_00), SEASONS)
    assert decision.saving.low_minor < decision.saving.mean_minor < decision.saving.high_minor
    assert 0 < decision.saving.chance < 1
    assert decision.verdict is Verdict.EITHER_WAY
    one = decision.saving_of((0,))
    assert one.low_minor <= one.mean_minor <= one.high_minor
    assert one.mean_minor < decision.saving.mean_minor


def test_a_set_without_positions_is_refused() -> None:
    with pytest.raises(DataError, match="without positions"):
        decide_positions(NODES, [], SetCosts(0, 1, 2), SEASONS)
