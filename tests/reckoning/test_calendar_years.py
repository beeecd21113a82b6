"""A year for which nobody entered a season is a calendar year, in harvest, costs and wear alike, and each says so."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

import pytest

from tests.small_farm import ACRE, AUGUST, SmallFarm, harvest
from wearlog.facts.farm_settings import FarmSettings
from wearlog.logbook.farm.machines import add_season
from wearlog.present.costs.cost_sheet import cost_sheet
from wearlog.present.digits import Measures
from wearlog.present.harvest.capacity_sheet import capacity_sheet
from wearlog.present.sheet_faces import answer_lines, sheet_json
from wearlog.reckoning.costs.costs import Split, cost_table
from wearlog.reckoning.farm import KeptFarm, farm_from
from wearlog.reckoning.harvest.harvest_view import harvest_view
from wearlog.reckoning.plan.season_plan import season_plan
from wearlog.reckoning.wear.season_ahead import season_ahead

US = Measures(FarmSettings())
AUTUMN = AUGUST + timedelta(days=60)


def years(farm: SmallFarm, now: datetime) -> tuple[list[int], list[int]]:
    with farm.store.reading() as connection:
        found = farm_from(connection, now)
    return [one.harvest_year for one in found.seasons], sorted(found.calendar_years)


def test_harvest_costs_and_wear_take_the_same_year_and_say_so(file_farm: SmallFarm) -> None:
    harvest(file_farm, acres=600)
    with file_farm.store.reading() as connection:
        farm = farm_from(connection, AUTUMN)
        view = harvest_view(connection, farm)
        table = cost_table(connection, farm, Split.SEASON)
        ahead = season_ahead(connection, farm)
    assert ahead.years == (2026,)
    assert view.season is not None
    assert (view.season.harvest_year, view.by_calendar) == (2026, True)
    assert view.cut == pytest.approx(600 * ACRE, abs=2)
    assert [one.time.season.harvest_year for one in view.combines] == [2026]
    how_far = capacity_sheet(view, US)
    assert how_far.headline.startswith(
        "2026 (the calendar year: no season is entered, 'wearlog add season 2026'): 600 ac cut"
    )
    assert sheet_json(how_far)["calendar_year"] is True
    (row,) = table.rows
    assert (row.key, row.area) == ("2026", pytest.approx(600 * ACRE, abs=2))
    assert table.elsewhere.total_minor == 0
    sheet = cost_sheet(table, US)
    assert "2026: no season is entered, so the calendar year counts ('wearlog add season YEAR')." in answer_lines(sheet)
    assert sheet_json(sheet)["calendar_years"] == [2026]


def test_an_entered_season_stands_for_its_year_and_nothing_is_said(file_farm: SmallFarm) -> None:
    harvest(file_farm, acres=600)
    add_season(file_farm.store, 2026, date(2026, 7, 1), date(2026, 10, 15))
    assert years(file_farm, AUTUMN) == ([2026], [])
    with file_farm.store.reading() as connection:
        farm = farm_from(connection, AUTUMN)
        view = harvest_view(connection, farm)
        table = cost_table(connection, farm, Split.SEASON)
    assert not view.by_calendar
    assert capacity_sheet(view, US).headline.startswith("2026: 600 ac cut")
    assert table.calendar_years == ()


def test_the_years_go_from_the_first_record_to_the_last(file_farm: SmallFarm) -> None:
    """The farm's meters were read in May 2026; a winter in which nothing is noted begins no year."""
    assert years(file_farm, datetime(2027, 2, 1, tzinfo=UTC)) == ([2026], [2026])
    harvest(file_farm, acres=100, at=datetime(2028, 8, 1, 15, tzinfo=UTC))
    add_season(file_farm.store, 2027)
    assert years(file_farm, datetime(2028, 9, 1, tzinfo=UTC)) == ([2026, 2027, 2028], [2026, 2028])
    # what is noted of a day still to come begins none either
    assert years(file_farm, datetime(2027, 9, 1, tzinfo=UTC)) == ([2026, 2027], [2026])


def test_a_log_of_which_nothing_is_noted_has_no_year(store: object) -> None:
    from wearlog.store.opening import Store

    assert isinstance(store, Store)
    with store.reading() as connection:
        assert farm_from(connection, AUTUMN).seasons == ()


def test_no_plan_is_made_for_a_year_that_nobody_entered(file_farm: SmallFarm) -> None:
    harvest(file_farm, acres=600)
    with file_farm.store.reading() as connection:
        view = season_plan(connection, farm_from(connection, AUTUMN))
    assert view.season is None
    assert view.outlook.ahead.years == (2026,)


def test_a_kept_farm_is_read_anew_with_the_new_year(file_farm: SmallFarm) -> None:
    harvest(file_farm, acres=100, at=datetime(2027, 1, 1, 15, tzinfo=UTC))
    kept = KeptFarm()
    with file_farm.store.reading() as connection:
        assert kept.at(connection, datetime(2026, 12, 31, tzinfo=UTC)).calendar_years == {2026}
        assert kept.at(connection, datetime(2027, 1, 3, tzinfo=UTC)).calendar_years == {2026, 2027}
