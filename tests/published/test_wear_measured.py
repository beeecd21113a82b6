"""Measured wear: the laser of the textbook, four documented lines, and chain elongation; sources beside."""

from __future__ import annotations

import numpy as np
import pytest

from wearlog.wear import WearForm, elongation_limit, elongation_percent, find_chain, fit_wear

# W. Q. Meeker and L. A. Escobar, Statistical Methods for Reliability Data, Wiley 1998: one GaAs laser
LASER_HOURS = np.arange(0, 4001, 250)
LASER_PERCENT = [
    *[0.0, 0.4741, 0.9255, 2.1147, 2.7168, 3.511, 4.3415, 4.9076, 5.4782, 5.9925, 6.7224, 7.1303, 8.0006],
    *[8.9193, 9.494, 9.8675, 10.9446],
]


@pytest.mark.parametrize(("form", "hours"), [(WearForm.LINE, 3702.0), (WearForm.LINE_THROUGH_NEW, 3707.0)])
def test_laser_reaches_ten_percent(form: WearForm, hours: float) -> None:
    """Meeker and Escobar 1998, limit 10: with an intercept 3702.0 h, through the origin 3707.0 h."""
    line = fit_wear(LASER_HOURS, LASER_PERCENT, new_value=0.0, limit=10.0, form=form)
    assert line.crossing().usage == pytest.approx(hours, abs=0.05)


@pytest.mark.parametrize(
    ("slope", "usage"),
    [(0.31, 451.61290323), (0.28, 500.0), (0.44, 318.18181818), (0.37, 378.37837838)],
)
def test_lines_from_ten_to_a_limit_of_150(slope: float, usage: float) -> None:
    """surpyval documentation, degradation analysis: y = 10 + slope x, limit 150."""
    x = np.array([50.0, 100.0, 150.0])
    line = fit_wear(x, 10 + slope * x, new_value=10.0, limit=150.0)
    assert line.crossing().usage == pytest.approx(usage, abs=1e-8)


def test_worn_conveyor_chain() -> None:
    """CA550, 10 pitches, reads 424 mm: 2.41 % (worked from the pitch of 1.630 in, which is from memory)."""
    chain = find_chain("CA550")
    worn = elongation_percent(424.0, 10, chain.pitch_mm)
    assert worn == pytest.approx(2.41, abs=0.005)
    assert elongation_limit(fixed_centres=True) < worn < elongation_limit()
    assert elongation_limit() - worn == pytest.approx(0.59, abs=0.005)


def test_elongation_limit_of_large_sprockets() -> None:
    """200 / teeth of the larger sprocket (two chain makers' pages, ANSI B29.1/B29.3): 90 teeth 2.22 %, computed."""
    assert elongation_limit(90) == pytest.approx(2.22, abs=0.005)
    assert elongation_limit(66) == 3.0
    assert elongation_limit(67) < 3.0


@pytest.mark.parametrize(
    ("number", "twelve_inches", "twelve_mm"),
    [
        *[("40", 6.0, 152.4), ("50", 7.5, 190.5), ("60", 9.0, 228.6), ("80", 12.0, 304.8), ("100", 15.0, 381.0)],
        *[("2060", 18.0, 457.2), ("CA555", 19.56, 496.8), ("CA557", 19.56, 496.8), ("CA620", 19.848, 504.1)],
    ],
)
def test_length_of_twelve_pitches(number: str, twelve_inches: float, twelve_mm: float) -> None:
    """Pitches from memory (#80 is eight eighths of an inch), lengths computed from them."""
    chain = find_chain(number)
    assert 12 * chain.pitch_inches == pytest.approx(twelve_inches, abs=1e-12)
    assert 12 * chain.pitch_mm == pytest.approx(twelve_mm, abs=0.05)
    assert "memory" in chain.label
