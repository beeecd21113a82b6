"""The trade's library of part kinds: what is believed of a part before the farm has records of its own. No farm's own figures.

Ranges of life and shape, impacts by ground and labour are common practice, no source, and wide on purpose: a few breakages of the
farm's own soon outweigh them. A kind without a range has no guess. The wear limits are published figures of chain makers, parts
suppliers and operator's manuals; chain pitches are from memory and stand for one common chain. The machine's own book goes first.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import ROUND_HALF_EVEN, Decimal
from typing import Final

from wearlog.facts.closed_lists import Dimension, Evidence, Hazard, MeterKind, Subsystem
from wearlog.facts.parts import PartKind
from wearlog.ids import derived_id
from wearlog.units import STORED_UNITS, to_stored

_AREA, _SEPARATOR, _ENGINE = MeterKind.AREA, MeterKind.SEPARATOR_HOURS, MeterKind.ENGINE_HOURS
_USAGE_UNIT: Final = {_AREA: "ac", _SEPARATOR: "h", _ENGINE: "h"}
#: breakages per 1,000 acres -> breakages per million square kilometres (10^12 square metres)
_PER_1000_ACRES: Final = Decimal(10) ** 9 / STORED_UNITS["ac"]

_UNDER, _KNIFE, _PLUG = Hazard.UNDER_HEADER, Hazard.KNIFE, Hazard.UNPLUGGING
_DRIVE, _HOT, _TANK = Hazard.ROTATING_DRIVE, Hazard.HOT_PART, Hazard.GRAIN_TANK
_OIL, _WIRE = Hazard.HYDRAULIC, Hazard.ELECTRICAL


@dataclass(frozen=True, slots=True)
class _Guess:
    """Central 80 % ranges of the median life (acres or hours) and of the shape; impacts per 1,000 acres on the four grounds."""

    life_low: int
    life_high: int
    shape_low: str
    shape_high: str
    impacts: str = "0 0 0 0"


@dataclass(frozen=True, slots=True)
class _Wear:
    """How wear is measured, all in inches: when new (None: not the same on every machine), at the limit, a chain's pitch."""

    dimension: Dimension
    new: str | None
    limit: str
    pitch: str | None = None
    pitches: int | None = None


#: CA550, 12 pitches of 1.630 in; limit 3 % (two chain makers' pages; for adjustable centres common practice)
_CA550: Final = _Wear(Dimension.LENGTH_OVER_PITCHES, "19.56", "20.1468", "1.63", 12)
#: ANSI #60, 12 pitches of 0.750 in; limit 3 % (two chain makers' pages)
_ROLLER_60: Final = _Wear(Dimension.LENGTH_OVER_PITCHES, "9", "9.27", "0.75", 12)
#: pointed guards, several operator's manuals
_HOLD_DOWN_GAP: Final = _Wear(Dimension.GAP, "0.004", "0.024")
#: vertical play of the knife, a trade article
_KNIFE_PLAY: Final = _Wear(Dimension.GAP, None, "0.125")
#: leading edge worn off, a parts supplier
_RASP_EDGE: Final = _Wear(Dimension.DEPTH, "0", "0.125")
#: dip under a straight edge on the first bars: a growers' forum, common practice
_CONCAVE_DIP: Final = _Wear(Dimension.DEPTH, "0", "0.25")
#: groove of a single V-belt, belt makers' gauge sheets
_SHEAVE_GROOVE: Final = _Wear(Dimension.DEPTH, "0", "0.03125")
#: clearance to the trough for grain: from memory, common practice
_FLIGHT_CLEARANCE: Final = _Wear(Dimension.GAP, None, "0.5")

_KNIFE_SECTION_LIFE: Final = _Guess(1500, 8000, "1.5", "4", "0.3 1 4 10")
_GUARD_LIFE: Final = _Guess(4000, 20000, "1.5", "4", "0.1 0.4 1.5 4")
_HOLD_DOWN_LIFE: Final = _Guess(2000, 9000, "1.5", "4")
_TINE_LIFE: Final = _Guess(4000, 20000, "1", "2.5", "0.2 0.3 0.5 1")
_DRAPER_LIFE: Final = _Guess(500, 2500, "1.5", "4")
_FEEDER_CHAIN_LIFE: Final = _Guess(500, 2000, "2", "5")
_RASP_BAR_LIFE: Final = _Guess(400, 2000, "2", "5", "0 0.02 0.05 0.15")
_CONCAVE_LIFE: Final = _Guess(600, 3000, "2", "5", "0 0.01 0.03 0.1")
_GRAIN_CHAIN_LIFE: Final = _Guess(600, 3000, "2", "5")
_FLIGHTING_LIFE: Final = _Guess(1000, 5000, "2", "5")
_CHOPPER_LIFE: Final = _Guess(200, 1500, "1.5", "4", "0 0.05 0.1 0.3")
_BELT_LIFE: Final = _Guess(300, 2000, "1.2", "3")
_BEARING_LIFE: Final = _Guess(1000, 8000, "1", "2.5")
#: 0.2 to 5 faults per 1,000 engine hours of a whole machine, as medians of a life by chance: ln 2 / rate
_HARNESS_LIFE: Final = _Guess(139, 3466, "0.8", "1.3")


def _kind(
    name: str,
    words: str,
    subsystem: Subsystem,
    meter: MeterKind,
    minutes: int,
    hazard: Hazard | None = None,
    *,
    guess: _Guess | None = None,
    wear: _Wear | None = None,
) -> PartKind:
    """Return a kind in stored units; `minutes` of man-time are for one position."""
    unit = _USAGE_UNIT[meter]
    clean, few_stones, stony, very_stony = (_impacts(rate) for rate in (guess.impacts if guess else "0 0 0 0").split())
    return PartKind(
        id=derived_id("part_kind", name),
        name=name,
        words=words,
        subsystem=subsystem,
        meter_kind=meter,
        life_low_usage=to_stored(Decimal(guess.life_low), unit) if guess else None,
        life_high_usage=to_stored(Decimal(guess.life_high), unit) if guess else None,
        shape_low_thousandths=int(Decimal(guess.shape_low) * 1000) if guess else None,
        shape_high_thousandths=int(Decimal(guess.shape_high) * 1000) if guess else None,
        impacts_clean=clean,
        impacts_few_stones=few_stones,
        impacts_stony=stony,
        impacts_very_stony=very_stony,
        guess_evidence=Evidence.COMMON_PRACTICE,
        dimension=wear.dimension if wear else Dimension.NONE,
        new_micrometres=_micrometres(wear.new) if wear else None,
        limit_micrometres=_micrometres(wear.limit) if wear else None,
        pitch_micrometres=_micrometres(wear.pitch) if wear else None,
        pitches=wear.pitches if wear else None,
        usual_labour_seconds=minutes * 60,
        hazard=hazard,
    )


def _impacts(per_1000_acres: str) -> int:
    return int((Decimal(per_1000_acres) * _PER_1000_ACRES).to_integral_value(ROUND_HALF_EVEN))


def _micrometres(inches: str | None) -> int | None:
    return None if inches is None else to_stored(Decimal(inches), "in")


_S = Subsystem
#: in the order in which the crop meets them; ids are derived from the names, so that two laptops agree
STARTING_KINDS: Final[tuple[PartKind, ...]] = (
    _kind("knife section", "section, sickle section", _S.HEADER, _AREA, 10, _KNIFE, guess=_KNIFE_SECTION_LIFE),
    _kind("guard", "knife guard, sickle guard, finger guard", _S.HEADER, _AREA, 15, _KNIFE, guess=_GUARD_LIFE),
    _kind(
        "hold-down",
        "holddown, hold down, knife clip, keeper",
        _S.HEADER,
        _AREA,
        10,
        _KNIFE,
        guess=_HOLD_DOWN_LIFE,
        wear=_HOLD_DOWN_GAP,
    ),
    _kind("wear plate", "knife wear plate", _S.HEADER, _AREA, 15, _KNIFE, guess=_HOLD_DOWN_LIFE, wear=_KNIFE_PLAY),
    _kind("knife head", "sickle head, knife back", _S.HEADER, _AREA, 60, _KNIFE),
    _kind("knife drive", "knife drive box, sickle drive, wobble box", _S.HEADER, _AREA, 180, _KNIFE),
    _kind("reel tine", "tine, reel finger", _S.HEADER, _AREA, 8, _UNDER, guess=_TINE_LIFE),
    _kind("reel bush", "reel bushing, bat bush", _S.HEADER, _AREA, 20, _UNDER),
    _kind("draper belt", "draper, canvas", _S.HEADER, _SEPARATOR, 150, _UNDER, guess=_DRAPER_LIFE),
    _kind("draper roller", "draper roller bearing, canvas roller", _S.HEADER, _SEPARATOR, 60, _UNDER),
    _kind("auger finger", "retracting finger, cross auger finger", _S.HEADER, _AREA, 15, _UNDER),
    _kind("finger guide", "auger finger guide", _S.HEADER, _AREA, 15, _UNDER),
    _kind("skid plate", "skid, skid shoe", _S.HEADER, _AREA, 20, _UNDER),
    _kind("slip clutch", "header clutch, header slip clutch", _S.HEADER, _SEPARATOR, 60, _DRIVE),
    _kind("universal joint", "u-joint, ujoint, driveline cross", _S.HEADER, _SEPARATOR, 45, _DRIVE),
    _kind(
        "feeder conveyor chain",
        "feeder chain, feederhouse chain",
        _S.FEEDER,
        _SEPARATOR,
        300,
        _UNDER,
        guess=_FEEDER_CHAIN_LIFE,
        wear=_CA550,
    ),
    _kind("feeder slat", "slat, feeder bar", _S.FEEDER, _SEPARATOR, 30, _UNDER),
    _kind("feeder sprocket", "feeder drive sprocket", _S.FEEDER, _SEPARATOR, 120, _UNDER),
    _kind("stone trap door", "stone trap, rock trap", _S.FEEDER, _SEPARATOR, 45, _UNDER),
    _kind(
        "rasp bars",
        "rasp bar, cylinder bar",
        _S.THRESHING,
        _SEPARATOR,
        360,
        _DRIVE,
        guess=_RASP_BAR_LIFE,
        wear=_RASP_EDGE,
    ),
    _kind("concave", "concave grate", _S.THRESHING, _SEPARATOR, 240, _DRIVE, guess=_CONCAVE_LIFE, wear=_CONCAVE_DIP),
    _kind(
        "variable drive belt", "variable speed belt, rotor belt, cylinder belt", _S.THRESHING, _SEPARATOR, 180, _DRIVE
    ),
    _kind("separator grate", "separation grate, rotor grate", _S.SEPARATOR, _SEPARATOR, 120, _DRIVE),
    _kind("walker bearing", "straw walker bearing, walker block", _S.SEPARATOR, _SEPARATOR, 60, _DRIVE),
    _kind("chaffer", "upper sieve, top sieve", _S.CLEANING, _SEPARATOR, 60, _DRIVE),
    _kind("sieve", "lower sieve, bottom sieve, shoe sieve", _S.CLEANING, _SEPARATOR, 60, _DRIVE),
    _kind("shoe bush", "shoe bushing, shoe hanger bush", _S.CLEANING, _SEPARATOR, 45, _DRIVE),
    _kind("cleaning fan belt", "fan belt, shoe fan belt", _S.CLEANING, _SEPARATOR, 60, _DRIVE),
    _kind(
        "clean grain elevator chain",
        "clean grain chain, elevator chain",
        _S.GRAIN_HANDLING,
        _SEPARATOR,
        180,
        _DRIVE,
        guess=_GRAIN_CHAIN_LIFE,
        wear=_CA550,
    ),
    _kind("elevator paddle", "paddle, grain paddle", _S.GRAIN_HANDLING, _SEPARATOR, 10, _DRIVE),
    _kind("tailings elevator chain", "tailings chain, returns chain", _S.GRAIN_HANDLING, _SEPARATOR, 120, _DRIVE),
    _kind(
        "auger flighting",
        "flighting, flight, clean grain auger",
        _S.GRAIN_HANDLING,
        _SEPARATOR,
        240,
        _TANK,
        guess=_FLIGHTING_LIFE,
        wear=_FLIGHT_CLEARANCE,
    ),
    _kind("unloading shear bolt", "shear bolt", _S.UNLOADING, _SEPARATOR, 20, _TANK),
    _kind("unloading elbow", "auger elbow, unload elbow", _S.UNLOADING, _SEPARATOR, 240, _TANK),
    _kind(
        "chopper blades",
        "chopper blade, chopper knife, blade set",
        _S.RESIDUE,
        _SEPARATOR,
        120,
        _DRIVE,
        guess=_CHOPPER_LIFE,
    ),
    _kind("stationary knife", "fixed knife, counter knife", _S.RESIDUE, _SEPARATOR, 20, _DRIVE),
    _kind("spreader vane", "vane, spreader disc", _S.RESIDUE, _SEPARATOR, 20, _DRIVE),
    _kind("engine belt", "alternator belt, serpentine belt", _S.ENGINE, _ENGINE, 60, _HOT),
    _kind("radiator screen", "rotary screen, screen", _S.ENGINE, _ENGINE, 60, _DRIVE),
    _kind("air filter", "engine air filter", _S.ENGINE, _ENGINE, 15),
    _kind("fuel filter", "fuel filter element", _S.FUEL, _ENGINE, 30, _HOT),
    _kind("lift pump", "fuel pump, fuel lift pump", _S.FUEL, _ENGINE, 90, _HOT),
    _kind("main drive belt", "main belt, drive belt, belt", _S.DRIVELINE, _SEPARATOR, 120, _DRIVE, guess=_BELT_LIFE),
    _kind("sheave", "pulley, belt sheave", _S.DRIVELINE, _SEPARATOR, 90, _DRIVE, wear=_SHEAVE_GROOVE),
    _kind("drive chain", "roller chain", _S.DRIVELINE, _SEPARATOR, 60, _DRIVE, wear=_ROLLER_60),
    _kind("bearing", "bearing unit, flange bearing", _S.DRIVELINE, _SEPARATOR, 90, _HOT, guess=_BEARING_LIFE),
    _kind("gearbox seal", "gearbox, shaft seal", _S.DRIVELINE, _SEPARATOR, 240, _DRIVE),
    _kind("final drive", "final drive seal", _S.GROUND_DRIVE, _ENGINE, 480, _OIL),
    _kind("tire", "tyre, drive tire, drive tyre", _S.RUNNING_GEAR, _ENGINE, 180),
    _kind("hydraulic hose", "hose, hydraulic line", _S.HYDRAULICS, _ENGINE, 40, _OIL),
    _kind(
        "lift cylinder", "header lift cylinder, hydraulic cylinder, cylinder seal", _S.HYDRAULICS, _ENGINE, 180, _OIL
    ),
    _kind("battery", "batteries", _S.ELECTRICAL, _ENGINE, 30, _WIRE),
    _kind("alternator", "generator", _S.ELECTRICAL, _ENGINE, 90, _WIRE),
    # stands for harness, connectors, fuses and sensors of a machine together: their guess is one rate for all of them
    _kind("wiring harness", "harness, wiring, loom", _S.ELECTRICAL, _ENGINE, 120, _WIRE, guess=_HARNESS_LIFE),
    _kind("connector", "plug, header plug", _S.ELECTRICAL, _ENGINE, 30, _WIRE),
    _kind("fuse", "blade fuse", _S.ELECTRICAL, _ENGINE, 10, _WIRE),
    _kind("relay", "switching relay", _S.ELECTRICAL, _ENGINE, 10, _WIRE),
    _kind("header height sensor", "height sensor", _S.ELECTRICAL, _ENGINE, 45, _UNDER),
    _kind("speed sensor", "shaft speed sensor, shaft sensor", _S.MONITORING, _ENGINE, 30, _DRIVE),
    _kind("loss sensor", "grain loss sensor", _S.MONITORING, _ENGINE, 45, _DRIVE),
    _kind("mass flow sensor", "flow sensor, yield sensor", _S.MONITORING, _ENGINE, 45, _TANK),
    _kind("cab air filter", "cab filter", _S.CAB, _ENGINE, 10),
    _kind("fire extinguisher", "extinguisher", _S.SAFETY, _ENGINE, 5),
)
