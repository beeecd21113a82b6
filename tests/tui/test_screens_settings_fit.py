"""The settings of farm and device, and a planned change of parts with its cautions before it."""

from __future__ import annotations

from pathlib import Path

import pytest
from textual.pilot import Pilot

from tests.tui.piloting import assert_snapshot, flat, play, screen_lines, screen_text, settled
from tests.tui.test_screens_measure import every_caution_on_f1
from tests.tui.writing import Text, enter
from wearlog.facts.closed_lists import Hazard, Removal
from wearlog.facts.wearing import Component, Fitting
from wearlog.logbook.farm.farm_setting import current_settings
from wearlog.logbook.open_log import open_log
from wearlog.settings import load_preferences
from wearlog.store.finding import find_all
from wearlog.tui.app import Screens
from wearlog.tui.remembered import recall
from wearlog.tui.screens.form import FormScreen
from wearlog.tui.widgets.form_line import FormField
from wearlog.tui.widgets.lines import TopLine


def words_on(screens: Screens) -> str:
    return " ".join(screen_text(screens).split())


def form(screens: Screens) -> FormScreen:
    assert isinstance(screens.screen, FormScreen)
    return screens.screen


def test_changed_settings_are_one_entry_and_everything_is_shown_by_them(small_farm: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "comma", Text("Stony Hill"), "down", "h", "down", "down", "down", Text("31,50"), "ctrl+s")
        assert "Saved: set farm_name to Stony Hill, labour_rate to 31.50, units to metric. u undoes." in words_on(
            screens
        )
        assert screens.screen.query_one(TopLine).name_shown == "Stony Hill"
        assert "243 ha" in screen_text(screens)
        await enter(pilot, "u")
        assert "600 ac" in screen_text(screens)

    play(small_farm, steps)
    store = open_log(small_farm)
    assert dict(current_settings(store))["labour_rate"] == "18.53"
    store.close()


def test_a_setting_that_makes_no_sense_is_told_under_its_field(small_farm: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(
            pilot, "comma", "down", "down", Text("dollars"), "down", Text("Mars"), "down", Text("1000000"), "ctrl+s"
        )
        wrong = {name: form(screens).line(name).wrong for name in ("currency", "zone", "labour")}
        assert wrong == {
            "currency": "'DOLLARS' is not a currency. Write its three letters, like USD or EUR.",
            "zone": "There is no time zone 'Mars'. Write it like America/Denver.",
            "labour": "'1000000.00' is not an amount for an hour. Write it like 26.00; 0 leaves it out.",
        }
        assert [form(screens).line(name).text for name in ("currency", "zone", "labour")] == [
            "dollars",
            "Mars",
            "1000000",
        ]

    play(small_farm, steps)


def test_nothing_changed_saves_nothing(small_farm: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "comma", "ctrl+s")
        assert "Nothing was changed." in screen_text(screens)

    play(small_farm, steps)


def test_colours_are_seen_at_once_and_remembered(small_farm: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "comma", *["down"] * 7, "h")
        assert screens.theme == "high-contrast"

    play(small_farm, steps)
    assert recall().theme == "high-contrast"


@pytest.mark.parametrize("size", [(80, 24), (46, 20)])
def test_a_place_that_is_kept_the_same_on_several_machines_is_named(
    small_farm: str, tmp_path: Path, size: tuple[int, int]
) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "comma")
        shown = words_on(screens)
        assert ("another program keeps the same on several machines" in shown) is is_kept_so

    for is_kept_so in (False, True):
        if is_kept_so:
            (tmp_path / ".farmsync").mkdir()
        play(small_farm, steps, size)


def test_this_device_gets_another_name_in_the_history(small_farm: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("WEARLOG_DEVICE")

    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "comma", *["down"] * 8, Text("north cab"), "ctrl+s")
        assert "Saved: this device is north cab from now on." in words_on(screens)
        await enter(pilot, "r", Text("2400"), "ctrl+s", "3", "left")
        assert any("north cab" in line for line in screen_lines(screens)[4:8])

    play(small_farm, steps)
    assert load_preferences().device == "north cab"


def test_the_cautions_stand_before_the_questions_of_a_planned_change(small_farm: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "enter", "end", "f")
        text = words_on(screens)
        assert text.index("▲ CARE key out header on its stop cut-proof gloves") < text.index("Positions")
        assert "Enter saves: fitted North header, knife sections, all 160: new parts, 28 Jul 2025 14:05" in text
        assert_snapshot(screens, "fit_80x24")
        await every_caution_on_f1(screens, pilot, Hazard.KNIFE)

    play(small_farm, steps)


def test_what_was_marked_on_the_strip_is_fitted_as_planned_and_undone(small_farm: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "enter", "end", "tab", Text("100-104"), "f")
        assert form(screens).line("positions").text == "100-104"
        await enter(pilot, "down", Text("400 ac"), "down", Text("jul 20 9:00"), "ctrl+s")
        assert (
            "Saved: fitted North header, knife sections 100-104: parts 400.0 ac old, 20 Jul 2025 09:00. u undoes."
            in words_on(screens)
        )

    play(small_farm, steps)
    store = open_log(small_farm)
    with store.reading() as connection:
        knife = find_all(connection, Component, place="knife")[0]
        planned = find_all(connection, Fitting, component_id=knife.id, removal=Removal.PLANNED)
        fresh = [one for one in find_all(connection, Fitting, component_id=knife.id) if one.age_when_fitted_usage]
    store.close()
    assert sorted(one.position for one in planned) == sorted(one.position for one in fresh) == [100, 101, 102, 103, 104]
    assert {one.age_when_fitted_usage for one in fresh} == {1_618_743}


def test_a_position_that_is_not_there_is_told_under_the_field(small_farm: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "enter", "end", "f", Text("150-170"), "down", Text("old"), "down")
        assert form(screens).line("positions").wrong == "There is no position 170. They count from 1 to 160."
        assert form(screens).line("age").wrong == "'old' is not a number. Write new, unknown, or its age like 400 ac."

    play(small_farm, steps)


@pytest.mark.parametrize("size", [(46, 20), (80, 24)])
def test_what_finds_no_room_in_its_field_stands_whole_under_it(small_farm: str, size: tuple[int, int]) -> None:
    """A long text and a long hint; what fits is not said twice."""

    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "comma")
        source = screens.screen.query_one("#ask-source", FormField)
        long = "Timeliness: 0.5 % of the crop lost per day of delay, 2,000 ac still standing, 7 of 10 days workable"
        source.input.value = long
        await settled(pilot)
        assert long in flat(screens)
        assert flat(screens).count("USD") == 1
        # a shorter one takes the line below away
        source.input.value = "a guess"
        await settled(pilot)
        assert sum("a guess" in line for line in screen_lines(screens)[3:]) == 1
        hint = "(nobody named; who enters things on this device)"
        assert hint in flat(screens)

    play(small_farm, steps, size)


def test_the_keys_of_a_choice_stand_beside_it_where_they_cut_no_answer(small_farm: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "comma", "down")
        row = next(line for line in screen_lines(screens) if line.startswith(" Units"))
        assert row.rstrip().endswith("←→")
        await enter(pilot, "down")
        row = next(line for line in screen_lines(screens) if line.startswith(" Units"))
        assert "←→" not in row

    play(small_farm, steps)
