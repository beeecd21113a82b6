"""Copper wire: resistance by gauge, voltage drop along a run, resistances side by side. Does not choose a wire for a load."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from wearlog.errors import DataError
from wearlog.facts.closed_lists import Evidence

#: copper, per kelvin about 20 C (from memory)
TEMPERATURE_COEFFICIENT: Final = 0.00393
REFERENCE_CELSIUS: Final = 20.0


@dataclass(frozen=True, slots=True)
class Gauge:
    """One American wire gauge: ohm per 1,000 ft of solid copper at 20 C, and of stranded wire where it is published."""

    awg: int
    ohms_per_1000_feet: float
    evidence: Evidence
    stranded_ohms_per_1000_feet: float | None = None


_P, _C = Evidence.PUBLISHED, Evidence.COMPUTED

#: 12 to 20 published wire tables; 10 and 11 computed from 10.371 ohm circular mil per foot
GAUGES: Final = (
    Gauge(10, 0.999, _C, 1.028),
    Gauge(11, 1.260, _C),
    Gauge(12, 1.588, _P, 1.650),
    Gauge(13, 2.003, _P),
    Gauge(14, 2.525, _P, 2.624),
    Gauge(15, 3.184, _P),
    Gauge(16, 4.016, _P, 4.172),
    Gauge(17, 5.064, _P),
    Gauge(18, 6.385, _P, 6.636),
    Gauge(19, 8.051, _P),
    Gauge(20, 10.15, _P, 10.54),
)


def gauge(awg: int) -> Gauge:
    """Return the entry of a gauge. DataError for one that is not on the list (10 to 20).

    Parameters
    ----------
    awg : int
        American wire gauge, 10 to 20.
    """
    for entry in GAUGES:
        if entry.awg == awg:
            return entry
    raise DataError(f"Wire of {awg} AWG is not on the list (10 to 20).", "Measure the voltage drop under load instead.")


def resistance_ohms(
    awg: int, length_feet: float, *, celsius: float = REFERENCE_CELSIUS, stranded: bool = False
) -> float:
    """Return the resistance of a length of copper wire.

    Parameters
    ----------
    awg : int
    length_feet : float
        Of the wire itself: there and back for a loop.
    celsius : float
        Temperature of the copper.
    stranded : bool
        Take the stranded value, which is published for even gauges only.

    Raises
    ------
    DataError
        For a gauge off the list, a negative length, or a stranded value that is not published.
    """
    entry = gauge(awg)
    if length_feet < 0:
        raise DataError("A wire cannot be shorter than nothing.", "Give its length in feet, there and back.")
    per_1000 = entry.stranded_ohms_per_1000_feet if stranded else entry.ohms_per_1000_feet
    if per_1000 is None:
        raise DataError(
            f"No stranded value is published for {awg} AWG.", "Take the solid value: stranded has 2 to 4 % more."
        )
    return per_1000 * length_feet / 1000 * (1 + TEMPERATURE_COEFFICIENT * (celsius - REFERENCE_CELSIUS))


def voltage_drop(
    awg: int, loop_feet: float, amperes: float, *, celsius: float = REFERENCE_CELSIUS, stranded: bool = False
) -> float:
    """Return the volts lost along a sound loop of wire, by Ohm's law; what is lost above this is lost at a bad spot.

    Parameters
    ----------
    awg : int
        American wire gauge, 10 to 20.
    loop_feet : float
        There and back: a load 20 ft away has a loop of 40 ft.
    amperes : float
        Current in the loop, amperes.
    celsius : float
        Temperature of the wire, degrees Celsius.
    stranded : bool
        Whether the wire is stranded; else solid.
    """
    return amperes * resistance_ohms(awg, loop_feet, celsius=celsius, stranded=stranded)


def parallel_ohms(*ohms: float) -> float:
    """Return the resistance of resistors side by side; 0 if one of them is a short. DataError for none or a negative one.

    Parameters
    ----------
    *ohms : float
        Resistance between the two data wires, ohms.
    """
    if not ohms or min(ohms) < 0:
        raise DataError("Resistors side by side need at least one, and none below zero.", "Give each in ohm.")
    return 0.0 if min(ohms) == 0 else 1 / sum(1 / ohm for ohm in ohms)
