"""The areas of the program: their order, their keys, and which module holds the screen. Add a line here to add an area."""

from __future__ import annotations

from collections.abc import Callable
from importlib import import_module
from types import MappingProxyType
from typing import Any, Final

from textual.screen import Screen

from wearlog.tui.host import AreaTab

AREAS: Final[tuple[AreaTab, ...]] = (
    AreaTab("yard", "y", "Yard"),
    AreaTab("machine", "m", "Machine"),
    AreaTab("breakages", "k", "Breakages"),
    AreaTab("work", "w", "Work"),
    AreaTab("stock", "s", "Stock"),
    AreaTab("faults", "e", "Faults"),
    AreaTab("plan", "p", "Plan"),
    AreaTab("wear", "i", "Wear"),
    AreaTab("costs", "$", "Costs"),
    AreaTab("harvest", "v", "Harvest"),
    AreaTab("history", "h", "History"),
)

#: mode -> (module under screens, class)
_SCREENS: Final = MappingProxyType(
    {
        "yard": ("farm.yard", "YardScreen"),
        "machine": ("farm.machine", "MachineScreen"),
        "breakages": ("parts.breakages", "BreakagesScreen"),
        "work": ("work.work", "WorkScreen"),
        "stock": ("parts.stock", "StockScreen"),
        "faults": ("faults.faults", "FaultsScreen"),
        "plan": ("plan.season_plan", "SeasonPlanScreen"),
        "wear": ("wear", "WearScreen"),
        "costs": ("costs", "CostsScreen"),
        "harvest": ("harvest.harvest", "HarvestScreen"),
        "history": ("history", "HistoryScreen"),
    }
)


def area_screen(mode: str) -> Callable[[], Screen[Any]]:
    """Return what makes the screen of an area; its module is loaded when it is first opened."""

    def make() -> Screen[Any]:
        module, name = _SCREENS[mode]
        screen: Screen[Any] = getattr(import_module(f"wearlog.tui.screens.{module}"), name)()
        return screen

    return make
