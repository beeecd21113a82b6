"""Enter on a list does something wherever the last line says so: it opens the row, or says it whole."""

from __future__ import annotations

import pytest
from textual.pilot import Pilot

from tests.tui.demo_log import demo_file, demo_log
from tests.tui.every_screen import WAYS, every_section
from tests.tui.piloting import flat, play, press
from wearlog.tui.app import Screens
from wearlog.tui.screens.sheets import RowScreen
from wearlog.tui.widgets.lines import FootLine, shown_key
from wearlog.tui.widgets.windowed_list import WindowedList

__all__ = ["demo_file", "demo_log"]

PARTS = 4


@pytest.mark.parametrize("part", range(PARTS))
def test_enter_has_an_effect_on_every_list_that_names_it(demo_log: str, part: int) -> None:
    dead = []

    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        async for name in every_section(screens, pilot, list(WAYS)[part::PARTS]):
            here = screens.screen
            keys = [shown_key(one.binding) for one in here.query_one(FootLine)._shown()]
            if not isinstance(screens.focused, WindowedList) or "Enter" not in keys:
                continue
            screens.say("")
            await press(pilot)
            before = flat(screens)
            await press(pilot, "enter")
            if screens.screen is here and flat(screens) == before:
                dead.append(name)
            while screens.screen is not here and here in screens.screen_stack:
                screens.pop_screen()
            await press(pilot)

    play(demo_log, steps)
    assert dead == []


@pytest.mark.parametrize(
    ("way", "sheet"), [(("3",), "breakage"), (("3", "right"), "run"), (("3", "right", *"nnn"), "stoppage")]
)
def test_enter_in_the_daybook_opens_the_entry_to_change_it(demo_log: str, way: tuple[str, ...], sheet: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await press(pilot, *way, "enter")
        assert isinstance(screens.screen, RowScreen), flat(screens)
        assert screens.screen.start.sheet == sheet

    play(demo_log, steps)
