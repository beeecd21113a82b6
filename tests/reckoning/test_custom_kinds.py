"""What an acre cut for others costs on the demo fleet: every kind in one sum, grounds, deals, what is missing."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from tests.farm_fixtures import demo_file, demo_store
from wearlog.costs.custom_work import RateVerdict
from wearlog.errors import NotFoundError
from wearlog.facts.closed_lists import Ground
from wearlog.reckoning.farm import Farm, farm_from
from wearlog.reckoning.plan.custom_basis import AskedWork, Deal, WorkBasis, gathered, paid_for
from wearlog.reckoning.plan.custom_work import CustomView, custom_work
from wearlog.store.opening import Store
from wearlog.units import ACRE_SQUARE_METRES

__all__ = ["demo_file", "demo_store"]

ACRE = float(ACRE_SQUARE_METRES)
NOW = datetime(2026, 11, 20, 18, tzinfo=ZoneInfo("America/Denver"))
ASKED = AskedWork(300 * ACRE, Ground.STONY, combine="Tamarack")


def answer(store: Store, asked: AskedWork = ASKED) -> CustomView:
    with store.reading() as connection:
        return custom_work(connection, farm_from(connection, NOW), asked)


def on_machines(farm: Farm, *names: str) -> set[str]:
    places = {one.id for one in farm.machines if one.name in names}
    kinds = {one.part_kind_id for one in farm.components if one.machine_id in places}
    return {one.name for one in farm.part_kinds if one.id in kinds}


def per_acre(values: np.ndarray) -> float:
    return float(values.mean()) * ACRE / 100


def test_every_kind_is_counted_exactly_once(demo_store: Store) -> None:
    view = answer(demo_store)
    assert view.header is not None
    sums = (view.in_wear, view.in_repairs, view.by_time)
    counted = [name for one in sums for name in one]
    assert sorted(counted) == sorted(on_machines(view.farm, view.machine.name, view.header.name))
    assert len(counted) == len(set(counted))
    assert view.in_wear
    assert view.in_repairs


def test_the_bills_of_kinds_in_the_wear_are_not_in_the_repairs(demo_store: Store) -> None:
    """All bills of a combine are of kinds in the wear, or in the share of its repairs: a share below one."""
    with demo_store.reading() as connection:
        farm = farm_from(connection, NOW)
        basis = WorkBasis.read(connection, farm, ASKED)
    machine = next(one for one in farm.machines if one.name == "Tamarack")
    found = gathered(basis, {machine.id}, machine.id, np.random.default_rng(1))
    other, whole = paid_for(basis, machine.id, found)
    assert 0 < other < whole
    everything = replace(found, in_wear={}, by_time={})
    assert paid_for(basis, machine.id, everything)[0] == whole


def test_stonier_ground_costs_more(demo_store: Store) -> None:
    costs = [per_acre(answer(demo_store, replace(ASKED, ground=ground)).outlay) for ground in Ground]
    assert costs == sorted(costs)
    assert costs[-1] > costs[0] + 0.5


def test_in_full_costs_more_than_the_work_itself_and_both_have_a_range(demo_store: Store) -> None:
    view = answer(demo_store)
    assert per_acre(view.full) > per_acre(view.outlay) > 5
    assert np.quantile(view.outlay, 0.9) > np.quantile(view.outlay, 0.1)


@pytest.mark.parametrize(
    ("dollars", "verdict"), [(5.0, RateVerdict.LOSES), (20.0, RateVerdict.HELPS), (60.0, RateVerdict.PAYS)]
)
def test_what_a_rate_is_worth_here(demo_store: Store, dollars: float, verdict: RateVerdict) -> None:
    view = answer(demo_store, replace(ASKED, rate=100 * dollars / ACRE))
    assert view.verdict is verdict
    assert view.is_sure


def test_a_rate_within_the_range_is_not_sure(demo_store: Store) -> None:
    middle = float(np.median(answer(demo_store).outlay))
    assert not answer(demo_store, replace(ASKED, rate=middle)).is_sure


def test_renting_out_leaves_driver_and_fuel_to_others(demo_store: Store) -> None:
    whole, rented = answer(demo_store), answer(demo_store, replace(ASKED, deal=Deal.RENT_OUT))
    less = whole.cost.parts["fuel"] + whole.cost.parts["labour"]
    assert rented.outlay == pytest.approx(whole.outlay - less)


def test_the_road_is_in_it_but_not_where_others_come(demo_store: Store) -> None:
    far = replace(ASKED, road_hours=3.0, road_minor=5000.0)
    assert per_acre(answer(demo_store, far).outlay) > per_acre(answer(demo_store).outlay) + 0.2
    assert answer(demo_store, replace(far, deal=Deal.HIRE)).road == 0


def test_own_crop_waits_only_where_it_stands(demo_store: Store) -> None:
    assert answer(demo_store, replace(ASKED, waits=False)).waiting == 0
    waits = answer(demo_store, replace(ASKED, waits=True))
    assert waits.days_later > 0


def test_a_machine_without_a_price_says_what_is_left_out(demo_store: Store) -> None:
    with demo_store.reading() as connection:
        farm = farm_from(connection, NOW)
        bare = replace(
            farm, machines=tuple(replace(one, list_price_minor=None, model_year=None) for one in farm.machines)
        )
        view = custom_work(connection, bare, ASKED)
    assert any("list price" in one for one in view.left_out)
    assert per_acre(view.cost.parts["owning"]) == 0
    assert per_acre(view.outlay) > 5


def test_the_cheapest_combine_is_taken_where_none_is_named(demo_store: Store) -> None:
    free = answer(demo_store, replace(ASKED, combine=""))
    names = [one.name for one in free.farm.machines if one.kind.value == "combine"]
    costs = {name: per_acre(answer(demo_store, replace(ASKED, combine=name)).outlay) for name in names}
    assert costs[free.machine.name] == min(costs.values())


def test_without_a_combine_there_is_no_answer(demo_store: Store) -> None:
    with pytest.raises(NotFoundError):
        answer(demo_store, replace(ASKED, combine="Nobody"))
