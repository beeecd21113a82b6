"""The plan's list on a screen: what stands first, and each saving under the scale that its heading shows."""

from __future__ import annotations

import pytest

from tests.farm_fixtures import demo_file, demo_store
from tests.present.test_plan_and_fault_pages import MEASURES, WINTER
from wearlog.present.plan.plan_line_sheet import plan_line_sheet, plan_rows
from wearlog.present.plan.plan_list import with_savings
from wearlog.present.plan.plan_words import gain_words
from wearlog.present.plan.why_shown import why_shown
from wearlog.reckoning.farm import farm_from
from wearlog.reckoning.plan.season_plan import SeasonPlanView, season_plan
from wearlog.store.opening import Store

# pytest finds fixtures by these names
__all__ = ["demo_file", "demo_store"]


@pytest.fixture
def view(demo_store: Store) -> SeasonPlanView:
    with demo_store.reading() as connection:
        return season_plan(connection, farm_from(connection, WINTER))


def test_nothing_saved_stands_under_the_0_of_the_scale_in_every_row_and_at_every_width(view: SeasonPlanView) -> None:
    rows = plan_rows(view)
    sheet = with_savings(plan_line_sheet(view, MEASURES, rows), rows)
    (place,) = (number for number, column in enumerate(sheet.shown) if column.drawn)
    column = sheet.shown[place]
    losing = [row for row in sheet.rows if row.saving is not None and row.saving.high_minor < 0]
    assert losing, "a line that loses pushes the scale to the right: without one this shows nothing"
    for form, heading in enumerate((column.title, *column.titles)):
        zero = heading.index("0")
        assert zero > 2
        for row in sheet.rows:
            cell = sheet.forms(row)[form][place]
            assert cell[zero] in "│┼├┤●", (heading, cell)


def test_a_line_that_loses_money_never_stands_first_and_is_not_out_of_sight(view: SeasonPlanView) -> None:
    rows = plan_line_sheet(view, MEASURES).rows
    (by_hand,) = (place for place, row in enumerate(rows) if row.leads)
    assert rows[by_hand].loses
    assert by_hand == 1
    assert not rows[0].loses
    # what saves most stands first, and behind the choice by hand all others go down in order
    others = [row.saving.mean_minor for row in rows if row.saving is not None and not row.leads]
    assert others == sorted(others, reverse=True)
    assert len(others) > 10


def test_where_every_line_of_a_plan_loses_none_is_lost_from_the_list(view: SeasonPlanView) -> None:
    losing = [row for row in plan_rows(view) if row.loses]
    assert losing
    found = plan_line_sheet(view, MEASURES, losing).rows
    assert sorted(row.number for row in found) == sorted(row.number for row in losing)


@pytest.mark.parametrize(
    ("low", "high", "words"),
    [
        (81_400, 221_500, "saves 814 to 2,215"),
        (-261_900, -119_500, "loses 1,195 to 2,619"),
        (-10_000, 131_900, "loses up to 100 or saves up to 1,319"),
        (0, 50_000, "saves 0 to 500"),
        (-50_000, 0, "loses 0 to 500"),
    ],
)
def test_a_saving_below_nothing_is_said_as_a_loss(low: int, high: int, words: str) -> None:
    assert gain_words(low, high) == words


def test_no_sentence_of_a_line_and_no_why_speaks_of_a_saving_below_nothing(view: SeasonPlanView) -> None:
    sheet = plan_line_sheet(view, MEASURES)
    losing = [row for row in sheet.rows if row.saving is not None and row.saving.low_minor < 0]
    assert len(losing) > 3
    for row in losing:
        why = why_shown(view, row.number, MEASURES, 80)
        money = [f"{one.label} {one.value}" for _, rows in why.blocks for one in rows]
        for said in (sheet.about(row, MEASURES), *why.sentences, why.answer, *money):
            assert "saves -" not in said
            assert " -" not in said.replace(" - ", " "), said
