"""Nothing that can be done or entered at 80 columns is missing at 46: the same keys, sections and rows, fields and answers."""

from __future__ import annotations

from typing import Any

import pytest
from textual.geometry import Region
from textual.pilot import Pilot

from tests.tui.demo_log import demo_file, demo_log
from tests.tui.every_screen import WAYS, every_section
from tests.tui.piloting import play, settled
from wearlog.tui.app import Screens
from wearlog.tui.screens.form import FormScreen
from wearlog.tui.widgets.answer_line import SectionTabs
from wearlog.tui.widgets.choice_field import ChoiceField
from wearlog.tui.widgets.cutterbar_strip import CutterbarStrip
from wearlog.tui.widgets.lines import own_bindings
from wearlog.tui.widgets.tick_field import TickField
from wearlog.tui.widgets.windowed_list import WindowedList

__all__ = ["demo_file", "demo_log"]

PHONE, USUAL = (46, 20), (80, 24)
PARTS = 4


def what_can_be_done(screens: Screens) -> dict[str, Any]:
    """The keys that work, the sections, what a list holds, and the questions with all their answers."""
    screen = screens.screen
    return {
        "keys": {(one.binding.key, one.binding.action) for one in own_bindings(screen.active_bindings.values())},
        "sections": [tuple(one.names) for one in screen.query(SectionTabs)],
        "rows": [one.count for one in screen.query(WindowedList) if one.display],
        "positions": [one.count for one in screen.query(CutterbarStrip) if one.display],
        "questions": [one.asks for one in screen.lines] if isinstance(screen, FormScreen) else [],
        "answers": [
            *(tuple(one.answers) for one in screen.query(ChoiceField)),
            *(tuple(one.names) for one in screen.query(TickField)),
        ],
    }


async def out_of_view(pilot: Pilot[None], form: FormScreen) -> list[str]:
    """Go through a form by Tab; return the questions that Tab does not reach, and those that it leaves off the screen."""
    asked = {line.asks: line for line in form.lines}
    seen = set()
    for _ in range(len(asked) + 1):
        await settled(pilot)
        line = next((one for one in form.lines if form.focused is one.entry), None)
        if line is not None and form.focused is not None:
            row = Region(*form.focused.region.offset, form.focused.region.width, 1)
            if form.query_one("#form").region.contains_region(row):
                seen.add(line.asks)
        await pilot.press("tab")
    return sorted(set(asked) - seen)


@pytest.mark.parametrize("part", range(PARTS))
def test_a_phone_can_do_what_a_usual_terminal_can(demo_log: str, part: int) -> None:
    found: dict[str, Any] = {}

    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        async for name in every_section(screens, pilot, list(WAYS)[part::PARTS]):
            usual = what_can_be_done(screens)
            await pilot.resize_terminal(*PHONE)
            await settled(pilot)
            phone = what_can_be_done(screens)
            for what, there in usual.items():
                if phone[what] != there:
                    found[f"{name}, {what}"] = (there, phone[what])
            if isinstance(screens.screen, FormScreen) and (lost := await out_of_view(pilot, screens.screen)):
                found[f"{name} is not reached"] = lost
            await pilot.resize_terminal(*USUAL)
            await settled(pilot)

    play(demo_log, steps)
    assert found == {}


def test_the_test_sees_a_key_that_is_missing(demo_log: str, monkeypatch: pytest.MonkeyPatch) -> None:
    def only_with_room(screens: Screens, action: str, parameters: tuple[object, ...]) -> bool:
        return action != "two_cabs" or screens.size.width > 60

    monkeypatch.setattr(Screens, "check_action", only_with_room)

    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        usual = what_can_be_done(screens)
        await pilot.resize_terminal(*PHONE)
        await settled(pilot)
        assert usual["keys"] - what_can_be_done(screens)["keys"] == {("j", "two_cabs")}

    play(demo_log, steps)
