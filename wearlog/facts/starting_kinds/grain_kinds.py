"""Grain handling and unloading. Figures: see starting_guesses.py."""

from __future__ import annotations

from typing import Final

from wearlog.facts.closed_lists import Dimension, Subsystem
from wearlog.facts.parts import PartKind
from wearlog.facts.starting_kinds.kind_table import CA550, DRIVE, HOT, SEPARATOR, TANK, Guess, Wear, kind

_S = Subsystem

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
