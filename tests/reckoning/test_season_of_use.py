"""A usual season of each machine: from the seasons in which it worked, else from what is planned, else nobody knows."""

from __future__ import annotations

from datetime import UTC, datetime

import numpy as np
import pytest

from tests.planned_season import plan
from tests.small_farm import ACRE, HOUR, SmallFarm, harvest
from wearlog.facts.closed_lists import Ground, MeterKind
from wearlog.reckoning.farm import read_farm
from wearlog.reckoning.wear.season_ahead import season_ahead, seasons_of_use, usual_season
from wearlog.store.histories import NONE

NOVEMBER = datetime(2026, 11, 20, tzinfo=UTC)


def season_of(farm: SmallFarm, machine: str, meter: MeterKind, now: datetime = NOVEMBER) -> float | None:
    read = read_farm(farm.store, now)
    with farm.store.reading() as connection:
        usual = seasons_of_use(read, season_ahead(connection, read))
    place = next(row for row, one in enumerate(read.machines) if one.name == machine)
    return usual_season(usual, np.array([place, NONE, place]), meter)


def test_with_no_season_and_no_plan_nobody_knows(file_farm: SmallFarm) -> None:
    assert season_of(file_farm, "North", MeterKind.AREA) is None
    # the calendar runs all the same
    assert season_of(file_farm, "North", MeterKind.CALENDAR) == 365.2425 * 24 * HOUR


def test_before_the_first_season_the_plan_says_it(file_farm: SmallFarm) -> None:
    plan(file_farm, 2027, (600, Ground.STONY))
    assert season_of(file_farm, "North", MeterKind.AREA) == pytest.approx(600 * ACRE)


def test_what_was_cut_counts_and_not_what_is_planned(file_farm: SmallFarm) -> None:
    harvest(file_farm, acres=600, hours=60)
    harvest(file_farm, acres=400, hours=50, at=datetime(2027, 8, 1, 15, tzinfo=UTC))
    plan(file_farm, 2028, (2000, Ground.STONY))
    later = datetime(2027, 11, 20, tzinfo=UTC)
    assert season_of(file_farm, "North", MeterKind.AREA, later) == pytest.approx(500 * ACRE)
    assert season_of(file_farm, "Kestrel", MeterKind.SEPARATOR_HOURS, later) == pytest.approx(55 * HOUR)


def test_a_season_in_which_it_did_nothing_is_not_one_of_its(file_farm: SmallFarm) -> None:
    harvest(file_farm, acres=600)
    # two years on, nothing in between
    harvest(file_farm, acres=400, at=datetime(2028, 8, 1, 15, tzinfo=UTC))
    assert season_of(file_farm, "North", MeterKind.AREA, datetime(2028, 11, 20, tzinfo=UTC)) == pytest.approx(
        500 * ACRE
    )
