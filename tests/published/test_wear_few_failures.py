"""Shape known, few failures, starting guesses: against printed and computed values, each beside its source."""

from __future__ import annotations

import math

import numpy as np
import pytest

from wearlog.wear import (
    GammaRate,
    Lives,
    fit_posterior,
    fit_weibayes,
    poisson_counts,
    rate_from_range,
    scale_free_prior,
)


def _lives(failed: list[float], censored: list[float]) -> Lives:
    return Lives.of(failed + censored, [1] * len(failed) + [0] * len(censored))


@pytest.mark.parametrize(
    ("lives", "shape", "scale", "lower"),
    [
        (_lives([30.0, 49, 82, 90, 96], [10.0, 45, 100]), 2.0, 88.843683, 65.232231),
        (_lives([1180.0], [2000.0] * 16), 3.0, 5061.156032, 3218.179570),
        (_lives([], [800.0, 1200, 1500, 2000]), 2.0, math.inf, 1902.018148),
    ],
    ids=["five failures", "one failure", "none failed"],
)
def test_weibayes_scale_and_lower_bound(lives: Lives, shape: float, scale: float, lower: float) -> None:
    """Computed from the standard formula of Abernethy, The New Weibull Handbook, ch. 6, confidence 0.9."""
    found = fit_weibayes(lives, shape)
    assert found.scale == pytest.approx(scale, abs=1e-6)
    assert found.scale_lower_bound(0.9) == pytest.approx(lower, abs=1e-6)


def test_posterior_of_abernethys_seven_lives() -> None:
    """Prior ln(shape) normal(ln 2, .4), p(scale) ~ 1/scale; computed by quadrature and by a 2-D grid."""
    posterior = fit_posterior(_lives([1500.0, 7000, 2250, 4000, 4300], [1750.0, 5000]), scale_free_prior(2.0, 0.4))
    shape, scale = posterior.shape(0.9), posterior.scale(0.9)
    assert shape.mean == pytest.approx(2.006569, abs=1e-6)
    nodes = posterior.nodes
    sd = math.sqrt(float(nodes.weight @ (nodes.shape - 2.006569) ** 2))
    assert sd == pytest.approx(0.553619, abs=1e-6)
    assert (shape.low, shape.median, shape.high) == pytest.approx((1.20414, 1.94948, 3.00376), abs=5e-6)
    assert (scale.low, scale.median, scale.high) == pytest.approx((3523.8789, 5096.6991, 8245.0539), rel=1e-7)
    survival = posterior.survival(3000.0, 0.8)
    assert survival.mean[0] == pytest.approx(0.6941736, abs=1e-7)
    assert survival.median[0] == pytest.approx(0.7068652, abs=1e-7)
    assert survival.low[0] == pytest.approx(0.5190420, abs=1e-7)


def test_posterior_of_one_failure_among_five() -> None:
    """Prior ln(shape) normal(ln 2.5, .35), p(scale) ~ 1/scale; computed by quadrature and by a 2-D grid."""
    posterior = fit_posterior(_lives([620.0], [400.0, 550, 700, 810]), scale_free_prior(2.5, 0.35))
    assert posterior.shape().mean == pytest.approx(2.571372, abs=1e-6)
    survival = posterior.survival(500.0)
    assert survival.mean[0] == pytest.approx(0.9025881, abs=1e-7)
    assert survival.median[0] == pytest.approx(0.9304348, abs=1e-7)


def test_gamma_prior_of_the_usage_between_failures() -> None:
    """NIST e-Handbook 8.4.6, from memory and reproduced here: a = 2, b = 1400; 2 failures in 1909 h."""
    posterior = GammaRate(2.0, 1400.0).after(2, 1909.0)
    assert (posterior.shape, posterior.exposure) == (4.0, 3309.0)
    between = posterior.usage_between(0.9)
    assert between.median == pytest.approx(901.1289, abs=5e-5)
    assert (between.low, between.high) == pytest.approx((426.766, 2421.837), abs=5e-4)


def test_gamma_prior_from_two_percentiles() -> None:
    """NIST e-Handbook 8.2.5 prints a = 2.863055 and b = 1522.506 for MTBF50 = 600 and MTBF05 = 250."""
    prior = rate_from_range(1 / 600, 1 / 250, 0.5, 0.95)
    assert prior.shape == pytest.approx(2.863055, abs=5e-7)
    assert prior.exposure == pytest.approx(1522.506, abs=5e-4)


def test_gamma_poisson_counts() -> None:
    """Computed: a = 4, b = 3309 over 1000 h; protection at .80 .90 .95 .99, which plug-in Poisson gives as 2 3 3 4."""
    counts = GammaRate(4.0, 3309.0).predict(1000.0)
    np.testing.assert_allclose(counts.chance[:5], [0.347761, 0.322823, 0.187296, 0.086932, 0.035306], atol=5e-7)
    assert [counts.quantile(p) for p in (0.8, 0.9, 0.95, 0.99)] == [2, 3, 4, 5]
    assert [poisson_counts(4000 / 3309).quantile(p) for p in (0.8, 0.9, 0.95, 0.99)] == [2, 3, 3, 4]


@pytest.mark.parametrize(
    ("mean", "smallest"), [(0.5, [1, 1, 2, 3]), (1.0, [2, 2, 3, 4]), (2.0, [3, 4, 5, 6]), (4.0, [6, 7, 8, 9])]
)
def test_poisson_protection(mean: float, smallest: list[int]) -> None:
    """Smallest s with P(N <= s) >= .80 .90 .95 .99, from the Poisson table."""
    counts = poisson_counts(mean)
    assert [counts.quantile(p) for p in (0.8, 0.9, 0.95, 0.99)] == smallest
