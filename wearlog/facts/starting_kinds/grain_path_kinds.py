"""Kinds of part on the grain's way: feeder house, threshing, cleaning, straw, tank and unloading. Figures: see kind_table.py."""

from __future__ import annotations

from typing import Final

from wearlog.facts.closed_lists import Dimension, Subsystem
from wearlog.facts.parts import PartKind
from wearlog.facts.starting_kinds.kind_table import CA550, DRIVE, HOT, SEPARATOR, TANK, UNDER, Guess, Wear, kind

_S = Subsystem

#: leading edge worn off, a parts supplier
_RASP_EDGE: Final = Wear(Dimension.DEPTH, "0", "0.125")

#: dip under a straight edge on the first bars: a growers' forum, common practice
_CONCAVE_DIP: Final = Wear(Dimension.DEPTH, "0", "0.25")

_SLAT: Final = Guess(1000, 8000, "1", "2.5", "0 0.04 0.1 0.2")

_TRAP: Final = Guess(2000, 15000, "0.8", "2", "0 0.01 0.02 0.05")

_RASP_BARS: Final = Guess(400, 2000, "2", "5", "0 0.02 0.05 0.15")

_ROTOR_VANE: Final = Guess(500, 3000, "2", "5", "0 0.01 0.03 0.1")

_CONCAVE: Final = Guess(600, 3000, "2", "5", "0 0.01 0.03 0.1")

#: one workshop renews some rotor bearings every four years at 350 ha a year (a trade test magazine): some 260 h, the low end
_CYLINDER_BEARING: Final = Guess(260, 4000, "1", "2.5")

_BELT: Final = Guess(300, 2000, "1.2", "3")

THRESHING_KINDS: Final[tuple[PartKind, ...]] = (
    kind(
        "feeder conveyor chain",
        "feeder chain, feederhouse chain",
        _S.FEEDER,
        SEPARATOR,
        300,
        UNDER,
        Guess(500, 2000, "2", "5"),
        CA550,
    ),
    kind("feeder slat", "slat, feeder bar", _S.FEEDER, SEPARATOR, 30, UNDER, _SLAT),
    kind("feeder sprocket", "feeder drive sprocket", _S.FEEDER, SEPARATOR, 120, UNDER, Guess(600, 4000, "2", "5")),
    kind(
        "feeder drum",
        "front drum, feeder front drum, feeder idler drum",
        _S.FEEDER,
        SEPARATOR,
        240,
        UNDER,
        Guess(1500, 12000, "1", "2.5"),
    ),
    kind(
        "feeder floor", "feeder pan, feederhouse floor", _S.FEEDER, SEPARATOR, 360, UNDER, Guess(1000, 8000, "2", "5")
    ),
    kind(
        "feeder reverser",
        "reverser, reverser motor, reverser gearbox",
        _S.FEEDER,
        SEPARATOR,
        240,
        UNDER,
        Guess(1000, 10000, "0.8", "2"),
    ),
    kind("feeder bearing", "feeder shaft bearing", _S.FEEDER, SEPARATOR, 120, UNDER, Guess(600, 5000, "1", "2.5")),
    kind(
        "feeder drive belt",
        "feeder belt, feederhouse belt",
        _S.FEEDER,
        SEPARATOR,
        90,
        DRIVE,
        Guess(300, 2500, "1.2", "3"),
    ),
    kind("stone trap door", "stone trap, rock trap", _S.FEEDER, SEPARATOR, 45, UNDER, _TRAP),
    kind("rasp bars", "rasp bar, cylinder bar", _S.THRESHING, SEPARATOR, 360, DRIVE, _RASP_BARS, _RASP_EDGE),
    kind("rotor vane", "intake vane, rotor cage vane", _S.THRESHING, SEPARATOR, 240, DRIVE, _ROTOR_VANE),
    kind("concave", "concave grate", _S.THRESHING, SEPARATOR, 240, DRIVE, _CONCAVE, _CONCAVE_DIP),
    kind(
        "cylinder bearing",
        "rotor bearing, drum bearing, cylinder shaft bearing",
        _S.THRESHING,
        SEPARATOR,
        300,
        HOT,
        _CYLINDER_BEARING,
    ),
    kind("rotor gearbox", "rotor drive gearbox", _S.THRESHING, SEPARATOR, 600, DRIVE, Guess(1500, 12000, "1.2", "3")),
    kind(
        "variable drive belt",
        "variable speed belt, rotor belt, cylinder belt",
        _S.THRESHING,
        SEPARATOR,
        180,
        DRIVE,
        _BELT,
    ),
    kind(
        "variable sheave",
        "variator, variable speed sheave, variable drive sheave",
        _S.THRESHING,
        SEPARATOR,
        240,
        DRIVE,
        Guess(1000, 8000, "1.2", "3"),
    ),
    kind(
        "separator grate",
        "separation grate, rotor grate",
        _S.SEPARATOR,
        SEPARATOR,
        120,
        DRIVE,
        Guess(1000, 6000, "2", "5"),
    ),
    kind(
        "beater", "rear beater, discharge beater", _S.SEPARATOR, SEPARATOR, 360, DRIVE, Guess(1500, 12000, "1.2", "3")
    ),
    kind("beater bearing", "beater shaft bearing", _S.SEPARATOR, SEPARATOR, 150, HOT, Guess(600, 5000, "1", "2.5")),
    kind("straw walker", "walker, straw rack", _S.SEPARATOR, SEPARATOR, 300, DRIVE, Guess(1500, 12000, "1.2", "3")),
    kind(
        "walker bearing",
        "straw walker bearing, walker block",
        _S.SEPARATOR,
        SEPARATOR,
        60,
        DRIVE,
        Guess(600, 4000, "1.2", "3"),
    ),
    kind(
        "walker crankshaft",
        "straw walker crankshaft",
        _S.SEPARATOR,
        SEPARATOR,
        600,
        DRIVE,
        Guess(2000, 15000, "1.2", "3"),
    ),
)


_SIEVE: Final = Guess(1000, 8000, "1.2", "3")

_SHOE_BELT: Final = Guess(300, 2500, "1.2", "3")

_CHOPPER: Final = Guess(200, 1500, "1.5", "4", "0 0.05 0.1 0.3")

_FIXED_KNIFE: Final = Guess(500, 4000, "1.5", "4", "0 0.02 0.05 0.15")

_VANE: Final = Guess(400, 4000, "1", "2.5", "0 0.02 0.05 0.1")

CLEANING_KINDS: Final[tuple[PartKind, ...]] = (
    kind("chaffer", "upper sieve, top sieve", _S.CLEANING, SEPARATOR, 60, DRIVE, _SIEVE),
    kind("sieve", "lower sieve, bottom sieve, shoe sieve", _S.CLEANING, SEPARATOR, 60, DRIVE, _SIEVE),
    kind(
        "shoe bush", "shoe bushing, shoe hanger bush", _S.CLEANING, SEPARATOR, 45, DRIVE, Guess(500, 4000, "1.5", "4")
    ),
    kind(
        "shoe bearing",
        "shoe drive bearing, shaker bearing",
        _S.CLEANING,
        SEPARATOR,
        120,
        HOT,
        Guess(600, 5000, "1", "2.5"),
    ),
    kind("shoe drive belt", "shaker belt, shoe belt", _S.CLEANING, SEPARATOR, 90, DRIVE, _SHOE_BELT),
    kind(
        "cleaning fan", "fan, shoe fan, fan blade", _S.CLEANING, SEPARATOR, 240, DRIVE, Guess(2000, 15000, "1", "2.5")
    ),
    kind(
        "fan bearing",
        "fan shaft bearing, cleaning fan bearing",
        _S.CLEANING,
        SEPARATOR,
        120,
        HOT,
        Guess(800, 6000, "1", "2.5"),
    ),
    kind("cleaning fan belt", "fan belt, shoe fan belt", _S.CLEANING, SEPARATOR, 60, DRIVE, _SHOE_BELT),
    kind("chopper blades", "chopper blade, chopper knife, blade set", _S.RESIDUE, SEPARATOR, 120, DRIVE, _CHOPPER),
    kind("stationary knife", "fixed knife, counter knife", _S.RESIDUE, SEPARATOR, 20, DRIVE, _FIXED_KNIFE),
    kind(
        "chopper bearing",
        "chopper shaft bearing, chopper rotor bearing",
        _S.RESIDUE,
        SEPARATOR,
        150,
        HOT,
        Guess(400, 4000, "1", "2.5"),
    ),
    kind("chopper drive belt", "chopper belt", _S.RESIDUE, SEPARATOR, 60, DRIVE, Guess(300, 2000, "1.2", "3")),
    kind("spreader vane", "vane, spreader disc", _S.RESIDUE, SEPARATOR, 20, DRIVE, _VANE),
    kind("spreader motor", "spreader drive", _S.RESIDUE, SEPARATOR, 90, DRIVE, Guess(1000, 8000, "1", "2.5")),
)


#: clearance to the trough for grain: from memory, common practice
_FLIGHT_CLEARANCE: Final = Wear(Dimension.GAP, None, "0.5")

_CHAIN: Final = Guess(600, 3000, "2", "5")

_FLIGHTING: Final = Guess(1000, 5000, "2", "5")

GRAIN_KINDS: Final[tuple[PartKind, ...]] = (
    kind(
        "clean grain elevator chain",
        "clean grain chain, elevator chain",
        _S.GRAIN_HANDLING,
        SEPARATOR,
        180,
        DRIVE,
        _CHAIN,
        CA550,
    ),
    kind(
        "elevator paddle", "paddle, grain paddle", _S.GRAIN_HANDLING, SEPARATOR, 10, DRIVE, Guess(1000, 10000, "1", "3")
    ),
    kind("tailings elevator chain", "tailings chain, returns chain", _S.GRAIN_HANDLING, SEPARATOR, 120, DRIVE, _CHAIN),
    kind(
        "elevator sprocket",
        "clean grain sprocket, tailings sprocket",
        _S.GRAIN_HANDLING,
        SEPARATOR,
        120,
        DRIVE,
        Guess(800, 6000, "2", "5"),
    ),
    kind(
        "elevator shaft",
        "elevator head shaft, elevator top shaft",
        _S.GRAIN_HANDLING,
        SEPARATOR,
        240,
        DRIVE,
        Guess(2000, 15000, "1.2", "3"),
    ),
    kind(
        "elevator bearing",
        "elevator shaft bearing",
        _S.GRAIN_HANDLING,
        SEPARATOR,
        120,
        HOT,
        Guess(800, 6000, "1", "2.5"),
    ),
    kind("elevator drive belt", "elevator belt", _S.GRAIN_HANDLING, SEPARATOR, 90, DRIVE, Guess(300, 2500, "1.2", "3")),
    kind(
        "auger flighting",
        "flighting, flight, clean grain auger",
        _S.GRAIN_HANDLING,
        SEPARATOR,
        240,
        TANK,
        _FLIGHTING,
        _FLIGHT_CLEARANCE,
    ),
    kind("auger bearing", "auger shaft bearing", _S.GRAIN_HANDLING, SEPARATOR, 120, HOT, Guess(800, 6000, "1", "2.5")),
    # breaks by overload, so by chance
    kind("unloading shear bolt", "shear bolt", _S.UNLOADING, SEPARATOR, 20, TANK, Guess(50, 1000, "0.8", "1.5")),
    kind("unloading elbow", "auger elbow, unload elbow", _S.UNLOADING, SEPARATOR, 240, TANK, _FLIGHTING),
    kind(
        "unloading tube",
        "unload tube, unloading spout",
        _S.UNLOADING,
        SEPARATOR,
        360,
        TANK,
        Guess(2000, 15000, "2", "5"),
    ),
    kind(
        "unloading auger flighting", "unload flighting", _S.UNLOADING, SEPARATOR, 360, TANK, Guess(800, 6000, "2", "5")
    ),
    kind("unloading gearbox", "unload gearbox", _S.UNLOADING, SEPARATOR, 300, TANK, Guess(1500, 12000, "1.2", "3")),
    kind(
        "unloading drive belt",
        "unload belt, unloading belt",
        _S.UNLOADING,
        SEPARATOR,
        60,
        DRIVE,
        Guess(400, 4000, "1", "3"),
    ),
)
