"""Fetching a part: three suppliers worked out by hand, and the order of the calls against every policy there is."""

from __future__ import annotations

from itertools import permutations

import numpy as np
import pytest

from wearlog.errors import DataError
from wearlog.plan.fetch import Trip, has_it, ring_order, trip_minor
from wearlog.plan.orders import lead_time

#: worked out by hand for this test: 112.50 an hour, 18.53 for the driver, .70 a mile, 45 mph, usual price 45, at the counter .25 h
HOUR, LABOUR, MILE = 112.50, 18.53, 0.70


def fetched(miles: float, price: float) -> float:
    trip = Trip(miles, 45.0, 0.25)
    return trip_minor(
        trip,
        standing_minor=trip.hours * HOUR,
        labour_minor=LABOUR,
        road_minor=MILE,
        over_price_minor=price - 45,
    )


@pytest.mark.parametrize(("miles", "price", "costs"), [(12, 52, 126.44), (38, 45, 307.25), (90, 41, 678.88)])
def test_what_each_supplier_costs(miles: float, price: float, costs: float) -> None:
    assert fetched(miles, price) == pytest.approx(costs, abs=0.005)


def test_three_suppliers_are_rung_in_the_order_of_their_worth() -> None:
    costs = [fetched(12, 52), fetched(38, 45), fetched(90, 41)]
    found = ring_order(costs, [0.35, 0.7, 0.9], HOUR / 12, 1125.0)
    assert found.order == (0, 1, 2)
    assert [round(one, 1) for one in found.worth] == [153.2, 320.6, 689.3]
    by_hand = [cost + HOUR / 12 / chance for cost, chance in zip(costs, [0.35, 0.7, 0.9], strict=True)]
    assert found.worth == pytest.approx(by_hand)
    assert found.expected == pytest.approx(342.43, abs=0.005)
    assert found.none_has_it == pytest.approx(0.65 * 0.3 * 0.1)


def best_of_all(costs: list[float], chances: list[float], call: float, sure: float) -> float:
    """The least over every order and every place to end it, whoever has it taken or the search gone on with."""
    best = sure
    for length in range(1, len(costs) + 1):
        for order in permutations(range(len(costs)), length):
            best = min(best, _walked(order, costs, chances, call, sure))
    return best


def _walked(order: tuple[int, ...], costs: list[float], chances: list[float], call: float, now: float) -> float:
    if not order:
        return now
    first, rest = order[0], order[1:]
    has = min(now, costs[first])
    go_on = _walked(rest, costs, chances, call, has)
    return call + chances[first] * min(has, go_on) + (1 - chances[first]) * _walked(rest, costs, chances, call, now)


def test_no_other_order_and_end_costs_less() -> None:
    random = np.random.default_rng(4)
    for _ in range(120):
        costs, chances = random.uniform(20, 900, 4).tolist(), random.uniform(0.05, 1.0, 4).tolist()
        call, sure = float(random.uniform(0, 60)), float(random.uniform(50, 1200))
        found = ring_order(costs, chances, call, sure)
        assert found.expected == pytest.approx(best_of_all(costs, chances, call, sure))


def test_what_is_said_on_the_mean_comes_on_the_mean() -> None:
    """20,000 evenings: each supplier has it or not by its chance; the mean paid is what was said within its error."""
    random = np.random.default_rng(7)
    costs, chances, call, sure = [12_644.0, 30_725.0, 67_888.0], [0.35, 0.7, 0.9], 937.5, 112_500.0
    said = ring_order(costs, chances, call, sure)
    paid = []
    for _ in range(20_000):
        spent, has = 0.0, random.random(3) < chances
        for one in said.order:
            spent += call
            if has[one]:
                spent += costs[one]
                break
        else:
            spent += sure
        paid.append(spent)
    error = float(np.std(paid)) / len(paid) ** 0.5
    assert abs(float(np.mean(paid)) - said.expected) < 3 * error


def test_answers_move_the_chance_and_those_of_the_part_count_double() -> None:
    assert has_it(0, 0) == 0.5
    assert has_it(3, 1) == pytest.approx(4 / 6)
    assert has_it(3, 1, own_had_not=1) == pytest.approx(4 / 7)
    with pytest.raises(DataError):
        ring_order([1.0], [0.0], 1.0, 2.0)
    with pytest.raises(DataError):
        Trip(1.0, 0.0, 0.25)


@pytest.mark.parametrize(
    ("taken", "days", "over_week"),
    [
        ((), (1.55, 3.00, 5.79), 0.060),
        ((3, 4, 9), (1.98, 3.96, 7.91), 0.141),
        ((2, 2, 3, 2, 3, 2), (1.62, 2.45, 3.71), 0.003),
    ],
)
def test_days_of_the_next_order(taken: tuple[float, ...], days: tuple[float, ...], over_week: float) -> None:
    found = lead_time(taken, 3.0)
    assert [round(found.days(chance), 2) for chance in (0.1, 0.5, 0.9)] == list(days)
    assert round(found.later_than(7.0), 3) == over_week
