"""The season ahead: as planned, less what is cut, else like the seasons before."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest

from tests.planned_season import plan
from tests.small_farm import ACRE, AUGUST, HOUR, SmallFarm, harvest
from wearlog.facts.closed_lists import Ground, MeterKind
from wearlog.logbook.machines import add_season
from wearlog.reckoning.farm import read_farm
from wearlog.reckoning.season_ahead import SeasonAhead, season_ahead
from wearlog.store.histories import code_of

NOVEMBER = datetime(2026, 11, 20, tzinfo=UTC)


def ahead_of(farm: SmallFarm, now: datetime = NOVEMBER) -> SeasonAhead:
    with farm.store.reading() as connection:
        return season_ahead(connection, read_farm(farm.store, now))


def usage(farm: SmallFarm, found: SeasonAhead, machine: str, kind: MeterKind) -> float:
    place = next(row for row, one in enumerate(read_farm(farm.store, NOVEMBER).machines) if one.name == machine)
    return float(found.usage[place, code_of(kind)]) / (ACRE if kind is MeterKind.AREA else HOUR)


def test_with_nothing_planned_and_nothing_cut_there_is_no_season(file_farm: SmallFarm) -> None:
    found = ahead_of(file_farm)
    assert (found.season, found.seasons_taken, found.cut_area) == (None, 0, 0)
    assert (found.usage == 0).all()


def test_a_plan_says_what_is_to_come_by_ground_and_meter(file_farm: SmallFarm) -> None:
    harvest(file_farm, acres=100, hours=8)
    plan(file_farm, 2027, (600, Ground.STONY), (400, None))
    found = ahead_of(file_farm)
    assert found.season is not None
    assert found.season.harvest_year == 2027
    assert found.cut_area == pytest.approx(1000 * ACRE, abs=2)
    assert usage(file_farm, found, "North", MeterKind.AREA) == pytest.approx(1000)
    assert usage(file_farm, found, "Kestrel", MeterKind.SEPARATOR_HOURS) == pytest.approx(80)
    on = found.area_by_ground.sum(axis=0) / ACRE / 2
    assert on == pytest.approx([0, 400, 600, 0])


def test_before_the_first_run_the_header_that_hangs_on_the_combine_is_the_one_that_will_cut(
    file_farm: SmallFarm,
) -> None:
    plan(file_farm, 2027, (600, Ground.STONY))
    found = ahead_of(file_farm)
    assert usage(file_farm, found, "North", MeterKind.AREA) == pytest.approx(600)


def test_what_is_cut_of_a_plan_is_no_longer_ahead(file_farm: SmallFarm) -> None:
    plan(file_farm, 2026, (1000, Ground.CLEAN))
    harvest(file_farm, acres=250)
    found = ahead_of(file_farm, AUGUST + timedelta(days=3))
    assert found.cut_area == pytest.approx(750 * ACRE, abs=2)


def test_a_plan_that_is_cut_gives_way_to_the_next(file_farm: SmallFarm) -> None:
    plan(file_farm, 2026, (1000, Ground.CLEAN))
    plan(file_farm, 2027, (800, Ground.CLEAN))
    harvest(file_farm, acres=980)
    found = ahead_of(file_farm)
    assert found.season is not None
    assert found.season.harvest_year == 2027
    assert found.cut_area == pytest.approx(800 * ACRE, abs=2)


@pytest.mark.parametrize(("acres", "seasons", "mean"), [(500, 2, 550), (100, 1, 600)])
def test_without_a_plan_past_seasons_stand_in_and_a_begun_one_only_when_it_is_nearly_whole(
    file_farm: SmallFarm, acres: float, seasons: int, mean: float
) -> None:
    add_season(file_farm.store, 2026)
    add_season(file_farm.store, 2027)
    harvest(file_farm, acres=600)
    later = datetime(2027, 8, 1, 15, tzinfo=UTC)
    harvest(file_farm, acres=acres, at=later)
    found = ahead_of(file_farm, later + timedelta(days=2))
    assert (found.season, found.seasons_taken) == (None, seasons)
    assert found.cut_area == pytest.approx(mean * ACRE, abs=2)
    # nobody noted the ground: it is taken as few stones
    assert found.area_by_ground[:, code_of(Ground.FEW_STONES)].sum() == pytest.approx(2 * mean * ACRE, abs=4)
