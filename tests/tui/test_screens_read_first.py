"""Where a life is at risk the cautions stand alone before the work, once per task, and one key says that they are read."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest
from textual.pilot import Pilot

from tests.by_hand_page import COMMON, MOST_FOR_A_BREAKAGE
from tests.tui.demo_log import demo_file, demo_log
from tests.tui.piloting import flat, play, press, rows, screen_lines, settled
from tests.tui.test_screens_contrast import ENOUGH, measured
from tests.tui.test_screens_services import served_farm
from tests.tui.writing import Text, enter, kept_at_every_size
from wearlog.facts.cautions import CAUTIONS
from wearlog.facts.closed_lists import Hazard
from wearlog.facts.wearing import Breakage
from wearlog.settings import load_preferences, save_preferences
from wearlog.tui.app import Screens
from wearlog.tui.screens.cautions import A_GLANCE, ReadFirstPage
from wearlog.tui.screens.parts.breakages import BreakageScreen
from wearlog.tui.screens.parts.fit_parts import AgeScreen, FitScreen
from wearlog.tui.screens.work.enter_run import StoppageScreen
from wearlog.tui.screens.work.services import ServicesScreen
from wearlog.tui.spells import SPELL, Spells
from wearlog.tui.themes import INKS
from wearlog.tui.widgets.lines import FootLine

__all__ = ["demo_file", "demo_log", "served_farm"]

EVENING = datetime(2026, 8, 12, 20, 0, tzinfo=UTC)
KNIFE = ("colon", *"knife", "enter", "end")


async def read(pilot: Pilot[None], *keys: str) -> None:
    """Press keys, look at the page that comes for as long as it takes, and say that it is read."""
    await press(pilot, *keys)
    assert isinstance(pilot.app.screen, ReadFirstPage), flat(pilot.app)
    await pilot.pause(A_GLANCE + 0.05)
    if pilot.app.screen.query_one("#page").max_scroll_y:
        await press(pilot, "end")
    await press(pilot, "enter")


def test_a_breakage_under_the_header_asks_once_for_one_key(small_farm: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await press(pilot, "b")
        shown = flat(screens)
        assert shown.startswith("STOP: read before you touch it, North header KNIFE")
        assert all(sentence in shown for sentence in CAUTIONS[Hazard.KNIFE])
        assert "Part North header" not in shown, "it stands alone, and before the form"
        await pilot.pause(A_GLANCE + 0.05)
        await press(pilot, "enter")
        assert isinstance(screens.screen, BreakageScreen)
        assert "CARE key out header on its stop cut-proof gloves ! all 4 cautions" in flat(screens)
        await enter(pilot, Text("41"), "4", "1", "r", "enter")
        assert "Saved: North header, knife section 41" in flat(screens)
        await press(pilot, "b")
        assert isinstance(screens.screen, BreakageScreen), "the spell goes on"
        await press(pilot, "exclamation_mark")
        assert flat(screens).startswith("STOP: read before you touch it KNIFE")

    play(small_farm, steps, unread=True)


def test_with_its_cautions_the_usual_breakage_stays_within_its_keys() -> None:
    usual = [one for one in COMMON if one.what == "what broke, at the place that is shown"]
    assert [len(one.keys) + 1 for one in usual] == [6]
    assert len(usual[0].keys) + 1 <= MOST_FOR_A_BREAKAGE


def test_nothing_is_done_before_they_are_read_and_it_is_said(small_farm: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        before = len(rows(small_farm, Breakage))
        await press(pilot, "b")
        # held down, or pressed twice: nobody has read it yet
        await press(pilot, "enter")
        assert isinstance(screens.screen, ReadFirstPage)
        await press(pilot, "5")
        assert "Read this first: Enter says that you have." in flat(screens)
        await press(pilot, "escape")
        assert "[1 Yard]" in flat(screens)
        await press(pilot, "b")
        assert isinstance(screens.screen, ReadFirstPage), "left is not read"
        assert len(rows(small_farm, Breakage)) == before

    play(small_farm, steps, unread=True)


def test_who_looks_through_the_parts_reads_of_the_one_that_is_worked_on(demo_log: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await read(pilot, "b")
        form = screens.screen
        assert isinstance(form, BreakageScreen)
        for _ in range(12):
            await press(pilot, "p")
            assert screens.screen is form
            if form.draft.choice is not None and form.draft.choice.hazard is Hazard.UNDER_HEADER:
                break
        assert form.draft.choice is not None
        assert form.draft.choice.hazard is Hazard.UNDER_HEADER
        await read(pilot, "2")
        assert screens.screen is form
        assert form.draft.positions == (2,), "the key that brought the page is not lost"

    play(demo_log, steps, unread=True)


def test_a_line_brings_them_when_it_is_saved_and_not_while_it_is_written(demo_log: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        before = len(rows(demo_log, Breakage))
        await read(pilot, "b")
        await enter(pilot, "tab", Text("kestrel skid plate 1 bent"))
        assert isinstance(screens.screen, BreakageScreen)
        await read(pilot, "enter")
        await settled(pilot)
        assert len(rows(demo_log, Breakage)) == before + 1, flat(screens)

    play(demo_log, steps, unread=True)


def test_parts_that_are_fitted_have_them_and_an_age_that_is_told_has_none(small_farm: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await press(pilot, *KNIFE)
        await press(pilot, "e")
        assert isinstance(screens.screen, AgeScreen)
        await press(pilot, "escape")
        await read(pilot, "f")
        assert isinstance(screens.screen, FitScreen)
        await press(pilot, "escape", "b")
        assert isinstance(screens.screen, BreakageScreen), "the same machine and the same danger"

    play(small_farm, steps, unread=True)


def test_words_that_name_a_danger_bring_them_when_the_question_is_left(small_farm: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "d", "tab", "tab", "tab", Text("feeder plugged, battery flat"))
        form = screens.screen
        assert isinstance(form, StoppageScreen), "not in the middle of a word"
        assert "reverser first" in flat(screens)
        await read(pilot, "tab")
        assert screens.screen is form
        await press(pilot, "ctrl+s")
        assert "Saved: Kestrel stands from" in flat(screens)

    play(small_farm, steps, unread=True)


def test_what_was_saved_is_saved_once_they_are_read(small_farm: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "d", "tab", "tab", "tab", Text("feeder plugged"))
        await read(pilot, "enter")
        await settled(pilot)
        assert "Saved: Kestrel stands from" in flat(screens)

    play(small_farm, steps, unread=True)


def test_enter_says_it_only_once_the_last_line_was_on_the_screen(small_farm: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "d", "tab", "tab", "tab", Text("wiring, a tire, plugged"))
        await press(pilot, "tab")
        last = "Local rules and licensed trades go before both."
        assert last not in flat(screens)
        await pilot.pause(A_GLANCE + 0.05)
        assert "There is more below: Enter goes on to it." in flat(screens)
        for _ in range(6):
            if last in flat(screens):
                break
            await press(pilot, "enter")
            assert isinstance(screens.screen, ReadFirstPage)
        await press(pilot, "end", "enter")
        assert isinstance(screens.screen, StoppageScreen)

    play(small_farm, steps, (46, 20), unread=True)


def test_the_round_of_the_evening_has_them_before_it(served_farm: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await press(pilot, "f")
        assert screen_lines(screens)[0].strip().startswith("STOP: read before you touch it, ")
        await press(pilot, "escape")
        assert "[1 Yard]" in flat(screens), "the round is left with them"
        await read(pilot, "f")
        assert isinstance(screens.screen, ServicesScreen)
        await press(pilot, "escape", "f", "A", "f")
        assert "services done" in flat(screens)

    play(served_farm, steps, unread=True)


def test_somebody_else_reads_for_himself(small_farm: str) -> None:
    save_preferences(replace(load_preferences(), person="Ann"))

    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await read(pilot, "b")
        assert "by Ann" in flat(screens)
        await press(pilot, "7")
        assert isinstance(screens.screen, BreakageScreen)
        await press(pilot, "y")
        assert "by Ann" not in flat(screens)
        await press(pilot, "7")
        assert isinstance(screens.screen, ReadFirstPage)

    play(small_farm, steps, unread=True)


def test_by_mouse_the_words_of_the_last_line_do_it(small_farm: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await press(pilot, "b")
        await pilot.pause(A_GLANCE + 0.05)
        foot = screens.screen.query_one(FootLine)
        start = next(one[0] for one in foot._spans if one[2].binding.action == "understood")
        await pilot.click(foot, offset=(start + 8, 0))
        await settled(pilot)
        assert isinstance(screens.screen, BreakageScreen)

    play(small_farm, steps, (46, 20), unread=True)


def test_the_page_as_it_is_kept(small_farm: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await press(pilot, "b")
        await kept_at_every_size(pilot, "read_first")

    play(small_farm, steps, unread=True)


@pytest.mark.parametrize("theme", INKS)
def test_it_can_be_read_in_every_theme(small_farm: str, theme: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        screens.theme = theme
        await press(pilot, "b")
        assert [one for one in measured(screens) if one[0] < ENOUGH] == []

    play(small_farm, steps, unread=True)


def test_a_spell_ends_four_hours_after_it_was_last_worked_on() -> None:
    spells, four = Spells(), (Hazard.KNIFE, Hazard.ROTATING_DRIVE, Hazard.KNIFE)
    assert spells.unread("Merlin", four, EVENING) == (Hazard.KNIFE,), "of a drive the row says all of it"
    spells.read("Merlin", (Hazard.KNIFE,), EVENING)
    assert spells.unread("Merlin", four, EVENING) == ()
    assert spells.unread("Wren", four, EVENING) == (Hazard.KNIFE,)
    assert spells.unread("Merlin", (Hazard.HYDRAULIC,), EVENING) == (Hazard.HYDRAULIC,)
    late = EVENING + SPELL - timedelta(minutes=1)
    assert spells.unread("Merlin", four, late) == ()
    # worked on meanwhile: the spell goes on from there
    assert spells.unread("Merlin", four, late + timedelta(hours=3)) == ()
    assert spells.unread("Merlin", four, late + timedelta(hours=7)) == (Hazard.KNIFE,)
    assert spells.unread("Merlin", four, EVENING - timedelta(days=1)) == (Hazard.KNIFE,), "a clock that was set back"
    spells.read("Merlin", (Hazard.KNIFE,), EVENING)
    spells.forget()
    assert spells.unread("Merlin", four, EVENING) == (Hazard.KNIFE,)
