"""Keys typed faster than the screen follows are done one after the other: none of a text is taken for a key, no figure is lost."""

from __future__ import annotations

import pytest
from textual import events
from textual.pilot import Pilot
from textual.widgets import Input

from tests.tui.demo_log import demo_file, demo_log
from tests.tui.piloting import flat, play, press, screen_lines, settled
from tests.tui.test_keys_kept import Slow
from wearlog.tui.app import Screens
from wearlog.tui.screens.farm.machine import MachineScreen
from wearlog.tui.screens.faults.circuit_text import CircuitTextScreen
from wearlog.tui.screens.parts.breakages import BreakageScreen
from wearlog.tui.widgets.tick_field import Ticks

__all__ = ["demo_file", "demo_log"]

NAMED = {" ": "space", "-": "minus", ",": "comma", "/": "slash", "\t": "tab", "\x1b": "escape", "\r": "enter"}


async def typed_at_once(screens: Screens, pilot: Pilot[None], text: str) -> None:
    """Give all keys to the app before it does anything with the first."""
    for character in text:
        screens.post_message(events.Key(NAMED.get(character, character), character))
    await settled(pilot)


@pytest.mark.parametrize("text", ["north new sections 1-58, 4 h labour", "3 sections 41-43 rock, 20 min"])
def test_a_line_written_right_behind_the_key_that_leads_to_it_arrives_whole(small_farm: str, text: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await press(pilot, "b")
        await typed_at_once(screens, pilot, f"\t{text}")
        assert isinstance(screens.screen, BreakageScreen)
        assert screens.screen.query_one("#line", Input).value == text

    play(small_farm, steps)


def test_minutes_behind_their_key_are_no_positions(small_farm: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await press(pilot, "b")
        await typed_at_once(screens, pilot, "41rt20")
        assert isinstance(screens.screen, BreakageScreen)
        assert screens.screen.query_one("#stood", Input).value == "20"
        assert screens.screen.draft.positions == (41,)
        assert screens.screen.draft.stood_seconds == 20 * 60

    play(small_farm, steps)


def test_positions_behind_the_key_of_the_next_part_are_of_that_part(small_farm: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await press(pilot, "b")
        assert isinstance(screens.screen, BreakageScreen)
        first = screens.screen.draft.choice
        await typed_at_once(screens, pilot, "p12")
        assert screens.screen.draft.choice is not first
        assert screens.screen.draft.positions == (12,)

    play(small_farm, steps)


def test_what_acts_on_the_row_under_the_cursor_comes_behind_the_keys_that_moved_it(small_farm: str) -> None:
    """Home, Down, Enter in one go: the second machine is opened, not the one that the cursor stood on before."""

    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await press(pilot, "end")
        for key in ("home", "down", "enter"):
            screens.post_message(events.Key(key, None))
        await settled(pilot)
        assert isinstance(screens.screen, MachineScreen)
        assert "North header: header, 40 ft" in flat(screens)
        # neither key came to the machine's own list, which opens on what its answer names
        assert next(line for line in screen_lines(screens) if line.startswith(">")).startswith(">guards")

    play(small_farm, steps)


def test_words_behind_the_key_of_the_filter_are_its_words(small_farm: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await press(pilot, "7")
        await typed_at_once(screens, pilot, "/ks-3")
        assert screens.screen.query_one("#filter", Input).value == "ks-3", flat(screens)

    play(small_farm, steps)


def test_a_key_of_the_last_line_clicked_before_the_answer_is_there_is_done_when_it_is(
    demo_log: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    slow = Slow(monkeypatch)

    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await press(pilot, "4")
        slow.go.clear()
        await pilot.press("p")
        for _ in range(100):
            if isinstance(screens.screen, CircuitTextScreen):
                break
            await pilot.pause(0.05)
        assert isinstance(screens.screen, CircuitTextScreen)
        await pilot.pause(0.1)
        last = screen_lines(screens)[-1]
        await pilot.click(offset=(last.index("starting diagram"), 23))
        slow.go.set()
        await settled(pilot)
        assert "There is a text already" in flat(screens)

    play(demo_log, steps)


def test_esc_behind_a_key_is_done_after_it(small_farm: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await press(pilot, "b")
        await typed_at_once(screens, pilot, "\tguard 8\x1b")
        assert isinstance(screens.screen, BreakageScreen)
        assert screens.screen.query_one("#line", Input).value == "guard 8"
        assert not isinstance(screens.focused, Input)

    play(small_farm, steps)


def test_on_a_phone_the_form_winds_with_the_cursor_of_a_long_list(demo_log: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await press(pilot, "4", "down", "down", "down", "a", *"horn", "tab", "tab")
        ticks = screens.focused
        assert isinstance(ticks, Ticks)
        last = ticks.line.names[-1]
        await press(pilot, *["right"] * len(ticks.line.names))
        assert f"[ ] {last}" in flat(screens)
        await press(pilot, *["left"] * len(ticks.line.names))
        assert f"[ ] {ticks.line.names[0]}" in flat(screens)

    play(demo_log, steps, size=(46, 14))
