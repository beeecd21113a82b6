"""Parts that age by the calendar: lives, guesses, the season ahead and the plan count days, whatever the machine does."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest

from tests.small_farm import SmallFarm, harvest, kind
from wearlog.facts.closed_lists import Cause, MachineKind, MeterKind
from wearlog.facts.farm_settings import FarmSettings
from wearlog.facts.machines import Machine
from wearlog.facts.wearing import Component
from wearlog.logbook.farm.machines import add_machine
from wearlog.logbook.parts.breaking import BreakageEntry, log_breakage
from wearlog.logbook.parts.fitting import add_component
from wearlog.logbook.said.measures import FarmReader
from wearlog.present.digits import Measures
from wearlog.reckoning.farm import YEAR_SECONDS, read_farm
from wearlog.reckoning.plan.season_plan import season_plan
from wearlog.reckoning.wear.wear_outlook import KindOutlook, wear_outlook
from wearlog.store.opening import Store

DAY = 86_400
FITTED = datetime(2022, 5, 1, 12, tzinfo=UTC)
NOW = datetime(2026, 5, 1, 12, tzinfo=UTC)


def battery_of(store: Store, now: datetime = NOW) -> KindOutlook:
    with store.reading() as connection:
        found = wear_outlook(connection, read_farm(store, now))
    return next(row for row in found.kinds if row.life.kind.name == "battery")


def with_batteries(farm: SmallFarm, age_days: int | None = 0) -> Component:
    batteries = Component(machine_id=farm.combine.id, part_kind_id=kind("battery").id, place="batteries", positions=2)
    age = None if age_days is None else age_days * DAY
    add_component(farm.store, batteries, fitted_at=FITTED, age_usage=age)
    return batteries


def test_a_battery_ages_by_days_while_the_machine_stands(file_farm: SmallFarm) -> None:
    with_batteries(file_farm, age_days=365)
    (group,) = battery_of(file_farm.store).components[0].groups
    assert group.age == (NOW - FITTED).total_seconds() + 365 * DAY
    harvest(file_farm, acres=400)
    (again,) = battery_of(file_farm.store).components[0].groups
    assert again.age == group.age


def test_the_season_ahead_asks_a_year_of_it(file_farm: SmallFarm) -> None:
    """And no more where the machine works more."""
    with_batteries(file_farm)
    row = battery_of(file_farm.store)
    assert row.components[0].usage == YEAR_SECONDS
    harvest(file_farm, acres=400)
    assert battery_of(file_farm.store).components[0].usage == YEAR_SECONDS
    (group,) = row.components[0].groups
    assert row.life.posterior is not None
    exact = row.life.posterior.survival_between(group.age or 0, (group.age or 0) + YEAR_SECONDS)
    assert group.survives == pytest.approx(float(exact.mean[0]))


def test_a_failure_ends_a_life_of_so_many_days(file_farm: SmallFarm) -> None:
    batteries = with_batteries(file_farm)
    died = FITTED + timedelta(days=1000)
    log_breakage(file_farm.store, BreakageEntry(component_id=batteries.id, positions=(2,), at=died, cause=Cause.WEAR))
    row = battery_of(file_farm.store)
    assert row.life.lives.failures == 1
    exits = sorted(row.life.lives.exit.tolist())
    whole = (NOW - FITTED).total_seconds()
    assert exits == pytest.approx([(NOW - died).total_seconds(), 1000 * DAY, whole])


def test_an_idle_farm_still_has_no_season_to_cut(file_farm: SmallFarm) -> None:
    """The calendar alone is no work: what is planned of acres says so."""
    with_batteries(file_farm)
    with file_farm.store.reading() as connection:
        plan = season_plan(connection, read_farm(file_farm.store, NOW))
    assert plan.nothing_to_come


def test_the_plan_weighs_it_like_any_part(file_farm: SmallFarm) -> None:
    """Twelve years old, well beyond the guess, it has a line with a chance to fail."""
    with_batteries(file_farm, age_days=12 * 365)
    harvest(file_farm, acres=400)
    with file_farm.store.reading() as connection:
        plan = season_plan(connection, read_farm(file_farm.store, NOW))
    line = next(one for one in plan.lines if one.component.place == "batteries")
    assert line.positions == (1, 2)
    assert line.ages[0] == pytest.approx((NOW - FITTED).total_seconds() + 12 * 365 * DAY)


def test_ages_are_typed_and_said_in_days_months_and_years() -> None:
    read = FarmReader(FarmSettings()).age
    assert read(MeterKind.CALENDAR, "400") == read(MeterKind.CALENDAR, "400 days") == 400 * DAY
    assert read(MeterKind.CALENDAR, "3 years") == read(MeterKind.CALENDAR, "36 mo") == 3 * YEAR_SECONDS
    assert read(MeterKind.CALENDAR, "unknown") is None
    assert read(MeterKind.CALENDAR, "new") == 0
    assert Measures(FarmSettings()).usage(MeterKind.CALENDAR, 400 * DAY) == "400 d"


def test_every_machine_has_a_calendar_without_a_meter(file_farm: SmallFarm) -> None:
    """A truck that nobody reads a meter of has tires that age."""
    truck = Machine(name="Flatbed", kind=MachineKind.TRUCK)
    add_machine(file_farm.store, truck, at=FITTED)
    tires = Component(machine_id=truck.id, part_kind_id=kind("tire").id, place="tires", positions=6)
    add_component(file_farm.store, tires, fitted_at=FITTED)
    farm = read_farm(file_farm.store, NOW)
    place = [one.id for one in farm.machines].index(truck.id)
    start, end = (int(at.timestamp() * 1e6) for at in (FITTED, NOW))
    assert farm.lines.usage(MeterKind.CALENDAR, [place], [start], [end]).tolist() == [(NOW - FITTED).total_seconds()]
    assert farm.lines.usage(MeterKind.AREA, [place], [start], [end]).tolist() == [0.0]
