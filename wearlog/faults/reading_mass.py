"""How likely a voltage of a certain size is, by what stands between it and the battery. Knows no circuit and no fault.

Each function answers the chance of a reading within its tolerance; `mixed` adds what a slip of the probe would show.
Limits of drop: published training material (see readings.py). The rest is common practice, without a source.
"""

from __future__ import annotations

from enum import StrEnum, unique
from math import erf, sqrt
from typing import Final

from wearlog.errors import DataError
from wearlog.faults.severity import SIZES, Variant

#: a sound circuit loses this much (sd of a half-normal law): 95 % of sound ones at most 0.5 V, the published limit
SOUND_LOSS_SD: Final = 0.255
#: what a meter shows on a dead wire
NOTHING_SD: Final = 0.1
NO_CURRENT_SD: Final = 0.01
#: without a load a digital meter shows a voltage that is not there, this often
GHOST_SHARE: Final = 0.15
#: readings that are a slip: any size alike
SLIP_SHARE: Final = 0.03
#: joints of an old machine that take a little
AGED_SHARE: Final = 0.07
#: a limit is what 95 % of sound ones keep
_LIMIT_SDS: Final = 1.96


@unique
class Seen(StrEnum):
    """What stands between the battery and the probe, as the meter has it."""

    SOUND = "sound"
    NOTHING = "nothing"
    MILD = "mild"
    MEDIUM = "medium"
    SEVERE = "severe"
    POWER = "power"
    NO_CURRENT = "no_current"
    WHOLE_SUPPLY = "whole_supply"
    AGED = "aged"


def half_normal(y: float, sd: float) -> float:
    """Return the chance that a half-normal quantity is at most y.

    Parameters
    ----------
    y : float
        In the unit of `sd`.
    sd : float
        Above 0.
    """
    return erf(y / (sd * sqrt(2))) if y > 0 else 0.0


def point_tolerance(volts: float) -> float:
    """Return how exact a voltage at a point is, either way, in volts: 0.1 V or 1 %.

    Parameters
    ----------
    volts : float
        The reading.
    """
    return max(0.1, 0.01 * abs(volts))


def drop_tolerance(volts: float) -> float:
    """Return how exact a voltage across a part is, either way, in volts: 0.02 V or 1 %.

    Parameters
    ----------
    volts : float
        The reading.
    """
    return max(0.02, 0.01 * abs(volts))


def mixed(mass: float, tolerance: float, battery_volts: float) -> float:
    """Return the chance of a reading with slips mixed in: 3 % of readings are of any size alike.

    Parameters
    ----------
    mass : float
        Chance of the reading, none slipped.
    tolerance : float
        Volts either way.
    battery_volts : float
        What the battery shows in the same state, volts.
    """
    return (1 - SLIP_SHARE) * mass + SLIP_SHARE * 2 * tolerance / (1.1 * battery_volts)


def chance_at_point(seen: Seen, low: float, high: float, battery_volts: float, *, load_on: bool = True) -> float:
    """Return the chance that a voltage to ground lies between two values, no slip counted.

    Parameters
    ----------
    seen : Seen
        Sound, nothing, one of the three sizes, or power where none should be.
    low, high : float
        Volts; a reading is asked for with its tolerance either way.
    battery_volts : float
        The battery's own reading in the same state, volts; above 0.
    load_on : bool
        Without a load no current flows: a resistance hides, and a dead wire may show a ghost.

    Raises
    ------
    DataError
        For a battery that shows nothing.
    """
    if not battery_volts > 0:
        raise DataError("The battery's own reading must be above 0 V.", "Measure it at its posts, in the same state.")
    if seen is Seen.NOTHING:
        sharp = half_normal(high, NOTHING_SD) - half_normal(low, NOTHING_SD)
        ghost = max(0.0, min(high, battery_volts) - max(low, 0.0)) / battery_volts
        return sharp if load_on else (1 - GHOST_SHARE) * sharp + GHOST_SHARE * ghost
    if seen in _SIZED and load_on:
        return SIZES[_SIZED[seen]].mass(1 - high / battery_volts, 1 - low / battery_volts)
    lost_most, lost_least = battery_volts - low, battery_volts - high
    return half_normal(lost_most, SOUND_LOSS_SD) - half_normal(lost_least, SOUND_LOSS_SD)


def chance_across(seen: Seen, low: float, high: float, battery_volts: float, limit: float) -> float:
    """Return the chance that the voltage across a part lies between two values with the load on, no slip counted.

    Parameters
    ----------
    seen : Seen
        Sound, aged, no current, the whole supply, or one of the three sizes.
    low, high : float
        Volts.
    battery_volts : float
        The battery's own reading in the same state, volts.
    limit : float
        What a sound part of that kind takes at most, volts.
    """
    if seen in _SIZED:
        return SIZES[_SIZED[seen]].mass(low / battery_volts, high / battery_volts)
    if seen is Seen.WHOLE_SUPPLY:
        return half_normal(battery_volts - low, SOUND_LOSS_SD) - half_normal(battery_volts - high, SOUND_LOSS_SD)
    sd = NO_CURRENT_SD if seen is Seen.NO_CURRENT else limit / _LIMIT_SDS
    sound = half_normal(high, sd) - half_normal(low, sd)
    if seen is not Seen.AGED:
        return sound
    mild = SIZES[Variant.MILD].mass(low / battery_volts, high / battery_volts)
    return (1 - AGED_SHARE) * sound + AGED_SHARE * mild


def reading_at_point(seen: Seen, volts: float, battery_volts: float, *, load_on: bool = True) -> float:
    """Return the likelihood of a voltage to ground, slips mixed in.

    Parameters
    ----------
    seen : Seen
        As `chance_at_point`.
    volts : float
        The reading.
    battery_volts : float
        The battery's own reading in the same state, volts.
    load_on : bool
        Whether the load drew its current.
    """
    t = point_tolerance(volts)
    return mixed(chance_at_point(seen, volts - t, volts + t, battery_volts, load_on=load_on), t, battery_volts)


def reading_across(seen: Seen, volts: float, battery_volts: float, limit: float) -> float:
    """Return the likelihood of a voltage across a part, slips mixed in.

    Parameters
    ----------
    seen : Seen
        As `chance_across`.
    volts : float
        The reading, load on.
    battery_volts : float
        The battery's own reading in the same state, volts.
    limit : float
        What a sound part of that kind takes at most, volts.
    """
    t = drop_tolerance(volts)
    return mixed(chance_across(seen, volts - t, volts + t, battery_volts, limit), t, battery_volts)


_SIZED: Final = {Seen.MILD: Variant.MILD, Seen.MEDIUM: Variant.MEDIUM, Seen.SEVERE: Variant.SEVERE}
