"""Laws, counts and fits against scipy.stats, which the program itself never loads."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import stats

from wearlog.wear import (
    GammaRate,
    Lives,
    WearForm,
    fit_wear,
    fit_weibull,
    kaplan_meier,
    law,
    log_likelihood,
    poisson_counts,
    reverse_arrangements_test,
)
from wearlog.wear.trend import arrangements_variance


@pytest.mark.parametrize("seed", range(5))
def test_fit_of_censored_lives(seed: int) -> None:
    """scipy's general optimiser gives 5-7 digits; ours is never the lower peak."""
    rng = np.random.default_rng(seed)
    ages, ends = 1000 * rng.weibull(1 + seed, 60), 1200 * rng.weibull(2, 60)
    failed, seen = ages <= ends, np.minimum(ages, ends)
    shape, _, scale = stats.weibull_min.fit(stats.CensoredData(uncensored=seen[failed], right=seen[~failed]), floc=0)
    lives = Lives.of(seen, failed)
    fit = fit_weibull(lives)
    assert (fit.shape, fit.scale) == pytest.approx((shape, scale), rel=2e-6)
    assert fit.log_likelihood >= log_likelihood(lives, shape, scale) - 1e-10


def test_log_likelihood_is_the_sum_of_densities_and_survivals() -> None:
    """Every kind of life, term by term from scipy's law."""
    law_of_life = stats.weibull_min(1.7, scale=900.0)
    lives = Lives.of(
        [500, 800, 700, 1000.0],
        [1, 0, 1, 1],
        entry=[0, 0, 200, 0.0],
        weight=[1, 2, 1, 3],
        last_seen=[500, 800, 700, 850.0],
    )
    expected = (
        law_of_life.logpdf(500)
        + 2 * law_of_life.logsf(800)
        + law_of_life.logpdf(700)
        - law_of_life.logsf(200)
        + 3 * np.log(law_of_life.sf(850) - law_of_life.sf(1000))
    )
    assert log_likelihood(lives, 1.7, 900.0) == pytest.approx(expected, rel=1e-13)


def test_moments_and_quantiles_of_the_law() -> None:
    """Mean, sd, B10, hazard and the restricted mean."""
    peer = stats.weibull_min(2.3, scale=700.0)
    assert float(law.mean_life(2.3, 700.0)) == pytest.approx(peer.mean(), rel=1e-12)
    assert float(law.life_sd(2.3, 700.0)) == pytest.approx(peer.std(), rel=1e-10)
    assert float(law.life_at(0.1, 2.3, 700.0)) == pytest.approx(peer.ppf(0.1), rel=1e-12)
    assert float(law.hazard(400.0, 2.3, 700.0)) == pytest.approx(peer.pdf(400) / peer.sf(400), rel=1e-12)
    steps = np.linspace(0, 400, 20001)
    assert float(law.life_used_by(400.0, 2.3, 700.0)) == pytest.approx(np.trapezoid(peer.sf(steps), steps), rel=1e-8)


def test_kaplan_meier_is_the_ecdf_of_censored_data() -> None:
    """scipy.stats.ecdf on the same lives."""
    failed, censored = [3.0, 5, 5, 8, 13], [4.0, 5, 9, 20]
    peer = stats.ecdf(stats.CensoredData(uncensored=failed, right=censored)).sf
    found = kaplan_meier(Lives.of(failed + censored, [1] * 5 + [0] * 4))
    np.testing.assert_allclose(found.survival, peer.evaluate(found.age), atol=1e-14)


def test_counts() -> None:
    """Poisson and negative binomial chances."""
    np.testing.assert_allclose(poisson_counts(3.7).chance[:12], stats.poisson(3.7).pmf(range(12)), atol=1e-14)
    predicted = GammaRate(2.5, 400.0).predict(900.0).chance[:30]
    np.testing.assert_allclose(predicted, stats.nbinom(2.5, 400 / 1300).pmf(range(30)), atol=1e-14)


def test_reverse_arrangements_are_kendalls_tau() -> None:
    """The one-sided exact p of Kendall's tau against the order of the gaps."""
    spaces = np.random.default_rng(3).exponential(1.0, 9)
    ours = reverse_arrangements_test(spaces)
    peer = stats.kendalltau(np.arange(9), spaces, method="exact", alternative="greater")
    assert ours.p_improving == pytest.approx(peer.pvalue, rel=1e-12)


def test_tied_gaps_have_the_variance_of_kendalls_tau_b() -> None:
    """1 1 1 2 2 2 3 3 3 4, 36 pairs rising of 36: scipy's asymptotic p of tau-b, .00075, is ours without the half step."""
    spaces = [1, 1, 1, 2, 2, 2, 3, 3, 3, 4]
    peer = stats.kendalltau(np.arange(10), spaces, method="asymptotic")
    assert peer.pvalue == pytest.approx(0.00075, abs=5e-6)
    apart = reverse_arrangements_test(spaces).statistic - 18
    assert 2 * stats.norm.sf(apart / np.sqrt(arrangements_variance([3, 3, 3, 1]))) == pytest.approx(
        peer.pvalue, rel=1e-9
    )


def test_many_tied_gaps_follow_kendalls_tau_b() -> None:
    """40 gaps of 4 lengths: the standard deviation behind scipy's p, with the half step of continuity added."""
    spaces = np.repeat([1.0, 2.0, 3.0, 4.0], 10)[np.random.default_rng(4).permutation(40)]
    ours = reverse_arrangements_test(spaces)
    peer = stats.kendalltau(np.arange(40), spaces, method="asymptotic", alternative="greater")
    apart = ours.statistic - 0.5 * (40 * 39 / 2 - 4 * 45)
    sd = apart / stats.norm.isf(peer.pvalue)
    assert ours.p_improving == pytest.approx(stats.norm.sf((apart - 0.5) / sd), rel=1e-9)


def test_line_of_wear_is_least_squares() -> None:
    """Slope, intercept and the spread of the slope."""
    x, y = np.array([100.0, 250, 300, 480, 700]), np.array([1.1, 2.4, 3.3, 4.6, 7.2])
    peer = stats.linregress(x, y)
    line = fit_wear(x, y, new_value=0.0, limit=10.0, form=WearForm.LINE)
    assert (line.slope, line.intercept) == pytest.approx((peer.slope, peer.intercept), rel=1e-12)
    assert line.residual_sd * np.sqrt(line.spread[1, 1]) == pytest.approx(peer.stderr, rel=1e-12)
