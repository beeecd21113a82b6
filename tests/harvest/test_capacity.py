"""Capacity and availability: what is counted, and what is refused."""

from __future__ import annotations

import numpy as np
import pytest

from wearlog.errors import DataError
from wearlog.harvest.capacity import availability_of, effective_field_capacity, measured_capacity


def test_measured_capacity_weighs_fields_by_their_time() -> None:
    done = measured_capacity(
        np.array([1000.0, 3000.0]),
        np.array([100.0, 350.0]),
        np.array([0.0, 50.0]),
        width_metres=10,
        metres_per_second=2,
    )
    assert (done.effective, done.theoretical, done.efficiency) == (10, 20, 0.5)
    assert (done.field_seconds, done.outside_seconds) == (400, 50)


def test_availability_is_running_between_stops_over_running_and_repair() -> None:
    found = availability_of(9000, np.array([200.0, 400.0, 300.0]))
    assert (found.failures, found.between_failures, found.to_repair) == (3, 3000, 300)
    assert found.share == 3000 / 3300


def test_without_a_failure_only_a_lower_limit_is_known() -> None:
    """0 failures: the lower 95 % limit is T / -ln 0.05."""
    found = availability_of(1000, np.empty(0), level=0.90)
    assert (found.between_failures, found.to_repair, found.share) == (None, None, 1)
    assert found.between_failures_low == pytest.approx(1000 / -np.log(0.05))
    assert found.between_failures_high == np.inf


def test_more_time_lost_than_passed_is_refused() -> None:
    with pytest.raises(DataError, match="More time was lost"):
        measured_capacity(np.ones(1), np.ones(1), np.full(1, 2.0), width_metres=1, metres_per_second=1)


def test_capacity_without_field_time_is_refused() -> None:
    with pytest.raises(DataError, match="field time"):
        measured_capacity(np.ones(1), np.ones(1), np.ones(1), width_metres=1, metres_per_second=1)


def test_an_efficiency_above_one_is_refused() -> None:
    with pytest.raises(DataError, match="70 is no share"):
        effective_field_capacity(10, 1, 70)


def test_availability_without_running_time_is_refused() -> None:
    with pytest.raises(DataError, match="running time above zero"):
        availability_of(0, np.empty(0))
