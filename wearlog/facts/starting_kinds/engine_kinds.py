"""Engine, cooling, aftertreatment and fuel, and the driveline behind the engine. Figures: see starting_guesses.py."""

from __future__ import annotations

from typing import Final

from wearlog.facts.closed_lists import Dimension, Evidence, Subsystem
from wearlog.facts.parts import PartKind
from wearlog.facts.starting_kinds.kind_table import (
    CALENDAR,
    DRIVE,
    ENGINE,
    HOT,
    ROLLER_60,
    SEPARATOR,
    Guess,
    Wear,
    kind,
)

_S = Subsystem

#: groove of a single V-belt, belt makers' gauge sheets
_SHEAVE_GROOVE: Final = Wear(Dimension.DEPTH, "0", "0.03125")

#: renewed every 500 h or year, from memory; plugs before that in dirty fuel
_FUEL_FILTER: Final = Guess(250, 1000, "1.5", "4", evidence=Evidence.FROM_MEMORY)
_COOLER: Final = Guess(2500, 15000, "1", "2.5")
_BELT: Final = Guess(300, 2000, "1.2", "3")
_BEARING: Final = Guess(1000, 8000, "1", "2.5")

ENGINE_KINDS: Final[tuple[PartKind, ...]] = (
    kind("engine belt", "alternator belt, serpentine belt", _S.ENGINE, ENGINE, 60, HOT, Guess(600, 4000, "1.2", "3")),
    kind("radiator screen", "rotary screen, screen", _S.ENGINE, ENGINE, 60, DRIVE, Guess(1500, 12000, "1", "2.5")),
    kind("radiator", "engine radiator", _S.ENGINE, ENGINE, 360, HOT, _COOLER),
    kind("cooler", "oil cooler, charge air cooler, intercooler", _S.ENGINE, ENGINE, 300, HOT, _COOLER),
    kind("cooling fan", "engine fan, radiator fan", _S.ENGINE, ENGINE, 180, DRIVE, Guess(2000, 15000, "1", "2.5")),
    kind("coolant pump", "engine coolant pump", _S.ENGINE, ENGINE, 240, HOT, Guess(2000, 10000, "1.2", "3")),
    kind("coolant hose", "radiator hose, heater hose", _S.ENGINE, CALENDAR, 60, HOT, Guess(5, 15, "1.2", "3")),
    kind("turbo", "turbocharger", _S.ENGINE, ENGINE, 360, HOT, Guess(3000, 15000, "1", "2.5")),
    kind("engine mount", "motor mount", _S.ENGINE, ENGINE, 180, HOT, Guess(4000, 20000, "1.2", "3")),
    kind("air filter", "engine air filter", _S.ENGINE, ENGINE, 15, None, Guess(300, 2000, "1.2", "4")),
    kind(
        "particulate filter",
        "dpf, diesel particulate filter",
        _S.ENGINE,
        ENGINE,
        240,
        HOT,
        Guess(2500, 12000, "1.2", "3"),
    ),
    kind("catalyst", "scr catalyst, exhaust catalyst", _S.ENGINE, ENGINE, 240, HOT, Guess(3000, 20000, "1", "2.5")),
    kind(
        "exhaust fluid pump",
        "def pump, exhaust fluid injector, def injector",
        _S.ENGINE,
        ENGINE,
        120,
        HOT,
        Guess(1200, 8000, "0.8", "2"),
    ),
    kind(
        "exhaust sensor",
        "nox sensor, exhaust temperature sensor",
        _S.ENGINE,
        ENGINE,
        60,
        HOT,
        Guess(1000, 8000, "0.8", "1.5"),
    ),
    kind("fuel filter", "fuel filter element", _S.FUEL, ENGINE, 30, HOT, _FUEL_FILTER),
    kind("lift pump", "fuel pump, fuel lift pump", _S.FUEL, ENGINE, 90, HOT, Guess(1500, 10000, "1", "2.5")),
    kind(
        "injection pump", "high pressure pump, injector pump", _S.FUEL, ENGINE, 360, HOT, Guess(3000, 15000, "1", "2.5")
    ),
    kind("injector", "fuel injector, injector nozzle", _S.FUEL, ENGINE, 120, HOT, Guess(3000, 12000, "1.2", "3")),
    kind("fuel line", "fuel hose", _S.FUEL, ENGINE, 60, HOT, Guess(1500, 12000, "1", "2.5")),
    kind("main drive belt", "main belt, drive belt, belt", _S.DRIVELINE, SEPARATOR, 120, DRIVE, _BELT),
    kind("separator drive belt", "separator belt, thresher belt", _S.DRIVELINE, SEPARATOR, 120, DRIVE, _BELT),
    kind(
        "sheave",
        "pulley, belt sheave",
        _S.DRIVELINE,
        SEPARATOR,
        90,
        DRIVE,
        Guess(1000, 10000, "2", "5"),
        _SHEAVE_GROOVE,
    ),
    kind(
        "idler",
        "idler pulley, tensioner, belt tightener, chain tightener",
        _S.DRIVELINE,
        SEPARATOR,
        45,
        DRIVE,
        Guess(500, 4000, "1", "2.5"),
    ),
    kind("drive chain", "roller chain", _S.DRIVELINE, SEPARATOR, 60, DRIVE, Guess(400, 3000, "1.5", "4"), ROLLER_60),
    kind("chain sprocket", "roller chain sprocket", _S.DRIVELINE, SEPARATOR, 90, DRIVE, Guess(800, 6000, "2", "5")),
    kind(
        "drive clutch",
        "separator clutch, thresher clutch, belt clutch",
        _S.DRIVELINE,
        SEPARATOR,
        180,
        DRIVE,
        Guess(800, 6000, "1", "2.5"),
    ),
    kind("bearing", "bearing unit, flange bearing", _S.DRIVELINE, SEPARATOR, 90, HOT, _BEARING),
    kind("jackshaft bearing", "countershaft bearing", _S.DRIVELINE, SEPARATOR, 120, HOT, _BEARING),
    kind(
        "main gearbox",
        "engine gearbox, transfer gearbox",
        _S.DRIVELINE,
        SEPARATOR,
        900,
        DRIVE,
        Guess(2500, 15000, "1.2", "3"),
    ),
    kind("gearbox seal", "gearbox, shaft seal", _S.DRIVELINE, SEPARATOR, 240, DRIVE, Guess(800, 8000, "1", "2.5")),
)
