"""Repairs that come again: mean cumulative count, power law and tests of trend against printed values."""

from __future__ import annotations

import numpy as np
import pytest

from wearlog.wear import (
    constant_rate_interval,
    fit_power_law,
    gaps,
    histories,
    laplace_test,
    lewis_robinson_test,
    mean_cumulative,
    mil_hdbk_189_test,
    reverse_arrangements_test,
)

# NIST/SEMATECH e-Handbook of Statistical Methods, 8.2.3.4: ten repairs to 1500 h
NIST = histories([[5, 40, 43, 175, 389, 712, 747, 795, 1299, 1478]], 1500)
# NASA TM-103511: 23 failures to 500 h
NASA = histories(
    [
        [
            *[0.2, 4.2, 4.5, 5.0, 5.4, 6.1, 7.9, 14.8, 19.2, 48.6, 85.8, 108.9, 127.2, 129.8, 150.1, 159.7, 227.4],
            *[244.7, 262.7, 315.3, 329.6, 404.3, 486.2],
        ]
    ],
    500,
)
# U. Kumar, B. Klefsjo and S. Granholm 1989: a mining loader, 36 failures to 2000 h
LOADER = histories(
    [
        [
            *[16, 39, 71, 95, 98, 110, 114, 226, 294, 344, 555, 599, 757, 822, 963, 1077, 1167, 1202, 1257, 1317],
            *[1345, 1372, 1402, 1536, 1625, 1643, 1675, 1726, 1736, 1772, 1796, 1799, 1814, 1868, 1894, 1970],
        ]
    ],
    2000,
)


def test_nist_trend_tests() -> None:
    """NIST 8.2.3.4: 33 reversals of 45; chi2 and Laplace as printed. Its normal p for reversals always adds a half to
    the count; the exact p stands here.
    """
    reversals = reverse_arrangements_test(gaps(NIST))
    assert reversals.statistic == 33
    assert reversals.p_improving == pytest.approx(0.03627507716, abs=1e-11)
    military = mil_hdbk_189_test(NIST)
    assert military.statistic == pytest.approx(37.228081483, abs=1e-9)
    assert military.degrees == 20
    assert laplace_test(NIST).statistic == pytest.approx(-1.326949183, abs=1e-9)


def test_nist_power_law() -> None:
    """NIST 8.4.5.2 prints 1-b 0.516494, b 0.483506, a 0.2913003, MTBF 310.234, 80 % 157.7138 - 548.5566."""
    fit = fit_power_law(NIST)
    assert fit.shape == pytest.approx(0.5372288660, abs=1e-10)
    better = fit.unbiased()
    assert better.shape == pytest.approx(0.483506, abs=5e-7)
    assert 1 - better.shape == pytest.approx(0.516494, abs=5e-7)
    assert better.coefficient == pytest.approx(0.2913003, abs=5e-8)
    assert float(better.usage_between(1500.0)) == pytest.approx(310.234, abs=5e-4)
    interval = better.normal_usage_between_interval(0.8)
    assert (interval.low, interval.high) == pytest.approx((157.7138, 548.5566), abs=5e-5)


def test_nasa_power_law_with_exact_interval() -> None:
    """NASA TM-103511 prints MTBF 52.7 and 80 % 35.6 - 82.9; exact factors .6761942617 and 1.5744289897."""
    fit = fit_power_law(NASA)
    between = float(fit.usage_between(500.0))
    assert between == pytest.approx(52.7, abs=0.05)
    interval = fit.usage_between_interval(0.8)
    assert (interval.low, interval.high) == pytest.approx((35.6, 82.9), abs=0.05)
    assert interval.low / between == pytest.approx(0.6761942617, abs=1e-10)
    assert interval.high / between == pytest.approx(1.5744289897, abs=1e-10)


def test_constant_rate_interval() -> None:
    """NIST 8.4.5.1: two failures in 800 h, 90 %: 127.0690 - 2251.229."""
    interval = constant_rate_interval(2, 800.0, 0.9)
    assert interval.low == pytest.approx(127.0690, abs=5e-5)
    assert interval.high == pytest.approx(2251.229, abs=5e-4)


def test_mean_cumulative_of_three_systems() -> None:
    """Three systems, 1/3 2/3 4/3 11/6 at 1 5 8 16, robust variance 6/81 6/81 24/81 at 1 5 8: published, the place not
    recorded; Nelson's variance, three systems watched alike, is 3/2 of it.
    """
    found = mean_cumulative(histories([[5, 8], [], [1, 8, 16]], [12, 16, 20]))
    assert found.age.tolist() == [1, 5, 8, 16]
    np.testing.assert_allclose(found.count, [1 / 3, 2 / 3, 4 / 3, 11 / 6], atol=1e-14)
    np.testing.assert_allclose(found.robust_variance[:3], [6 / 81, 6 / 81, 24 / 81], atol=1e-14)
    np.testing.assert_allclose(found.nelson_variance[:3], [9 / 81, 9 / 81, 36 / 81], atol=1e-14)


def test_mean_cumulative_of_five_systems_with_both_variances() -> None:
    """Five systems at 2 3 6 8: the count, Lawless-Nadeau's and Nelson's variance as published
    (the place not recorded).
    """
    found = mean_cumulative(histories([[3, 6, 8], [3, 8], [8], [], [2]], [11, 10, 10, 7, 9]))
    assert found.age.tolist() == [2, 3, 6, 8]
    np.testing.assert_allclose(found.count, [0.2, 0.6, 0.8, 1.55], atol=1e-14)
    np.testing.assert_allclose(found.robust_variance, [0.032, 0.048, 0.112, 0.158875], atol=1e-14)
    np.testing.assert_allclose(found.nelson_variance, [0.040, 0.060, 0.140, 0.2025], atol=1e-14)


def test_mining_loader_shows_no_trend() -> None:
    """Kumar et al. 1989: shape .8943780, Laplace .6050631, Lewis-Robinson .6811330."""
    assert fit_power_law(LOADER).shape == pytest.approx(0.8943780, abs=5e-8)
    assert laplace_test(LOADER).statistic == pytest.approx(0.6050631, abs=5e-8)
    robust = lewis_robinson_test(LOADER)
    assert robust.statistic == pytest.approx(0.6811330, abs=5e-8)
    assert robust.p_value > 0.4


def test_repairs_along_the_published_combine_curve_return_its_exponent() -> None:
    """ASAE D497 table 3, self-propelled combine: RF2 = 2.1 (from memory). Repairs set where that curve has risen by
    equal steps over 3,000 h bring the exponent back.
    """
    steps = (np.arange(2000) + 0.5) / 2000
    fit = fit_power_law(histories([3000.0 * steps ** (1 / 2.1)], 3000.0))
    assert fit.shape == pytest.approx(2.1, rel=5e-4)
