"""What a kind's records say without the guess, how many break as a range, and the breakages that as much work again will see."""

from __future__ import annotations

import math
from datetime import datetime

import numpy as np
import pytest

from tests.small_farm import SmallFarm, harvest
from wearlog.facts.closed_lists import Action, MachineKind
from wearlog.reckoning.farm import read_farm
from wearlog.reckoning.wear.kind_view import KindView, kind_view
from wearlog.reckoning.wear.repairs_again import count_ahead, present_rate, repairs_again
from wearlog.reckoning.wear.replacement_age import ReplacementAge, replacement_age
from wearlog.wear.counts import negative_binomial_counts
from wearlog.wear.posterior import Nodes
from wearlog.wear.power_law import fit_power_law
from wearlog.wear.predict import count_first_failures
from wearlog.wear.product_limit import kaplan_meier
from wearlog.wear.recurrence import histories
from wearlog.wear.replacement import minimal_repair

NOVEMBER = datetime.fromisoformat("2026-11-20T18:00Z")


def view_of(store, name: str) -> KindView:  # type: ignore[no-untyped-def]
    with store.reading() as connection:
        farm = read_farm(store, NOVEMBER)
        number = next(place for place, kind in enumerate(farm.part_kinds) if kind.name == name)
        return kind_view(connection, farm, number)


def test_what_is_counted_out_stands_beside_the_law(demo_store) -> None:  # type: ignore[no-untyped-def]
    view = view_of(demo_store, "guard")
    alone, lives = view.alone, view.row.life.lives
    assert alone.whole is not None
    assert alone.at_median is not None
    assert view.row.life.median_life is not None
    counted = kaplan_meier(lives)
    assert alone.at_median.age == min(view.row.life.median_life.median, lives.exit.max())
    assert alone.at_median.share == counted.at(alone.at_median.age)
    assert alone.at_median.low is not None
    assert alone.at_median.high is not None
    assert alone.at_median.low < alone.at_median.share < alone.at_median.high
    assert alone.relative_likelihood is not None
    assert 0 < alone.relative_likelihood <= 1
    assert alone.at_least is None
    assert alone.without_guess is not None
    assert alone.with_shape_taken is not None


def test_where_nothing_failed_the_life_has_a_lower_end(demo_store) -> None:  # type: ignore[no-untyped-def]
    """With r = 0: scale >= (S / -ln(1 - C))^(1/shape), S the sum of the powers of the ages."""
    view = view_of(demo_store, "feeder conveyor chain")
    lives, shape = view.row.life.lives, view.alone.shape_taken
    assert not lives.failures
    assert view.alone.at_least is not None
    powers = float(lives.weight @ (lives.exit**shape - lives.entry**shape))
    scale = (powers / -math.log(0.1)) ** (1 / shape)
    assert view.alone.at_least == pytest.approx(scale * math.log(2) ** (1 / shape), rel=1e-12)
    assert view.alone.whole is None
    assert view.alone.without_guess is None
    assert view.alone.with_shape_taken is None


def test_the_range_of_what_breaks_lies_about_what_is_expected(demo_store) -> None:  # type: ignore[no-untyped-def]
    for name in ("guard", "knife section"):
        view = view_of(demo_store, name)
        assert view.to_break is not None
        assert view.to_break.mean == pytest.approx(view.row.expected, rel=0.05)
        assert view.to_break.low < view.to_break.mean < view.to_break.high
        stones = view.row.impact_counts()
        assert stones is not None
        assert view.to_break.high - view.to_break.low > stones.high - stones.low


def test_many_parts_are_counted_as_few_are() -> None:
    """Beyond 500 the count under one law is normal: one law, so that two halves counted one by one give the whole."""
    one = Nodes(np.array([2.5]), np.array([1_000.0]), np.array([1.0]))
    ages, usage = np.linspace(0, 900, 520), np.full(520, 300.0)
    whole = count_first_failures(one, ages, usage)
    halves = count_first_failures(one, ages[:260], usage[:260]).plus(count_first_failures(one, ages[260:], usage[260:]))
    assert whole.mean == pytest.approx(halves.mean, abs=0.01)
    for tail in (0.05, 0.5, 0.95):
        assert abs(whole.quantile(tail) - halves.quantile(tail)) <= 1


def test_what_is_mended_each_time_has_an_age_of_its_own(demo_store) -> None:  # type: ignore[no-untyped-def]
    view = view_of(demo_store, "guard")
    with demo_store.reading() as connection:
        farm = read_farm(demo_store, NOVEMBER)
        found = replacement_age(connection, farm, view.row)
    assert isinstance(found, ReplacementAge)
    assert found.mended is not None
    assert found.by_fit is not None
    mended = [
        len(positions)
        for positions, action, component in zip(
            farm.histories.breakages.positions,
            farm.histories.breakages.action,
            farm.histories.breakages.component,
            strict=True,
        )
        if list(Action)[action] is Action.MENDED and farm.components[component].part_kind_id == view.row.life.kind.id
    ]
    assert found.mends == sum(mended) > 0
    posterior = view.row.life.posterior
    assert posterior is not None
    assert found.part.price_minor is not None
    wanted = minimal_repair(
        posterior.shape().median,
        posterior.scale().median,
        replacement_cost=found.planned_minor,
        repair_cost=found.failure_minor - found.part.price_minor,
    )
    assert found.mended == wanted


def test_as_much_again_is_the_last_seasons_work_by_the_trend(demo_store) -> None:  # type: ignore[no-untyped-def]
    found = repairs_again(read_farm(demo_store, NOVEMBER), MachineKind.HEADER)
    assert found is not None
    for one in found.machines:
        assert one.ahead is not None
        assert one.law is not None
        assert one.ahead.harvest_year == 2026
        end = one.start + one.usage
        asked = float(one.law.expected_count(end + one.ahead.usage) - one.law.expected_count(end))
        # the mean of a rate that is normal on the logarithm lies above its middle
        assert asked < one.ahead.count.mean < 1.1 * asked
        assert one.ahead.count.low < asked < one.ahead.count.high


def test_without_a_trend_the_count_says_what_as_much_again_brings(file_farm: SmallFarm) -> None:
    watched = histories([np.array([400.0])], np.array([1_000.0]))
    found = count_ahead(watched, None, None, 500.0)
    wanted = negative_binomial_counts(1.5, 1_000.0, 500.0)
    assert found is not None
    assert (found.mean, found.low, found.high) == (
        pytest.approx(wanted.mean),
        wanted.quantile(0.05),
        wanted.quantile(0.95),
    )
    assert count_ahead(watched, None, None, 0.0) is None
    harvest(file_farm, acres=100)
    again = repairs_again(read_farm(file_farm.store, NOVEMBER), MachineKind.HEADER)
    assert again is not None
    assert again.machines[0].at_usage.size == 0


def test_the_range_of_as_much_again_holds_nine_in_ten() -> None:
    """Machines that break at a constant rate, watched for 1,000 and then for 400 more; 600 of them, seeded."""
    rng = np.random.default_rng(20261129)
    held, tried = 0, 0
    for _ in range(600):
        rate = rng.gamma(4.0, 0.005)
        ages = np.sort(rng.uniform(0, 1_000, rng.poisson(rate * 1_000)))
        if not ages.size:
            continue
        watched = histories([ages], np.array([1_000.0]))
        law = fit_power_law(watched) if ages.size >= 5 else None
        found = count_ahead(watched, law, present_rate(watched, law, 1_000.0), 400.0)
        assert found is not None
        tried += 1
        held += found.low <= rng.poisson(rate * 400) <= found.high
    assert 0.88 < held / tried < 0.99


def test_a_trend_too_steep_to_be_carried_on_says_nothing_ahead() -> None:
    """Six breakages in the last hundredth of the work: as a power law they would be thousands over as much work again."""
    watched = histories([np.array([992.0, 994.0, 996.0, 997.0, 998.0, 999.0])], np.array([1_000.0]))
    law = fit_power_law(watched)
    assert law.shape > 100
    assert count_ahead(watched, law, present_rate(watched, law, 1_000.0), 500.0) is None
