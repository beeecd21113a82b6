"""What a voltmeter on the two wires of a data line says: each wire to ground, key on, the line busy. Knows no circuit.

Bands of 2.7 to 3.3 V (high) and 1.7 to 2.3 V (low): a maker's display help, after ISO 11898-2; both 2.5 V where nobody talks. What
a wire on the other, on ground or on the supply shows is computed for four controllers. How often each fault shows what is common
practice, without a source. One terminator missing (2.8 and 2.2 V, computed) is not to be told from sound.
"""

from __future__ import annotations

import re
from enum import StrEnum, unique
from typing import Final

from wearlog.faults.data_line import LineFault

_NUMBER: Final = r"(?<![\d.,-])(\d+(?:[.,]\d+)?)"
_HIGH: Final = re.compile(r"\bhigh\D{0,8}?" + _NUMBER, re.IGNORECASE)
_LOW: Final = re.compile(r"\blow\D{0,8}?" + _NUMBER, re.IGNORECASE)
_PAIR: Final = re.compile(
    r"\s*" + _NUMBER + r"\s*(?:V|volts?)?\s*(?:/|;|,\s|\band\b|\s)\s*" + _NUMBER + r"\s*(?:V|volts?)?\s*", re.IGNORECASE
)
#: a meter in the field reads so exactly, volts (common practice, no source)
_METER: Final = 0.05
_HIGH_BAND: Final = (2.7, 3.3)
_LOW_BAND: Final = (1.7, 2.3)
_IDLE_BAND: Final = (2.2, 2.8)
_ALIKE: Final = 0.1
_NOTHING_BELOW: Final = 0.3
_SUPPLY_ABOVE: Final = 5.0


@unique
class VoltsClass(StrEnum):
    """What the two wires show together."""

    SOUND = "sound"
    ALIKE = "alike"
    NOTHING = "nothing"
    LOW_GROUNDED = "low_grounded"
    HIGH_ON_SUPPLY = "high_on_supply"
    LOW_ON_SUPPLY = "low_on_supply"
    BETWEEN = "between"


#: what each fault of the line shows, in the order of the classes; each row adds up to 1
_SHOWN: Final[dict[LineFault, tuple[float, ...]]] = {
    LineFault.ELSEWHERE: (0.90, 0.04, 0.005, 0.003, 0.001, 0.001, 0.05),
    LineFault.OPEN: (0.84, 0.04, 0.005, 0.005, 0.001, 0.001, 0.108),
    LineFault.RESISTANCE: (0.84, 0.04, 0.005, 0.005, 0.001, 0.001, 0.108),
    LineFault.SHORT: (0.03, 0.42, 0.224, 0.224, 0.001, 0.001, 0.10),
}
_ON_SUPPLY: Final = (0.03, 0.02, 0.005, 0.005, 0.44, 0.44, 0.06)

#: what is told of each: what it speaks for, and what to do
VOLTS_THOUGHT: Final[dict[VoltsClass, str]] = {
    VoltsClass.SOUND: "Both wires are in their bands. One terminator missing looks the same: only ohms with all off tell that",
    VoltsClass.ALIKE: "Both wires alike and nobody talks: high lies on low, or the line is idle. Do: all off, ohms between the two",
    VoltsClass.NOTHING: "Nothing on both: high lies on ground. Do: all off, ohms of each to ground; under 1 kohm: the short",
    VoltsClass.LOW_GROUNDED: "Low has nothing and high little: low lies on ground. Do: all off, ohms from each wire to ground",
    VoltsClass.HIGH_ON_SUPPLY: "Both far above 5 V, high more: high lies on the supply. Do: all off, ohms from high to supply",
    VoltsClass.LOW_ON_SUPPLY: "Both far above 5 V, low more: low lies on the supply. Do: all off, ohms from low to supply",
    VoltsClass.BETWEEN: "Between the bands it says little. Do: key on, line busy, both to the battery's own - post, read again",
}


def two_volts(text: str) -> tuple[float, float] | None:
    """Return the volts of high and low out of "high 2.7 V, low 2.3 V", "2.7 / 2.3 V" or "2.7 and 2.3", or None.

    Parameters
    ----------
    text : str
        What was written; without the words high and low the first figure is high.
    """
    high, low = _HIGH.search(text), _LOW.search(text)
    if high is not None and low is not None:
        return _value(high[1]), _value(low[1])
    pair = _PAIR.fullmatch(text)
    return None if pair is None else (_value(pair[1]), _value(pair[2]))


def volts_class(high: float, low: float) -> VoltsClass:
    """Return what the two wires show together.

    Parameters
    ----------
    high, low : float
        Volts to the battery's own - post, key on, the line busy.
    """
    if min(high, low) > _SUPPLY_ABOVE:
        return VoltsClass.HIGH_ON_SUPPLY if high >= low else VoltsClass.LOW_ON_SUPPLY
    if max(high, low) < _NOTHING_BELOW:
        return VoltsClass.NOTHING
    if low < _NOTHING_BELOW and high < _HIGH_BAND[0]:
        return VoltsClass.LOW_GROUNDED
    if _within(high, _HIGH_BAND) and _within(low, _LOW_BAND):
        return VoltsClass.SOUND
    if abs(high - low) <= _ALIKE + 1e-9 and _within(high, _IDLE_BAND) and _within(low, _IDLE_BAND):
        return VoltsClass.ALIKE
    return VoltsClass.BETWEEN


def volts_chance(fault: LineFault | None, shown: VoltsClass) -> float:
    """Return the chance of what the two wires show under a fault of the line.

    Parameters
    ----------
    fault : LineFault or None
        None: a wire on the supply. An end that is lost is an open line.
    shown : VoltsClass
    """
    fault = LineFault.OPEN if fault is LineFault.THIS_END else fault
    fault = LineFault.ELSEWHERE if fault is LineFault.THIRD_END else fault
    row = _ON_SUPPLY if fault is None else _SHOWN[fault]
    return row[list(VoltsClass).index(shown)]


def _within(volts: float, band: tuple[float, float]) -> bool:
    return band[0] - _METER - 1e-9 <= volts <= band[1] + _METER + 1e-9


def _value(number: str) -> float:
    return float(number.replace(",", "."))
