"""The plan's list on a screen: what stands first, and each saving under the scale that its heading shows."""

from __future__ import annotations

import pytest

from tests.farm_fixtures import demo_file, demo_store
from tests.present.test_plan_and_fault_pages import MEASURES, WINTER
from wearlog.present.plan.plan_line_sheet import plan_line_sheet, plan_rows
from wearlog.present.plan.plan_list import with_savings
from wearlog.reckoning.farm.whole_farm import farm_from
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
