"""Kinds of part that carry and drive a machine: engine, driveline, wheels, hydraulics, electrics, cab. Figures: see kind_table.py.

The wiring harness stands for harness, connectors, fuses and sensors of a machine together: its guess is one rate for all of them.
The guess of a connector, fuse, relay or sensor is for one piece that a farm enters by itself.
"""

from __future__ import annotations

from typing import Final

from wearlog.facts.closed_lists import Dimension, Evidence, Subsystem
from wearlog.facts.parts import PartKind
from wearlog.facts.starting_kinds.kind_table import (
    BATTERY,
    CALENDAR,
    DRIVE,
    ENGINE,
    HOT,
    OIL,
    ROLLER_60,
    SEPARATOR,
    TANK,
    TIRE,
    UNDER,
    WIRE,
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


#: a header's is renewed every 250 h (an operator's manual), a combine's every 500 h (from memory)
_FILTER: Final = Guess(250, 1500, "1.5", "4", evidence=Evidence.FROM_MEMORY)

CHASSIS_KINDS: Final[tuple[PartKind, ...]] = (
    kind(
        "hydrostatic pump",
        "hydrostat, hydrostatic drive, hydro pump",
        _S.GROUND_DRIVE,
        ENGINE,
        600,
        OIL,
        Guess(3000, 15000, "1.2", "3"),
    ),
    kind(
        "hydrostatic motor",
        "hydro motor, wheel motor",
        _S.GROUND_DRIVE,
        ENGINE,
        360,
        OIL,
        Guess(3000, 15000, "1.2", "3"),
    ),
    kind("transmission", "gear transmission", _S.GROUND_DRIVE, ENGINE, 900, OIL, Guess(4000, 20000, "1.2", "3")),
    kind("final drive", "final drive seal", _S.GROUND_DRIVE, ENGINE, 480, OIL, Guess(2500, 15000, "1.2", "3")),
    kind(
        "brake",
        "service brake, parking brake, brake pad",
        _S.GROUND_DRIVE,
        ENGINE,
        180,
        HOT,
        Guess(1500, 10000, "1.5", "4"),
    ),
    kind("tire", "tyre, drive tire, drive tyre", _S.RUNNING_GEAR, CALENDAR, 180, TIRE, Guess(5, 18, "1.2", "3")),
    kind("crawler track", "track", _S.RUNNING_GEAR, ENGINE, 480, None, Guess(1000, 5000, "1.5", "4")),
    kind("wheel bearing", "hub bearing, wheel hub", _S.RUNNING_GEAR, ENGINE, 240, HOT, Guess(2500, 15000, "1", "2.5")),
    kind(
        "steering joint",
        "ball joint, steering ball joint",
        _S.RUNNING_GEAR,
        ENGINE,
        90,
        None,
        Guess(2000, 12000, "1.2", "3"),
    ),
    kind("hydraulic hose", "hose, hydraulic line", _S.HYDRAULICS, CALENDAR, 40, OIL, Guess(5, 20, "1", "2.5")),
    kind(
        "lift cylinder",
        "header lift cylinder, hydraulic cylinder, cylinder seal",
        _S.HYDRAULICS,
        ENGINE,
        180,
        OIL,
        Guess(2000, 15000, "1", "2.5"),
    ),
    kind("hydraulic pump", "gear pump, charge pump", _S.HYDRAULICS, ENGINE, 180, OIL, Guess(2500, 15000, "1.2", "3")),
    kind(
        "hydraulic motor",
        "header motor, draper motor",
        _S.HYDRAULICS,
        SEPARATOR,
        120,
        OIL,
        Guess(1500, 10000, "1", "2.5"),
    ),
    kind(
        "hydraulic valve",
        "valve block, solenoid valve",
        _S.HYDRAULICS,
        ENGINE,
        120,
        OIL,
        Guess(2500, 20000, "0.8", "2"),
    ),
    kind("accumulator", "hydraulic accumulator", _S.HYDRAULICS, ENGINE, 90, OIL, Guess(2000, 12000, "1.2", "3")),
    kind("hydraulic filter", "hydraulic filter element", _S.HYDRAULICS, ENGINE, 30, OIL, _FILTER),
)


#: 0.2 to 5 faults per 1,000 engine hours of a whole machine, as medians of a life by chance: ln 2 / rate
_HARNESS: Final = Guess(139, 3466, "0.8", "1.3")

_SENSOR: Final = Guess(1000, 10000, "0.8", "1.5")

CAB_AND_WIRING_KINDS: Final[tuple[PartKind, ...]] = (
    kind("battery", "batteries", _S.ELECTRICAL, CALENDAR, 30, BATTERY, Guess(3, 8, "1.5", "4")),
    kind("alternator", "generator", _S.ELECTRICAL, ENGINE, 90, WIRE, Guess(1500, 8000, "1", "2.5")),
    kind("starter", "starter motor", _S.ELECTRICAL, ENGINE, 90, WIRE, Guess(1500, 10000, "1", "2.5")),
    kind("wiring harness", "harness, wiring, loom", _S.ELECTRICAL, ENGINE, 120, WIRE, _HARNESS),
    kind("connector", "plug, header plug", _S.ELECTRICAL, ENGINE, 30, WIRE, Guess(3000, 40000, "0.8", "1.3")),
    kind("fuse", "blade fuse", _S.ELECTRICAL, ENGINE, 10, WIRE, Guess(2000, 30000, "0.8", "1.3")),
    kind("relay", "switching relay", _S.ELECTRICAL, ENGINE, 10, WIRE, Guess(2000, 20000, "0.8", "1.5")),
    kind(
        "controller",
        "control unit, engine controller, header controller",
        _S.ELECTRICAL,
        ENGINE,
        90,
        WIRE,
        Guess(4000, 40000, "0.8", "1.3"),
    ),
    kind("header height sensor", "height sensor", _S.ELECTRICAL, ENGINE, 45, UNDER, Guess(500, 6000, "0.8", "1.5")),
    kind("speed sensor", "shaft speed sensor, shaft sensor", _S.MONITORING, ENGINE, 30, DRIVE, _SENSOR),
    kind("loss sensor", "grain loss sensor", _S.MONITORING, ENGINE, 45, DRIVE, _SENSOR),
    kind("mass flow sensor", "flow sensor, yield sensor", _S.MONITORING, ENGINE, 45, TANK, _SENSOR),
    kind("moisture sensor", "grain moisture sensor", _S.MONITORING, ENGINE, 45, TANK, _SENSOR),
    kind("display", "cab display", _S.MONITORING, ENGINE, 30, WIRE, Guess(3000, 30000, "0.8", "1.5")),
    kind("cab air filter", "cab filter", _S.CAB, ENGINE, 10, None, Guess(200, 1500, "1.2", "4")),
    kind("cab blower", "blower motor, cab fan", _S.CAB, ENGINE, 90, WIRE, Guess(1500, 10000, "1", "2.5")),
    kind(
        "air conditioning compressor",
        "air conditioning, compressor, aircon",
        _S.CAB,
        ENGINE,
        240,
        HOT,
        Guess(1500, 10000, "1", "2.5"),
    ),
    kind("condenser", "air conditioning condenser", _S.CAB, ENGINE, 180, HOT, Guess(2500, 15000, "1", "2.5")),
    kind("fire extinguisher", "extinguisher", _S.SAFETY, CALENDAR, 5, None, Guess(5, 14, "1.5", "4")),
)
