"""Electrical parts, sensors, cab and safety. Figures: see starting_guesses.py.

The wiring harness stands for harness, connectors, fuses and sensors of a machine together: its guess is one rate for all of them.
The guess of a connector, fuse, relay or sensor is for one piece that a farm enters by itself.
"""

from __future__ import annotations

from typing import Final

from wearlog.facts.closed_lists import Subsystem
from wearlog.facts.parts import PartKind
from wearlog.facts.starting_kinds.kind_table import (
    BATTERY,
    CALENDAR,
    DRIVE,
    ENGINE,
    HOT,
    TANK,
    UNDER,
    WIRE,
    Guess,
    kind,
)

_S = Subsystem

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
