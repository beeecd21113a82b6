"""The electrical faults of the demo fleet: signs, checks in order with what was measured, and what was found. Data only; no times.

One of them comes back in four seasons (the same chafed wire each time, found only in the fourth); the last one is still open.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from wearlog.facts.closed_lists import CheckKind, CheckVerdict, Condition, FaultMode, FixEvidence, SignKind

_C, _S, _V = CheckKind, SignKind, CheckVerdict


@dataclass(frozen=True, slots=True)
class Sign:
    node: str
    sign: SignKind
    spn: int | None = None
    fmi: int | None = None


@dataclass(frozen=True, slots=True)
class Check:
    node: str
    kind: CheckKind
    expected: str
    measured: str
    verdict: CheckVerdict
    minutes: int = 5


@dataclass(frozen=True, slots=True)
class Found:
    node: str | None
    mode: FaultMode
    fix: str
    evidence: FixEvidence


@dataclass(frozen=True, slots=True)
class Episode:
    """A fault on the `work_day`-th day that the machine cut in a season, `hour` hours after its start; open without `found`."""

    year: int
    machine: str
    work_day: int
    hour: float
    circuit: str
    title: str
    conditions: tuple[Condition, ...]
    signs: tuple[Sign, ...]
    checks: tuple[Check, ...]
    found: Found | None
    fuses: int = 0
    wire_mended: bool = False


_HEADER_DEAD: Final = (
    Sign("Fuse 5 header", _S.FUSE_BLEW_ON_MOVEMENT),
    Sign("Reel lift valve", _S.DEAD),
    Sign("Stubble lights", _S.DEAD),
    Sign("Left height sensor", _S.DEAD),
    Sign("Left work light", _S.WORKING),
)
_HEADER_TITLE: Final = "header fuse blows when the header moves"

EPISODES: Final = (
    Episode(
        2021, "Alder", 8, 8.0, "lights", "right work light dead", (Condition.DUST,),
        (Sign("Right work light", _S.DEAD), Sign("Left work light", _S.WORKING)),
        (
            Check("Right work light", _C.SWAP, "a good lamp lights", "still dark", _V.GOOD, 8),
            Check("Right work light", _C.VOLTAGE, "12 V at the lamp plug", "0.3 V", _V.BAD, 5),
            Check("Roof harness", _C.LOOK, "whole", "broken at the roof edge", _V.BAD, 10),
        ),
        Found("Roof harness", FaultMode.OPEN, "crimped and sealed, clamped off the edge", FixEvidence.SEEN),
    ),
    Episode(
        2021, "Juniper", 17, 4.5, "monitor", "clean grain sensor jumps", (Condition.ROUGH_GROUND,),
        (Sign("Clean grain sensor", _S.ERRATIC), Sign("Clean grain sensor", _S.CODE, 520192, 2)),
        (
            Check("Monitor plug", _C.LOOK, "dry and bright", "dry and bright", _V.GOOD, 4),
            Check("Clean grain sensor", _C.WIGGLE, "steady", "drops out", _V.BAD, 6),
        ),
        Found("Clean grain sensor", FaultMode.FAILED_DEVICE, "new sensor, gap set", FixEvidence.SEEN),
    ),
    Episode(
        2022, "Tamarack", 9, 3.2, "header", _HEADER_TITLE, (Condition.HEADER_RAISED, Condition.ROUGH_GROUND), _HEADER_DEAD,
        (
            Check("Fuse 5 header", _C.LOOK, "whole", "charred", _V.BAD, 3),
            Check("Reel lift valve", _C.UNPLUG, "lamp goes out", "lamp stays out either way", _V.UNCLEAR, 9),
            Check("Header harness", _C.LOOK, "whole", "a scuff, copper not to be seen", _V.UNCLEAR, 15),
        ),
        Found("Header harness", FaultMode.SHORT_TO_GROUND, "taped the scuff, new 15 A fuse", FixEvidence.INFERRED), fuses=2,
    ),
    Episode(
        2022, "Alder", 15, 1.0, "supply", "low voltage, gauges flicker", (Condition.HOT,),
        (Sign("Engine controller", _S.ERRATIC), Sign("Fuel pump", _S.WORKING), Sign("Engine controller", _S.CODE, 168, 18)),
        (
            Check("Battery", _C.VOLTAGE, "13.7-14.7 V running", "12.9 V", _V.BAD, 3),
            Check("Engine ground", _C.VOLTAGE_DROP, "0.1 V at most", "0.9 V", _V.BAD, 7),
            Check("Engine ground", _C.LOOK, "clean and tight", "green and loose", _V.BAD, 5),
        ),
        Found("Engine ground", FaultMode.HIGH_RESISTANCE, "cleaned, new lug, greased", FixEvidence.SEEN),
    ),
    Episode(
        2023, "Juniper", 6, 6.0, "unloading", "unloading fuse blows after a while", (Condition.TANK_FULL,),
        (Sign("Fuse 2 unloading", _S.FUSE_BLEW_LATER), Sign("Auger swing valve", _S.DEAD)),
        (
            Check("Fuse 2 unloading", _C.LOOK, "whole", "melted, not charred", _V.BAD, 3),
            Check("Auger swing valve", _C.RESISTANCE, "6-8 ohm", "2.9 ohm", _V.BAD, 8),
        ),
        Found("Auger swing valve", FaultMode.OVERLOAD, "new coil, new 15 A fuse", FixEvidence.SEEN), fuses=1,
    ),
    Episode(
        2023, "Tamarack", 14, 5.1, "header", _HEADER_TITLE, (Condition.HEADER_RAISED, Condition.TURNING), _HEADER_DEAD,
        (
            Check("Fuse 5 header", _C.LOOK, "whole", "charred", _V.BAD, 2),
            Check("Header harness", _C.UNPLUG, "lamp goes out", "lamp goes out", _V.BAD, 10),
            Check("Stubble lights", _C.UNPLUG, "lamp goes out", "no change", _V.GOOD, 8),
        ),
        Found("Stubble lights", FaultMode.SHORT_TO_GROUND, "lights left unplugged, new 15 A fuse", FixEvidence.INFERRED),
        fuses=2,
    ),
    Episode(
        2024, "Tamarack", 6, 2.4, "header", _HEADER_TITLE, (Condition.HEADER_RAISED, Condition.ROUGH_GROUND, Condition.DEW),
        _HEADER_DEAD,
        (
            Check("Fuse 5 header", _C.LOOK, "whole", "charred", _V.BAD, 2),
            Check("Header plug", _C.LOOK, "dry and bright", "damp, no damage", _V.UNCLEAR, 6),
        ),
        Found(None, FaultMode.NOT_FOUND, "dried the plug, new 15 A fuse, held", FixEvidence.CLEARED_BY_ITSELF), fuses=1,
    ),
    Episode(
        2024, "Alder", 12, 7.0, "data line", "controllers drop off the data line", (Condition.AFTER_WASH,),
        (Sign("Cab controller", _S.ERRATIC), Sign("Engine controller", _S.CODE, 639, 9)),
        (
            Check("Data line plug", _C.RESISTANCE, "60 ohm, all off", "60.4 ohm", _V.GOOD, 6),
            Check("Data line plug", _C.WIGGLE, "steady", "jumps to 118 ohm", _V.BAD, 5),
            Check("Data line plug", _C.LOOK, "dry and bright", "green pins", _V.BAD, 4),
        ),
        Found("Data line plug", FaultMode.HIGH_RESISTANCE, "cleaned, new seals", FixEvidence.SEEN),
    ),
    Episode(
        2025, "Tamarack", 11, 4.0, "header", _HEADER_TITLE, (Condition.HEADER_RAISED, Condition.ROUGH_GROUND), _HEADER_DEAD,
        (
            Check("Fuse 5 header", _C.LOOK, "whole", "charred", _V.BAD, 2),
            Check("Header plug", _C.UNPLUG, "lamp goes out", "lamp stays lit", _V.GOOD, 6),
            Check("Feeder harness", _C.WIGGLE, "lamp steady", "lamp steady", _V.GOOD, 6),
            Check("Header plug pigtail", _C.WIGGLE, "lamp steady", "lamp flickers as the header lifts", _V.BAD, 5),
            Check("Header plug pigtail", _C.LOOK, "whole", "chafed to the copper behind the clamp", _V.BAD, 5),
        ),
        Found(
            "Header plug pigtail", FaultMode.SHORT_TO_GROUND,
            "wire spliced and sleeved, clamp moved off the edge, new 15 A fuse", FixEvidence.SEEN,
        ),
        fuses=2, wire_mended=True,
    ),
    Episode(
        2025, "Alder", 18, 2.0, "engine", "fuel pump dead, engine stops", (Condition.HOT,),
        (Sign("Fuel pump", _S.DEAD), Sign("Fuse 3 engine", _S.FUSE_WHOLE)),
        (
            Check("Fuse 3 engine", _C.VOLTAGE, "12 V on both sides", "12.4 V on both sides", _V.GOOD, 3),
            Check("Engine plug", _C.VOLTAGE, "12 V", "0 V behind the plug", _V.BAD, 6),
        ),
        Found("Engine plug", FaultMode.OPEN, "pushed-back pin seated and locked", FixEvidence.SEEN),
    ),
    Episode(
        2026, "Juniper", 10, 9.0, "lights", "left work light flickers", (Condition.ROUGH_GROUND,),
        (Sign("Left work light", _S.ERRATIC),),
        (Check("Left work light", _C.WIGGLE, "steady", "flickers", _V.BAD, 5),),
        Found("Left work light", FaultMode.FAILED_DEVICE, "new lamp and socket", FixEvidence.SEEN),
    ),
    Episode(
        2026, "Alder", 21, 3.0, "data line", "controllers drop off the data line", (Condition.ROUGH_GROUND, Condition.HOT),
        (Sign("Cab controller", _S.ERRATIC), Sign("Engine controller", _S.ERRATIC), Sign("Engine controller", _S.CODE, 639, 9)),
        (
            Check("Data line plug", _C.LOOK, "dry and bright", "dry and bright", _V.GOOD, 4),
            Check("Data line plug", _C.RESISTANCE, "60 ohm, all off", "119.6 ohm", _V.BAD, 6),
            Check("First terminator", _C.RESISTANCE, "120 ohm alone", "120.2 ohm", _V.GOOD, 8),
        ),
        None,
    ),
)  # fmt: skip
