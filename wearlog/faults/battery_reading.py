"""What the battery's own voltage says, by the state it was taken in: charge, charging, cranking. Knows no circuit.

Bands: an industry table of charge (80 F, flooded cells), two car books (cranking by temperature), a tester's manual, a military
manual and a 24 V guide (charging), all published. The spread of each state is common practice, without a source.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum, unique
from math import erf, exp, pi, sqrt
from typing import Final

from wearlog.errors import DataError
from wearlog.facts.closed_lists import Evidence
from wearlog.facts.electrics import Supplied
from wearlog.faults.readings import Band


@unique
class SupplyState(StrEnum):
    """What a battery and its alternator may be."""

    SOUND = "sound"
    GIVES_NOTHING = "gives_nothing"
    GIVES_TOO_LITTLE = "gives_too_little"
    OVERCHARGES = "overcharges"
    BAD_CLAMP = "bad_clamp"
    CHARGED = "charged"
    LOW = "low"
    NOT_CHARGED = "not_charged"
    DEAD_CELL = "dead_cell"
    JUST_CHARGED = "just_charged"


@dataclass(frozen=True, slots=True)
class SupplyRow:
    """How often a supply is so, and what a 12 V battery then shows: mean and sd in volts. `sd` 0: flat over `mean` volts."""

    share: float
    mean: float
    sd: float


RUNNING: Final[dict[SupplyState, SupplyRow]] = {
    SupplyState.SOUND: SupplyRow(0.80, 14.1, 0.25),
    SupplyState.GIVES_NOTHING: SupplyRow(0.08, 12.2, 0.35),
    SupplyState.GIVES_TOO_LITTLE: SupplyRow(0.06, 13.1, 0.35),
    SupplyState.OVERCHARGES: SupplyRow(0.03, 15.4, 0.5),
    SupplyState.BAD_CLAMP: SupplyRow(0.03, 8.0, 0.0),
}
RESTED: Final[dict[SupplyState, SupplyRow]] = {
    SupplyState.CHARGED: SupplyRow(0.70, 12.6, 0.12),
    SupplyState.LOW: SupplyRow(0.15, 12.15, 0.2),
    SupplyState.NOT_CHARGED: SupplyRow(0.08, 12.0, 0.3),
    SupplyState.DEAD_CELL: SupplyRow(0.04, 10.6, 0.4),
    SupplyState.JUST_CHARGED: SupplyRow(0.03, 13.2, 0.4),
}

#: rested 4 h and more, nothing on: volts of a 12 V battery -> charge left in per cent (industry table, flooded cells, 80 F)
CHARGE_AT_REST: Final = ((12.65, 100), (12.45, 75), (12.24, 50), (12.06, 25), (11.89, 0))
#: cranking, or 15 s on a load tester, at that air temperature (F): at least so many volts
CRANKING: Final = ((70, 9.6), (50, 9.4), (32, 9.1), (0, 8.5))
#: over 1,200 rpm with few loads; with all loads on at least 12.6 V
CHARGING: Final = Band(13.3, 15.0, "V", Evidence.PUBLISHED)
ALL_LOADS_ON: Final = 12.6
#: a battery that shows less has nothing: no voltage further on is judged by it (common practice, no source)
NOTHING_AT_BATTERY: Final = 1.0
#: key on, loads on, engine off: below this, charge before anything else is measured (common practice, no source)
TOO_LOW_TO_MEASURE: Final = 11.8
#: on the positive side and on the ground side between alternator and battery (published)
ALTERNATOR_CABLE_DROP: Final = 0.5
ALTERNATOR_GROUND_DROP: Final = 0.3
_BIN: Final = 0.1


def lost_volts(battery_volts: float, reading: float) -> float:
    """Return what is lost between the battery and a point, both taken in the same state: volts.

    Parameters
    ----------
    battery_volts : float
        The battery's own reading at its posts.
    reading : float
        The voltage at the point.
    """
    return battery_volts - reading


def supply_chances(volts: float, state: Supplied, *, nominal_volts: int = 12) -> dict[SupplyState, float]:
    """Return what the supply is by its own reading; the chances add up to 1.

    Parameters
    ----------
    volts : float
        At the battery's posts.
    state : Supplied
        Running, or rested (key on counts as rested: it falls a little lower). Cranking has a band of its own.
    nominal_volts : int
        12 or 24.

    Raises
    ------
    DataError
        For a state with no law (off, cranking), or another nominal voltage.
    """
    rows = _rows(state)
    weights = {supply: row.share * reading_chance(row, volts, nominal_volts) for supply, row in rows.items()}
    total = sum(weights.values())
    if total <= 0:
        return {supply: row.share for supply, row in rows.items()}
    return {supply: weight / total for supply, weight in weights.items()}


def reading_chance(row: SupplyRow, volts: float, nominal_volts: int = 12) -> float:
    """Return the chance of a reading within 0.1 V (12 V battery) under one state of the supply.

    Parameters
    ----------
    row : SupplyRow
        One state of the supply.
    volts : float
        At the battery's posts.
    nominal_volts : int
        12 or 24.
    """
    as_12 = volts * 12 / checked_nominal(nominal_volts)
    if row.sd == 0:
        return 2 * _BIN / row.mean
    low, high = ((as_12 + side - row.mean) / (row.sd * sqrt(2)) for side in (-_BIN, _BIN))
    mass = (erf(high) - erf(low)) / 2
    # far out both ends of the difference are 1: the density at the reading stands in
    return mass or 2 * _BIN * exp(-(((as_12 - row.mean) / row.sd) ** 2) / 2) / (row.sd * sqrt(2 * pi))


def charge_percent(volts: float, *, nominal_volts: int = 12) -> float:
    """Return the charge left in a battery that rested 4 h or more, straight lines between the points of the industry table.

    Parameters
    ----------
    volts : float
        At its posts, nothing on.
    nominal_volts : int
        12 or 24.
    """
    as_12 = volts * 12 / checked_nominal(nominal_volts)
    above = CHARGE_AT_REST[0]
    if as_12 >= above[0]:
        return float(above[1])
    for below in CHARGE_AT_REST[1:]:
        if as_12 >= below[0]:
            return below[1] + (as_12 - below[0]) / (above[0] - below[0]) * (above[1] - below[1])
        above = below
    return 0.0


def least_cranking_volts(fahrenheit: float, *, nominal_volts: int = 12) -> float:
    """Return what a battery should hold while it cranks, by the temperature of the air.

    Parameters
    ----------
    fahrenheit : float
        Degrees; beyond the table its ends hold.
    nominal_volts : int
        12 or 24.
    """
    times = checked_nominal(nominal_volts) / 12
    warm = CRANKING[0]
    for cold in CRANKING[1:]:
        if fahrenheit >= warm[0]:
            break
        if fahrenheit >= cold[0]:
            return times * (cold[1] + (fahrenheit - cold[0]) / (warm[0] - cold[0]) * (warm[1] - cold[1]))
        warm = cold
    return times * warm[1]


def checked_nominal(nominal_volts: int) -> int:
    """Return 12 or 24. DataError for another voltage.

    Parameters
    ----------
    nominal_volts : int
        Of the machine's battery.
    """
    if nominal_volts not in (12, 24):
        raise DataError(f"{nominal_volts} V is not the voltage of a machine's battery.", "Say 12 or 24.")
    return nominal_volts


def _rows(state: Supplied) -> dict[SupplyState, SupplyRow]:
    if state is Supplied.RUNNING:
        return RUNNING
    if state in (Supplied.RESTED, Supplied.KEY_ON, Supplied.JUST_CHARGED):
        return RESTED
    raise DataError(
        f"A battery that is {state.replace('_', ' ')} is judged by a band, not by its charge.",
        "Say rested, key on or running.",
    )
