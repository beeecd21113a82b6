"""The help page names every key that works, as the keyboard calls it."""

from __future__ import annotations

import re

from textual.pilot import Pilot

from tests.tui.piloting import play, press
from wearlog.tui.app import Screens
from wearlog.tui.screens.reading_page import help_text


def test_the_help_page_calls_every_key_as_the_keyboard_does(small_farm: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await press(pilot, "question_mark")
        text = help_text(screens.screen_stack[-2]).plain
        assert "8  Costs" in text
        assert ",  " in text
        assert not re.search(r"[a-z]_[a-z]", text)

    play(small_farm, steps)
