"""Kinds of part of headers: cutterbar, reel, draper or cross auger, what slides and drives. Figures: see kind_table.py."""

from __future__ import annotations

from typing import Final

from wearlog.facts.closed_lists import Dimension, Subsystem
from wearlog.facts.parts import PartKind
from wearlog.facts.starting_kinds.kind_table import (
    AREA,
    DRIVE,
    HOT,
    KNIFE,
    ROLLER_60,
    SEPARATOR,
    UNDER,
    Guess,
    Wear,
    kind,
)

_S = Subsystem

#: pointed guards, several operator's manuals
_HOLD_DOWN_GAP: Final = Wear(Dimension.GAP, "0.004", "0.024")
#: vertical play of the knife, a trade article
_KNIFE_PLAY: Final = Wear(Dimension.GAP, None, "0.125")

_SECTION: Final = Guess(1500, 8000, "1.5", "4", "0.3 1 4 10")
_GUARD: Final = Guess(4000, 20000, "1.5", "4", "0.1 0.4 1.5 4")
_HOLD_DOWN: Final = Guess(2000, 9000, "1.5", "4")
_TINE: Final = Guess(4000, 20000, "1", "2.5", "0.2 0.3 0.5 1")
_FINGER: Final = Guess(4000, 25000, "1", "2.5", "0.1 0.2 0.4 0.8")
_SKID: Final = Guess(3000, 20000, "1.5", "4", "0.02 0.05 0.15 0.4")
_WHEEL: Final = Guess(6000, 40000, "1", "2.5", "0.01 0.02 0.05 0.1")
#: an operator's manual renews the bearings of feed-draper rollers every 500 h or year: the low end
_ROLLER: Final = Guess(500, 4000, "1.2", "3")

HEADER_KINDS: Final[tuple[PartKind, ...]] = (
    kind("knife section", "section, sickle section", _S.HEADER, AREA, 10, KNIFE, _SECTION),
    kind("guard", "knife guard, sickle guard, finger guard", _S.HEADER, AREA, 15, KNIFE, _GUARD),
    kind(
        "hold-down",
        "holddown, hold down, knife clip, keeper",
        _S.HEADER,
        AREA,
        10,
        KNIFE,
        _HOLD_DOWN,
        _HOLD_DOWN_GAP,
    ),
    kind("wear plate", "knife wear plate", _S.HEADER, AREA, 15, KNIFE, _HOLD_DOWN, _KNIFE_PLAY),
    kind("knife head", "sickle head, knife back", _S.HEADER, AREA, 60, KNIFE, Guess(3000, 20000, "1.2", "3")),
    kind(
        "knife drive",
        "knife drive box, sickle drive, wobble box",
        _S.HEADER,
        AREA,
        180,
        KNIFE,
        Guess(4000, 30000, "1.2", "3"),
    ),
    kind("reel tine", "tine, reel finger", _S.HEADER, AREA, 8, UNDER, _TINE),
    kind("reel bush", "reel bushing, bat bush", _S.HEADER, AREA, 20, UNDER, Guess(3000, 20000, "1.2", "3")),
    kind(
        "reel bat",
        "bat, bat tube, tine bar",
        _S.HEADER,
        AREA,
        60,
        UNDER,
        Guess(6000, 40000, "1", "2.5", "0.02 0.04 0.08 0.2"),
    ),
    kind(
        "reel arm",
        "bat arm, reel spider, reel support arm",
        _S.HEADER,
        AREA,
        90,
        UNDER,
        Guess(8000, 50000, "1", "2.5", "0.01 0.02 0.05 0.1"),
    ),
    kind("reel cam", "cam track, cam roller", _S.HEADER, AREA, 120, UNDER, Guess(5000, 30000, "1.2", "3")),
    kind("reel bearing", "reel shaft bearing", _S.HEADER, AREA, 90, UNDER, Guess(5000, 40000, "1", "2.5")),
    kind(
        "reel drive",
        "reel motor, reel drive motor, reel gearbox",
        _S.HEADER,
        SEPARATOR,
        120,
        UNDER,
        Guess(800, 6000, "1", "2.5"),
    ),
    kind("draper belt", "draper, canvas", _S.HEADER, SEPARATOR, 150, UNDER, Guess(500, 2500, "1.5", "4")),
    kind("draper roller", "draper roller bearing, canvas roller", _S.HEADER, SEPARATOR, 60, UNDER, _ROLLER),
    kind("auger finger", "retracting finger, cross auger finger", _S.HEADER, AREA, 15, UNDER, _FINGER),
    kind("finger guide", "auger finger guide", _S.HEADER, AREA, 15, UNDER, Guess(4000, 20000, "1.5", "4")),
    kind(
        "header auger flighting",
        "cross auger flighting, table auger flighting",
        _S.HEADER,
        AREA,
        300,
        UNDER,
        Guess(6000, 40000, "2", "5"),
    ),
    kind("skid plate", "skid, skid shoe", _S.HEADER, AREA, 20, UNDER, _SKID),
    kind("gauge wheel", "gage wheel, header wheel, gauge wheel hub", _S.HEADER, AREA, 60, UNDER, _WHEEL),
    kind(
        "header chain",
        "header drive chain, cross auger chain, reel chain",
        _S.HEADER,
        SEPARATOR,
        60,
        DRIVE,
        Guess(300, 2500, "1.5", "4"),
        ROLLER_60,
    ),
    kind(
        "header drive belt",
        "header belt, knife drive belt, sickle drive belt",
        _S.HEADER,
        SEPARATOR,
        90,
        DRIVE,
        Guess(300, 2500, "1.2", "3"),
    ),
    kind(
        "header bearing",
        "header shaft bearing, cross auger bearing",
        _S.HEADER,
        SEPARATOR,
        90,
        HOT,
        Guess(800, 6000, "1", "2.5"),
    ),
    kind(
        "slip clutch",
        "header clutch, header slip clutch",
        _S.HEADER,
        SEPARATOR,
        60,
        DRIVE,
        Guess(500, 4000, "1", "2.5"),
    ),
    kind(
        "universal joint",
        "u-joint, ujoint, driveline cross",
        _S.HEADER,
        SEPARATOR,
        45,
        DRIVE,
        Guess(600, 5000, "1.2", "3"),
    ),
    kind(
        "driveline shaft",
        "telescoping shaft, pto shaft",
        _S.HEADER,
        SEPARATOR,
        60,
        DRIVE,
        Guess(1000, 8000, "1", "2.5"),
    ),
)
