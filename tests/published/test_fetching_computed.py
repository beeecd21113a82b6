"""The part by dusk: costs, order of calls and lead times that were worked out a second way (full search, simulated deliveries)."""

from __future__ import annotations

from itertools import permutations

import numpy as np
import pytest

from wearlog.plan.fetching import Asked, Drive, chance_to_have, lead_time, ring_order

DRIVES = ((12, 7.0), (38, 0.0), (90, -4.0))
CALL = 112.50 * 5 / 60


def cost(miles: float, extra: float) -> float:
    return Drive(miles, 45.0, 112.50, 18.53, 0.70, extra).cost_minor


SUPPLIERS = [
    Asked(f"{miles} miles", cost(miles, extra), q) for (miles, extra), q in zip(DRIVES, (0.35, 0.7, 0.9), strict=True)
]


def test_what_each_way_costs() -> None:
    assert [round(one.cost_minor, 2) for one in SUPPLIERS] == [126.44, 307.25, 678.88]


def test_whom_to_ring_first_and_what_it_comes_to() -> None:
    found = ring_order(SUPPLIERS, call_minor=CALL, sure_minor=1125.0)
    assert [one.name for one in found.order] == ["12 miles", "38 miles", "90 miles"]
    assert found.worth_a_call_minor == pytest.approx([153.2, 320.65, 689.3], abs=0.051)
    assert round(found.expected_minor, 2) == 342.43


def test_no_order_of_calls_comes_to_less() -> None:
    """200 cases of four suppliers against every order and every number of calls."""
    generator = np.random.default_rng(5)
    for _ in range(200):
        some = [Asked(str(place), *generator.uniform([50, 0.05], [900, 1.0]).tolist()) for place in range(4)]
        call, sure = float(generator.uniform(0, 60)), float(generator.uniform(100, 1200))
        best = sure
        for size in range(1, 5):
            for order in permutations(some, size):
                comes_to = sure
                for one in reversed(order):
                    comes_to = call + one.chance * min(one.cost_minor, comes_to) + (1 - one.chance) * comes_to
                best = min(best, comes_to)
        assert ring_order(some, call_minor=call, sure_minor=sure).expected_minor == pytest.approx(best)


@pytest.mark.parametrize(
    ("taken", "days", "over_a_week"),
    [
        ((), (1.55, 3.00, 5.79), 0.060),
        ((3, 4, 9), (1.98, 3.96, 7.91), 0.141),
        ((2, 2, 3, 2, 3, 2), (1.62, 2.45, 3.71), 0.003),
    ],
)
def test_how_long_an_order_takes(taken: tuple[int, ...], days: tuple[float, ...], over_a_week: float) -> None:
    found = lead_time(taken, 3.0)
    assert [found.days(chance) for chance in (0.1, 0.5, 0.9)] == pytest.approx(days, abs=0.0051)
    assert found.later_than(7.0) == pytest.approx(over_a_week, abs=0.00051)


def test_eight_orders_in_ten_come_within_their_eighty_per_cent() -> None:
    """Deliveries drawn from the belief before any: the next one lies within the interval in its share of 2,000 cases."""
    generator = np.random.default_rng(6)
    held = 0
    for _ in range(2_000):
        precision = generator.gamma(2.0, 1 / (2 * 0.35**2))
        mean = generator.normal(np.log(3.0), 1 / np.sqrt(2 * precision))
        *before, following = np.exp(generator.normal(mean, 1 / np.sqrt(precision), 5)).tolist()
        found = lead_time(before, 3.0)
        held += found.days(0.1) <= following <= found.days(0.9)
    assert held / 2_000 == pytest.approx(0.8, abs=4 * np.sqrt(0.16 / 2_000))


def test_answers_so_far_say_whether_they_have_it() -> None:
    assert chance_to_have(0, 0) == 0.5
    assert chance_to_have(3, 1) == pytest.approx(4 / 6)
