"""Demand of a season: against full enumeration, simulation and known distributions; wider than a plug-in."""

from __future__ import annotations

from itertools import product

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from wearlog.errors import DataError
from wearlog.plan.demand import (
    Demand,
    GroupBook,
    ImpactRates,
    KindWear,
    PositionGroup,
    gamma_poisson,
    impact_counts,
    poisson,
    renewal_counts,
    season_demand,
    wear_counts,
)
from wearlog.plan.life_nodes import LifeNodes

NODES = LifeNodes.of([1.5, 2.0, 4.0], [300.0, 900.0, 500.0], [0.2, 0.5, 0.3])


def group(usage: float, *ages: float) -> PositionGroup:
    return PositionGroup(np.array(ages), usage)


def test_a_few_positions_equal_full_enumeration() -> None:
    """Every combination of counts of four positions on two machines, node by node."""
    groups = (group(250.0, 0.0, 300.0), group(400.0, 300.0, 700.0))
    expected = np.zeros(300)
    singles = [renewal_counts(NODES, part.ages, part.usage) for part in groups]
    for node, weight in enumerate(NODES.weight):
        positions = [single[node, place] for single in singles for place in range(2)]
        for counts in product(*(range(min(position.size, 9)) for position in positions)):
            chances = [position[count] for position, count in zip(positions, counts, strict=True)]
            expected[sum(counts)] += weight * np.prod(chances)
    found = wear_counts(KindWear(NODES, groups))
    np.testing.assert_allclose(found[:20], expected[:20], atol=1e-8)
    assert found.sum() == pytest.approx(1.0, abs=1e-13)


def test_impacts_by_ground_equal_full_enumeration() -> None:
    impacts = ImpactRates(np.array([2.0, 5.0]), np.array([400.0, 900.0]), np.array([300.0, 100.0]))
    one, two = gamma_poisson(2, 400, 300), gamma_poisson(5, 900, 100)
    found = impact_counts(impacts)
    for total in range(12):
        expected = sum(one[k] * two[total - k] for k in range(total + 1) if k < one.size and total - k < two.size)
        assert found[total] == pytest.approx(expected, rel=1e-9)


def test_no_exposure_means_no_demand() -> None:
    nothing = ImpactRates(np.array([2.0]), np.array([400.0]), np.array([0.0]))
    demand = season_demand([KindWear(NODES, (group(0.0, 100.0), PositionGroup(np.zeros(0), 100.0)))], [nothing])
    assert demand.chance.tolist() == [1.0]
    assert (demand.mean, demand.spread, demand.protection(0.99)) == (0.0, 0.0, 0)


def test_many_positions_agree_with_simulation() -> None:
    """60 positions of mixed ages, 40,000 seasons of continuous lives drawn from the nodes."""
    rng = np.random.default_rng(5)
    ages, usage, seasons = np.repeat([0.0, 200.0, 450.0], 20), 220.0, 40_000
    node = rng.choice(3, seasons, p=NODES.weight)
    shape, scale = NODES.shape[node][:, None], NODES.scale[node][:, None]
    left = np.full((seasons, 60), usage)
    # first life given the age, then new parts
    life = scale * ((ages / scale) ** shape + rng.exponential(size=(seasons, 60))) ** (1 / shape) - ages
    counts = np.zeros(seasons, dtype=int)
    while np.any(life <= left):
        failed = life <= left
        counts += failed.sum(axis=1)
        left = np.where(failed, left - life, -1.0)
        life = scale * rng.exponential(size=(seasons, 60)) ** (1 / shape)
    demand = season_demand([KindWear(NODES, (PositionGroup(ages, usage),))])
    seen = np.bincount(counts, minlength=demand.chance.size)[: demand.chance.size] / seasons
    assert np.abs(np.cumsum(seen) - np.cumsum(demand.chance)).max() < 1.63 / np.sqrt(seasons)


def test_positions_of_one_kind_move_together_so_the_plug_in_carries_too_few() -> None:
    """The mean life put in for certain gives about the same mean demand, a narrower spread and less stock."""
    belief = LifeNodes.of(np.full(9, 2.5), 3_000 * np.exp(np.linspace(-0.7, 0.7, 9)), np.ones(9))
    ages = np.linspace(500, 2_500, 70)
    mixed = season_demand([KindWear(belief, (PositionGroup(ages, 1_000.0),))])
    single = renewal_counts(belief, ages, 1_000.0)
    mean = float(belief.weight @ (single @ np.arange(single.shape[2])).sum(axis=1))
    assert mixed.mean == pytest.approx(mean, rel=1e-9)
    assert mixed.spread > 2.5 * np.sqrt(mean)
    assert mixed.protection(0.95) > poisson(mean).protection(0.95) + 10


def test_two_kinds_that_share_a_part_are_independent() -> None:
    kinds = [
        KindWear(NODES, (group(300.0, 0.0, 500.0),)),
        KindWear(LifeNodes.known(2.0, 800.0), (group(300.0, 900.0),)),
    ]
    both = season_demand(kinds)
    apart = [season_demand([kind]) for kind in kinds]
    assert both.mean == pytest.approx(sum(one.mean for one in apart), rel=1e-10)
    assert both.spread**2 == pytest.approx(sum(one.spread**2 for one in apart), rel=1e-10)


def test_replacing_before_the_season_lowers_the_demand() -> None:
    worn = season_demand([KindWear(NODES, (group(250.0, 600.0, 600.0),))])
    new = season_demand([KindWear(NODES, (group(250.0, 0.0, 600.0),))])
    assert new.mean < worn.mean


@pytest.mark.parametrize("mean", [0.0, 0.3, 7.0, 400.0])
def test_poisson_has_its_mean_and_spread(mean: float) -> None:
    assert poisson(mean).mean == pytest.approx(mean, rel=1e-10)
    assert poisson(mean).spread == pytest.approx(np.sqrt(mean), rel=1e-8)


@given(st.lists(st.floats(0.01, 1.0), min_size=1, max_size=12), st.integers(0, 20))
def test_short_and_at_most_are_what_they_say(weights: list[float], stock: int) -> None:
    demand = Demand(np.array(weights) / sum(weights))
    counts = np.arange(len(weights))
    assert float(demand.waits(stock)) == pytest.approx(float(demand.chance @ np.maximum(counts - stock, 0)), abs=1e-12)
    assert float(demand.at_most(stock)) == pytest.approx(float(demand.chance[counts <= stock].sum()), abs=1e-12)
    assert float(demand.waits(-2)) == pytest.approx(demand.mean + 2, abs=1e-12)


def test_what_makes_no_sense_is_refused() -> None:
    with pytest.raises(DataError, match="age is not known"):
        renewal_counts(NODES, np.array([np.nan]), 100.0)
    with pytest.raises(DataError, match="shape and a rate above zero"):
        gamma_poisson(1.0, 0.0, 10.0)
    with pytest.raises(DataError, match="cannot be negative"):
        poisson(-1.0)


def test_a_book_gives_to_the_last_digit_what_each_set_gives_alone() -> None:
    """A plan weighs many sets that differ in one group; what the others bring is not reckoned again, and is the same."""
    old = [group(250.0, 600.0, 600.0), group(250.0, 40.0), group(180.0, 300.0, 300.0, 300.0)]
    new = [PositionGroup(np.zeros(one.ages.size), one.usage) for one in old]
    stones = ImpactRates(np.array([2.0]), np.array([400.0]), np.array([900.0]))
    book, other = GroupBook(), LifeNodes.known(2.0, 500.0)
    for chosen in product((False, True), repeat=3):
        groups = tuple(new[at] if one else old[at] for at, one in enumerate(chosen))
        kinds = [KindWear(NODES, groups), KindWear(other, groups[:1])]
        alone = season_demand(kinds, [stones])
        assert np.array_equal(season_demand(kinds, [stones], book).chance, alone.chance)
        assert np.array_equal(wear_counts(kinds[0], book), wear_counts(kinds[0]))
    assert len(book._counts) == 8
