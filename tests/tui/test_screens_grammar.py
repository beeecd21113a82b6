"""What holds on every screen at 46 to 160 columns: few keys, in one order; an answer in line 2, nothing cut, few characters.

All of it holds on every screen that `WAYS` leads to, and on those of `ELSEWHERE`; none is left out.
"""

from __future__ import annotations

import re

import pytest
from textual.pilot import Pilot

from tests.screen_characters import CHARACTERS
from tests.tui.demo_log import demo_file, demo_log
from tests.tui.every_screen import BACK, LED_TO, WAYS, screen_classes
from tests.tui.piloting import play, press, screen_lines, settled
from wearlog.present.tables import CUT
from wearlog.tui.app import Screens
from wearlog.tui.screens.sections import SectionsScreen
from wearlog.tui.widgets.lines import MOST_KEYS, MOST_ON_A_PHONE, FootLine, foot_order, shown_key

__all__ = ["demo_file", "demo_log"]

SIZES = ((46, 20), (80, 24), (120, 40), (160, 45))
#: screens with a curve, whose line takes other characters
CURVES = frozenset({"one kind", "wear", "costs", "harvest"})
#: opened by what happens, not by keys from the yard of the demo fleet: `test_screens_grammar_elsewhere` asks the same of them
ELSEWHERE = frozenset(
    {
        *("FarmPage", "CombinePage", "HeaderPage", "CheckPage"),
        *("NotebookScreen", "SheetLinesScreen", "BroughtPage", "DecidePage", "TryLoadsScreen"),
        *("MeasuredPage", "ReadFirstPage", "ReplacedPage"),
    }
)
#: the drawing of a circuit is a tree: the stroke to its last branch turns a corner
TREES = {"one fault": frozenset("└")}

#: what is typed into a shell: a screen names its key, the help page may name both
COMMAND = re.compile(r"'wearlog |\s--[a-z]")
HELPS = frozenset({"keys"})


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
        "the way back is not named": "Esc" not in shown and has_way_back(screens),
        "it names a command": name not in HELPS and bool(COMMAND.search(text)),
        "line 2 says nothing": len(lines) < 2 or not lines[1].strip(),
        "something is cut": CUT in text,
        "another character": name not in CURVES
        and bool({one for one in text if not one.isascii()} - CHARACTERS - TREES.get(name, frozenset())),
    }
    return {check for check, is_so in wrong.items() if is_so}


def has_way_back(screens: Screens) -> bool:
    """Tell whether Esc is a key that the open screen shows where it finds room."""
    return any(one.binding.key == "escape" for one in foot_order(screens.screen.active_bindings.values()))


async def found_on_all(screens: Screens, pilot: Pilot[None], names: list[str]) -> dict[str, dict[str, str]]:
    """Return check -> screen -> columns, of what does not hold."""
    found: dict[str, dict[str, list[str]]] = {}
    for name in names:
        await pilot.resize_terminal(80, 24)
        opened, way = LED_TO[name]
        for key in way:
            await press(pilot, key)
        screen = screens.screen
        if type(screen).__name__ != opened:
            found.setdefault(f"opens {type(screen).__name__}", {})[name] = ["80"]
        # a screen of sections is as many screens
        sections = [one.name for one in screen.sections] if isinstance(screen, SectionsScreen) else [""]
        for section in sections:
            for wide, high in SIZES:
                await pilot.resize_terminal(wide, high)
                await settled(pilot)
                for check in failing(screens, name):
                    found.setdefault(check, {}).setdefault(f"{name} {section}".strip(), []).append(str(wide))
            if len(sections) > 1:
                await press(pilot, "right")
        # back to the yard, whatever was open
        while len(screens.screen_stack) > 1:
            screens.pop_screen()
        # an area keeps its section: the next way begins where this one did
        await press(pilot, *(BACK[key] for key in reversed(WAYS[name]) if key in BACK), "1")
    return {check: {name: " ".join(at) for name, at in on.items()} for check, on in found.items()}


def test_every_screen_is_in_the_list() -> None:
    opened = {name for name, _ in LED_TO.values()}
    names = {one.__name__ for one in screen_classes()}
    assert names - opened == ELSEWHERE


@pytest.mark.parametrize("part", range(6))
def test_the_grammar_holds_on_every_screen(demo_log: str, part: int) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        assert await found_on_all(screens, pilot, list(WAYS)[part::6]) == {}

    play(demo_log, steps)
