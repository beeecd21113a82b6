"""What an age that is told roughly ("about 3 seasons", "since new") is reckoned with."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final

from wearlog.facts.closed_lists import MeterKind

#: a season of a machine of which none is on record: 200 separator and 260 engine hours, 1,600 acres (common practice, no source)
USUAL_SEASON: Final[Mapping[MeterKind, float]] = MappingProxyType(
    {
        MeterKind.SEPARATOR_HOURS: 200 * 3600.0,
        MeterKind.ENGINE_HOURS: 260 * 3600.0,
        MeterKind.AREA: 1_600 * 4046.8564224,
        MeterKind.CALENDAR: 365.25 * 86_400,
    }
)


@dataclass(frozen=True, slots=True)
class AgeScale:
    """What a machine runs, in the units of a meter.

    Attributes
    ----------
    season : float
        In a usual season.
    since_new : float or None
        Since it was new; None where nobody knows.
    is_guess : bool
        The season is a usual one and not the machine's own.
    """

    season: float
    since_new: float | None = None
    is_guess: bool = False

    @classmethod
    def guessed(cls, meter: MeterKind) -> AgeScale:
        """Return that of a machine of which nothing is on record."""
        return cls(USUAL_SEASON[meter], None, is_guess=True)
