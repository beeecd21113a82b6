"""What a meter should show: limits of voltage drop, battery at rest, charging, the data line. Judges a number; knows no circuit."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum, unique
from typing import Final

from wearlog.errors import DataError
from wearlog.facts.closed_lists import CheckVerdict, Evidence, NodeKind
from wearlog.faults.wire import parallel_ohms

TERMINATOR_OHMS: Final = 120.0

_P, _M, _CP = Evidence.PUBLISHED, Evidence.FROM_MEMORY, Evidence.COMMON_PRACTICE


@dataclass(frozen=True, slots=True)
class Band:
    """The range a sound reading lies in, both ends included, and what it rests on."""

    low: float
    high: float
    unit: str
    evidence: Evidence

    def verdict(self, measured: float) -> CheckVerdict:
        """Return good inside the band, bad outside it.

        Parameters
        ----------
        measured : float
            In the unit of the band.
        """
        return CheckVerdict.GOOD if self.low <= measured <= self.high else CheckVerdict.BAD


#: under load, across one thing (published training material; a connection: common practice)
GROUND_DROP: Final = Band(0.0, 0.1, "V", _P)
WIRE_DROP: Final = Band(0.0, 0.2, "V", _P)
SWITCH_DROP: Final = Band(0.0, 0.3, "V", _P)
CONNECTION_DROP: Final = Band(0.0, 0.1, "V", _CP)
STARTER_CABLES_DROP: Final = Band(0.0, 0.5, "V", _P)
WHOLE_CIRCUIT_DROP: Final = Band(0.0, 0.5, "V", _P)
#: across a new connector, and across one that has corroded (published)
CONNECTOR_OHMS: Final = Band(0.002, 0.005, "ohm", _P)
CORRODED_CONNECTOR_OHMS: Final = Band(0.050, 0.200, "ohm", _P)
CHARGING_VOLTS: Final = Band(13.7, 14.7, "V", _P)
PARASITIC_AMPERES: Final = Band(0.0, 0.050, "A", _M)
#: between the two data wires, everything off and asleep (published)
BUS_OHMS: Final = Band(54.0, 66.0, "ohm", _P)
#: one node that holds no terminator, unplugged and by itself (published)
LONE_NODE_OHMS: Final = Band(10_000.0, 50_000.0, "ohm", _P)

#: rested 4 to 12 h, surface charge bled: volts of a 12 V battery -> charge left in per cent (published; other tables say 11.9 flat)
BATTERY_AT_REST: Final = ((12.6, 100), (12.4, 75), (12.2, 50), (12.0, 25), (11.6, 0))


def drop_limit(kind: NodeKind) -> Band:
    """Return how much voltage may be lost under load across one node of that kind.

    Parameters
    ----------
    kind : NodeKind
        Kind of node.
    """
    if kind is NodeKind.GROUND:
        return GROUND_DROP
    if kind in (NodeKind.SWITCH, NodeKind.RELAY):
        return SWITCH_DROP
    if kind in (NodeKind.WIRE_RUN, NodeKind.BATTERY):
        return WIRE_DROP
    return CONNECTION_DROP


def battery_charge_percent(volts: float, *, nominal_volts: int = 12) -> float:
    """Return the charge left in a rested battery, straight lines between the published points; 24 V counts double.

    Parameters
    ----------
    volts : float
        Reading across the battery, volts.
    nominal_volts : int
        12 or 24.

    Raises
    ------
    DataError
        For a nominal voltage other than 12 or 24, or a reading that no battery at rest gives.
    """
    if nominal_volts not in (12, 24):
        raise DataError(f"{nominal_volts} V is not the voltage of a machine's battery.", "Say 12 or 24.")
    as_12 = volts * 12 / nominal_volts
    if not 0 <= as_12 <= 14:
        raise DataError(
            f"{volts:g} V is not a battery at rest.", "Switch off, let it rest 4 hours, bleed the surface charge."
        )
    above = BATTERY_AT_REST[0]
    if as_12 >= above[0]:
        return float(above[1])
    for below in BATTERY_AT_REST[1:]:
        if as_12 >= below[0]:
            share = (as_12 - below[0]) / (above[0] - below[0])
            return below[1] + share * (above[1] - below[1])
        above = below
    return 0.0


@unique
class BusState(StrEnum):
    """What the resistance between the two data wires says."""

    SOUND = "sound"
    TERMINATOR_MISSING = "terminator_missing"
    SHORTED = "shorted"
    TERMINATOR_TOO_MANY = "terminator_too_many"
    BOTH_MISSING = "both_missing"
    UNCLEAR = "unclear"


def bus_state(ohms: float) -> BusState:
    """Return what a reading between the two data wires says, everything off and asleep.

    Parameters
    ----------
    ohms : float
        Resistance between the two data wires, ohms.

    Raises
    ------
    DataError
        For a negative reading.

    Notes
    -----
    Two terminators of 120 ohm side by side give 60; one alone 120; three 40; 0 is high shorted to low (published; 40 computed).
    10 % either way is taken as the same reading (common practice, no source). A powered-terminator implement bus (ISO 11783-2)
    does not read a plain 60 (from memory).
    """
    if ohms < 0:
        raise DataError("A resistance is not below zero.", "Switch everything off, swap the probes, measure again.")
    if ohms < TERMINATOR_OHMS / 24:
        return BusState.SHORTED
    for terminators, state in (
        (3, BusState.TERMINATOR_TOO_MANY),
        (2, BusState.SOUND),
        (1, BusState.TERMINATOR_MISSING),
    ):
        nominal = parallel_ohms(*(TERMINATOR_OHMS,) * terminators)
        if abs(ohms - nominal) <= 0.1 * nominal:
            return state
    return BusState.BOTH_MISSING if ohms >= LONE_NODE_OHMS.low / 10 else BusState.UNCLEAR
