"""The number in what somebody noted at a meter: "0.3 V", "jumps to 118 ohm", "open". Judges nothing."""

from __future__ import annotations

import re
from math import inf
from typing import Final

#: unit as it is written (in lower case; but m and M differ) -> the unit it counts in, and how many of it
_UNITS: Final[dict[str, tuple[str, float]]] = {
    "V": ("V", 1.0),
    "volt": ("V", 1.0),
    "volts": ("V", 1.0),
    "mV": ("V", 0.001),
    "A": ("A", 1.0),
    "amp": ("A", 1.0),
    "amps": ("A", 1.0),
    "mA": ("A", 0.001),
    "ohm": ("ohm", 1.0),
    "ohms": ("ohm", 1.0),
    "Ω": ("ohm", 1.0),
    "kohm": ("ohm", 1e3),
    "kΩ": ("ohm", 1e3),
    "Mohm": ("ohm", 1e6),
    "MΩ": ("ohm", 1e6),
}
_NUMBER: Final = r"(?<![\w.,])(\d+(?:[.,]\d+)?)"
_NO_END: Final = re.compile(r"\b(open|ol|o\.l\.|infinite|endless)\b", re.IGNORECASE)


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
    A number alone is taken to be in that unit. For a resistance "open" and "OL" are without end. A number with another unit, or
    among other words without one, is none: "12 V" is no resistance, and in "pin 3 green" nothing was measured.
    """
    for number, written in re.findall(_NUMBER + r"\s*([^\W\d_]+)", text):
        known = _UNITS.get(written) or _UNITS.get(written.lower())
        if known is not None and known[0] == unit:
            return _value(number) * known[1]
    alone = re.fullmatch(r"\s*" + _NUMBER + r"\s*", text)
    if alone:
        return _value(alone[1])
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
    ends = sorted(_value(one) * known[1] for one in (moved[1], moved[2]))
    return ends[0], ends[1]


def _value(number: str) -> float:
    """Read digits with one mark: a comma before exactly three digits groups thousands, any other is decimal."""
    grouped = re.fullmatch(r"\d{1,3},\d{3}", number)
    return float(number.replace(",", "" if grouped else "."))
