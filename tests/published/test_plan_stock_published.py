"""Spares and stock against published and textbook values.

Sources: Snyder and Shen, Fundamentals of Supply Chain Theory, examples 4.3 and 4.7; Poisson and gamma-Poisson tables computed from
their definitions (the gamma prior is that of NIST/SEMATECH 8.4.6, a' = 4, b' = 3309).
"""

from __future__ import annotations

import numpy as np
import pytest

from tests.references.normal_stock import best_stock_normal
from wearlog.plan.demand import Demand, ImpactRates, gamma_poisson, poisson, season_demand
from wearlog.plan.newsvendor import best_stock


def test_newsvendor_with_a_normal_demand() -> None:
    """Example 4.3: h 0.18, p 0.70, N(50, 8)."""
    stock = best_stock_normal(50, 8, overage=0.18, shortage=0.70)
    assert stock.level == pytest.approx(56.60395592743389, rel=1e-12)
    assert stock.expected_cost == pytest.approx(1.9976051931766445, rel=1e-12)


def test_newsvendor_with_a_poisson_demand() -> None:
    """Example 4.7: h 1, p 4, Poisson(6)."""
    stock = best_stock(poisson(6), overage=1, shortage=4)
    assert stock.level == 8
    assert stock.expected_cost == pytest.approx(3.5701069457709416, rel=1e-11)


@pytest.mark.parametrize(
    ("mean", "levels"), [(0.5, [1, 1, 2, 3]), (1, [2, 2, 3, 4]), (2, [3, 4, 5, 6]), (4, [6, 7, 8, 9])]
)
def test_poisson_protection_table(mean: float, levels: list[int]) -> None:
    """Smallest s with P(N <= s) of at least .80, .90, .95, .99."""
    assert [poisson(mean).protection(wanted) for wanted in (0.80, 0.90, 0.95, 0.99)] == levels


def test_gamma_poisson_demand() -> None:
    """a 4, b 3309, T 1000: and the protection is one more than that of the plug-in Poisson at the high end."""
    demand = Demand(gamma_poisson(4, 3_309, 1_000))
    np.testing.assert_allclose(demand.chance[:5], [0.347761, 0.322823, 0.187296, 0.086932, 0.035306], atol=5e-7)
    wanted = (0.80, 0.90, 0.95, 0.99)
    assert [demand.protection(chance) for chance in wanted] == [2, 3, 4, 5]
    assert [poisson(4_000 / 3_309).protection(chance) for chance in wanted] == [2, 3, 3, 4]


def test_the_same_through_impacts_by_ground() -> None:
    impacts = ImpactRates(np.array([4.0]), np.array([3_309.0]), np.array([1_000.0]))
    demand = season_demand([], [impacts])
    np.testing.assert_allclose(demand.chance[:5], [0.347761, 0.322823, 0.187296, 0.086932, 0.035306], atol=5e-7)
    assert demand.mean == pytest.approx(4_000 / 3_309, rel=1e-9)
