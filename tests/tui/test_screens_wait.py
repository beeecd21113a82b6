"""While the log is slow every screen says that it waits, keeps what is pressed, and then does the same as on a quick log."""

from __future__ import annotations

import threading
from typing import Any

import pytest
from textual import events
from textual.pilot import Pilot

from tests.tui.demo_log import demo_file, demo_log
from tests.tui.piloting import flat, play, press, settled
from tests.tui.test_keys_kept import CHARACTERS, Slow
from wearlog.tui.app import Screens
from wearlog.tui.keys_in_turn import KEYS_WAIT
from wearlog.tui.remembered import Remembered, remember
from wearlog.tui.screens.plan import plan_files
from wearlog.tui.screens.plan.plan_files import PlanFileScreen

__all__ = ["demo_file", "demo_log"]

#: what takes a while: the keys that lead there, the one that opens it, what is pressed before it is there
WAITS = {
    "plan": ("", "6", "right"),
    "why": ("", "6", "enter"),
    "acres of the season": ("", "6", "left"),
    "limits": ("", "6", "l"),
    "outlook": ("", "5", "t"),
    "one kind": ("", "5", "enter"),
    "faults": ("", "4", "a"),
    "one fault": ("4", "enter", "n"),
    "costs": ("", "8", "right"),
    "services": ("", "f", "right"),
    "rainy day": ("", "k", "down"),
    "machine": ("", "2", "n"),
    "breakages": ("", "3", "down"),
    "harvest": ("", "9", "right"),
    "a loss check": ("9 left", "a", "1"),
    "two cabs": ("", "j", "down"),
    "stock": ("", "7", "plus"),
}


@pytest.mark.parametrize("name", WAITS)
def test_what_takes_a_moment_says_so_and_the_key_is_kept(
    demo_log: str, name: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    before, way, then = WAITS[name]
    quick: list[str] = []

    async def quickly(screens: Screens, pilot: Pilot[None]) -> None:
        await press(pilot, *before.split(), way)
        there = flat(screens)
        await press(pilot, then)
        quick.append(flat(screens))
        assert quick[0] != there, "the key does nothing here"

    play(demo_log, quickly)
    remember(Remembered())
    slow = Slow(monkeypatch)

    async def slowly(screens: Screens, pilot: Pilot[None]) -> None:
        await press(pilot, *before.split())
        slow.go.clear()
        for key in (way, then):
            screens.post_message(events.Key(key, CHARACTERS.get(key, key if len(key) == 1 else None)))
        for _ in range(200):
            if KEYS_WAIT in flat(screens):
                break
            await pilot.pause(0.05)
        assert KEYS_WAIT in flat(screens)
        slow.go.set()
        await settled(pilot)
        for _ in range(100):
            if flat(screens) == quick[0]:
                break
            await pilot.pause(0.05)
        assert flat(screens) == quick[0]

    play(demo_log, slowly)


def test_a_report_that_takes_a_moment_says_so_and_is_not_left_half_written(
    demo_log: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    go = threading.Event()
    really = plan_files.write_order

    def slowly(*asked: Any, **more: Any) -> str:
        assert go.wait(20)
        return really(*asked, **more)

    monkeypatch.setattr(plan_files, "write_order", slowly)

    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await press(pilot, "6", "s")
        await pilot.press("enter")
        for _ in range(200):
            if "Saving ..." in flat(screens):
                break
            await pilot.pause(0.05)
        assert "Saving ..." in flat(screens)
        await pilot.press("escape")
        await pilot.pause()
        assert isinstance(screens.screen, PlanFileScreen)
        assert "One moment: it is being saved." in flat(screens)
        go.set()
        await settled(pilot)
        assert not isinstance(screens.screen, PlanFileScreen)
        assert ".html" in flat(screens)

    play(demo_log, steps)
