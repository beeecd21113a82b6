"""The age at which replacing costs least, out of the log's own prices and times; and where nothing says one."""

from __future__ import annotations

import math
from dataclasses import replace
from datetime import datetime

import numpy as np
import pytest

from tests.small_farm import ACRE, SmallFarm, harvest
from wearlog.facts.farm_settings import FarmSettings
from wearlog.reckoning.farm import read_farm
from wearlog.reckoning.wear.replacement_age import NoAge, ReplacementAge, replacement_age
from wearlog.reckoning.wear.wear_outlook import wear_outlook
from wearlog.wear import law
from wearlog.wear.replacement import age_replacement_over

NOVEMBER = datetime.fromisoformat("2026-11-20T18:00Z")


def age_of(store, name: str, **settings: int):  # type: ignore[no-untyped-def]
    with store.reading() as connection:
        farm = read_farm(store, NOVEMBER)
        farm = replace(farm, settings=replace(farm.settings, **settings))
        row = next(one for one in wear_outlook(connection, farm).kinds if one.life.kind.name == name)
        return row, replacement_age(connection, farm, row)


def test_the_age_weighs_the_farms_own_prices_and_times(file_farm: SmallFarm) -> None:
    """A section costs 4.60; in the shop its labour, in the field its labour and the hours the machine stands."""
    harvest(file_farm, acres=100)
    row, found = age_of(file_farm.store, "knife section")
    assert isinstance(found, ReplacementAge)
    usual, habits = FarmSettings(), found.habits
    labour = usual.labour_rate_minor / 3600
    each, opening = habits.shop_each.seconds, habits.shop_opening.seconds
    assert found.planned_minor == pytest.approx(460 + (each + opening / 160) * labour, abs=2)
    standing = habits.standing.seconds * usual.downtime_minor / 3600
    assert found.failure_minor == pytest.approx(460 + habits.field_labour.seconds * labour + standing, abs=2)
    wanted = age_replacement_over(
        row.life.posterior.nodes, planned_cost=found.planned_minor, failure_cost=found.failure_minor
    )
    assert found.best == wanted
    # no age near it costs less, straight from the definition
    nodes = row.life.posterior.nodes

    def rate(age: float) -> float:
        whole = law.survival(age, nodes.shape, nodes.scale)
        cost = found.planned_minor * whole + found.failure_minor * (1 - whole)
        return float((cost / law.life_used_by(age, nodes.shape, nodes.scale)) @ nodes.weight)

    assert math.isfinite(found.best.age)
    assert all(rate(found.best.age) <= rate(found.best.age * factor) for factor in (0.7, 0.9, 1.1, 1.5))
    assert found.saves == pytest.approx(1 - rate(found.best.age) / found.best.failure_cost_rate)
    assert 0 < found.saves < 1
    assert 100 * ACRE < found.best.age < np.max(nodes.scale)


def test_where_a_stop_costs_no_more_than_a_change_parts_run_to_failure(file_farm: SmallFarm) -> None:
    harvest(file_farm, acres=100)
    _, found = age_of(file_farm.store, "knife section", downtime_minor=0)
    assert isinstance(found, ReplacementAge)
    assert (found.best.age, found.saves) == (math.inf, 0.0)


def test_where_nothing_says_a_price_or_a_life_there_is_no_age(file_farm: SmallFarm) -> None:
    assert age_of(file_farm.store, "feeder conveyor chain")[1] is NoAge.NO_PRICE


def test_a_kind_of_the_demo_fleet_that_nobody_can_reckon_a_life_for_has_no_age(demo_store) -> None:  # type: ignore[no-untyped-def]
    with demo_store.reading() as connection:
        farm = read_farm(demo_store, NOVEMBER)
        rows = wear_outlook(connection, farm).kinds
        found = {row.life.kind.name: replacement_age(connection, farm, row) for row in rows[:6]}
        rootless = replace(rows[0], life=replace(rows[0].life, posterior=None))
        assert replacement_age(connection, farm, rootless) is NoAge.NO_LIFE
    ages = [one for one in found.values() if isinstance(one, ReplacementAge)]
    assert len(ages) >= 4
    assert all(one.best.cost_rate <= one.best.failure_cost_rate for one in ages)
