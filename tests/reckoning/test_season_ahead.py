"""The season ahead: as planned, less what is cut, else like the seasons before."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

import numpy as np
import pytest

from tests.planned_season import plan
from tests.small_farm import ACRE, AUGUST, HOUR, SmallFarm, harvest
from wearlog.facts.closed_lists import Ground, MeterKind
from wearlog.logbook.farm.machines import add_season
from wearlog.logbook.work.working import read_meter
from wearlog.reckoning.farm import read_farm
from wearlog.reckoning.wear.season_ahead import SeasonAhead, TakenFrom, season_ahead
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
    by_calendar = code_of(MeterKind.CALENDAR)
    assert (np.delete(found.usage, by_calendar, axis=1) == 0).all()
    # what ages by itself is a year older, whether anything is cut or not
    assert (found.usage[:, by_calendar] == 365.2425 * 24 * HOUR).all()


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


def test_where_no_season_is_entered_calendar_years_stand_in(file_farm: SmallFarm) -> None:
    harvest(file_farm, acres=600)
    found = ahead_of(file_farm)
    assert (found.taken_from, found.years, found.seasons_taken) == (TakenFrom.CALENDAR_YEARS, (2026,), 1)
    assert found.cut_area == pytest.approx(600 * ACRE, abs=2)
    later = datetime(2027, 8, 1, 15, tzinfo=UTC)
    harvest(file_farm, acres=500, at=later)
    found = ahead_of(file_farm, later + timedelta(days=2))
    assert (found.taken_from, found.years) == (TakenFrom.CALENDAR_YEARS, (2026, 2027))
    assert found.cut_area == pytest.approx(550 * ACRE, abs=2)


def test_a_calendar_year_that_has_only_begun_is_no_season_beside_whole_ones(file_farm: SmallFarm) -> None:
    harvest(file_farm, acres=600)
    later = datetime(2027, 8, 1, 15, tzinfo=UTC)
    harvest(file_farm, acres=100, at=later)
    assert ahead_of(file_farm, later + timedelta(days=2)).years == (2026,)
    assert ahead_of(file_farm, datetime(2028, 2, 1, tzinfo=UTC)).years == (2026, 2027)


def test_seasons_and_years_without_one_stand_side_by_side_and_no_day_counts_twice(file_farm: SmallFarm) -> None:
    harvest(file_farm, acres=600)
    later = datetime(2027, 8, 1, 15, tzinfo=UTC)
    harvest(file_farm, acres=500, at=later)
    add_season(file_farm.store, 2027, date(2027, 7, 1), date(2027, 11, 1))
    found = ahead_of(file_farm, datetime(2027, 12, 1, tzinfo=UTC))
    assert (found.taken_from, found.years) == (TakenFrom.CALENDAR_YEARS, (2026, 2027))
    assert found.cut_area == pytest.approx(550 * ACRE, abs=2)
    add_season(file_farm.store, 2026)
    found = ahead_of(file_farm, datetime(2027, 12, 1, tzinfo=UTC))
    assert (found.taken_from, found.years) == (TakenFrom.SEASONS, (2026, 2027))


def test_without_runs_the_hours_say_whether_a_year_has_only_begun(file_farm: SmallFarm) -> None:
    """200 separator hours by the counter in 2026, 20 in 2027 so far; no run is noted."""
    for at, hours in ((datetime(2026, 10, 1, tzinfo=UTC), 1902), (datetime(2027, 8, 1, tzinfo=UTC), 1922)):
        read_meter(file_farm.store, file_farm.combine, MeterKind.SEPARATOR_HOURS, hours * HOUR, at=at)
    found = ahead_of(file_farm, datetime(2027, 8, 2, tzinfo=UTC))
    assert found.years == (2026,)
    assert usage(file_farm, found, "Kestrel", MeterKind.SEPARATOR_HOURS) > 190


def test_a_plan_and_nothing_at_all_say_what_they_are(file_farm: SmallFarm) -> None:
    assert ahead_of(file_farm).taken_from is TakenFrom.NOTHING
    plan(file_farm, 2027, (600, Ground.STONY))
    assert (ahead_of(file_farm).taken_from, ahead_of(file_farm).years) == (TakenFrom.PLAN, ())
