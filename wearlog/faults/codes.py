"""Trouble codes of the open standard J1939-73: suspect parameter (SPN), failure mode (FMI), count. Holds no maker's own codes."""

from __future__ import annotations

import re
from dataclasses import dataclass
from enum import StrEnum, unique
from typing import Final

from wearlog.errors import DataError, UsageError
from wearlog.facts.closed_lists import Evidence

MOST_SPN: Final = 2**19 - 1
MOST_FMI: Final = 2**5 - 1
#: seven bits; the top value says "not available"
MOST_OCCURRENCES: Final = 126
OCCURRENCES_NOT_AVAILABLE: Final = 127


@unique
class Level(StrEnum):
    """Which way a failure mode points; what a reader must not get the wrong way round."""

    ABOVE = "above"
    BELOW = "below"
    NEITHER = "neither"


@dataclass(frozen=True, slots=True)
class FailureMode:
    """One entry of the list of failure modes, in words of our own, with the first thing to suspect (common practice, no source)."""

    fmi: int
    meaning: str
    suspicion: str
    level: Level = Level.NEITHER
    evidence: Evidence = Evidence.PUBLISHED


_A, _B = Level.ABOVE, Level.BELOW

#: meanings: public copies of the SAE J1939-73 list; suspicions: common practice, no source
FAILURE_MODES: Final = (
    FailureMode(0, "reading is valid and far above normal: most severe", "take it as real: stop and look", _A),
    FailureMode(1, "reading is valid and far below normal: most severe", "take it as real: pressure or level", _B),
    FailureMode(2, "reading jumps about, comes and goes, or cannot be right", "connector, ground, then the sensor"),
    FailureMode(
        3, "voltage too high, or shorted to a high source", "short to supply, or an open ground or signal wire", _A
    ),
    FailureMode(4, "voltage too low, or shorted to a low source", "short to ground, or an open supply wire", _B),
    FailureMode(5, "current too low, or the circuit is open", "broken wire, plug off, or a dead coil", _B),
    FailureMode(6, "current too high, or the circuit is grounded", "short to ground, or a load that is stuck", _A),
    FailureMode(7, "the mechanism does not answer or is out of adjustment", "linkage, valve or actuator"),
    FailureMode(8, "frequency, pulse width or period is not normal", "gap of a speed sensor, or its toothed wheel"),
    FailureMode(9, "messages come too seldom or too often", "the sender, or the data line"),
    FailureMode(10, "reading changes faster or slower than it can", "the sensor, or a real jump"),
    FailureMode(11, "cause not known", "read the codes that came with it"),
    FailureMode(12, "device or component is bad", "the controller, once its feed and ground are proved"),
    FailureMode(13, "out of calibration", "calibrate it again"),
    FailureMode(14, "special instructions", "the machine's own book"),
    FailureMode(15, "reading is valid and above normal: least severe", "plan for it", _A),
    FailureMode(16, "reading is valid and above normal: moderately severe", "act soon", _A),
    FailureMode(17, "reading is valid and below normal: least severe", "plan for it", _B),
    FailureMode(18, "reading is valid and below normal: moderately severe", "act soon", _B),
    FailureMode(19, "data that came over the network was in error", "look at the sender"),
    FailureMode(20, "reading has drifted high", "an ageing sensor", _A),
    FailureMode(21, "reading has drifted low", "an ageing sensor", _B),
    *(
        FailureMode(fmi, "reserved by the standard", "the machine's own book: some makers use it")
        for fmi in range(22, 31)
    ),
    FailureMode(31, "the condition named by the SPN exists", "read it with the SPN"),
)


@dataclass(frozen=True, slots=True)
class TroubleCode:
    """A code as the machine shows it.

    Raises
    ------
    DataError
        If a number does not fit its bits: SPN 19 bits, FMI 5 bits, count 7 bits (from memory of SAE J1939-73).
    """

    spn: int
    fmi: int
    occurrences: int | None = None

    def __post_init__(self) -> None:
        _within("SPN", self.spn, MOST_SPN)
        _within("FMI", self.fmi, MOST_FMI)
        if self.occurrences is not None:
            _within("count", self.occurrences, MOST_OCCURRENCES)

    @property
    def failure_mode(self) -> FailureMode:
        """What the FMI means."""
        return FAILURE_MODES[self.fmi]


def failure_mode(fmi: int) -> FailureMode:
    """Return what an FMI means. DataError outside 0 to 31.

    Parameters
    ----------
    fmi : int
        Failure mode of a code, 0 to 31.
    """
    _within("FMI", fmi, MOST_FMI)
    return FAILURE_MODES[fmi]


def parse_code(text: str) -> TroubleCode:
    """Read a code as people write it down: "639/9", "639 9", "SPN 639 FMI 9", with a third number for the count.

    Parameters
    ----------
    text : str
        What was written.

    Raises
    ------
    UsageError
        If the text does not hold two or three whole numbers.
    DataError
        If one of them is out of range.
    """
    shape = re.fullmatch(
        r"\s*(?:spn\W*)?(\d+)\W+(?:fmi\W*)?(\d+)(?:\W+(?:(?:oc|count)\W*)?(\d+))?\s*", text, re.IGNORECASE
    )
    if shape is None:
        raise UsageError(f'"{text.strip()}" is not a trouble code.', "Write SPN and FMI, such as 639/9.")
    spn, fmi, count = (int(number) if number else None for number in shape.groups())
    assert spn is not None
    assert fmi is not None
    return TroubleCode(spn, fmi, None if count == OCCURRENCES_NOT_AVAILABLE else count)


def _within(what: str, number: int, most: int) -> None:
    if not 0 <= number <= most:
        raise DataError(f"{what} {number} is outside 0 to {most}.", "Read the code off the display once more.")
