"""The ways to every screen of the program on the demo fleet, from the yard. A screen that is in none of them fails a test."""

from __future__ import annotations

from collections.abc import AsyncIterator, Iterable, Iterator
from importlib import import_module
from inspect import isclass
from pathlib import Path
from typing import Any

from textual.pilot import Pilot
from textual.screen import Screen

import wearlog.tui
from tests.tui.every_form import NOTE_FILE
from tests.tui.every_form import WAYS as FORM_WAYS
from tests.tui.piloting import press, yard_again
from wearlog.tui.app import Screens
from wearlog.tui.screens.sections import SectionsScreen

#: name -> class of the screen that the way leads to, keys from the yard
LED_TO: dict[str, tuple[str, tuple[str, ...]]] = {
    "yard": ("YardScreen", ()),
    "rain day": ("RainDayScreen", ("k",)),
    "services": ("ServicesScreen", ("f",)),
    "machine": ("MachineScreen", ("2",)),
    "stop or run": ("StopScreen", ("2", "k")),
    "age": ("AgeScreen", ("2", "e")),
    "breakages": ("BreakagesScreen", ("3",)),
    "claims": ("ClaimsScreen", ("3", "k")),
    "work": ("WorkScreen", ("3", "right")),
    "sheets": ("SheetsScreen", ("3", "right", "right")),
    "rows of a sheet": ("SheetScreen", ("3", "right", "right", "enter")),
    "a note": ("BringInScreen", ("3", "a")),
    "lines of a note": ("NoteScreen", ("3", "a", *NOTE_FILE, "enter")),
    "entries": ("HistoryScreen", ("3", "left")),
    "an entry": ("DeedScreen", ("3", "left", "enter")),
    "undo of much": ("AskUndoPage", ("3", "left", "end", "u")),
    "faults": ("FaultsScreen", ("4",)),
    "one fault": ("FaultCaseScreen", ("4", "enter")),
    "checklists": ("FaultCaseScreen", ("4", "enter", "tab")),
    "trail": ("FaultTrailScreen", ("4", "h")),
    "circuits": ("CircuitTextScreen", ("4", "p")),
    "wear": ("WearScreen", ("5",)),
    "one kind": ("KindScreen", ("5", "enter")),
    "neighbours": ("NeighboursScreen", ("5", "y")),
    "plan": ("SeasonPlanScreen", ("6",)),
    "spares": ("SeasonPlanScreen", ("6", "right")),
    "orders": ("SeasonPlanScreen", ("6", "right", "right")),
    "money": ("SeasonPlanScreen", ("6", "right", "right", "right")),
    "acres": ("SeasonPlanScreen", ("6", "left")),
    "why": ("PlanWhyScreen", ("6", "enter")),
    "files of the plan": ("PlanFileScreen", ("6", "s")),
    "all answers": ("PickScreen", ("6", "left", "enter", "f2")),
    "stock": ("StockScreen", ("7",)),
    "costs": ("CostsScreen", ("8",)),
    "keep or trade": ("TradeScreen", ("8", "k")),
    "harvest": ("HarvestScreen", ("9",)),
    "grain lost": ("GrainLostScreen", ("9", "k")),
    "two cabs": ("CabsScreen", ("j",)),
    "areas": ("AreaList", ("0",)),
    "keys": ("HelpPage", ("question_mark",)),
    "find": ("FindScreen", ("colon",)),
    "breakage form": ("BreakageScreen", ("b",)),
    **{f"form {name}": (name, way) for name, way in FORM_WAYS.items()},
}
WAYS: dict[str, tuple[str, ...]] = {name: way for name, (_, way) in LED_TO.items()}


def screen_classes() -> Iterator[type[Screen[Any]]]:
    """Every screen of the program that is opened itself: not those that only their heirs open."""
    root = Path(wearlog.tui.__file__).parent
    found = []
    for file in sorted(root.rglob("*.py")):
        name = ".".join(("wearlog.tui", *file.relative_to(root).with_suffix("").parts)).removesuffix(".__init__")
        for one in vars(import_module(name)).values():
            if isclass(one) and issubclass(one, Screen) and one.__module__ == name:
                found.append(one)
    yield from (one for one in found if not any(other is not one and issubclass(other, one) for other in found))


async def every_section(screens: Screens, pilot: Pilot[None], names: Iterable[str] = tuple(WAYS)) -> AsyncIterator[str]:
    """Open one screen after the other and give its name; a screen of sections is as many, named with them."""
    for name in names:
        for key in WAYS[name]:
            await press(pilot, key)
        screen = screens.screen
        sections = [f" {one.name}" for one in screen.sections] if isinstance(screen, SectionsScreen) else [""]
        for section in sections:
            yield f"{name}{section}"
            if len(sections) > 1:
                await press(pilot, "right")
        # back to the yard, whatever was open; an area keeps its section: the next way begins where this one did
        await yard_again(screens, pilot, WAYS[name])
