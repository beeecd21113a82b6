"""Areas to cut: read with what they are chosen from, entered with the plan they begin, changed; each one deed and one undo."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import Any

import pytest

from tests.small_farm import ACRE, SmallFarm, land
from wearlog.errors import NotFoundError, RefusedError
from wearlog.facts.closed_lists import Ground
from wearlog.facts.fact import Fact
from wearlog.facts.work import Crop, Field, PlannedArea, Season, SeasonPlan
from wearlog.logbook.farm.machines import add_field
from wearlog.logbook.files.undo import undo
from wearlog.logbook.plan.areas_to_cut import AreaToCut
from wearlog.logbook.plan.planned_areas import change_area, enter_area, next_harvest, planned_areas
from wearlog.logbook.plan.planning import drop_areas, make_plan
from wearlog.store.finding import find_all
from wearlog.store.opening import Store

WINTER = date(2026, 2, 1)
STONY = AreaToCut(round(640 * ACRE), ground=Ground.STONY)


def stored(store: Store, fact_type: type[Fact]) -> list[Any]:
    with store.reading() as connection:
        return find_all(connection, fact_type)


def test_the_first_area_begins_season_and_plan_and_one_undo_takes_all_of_it(farm: SmallFarm) -> None:
    done = enter_area(farm.store, 2026, STONY, today=WINTER)
    assert done.said == "began the plan for 2026 and planned 640 ac on stony ground to cut"
    (season,), (plan,), (area,) = (stored(farm.store, one) for one in (Season, SeasonPlan, PlannedArea))
    assert (season.starts_on, season.ends_on) == (date(2026, 1, 1), date(2027, 1, 1))
    assert (plan.season_id, area.season_plan_id, area.area_square_metres) == (season.id, plan.id, 2_589_988)
    undo(farm.store)
    assert [stored(farm.store, one) for one in (Season, SeasonPlan, PlannedArea)] == [[], [], []]


def test_further_areas_join_the_plan_that_is_there(farm: SmallFarm) -> None:
    land(farm)
    (field,), (crop,) = stored(farm.store, Field), stored(farm.store, Crop)
    make_plan(farm.store, 2026)
    wanted = AreaToCut(field.area_square_metres, field.id, crop_id=crop.id, combine_id=farm.combine.id)
    assert (
        enter_area(farm.store, 2026, wanted, today=WINTER).said
        == "planned 158 ac of wheat on north quarter to cut by Kestrel"
    )
    rough = replace(wanted, ground=Ground.VERY_STONY)
    said = "planned 158 ac of wheat on north quarter (very stony) to cut by Kestrel"
    assert enter_area(farm.store, 2026, rough, today=WINTER).said == said
    assert len(stored(farm.store, SeasonPlan)) == 1


@pytest.mark.parametrize(
    ("year", "wanted", "said"),
    [
        (2025, STONY, "The season 2025 is over."),
        (2026, replace(STONY, ground=None), "neither a field nor a ground"),
        (2026, replace(STONY, area_square_metres=0), "The area is 0"),
        (2026, replace(STONY, area_square_metres=10**12), "too large to be true"),
    ],
)
def test_what_cannot_be_is_refused_and_nothing_is_half_saved(
    farm: SmallFarm, year: int, wanted: AreaToCut, said: str
) -> None:
    with pytest.raises(RefusedError, match=said):
        enter_area(farm.store, year, wanted, today=WINTER)
    assert [stored(farm.store, one) for one in (Season, SeasonPlan, PlannedArea)] == [[], [], []]


def test_a_change_names_both_and_comes_back_by_undo(farm: SmallFarm) -> None:
    enter_area(farm.store, 2026, STONY, today=WINTER)
    (area,) = stored(farm.store, PlannedArea)
    clean = replace(STONY, ground=Ground.CLEAN)
    said = "planned 640 ac on clean ground to cut instead of 640 ac on stony ground"
    assert change_area(farm.store, area.id, clean).said == said
    with_header = replace(clean, header_id=farm.header.id)
    said = "planned 640 ac on clean ground to cut by North instead of 640 ac on clean ground"
    assert change_area(farm.store, area.id, with_header).said == said
    assert [one.header_id for one in stored(farm.store, PlannedArea)] == [farm.header.id]
    with pytest.raises(RefusedError, match="Nothing of this area was changed"):
        change_area(farm.store, area.id, with_header)
    with pytest.raises(RefusedError, match="'North' is a header"):
        change_area(farm.store, area.id, replace(clean, combine_id=farm.header.id))
    undo(farm.store)
    undo(farm.store)
    assert stored(farm.store, PlannedArea) == [area]


def test_what_was_taken_out_can_neither_be_changed_nor_taken_out_again(farm: SmallFarm) -> None:
    enter_area(farm.store, 2026, STONY, today=WINTER)
    (area,) = stored(farm.store, PlannedArea)
    drop_areas(farm.store, [area])
    with pytest.raises(NotFoundError):
        change_area(farm.store, area.id, replace(STONY, ground=Ground.CLEAN))
    with pytest.raises(NotFoundError):
        drop_areas(farm.store, [area])


def test_the_season_that_counts_is_the_first_to_come_that_has_a_plan(farm: SmallFarm) -> None:
    assert next_harvest(date(2026, 9, 30)) == 2026
    assert planned_areas(farm.store, date(2026, 10, 1)).harvest_year == 2027
    land(farm)
    found = planned_areas(farm.store, WINTER)
    assert (found.harvest_year, found.has_plan, found.areas) == (2026, False, ())
    make_plan(farm.store, 2027)
    assert (planned_areas(farm.store, WINTER).harvest_year, planned_areas(farm.store, WINTER).has_plan) == (2027, True)
    # a season that is over counts no more, plan or not
    assert planned_areas(farm.store, date(2028, 1, 1)).harvest_year == 2028


def test_what_an_area_begins_from(farm: SmallFarm) -> None:
    land(farm)
    add_field(farm.store, "Back forty", round(40 * ACRE), Ground.CLEAN)
    found = planned_areas(farm.store, WINTER)
    assert [field.name for field in found.fields] == ["Back forty", "north quarter"]
    assert ([one.name for one in found.combines], [one.name for one in found.headers]) == (["Kestrel"], ["North"])
    # most of the farm is stony; then the ground that was planned last speaks
    assert found.usual_ground() is Ground.STONY
    assert found.next_field() == found.fields[0]
    part = AreaToCut(round(10 * ACRE), found.fields[0].id)
    for wanted in (part, replace(STONY, ground=Ground.FEW_STONES)):
        enter_area(farm.store, 2026, wanted, today=WINTER)
    found = planned_areas(farm.store, WINTER)
    assert found.usual_ground() is Ground.FEW_STONES
    assert found.next_field() == found.fields[1]
    assert found.planned_of(found.fields[0].id) == round(10 * ACRE)
    assert found.planned_of(found.fields[0].id, but_for=found.areas[0].id) == 0
    assert [found.ground_of(area) for area in found.areas] == [Ground.CLEAN, Ground.FEW_STONES]
