"""How long an order takes: worked out here, and against simulated deliveries."""

from __future__ import annotations

import numpy as np
import pytest

from wearlog.plan.orders import lead_time


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
