"""The published curve runs on hours of use in the field: by the separator's counter, else by the engine's and a ratio."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import numpy as np
import pytest

from tests.small_farm import AUGUST, MAY, SmallFarm, harvest
from wearlog.facts.closed_lists import MachineKind, MeterKind
from wearlog.facts.machines import Machine, Meter, Reading
from wearlog.facts.work import Run
from wearlog.logbook.farm.machines import add_machine
from wearlog.logbook.files.importing import bring_in, everything
from wearlog.present.costs.cost_sheet import curve_hours_sentence, hours_source
from wearlog.reckoning.costs.cost_events import FieldHours, HoursBy, field_hours_at, field_hours_of
from wearlog.reckoning.costs.costs import Split, cost_table
from wearlog.reckoning.costs.own_costs import FleetCurves, own_curves
from wearlog.reckoning.farm import Farm, farm_from, read_farm
from wearlog.store.opening import Store
from wearlog.store.schema.types import microseconds

NOW = datetime(2026, 10, 1, 12, tzinfo=UTC)
DEMO_DAY = datetime(2026, 11, 20, 18, tzinfo=UTC)
HOUR = 3600


def hours_now(farm: Farm, place: int) -> float:
    at = np.array([farm.now_microseconds], dtype=np.int64)
    return float(field_hours_at(farm, place, field_hours_of(farm, place), at)[0])


def engine_only(store: Store, shown: float, *, price: int = 50_000_000) -> Machine:
    """Plover, of which only the engine hour meter is read."""
    plover = Machine(name="Plover", kind=MachineKind.COMBINE, list_price_minor=price)
    add_machine(store, plover, at=MAY, shown={MeterKind.ENGINE_HOURS: round(shown * HOUR)})
    return plover


def read(store: Store, machine: Machine, kind: MeterKind, hours: float, at: datetime, *, new_leg: bool = False) -> None:
    meter = next(
        one
        for one in everything(store)["meter"]
        if isinstance(one, Meter) and one.machine_id == machine.id and one.kind is kind
    )
    reading = Reading(meter_id=meter.id, at=at, shown_usage=round(hours * HOUR), new_leg=new_leg)
    bring_in(store, [reading], source=f"{machine.name} {kind} {hours} {at}", digest="")


def place_of(farm: Farm, machine: Machine) -> int:
    return [one.id for one in farm.machines].index(machine.id)


def test_a_combine_s_separator_counter_goes_before_its_engine_s(file_farm: SmallFarm) -> None:
    harvest(file_farm, hours=100)
    farm = read_farm(file_farm.store, NOW)
    place = place_of(farm, file_farm.combine)
    assert field_hours_of(farm, place) == FieldHours(HoursBy.SEPARATOR)
    assert hours_now(farm, place) == pytest.approx(1802)
    with file_farm.store.reading() as connection:
        (row,) = [one for one in cost_table(connection, farm, Split.MACHINE).rows if one.key == "Kestrel"]
    # D497 (factors from memory): 585,000 x 0.04 x ((h2/1000)^2.1 - (h1/1000)^2.1)
    assert row.expected_repair_minor == pytest.approx(58_500_000 * 0.04 * (1.802**2.1 - 1.702**2.1), abs=1)


def test_a_replaced_counter_runs_on(file_farm: SmallFarm) -> None:
    """1,702 h shown in May, 1,802 when it was replaced, 60 on the new one since: 1,862 in the field."""
    store, combine = file_farm.store, file_farm.combine
    read(store, combine, MeterKind.SEPARATOR_HOURS, 1802, AUGUST)
    read(store, combine, MeterKind.SEPARATOR_HOURS, 0, AUGUST + timedelta(hours=1), new_leg=True)
    read(store, combine, MeterKind.SEPARATOR_HOURS, 60, AUGUST + timedelta(days=30))
    farm = read_farm(store, NOW)
    place = place_of(farm, combine)
    assert hours_now(farm, place) == pytest.approx(1862)
    edges = np.array([microseconds(one) for one in (MAY, AUGUST, AUGUST + timedelta(hours=1))], dtype=np.int64)
    assert field_hours_at(farm, place, field_hours_of(farm, place), edges) == pytest.approx([1702, 1802, 1802])


def test_without_a_separator_counter_engine_hours_go_by_the_usual_ratio_and_say_so(file_farm: SmallFarm) -> None:
    """Raw, they would make the curve 1.2^2.1 = 1.47 times as dear."""
    plover = engine_only(file_farm.store, 1200)
    farm = read_farm(file_farm.store, NOW)
    place = place_of(farm, plover)
    basis = field_hours_of(farm, place)
    assert basis == FieldHours(HoursBy.USUAL_RATIO, 1.2)
    assert hours_now(farm, place) == pytest.approx(1000)
    with file_farm.store.reading() as connection:
        (curve,) = [one for one in own_curves(connection, farm).machines if one.name == "Plover"]
    assert curve.published_to_date_minor == 50_000_000 * 4 // 100
    assert hours_source(basis) == "the engine's counter, 1.20 h to one in the field (common practice, no source)"


def test_the_farm_s_own_counters_give_the_ratio(file_farm: SmallFarm) -> None:
    """Kestrel's engine ran 130 h while its separator ran 100."""
    store = file_farm.store
    plover = engine_only(store, 1300)
    read(store, file_farm.combine, MeterKind.ENGINE_HOURS, 2440, AUGUST)
    read(store, file_farm.combine, MeterKind.SEPARATOR_HOURS, 1802, AUGUST)
    farm = read_farm(store, NOW)
    basis = field_hours_of(farm, place_of(farm, plover))
    assert (basis.by, basis.ratio) == (HoursBy.FARM_RATIO, pytest.approx(1.3))
    assert hours_now(farm, place_of(farm, plover)) == pytest.approx(1000)
    told = curve_hours_sentence([("Kestrel", FieldHours(HoursBy.SEPARATOR)), ("Plover", basis)])
    assert told == (
        "It runs on hours of use in the field, by the separator's counter: Kestrel; "
        "by the engine's counter, 1.30 h to one in the field (the ratio of this farm's counters): Plover."
    )


def test_separator_hours_written_with_its_runs_give_a_machine_its_own_ratio(file_farm: SmallFarm) -> None:
    store = file_farm.store
    plover = engine_only(store, 1000)
    run = Run(
        combine_id=plover.id,
        started_at=AUGUST,
        ended_at=AUGUST + timedelta(hours=10),
        area_square_metres=400_000,
        separator_seconds=8 * HOUR,
    )
    bring_in(store, [run], source="run", digest="")
    read(store, plover, MeterKind.ENGINE_HOURS, 1010, AUGUST + timedelta(days=1))
    farm = read_farm(store, NOW)
    basis = field_hours_of(farm, place_of(farm, plover))
    assert (basis.by, basis.ratio) == (HoursBy.OWN_RATIO, pytest.approx(1.25))
    assert hours_now(farm, place_of(farm, plover)) == pytest.approx(808)


def test_a_combine_nobody_read_counts_its_runs_alone(file_farm: SmallFarm) -> None:
    plover = Machine(name="Plover", kind=MachineKind.COMBINE, list_price_minor=50_000_000)
    add_machine(file_farm.store, plover, at=MAY)
    farm = read_farm(file_farm.store, NOW)
    assert field_hours_of(farm, place_of(farm, plover)) == FieldHours(HoursBy.RUNS)
    assert hours_now(farm, place_of(farm, plover)) == 0


def demo_curves(store: Store) -> FleetCurves:
    with store.reading() as connection:
        return own_curves(connection, farm_from(connection, DEMO_DAY))


def test_the_demo_s_combines_have_paid_half_to_twice_what_the_published_curve_expects(demo_store: Store) -> None:
    curves = demo_curves(demo_store)
    for machine in curves.machines:
        assert machine.basis.by is HoursBy.SEPARATOR
        paid = sum(one.repair_minor for one in machine.seasons)
        assert 0.5 < paid / sum(one.published_minor for one in machine.seasons) < 2
    assert curves.fleet is not None
    assert not curves.fleet.is_unusual
    alder = next(one for one in curves.machines if one.name == "Alder")
    assert alder.hours > 3500, "its counter, replaced in 2023, shows a third of it"
