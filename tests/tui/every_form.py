"""The ways to every form of the program on the demo fleet, from the yard. A form that is missing here fails a test."""

from __future__ import annotations

from collections.abc import Iterator
from importlib import import_module
from inspect import isclass
from pathlib import Path

import wearlog.tui
from wearlog.tui.screens.form import FormScreen

#: what a note says that is understood but for its day
NOTE = "Kestrel chopper blades 3 rock\n"
NOTE_FILE = "said.txt"
#: class of the form -> keys from the yard
WAYS: dict[str, tuple[str, ...]] = {
    "ReadingScreen": ("r",),
    "RunScreen": ("c",),
    "StoppageScreen": ("d",),
    "MissingScreen": ("5", "enter", "a"),
    "NeighboursFileScreen": ("5", "y", "i"),
    "LivesFileScreen": ("5", "y", "right", "s"),
    "ServiceDoneScreen": ("f", "right", "F"),
    "MeasureScreen": ("3", "right", "g"),
    "FitScreen": ("2", "f"),
    "RowScreen": ("3", "right", "right", "a"),
    "NoteLineScreen": ("3", "a", *NOTE_FILE, "enter", "enter"),
    "OpenFaultScreen": ("4", "a"),
    "NoteCheckScreen": ("4", "enter", "n", "enter"),
    "CloseFaultScreen": ("4", "enter", "f"),
    "TellFaultScreen": ("4", "enter", "a"),
    "UndoneScreen": ("4", "enter", "x"),
    "PlanLimitsScreen": ("6", "l"),
    "AreaToCutScreen": ("6", "left", "a"),
    "PartScreen": ("7", "enter"),
    "MoveScreen": ("7", "plus"),
    "ClaimPaidScreen": ("3", "k", "f", "home", "F"),
    "EveningScreen": ("2", "k", "l"),
    "RainAskedScreen": ("k", "l"),
    "CustomOfferScreen": ("8", "k", "right", "l"),
    "TradeOfferScreen": ("8", "k", "l"),
    "LoadScreen": ("9", "right", "right", "a"),
    "SampleScreen": ("9", "right", "right", "right", "a"),
    "LossScreen": ("9", "left", "a"),
    "SettingsScreen": ("comma",),
    "PackForm": ("j", "enter"),
    "TakeForm": ("j", "down", "enter"),
}
#: classes that only their heirs open, and forms that need more than keys from the yard: tests of their own walk those
ELSEWHERE = frozenset(
    {
        *("FormScreen", "WorkForm", "_CaseForm", "FirstDayPage"),
        *("FarmPage", "CombinePage", "HeaderPage", "CheckPage"),
        *("SheetLinesScreen", "TryLoadsScreen", "AgeScreen", "PlanFileScreen"),
        # what only its heirs open
        "AskedForm",
    }
)


def form_classes() -> Iterator[type[FormScreen]]:
    """Every form of the program."""
    root = Path(wearlog.tui.__file__).parent
    for file in sorted(root.rglob("*.py")):
        name = ".".join(("wearlog.tui", *file.relative_to(root).with_suffix("").parts)).removesuffix(".__init__")
        for found in vars(import_module(name)).values():
            if isclass(found) and issubclass(found, FormScreen) and found.__module__ == name:
                yield found
