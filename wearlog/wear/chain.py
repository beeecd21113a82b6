"""Wear of roller chain as elongation, the pitches it is reckoned from and the limits; fits no line."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

from wearlog.errors import DataError

MILLIMETRES_PER_INCH: Final = 25.4


@dataclass(frozen=True, slots=True)
class Chain:
    """A chain by its trade number.

    Attributes
    ----------
    number : str
        As stamped on the plates.
    pitch_inches : float
        Pin centre to pin centre when new.
    label : str
        Where the pitch comes from, for the person who reads it.
    """

    number: str
    pitch_inches: float
    label: str

    @property
    def pitch_mm(self) -> float:
        """Pitch in millimetres."""
        return self.pitch_inches * MILLIMETRES_PER_INCH


_FROM_MEMORY: Final = "pitch from memory, check against the chain's own data sheet"

CHAINS: Final[tuple[Chain, ...]] = (
    Chain("40", 0.500, _FROM_MEMORY),
    Chain("50", 0.625, _FROM_MEMORY),
    Chain("60", 0.750, _FROM_MEMORY),
    Chain("80", 1.000, _FROM_MEMORY),
    Chain("100", 1.250, _FROM_MEMORY),
    Chain("2050", 1.250, _FROM_MEMORY),
    Chain("2060", 1.500, _FROM_MEMORY),
    Chain("CA2060H", 1.500, _FROM_MEMORY),
    Chain("CA550", 1.630, _FROM_MEMORY),
    Chain("CA555", 1.630, _FROM_MEMORY),
    Chain("CA557", 1.630, _FROM_MEMORY),
    Chain("CA620", 1.654, _FROM_MEMORY),
)

#: percent; two chain makers' pages, which refer to ANSI B29.1 and B29.3
ELONGATION_LIMIT: Final = 3.0
#: percent, for fixed centres, parallel strands or smooth running; same pages
ELONGATION_LIMIT_FIXED_CENTRES: Final = 1.5


def find_chain(number: str) -> Chain:
    """Return the chain of a trade number ("CA550", "#60", "ca550").

    Parameters
    ----------
    number : str
        The trade number, with or without its mark.

    Raises
    ------
    DataError
        If the number is not in the table.
    """
    wanted = number.strip().lstrip("#").upper()
    for known in CHAINS:
        if known.number == wanted:
            return known
    listed = ", ".join(known.number for known in CHAINS)
    raise DataError(f"The pitch of chain {number} is not known here.", f"Give its pitch, or use one of {listed}.")


def elongation_percent(measured: float, pitches: int, pitch: float) -> float:
    """Return (measured - pitches x pitch) / (pitches x pitch) x 100.

    Parameters
    ----------
    measured : float
        Length over `pitches` pitches, pin centre to pin centre, chain taut, no offset link in the span.
    pitches : int
        At least 1; 6 to 10 or more for a reading that can be trusted.
    pitch : float
        Pitch when new, same unit as `measured`.

    Raises
    ------
    DataError
        If a number is not above 0.
    """
    if not (0 < measured < math.inf and pitches >= 1 and 0 < pitch < math.inf):
        raise DataError(
            f"{pitches} pitches of {pitch:g} cannot measure {measured:g}.", "Measure pin to pin over 6 to 10 pitches."
        )
    new = pitches * pitch
    return (measured - new) / new * 100


def elongation_limit(largest_sprocket_teeth: int | None = None, *, fixed_centres: bool = False) -> float:
    """Return the elongation in percent at which a chain is worn out.

    Parameters
    ----------
    largest_sprocket_teeth : int, optional
        On large sprockets 200 / teeth, which is the lower limit from 67 teeth up.
    fixed_centres : bool
        True where the take-up cannot follow, strands run in parallel, or running must be smooth.

    References
    ----------
    Two chain makers' pages, which refer to ANSI B29.1 and B29.3.
    """
    limit = ELONGATION_LIMIT_FIXED_CENTRES if fixed_centres else ELONGATION_LIMIT
    if largest_sprocket_teeth is None:
        return limit
    if largest_sprocket_teeth < 1:
        raise DataError(f"A sprocket of {largest_sprocket_teeth} teeth is none.", "Count the teeth of the larger one.")
    return min(limit, 200 / largest_sprocket_teeth)
