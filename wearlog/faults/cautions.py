"""Which cautions stand before an electrical check or repair. Their words are in facts/cautions.py; none is optional reading."""

from __future__ import annotations

from typing import Final

from wearlog.facts.cautions import CAUTIONS_WITH_EVIDENCE, LIVE_CIRCUIT, Caution
from wearlog.facts.closed_lists import CheckKind, Hazard, NodeKind
from wearlog.faults.circuit import Mark, Node

__all__ = ["CARE_AGAIN", "ELECTRICAL_CAUTIONS", "Caution", "cautions_for", "further_cautions", "opens_the_battery"]

#: before any check
ELECTRICAL_CAUTIONS: Final = CAUTIONS_WITH_EVIDENCE[Hazard.ELECTRICAL]

#: when a check or a suspect sits under the header, or the header must be up or moved to reach it
_UNDER_HEADER: Final = (*CAUTIONS_WITH_EVIDENCE[Hazard.UNDER_HEADER], *CAUTIONS_WITH_EVIDENCE[Hazard.KNIFE])

_LIVE: Final = frozenset(
    {
        CheckKind.VOLTAGE,
        CheckKind.VOLTAGE_DROP,
        CheckKind.UNPLUG,
        CheckKind.WIGGLE,
        CheckKind.LAMP,
        CheckKind.TRY_IT,
        CheckKind.MAKE_HAPPEN,
    }
)
#: what all cautions come to in one line, for who has read them in this case
CARE_AGAIN: Final = (
    "As before: engine off, key with you, all still; negative lead off before you open, cut or move anything; the fuse's own "
    "rating, never a larger one."
)


def cautions_for(node: Node | None = None, kind: CheckKind | None = None) -> tuple[Caution, ...]:
    """Return what to read before a check or a repair, in reading order: the electrical ones always stand first.

    Parameters
    ----------
    node : Node, optional
        Where the work is: what moves with the header adds the header's and the knife's, what sits near heat the burn's.
    kind : CheckKind, optional
        A check on a live circuit adds its own.
    """
    return (*ELECTRICAL_CAUTIONS, *further_cautions(node, kind))


def opens_the_battery(node: Node | None, kind: CheckKind | None) -> bool:
    """Return whether a step needs the lead off the battery, so that all cautions are read anew before it.

    Parameters
    ----------
    node : Node or None
        Where the work is; None for what is not on the diagram.
    kind : CheckKind or None
        The kind of check; None for a repair.

    Notes
    -----
    A repair opens, cuts or moves something, but for a fuse or a relay that is only exchanged; a covered run is opened; at the
    battery itself it is all but looking at it and reading its volts.
    """
    if kind is CheckKind.UNWRAP:
        return True
    if node is None:
        return False
    if kind is None:
        return node.kind not in (NodeKind.FUSE, NodeKind.RELAY)
    return node.kind is NodeKind.BATTERY and kind not in (CheckKind.LOOK, CheckKind.VOLTAGE)


def further_cautions(node: Node | None = None, kind: CheckKind | None = None) -> tuple[Caution, ...]:
    """Return what this place and this kind of check add to the electrical cautions.

    Parameters
    ----------
    node : Node or None
        A node of the circuit; None for what is not on the diagram.
    kind : CheckKind or None
        The kind of check; None where none is made.
    """
    marks = frozenset[Mark]() if node is None else node.marks
    return (
        *(_UNDER_HEADER if Mark.MOVES_WITH_HEADER in marks else ()),
        *(CAUTIONS_WITH_EVIDENCE[Hazard.HOT_PART] if Mark.NEAR_HEAT in marks else ()),
        # an alternator is measured with the engine running
        *(CAUTIONS_WITH_EVIDENCE[Hazard.ROTATING_DRIVE] if _runs(node, kind) else ()),
        *(LIVE_CIRCUIT if kind in _LIVE else ()),
    )


def _runs(node: Node | None, kind: CheckKind | None) -> bool:
    return node is not None and node.kind is NodeKind.ALTERNATOR and kind is CheckKind.VOLTAGE
