"""Weibull fits and Kaplan-Meier against printed life data; each value stands beside its source."""

from __future__ import annotations

import numpy as np
import pytest

from wearlog.wear import Lives, fit_weibull, kaplan_meier, log_likelihood


def _lives(failed: list[float], censored: list[float]) -> Lives:
    return Lives.of(failed + censored, [1] * len(failed) + [0] * len(censored))


# NIST/SEMATECH e-Handbook of Statistical Methods, 8.2.2.1 (data) and 8.4.1.3 (fit)
NIST_FAILED = [54.0, 187, 216, 240, 244, 335, 361, 373, 375, 386]
# W. Nelson, Applied Life Data Analysis, Wiley 1982: diesel generator fans, hours
FANS_FAILED = [450.0, 1150, 1150, 1600, 2070, 2070, 2080, 3100, 3450, 4600, 6100, 8750]
FANS_CENSORED = [
    *[460.0, 1560, 1660, *[1850.0] * 5, *[2030.0] * 3, 2200, *[3000.0] * 4, 3200, *[3750.0] * 2, *[4150.0] * 4],
    *[*[4300.0] * 4, *[4850.0] * 4, *[5000.0] * 3, *[6100.0] * 3, 6300, *[6450.0] * 2, 6700, 7450, *[7800.0] * 2],
    *[*[8100.0] * 2, 8200, *[8500.0] * 3, *[8750.0] * 2, 9400, 9900, *[10100.0] * 3, 11500],
]
# R. B. Abernethy, The New Weibull Handbook, 5th ed. 2006, appendix C.5
ABERNETHY = _lives([1500.0, 7000, 2250, 4000, 4300], [1750.0, 5000])
# doi 10.1080/00224065.1997.11979730
JQT_1997 = _lives([45.0, 46, 34, 45, 32, 24, 58, 79, 56, 63, 34, 50], [23.0, 24, 57, 78, 76, 85, 51, 59])
# J. Lieblein and M. Zelen, J. Res. Nat. Bur. Standards 57 (1956) 273: ball bearings, million revolutions (48.4 as surpyval
# carries it; some reprints have 48.48)
BEARINGS = _lives(
    [
        *[17.88, 28.92, 33.0, 41.52, 42.12, 45.6, 48.4, 51.84, 51.96, 54.12, 55.56, 67.8],
        *[68.64, 68.64, 68.88, 84.12, 93.12, 98.64, 105.12, 105.84, 127.92, 128.04, 173.4],
    ],
    [],
)
# 40 units with late entry; values computed, on which lifelines and surpyval agree to 6-7 digits
LATE_ENTRY = [
    *[0.0] * 10,
    *[325.0, 133, 673, 876, 858, 713, 43, 170, 538, 7, 637, 319, 37, 138, 216, 20, 451, 564, 85, 138],
    *[832.0, 606, 153, 224, 3, 763, 366, 212, 605, 807],
]
LATE_EXIT = [
    *[176, 311.9, 260.4, 491.9, 828.7, 424.1, 431.1, 107.4, 501.8, 652.2, 953.4, 680.4, 907.6, 1491.7, 1329.6],
    *[1446, 587.5, 776.1, 544.9, 394.7, 1100.8, 693.1, 540.6, 359.4, 864.5, 240.7, 601.2, 592.6, 611.9, 830],
    *[1002.9, 710, 955.5, 439.2, 573.4, 999.1, 546.9, 301.9, 1081.4, 953],
]
LATE_FAILED = [int(mark) for mark in "0000001000011011001011110111101111110100"]
# W. Nelson, Applied Life Data Analysis, Wiley 1982, p. 415: cracks of 167 parts found at inspections
INSPECTIONS = [0.0, 6.12, 19.92, 29.64, 35.4, 39.72, 45.24, 52.32, 63.48]
CRACKED = [5, 16, 12, 18, 18, 2, 6, 17]
BEYOND = 73


def test_nist_life_test_gives_the_handbook_fit() -> None:
    """NIST 8.4.1.3 prints 606.5280, 1.7208, -75.135, 540.737, 323.806; more digits and errors are computed."""
    fit = fit_weibull(_lives(NIST_FAILED, [500.0] * 10))
    assert fit.scale == pytest.approx(606.527558, abs=1e-6)
    assert fit.shape == pytest.approx(1.720797261, abs=1e-9)
    assert fit.log_likelihood == pytest.approx(-75.1346182, abs=1e-7)
    assert fit.mean == pytest.approx(540.737, abs=5e-4)
    assert fit.sd == pytest.approx(323.806, abs=5e-4)
    assert fit.shape_error == pytest.approx(0.502151, abs=1e-6)
    assert fit.scale_error == pytest.approx(124.9107, abs=1e-4)


def test_nist_kaplan_meier_table() -> None:
    """NIST 8.2.1.5: 20 units, failures 10 32 56 98 122 181, removed 50 100 125 150, ten still running at 200."""
    found = kaplan_meier(_lives([10.0, 32, 56, 98, 122, 181], [50.0, 100, 125, 150, *[200.0] * 10]))
    assert found.age.tolist() == [10, 32, 56, 98, 122, 181]
    printed = [0.95, 0.90, 0.8470588, 0.7941176, 0.7373950, 0.6703591]
    np.testing.assert_allclose(found.survival, printed, atol=5e-8)


def test_diesel_fans_with_heavy_censoring() -> None:
    """Nelson 1982 prints 1.0584 and 26.2968 thousand hours; more digits are computed."""
    assert len(FANS_CENSORED) == 58
    fit = fit_weibull(_lives(FANS_FAILED, FANS_CENSORED))
    assert fit.shape == pytest.approx(1.058445850, abs=1e-9)
    assert fit.scale == pytest.approx(26296.8452, abs=1e-4)
    assert fit.log_likelihood == pytest.approx(-135.1527199, abs=1e-7)


@pytest.mark.parametrize(
    ("lives", "shape", "scale", "digits"),
    [
        pytest.param(ABERNETHY, 2.257, 4900.1, (5e-4, 0.05), id="Abernethy appendix C.5"),
        pytest.param(JQT_1997, 2.7540, 67.9188, (5e-5, 5e-5), id="doi 10.1080/00224065.1997.11979730"),
        pytest.param(BEARINGS, 2.101846864, 81.8745587, (1e-9, 1e-7), id="Lieblein and Zelen 1956, computed digits"),
    ],
)
def test_printed_fits(lives: Lives, shape: float, scale: float, digits: tuple[float, float]) -> None:
    """Shape and scale agree with what the source prints, to its last digit."""
    fit = fit_weibull(lives)
    assert fit.shape == pytest.approx(shape, abs=digits[0])
    assert fit.scale == pytest.approx(scale, abs=digits[1])


def test_ball_bearings_log_likelihood() -> None:
    """Lieblein and Zelen 1956; value computed and met by surpyval."""
    assert fit_weibull(BEARINGS).log_likelihood == pytest.approx(-113.6919591, abs=1e-7)


def test_late_entries_count_and_forgetting_them_lengthens_the_life() -> None:
    """Values computed; lifelines and surpyval agree to 6-7 digits."""
    fit = fit_weibull(Lives.of(LATE_EXIT, LATE_FAILED, entry=LATE_ENTRY))
    assert fit.shape == pytest.approx(2.050893388, abs=1e-8)
    assert fit.scale == pytest.approx(877.539651, abs=1e-5)
    assert fit.log_likelihood == pytest.approx(-154.9117461, abs=1e-7)
    forgetful = fit_weibull(Lives.of(LATE_EXIT, LATE_FAILED))
    assert forgetful.shape == pytest.approx(2.464754, abs=1e-6)
    assert forgetful.scale == pytest.approx(1025.588, abs=1e-3)


def test_failures_known_only_between_inspections() -> None:
    """Nelson 1982 p. 415 prints 1.4854 and 71.6904; more digits are computed."""
    lives = Lives.of(
        [*INSPECTIONS[1:], INSPECTIONS[-1]],
        [1] * 8 + [0],
        weight=[*CRACKED, BEYOND],
        last_seen=[*INSPECTIONS[:-1], INSPECTIONS[-1]],
    )
    fit = fit_weibull(lives)
    assert fit.shape == pytest.approx(1.48536736, abs=1e-8)
    assert fit.scale == pytest.approx(71.6904058, abs=5e-7)
    assert fit.log_likelihood == pytest.approx(-309.6684089, abs=1e-7)
    assert log_likelihood(lives, 1.4854, 71.6904) < fit.log_likelihood
