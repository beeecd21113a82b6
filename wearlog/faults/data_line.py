"""What an ohmmeter on a two-wire data line says, by where it is held and what has failed. Knows no circuit.

60 ohm with both ends, 120 with one: published car manuals and a maker's display help, after ISO 11898-2; 40 ohm with a third end is
computed. How often each thing fails and how noise spreads a reading are common practice, without a source.
"""

from __future__ import annotations

from enum import StrEnum, unique
from typing import Final

from wearlog.errors import DataError

#: readings that fall in any class alike
_SLIP_SHARE: Final = 0.03


@unique
class LineClass(StrEnum):
    """A range of ohms between the two wires, everything off and asleep."""

    SHORTED = "shorted"
    TWO_FAULTS = "two_faults"
    THIRD_END = "third_end"
    LEADS = "leads"
    SOUND = "sound"
    RESISTANCE = "resistance"
    ONE_END = "one_end"
    NO_END = "no_end"
    OVER_RANGE = "over_range"


@unique
class Spot(StrEnum):
    """Where the meter is held: at a plug with everything plugged in, at a terminator in the hand or in its empty socket, at an
    opened plug."""

    PLUG = "plug"
    IN_HAND = "in_hand"
    SOCKET = "socket"
    OPENED = "opened"


@unique
class LineFault(StrEnum):
    """What a fault is to the line. `elsewhere` reads sound: a controller, its feed, or nothing that is drawn."""

    ELSEWHERE = "elsewhere"
    THIS_END = "this_end"
    OPEN = "open"
    RESISTANCE = "resistance"
    SHORT = "short"
    THIRD_END = "third_end"


#: upper edge of each class, ohm; beyond the last the meter shows no end
_EDGES: Final = (
    (5.0, LineClass.SHORTED),
    (34.0, LineClass.TWO_FAULTS),
    (47.0, LineClass.THIRD_END),
    (54.0, LineClass.LEADS),
    (66.0, LineClass.SOUND),
    (108.0, LineClass.RESISTANCE),
    (132.0, LineClass.ONE_END),
    (100_000.0, LineClass.NO_END),
)

#: with everything plugged in: the class that each fault gives
_AT_PLUG: Final[dict[LineFault, LineClass]] = {
    LineFault.ELSEWHERE: LineClass.SOUND,
    LineFault.THIS_END: LineClass.ONE_END,
    LineFault.OPEN: LineClass.ONE_END,
    LineFault.SHORT: LineClass.SHORTED,
    LineFault.THIRD_END: LineClass.THIRD_END,
}
#: 5 to 5,000 ohm in one wire, uniform on the logarithm, 3 % and half an ohm of noise, slips counted; the rest spreads evenly
_HIGH_RESISTANCE: Final[dict[LineClass, float]] = {
    LineClass.SOUND: 0.2522,
    LineClass.RESISTANCE: 0.5098,
    LineClass.ONE_END: 0.2180,
}
#: in its empty socket: a sound trunk and far end show 120
_AT_SOCKET: Final[dict[LineFault, LineClass]] = {
    LineFault.ELSEWHERE: LineClass.ONE_END,
    LineFault.THIS_END: LineClass.ONE_END,
    LineFault.RESISTANCE: LineClass.ONE_END,
    LineFault.OPEN: LineClass.OVER_RANGE,
    LineFault.SHORT: LineClass.SHORTED,
    LineFault.THIRD_END: LineClass.SOUND,
}

#: ohms -> what to suspect first, and what to do
FIRST_THOUGHT: Final[dict[LineClass, tuple[str, str]]] = {
    LineClass.SHORTED: (
        "high on low: a run or a plug, then a controller",
        "open the plug in the middle and measure both sides; the side with 120 ohm is sound",
    ),
    LineClass.TWO_FAULTS: ("two faults, or the meter's leads", "measure again"),
    LineClass.THIRD_END: ("a third terminator", "unplug what was added last"),
    LineClass.LEADS: ("little: the leads, or a wet plug", "measure again"),
    LineClass.SOUND: (
        "nothing by this test: a controller, its feed, or a joint that fails when it is moved",
        "wiggle the plugs while reading",
    ),
    LineClass.RESISTANCE: (
        "a resistance in one of the two wires: a plug",
        "wiggle each plug while reading; measure ohms across one wire of it",
    ),
    LineClass.ONE_END: (
        "one end lost",
        "ask the screen which controllers it still sees: all of them, the terminators first; some gone, a plug in the middle",
    ),
    LineClass.NO_END: ("both ends lost, a stub that is off, or a bad contact of the probes", "try another plug"),
    LineClass.OVER_RANGE: ("the line is open at this place", "try another plug"),
}


def line_class(ohms: float) -> LineClass:
    """Return the class of a reading; `inf` where the meter shows no end.

    Parameters
    ----------
    ohms : float
        Between the two data wires, everything off and asleep.

    Raises
    ------
    DataError
        For a resistance below zero.
    """
    if not ohms >= 0:
        raise DataError("A resistance is not below zero.", "Switch everything off, swap the probes, measure again.")
    return next((cls for edge, cls in _EDGES if ohms < edge), LineClass.OVER_RANGE)


def line_chances(fault: LineFault, spot: Spot = Spot.PLUG) -> dict[LineClass, float]:
    """Return the chance of each class of reading under a fault of the line; they add up to 1.

    Parameters
    ----------
    fault : LineFault
        At a terminator, `this_end` means the very one that is measured.
    spot : Spot
        Where the meter is held.
    """
    even = _SLIP_SHARE / len(LineClass)
    if spot in (Spot.PLUG, Spot.OPENED) and fault is LineFault.RESISTANCE:
        return {cls: _HIGH_RESISTANCE.get(cls, even) for cls in LineClass}
    if spot is Spot.IN_HAND:
        # in the hand only the terminator itself is measured
        other = {LineClass.OVER_RANGE: 1 - _SLIP_SHARE, LineClass.ONE_END: _SLIP_SHARE}
        here = {LineClass.ONE_END: 1 - _SLIP_SHARE, LineClass.OVER_RANGE: _SLIP_SHARE}
        picked = other if fault is LineFault.THIS_END else here
        return {cls: picked.get(cls, 0.0) for cls in LineClass}
    if spot is Spot.SOCKET:
        return _socket(_AT_SOCKET[fault])
    return {cls: (1 - _SLIP_SHARE) * (cls is _AT_PLUG[fault]) + even for cls in LineClass}


def _socket(shown: LineClass) -> dict[LineClass, float]:
    """A socket shows 120 ohm or no end; what it does not show it shows by a slip."""
    other = LineClass.OVER_RANGE if shown is LineClass.ONE_END else LineClass.ONE_END
    return {cls: {shown: 1 - _SLIP_SHARE, other: _SLIP_SHARE}.get(cls, 0.0) for cls in LineClass}


def opened_said(side: str, measured: str, *, neither: bool) -> str:
    """Return what a plug that was opened showed, in words: "0 ohm towards Data line rear, read 0.3 ohm".

    Parameters
    ----------
    side : str
        The next place on the side with 0 ohm; may be empty.
    measured : str
        What was written beside it; may be empty.
    neither : bool
        Whether no side showed 0 ohm.
    """
    shown = f"0 ohm towards {side}" if side else "0 ohm on neither side" if neither else ""
    return ", ".join(part for part in (shown, f"read {measured}" if shown and measured else measured) if part)
