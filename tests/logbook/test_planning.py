"""Entering a season's plan: one function, one deed, one undo; choices by hand; a delivery received."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from tests.small_farm import ACRE, AUGUST, SmallFarm, land
from wearlog.errors import NotFoundError, RefusedError
from wearlog.facts.closed_lists import Choice, Ground, StockChange
from wearlog.facts.fact import Fact
from wearlog.facts.parts import StockMove
from wearlog.facts.work import Field, PlanChoice, PlannedArea, Season, SeasonPlan
from wearlog.logbook.files.undo import undo
from wearlog.logbook.parts.stocking import Delivered, receive_order
from wearlog.logbook.plan.planning import change_plan, choose, drop_areas, make_plan, plan_areas, season_plan_of
from wearlog.store.finding import find_all
from wearlog.store.opening import Store


def stored(store: Store, fact_type: type[Fact]) -> list:
    with store.reading() as connection:
        return find_all(connection, fact_type)


@pytest.fixture
def plan(farm: SmallFarm) -> SeasonPlan:
    done = make_plan(farm.store, 2027, name="winter list", budget_minor=600_000, shop_seconds=60 * 3600)
    return next(fact for fact in done.facts if isinstance(fact, SeasonPlan))


def test_a_plan_brings_its_season_as_a_calendar_year_in_one_deed(farm: SmallFarm, plan: SeasonPlan) -> None:
    (season,) = stored(farm.store, Season)
    assert (season.harvest_year, season.starts_on, season.ends_on) == (2027, date(2027, 1, 1), date(2028, 1, 1))
    assert stored(farm.store, SeasonPlan) == [plan]
    undo(farm.store)
    assert stored(farm.store, Season) == stored(farm.store, SeasonPlan) == []


def test_a_plan_for_a_season_that_is_there_leaves_the_season_alone(farm: SmallFarm) -> None:
    land(farm)
    make_plan(farm.store, 2026)
    assert [season.harvest_year for season in stored(farm.store, Season)] == [2026]


def test_a_season_has_one_plan(farm: SmallFarm, plan: SeasonPlan) -> None:
    with pytest.raises(RefusedError, match="plan for 2027 already"):
        make_plan(farm.store, 2027)
    with farm.store.reading() as connection:
        found = season_plan_of(connection, 2027)
        assert season_plan_of(connection, 2031) is None
    assert found is not None
    assert found[1] == plan


def test_money_and_shop_hours_change_and_come_back(farm: SmallFarm, plan: SeasonPlan) -> None:
    change_plan(farm.store, replace(plan, budget_minor=None, shop_seconds=3600))
    assert [(one.budget_minor, one.shop_seconds) for one in stored(farm.store, SeasonPlan)] == [(None, 3600)]
    undo(farm.store)
    assert stored(farm.store, SeasonPlan) == [plan]


def test_areas_are_planned_by_field_or_ground_and_dropped(farm: SmallFarm, plan: SeasonPlan) -> None:
    land(farm)
    (field,) = stored(farm.store, Field)
    by_field = PlannedArea(season_plan_id=plan.id, area_square_metres=round(158 * ACRE), field_id=field.id)
    by_ground = PlannedArea(
        season_plan_id=plan.id, area_square_metres=1000, ground=Ground.CLEAN, header_id=farm.header.id
    )
    assert plan_areas(farm.store, [by_field, by_ground]).said == "planned 2 areas to cut"
    assert drop_areas(farm.store, [by_field]).said == "took 158 ac on north quarter out of the plan"
    assert [area.id for area in stored(farm.store, PlannedArea)] == [by_ground.id]
    undo(farm.store)
    assert len(stored(farm.store, PlannedArea)) == 2
    assert drop_areas(farm.store, [by_field, by_ground]).said == "took 2 areas out of the plan"


def test_an_area_without_field_and_ground_is_refused_and_nothing_is_saved(farm: SmallFarm, plan: SeasonPlan) -> None:
    good = PlannedArea(season_plan_id=plan.id, area_square_metres=1000, ground=Ground.CLEAN)
    with pytest.raises(RefusedError, match="neither a field nor a ground"):
        plan_areas(farm.store, [good, PlannedArea(season_plan_id=plan.id, area_square_metres=1000)])
    assert stored(farm.store, PlannedArea) == []


def choices(farm: SmallFarm) -> set[tuple[tuple[int, ...], Choice]]:
    return {(one.positions, one.choice) for one in stored(farm.store, PlanChoice)}


def test_a_position_has_one_choice_whatever_was_chosen_before(farm: SmallFarm, plan: SeasonPlan) -> None:
    choose(farm.store, plan, farm.knife, (), Choice.REPLACE)
    assert choices(farm) == {(tuple(range(1, 161)), Choice.REPLACE)}
    choose(farm.store, plan, farm.knife, (1, 2, 3), Choice.RUN)
    assert choices(farm) == {(tuple(range(4, 161)), Choice.REPLACE), ((1, 2, 3), Choice.RUN)}
    choose(farm.store, plan, farm.knife, (3, 4), Choice.REPLACE)
    assert choices(farm) == {
        (tuple(range(5, 161)), Choice.REPLACE),
        ((1, 2), Choice.RUN),
        ((3, 4), Choice.REPLACE),
    }


def test_one_undo_takes_back_a_choice_with_all_it_changed(farm: SmallFarm, plan: SeasonPlan) -> None:
    choose(farm.store, plan, farm.knife, (1, 2, 3), Choice.RUN)
    choose(farm.store, plan, farm.knife, (2, 3, 4), Choice.REPLACE)
    undo(farm.store)
    assert choices(farm) == {((1, 2, 3), Choice.RUN)}


def test_a_choice_is_given_back_to_the_figures(farm: SmallFarm, plan: SeasonPlan) -> None:
    choose(farm.store, plan, farm.chain, (), Choice.RUN)
    assert choose(farm.store, plan, farm.chain, (), None).said == (
        "the plan for 2027: let the figures decide on Kestrel, feeder chain"
    )
    assert choices(farm) == set()
    with pytest.raises(NotFoundError, match="Nothing was chosen by hand"):
        choose(farm.store, plan, farm.chain, (), None)


def test_a_position_that_is_not_there_is_refused(farm: SmallFarm, plan: SeasonPlan) -> None:
    with pytest.raises(RefusedError, match="no position 161"):
        choose(farm.store, plan, farm.knife, (160, 161), Choice.REPLACE)


def test_a_delivery_is_one_deed(farm: SmallFarm) -> None:
    lines = [Delivered(farm.section_part.id, 25, 480, "2027-aa"), Delivered(farm.section_part.id, 0, None, "2027-aa")]
    done = receive_order(farm.store, lines, at=AUGUST)
    assert done.also == ("25 x KS-3 knife section",)
    moves = [move for move in stored(farm.store, StockMove) if move.change is StockChange.RECEIVED]
    assert [(move.quantity, move.unit_cost_minor, move.note) for move in moves] == [(25, 480, "order 2027-aa")]
    undo(farm.store)
    assert [move for move in stored(farm.store, StockMove) if move.change is StockChange.RECEIVED] == []


def test_an_order_is_received_once_unless_it_is_said(farm: SmallFarm) -> None:
    lines = [Delivered(farm.section_part.id, 25, 480, "2027-aa")]
    receive_order(farm.store, lines, at=AUGUST)
    with pytest.raises(RefusedError, match="2027-aa was received before"):
        receive_order(farm.store, lines, at=AUGUST)
    receive_order(farm.store, lines, at=AUGUST, again=True)
    receive_order(farm.store, [replace(lines[0], order="2027-bb")], at=AUGUST)
    undo(farm.store)
    received = [move for move in stored(farm.store, StockMove) if move.change is StockChange.RECEIVED]
    assert sum(move.quantity for move in received) == 50


@pytest.mark.parametrize(("quantity", "said"), [(0, "Nothing came"), (-1, "Less than nothing")])
def test_a_delivery_of_nothing_is_refused(farm: SmallFarm, quantity: int, said: str) -> None:
    with pytest.raises(RefusedError, match=said):
        receive_order(farm.store, [Delivered(farm.section_part.id, quantity, None)], at=AUGUST)


def test_a_delivery_of_an_unknown_part_is_refused(farm: SmallFarm) -> None:
    with pytest.raises(NotFoundError, match="not in the log"):
        receive_order(farm.store, [Delivered(farm.chain.id, 1, None)], at=AUGUST)
