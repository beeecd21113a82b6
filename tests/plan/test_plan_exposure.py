"""Planned work shared over machines and headers, and the usage it means on every meter."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from wearlog.errors import DataError
from wearlog.plan.exposure import SHARED, FleetRates, PlannedWork, share_planned_work

FLEET = FleetRates.of([12.0, 8.0], [0.08, 0.1], [0.1, 0.14], [[3.0, 1.0], [0.0, 1.0]])


def test_work_without_a_machine_is_shared_by_capacity() -> None:
    exposure = share_planned_work(PlannedWork([1_000.0], [SHARED], [SHARED]), FLEET)
    np.testing.assert_allclose(exposure.combine_area, [600, 400])
    np.testing.assert_allclose(exposure.header_area, [450, 150 + 400])


def test_a_named_combine_cuts_it_all_with_its_own_headers() -> None:
    exposure = share_planned_work(PlannedWork([1_000.0], [0], [SHARED]), FLEET)
    np.testing.assert_allclose(exposure.combine_area, [1_000, 0])
    np.testing.assert_allclose(exposure.header_area, [750, 250])


def test_a_named_header_goes_to_those_who_carry_it() -> None:
    """The second header: 12 x 1/4 against 8 x 1."""
    exposure = share_planned_work(PlannedWork([1_100.0, 500.0], [SHARED, SHARED], [1, 0]), FLEET)
    np.testing.assert_allclose(exposure.area[0, :, 1], [300, 800])
    np.testing.assert_allclose(exposure.area[1, :, 0], [500, 0])


def test_usage_follows_each_machines_own_hours_per_area() -> None:
    exposure = share_planned_work(PlannedWork([1_000.0], [SHARED], [SHARED]), FLEET)
    np.testing.assert_allclose(exposure.combine_separator_hours, [48, 40])
    np.testing.assert_allclose(exposure.combine_engine_hours, [60, 56])
    np.testing.assert_allclose(exposure.header_separator_hours, [36, 12 + 40])


def test_area_by_ground_for_combines_and_headers() -> None:
    work = PlannedWork([1_000.0, 500.0, 200.0], [SHARED, 0, 1], [SHARED, 1, SHARED])
    exposure = share_planned_work(work, FLEET)
    by_ground = exposure.header_area_by([2, 0, 2], 3)
    np.testing.assert_allclose(by_ground, [[0, 0, 450], [500, 0, 550 + 200]])
    np.testing.assert_allclose(exposure.combine_area_by([2, 0, 2], 3), [[500, 0, 600], [0, 0, 600]])


def test_a_combine_that_never_had_a_header_still_gets_its_area() -> None:
    fleet = FleetRates.of([10.0], [0.1], [0.1], [[0.0]])
    exposure = share_planned_work(PlannedWork([300.0, 100.0], [0, SHARED], [SHARED, 0]), fleet)
    assert exposure.combine_area.tolist() == [400.0]
    assert exposure.header_area.tolist() == [100.0]


def test_a_fleet_without_headers_and_a_plan_without_work() -> None:
    fleet = FleetRates.of([0.0, 0.0], [0.1, 0.1], [0.1, 0.1], np.zeros((2, 0)))
    assert share_planned_work(PlannedWork([100.0], [SHARED], [SHARED]), fleet).combine_area.tolist() == [50.0, 50.0]
    assert share_planned_work(PlannedWork([], [], []), fleet).combine_area.tolist() == [0.0, 0.0]


# an area so small that the machine's numbers have no digits left for a third of it is none
@given(
    st.lists(
        st.tuples(st.floats(0, 1e6, allow_subnormal=False), st.integers(-1, 2), st.integers(-1, 1)),
        min_size=1,
        max_size=10,
    ),
    st.lists(st.lists(st.floats(0, 1e4, allow_subnormal=False), min_size=2, max_size=2), min_size=3, max_size=3),
    st.lists(st.floats(0, 40, allow_subnormal=False), min_size=3, max_size=3),
)
def test_no_area_is_lost_or_made(
    rows: list[tuple[float, int, int]], hitched: list[list[float]], capacity: list[float]
) -> None:
    area, combine, header = zip(*rows, strict=True)
    fleet = FleetRates.of(capacity, [0.1] * 3, [0.1] * 3, hitched)
    exposure = share_planned_work(PlannedWork(area, combine, header), fleet)
    np.testing.assert_allclose(exposure.area.sum(axis=(1, 2)), area, rtol=1e-12)
    assert np.all(exposure.area >= 0)
    assert exposure.combine_area.sum() == pytest.approx(sum(area))
    assert exposure.combine_area_by([0] * len(rows), 1)[:, 0] == pytest.approx(exposure.combine_area)


def test_plans_that_make_no_sense_are_refused() -> None:
    with pytest.raises(DataError, match="no combine"):
        share_planned_work(PlannedWork([1.0], [SHARED], [SHARED]), FleetRates.of([], [], [], np.zeros((0, 0))))
    with pytest.raises(DataError, match="area is negative"):
        share_planned_work(PlannedWork([-1.0], [SHARED], [SHARED]), FLEET)
    with pytest.raises(DataError, match="not there"):
        share_planned_work(PlannedWork([1.0], [2], [SHARED]), FLEET)
    with pytest.raises(DataError, match="equal length"):
        share_planned_work(PlannedWork([1.0], [0, 1], [SHARED]), FLEET)
    with pytest.raises(DataError, match="grouping does not fit"):
        share_planned_work(PlannedWork([1.0], [0], [SHARED]), FLEET).combine_area_by([0, 1], 2)
    with pytest.raises(DataError, match="equal length"):
        FleetRates.of([1.0], [0.1, 0.2], [0.1], [[1.0]])
    with pytest.raises(DataError, match="negative or missing"):
        FleetRates.of([1.0], [np.nan], [0.1], [[1.0]])
