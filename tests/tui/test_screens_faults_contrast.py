"""Faults and the season plan keep a contrast of 7 in every set of colours, cursors, alarms and the text editor included."""

from __future__ import annotations

from textual.pilot import Pilot

from tests.tui.demo_log import demo_file, demo_log
from tests.tui.piloting import play
from tests.tui.test_screens_forms_contrast import every_theme_is_read
from tests.tui.writing import Text, enter
from wearlog.tui.app import Screens

__all__ = ["demo_file", "demo_log"]

WAYS: dict[str, tuple[str | Text, ...]] = {
    "faults": ("4",),
    "a case": ("enter",),
    "typing a value": ("v",),
    "refused": (Text("no idea"), "enter"),
    "checklists": ("tab",),
    "cautions": ("exclamation_mark",),
    "a check of one's own": ("enter", "tab", "home", "enter", "down"),
    "closing": ("escape", "f", "down"),
    "trail": ("escape", "h"),
    "circuits": ("escape", "p"),
    "what is wrong": (Text("x\n"), "ctrl+s"),
    "drawing": ("f2",),
    "open a fault": ("f2", "escape", "escape", "escape", "a", "down", "down", "d", "down"),
    "leaving": ("escape",),
    "the plan": ("escape", "6"),
    "chosen": ("down", "space"),
    "spares": ("right",),
    "orders": ("right",),
    "why": ("left", "left", "enter"),
    "limits": ("escape", "l", Text("x"), "down"),
}


def test_faults_and_the_plan_are_read_in_sunlight(demo_log: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        for name, way in WAYS.items():
            await enter(pilot, *way)
            await every_theme_is_read(screens, pilot, name)

    play(demo_log, steps)
