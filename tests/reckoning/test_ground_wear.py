"""Ground that wears parts faster: lives are read on its clock, the ground ahead moves chances and plan, and it can be set aside."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime

import numpy as np
import pytest

from tests.reckoning.test_kind_life import number_of
from wearlog.facts.closed_lists import Ground
from wearlog.facts.departures import Departure, aside_key
from wearlog.present.digits import Measures
from wearlog.present.wear.departure_words import ground_sentences
from wearlog.present.wear.wear_json import ground_json
from wearlog.reckoning.farm import Farm, read_farm
from wearlog.reckoning.plan.custom_basis import AskedWork, WorkBasis, gathered
from wearlog.reckoning.wear import own_laws
from wearlog.reckoning.wear.age_groups import OutlookBasis, outlook_basis
from wearlog.reckoning.wear.kind_life import FleetLives, fleet_lives, kind_life
from wearlog.reckoning.wear.records_alone import break_counts
from wearlog.reckoning.wear.wear_outlook import KindOutlook, kind_outlook
from wearlog.reckoning.work.ground import area_since, ground_lines, run_at
from wearlog.store.histories import NONE, Floats, code_of
from wearlog.store.opening import Store

from tests.reckoning.test_kind_life import demo_lives  # noqa: F401  isort: skip

KNIFE = "knife section"
ROUGH = [code_of(Ground.STONY), code_of(Ground.VERY_STONY)]


def worn_by_stones(farm: Farm, number: int) -> Farm:
    """The same farm, but what wore out of a kind did so on stony runs; of the others every fourth was stony, the rest clean."""
    records = fleet_lives(farm).records
    worn = np.flatnonzero((records.part_kind == number) & (records.ended_by == 1))
    run = run_at(farm, records.machine[worn], records.exit_at[worn])
    stony = np.arange(farm.histories.runs.start.size) % 4 == 0
    stony[run[run != NONE]] = True
    ground = np.where(stony, code_of(Ground.STONY), code_of(Ground.CLEAN))
    runs = replace(farm.histories.runs, ground=ground)
    return replace(farm, histories=replace(farm.histories, runs=runs))


@pytest.fixture
def stony_basis(demo_store: Store) -> OutlookBasis:
    farm = read_farm(demo_store, datetime.fromisoformat("2026-11-20T18:00Z"))
    with demo_store.reading() as connection:
        return outlook_basis(connection, worn_by_stones(farm, number_of(farm, KNIFE)))


def ahead_on(basis: OutlookBasis, ground: Ground) -> KindOutlook:
    """The outlook of the knife sections when all that is ahead lies on one class of ground."""
    area = np.zeros_like(basis.ahead.area_by_ground)
    area[:, code_of(ground)] = basis.ahead.area_by_ground.sum(axis=1)
    changed = replace(basis, ahead=replace(basis.ahead, area_by_ground=area))
    return kind_outlook(changed, number_of(basis.farm, KNIFE))


def test_what_machines_had_cut_at_any_time_is_what_the_sums_by_ground_say(demo_lives: FleetLives) -> None:  # noqa: F811
    farm = demo_lives.farm
    machines = np.arange(len(farm.machines))
    lines = ground_lines(farm, machines)
    assert lines is not None
    now = np.full(machines.size, farm.now_microseconds)
    rng = np.random.default_rng(2)
    first = int(farm.histories.runs.start.min())
    for _ in range(20):
        since = rng.integers(first, farm.now_microseconds, machines.size)
        found = lines.cut(machines, now)[0] - lines.cut(machines, since)[0]
        area = area_since(farm, machines, since, farm.now_microseconds)
        np.testing.assert_allclose(found[:, 0], area.sum(axis=1), atol=1.0)
        np.testing.assert_allclose(found[:, 1:], area[:, ROUGH], atol=1.0)
    assert lines.cut(np.array([NONE]), now[:1])[0].tolist() == [[0.0, 0.0, 0.0]]


def test_where_ground_wears_alike_nothing_is_changed(demo_lives: FleetLives) -> None:  # noqa: F811
    life = kind_life(demo_lives, number_of(demo_lives.farm, KNIFE))
    assert life.ground is None
    assert Departure.GROUND not in life.beyond
    assert ground_sentences(life) == []


def test_ground_that_wears_faster_is_noticed_said_and_moves_what_is_ahead(stony_basis: OutlookBasis) -> None:
    clean, stones = (ahead_on(stony_basis, one) for one in (Ground.CLEAN, Ground.STONY))
    assert clean.life.ground is not None
    assert Departure.GROUND in clean.life.beyond
    place = clean.life.ground.grounds.index(Ground.STONY)
    assert clean.life.ground.speeds.speed(place).low > 1.2
    said = " ".join(ground_sentences(clean.life))
    assert "what is cut on stony ground counts" in said
    assert "--without ground" in said
    assert stones.failures > 1.3 * clean.failures
    few, many = break_counts(clean), break_counts(stones)
    assert few is not None
    assert many is not None
    assert many.mean > few.mean
    for one, other in zip(clean.components, sorted(stones.components, key=lambda c: c.component_id), strict=False):
        assert one.pace < other.pace


def test_the_same_ages_count_for_more_acres_of_ground_that_wears_slower(stony_basis: OutlookBasis) -> None:
    clean, stones = (ahead_on(stony_basis, one) for one in (Ground.CLEAN, Ground.STONY))
    by_id = {one.component_id: one for one in stones.components}
    for one in clean.components:
        other = by_id[one.component_id]
        for group, same in zip(one.groups, other.groups, strict=True):
            if group.age:
                assert group.worn_age is not None
                assert same.worn_age is not None
                assert group.age == same.age  # what is shown is what the meter says
                assert group.worn_age * one.pace == pytest.approx(same.worn_age * other.pace, rel=1e-3)
                assert group.worn_age > same.worn_age


def test_set_aside_an_acre_counts_alike_on_all_ground(stony_basis: OutlookBasis) -> None:
    farm = stony_basis.farm
    settings = replace(farm.settings, set_aside=((aside_key(KNIFE), "ground"),))
    aside: Farm = replace(farm, settings=settings)
    basis = replace(stony_basis, lives=replace(stony_basis.lives, farm=aside))
    clean, stones = (ahead_on(basis, one) for one in (Ground.CLEAN, Ground.STONY))
    assert clean.life.ground is None
    assert clean.expected == pytest.approx(stones.expected - _impacts(stones) + _impacts(clean))
    assert ground_sentences(clean.life)[0].startswith("All ground wears alike, as the farm set it.")


def _impacts(row: KindOutlook) -> float:
    return sum(one.expected_impacts for one in row.components)


def test_without_rough_ground_nothing_is_asked(demo_lives: FleetLives, monkeypatch: pytest.MonkeyPatch) -> None:  # noqa: F811
    monkeypatch.setattr(own_laws, "ASKED_GROUND", 1.0)
    monkeypatch.setattr(own_laws, "UNLIKE_GROUND", 1.0)
    number = number_of(demo_lives.farm, KNIFE)
    assert kind_life(replace(demo_lives, ground=None), number).ground is None
    assert kind_life(demo_lives, number).ground is not None


def test_work_on_a_ground_costs_what_parts_wear_there(demo_store: Store) -> None:
    """Where the lives of a kind say how fast stones wear it, an acre there costs by that alone."""
    farm = read_farm(demo_store, datetime.fromisoformat("2026-11-20T18:00Z"))
    stony = worn_by_stones(farm, number_of(farm, KNIFE))

    def wear_on(ground: Ground) -> tuple[Floats, KindOutlook]:
        with demo_store.reading() as connection:
            basis = WorkBasis.read(connection, stony, AskedWork(area=1e6, ground=ground))
        knife = next(one for one in basis.kinds if one.life.kind.name == KNIFE)
        combine, header = next(iter(basis.header_of.items()))
        alone = replace(basis, kinds=(knife,))
        return gathered(alone, {combine, header}, combine, np.random.default_rng(1)).per_area, knife

    (rough, knife), (clean, _) = wear_on(Ground.STONY), wear_on(Ground.CLEAN)
    assert knife.life.ground is not None
    speeds, place = knife.life.ground.speeds, knife.life.ground.grounds.index(Ground.STONY)
    assert speeds.speed(place).low > 1.2
    # beside the usual mix: the speed there over the mean of the mix, node by node
    mixed = 1 + np.expm1(speeds.log_speed) @ speeds.shares
    paces = [float(speeds.weight @ (one / mixed)) for one in (np.exp(speeds.log_speed[:, place]), 1.0)]
    ratio = float(rough.mean() / clean.mean())
    # 1,000 draws of either
    assert ratio == pytest.approx(paces[0] / paces[1], rel=0.05)


def test_the_json_has_the_speed_of_each_ground_as_the_why_page_says_it(stony_basis: OutlookBasis) -> None:
    row = kind_outlook(stony_basis, number_of(stony_basis.farm, KNIFE))
    found = ground_json(row, Measures(stony_basis.farm.settings))
    assert found is not None
    assert row.life.ground is not None
    assert set(found) == {one.value for one in row.life.ground.grounds}
    stony = found[Ground.STONY.value]
    assert 1 < stony["median"] < stony["high"]
    assert stony["low"] < stony["median"]
    assert f"counts {stony['median']:.2f} times" in " ".join(ground_sentences(row.life))
