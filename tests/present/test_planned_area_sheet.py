"""The areas to cut in words: rows by field, the sum by ground, what to do first, and an area before it is saved."""

from __future__ import annotations

from uuid import UUID

from wearlog.facts.closed_lists import Ground, MachineKind
from wearlog.facts.farm_settings import FarmSettings
from wearlog.facts.machines import Machine
from wearlog.facts.work import Crop, Field, PlannedArea
from wearlog.ids import new_id
from wearlog.logbook.plan.areas_to_cut import AreaToCut, PlannedAreas
from wearlog.present.plan.planned_area_sheet import area_ahead, planned_area_sheet

ACRE = 4046.8564224
PLAN = new_id()
NORTH = Field(name="north quarter", area_square_metres=round(158 * ACRE), ground=Ground.STONY)
WHEAT = Crop(name="wheat")
KESTREL = Machine(name="Kestrel", kind=MachineKind.COMBINE)
PLOVER = Machine(name="Plover", kind=MachineKind.HEADER)


def planned(*areas: PlannedArea, metric: bool = False) -> PlannedAreas:
    settings = FarmSettings(units="metric") if metric else FarmSettings()
    return PlannedAreas(settings, 2027, bool(areas), areas, (NORTH,), (WHEAT,), (KESTREL,), (PLOVER,))


def area(acres: float, **more: UUID | Ground | None) -> PlannedArea:
    return PlannedArea(season_plan_id=PLAN, area_square_metres=round(acres * ACRE), **more)  # type: ignore[arg-type]


def test_rows_stand_by_field_and_add_up_by_ground() -> None:
    sheet = planned_area_sheet(
        planned(
            area(640, ground=Ground.CLEAN, combine_id=KESTREL.id, header_id=PLOVER.id),
            area(158, field_id=NORTH.id, crop_id=WHEAT.id),
        )
    )
    assert [sheet.cells(row) for row in sheet.rows] == [
        ("1", "158 ac", "north quarter", "stony", "wheat", "all as they work"),
        ("2", "640 ac", "-", "clean", "-", "Kestrel, Plover"),
    ]
    assert [sheet.about(row, sheet.measures) for row in sheet.rows] == ["", ""]
    assert sheet.headline == "2 areas, together 798 ac: 640 ac clean and 158 ac stony."


def test_one_ground_is_said_once_and_another_size_than_the_field_is_told() -> None:
    sheet = planned_area_sheet(planned(area(100, field_id=NORTH.id)))
    assert sheet.headline == "1 area, together 100 ac, all stony."
    assert sheet.about(sheet.rows[0], sheet.measures) == "On north quarter 100 ac are planned; it has 158 ac."


def test_without_an_area_one_sentence_says_what_to_do() -> None:
    empty = planned_area_sheet(planned())
    assert ([*empty.rows], empty.headline) == ([], "")
    assert empty.empty == ("Nothing to cut is planned for 2027; 'wearlog plan area 640ac --ground stony' plans some.")


def test_an_area_is_said_before_it_is_saved_in_the_unit_of_the_farm() -> None:
    before = area(158, field_id=NORTH.id)
    wanted = AreaToCut(round(158 * ACRE), NORTH.id, crop_id=WHEAT.id)
    known = planned(before)
    assert area_ahead(known, wanted, harvest_year=2027, area_id=before.id) == (
        "planned 158 ac of wheat on north quarter to cut instead of 158 ac on north quarter"
    )
    assert area_ahead(known, wanted, harvest_year=2027).endswith("On north quarter 316 ac are planned; it has 158 ac.")
    by_ground = AreaToCut(2_600_000, ground=Ground.VERY_STONY, header_id=PLOVER.id)
    said = area_ahead(planned(metric=True), by_ground, harvest_year=2028)
    assert said == "began the plan for 2028 and planned 260 ha on very stony ground to cut by Plover"
