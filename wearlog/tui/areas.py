"""The areas of the program: their order, their keys, and which module holds the screen. Add a line here to add an area."""

from __future__ import annotations

from collections.abc import Callable
from importlib import import_module
from types import MappingProxyType
from typing import Any, Final

from textual.screen import Screen

from wearlog.tui.host import AreaTab

#: nine, by digit; everything that can be entered or answered has its home in one of them
AREAS: Final[tuple[AreaTab, ...]] = (
    AreaTab("yard", "1", "Yard", "what to do first"),
    AreaTab("machine", "2", "Machine", "what on it will stop you next"),
    AreaTab("daybook", "3", "Daybook", "what happened last: breakages, work, entries"),
    AreaTab("faults", "4", "Faults", "what electrical is open, and where to look next"),
    AreaTab("wear", "5", "Wear", "what will break, and how long it lasts here"),
    AreaTab("plan", "6", "Plan", "what to buy and fit, and whether it is worth it"),
    AreaTab("stock", "7", "Stock", "what to order"),
    AreaTab("costs", "8", "Costs", "what an acre costs, and what drives it"),
    AreaTab("harvest", "9", "Harvest", "when you are done"),
)
#: an area whose sections are screens of their own -> (mode, name) of each, in their order
SECTIONS: Final = MappingProxyType(
    {"daybook": (("breakages", "Breakages"), ("work", "Work"), ("sheets", "Sheets"), ("history", "Entries"))}
)

#: mode -> (module under screens, class)
_SCREENS: Final = MappingProxyType(
    {
        "yard": ("farm.yard", "YardScreen"),
        "machine": ("farm.machine", "MachineScreen"),
        "breakages": ("parts.breakages", "BreakagesScreen"),
        "work": ("work.work", "WorkScreen"),
        "sheets": ("sheets", "SheetsScreen"),
        "history": ("daybook", "HistoryScreen"),
        "faults": ("faults.faults", "FaultsScreen"),
        "wear": ("wear", "WearScreen"),
        "plan": ("plan.season_plan", "SeasonPlanScreen"),
        "stock": ("parts.stock", "StockScreen"),
        "costs": ("costs", "CostsScreen"),
        "harvest": ("harvest.harvest", "HarvestScreen"),
    }
)
MODES: Final = tuple(_SCREENS)


def area_screen(mode: str) -> Callable[[], Screen[Any]]:
    """Return what makes the screen of an area; its module is loaded when it is first opened."""

    def make() -> Screen[Any]:
        module, name = _SCREENS[mode]
        screen: Screen[Any] = getattr(import_module(f"wearlog.tui.screens.{module}"), name)()
        return screen

    return make
