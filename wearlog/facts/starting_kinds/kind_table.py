"""How a row of the library is written and what kind of part it makes: figures as the trade says them, stored units out."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import ROUND_HALF_EVEN, Decimal
from typing import Final

from wearlog.facts.closed_lists import Dimension, Evidence, Hazard, MeterKind, Subsystem
from wearlog.facts.parts import PartKind
from wearlog.ids import derived_id
from wearlog.units import STORED_UNITS, to_stored

AREA, SEPARATOR, ENGINE = MeterKind.AREA, MeterKind.SEPARATOR_HOURS, MeterKind.ENGINE_HOURS
CALENDAR = MeterKind.CALENDAR
UNDER, KNIFE, DRIVE, HOT = Hazard.UNDER_HEADER, Hazard.KNIFE, Hazard.ROTATING_DRIVE, Hazard.HOT_PART
TANK, OIL, WIRE = Hazard.GRAIN_TANK, Hazard.HYDRAULIC, Hazard.ELECTRICAL
BATTERY, TIRE = Hazard.BATTERY, Hazard.TIRE

#: breakages per 1,000 acres -> breakages per million square kilometres (10^12 square metres)
_PER_1000_ACRES: Final = Decimal(10) ** 9 / STORED_UNITS["ac"]
_USAGE_UNIT: Final = {AREA: "ac", SEPARATOR: "h", ENGINE: "h", CALENDAR: "y"}


@dataclass(frozen=True, slots=True)
class Guess:
    """Central 80 % ranges of median life (acres, hours or years) and shape; impacts per 1,000 acres on the four grounds."""

    life_low: int
    life_high: int
    shape_low: str
    shape_high: str
    impacts: str = "0 0 0 0"
    evidence: Evidence = Evidence.COMMON_PRACTICE


@dataclass(frozen=True, slots=True)
class Wear:
    """How wear is measured, all in inches: when new (None: not the same on every machine), at the limit, a chain's pitch."""

    dimension: Dimension
    new: str | None
    limit: str
    pitch: str | None = None
    pitches: int | None = None


#: CA550, 12 pitches of 1.630 in; limit 3 % (two chain makers' pages; for adjustable centres common practice)
CA550: Final = Wear(Dimension.LENGTH_OVER_PITCHES, "19.56", "20.1468", "1.63", 12)
#: ANSI #60, 12 pitches of 0.750 in; limit 3 % (two chain makers' pages)
ROLLER_60: Final = Wear(Dimension.LENGTH_OVER_PITCHES, "9", "9.27", "0.75", 12)


def kind(
    name: str,
    words: str,
    subsystem: Subsystem,
    meter: MeterKind,
    minutes: int,
    hazard: Hazard | None,
    guess: Guess,
    wear: Wear | None = None,
) -> PartKind:
    """Return a kind in stored units; `minutes` of man-time are for one position, the cautions of `hazard` stand first."""
    unit = _USAGE_UNIT[meter]
    clean, few_stones, stony, very_stony = (_impacts(rate) for rate in guess.impacts.split())
    return PartKind(
        id=derived_id("part_kind", name),
        name=name,
        words=tuple(word.strip() for word in words.split(",") if word.strip()),
        subsystem=subsystem,
        meter_kind=meter,
        life_low_usage=to_stored(Decimal(guess.life_low), unit),
        life_high_usage=to_stored(Decimal(guess.life_high), unit),
        shape_low_thousandths=int(Decimal(guess.shape_low) * 1000),
        shape_high_thousandths=int(Decimal(guess.shape_high) * 1000),
        impacts_clean=clean,
        impacts_few_stones=few_stones,
        impacts_stony=stony,
        impacts_very_stony=very_stony,
        guess_evidence=guess.evidence,
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
