"""Grain loss against published counts and worked figures, each with its source."""

from __future__ import annotations

import numpy as np
import pytest

from wearlog.harvest.kernel_table import KERNEL_COUNTS, Standing, kernel_count, kernels_per_square_foot
from wearlog.harvest.loss import GrainLoss, concentration_factor, loss_from_counts, loss_from_mass
from wearlog.units import ACRE_SQUARE_METRES, FOOT_METRES, POUND_GRAMS

SQUARE_FOOT = float(FOOT_METRES) ** 2
ACRE, POUND = float(ACRE_SQUARE_METRES), float(POUND_GRAMS)


def bushels_per_acre(grams_per_square_metre: float, pounds_per_bushel: float) -> float:
    return grams_per_square_metre * ACRE / POUND / pounds_per_bushel


def as_printed(number: float, like: str) -> str:
    """The number with as many decimals as the printed one."""
    return f"{number:.{len(like.partition('.')[2])}f}"


def worked_example() -> GrainLoss:
    """Counts of one frame each behind and ahead: 30-ft header, 5-ft discharge, 130 and 10 kernels, spring wheat."""
    wheat = kernel_count("hard red spring wheat")
    assert wheat is not None
    return loss_from_counts(
        np.array([130.0]),
        np.array([10.0]),
        frame_area=SQUARE_FOOT,
        concentration=concentration_factor(30, 5),
        per_gram=wheat.per_gram,
    )


def test_concentration_factor() -> None:
    """Published, Canola Council: 30 ft on 5 ft is 6."""
    assert concentration_factor(30, 5) == 6


def test_width_correction_by_count() -> None:
    """Procedure published (smallgrains.org 2003; North Dakota State 1978), answer computed: 1.0 and 1.5 bu/ac, 3.6 %."""
    loss = worked_example()
    assert bushels_per_acre(loss.machine, 60) == pytest.approx(1.0, rel=1e-12)
    assert bushels_per_acre(loss.total, 60) == pytest.approx(1.5, rel=1e-12)
    harvested = 40 * 60 * POUND / ACRE
    assert round(100 * loss.share_of_crop(harvested), 1) == 3.6


def test_loss_by_mass() -> None:
    """Computed: 3 g on a square foot, factor 6: 0.5 g/ft2, 48.0 lb/ac, 0.96 bu/ac of 50-lb canola."""
    loss = loss_from_mass(np.array([3 / SQUARE_FOOT]), np.empty(0), concentration=6)
    assert loss.total * SQUARE_FOOT == pytest.approx(0.5, rel=1e-12)
    assert round(loss.total * ACRE / POUND, 1) == 48.0
    assert round(bushels_per_acre(loss.total, 50), 2) == 0.96


def test_three_grams_of_canola_are_800_to_1000_seeds() -> None:
    """Published range for the pan; 267 seeds a gram follow from the Australian table."""
    canola = kernel_count("canola")
    assert canola is not None
    assert 800 <= 3 * canola.per_gram <= 1000


@pytest.mark.parametrize(
    ("crop", "thousand_kernel_grams"),
    [
        ("hard red spring wheat", "31.2"),
        ("durum", "39.0"),
        ("barley", "35.7"),
        ("oats", "33.3"),
        ("corn", "292"),
        ("soybeans", "156"),
        ("wheat", "37.0"),
        ("barley, australian", "43.5"),
        ("field peas", "200"),
        ("chickpeas, kabuli", "500"),
        ("lentils, red", "30.3"),
        ("lentils, green", "35.7"),
        ("canola", "3.75"),
    ],
)
def test_kernel_weights_implied_by_the_counts(crop: str, thousand_kernel_grams: str) -> None:
    """Computed from counts whose source stands in the table itself."""
    entry = kernel_count(crop)
    assert entry is not None
    assert as_printed(entry.thousand_kernel_grams, thousand_kernel_grams) == thousand_kernel_grams


@pytest.mark.parametrize(
    ("crop", "per_square_foot"),
    [
        ("wheat", "16.9"),
        ("field peas", "3.1"),
        ("chickpeas, kabuli", "1.25"),
        ("lentils, red", "20.6"),
        ("lentils, green", "17.5"),
        ("canola", "139"),
    ],
)
def test_kernels_per_square_foot_from_the_australian_quadrat(crop: str, per_square_foot: str) -> None:
    """Computed from W. Australia DPIRD seeds per 0.1 m2 that equal 100 kg/ha: 27, 5, 2, 33, 28, 267."""
    entry = kernel_count(crop)
    assert entry is not None
    assert as_printed(entry.per_square_foot, per_square_foot) == per_square_foot
    assert entry.standing is Standing.COMPUTED
    assert kernels_per_square_foot(entry.per_gram, entry.pounds_per_bushel) == pytest.approx(entry.per_square_foot)


def test_five_lupin_seeds_in_a_quadrat() -> None:
    """W. Australia DPIRD (inputs published, answer computed): 5 x 100 / 7 = 71.4 kg/ha, on 0.1 m2."""
    loss = loss_from_counts(np.array([5.0]), np.empty(0), frame_area=0.1, concentration=1, per_gram=7)
    assert round(loss.total * 10, 1) == 71.4


def test_every_entry_says_what_it_rests_on() -> None:
    """Soybeans alone are from memory; all others name a source."""
    assert [entry.crop for entry in KERNEL_COUNTS if not entry.source] == ["soybeans"]
    assert [entry.crop for entry in KERNEL_COUNTS if entry.standing is Standing.FROM_MEMORY] == ["soybeans"]
