"""Spares: the number that costs least, packs, chances, and the whole truck within a budget."""

from __future__ import annotations

from dataclasses import replace
from itertools import product

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.references.normal_stock import best_stock_normal
from wearlog.errors import DataError
from wearlog.plan.budget import Limits, Wishes, choose
from wearlog.plan.demand import Demand, poisson
from wearlog.plan.newsvendor import best_stock, carrying_cost, expected_cost, shortage_cost
from wearlog.plan.spares import SpareAdvice, SparePart, advise, costs_by_packs, most_wanted, stop_free_chance
from wearlog.plan.ways import Replacing, ways_of

SECTION = SparePart(
    price_minor=4_00, on_hand=3, pack_size=1, overage_minor=40.0, shortage_minor=300_00.0, lead_hours=2.0
)


def part(price: int, pack: int, shortage: float, on_hand: int = 0) -> SparePart:
    return SparePart(price, on_hand, pack, carrying_cost(price, 0.1), shortage, 2.0)


def total_cost(parts: list[SparePart], demands: list[Demand], packs: tuple[int, ...]) -> float:
    """Expected cost of a truck, summed from the definition: each possible count x its price."""
    cost = 0.0
    for article, demand, number in zip(parts, demands, packs, strict=True):
        stock = article.on_hand + number * article.pack_size
        for count, chance in enumerate(demand.chance):
            waits = 0
            while stock + waits * article.pack_size < count:
                waits += 1
            left = stock + waits * article.pack_size - count
            cost += chance * (left * article.overage_minor + waits * article.shortage_minor)
    return cost


def test_advice_equals_trying_every_number() -> None:
    demand = poisson(6)
    costs = [total_cost([SECTION], [demand], (number,)) for number in range(30)]
    best = int(np.argmin(costs))
    advice = advise(SECTION, demand)
    assert advice.packs == advice.buy == best == best_stock(demand, overage=40, shortage=300_00).level - 3
    assert advice.gain_minor == round(costs[0] - costs[best])
    assert advice.spend_minor == best * 4_00
    assert advice.run_out_chance == pytest.approx(1 - float(demand.at_most(3 + best)))
    assert advice.hours_lost == pytest.approx(2 * float(demand.waits(3 + best)))
    assert advice.expected == pytest.approx(6)


def wide(low: int, high: int) -> Demand:
    """Return a demand that is small nine times in ten and very large else, as a wide guess believes."""
    chances = [np.append(poisson(mean).chance, np.zeros(2000))[:2000] for mean in (low, high)]
    return Demand(0.9 * chances[0] + 0.1 * chances[1])


@pytest.mark.parametrize(("on_hand", "bought"), [(0, 175), (50, 125), (170, 0), (400, 0)])
def test_while_only_a_guess_speaks_one_set_is_enough(on_hand: int, bought: int) -> None:
    article = part(4_60, 25, 1_126_00.0, on_hand)
    demand = wide(60, 500)
    assert advise(article, demand).buy + on_hand > 500
    held = replace(article, set_size=160)
    assert most_wanted(held, demand) == 160
    assert advise(held, demand).buy == bought
    assert advise(held, demand).run_out_chance == pytest.approx(0.1, abs=0.01) or on_hand == 400
    # of few pieces it is what the guess expects and chance adds to it
    assert most_wanted(replace(held, set_size=1), poisson(4)) == 8
    # what is bought below the bound is what it was
    assert advise(held, poisson(60)) == advise(article, poisson(60))
    assert most_wanted(article, demand) is None


@pytest.mark.parametrize("pack", [1, 4, 10])
def test_only_whole_packs_are_bought(pack: int) -> None:
    demand, article = poisson(6), part(4_00, pack, 20_00.0, on_hand=1)
    costs = [total_cost([article], [demand], (number,)) for number in range(30)]
    advice = advise(article, demand)
    assert advice.packs == int(np.argmin(costs))
    assert advice.buy == advice.packs * pack


def test_enough_on_hand_buys_nothing() -> None:
    advice = advise(part(4_00, 1, 50_00.0, on_hand=40), poisson(6))
    assert (advice.packs, advice.spend_minor, advice.gain_minor) == (0, 0, 0)


def test_no_carrying_cost_stops_at_what_could_be_needed() -> None:
    demand = Demand(np.array([0.5, 0.3, 0.2]))
    assert advise(SparePart(100, 0, 1, 0.0, 50.0, 1.0), demand).buy == 2


def test_with_packs_of_one_each_further_one_saves_less() -> None:
    saved = -np.diff(costs_by_packs(part(4_00, 1, 90_00.0), poisson(9)))
    assert saved.size > 2
    assert np.all(np.diff(saved) < 0)


def test_who_runs_out_waits_at_least_once_and_then_has_a_pack() -> None:
    """Three wanted for certain, nothing on hand: packs of 2 mean two waits, packs of 5 one wait and two pieces over."""
    three = Demand(np.array([0.0, 0.0, 0.0, 1.0]))
    assert float(three.waits(0, 2)) == 2
    assert float(three.waits(0, 5)) == 1
    assert float(three.waits(1, 2)) == 1
    assert float(three.waits(3, 2)) == 0
    assert advise(SparePart(1_00, 0, 5, 10.0, 90_00.0, 8.0), three, packs=0).hours_lost == 8
    assert float(expected_cost(three, 0, overage=10.0, shortage=90_00.0, pack=5)) == 90_00 + 2 * 10


@pytest.mark.parametrize("pack", [1, 5, 25])
def test_hours_lost_are_never_less_than_one_wait_when_it_runs_out(pack: int) -> None:
    article = SparePart(4_00, 3, pack, 40.0, 3_400_00.0, 10.0)
    for packs in range(4):
        advice = advise(article, poisson(12), packs=packs)
        assert advice.hours_lost >= advice.run_out_chance * 10 - 1e-9


def truck(parts: list[SparePart], demands: list[Demand], budget: int | None) -> tuple[SpareAdvice, ...]:
    """What is carried within a budget when nothing is replaced."""
    ways = [ways_of(one, [Replacing(0, 0, 0, demand)]) for one, demand in zip(parts, demands, strict=True)]
    owner = np.repeat(np.arange(len(parts)), [one.packs.size for one in ways])
    wishes = Wishes.of(
        np.concatenate([one.gain_minor for one in ways]), np.concatenate([one.spend_minor for one in ways]), group=owner
    )
    chosen = choose(wishes, Limits(budget)).chosen
    packs = np.zeros(len(parts), dtype=np.int64)
    packs[owner[chosen]] = np.concatenate([one.packs for one in ways])[chosen]
    return tuple(advise(one, demand, packs=int(n)) for one, demand, n in zip(parts, demands, packs, strict=True))


def test_a_truck_without_a_budget_gives_each_part_its_own_best() -> None:
    parts, demands = [SECTION, part(60_00, 1, 500_00.0)], [poisson(6), poisson(0.4)]
    assert truck(parts, demands, None) == tuple(
        advise(article, demand) for article, demand in zip(parts, demands, strict=True)
    )


demand_of = st.lists(st.floats(0.01, 1), min_size=2, max_size=5).map(lambda w: Demand(np.array(w) / sum(w)))
part_of = st.builds(part, st.integers(1_00, 30_00), st.integers(1, 3), st.floats(100.0, 200_00.0), st.integers(0, 2))


@settings(max_examples=60, deadline=None)
@given(st.lists(st.tuples(part_of, demand_of), min_size=1, max_size=3), st.integers(0, 150_00))
def test_small_trucks_equal_full_enumeration(lines: list[tuple[SparePart, Demand]], budget: int) -> None:
    parts, demands = [article for article, _ in lines], [demand for _, demand in lines]
    advice = truck(parts, demands, budget)
    assert sum(line.spend_minor for line in advice) <= budget
    affordable = (
        packs
        for packs in product(range(6), repeat=len(lines))
        if sum(n * article.pack_size * article.price_minor for n, article in zip(packs, parts, strict=True)) <= budget
    )
    best = min(total_cost(parts, demands, packs) for packs in affordable)
    # gains are rounded to the minor unit, one for each pack
    assert total_cost(parts, demands, tuple(line.packs for line in advice)) <= best + 0.5 * 6 * len(lines)


def test_where_each_piece_saves_less_the_truck_is_filled_by_what_saves_most_for_the_money() -> None:
    """Marginal allocation: with the money of the first k pieces of the list by saving for the money, those k are bought."""
    parts = [part(4_00, 1, 80_00.0), part(25_00, 1, 150_00.0), part(90_00, 1, 900_00.0)]
    demands = [poisson(3), poisson(1.5), poisson(0.6)]
    saved = [-np.diff(costs_by_packs(one, demand)) for one, demand in zip(parts, demands, strict=True)]
    steps = sorted(
        ((gain / parts[at].price_minor, at) for at, gains in enumerate(saved) for gain in gains if gain > 1),
        reverse=True,
    )
    for k in range(1, len(steps) + 1):
        bought = [sum(at == one for _, at in steps[:k]) for one in range(3)]
        money = sum(n * one.price_minor for n, one in zip(bought, parts, strict=True))
        assert [line.packs for line in truck(parts, demands, money)] == bought


def test_the_chance_of_a_season_without_a_stop_rises_with_the_budget() -> None:
    parts = [part(4_00, 5, 80_00.0), part(25_00, 1, 150_00.0)]
    demands = [poisson(7), poisson(1.5)]
    chances = [stop_free_chance(truck(parts, demands, budget)) for budget in (0, 40_00, 90_00, 200_00)]
    assert chances == sorted(chances)
    assert chances[0] == pytest.approx(float(np.exp(-8.5)))


def test_a_shortage_costs_the_wait_or_the_hurry_whichever_is_less() -> None:
    assert shortage_cost(8, 100_00) == 800_00
    assert shortage_cost(8, 100_00, emergency_minor=250_00) == 250_00
    assert shortage_cost(1, 100_00, emergency_minor=250_00) == 100_00


def test_the_best_stock_is_nowhere_beaten() -> None:
    demand = poisson(11.3)
    costs = expected_cost(demand, np.arange(60), overage=3, shortage=17)
    assert best_stock(demand, overage=3, shortage=17).level == int(np.argmin(costs))


def test_normal_stock_agrees_with_counting_for_large_demands() -> None:
    counted = best_stock(poisson(900), overage=1, shortage=9)
    smooth = best_stock_normal(900, 30, overage=1, shortage=9)
    assert counted.level == pytest.approx(smooth.level, abs=1.5)
    assert counted.expected_cost == pytest.approx(smooth.expected_cost, rel=0.01)


def test_what_makes_no_sense_is_refused() -> None:
    with pytest.raises(DataError, match="too many and of too few"):
        best_stock(poisson(1), overage=0, shortage=0)
    with pytest.raises(DataError, match="spread and a carrying"):
        best_stock_normal(10, 0, overage=1, shortage=1)
    with pytest.raises(DataError, match="pack holds at least one"):
        advise(SparePart(1, 0, 0, 1.0, 1.0, 1.0), poisson(1))
    with pytest.raises(DataError, match="negative number of packs"):
        advise(SECTION, poisson(1), packs=-1)
