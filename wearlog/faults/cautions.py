"""What must be safe before anybody touches a wire. Callers place these above the first check; nothing here is optional reading."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from wearlog.facts.closed_lists import CheckKind, Evidence, Hazard
from wearlog.faults.circuit import Mark, Node


@dataclass(frozen=True, slots=True)
class Caution:
    """One sentence to act on before the task, and what it rests on."""

    hazard: Hazard
    sentence: str
    evidence: Evidence


_E, _CP, _P = Hazard.ELECTRICAL, Evidence.COMMON_PRACTICE, Evidence.PUBLISHED

#: before any check; 29 CFR 1928.57(a)(6)(iii) for stopping and disconnecting, fire surveys for the warning signs
ELECTRICAL_CAUTIONS: Final = (
    Caution(_E, "Stop the engine, take the key out and keep it, and wait until everything stands still.", _P),
    Caution(_E, "Take the negative lead off the battery before you open, cut or move a harness.", _P),
    Caution(_E, "Take off rings, watch and chains: they carry a battery's full current.", _CP),
    Caution(
        _E,
        "Never bridge a fuse and never fit a larger one: the wire burns instead. Fit the rating printed on the panel.",
        _P,
    ),
    Caution(_E, "Stay clear of the hot exhaust side, and lead no wire along it.", _CP),
    Caution(
        _E,
        "A fuse that keeps blowing or lights that flicker can start a fire: clear the chaff, keep an extinguisher by you.",
        _P,
    ),
    Caution(_E, "Unplug the controllers before anything is welded on the machine.", _CP),
)

#: added when a check or a suspect sits under the header, or the header must be up or moved to reach it
UNDER_HEADER_CAUTIONS: Final = (
    Caution(
        Hazard.UNDER_HEADER,
        "On level ground set the header on its mechanical stop or stands and shut the cylinder valve; never trust the hydraulics.",
        _CP,
    ),
    Caution(Hazard.KNIFE, "Keep hands out of the path of the sections: the knife can jump when a jam frees.", _CP),
)

#: added when a check needs the circuit live and something watched while it moves (wiggle, voltage drop under load)
LIVE_CHECK_CAUTIONS: Final = (
    Caution(
        _E, "If it must run to be measured, one person holds the key and everybody stands clear before it starts.", _P
    ),
    Caution(_E, "Use a lamp of a few amperes across the fuse contacts, not a breaker that closes again by itself.", _P),
    Caution(_E, "Unplug controllers and anything that fires a charge before you feed a circuit through a lamp.", _CP),
)

HOT_PART_CAUTIONS: Final = (
    Caution(
        Hazard.HOT_PART, "Let the engine side cool before you reach in, or measure its heat from a distance first.", _CP
    ),
)

_LIVE: Final = frozenset({CheckKind.VOLTAGE, CheckKind.VOLTAGE_DROP, CheckKind.UNPLUG, CheckKind.WIGGLE})


def cautions_for(node: Node | None = None, kind: CheckKind | None = None) -> tuple[Caution, ...]:
    """Return what to read before a check or a repair, in reading order: the electrical ones always stand first.

    Parameters
    ----------
    node : Node, optional
        Where the work is: what moves with the header adds the header's, what sits near heat the burn's.
    kind : CheckKind, optional
        A check on a live circuit adds its own.
    """
    marks = frozenset[Mark]() if node is None else node.marks
    return (
        *ELECTRICAL_CAUTIONS,
        *(UNDER_HEADER_CAUTIONS if Mark.MOVES_WITH_HEADER in marks else ()),
        *(HOT_PART_CAUTIONS if Mark.NEAR_HEAT in marks else ()),
        *(LIVE_CHECK_CAUTIONS if kind in _LIVE else ()),
    )
