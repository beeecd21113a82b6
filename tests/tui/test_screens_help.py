"""The help page names every key that works, as the keyboard calls it."""

from __future__ import annotations

import re

from textual.pilot import Pilot

from tests.tui.piloting import help_page_of, play, press
from wearlog.tui.app import Screens


def test_the_help_page_calls_every_key_as_the_keyboard_does(small_farm: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await press(pilot, "question_mark")
        text = help_page_of(screens.screen_stack[-2])
        assert "8  Costs" in text
        assert ",  " in text
        assert not re.search(r"[a-z]_[a-z]", text)

    play(small_farm, steps)
