"""Published repair-cost factors by class of machine, each with where it comes from. No formula: that is repair_curve.py."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from wearlog.facts.closed_lists import Evidence

_D497: Final = "ASAE D497.7 (2011, reaffirmed 2020), table 3; figures from memory, checked against its own life column"
_NO_HEADER_ROW: Final = "The standard has no row for a header of its own; taken as the nearest by analogy."


@dataclass(frozen=True, slots=True)
class RepairCurve:
    """Repair and maintenance cost of a class of machine against its hours: C = P x factor x (h / 1000) ^ exponent.

    Attributes
    ----------
    machine : str
        The class of machine.
    factor : float
        RF1, share of list price after the first 1,000 hours.
    exponent : float
        RF2, how steeply the cost grows.
    life_hours, life_repair_percent : float
        Hours of a whole life, and the published repair cost over it in per cent of list price.
    evidence : Evidence
    source : str
        Where the factors come from.
    note : str
        What to bear in mind; may be empty.
    """

    machine: str
    factor: float
    exponent: float
    life_hours: float
    life_repair_percent: float
    evidence: Evidence = Evidence.FROM_MEMORY
    source: str = _D497
    note: str = ""


COMBINE: Final = RepairCurve("combine, self-propelled", 0.04, 2.1, 3_000, 40)
TRACTOR_2WD: Final = RepairCurve("tractor, two-wheel drive", 0.007, 2.0, 12_000, 100)
TRACTOR_4WD: Final = RepairCurve("tractor, four-wheel drive or crawler", 0.003, 2.0, 16_000, 80)
MOWER_SICKLE: Final = RepairCurve("mower, sickle", 0.46, 1.7, 2_000, 150)
WINDROWER: Final = RepairCurve("windrower, self-propelled", 0.06, 2.0, 3_000, 55)
WAGON: Final = RepairCurve("wagon", 0.19, 1.3, 3_000, 80)

PUBLISHED_CURVES: Final[tuple[RepairCurve, ...]] = (
    COMBINE,
    RepairCurve("combine, pull-type", 0.12, 2.3, 2_000, 60),
    RepairCurve("corn picker-sheller", 0.14, 2.3, 2_000, 70),
    WINDROWER,
    MOWER_SICKLE,
    RepairCurve("mower, rotary", 0.44, 2.0, 2_000, 175),
    RepairCurve("mower-conditioner", 0.18, 1.6, 2_500, 80),
    RepairCurve("forage harvester, self-propelled", 0.03, 2.0, 4_000, 50),
    RepairCurve("cotton picker, self-propelled", 0.11, 1.8, 3_000, 80),
    TRACTOR_2WD,
    TRACTOR_4WD,
    RepairCurve("grain drill", 0.32, 2.1, 1_500, 75),
    RepairCurve("boom sprayer", 0.41, 1.3, 1_500, 70),
    WAGON,
)

#: a header bought on its own: the cutting parts wear like a sickle mower, the platform and draper like a windrower
HEADER_CUTTING: Final = RepairCurve("header, as a sickle mower", 0.46, 1.7, 2_000, 150, note=_NO_HEADER_ROW)
HEADER_PLATFORM: Final = RepairCurve("header, as a windrower", 0.06, 2.0, 3_000, 55, note=_NO_HEADER_ROW)

#: repairs of single machines commonly lie this far either side of the curve (D497, from memory)
USUAL_VARIATION: Final = 0.25
