"""Ages are read off the meter line: what a run, a late reading, a replaced meter or a hitch changes, every age follows."""

from __future__ import annotations

from datetime import datetime, timedelta

import numpy as np
import pytest

from tests.small_farm import ACRE, AUGUST, HOUR, SmallFarm, harvest
from wearlog.facts.closed_lists import Cause, MachineKind, MeterKind
from wearlog.facts.machines import Machine
from wearlog.facts.wearing import Component
from wearlog.logbook.farm.machines import add_machine, hitch
from wearlog.logbook.parts.breaking import BreakageEntry, log_breakage
from wearlog.logbook.parts.fitting import Put, refit
from wearlog.logbook.work.working import read_meter
from wearlog.reckoning.farm import Farm, read_farm
from wearlog.reckoning.parts.fitted_now import FittingAges, fitting_ages
from wearlog.store.histories import OPEN

AUTUMN = AUGUST + timedelta(days=60)


def ages_of(farm: SmallFarm, component: Component, now: datetime = AUTUMN) -> FittingAges:
    found = read_farm(farm.store, now)
    ages = fitting_ages(found.histories, found.lines, found.now_microseconds)
    mine = found.histories.fittings.component == found.histories.components.ids.index(component.id)
    return FittingAges(*(getattr(ages, name)[mine] for name in FittingAges.__slots__))


def oldest(farm: SmallFarm, component: Component, now: datetime = AUTUMN) -> float:
    ages = ages_of(farm, component, now)
    return float(ages.exit[ages.on].max())


def test_a_knife_ages_by_the_acres_its_header_cut(farm: SmallFarm) -> None:
    harvest(farm, acres=100)
    assert oldest(farm, farm.knife) == pytest.approx(100 * ACRE, abs=1)


def test_half_way_through_a_run_half_of_it_counts(farm: SmallFarm) -> None:
    harvest(farm, acres=100, at=AUGUST)
    assert oldest(farm, farm.knife, AUGUST + timedelta(hours=5)) == pytest.approx(50 * ACRE, abs=1)


def test_a_chain_ages_by_separator_hours_on_top_of_its_age_when_fitted(farm: SmallFarm) -> None:
    harvest(farm, hours=8)
    assert oldest(farm, farm.chain) == pytest.approx(308 * HOUR)


def test_a_late_reading_corrects_the_age_at_once(farm: SmallFarm) -> None:
    harvest(farm, hours=8)
    read_meter(farm.store, farm.combine, MeterKind.SEPARATOR_HOURS, 1712 * HOUR, at=AUGUST + timedelta(days=1))
    assert oldest(farm, farm.chain) == pytest.approx(310 * HOUR)


def test_a_replaced_meter_leaves_the_age_as_the_runs_say(farm: SmallFarm) -> None:
    harvest(farm, hours=8)
    later = AUGUST + timedelta(days=1)
    read_meter(farm.store, farm.combine, MeterKind.SEPARATOR_HOURS, 0, at=later, replaced=True)
    read_meter(farm.store, farm.combine, MeterKind.SEPARATOR_HOURS, 5 * HOUR, at=later + timedelta(days=1))
    assert oldest(farm, farm.chain) == pytest.approx((300 + 8 + 5) * HOUR)


def test_a_header_ages_only_while_it_hangs_on_the_combine_that_cuts(farm: SmallFarm) -> None:
    harvest(farm, acres=100)
    other = Machine(name="South", kind=MachineKind.HEADER)
    add_machine(farm.store, other, at=AUGUST)
    hitch(farm.store, other, farm.combine, at=AUGUST + timedelta(days=5))
    harvest(farm, acres=60, at=AUGUST + timedelta(days=6))
    assert oldest(farm, farm.knife) == pytest.approx(100 * ACRE, abs=1)


def test_a_run_over_a_change_of_headers_is_shared_by_time(farm: SmallFarm) -> None:
    other = Machine(name="South", kind=MachineKind.HEADER)
    add_machine(farm.store, other, at=AUGUST)
    hitch(farm.store, other, farm.combine, at=AUGUST + timedelta(hours=4))
    harvest(farm, acres=100, at=AUGUST)
    assert oldest(farm, farm.knife) == pytest.approx(40 * ACRE, abs=1)


def test_a_part_replaced_in_the_middle_begins_at_nothing_and_the_old_one_keeps_its_age(farm: SmallFarm) -> None:
    harvest(farm, acres=100, at=AUGUST)
    log_breakage(
        farm.store,
        BreakageEntry(component_id=farm.knife.id, positions=(41,), at=AUGUST + timedelta(hours=5), cause=Cause.IMPACT),
    )
    ages = ages_of(farm, farm.knife)
    assert ages.exit[~ages.on] == pytest.approx([50 * ACRE], abs=1)
    assert sorted(set(np.round(ages.exit[ages.on] / ACRE))) == [50, 100]


def test_an_unknown_age_stays_unknown_but_its_use_is_counted(farm: SmallFarm) -> None:
    refit(farm.store, farm.chain, at=AUGUST, put=Put(age_usage=None))
    harvest(farm, hours=8, at=AUGUST + timedelta(days=1))
    ages = ages_of(farm, farm.chain)
    assert np.isnan(ages.exit[ages.on]).all()
    assert ages.used[ages.on] == pytest.approx([8 * HOUR])


def test_what_is_fitted_after_the_moment_asked_for_has_not_begun(farm: SmallFarm) -> None:
    refit(farm.store, farm.chain, at=AUTUMN)
    harvest(farm, hours=8)
    ages = ages_of(farm, farm.chain, AUGUST + timedelta(days=1))
    assert sorted(ages.exit / HOUR) == pytest.approx([0, 308])


def by_hand(farm: Farm, number: int) -> float:
    """The area a fitting saw, added up run by run: the slow way that the arrays must agree with."""
    fittings, runs = farm.histories.fittings, farm.histories.runs
    machine = farm.histories.components.machine[fittings.component[number]]
    begin = fittings.fitted_at[number]
    end = min(int(fittings.removed_at[number]), farm.now_microseconds)
    total = 0.0
    for run in np.flatnonzero((runs.combine == machine) | (runs.header == machine)):
        overlap = min(end, runs.end[run]) - max(begin, runs.start[run])
        total += max(overlap, 0) / (runs.end[run] - runs.start[run]) * runs.area[run]
    return total


def test_on_the_demo_fleet_the_arrays_agree_with_adding_up_run_by_run(demo_store) -> None:  # type: ignore[no-untyped-def]
    farm = read_farm(demo_store, datetime.fromisoformat("2026-11-20T18:00Z"))
    ages = fitting_ages(farm.histories, farm.lines, farm.now_microseconds)
    by_area = np.flatnonzero(ages.meter_kind == 0)
    assert by_area.size > 3000
    chosen = np.random.default_rng(7).choice(by_area, 150, replace=False)
    assert ages.used[chosen] == pytest.approx([by_hand(farm, int(one)) for one in chosen], abs=2)


def test_on_the_demo_fleet_every_position_holds_one_part_at_a_time(demo_store) -> None:  # type: ignore[no-untyped-def]
    farm = read_farm(demo_store, datetime.fromisoformat("2026-11-20T18:00Z"))
    fittings = farm.histories.fittings
    order = np.lexsort((fittings.fitted_at, fittings.position, fittings.component))
    same = (np.diff(fittings.component[order]) == 0) & (np.diff(fittings.position[order]) == 0)
    assert (fittings.removed_at[order][:-1][same] <= fittings.fitted_at[order][1:][same]).all()
    assert (fittings.removed_at[order][:-1][same] != OPEN).all()
