"""Saving a plan as it was worked on: all choices and limits in one deed, taken back by one undo."""

from __future__ import annotations

import pytest

from tests.small_farm import SmallFarm
from wearlog.errors import RefusedError
from wearlog.facts.closed_lists import Choice
from wearlog.facts.fact import Fact
from wearlog.facts.work import PlanChoice, Season, SeasonPlan
from wearlog.logbook.files.undo import undo
from wearlog.logbook.plan.planning import LineChoice, PlanLimits, make_plan, save_plan
from wearlog.store.finding import find_all
from wearlog.store.opening import Store


def stored(store: Store, fact_type: type[Fact]) -> list:
    with store.reading() as connection:
        return find_all(connection, fact_type)


def replaced(farm: SmallFarm) -> LineChoice:
    return LineChoice(farm.knife.id, tuple(range(1, 161)), Choice.REPLACE)


def run(farm: SmallFarm) -> LineChoice:
    return LineChoice(farm.chain.id, (1,), Choice.RUN)


def test_choices_of_several_components_are_one_deed(farm: SmallFarm) -> None:
    make_plan(farm.store, 2027)
    done = save_plan(farm.store, 2027, choices=[replaced(farm), run(farm)])
    assert done.said == "the plan for 2027: 1 to replace, 1 to run"
    found = {(one.component_id, len(one.positions), one.choice) for one in stored(farm.store, PlanChoice)}
    assert found == {(farm.knife.id, 160, Choice.REPLACE), (farm.chain.id, 1, Choice.RUN)}
    undo(farm.store)
    assert stored(farm.store, PlanChoice) == []


def test_a_choice_takes_the_place_of_the_earlier_one_and_none_takes_it_back(farm: SmallFarm) -> None:
    make_plan(farm.store, 2027)
    save_plan(farm.store, 2027, choices=[replaced(farm)])
    save_plan(farm.store, 2027, choices=[LineChoice(farm.knife.id, tuple(range(1, 161)), Choice.RUN)])
    assert [one.choice for one in stored(farm.store, PlanChoice)] == [Choice.RUN]
    save_plan(farm.store, 2027, choices=[LineChoice(farm.knife.id, (), None)])
    assert stored(farm.store, PlanChoice) == []
    undo(farm.store)
    assert [one.choice for one in stored(farm.store, PlanChoice)] == [Choice.RUN]


def test_limits_alone_change_the_plan_and_begin_one_with_its_season(farm: SmallFarm) -> None:
    done = save_plan(farm.store, 2027, limits=PlanLimits(6_000_00, None))
    assert done.said == "the plan for 2027: 6,000.00 USD for parts, no limit in the shop"
    assert [one.harvest_year for one in stored(farm.store, Season)] == [2027]
    save_plan(farm.store, 2027, limits=PlanLimits(None, 60 * 3600))
    assert [(one.budget_minor, one.shop_seconds) for one in stored(farm.store, SeasonPlan)] == [(None, 60 * 3600)]
    undo(farm.store)
    assert [(one.budget_minor, one.shop_seconds) for one in stored(farm.store, SeasonPlan)] == [(6_000_00, None)]


def test_nothing_changed_and_positions_that_are_not_there_are_refused(farm: SmallFarm) -> None:
    make_plan(farm.store, 2027, budget_minor=100)
    save_plan(farm.store, 2027, choices=[run(farm)])
    with pytest.raises(RefusedError, match="Nothing in the plan was changed"):
        save_plan(farm.store, 2027, choices=[run(farm)], limits=PlanLimits(100, None))
    with pytest.raises(RefusedError, match="2"):
        save_plan(farm.store, 2027, choices=[LineChoice(farm.chain.id, (2,), Choice.RUN)])
