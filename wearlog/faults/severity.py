"""How much a high resistance takes: three classes by its share of the supply, and the chances of each. Knows no circuit.

The figures are common practice, without a source; the share of the supply is uniform on the log-odds inside a class.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum, unique
from math import log
from typing import Final

from wearlog.facts.closed_lists import NodeKind


@unique
class Variant(StrEnum):
    """What a fault of one mode may be inside: the three sizes of a high resistance, and how a source fails."""

    NONE = ""
    MILD = "mild"
    MEDIUM = "medium"
    SEVERE = "severe"
    LOW = "low"
    DEAD_CELL = "dead_cell"
    GIVES_NOTHING = "gives_nothing"
    GIVES_TOO_LITTLE = "gives_too_little"
    OVERCHARGES = "overcharges"


@dataclass(frozen=True, slots=True)
class SizeClass:
    """Share of the supply that is taken with the load on, from `low` to `high`, and the share of faults that are so."""

    low: float
    high: float
    share: float

    def mass(self, low: float, high: float) -> float:
        """Return the chance that the share taken lies between two shares.

        Parameters
        ----------
        low : float
            Share taken, from 0 to 1.
        high : float
            Share taken, from `low` to 1.
        """
        first, last = (min(max(f, self.low), self.high) for f in (low, high))
        return (_log_odds(last) - _log_odds(first)) / (_log_odds(self.high) - _log_odds(self.low))


SIZES: Final[dict[Variant, SizeClass]] = {
    Variant.MILD: SizeClass(0.01, 0.08, 0.25),
    Variant.MEDIUM: SizeClass(0.08, 0.40, 0.40),
    Variant.SEVERE: SizeClass(0.40, 0.97, 0.35),
}

#: a load behind such a resistance: works, dead, weak or comes and goes
SIZED_STATUS: Final[dict[Variant, tuple[float, float, float]]] = {
    Variant.MILD: (0.75, 0.03, 0.22),
    Variant.MEDIUM: (0.10, 0.25, 0.65),
    Variant.SEVERE: (0.01, 0.80, 0.19),
}
#: a coil, a valve's solenoid or a controller lets go at a medium loss; a lamp glows to the end
_LETS_GO: Final = (0.05, 0.55, 0.40)
_WHAT_LETS_GO: Final = frozenset({NodeKind.RELAY, NodeKind.CONTROLLER, NodeKind.SENSOR})


def sized_status(variant: Variant, kind: NodeKind | None = None) -> tuple[float, float, float]:
    """Return how a load behind a resistance of that size shows: working, dead, weak or coming and going.

    Parameters
    ----------
    variant : Variant
        One of the three sizes.
    kind : NodeKind, optional
        Of the load; a relay or controller lets go where a lamp still glows.
    """
    return _LETS_GO if variant is Variant.MEDIUM and kind in _WHAT_LETS_GO else SIZED_STATUS[variant]


def _log_odds(share: float) -> float:
    return log(share / (1 - share))
