"""Run on or stop: figures worked out a second way (closed forms, 4 million simulated lives, the age-replacement optimum)."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.optimize import minimize_scalar

from wearlog.costs.tonight import Tonight, late_minor
from wearlog.facts.closed_lists import Mode
from wearlog.plan.collateral import collateral_of
from wearlog.plan.life_nodes import LifeNodes
from wearlog.plan.residual_life import AgedPart
from wearlog.plan.run_or_stop import FailureCost, MendFirst, Opportunity, StopOrRun, weigh_opportunities
from wearlog.wear.left_running import LeftRunning, left_running, should_last
from wearlog.wear.replacement import age_replacement

PART, LABOUR, STANDS, SHOP, HOUR, TAKES_ALONG, GAIN = 45.0, 18.53, 0.75, 0.5, 112.50, 76.80, 0.18
IN_FIELD = PART + LABOUR * STANDS
FAILURE = IN_FIELD + STANDS * HOUR + TAKES_ALONG
#: now, fuel, dusk, field done, season's end
WAYS = (
    Opportunity(0.0, IN_FIELD + STANDS * HOUR),
    Opportunity(13.0, IN_FIELD + (STANDS - 20 / 60) * HOUR),
    Opportunity(40.08, IN_FIELD),
    Opportunity(60.0, IN_FIELD),
    Opportunity(1200.0, PART + SHOP * LABOUR),
)
NOW, FUEL, DUSK, DONE, END = range(5)


def weighed(usage: float = 300.0, shape: float = 1.5) -> StopOrRun:
    return weigh_opportunities(LeftRunning(shape, usage), WAYS, FailureCost(FAILURE), gain=GAIN)


def test_each_way_costs_what_was_worked_out() -> None:
    found = weighed()
    assert round(FAILURE, 2) == 220.07
    assert [round(one.planned_minor, 2) for one in WAYS] == [143.27, 105.77, 58.90, 58.90, 54.27]
    assert [round(one.cost_minor, 2) for one in found.ways] == [143.27, 110.55, 79.97, 88.05, 145.54]
    assert round(1 - found.ways[DUSK].breaks_first, 4) == 0.8285
    assert found.best == DUSK


def test_how_sure_it_is() -> None:
    found = weighed()
    assert [round(one.chance_best, 2) for one in found.ways] == [0.0, 0.04, 0.84, 0.0, 0.12]


def test_now_less_dusk() -> None:
    """With these two ways alone the difference has its 10, 50 and 90 % points at 35, 67 and 85."""
    two = [WAYS[NOW], WAYS[DUSK]]
    law = LeftRunning(1.5, 300.0)
    ends = weigh_opportunities(law, two, FailureCost(FAILURE), gain=GAIN).next_less_best
    middle = weigh_opportunities(law, two, FailureCost(FAILURE), gain=GAIN, level=0.0).next_less_best
    assert [round(one) for one in (ends[0], middle[0], ends[1])] == [35, 67, 85]


def test_a_part_about_to_go_is_changed_sooner_and_a_good_one_not_at_all() -> None:
    soon, late = weighed(60.0), weighed(3000.0)
    assert (round(soon.ways[FUEL].cost_minor, 2), round(soon.ways[DUSK].cost_minor, 2)) == (132.88, 140.38)
    assert soon.best == FUEL
    assert round(late.ways[END].cost_minor, 2) == -47.26
    assert late.best == END


def test_the_means_are_those_of_simulated_lives() -> None:
    """A million lives from the belief; the standard errors of the differences are about .1."""
    generator = np.random.default_rng(7)
    lives = generator.exponential(1.0, 1_000_000) / generator.gamma(1.5, 1 / 300.0, 1_000_000)
    for way, found in zip(WAYS[1:], weighed().ways[1:], strict=True):
        first = lives < way.usage
        cost = np.where(first, FAILURE, way.planned_minor) - GAIN * np.minimum(lives, way.usage)
        assert found.cost_minor == pytest.approx(float(cost.mean()), abs=4 * float(cost.std()) / 1000)


def test_with_a_chance_at_every_moment_it_is_age_replacement() -> None:
    rate = age_replacement(2.5, 1000.0, planned_cost=1.0, failure_cost=5.0)
    assert round(rate.cost_rate, 8) == 0.00346204

    def costs(age: float, usage: float) -> float:
        law = AgedPart(LifeNodes.known(2.5, 1000.0), age)
        way = Opportunity(usage, 1.0)
        return weigh_opportunities(law, [way], FailureCost(5.0), gain=rate.cost_rate).ways[0].cost_minor

    def best(age: float) -> tuple[float, float]:
        found = minimize_scalar(
            lambda usage: costs(age, usage), bounds=(0.0, 2000.0), method="bounded", options={"xatol": 1e-7}
        )
        return float(found.x), float(found.fun)

    new, used, old = best(0.0), best(300.0), best(800.0)
    assert (round(new[0], 2), round(rate.age, 3), round(new[1], 6)) == (493.05, 493.047, 0.0)
    assert (round(used[0], 2), round(used[1], 5)) == (193.05, 0.82329)
    assert round(old[0], 3) == 0.0
    assert costs(800.0, 0.0) == 1.0


def test_records_of_parts_left_in_service_move_the_belief() -> None:
    law = LeftRunning(1.5, 300.0)
    assert round(float(law.after(1, 20.0).survival(40.08)), 4) == 0.7445
    assert round(float(law.after(2, 325.0).survival(40.08)), 4) == 0.8045


def test_a_typed_range_is_a_belief() -> None:
    law = should_last(40.0, 360.0)
    assert (round(law.shape, 3), round(law.usage, 1)) == (1.696, 137.2)


def test_a_mode_is_a_share_of_a_life() -> None:
    cracked, by_hand = left_running(Mode.CRACKED, 2400.0), should_last(40.0, 360.0)
    assert (cracked.shape, cracked.usage) == (pytest.approx(by_hand.shape), pytest.approx(by_hand.usage))
    assert left_running(Mode.WORN, 2400.0).usage == pytest.approx(4 * cracked.usage)


@pytest.mark.parametrize(
    ("breakages", "took", "chance", "low", "high"),
    [
        (0, 0, 0.10, 0.0005, 0.36),
        (10, 0, 0.033, None, None),
        (10, 2, 0.167, 0.042, 0.342),
        (40, 6, 0.144, 0.069, 0.238),
    ],
)
def test_how_often_a_failure_takes_something_along(
    breakages: int, took: int, chance: float, low: float | None, high: float | None
) -> None:
    found = collateral_of(breakages, took, 0.0, 45.0)
    assert round(found.chance, 3) == chance
    assert float(np.mean(found.believed)) == pytest.approx(found.chance)
    if low is not None and high is not None:
        assert (round(found.low, 4 if low < 0.01 else 3), round(found.high, 2 if high == 0.36 else 3)) == (low, high)


def test_an_hour_tonight() -> None:
    late = late_minor(grain_minor_per_area=240.0, loss_per_day=0.005, days_of_delay=2.0, rain_chance=0.6)
    assert round(late, 2) == 6.72
    evening, short = Tonight(3.0, 60.0, 13.36, 18.53, late), Tonight(3.0, 20.0, 13.36, 18.53, late)
    assert evening.standing_minor([0.5, 1.0, 2.0]).round(2).tolist() == [54.15, 108.31, 216.62]
    assert short.standing_minor([0.5, 1.0, 2.0]) == pytest.approx([9.265, 18.53, 81.68], abs=0.005)


def test_a_stop_late_in_the_evening_loses_no_more_than_is_left() -> None:
    evening = Tonight(3.0, 60.0, 13.36, 18.53, 6.72)
    assert evening.standing_later_minor(1.0, 0.0) == pytest.approx(float(evening.standing_minor(1.0)))
    assert float(evening.standing_later_minor(1.0, 3.0 * 13.36)) == 0.0


def test_the_rule_beats_always_the_same_way() -> None:
    """3,000 cases with the truth drawn from the belief: the rule costs less than now, dusk or never for all; what is said comes."""
    generator = np.random.default_rng(19)
    said, came = np.zeros((3_000, 4)), np.zeros((3_000, 4))
    for case in range(3_000):
        law = LeftRunning(1.5, float(np.exp(generator.normal(np.log(200.0), 1.0))))
        part, stands = float(generator.uniform(20, 400)), float(generator.uniform(0.5, 4.0))
        field = part + stands * LABOUR
        ways = [Opportunity(0.0, field + stands * HOUR), Opportunity(40.0, field), Opportunity(1200.0, part + 10.0)]
        failure = field + stands * HOUR + 0.1 * part
        gain = float(generator.uniform(0.05, 0.5))
        found = weigh_opportunities(law, ways, FailureCost(failure), gain=gain)
        life = generator.exponential() / generator.gamma(law.shape, 1 / law.usage)
        cost = [(failure if life < way.usage else way.planned_minor) - gain * min(life, way.usage) for way in ways]
        came[case] = [cost[found.best], *cost]
        said[case] = [one.cost_minor for one in (found.ways[found.best], *found.ways)]
    assert came.mean(axis=0)[0] < came.mean(axis=0)[1:].min() - 1
    assert said.mean(axis=0).round().tolist() == [313, 505, 322, 417]
    error = (came - said).std(axis=0) / 3_000**0.5
    assert (np.abs((came - said).mean(axis=0)) <= 4 * error + 1e-9).all()


def test_a_new_part_that_is_changed_now_costs_just_the_change() -> None:
    nodes = LifeNodes(np.array([2.5]), np.array([1000.0]), np.array([1.0]))
    found = weigh_opportunities(AgedPart(nodes, 0.0), (Opportunity(0.0, 30.0),), FailureCost(200.0), gain=0.1)
    assert (found.ways[0].cost_minor, found.ways[0].breaks_first) == (30.0, 0.0)


def test_mending_first_costs_what_simulated_lives_cost() -> None:
    """A million mended parts: mended for 25 now, changed at season's end or when they break; and how often that is the cheapest."""
    generator = np.random.default_rng(23)
    mended = MendFirst(25.0, LeftRunning(1.5, 4000.0), WAYS[1:])
    found = weigh_opportunities(LeftRunning(1.5, 300.0), WAYS, FailureCost(FAILURE), gain=GAIN, mend=mended)
    way = found.ways[-1]
    assert found.mended_then is not None
    then = WAYS[1:][found.mended_then]
    assert then is WAYS[END]
    lives = generator.exponential(1.0, 1_000_000) / generator.gamma(1.5, 1 / 4000.0, 1_000_000)
    first = lives < then.usage
    cost = 25.0 + np.where(first, FAILURE, then.planned_minor) - GAIN * np.minimum(lives, then.usage)
    assert way.cost_minor == pytest.approx(float(cost.mean()), abs=4 * float(cost.std()) / 1000)
    assert way.breaks_first == pytest.approx(float(first.mean()), abs=0.002)
    # the other ways cost what they cost without it, and the shares add up
    assert [one.cost_minor for one in found.ways[:-1]] == [one.cost_minor for one in weighed().ways]
    assert sum(one.chance_best for one in found.ways) == pytest.approx(1.0)


def test_the_share_in_which_mending_is_the_cheapest_is_that_of_drawn_beliefs() -> None:
    """200,000 pairs of hazards, one of the cracked part and one of a mended one, drawn apart from each other."""
    generator = np.random.default_rng(29)
    mended = MendFirst(25.0, LeftRunning(1.5, 2000.0), [WAYS[END]])
    two = (WAYS[DUSK], WAYS[END])
    said = weigh_opportunities(LeftRunning(1.5, 300.0), two, FailureCost(FAILURE), gain=GAIN, mend=mended).ways
    assert 0.02 < said[-1].chance_best < 0.98

    def costs(hazard: np.ndarray, way: Opportunity) -> np.ndarray:
        lasts = np.exp(-hazard * way.usage)
        return np.asarray(lasts * way.planned_minor + (1 - lasts) * (FAILURE - GAIN / hazard))

    left, after = (generator.gamma(1.5, 1 / usage, 200_000) for usage in (300.0, 2000.0))
    drawn = np.column_stack([*(costs(left, way) for way in two), 25.0 + costs(after, WAYS[END])])
    share = np.bincount(drawn.argmin(axis=1), minlength=3) / len(drawn)
    assert [one.chance_best for one in said] == pytest.approx(share.tolist(), abs=0.01)
