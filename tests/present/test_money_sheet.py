"""What a plan's money buys: rows that add up to the order and to the saving, and after them what it does not reach."""

from __future__ import annotations

from tests.farm_fixtures import demo_file, demo_store
from tests.present.test_plan_and_fault_pages import MEASURES, WINTER
from wearlog.present.plan.money_sheet import money_rows, money_sheets
from wearlog.present.plan.plan_list import plan_answer
from wearlog.reckoning.farm import farm_from
from wearlog.reckoning.plan.season_plan import SeasonPlanView, season_plan
from wearlog.store.opening import Store

# pytest finds fixtures by these names
__all__ = ["demo_file", "demo_store"]


def _view(store: Store) -> SeasonPlanView:
    with store.reading() as connection:
        return season_plan(connection, farm_from(connection, WINTER))


def test_what_the_money_buys_adds_up_to_the_order_and_to_what_the_plan_saves(demo_store: Store) -> None:
    view = _view(demo_store)
    within, beyond = money_rows(view)
    assert sum(row.pays_minor for row in within) == view.found.orders.sum_minor
    # what a choice by hand changes of the waiting for its part is in the sum alone: under a thousandth of it here
    saving = view.found.totals.saving_minor
    assert abs(sum(row.saves_minor or 0 for row in within) - saving) < saving / 1000
    # without limits all that pays is taken: both lists together
    assert sum(row.pays_minor for row in (*within, *beyond)) == view.found.all_that_pays[0]
    for rows in (within, beyond):
        assert [row.saves_minor for row in rows] == sorted((row.saves_minor for row in rows), reverse=True)


def test_the_bars_fall_off_where_the_money_ends(demo_store: Store) -> None:
    buys, ends = money_sheets(_view(demo_store), MEASURES)
    assert buys.headline == "THE MONEY BUYS, 5,997 of 6,000 USD"
    assert ends.headline == "HERE IT ENDS; 37,255 USD more would pay too"
    first, last = buys.cells(buys.rows[0]), buys.cells(buys.rows[-1])
    assert first == ("guard", "35", "-", "1,074", "16,527", "■" * 30)
    assert last[0] == "rasp bars"
    assert (last[4], last[5]) == ("-1,933", "chosen by hand")
    assert [cells[-1] for cells in buys.forms(buys.rows[-1])] == ["chosen by hand", "chosen by hand", "by hand"]
    assert [row.name for row in buys.rows if row.by_hand] == ["rasp bars"]
    assert {cell for row in ends.rows for cell in ends.cells(row)[5]} == {"□"}
    assert len(ends.cells(ends.rows[0])[5]) < 30


def test_the_answer_names_the_budget_and_the_choice_by_hand_that_loses(demo_store: Store) -> None:
    answer = plan_answer(_view(demo_store), MEASURES)
    # what to fit and what to buy by the names that save most, then what that takes and spares
    assert answer.to_do == (
        "Replace Plover knife sections and 4 more; buy 35 x guard and 133 other parts for 5,997 of 6,000 USD; work 16.3 h: "
        "spares you about 32,800 USD."
    )
    view = _view(demo_store)
    fitted = [line for line, done in zip(view.lines, view.found.replaced, strict=True) if done]
    assert len(fitted) == 5
    pieces = [row.pieces for row in money_rows(view)[0]]
    assert (pieces[0], sum(pieces)) == (35, 168)
    # the parts add up as they are shown: 1,600 of replacing and the rest of 32,800 by not waiting
    assert answer.saved_by.startswith("31,200 of it by not waiting for parts, 1,600 by replacing before the season")
    assert answer.briefly_saved_by == answer.saved_by.partition(" (")[0] + "."
    assert answer.saved_by.endswith("(3,500 less 1,900 for Alder rasp bars, chosen by hand).")
    assert answer.ahead == "2027: still about 122 breakages and 82 h standing; 36 parts not counted."
    settling = plan_answer(view, MEASURES, settling=True).ahead
    assert settling == "2027: still about 122 breakages. Spending the rest of the money anew ..."
    # each in one row of 80 columns, so that nothing jumps
    assert max(map(len, (answer.ahead, settling, answer.briefly_saved_by))) <= 78
    assert answer.hint == ""
