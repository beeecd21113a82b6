"""Trend scores, gamma rates, the exact test of a table, and the rule of three. Each names its source."""

from __future__ import annotations

from math import log

import pytest

from wearlog.faults.association import fisher_exact
from wearlog.faults.held import ReturnRate, chance_held, rate_limit_per_hour
from wearlog.faults.priors import gamma_poisson_rate
from wearlog.faults.trail import laplace_trend


def test_laplace_score_of_ten_repairs() -> None:
    """NIST/SEMATECH e-Handbook 8.2.3.4, end 1,500 h: -1.326949183."""
    times = [5, 40, 43, 175, 389, 712, 747, 795, 1299, 1478]
    assert laplace_trend(times, 1500).score == pytest.approx(-1.326949183, abs=1e-9)


def test_laplace_score_of_a_mining_loader() -> None:
    """Kumar et al. 1989, 36 failures to 2,000 h: 0.6050631, no trend."""
    times = [
        *(
            16,
            39,
            71,
            95,
            98,
            110,
            114,
            226,
            294,
            344,
            555,
            599,
            757,
            822,
            963,
            1077,
            1167,
            1202,
            1257,
            1317,
            1345,
            1372,
        ),
        *(1402, 1536, 1625, 1643, 1675, 1726, 1736, 1772, 1796, 1799, 1814, 1868, 1894, 1970),
    ]
    trend = laplace_trend(times, 2000)
    assert trend.score == pytest.approx(0.6050631, abs=1e-7)
    assert trend.p_two_sided > 0.5


def test_gamma_prior_of_a_rate() -> None:
    """NIST/SEMATECH e-Handbook 8.4.6 (from memory, reproduced): a 2, b 1400; 2 failures in 1,909 h: a' 4, b' 3309."""
    assert gamma_poisson_rate(2, 2 / 1400, 2, 1909) == pytest.approx(4 / 3309)
    after = ReturnRate(2, 1400).after_gaps([909, 1000])
    assert (after.shape, after.hours) == (4, 3309)


def test_tea_with_milk() -> None:
    """Fisher 1935, The Design of Experiments (from memory): 3 of 4 cups right, one-sided 17/70; all 4 right 1/70."""
    assert fisher_exact(3, 1, 1, 3).p_more == pytest.approx(17 / 70)
    assert fisher_exact(4, 0, 0, 4).p_more == pytest.approx(1 / 70)


@pytest.mark.parametrize("hours", [30, 140, 1000])
def test_rule_of_three(hours: float) -> None:
    """Hanley and Lippman-Hand 1983 (from memory): nothing in n, then at most 3 / n with 95 %; exactly -ln .05 / n."""
    assert rate_limit_per_hour(hours) == pytest.approx(-log(0.05) / hours)
    assert rate_limit_per_hour(hours) == pytest.approx(3 / hours, rel=2e-3)


def test_with_a_flat_prior_and_no_belief_in_the_fix_the_formula_is_the_rule_of_three() -> None:
    """Computed: as p0 goes to 0 the odds that it has held are p0 / E[exp(-rate u)]; with the rate known to be 3 / u that is e^3 p0,
    the twentyfold odds that make 3 / u the limit."""
    hours, p0, sharp = 100.0, 1e-9, 1e7
    rate = ReturnRate(sharp, sharp * hours / 3)
    assert chance_held(p0, hours, rate) / p0 == pytest.approx(20, rel=5e-3)
