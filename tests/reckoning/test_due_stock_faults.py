"""Services due, what is low on the shelf, faults as a list, the progress of the harvest."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

import pytest

from tests.small_farm import AUGUST, HOUR, MAY, SmallFarm, harvest, land, receive
from wearlog.facts.closed_lists import MeterKind
from wearlog.facts.machines import ServiceDone, ServiceItem
from wearlog.logbook.parts.upkeep import add_service, do_service
from wearlog.reckoning.farm import farm_from
from wearlog.reckoning.faults.fault_list import fault_lines
from wearlog.reckoning.harvest.field_time import progress
from wearlog.reckoning.parts.stock import shelf_view
from wearlog.reckoning.work.services_due import DueStanding, ServiceDue, services_due
from wearlog.store.opening import Store


def service(farm: SmallFarm, *, usage: int | None = None, months: int | None = None, done: bool = True) -> None:
    item = ServiceItem(
        machine_id=farm.combine.id,
        name="engine oil",
        meter_kind=MeterKind.SEPARATOR_HOURS if usage else None,
        interval_usage=usage,
        interval_months=months,
    )
    add_service(farm.store, item)
    if done:
        do_service(farm.store, ServiceDone(service_item_id=item.id, at=MAY))


def due(farm: SmallFarm, now: datetime) -> ServiceDue:
    with farm.store.reading() as connection:
        (found,) = services_due(connection, farm_from(connection, now))
    return found


@pytest.mark.parametrize(
    ("hours", "left", "standing"),
    [(80.0, 20, DueStanding.LATER), (91.0, 9, DueStanding.SOON), (103.5, -3.5, DueStanding.OVERDUE)],
)
def test_a_service_by_meter(farm: SmallFarm, hours: float, left: float, standing: DueStanding) -> None:
    service(farm, usage=100 * HOUR)
    harvest(farm, hours=hours)
    found = due(farm, AUGUST + timedelta(days=30))
    assert found.left_usage == pytest.approx(left * HOUR)
    assert found.standing is standing


@pytest.mark.parametrize(
    ("now", "standing"),
    [
        (datetime(2027, 4, 16, tzinfo=UTC), DueStanding.LATER),
        (datetime(2027, 4, 18, tzinfo=UTC), DueStanding.SOON),
        (datetime(2027, 5, 1, 20, tzinfo=UTC), DueStanding.OVERDUE),
    ],
)
def test_a_service_by_the_calendar(farm: SmallFarm, now: datetime, standing: DueStanding) -> None:
    service(farm, months=12)
    found = due(farm, now)
    assert (found.due_on, found.standing) == (date(2027, 5, 1), standing)


def test_whichever_comes_first_counts(farm: SmallFarm) -> None:
    service(farm, usage=500 * HOUR, months=2)
    assert due(farm, AUGUST).standing is DueStanding.OVERDUE


def test_a_service_that_was_never_noted_says_so_and_is_not_called_overdue(farm: SmallFarm) -> None:
    service(farm, usage=10 * HOUR, done=False)
    harvest(farm, hours=100)
    assert due(farm, AUGUST + timedelta(days=30)).standing is DueStanding.NEVER_NOTED


def test_what_is_below_the_number_to_keep_is_low_and_ordered_in_whole_packs(farm: SmallFarm) -> None:
    rows = shelf_view(farm.store).shelves
    assert (rows[0].on_hand, rows[0].is_low, rows[0].order, rows[0].worth_minor) == (50, False, 0, 50 * 460)
    receive(farm, 5, 480)
    rows = shelf_view(farm.store).shelves
    assert (rows[0].on_hand, rows[0].worth_minor) == (55, 50 * 460 + 5 * 480)


def test_the_demo_fleet_has_its_recurring_fault_counted_along_its_circuit(demo_store: Store) -> None:
    with demo_store.reading() as connection:
        rows = fault_lines(connection, farm_from(connection, datetime(2026, 11, 20, 18, tzinfo=UTC)))
    assert [row.fault.closed_at is None for row in rows] == [True] + [False] * (len(rows) - 1)
    header = [row for row in rows if row.fault.circuit == "header" and row.of > 1]
    assert sorted(row.nth for row in header) == list(range(1, header[0].of + 1))
    assert all(row.quiet_seconds is not None and row.quiet_seconds > 0 for row in header)


def test_progress_is_the_area_the_combines_cut_this_season(farm: SmallFarm) -> None:
    land(farm)
    harvest(farm, acres=100)
    with farm.store.reading() as connection:
        found = progress(connection, farm_from(connection, AUGUST + timedelta(days=1)))
    assert found.season is not None
    assert found.cut / 4046.8564224 == pytest.approx(100, abs=0.001)
    assert found.planned is None
    combine = next(one for one in found.machines if one.machine_id == farm.combine.id)
    assert combine.separator_seconds == pytest.approx(1710 * HOUR)
