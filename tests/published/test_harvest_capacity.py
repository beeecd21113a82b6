"""Field capacity against worked figures of extension publications, each with its source."""

from __future__ import annotations

import numpy as np
import pytest

from wearlog.harvest.capacity import (
    availability_of,
    effective_field_capacity,
    measured_capacity,
    theoretical_field_capacity,
)
from wearlog.units import ACRE_SQUARE_METRES, FOOT_METRES, HECTARE_SQUARE_METRES, MILE_METRES

FOOT, MPH = float(FOOT_METRES), float(MILE_METRES) / 3600
ACRES_PER_HOUR = float(ACRE_SQUARE_METRES) / 3600
HECTARES_PER_HOUR = float(HECTARE_SQUARE_METRES) / 3600


@pytest.mark.parametrize(
    ("feet", "mph", "efficiency", "acres_per_hour", "source"),
    [
        (30, 5, 1.0, 18.2, "published: Univ. Kentucky AEN-73 (1991)"),
        (30, 5, 0.8, 14.5, "published: Univ. Kentucky AEN-73 (1991)"),
        (30, 5, 0.6, 10.9, "published: Univ. Kentucky AEN-73 (1991)"),
        (40, 6, 0.7, 20.4, "published: Univ. Kentucky AEN-73 (1991)"),
    ],
)
def test_published_capacities_of_a_combine(
    feet: float, mph: float, efficiency: float, acres_per_hour: float, source: str
) -> None:
    capacity = effective_field_capacity(feet * FOOT, mph * MPH, efficiency) / ACRES_PER_HOUR
    assert round(capacity, 1) == acres_per_hour, source


@pytest.mark.parametrize(("feet", "mph", "acres_per_hour"), [(35, 4.5, 13.36), (40, 5, 16.97)])
def test_computed_capacities_at_70_per_cent(feet: float, mph: float, acres_per_hour: float) -> None:
    """Computed from the formula of AEN-73; 70 % is the typical efficiency of a combine (ASAE D497, from memory)."""
    assert round(effective_field_capacity(feet * FOOT, mph * MPH, 0.7) / ACRES_PER_HOUR, 2) == acres_per_hour


def test_the_published_constants_follow_from_the_units() -> None:
    """ac/h = ft x mph / 8.25 (published, AEN-73), 8.25 = 43 560 / 5 280; ha/h = m x km/h / 10 (from memory)."""
    assert theoretical_field_capacity(FOOT, MPH) / ACRES_PER_HOUR == pytest.approx(1 / 8.25, rel=1e-12)
    assert theoretical_field_capacity(1.0, 1 / 3.6) / HECTARES_PER_HOUR == pytest.approx(0.1, rel=1e-12)


def test_88_feet_in_12_seconds_are_5_miles_per_hour() -> None:
    """Published speed check (12 s), the 88 ft computed."""
    miles_per_hour = 88 * FOOT / 12 / MPH
    assert miles_per_hour == pytest.approx(5, rel=1e-12)


def test_repairs_and_service_are_outside_field_efficiency() -> None:
    """Iowa State A3-24: acres done / hours of field time, over several fields; daily service and repairs left out.

    Invented times for the published rule: two fields of 100 and 60 acres in 7 and 7 hours, of which 2 h repair.
    """
    done = measured_capacity(
        np.array([100, 60]) * float(ACRE_SQUARE_METRES),
        np.array([7.0, 7.0]) * 3600,
        np.array([0.0, 2.0]) * 3600,
        width_metres=35 * FOOT,
        metres_per_second=4.5 * MPH,
    )
    assert done.effective / ACRES_PER_HOUR == pytest.approx(160 / 12, rel=1e-12)
    assert done.efficiency == pytest.approx(160 / 12 * 8.25 / (35 * 4.5), rel=1e-12)


def test_interval_of_the_mean_time_between_failures() -> None:
    """Published, NIST/SEMATECH e-Handbook 8.4.5.1: 800 h, 2 failures, 90 %: 127.0690 to 2251.229."""
    found = availability_of(800 * 3600, np.array([3600.0, 3600.0]), level=0.90)
    assert found.between_failures_low / 3600 == pytest.approx(127.0690, abs=5e-5)
    assert found.between_failures_high / 3600 == pytest.approx(2251.229, abs=5e-4)
