"""The number in what somebody noted at a meter: "0.3 V", "jumps to 118 ohm", "open". Judges nothing."""

from __future__ import annotations

import re
from math import inf
from typing import Final

#: unit as it is written (in lower case; but m and M differ) -> the unit it counts in, and how many of it
_UNITS: Final[dict[str, tuple[str, float]]] = {
    "V": ("V", 1.0),
    "v": ("V", 1.0),
    "volt": ("V", 1.0),
    "volts": ("V", 1.0),
    "mV": ("V", 0.001),
    "mv": ("V", 0.001),
    "A": ("A", 1.0),
    "a": ("A", 1.0),
    "amp": ("A", 1.0),
    "amps": ("A", 1.0),
    "mA": ("A", 0.001),
    "ma": ("A", 0.001),
    "ohm": ("ohm", 1.0),
    "ohms": ("ohm", 1.0),
    "Ω": ("ohm", 1.0),
    "kohm": ("ohm", 1e3),
    "kΩ": ("ohm", 1e3),
    "Mohm": ("ohm", 1e6),
    "MΩ": ("ohm", 1e6),
}
#: a minus behind a number stands between the two ends of a reading that moved
_NUMBER: Final = r"(?<![\w.,])((?:(?<!\d\s)[-\u2212])?\d+(?:[.,]\d+)?)"
#: some meters write the O as a zero, or a point between the two letters
_NO_END: Final = re.compile(r"\b(open|[o0]\.?l|infinite|endless)\b", re.IGNORECASE)


def measured_number(text: str, unit: str) -> float | None:
    """Return the first number in `text` that counts in `unit` (V, A or ohm), or None.

    Parameters
    ----------
    text : str
        What was written.
    unit : str
        V, A or ohm.

    Notes
    -----
    A number alone is taken to be in that unit. For a resistance "open" and "OL" are without end, and below zero is none. A
    number with another unit, or among words without one, is none: "12 V" is no resistance, "pin 3 green" no measurement.
    """
    for number, written in re.findall(_NUMBER + r"\s*([^\W\d_]+)", text):
        known = _UNITS.get(written) or _UNITS.get(written.lower())
        if known is not None and known[0] == unit:
            return _sound(_value(number, *known), unit)
    alone = re.fullmatch(r"\s*\+?" + _NUMBER + r"\s*", text)
    if alone:
        return _sound(_value(alone[1], unit, 1.0), unit)
    return inf if unit == "ohm" and _NO_END.search(text) else None


def measured_range(text: str, unit: str) -> tuple[float, float] | None:
    """Return the lowest and highest of a reading that moved, such as "8.0 to 12.1 V", or None for one that stood still.

    Parameters
    ----------
    text : str
        What was written.
    unit : str
        V, A or ohm.
    """
    moved = re.search(_NUMBER + r"\s*(?:to|-)\s*(\d+(?:[.,]\d+)?)\s*([^\W\d_]+)", text)
    if moved is None:
        return None
    known = _UNITS.get(moved[3]) or _UNITS.get(moved[3].lower())
    if known is None or known[0] != unit:
        return None
    ends = sorted(_value(one, *known) for one in (moved[1], moved[2]))
    return ends[0], ends[1]


def _sound(value: float, unit: str) -> float | None:
    return None if unit == "ohm" and value < 0 else value


def _value(number: str, unit: str, factor: float) -> float:
    """Read digits with one mark: a comma before exactly three digits groups thousands where that can be, any other is decimal.

    No machine has a thousand volts or amperes, and no thousands begin with a zero.
    """
    grouped = re.fullmatch(r"-?[1-9]\d{0,2},\d{3}", number) and (unit == "ohm" or factor < 1)
    return float(number.replace("\u2212", "-").replace(",", "" if grouped else ".")) * factor
