"""Shrink and yield-monitor error against worked figures, each with its source."""

from __future__ import annotations

import numpy as np
import pytest

from wearlog.harvest.calibration import calibrate
from wearlog.harvest.moisture import shrink_per_point, shrink_to


@pytest.mark.parametrize(
    ("basis", "per_point"),
    [(12, 1.1364), (13, 1.1494), (13.5, 1.1561), (14, 1.1628), (15, 1.1765), (15.5, 1.1834)],
)
def test_shrink_per_point(basis: float, per_point: float) -> None:
    """Computed by the published formula 100 / (100 - M2)."""
    assert round(shrink_per_point(basis), 4) == per_point


def test_wheat_from_16_5_to_13_5() -> None:
    """Computed: 60,000 lb shrink 3.468 % to 57,919.08 lb, 965.32 bu of 60 lb."""
    dry = shrink_to(60_000, 16.5, 13.5)
    assert round(dry.total_percent, 3) == 3.468
    assert round(dry.mass, 2) == 57_919.08
    assert round(dry.mass / 60, 2) == 965.32


def test_corn_from_25_5_to_15_5() -> None:
    """Published example, unrounded (it prints 15.8 bu through rounding): 11.83 %, 881.66 lb, 15.74 bu of 56 lb."""
    dry = shrink_to(1000, 25.5, 15.5)
    assert round(dry.total_percent, 2) == 11.83
    assert round(dry.mass, 2) == 881.66
    assert round(dry.mass / 56, 2) == 15.74


def test_corn_with_half_a_per_cent_of_handling() -> None:
    """Published: 12.33 %, 876.7 lb."""
    dry = shrink_to(1000, 25.5, 15.5, handling_percent=0.5)
    assert round(dry.total_percent, 2) == 12.33
    assert round(dry.mass, 1) == 876.7


def test_peas_from_18_to_14() -> None:
    """Computed: 1,000 bu become 953.49."""
    assert round(shrink_to(1000, 18, 14).mass, 2) == 953.49


def test_yield_monitor_loads() -> None:
    """Computed: 5,150 on a 5,000-lb load is +3.0 %; +3, -1, +2, -2: mean +0.5, mean absolute 2.0, RMS 2.12 %."""
    scale = np.full(4, 5000.0)
    found = calibrate(np.array([5150.0, 4950.0, 5100.0, 4900.0]), scale)
    assert found.error_percent.tolist() == pytest.approx([3.0, -1.0, 2.0, -2.0])
    assert found.mean_percent == pytest.approx(0.5)
    assert found.mean_absolute_percent == pytest.approx(2.0)
    assert round(found.rms_percent, 2) == 2.12
