"""What holds on every screen at 46 to 160 columns: few keys, in one order, each with its one meaning; an answer in line 2, nothing
cut, few characters, a contrast of 7 or more as it is painted, in every theme.

All of it holds on every screen that `WAYS` leads to, and on those of `ELSEWHERE`; none is left out.
"""

from __future__ import annotations

import re
from collections import deque

import pytest
from textual.app import App
from textual.pilot import Pilot
from textual.screen import Screen

from tests.screen_characters import CHARACTERS
from tests.tui.demo_log import demo_file, demo_log
from tests.tui.every_screen import LED_TO, WAYS, every_section, screen_classes
from tests.tui.piloting import play, screen_lines, settled
from tests.tui.test_keys import FORMS
from tests.tui.test_screens_contrast import ENOUGH, measured
from wearlog.present.tables import CUT
from wearlog.tui.app import Screens
from wearlog.tui.keys import KEYS
from wearlog.tui.themes import INKS
from wearlog.tui.widgets.lines import MOST_KEYS, MOST_ON_A_PHONE, FootLine, foot_order, own_bindings, shown_key

__all__ = ["demo_file", "demo_log"]

USUAL = 80
SIZES = ((46, 20), (80, 24), (120, 40), (160, 45))
#: the frame round a curve turns corners, and so does the stroke to the last branch of a circuit that is drawn as a tree
DRAWN = {**dict.fromkeys(("one kind", "wear", "costs", "harvest"), frozenset("┌┐└┘┬┴")), "one fault": frozenset("└")}
#: opened by what happens, not by keys from the yard of the demo fleet: `test_screens_grammar_elsewhere` asks the same of them
ELSEWHERE = frozenset(
    {
        *("FarmPage", "CombinePage", "HeaderPage", "CheckPage"),
        *("NotebookScreen", "SheetLinesScreen", "BroughtPage", "DecidePage", "TryLoadsScreen"),
        *("MeasuredPage", "ReadFirstPage", "ReplacedPage"),
    }
)


def other_meanings(screens: Screens) -> list[str]:
    """Return the keys that work on the open screen now and do not do what they do everywhere; in forms they are answers."""
    if {kind.__name__ for kind in type(screens.screen).__mro__} & FORMS or type(screens.focused).__name__ in FORMS:
        return []
    return [
        f"{active.binding.key} {active.binding.action}"
        for active in own_bindings(screens.screen.active_bindings.values())
        if isinstance(active.node, App | Screen) or type(active.node).__module__.startswith("wearlog.")
        if (meaning := KEYS.get(active.binding.key)) is not None
        and active.binding.action.partition("(")[0] not in meaning.actions
    ]


#: what is typed into a shell: a screen names its key, the help page may name both; copies are brought back by a command alone
COMMAND = re.compile(r"'wearlog |\s--[a-z]")
HELPS = frozenset({"keys", "ReplacedPage"})


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
        "another character": bool(
            {one for one in text if not one.isascii()} - CHARACTERS - DRAWN.get(name, frozenset())
        ),
        "a key with another meaning": bool(other_meanings(screens)),
    }
    return {check for check, is_so in wrong.items() if is_so}


def has_way_back(screens: Screens) -> bool:
    """Tell whether Esc is a key that the open screen shows where it finds room."""
    return any(one.binding.key == "escape" for one in foot_order(screens.screen.active_bindings.values()))


async def found_on_all(screens: Screens, pilot: Pilot[None], names: list[str]) -> dict[str, dict[str, str]]:
    """Return check -> screen -> columns, of what does not hold."""
    found: dict[str, dict[str, list[str]]] = {}
    themes = deque(INKS)
    async for name in every_section(screens, pilot, names):
        way = next(one for one in sorted(LED_TO, key=len, reverse=True) if f"{name} ".startswith(f"{one} "))
        opened = LED_TO[way][0]
        if type(screens.screen).__name__ != opened:
            found.setdefault(f"opens {type(screens.screen).__name__}", {})[name] = ["80"]
        for wide, high in SIZES:
            await pilot.resize_terminal(wide, high)
            await settled(pilot)
            for check in failing(screens, way):
                found.setdefault(check, {}).setdefault(name, []).append(str(wide))
            # in every theme at 80 columns; wider and narrower, where other things stand in the same inks, in the one that is on
            if wide == USUAL:
                themes.rotate()
            for theme in themes if wide == USUAL else [screens.theme]:
                if theme != screens.theme:
                    screens.theme = theme
                    await pilot.pause()
                    await pilot.pause()
                pieces = measured(screens)
                if len(pieces) < 3 or any(ratio < ENOUGH for ratio, _ in pieces):
                    found.setdefault("hard to read", {}).setdefault(name, []).append(f"{wide} {theme}")
        await pilot.resize_terminal(USUAL, 24)
        await settled(pilot)
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
