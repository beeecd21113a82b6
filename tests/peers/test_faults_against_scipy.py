"""Own exact test and limits against scipy.stats."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import stats

from wearlog.faults.association import fisher_exact
from wearlog.faults.held import ReturnRate, rate_limit_per_hour
from wearlog.faults.trail import laplace_trend


def test_fishers_exact_test_agrees_on_500_tables() -> None:
    rng = np.random.default_rng(4)
    for _ in range(500):
        a, b, c, d = (int(count) for count in rng.integers(0, 13, 4))
        if a + b + c + d == 0:
            continue
        own = fisher_exact(a, b, c, d)
        assert own.p_more == pytest.approx(
            stats.fisher_exact([[a, b], [c, d]], alternative="greater").pvalue, abs=1e-12
        )
        assert own.p_two_sided == pytest.approx(stats.fisher_exact([[a, b], [c, d]]).pvalue, abs=1e-10)


def test_the_limit_is_a_gamma_quantile() -> None:
    for returns, confidence in ((0, 0.95), (2, 0.9), (7, 0.5)):
        own = rate_limit_per_hour(250, confidence=confidence, returns=returns)
        assert own == pytest.approx(stats.gamma.ppf(confidence, returns + 1, scale=1 / 250))


def test_the_chance_to_stay_quiet_is_that_of_a_pareto() -> None:
    rate = ReturnRate(3.0, 120.0)
    for hours in (0.0, 10.0, 500.0):
        assert rate.quiet_chance(hours) == pytest.approx(stats.lomax.sf(hours, 3.0, scale=120.0))


def test_the_exact_trend_chance_agrees_with_the_irwin_hall_distribution() -> None:
    for n in (2, 5, 12, 20):
        times = np.linspace(0.3, 0.95, n)
        expected = 2 * stats.irwinhall(n).sf(times.sum())
        assert laplace_trend(times.tolist(), 1.0).p_two_sided == pytest.approx(expected, rel=1e-6)
