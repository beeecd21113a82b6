"""The areas to cut on the plan's screen: listed, added, changed, taken out and brought back; the first one begins the plan."""

from __future__ import annotations

from datetime import date, datetime
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest
from textual.pilot import Pilot

from tests.tui.demo_log import demo_file, demo_log
from tests.tui.piloting import (
    assert_snapshot,
    flat,
    help_page_of,
    play,
    press,
    rows,
    screen_lines,
    screen_text,
    settled,
)
from tests.tui.test_screens_contrast import ENOUGH, measured
from tests.tui.test_screens_season_plan import plan
from tests.tui.writing import SIZES, Text, enter
from wearlog.facts.closed_lists import Ground, MachineKind
from wearlog.facts.machines import Machine
from wearlog.facts.work import Field, PlannedArea, Season, SeasonPlan
from wearlog.logbook.farm.first_day import start_log
from wearlog.logbook.farm.machines import add_crop, add_field, add_machine
from wearlog.logbook.open_log import opened
from wearlog.logbook.plan.areas_to_cut import AreaToCut
from wearlog.logbook.plan.planned_areas import enter_area
from wearlog.logbook.plan.planning import drop_areas
from wearlog.store.location import Location
from wearlog.tui.app import Screens
from wearlog.tui.door import Door
from wearlog.tui.screens.plan.enter_area import AreaToCutScreen
from wearlog.tui.themes import INKS
from wearlog.tui.widgets.answer_line import SectionTabs
from wearlog.tui.widgets.lines import FootLine

__all__ = ["demo_file", "demo_log"]

ACRE = 4046.8564224


#: titles and one row at 80, 120 and 46 columns
LIST_AT = (
    [
        " no.     area field         ground     crop       cut by",
        "   4 598.3 ac Gravel Pit    very stony canola     Juniper, Wren",
    ],
    [
        " no.     area field         ground     crop       cut by",
        "   4 598.3 ac Gravel Pit    very stony canola     Juniper, Wren",
    ],
    [
        "     area field         ground     crop",
        " 598.3 ac Gravel Pit    very stony canola",
    ],
)


def form(screens: Screens) -> AreaToCutScreen:
    """The open form."""
    assert isinstance(screens.screen, AreaToCutScreen)
    return screens.screen


def row_here(screens: Screens) -> list[str]:
    """The words of the row under the cursor."""
    return next(line for line in screen_lines(screens) if line.startswith(">")).removeprefix(">").split()


def acres(log: str) -> list[float]:
    return sorted(round(one.area_square_metres / ACRE, 1) for one in rows(log, PlannedArea))


def test_an_area_is_added_and_the_plan_is_reckoned_anew_and_undo_takes_it_back(demo_log: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await press(pilot, "6", "left")
        assert "12 areas, together 9,000 ac: 2,431.1 ac clean, 3,062.9 ac few stones," in flat(screens)
        before = plan(screens).page
        assert before is not None
        # every field is planned: what is added goes by ground, until a field is picked from the list
        await enter(pilot, "a", "f2", Text("sch"), "enter")
        assert (form(screens).line("area").text, form(screens).line("ground").words) == ("788", "stony, as the field")
        assert "On Schoolhouse 1,576 ac are planned; it has 788 ac." in flat(screens)
        await enter(pilot, "escape", "escape")
        await enter(pilot, "a", "down", Text("260 ha"), "down", "v", "down", "w", "down", "a")
        assert "= 642.5 ac" in screen_text(screens)
        assert "Enter saves: planned 642.5 ac of wheat on very stony ground to cut by Alder" in flat(screens)
        await press(pilot, "ctrl+s")
        assert "Saved: planned 642.5 ac of wheat on very stony ground to cut by Alder. u undoes." in flat(screens)
        assert row_here(screens) == ["13", "642.5", "ac", "-", "very", "stony", "wheat", "Alder"]
        page = plan(screens).page
        assert page is not None
        assert page.about.startswith("2027: 9,642 ac planned")
        assert page.sums.stops != before.sums.stops
        (new,) = [one for one in rows(demo_log, PlannedArea) if one not in kept]
        assert (new.area_square_metres, new.ground, new.field_id) == (2_600_000, Ground.VERY_STONY, None)
        await press(pilot, "u")
        assert rows(demo_log, PlannedArea) == kept
        assert plan(screens).page.about == before.about  # type: ignore[union-attr]

    kept = rows(demo_log, PlannedArea)
    play(demo_log, steps)


@pytest.fixture
def planned_farm(small_farm: str) -> str:
    """The small farm with a second field and wheat, 160 ac of which are planned on the first field."""
    with opened(small_farm) as store:
        done = add_field(store, "Creek bottom", round(200 * ACRE), Ground.CLEAN)
        wheat = add_crop(store, "wheat").facts[0]
        assert isinstance(done.facts[0], Field)
        long_quarter = next(one for one in rows(small_farm, Field) if one.name == "Long quarter")
        area = AreaToCut(long_quarter.area_square_metres, long_quarter.id, crop_id=wheat.id)
        enter_area(store, 2025, area, today=date(2025, 7, 28))
    return small_farm


def test_an_area_is_changed_by_enter_and_taken_out_by_x(planned_farm: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await press(pilot, "6", "left", "enter")
        assert (form(screens).line("area").text, form(screens).line("crop").words) == ("160", "wheat")
        await enter(pilot, "ctrl+s")
        assert "Nothing was changed." in screen_text(screens)
        # another field brings its own size and ground
        await enter(pilot, "enter", "c")
        assert form(screens).line("area").text == "200"
        assert form(screens).line("ground").words == "clean, as the field"
        await enter(pilot, "down", Text("220"), "down", "down", "n", "ctrl+s")
        assert "planned 220 ac on Creek bottom to cut instead of 160 ac of wheat on Long quarter." in flat(screens)
        assert "On Creek bottom 220 ac are planned; it has 200 ac." in flat(screens)
        await press(pilot, "x")
        assert "Saved: took 220 ac on Creek bottom out of the plan. u undoes." in flat(screens)
        assert rows(planned_farm, PlannedArea) == []
        await press(pilot, "u")
        assert row_here(screens)[:4] == ["1", "220", "ac", "Creek"]
        await press(pilot, "u")
        assert rows(planned_farm, PlannedArea) == kept

    kept = rows(planned_farm, PlannedArea)
    play(planned_farm, steps)


def test_an_area_that_is_gone_meanwhile_says_so_and_what_was_typed_stays(planned_farm: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "6", "left", "enter", "down", Text("90"))
        with opened(planned_farm) as store:
            drop_areas(store, rows(planned_farm, PlannedArea))
        await press(pilot, "ctrl+s")
        assert form(screens).line("area").text == "90"
        assert "▲ " in screen_lines(screens)[-2]

    play(planned_farm, steps)
    assert rows(planned_farm, PlannedArea) == []


def test_fields_come_one_after_the_other_with_their_own_size_and_ground(small_farm: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await press(pilot, "6", "left")
        assert "Nothing to cut is planned for 2025; a adds the first area and begins the plan." in flat(screens)
        await press(pilot, "x")
        assert "x: there is no area here yet; a adds one." in screen_text(screens)
        await press(pilot, "a")
        assert "Enter saves: began the plan for 2025 and planned 160 ac on Long quarter to cut" in flat(screens)
        # the second Esc leaves what was typed
        await enter(pilot, "down", "down", Text("30"), "escape", "escape", "a", "ctrl+s")
        assert "Saved: began the plan for 2025 and planned 160 ac on Long quarter to cut." in flat(screens)
        # the field is planned: the next area goes by ground; without a size nothing is saved
        await press(pilot, "a", "ctrl+s")
        assert "! How much is to be cut? Write it like 640, in ac." in screen_text(screens)
        await enter(pilot, Text("12 bushels"), "ctrl+s")
        assert "! 'bushels' in '12 bushels' is not ac or ha." in screen_text(screens)
        await enter(pilot, *["backspace"] * 10, Text("0"), "ctrl+s")
        assert "! An area of 0 is nothing to cut." in screen_text(screens)
        await enter(pilot, "backspace", Text("640000000"), "ctrl+s")
        assert "is too large to be true." in form(screens).line("area").wrong
        assert acres(small_farm) == [160.0]

    play(small_farm, steps)
    (area,) = rows(small_farm, PlannedArea)
    (found,) = rows(small_farm, SeasonPlan)
    # the field's own ground is not written down: a correction of the field reaches the plan
    assert (area.season_plan_id, area.ground) == (found.id, None)


def test_a_plan_is_begun_where_no_season_is_to_come(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    spring = datetime(2026, 3, 2, 9, 0, tzinfo=ZoneInfo("America/Denver"))
    monkeypatch.setattr(Door, "now", lambda _: spring)
    store = start_log(Location(file=tmp_path / "bare.db"))
    add_machine(store, Machine(name="Kestrel", kind=MachineKind.COMBINE), at=spring)
    store.close()

    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await press(pilot, "6", "left", "a")
        # the log has neither fields nor crops nor headers: nothing to choose is not asked
        assert [line.asks for line in form(screens).lines] == ["season", "area", "ground", "combine"]
        assert form(screens).line("season").text == "2026"
        # the season stands there already: what is asked is the area
        assert screens.focused is form(screens).line("area").entry
        await enter(pilot, "up", Text("2025"), "down")
        assert "2025 is over; a plan is for a season that is still to come." in flat(screens)
        await enter(pilot, "up", *["backspace"] * 4, Text("2027"), "down", Text("640"), "down", "s", "ctrl+s")
        assert "began the plan for 2027 and planned 640 ac on stony ground to cut. u undoes." in flat(screens)
        assert "2027: 640 ac planned" in plan(screens).page.about  # type: ignore[union-attr]
        await press(pilot, "u")
        assert "a adds the first area and begins the plan." in flat(screens)

    play(str(tmp_path / "bare.db"), steps)
    assert rows(str(tmp_path / "bare.db"), Season) == rows(str(tmp_path / "bare.db"), SeasonPlan) == []


def test_the_areas_are_worked_by_mouse_alone(demo_log: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await press(pilot, "6")
        await pilot.click(SectionTabs, offset=(screen_line(screens, " Acres").index("Acres") + 1, 0))
        await settled(pilot)
        await pilot.click("#rows", offset=(5, 3))
        await pilot.click(FootLine, offset=(screen_lines(screens)[-1].index("x take out") + 2, 0))
        await settled(pilot)
        assert "took 885.5 ac of field peas on Far Eighty out of the plan" in flat(screens)
        await pilot.click(FootLine, offset=(screen_lines(screens)[-1].index("a add") + 1, 0))
        await settled(pilot)
        assert form(screens).line("field").words == "Far Eighty"
        # an answer is clicked itself; where not all find room the click lists them
        line = screen_line(screens, "canola")
        await pilot.click("#ask-crop Choices", offset=(line.index("wheat") - 17, 0))
        assert form(screens).line("crop").words == "wheat"
        await pilot.click("#ask-field Choices", offset=(3, 0))
        await settled(pilot)
        await pilot.click("WindowedList", offset=(5, 3))
        await pilot.click("WindowedList", offset=(5, 3))
        await settled(pilot)
        assert form(screens).line("field").words == "Creek Bottom"

    def screen_line(screens: Screens, words: str) -> str:
        return next(line for line in screen_lines(screens) if words in line)

    play(demo_log, steps)


def test_the_areas_look_as_kept_and_are_read_in_every_light(demo_log: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await press(pilot, "6", "left")
        # what stands above the list is reckoned, and has its own tests
        for (wide, high), there in zip(SIZES, LIST_AT, strict=True):
            await pilot.resize_terminal(wide, high)
            await settled(pilot)
            assert [line for line in screen_lines(screens) if "area " in line or "Gravel" in line] == there
        await read_in_every_light(screens, pilot, "the list")
        await enter(pilot, "a", "down", Text("6o0"), "down")
        await kept(screens, pilot, "plan_area_form")
        await enter(pilot, "up", "up", "f2")
        await kept(screens, pilot, "pick")
        await press(pilot, "escape", "f1")
        assert "F2 list all answers" in flat(screens)
        await press(pilot, "escape", "escape", "escape", "question_mark")
        page = help_page_of(screens.screen_stack[-2])
        assert page.startswith("What will be cut in the season, by field or by ground")
        assert "a  plan another area to cut" in page
        assert "x or Del  take out the area under the cursor" in page

    async def kept(screens: Screens, pilot: Pilot[None], name: str) -> None:
        for wide, high in SIZES:
            await pilot.resize_terminal(wide, high)
            await settled(pilot)
            assert_snapshot(screens, f"{name}_{wide}x{high}")
        await read_in_every_light(screens, pilot, name)

    async def read_in_every_light(screens: Screens, pilot: Pilot[None], name: str) -> None:
        await pilot.resize_terminal(*SIZES[0])
        for theme in INKS:
            screens.theme = theme
            await settled(pilot)
            assert [piece for piece in measured(screens) if piece[0] < ENOUGH] == [], f"{name} in {theme}"

    play(demo_log, steps)
