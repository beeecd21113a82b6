"""What holds on every screen at 46 to 160 columns: few keys, in one order; an answer in line 2, nothing cut, few characters.

All of it holds on every screen that `WAYS` leads to; none is left out.
"""

from __future__ import annotations

import pytest
from textual.pilot import Pilot

from tests.screen_characters import CHARACTERS
from tests.tui.demo_log import demo_file, demo_log
from tests.tui.piloting import play, press, screen_lines, settled
from wearlog.present.tables import CUT
from wearlog.tui.app import Screens
from wearlog.tui.widgets.lines import MOST_KEYS, MOST_ON_A_PHONE, FootLine, shown_key

__all__ = ["demo_file", "demo_log"]

SIZES = ((46, 20), (80, 24), (120, 40), (160, 45))
#: ways to every screen from the yard
WAYS = {
    "yard": (),
    "machine": ("2",),
    "breakages": ("3",),
    "work": ("3", "right"),
    "sheets": ("3", "right", "right"),
    "rows of a sheet": ("3", "right", "right", "enter"),
    "row form": ("3", "right", "right", "a"),
    "a note": ("3", "a"),
    "entries": ("3", "left"),
    "an entry": ("3", "left", "enter"),
    "what can be brought in": ("3", "i"),
    "faults": ("4",),
    "one fault": ("4", "enter"),
    "a check of one's own": ("4", "enter", "enter"),
    "checklists": ("4", "enter", "tab"),
    "closing a fault": ("4", "enter", "f"),
    "trail": ("4", "h"),
    "circuits": ("4", "p"),
    "wear": ("5",),
    "one kind": ("5", "enter"),
    "plan": ("6",),
    "spares": ("6", "right"),
    "orders": ("6", "right", "right"),
    "acres": ("6", "left"),
    "why": ("6", "enter"),
    "stock": ("7",),
    "costs": ("8",),
    "harvest": ("9",),
    "farm": ("comma",),
    "two cabs": ("j",),
    "packing form": ("j", "enter"),
    "areas": ("0",),
    "keys": ("question_mark",),
    "find": ("colon",),
    "breakage form": ("b",),
    "reading form": ("r",),
    "area form": ("c",),
    "part form": ("7", "enter"),
    "fault form": ("4", "a"),
}
BACK = {"left": "right", "right": "left"}
#: screens with a curve, whose line takes other characters
CURVES = frozenset({"one kind", "wear"})
#: the drawing of a circuit is a tree: the stroke to its last branch turns a corner
TREES = {"one fault": frozenset("└")}


def failing(screens: Screens, name: str) -> set[str]:
    """Return which checks the open screen fails at its size."""
    lines = screen_lines(screens)
    text = "\n".join(lines)
    keys = screens.screen.query_one(FootLine)
    shown = [shown_key(one.binding) for one in keys._shown()]
    most = MOST_ON_A_PHONE if screens.size.width < 60 else MOST_KEYS
    wrong = {
        "too many keys": len(shown) > most,
        "the keys do not end with those that name all": name != "keys" and shown[-1:] not in (["?"], ["F1"]),
        "Enter does not stand first": "Enter" in shown[1:],
        "line 2 says nothing": len(lines) < 2 or not lines[1].strip(),
        "something is cut": CUT in text,
        "another character": name not in CURVES
        and bool({one for one in text if not one.isascii()} - CHARACTERS - TREES.get(name, frozenset())),
    }
    return {check for check, is_so in wrong.items() if is_so}


async def found_on_all(screens: Screens, pilot: Pilot[None], names: list[str]) -> dict[str, dict[str, str]]:
    """Return check -> screen -> columns, of what does not hold."""
    found: dict[str, dict[str, list[str]]] = {}
    for name in names:
        await pilot.resize_terminal(80, 24)
        await press(pilot, *WAYS[name])
        for wide, high in SIZES:
            await pilot.resize_terminal(wide, high)
            await settled(pilot)
            for check in failing(screens, name):
                found.setdefault(check, {}).setdefault(name, []).append(str(wide))
        # back to the yard, whatever was open
        while len(screens.screen_stack) > 1:
            screens.pop_screen()
        # an area keeps its section: the next way begins where this one did
        await press(pilot, *(BACK[key] for key in reversed(WAYS[name]) if key in BACK), "1")
    return {check: {name: " ".join(at) for name, at in on.items()} for check, on in found.items()}


@pytest.mark.parametrize("part", range(3))
def test_the_grammar_holds_on_every_screen(demo_log: str, part: int) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        assert await found_on_all(screens, pilot, list(WAYS)[part::3]) == {}

    play(demo_log, steps)
