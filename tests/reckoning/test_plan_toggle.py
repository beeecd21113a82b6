"""Choices on a plan that is looked at: sums at once without moving any other line; settled, the same as if it had been saved."""

from __future__ import annotations

from datetime import UTC, datetime

from tests.planned_choices import chosen, within
from wearlog.facts.closed_lists import Choice
from wearlog.logbook.plan.planning import LineChoice, save_plan
from wearlog.plan.budget import Limits
from wearlog.reckoning.farm import farm_from
from wearlog.reckoning.plan.season_plan import SeasonPlanView, season_plan
from wearlog.reckoning.plan.toggle import settled, sums_at_once, with_choices
from wearlog.store.opening import Store

WINTER = datetime(2026, 11, 20, 18, tzinfo=UTC)


def reckon(store: Store) -> SeasonPlanView:
    with store.reading() as connection:
        return season_plan(connection, farm_from(connection, WINTER))


def test_at_once_no_other_line_moves_and_no_other_spare_is_bought(demo_store: Store) -> None:
    view = reckon(demo_store)
    left_out = next(place for place, done in enumerate(view.found.replaced) if not done)
    line = view.lines[left_out]
    quick = sums_at_once(view, view, {line.component.id: Choice.REPLACE})
    assert quick.found.replaced[left_out] == line.best
    same = [one for place, one in enumerate(quick.found.replaced) if place != left_out]
    assert same == [one for place, one in enumerate(view.found.replaced) if place != left_out]
    assert [one.advice.packs for one in quick.found.spares] == [one.advice.packs for one in view.found.spares]
    fewer = view.found.totals.stops - quick.found.totals.stops
    assert abs(fewer - (line.stops(()) - line.stops(line.best))) < 1e-9
    # and taking it back gives what was there before
    back = sums_at_once(view, quick, {})
    assert back.found.totals == view.found.totals
    assert back.found.orders == view.found.orders


def test_without_limits_the_sums_at_once_are_those_of_the_plan_settled_with_the_same_spares(demo_store: Store) -> None:
    free = within(reckon(demo_store), Limits())
    place = next(number for number, done in enumerate(free.found.replaced) if done)
    component = free.lines[place].component.id
    quick = sums_at_once(free, free, {component: Choice.RUN})
    whole = settled(free, {component: Choice.RUN})
    assert quick.found.replaced == whole.found.replaced
    assert quick.found.totals.stops == whole.found.totals.stops
    assert quick.found.totals.shop_seconds == whole.found.totals.shop_seconds


def test_settled_is_what_the_log_gives_when_the_choices_are_saved(demo_store: Store) -> None:
    view = reckon(demo_store)
    first, second = view.lines[0], view.lines[2]
    choices = {first.component.id: Choice.REPLACE, second.component.id: Choice.RUN}
    found = settled(view, choices)
    one_by_one = chosen(chosen(view, 0, Choice.REPLACE), 2, Choice.RUN)
    assert found.found.replaced == one_by_one.found.replaced
    save_plan(
        demo_store,
        2027,
        choices=[
            LineChoice(first.component.id, found.lines[0].by_hand_replace, Choice.REPLACE),
            LineChoice(second.component.id, found.lines[2].by_hand_run, Choice.RUN),
        ],
    )
    saved = reckon(demo_store)
    assert saved.found.replaced == found.found.replaced
    assert saved.found.totals == found.found.totals


def test_a_choice_left_to_the_figures_forgets_the_hand(demo_store: Store) -> None:
    view = reckon(demo_store)
    place = next(number for number, line in enumerate(view.lines) if line.by_hand is Choice.REPLACE)
    lines = with_choices(view, {view.lines[place].component.id: None})
    assert lines[place].by_hand is None
    assert lines[:place] == view.lines[:place]
