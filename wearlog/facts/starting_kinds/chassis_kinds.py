"""Ground drive, running gear and hydraulics. Figures: see starting_guesses.py."""

from __future__ import annotations

from typing import Final

from wearlog.facts.closed_lists import Evidence, Subsystem
from wearlog.facts.parts import PartKind
from wearlog.facts.starting_kinds.kind_table import CALENDAR, ENGINE, HOT, OIL, SEPARATOR, TIRE, Guess, kind

_S = Subsystem

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
