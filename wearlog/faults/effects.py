"""What each fault would do: chances that a node works, is dead or erratic, that a fuse is whole or blew, and how. No evidence here.

The figures of the tables are common practice, without a source; they only need to put the likelier thing first.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import IntEnum, StrEnum, unique
from typing import Final

import numpy as np
from numpy.typing import NDArray

from wearlog.facts.closed_lists import FaultMode, NodeKind
from wearlog.faults.circuit import CONSUMERS, Circuit
from wearlog.faults.circuit_matrix import PASSES_ON
from wearlog.faults.hypotheses import Hypothesis

Array = NDArray[np.float64]


@unique
class Status(IntEnum):
    """Columns of a node's row."""

    WORKING = 0
    DEAD = 1
    ERRATIC = 2


@unique
class FuseState(IntEnum):
    """Columns of a fuse's row."""

    WHOLE = 0
    BLEW_AT_ONCE = 1
    BLEW_LATER = 2
    BLEW_ON_MOVEMENT = 3


@unique
class Reach(StrEnum):
    """How a fault gets at a node."""

    FEED = "feed"
    GROUND = "ground"
    BUS = "bus"
    UNDER_BLOWN_FUSE = "under_blown_fuse"
    SELF = "self"


Row = tuple[float, float, float]
FuseRow = tuple[float, float, float, float]

SOUND: Final[Row] = (0.985, 0.005, 0.010)
UNKNOWN: Final[Row] = (0.50, 0.25, 0.25)
FUSE_SOUND: Final[FuseRow] = (0.985, 0.005, 0.005, 0.005)
FUSE_UNKNOWN: Final[FuseRow] = (0.55, 0.15, 0.15, 0.15)

#: (reach, mode) -> working, dead, erratic when steady, and when it comes and goes
STATUS: Final[dict[tuple[Reach, FaultMode], tuple[Row, Row]]] = {
    (Reach.FEED, FaultMode.OPEN): ((0.01, 0.95, 0.04), (0.08, 0.27, 0.65)),
    (Reach.FEED, FaultMode.HIGH_RESISTANCE): ((0.25, 0.20, 0.55), (0.25, 0.10, 0.65)),
    (Reach.FEED, FaultMode.FAILED_DEVICE): ((0.03, 0.80, 0.17), (0.08, 0.27, 0.65)),
    (Reach.GROUND, FaultMode.OPEN): ((0.05, 0.65, 0.30), (0.08, 0.22, 0.70)),
    (Reach.GROUND, FaultMode.HIGH_RESISTANCE): ((0.30, 0.10, 0.60), (0.30, 0.05, 0.65)),
    (Reach.BUS, FaultMode.OPEN): ((0.20, 0.20, 0.60), (0.20, 0.10, 0.70)),
    (Reach.BUS, FaultMode.HIGH_RESISTANCE): ((0.25, 0.10, 0.65), (0.30, 0.05, 0.65)),
    (Reach.BUS, FaultMode.SHORT_TO_GROUND): ((0.05, 0.70, 0.25), (0.10, 0.20, 0.70)),
    (Reach.BUS, FaultMode.SHORT_TO_POWER): ((0.05, 0.70, 0.25), (0.10, 0.20, 0.70)),
    (Reach.BUS, FaultMode.FAILED_DEVICE): ((0.80, 0.08, 0.12), (0.82, 0.05, 0.13)),
    (Reach.UNDER_BLOWN_FUSE, FaultMode.SHORT_TO_GROUND): ((0.02, 0.93, 0.05), (0.05, 0.65, 0.30)),
    (Reach.UNDER_BLOWN_FUSE, FaultMode.OVERLOAD): ((0.08, 0.60, 0.32), (0.10, 0.45, 0.45)),
    (Reach.SELF, FaultMode.FAILED_DEVICE): ((0.03, 0.75, 0.22), (0.06, 0.24, 0.70)),
    (Reach.SELF, FaultMode.SHORT_TO_GROUND): ((0.03, 0.90, 0.07), (0.05, 0.60, 0.35)),
    (Reach.SELF, FaultMode.OVERLOAD): ((0.08, 0.60, 0.32), (0.10, 0.40, 0.50)),
}

#: mode -> whole, blew at once, later, on movement, for the fuse that guards the fault; steady, and coming and going
FUSE_ROWS: Final[dict[FaultMode, tuple[FuseRow, FuseRow]]] = {
    FaultMode.SHORT_TO_GROUND: ((0.05, 0.80, 0.10, 0.05), (0.10, 0.10, 0.40, 0.40)),
    FaultMode.OVERLOAD: ((0.10, 0.10, 0.75, 0.05), (0.20, 0.05, 0.65, 0.10)),
}
#: a weak fuse that opens by itself looks blown more often than not
WEAK_FUSE: Final[FuseRow] = (0.20, 0.10, 0.55, 0.15)

BUS_MODES: Final = frozenset(mode for reach, mode in STATUS if reach is Reach.BUS)


def as_read(outcomes: Array, error_rate: float) -> Array:
    """Return the chances of what is told, a share of it misread as anything else alike.

    Parameters
    ----------
    outcomes : (..., o) array
        Chances of what there is; rows add up to 1.
    error_rate : float
        In [0, 1).
    """
    return np.asarray((1 - error_rate) * outcomes + error_rate / outcomes.shape[-1])


def first_as_read(status: Array, error_rate: float) -> Array:
    """Return the chances of what is told of the load that a fault is opened for.

    Parameters
    ----------
    status : (..., 3) array
        Chances of working, dead, erratic.
    error_rate : float
        In [0, 1).

    Notes
    -----
    Nobody opens a fault for a load that works: misread is how it fails, not whether.
    """
    failing = status[..., Status.DEAD] + status[..., Status.ERRATIC]
    told = (1 - error_rate) * status
    told[..., Status.DEAD] += error_rate * failing / 2
    told[..., Status.ERRATIC] += error_rate * failing / 2
    told[..., Status.WORKING] += error_rate * status[..., Status.WORKING]
    return np.asarray(told)


@dataclass(frozen=True, slots=True, eq=False)
class Effects:
    """What every hypothesis would do.

    Attributes
    ----------
    nodes, fuses : tuple of str
    status : (hypotheses, nodes, 3) array
        Chances of working, dead, erratic.
    fuse_state : (hypotheses, fuses, 4) array
        Chances of whole, blew at once, blew later, blew on movement.
    """

    nodes: tuple[str, ...]
    fuses: tuple[str, ...]
    status: Array
    fuse_state: Array


def effects(circuit: Circuit, of: Sequence[Hypothesis]) -> Effects:
    """Return what each hypothesis would do on a circuit.

    Parameters
    ----------
    circuit : Circuit
        The circuit as it is drawn.
    of : sequence of Hypothesis
        (hypotheses,), in the order of the answer.

    Notes
    -----
    An open kills what is fed through it and leaves the fuse whole. A short to ground blows the first fuse above it, which kills
    everything under that fuse. A bad ground kills or upsets what shares it. A failed device kills itself, and what it feeds.
    Where a fault gets at a node in two ways, the worse one counts.
    """
    nodes = tuple(node.name for node in circuit.nodes)
    fuses = tuple(node.name for node in circuit.of_kind(NodeKind.FUSE))
    status = np.tile(np.array(SOUND), (len(of), len(nodes), 1))
    fuse_state = np.tile(np.array(FUSE_SOUND), (len(of), len(fuses), 1))
    column = {name: index for index, name in enumerate(nodes)}
    fuse_column = {name: index for index, name in enumerate(fuses)}
    for row, hypothesis in enumerate(of):
        if hypothesis.node is None:
            status[row], fuse_state[row] = UNKNOWN, FUSE_UNKNOWN
            continue
        for name, reach in reached(circuit, hypothesis):
            chances = STATUS[(reach, hypothesis.mode)][hypothesis.intermittent]
            if chances[Status.WORKING] < status[row, column[name], Status.WORKING]:
                status[row, column[name]] = chances
        for name, fuse_chances in _fuses_blown(circuit, hypothesis):
            fuse_state[row, fuse_column[name]] = fuse_chances
    return Effects(nodes, fuses, status, fuse_state)


def reached(circuit: Circuit, hypothesis: Hypothesis) -> tuple[tuple[str, Reach], ...]:
    """Return the nodes that a fault gets at, and by which way; a node may come more than once.

    Parameters
    ----------
    circuit : Circuit
        The circuit as it is drawn.
    hypothesis : Hypothesis
        The fault that is supposed.
    """
    assert hypothesis.node is not None
    name, mode = hypothesis.node, hypothesis.mode
    found: list[tuple[str, Reach]] = []
    if mode in (FaultMode.SHORT_TO_GROUND, FaultMode.OVERLOAD):
        found += [(other, Reach.UNDER_BLOWN_FUSE) for other in _under_fuses_of(circuit, name)]
    elif mode in (FaultMode.OPEN, FaultMode.HIGH_RESISTANCE, FaultMode.FAILED_DEVICE):
        found += [(other, Reach.FEED) for other in _cut_from_feed(circuit, hypothesis)]
    if mode in (FaultMode.OPEN, FaultMode.HIGH_RESISTANCE):
        found += [(other, Reach.GROUND) for other in _cut_from_ground(circuit, hypothesis)]
    if mode in BUS_MODES and not hypothesis.branch:
        found += [(other, Reach.BUS) for other in circuit.on_the_bus_of(name)]
    if (Reach.SELF, mode) in STATUS and circuit.node(name).kind in PASSES_ON | CONSUMERS:
        found.append((name, Reach.SELF))
    return tuple(found)


def _cut_from_feed(circuit: Circuit, hypothesis: Hypothesis) -> frozenset[str]:
    name, branch = hypothesis.node, hypothesis.branch
    assert name is not None
    if not branch:
        return circuit.downstream(name)
    return circuit.downstream(branch) | {branch} if branch in circuit.feeds(name) else frozenset()


def _cut_from_ground(circuit: Circuit, hypothesis: Hypothesis) -> frozenset[str]:
    name, branch = hypothesis.node, hypothesis.branch
    assert name is not None
    if not branch:
        cut = circuit.sharing_ground(name)
    elif branch in circuit.returned_from(name):
        cut = circuit.sharing_ground(branch) | {branch}
    else:
        return frozenset()
    fed_by_them = [circuit.downstream(other) for other in cut if circuit.node(other).kind in PASSES_ON]
    return cut.union(*fed_by_them)


def _under_fuses_of(circuit: Circuit, name: str) -> frozenset[str]:
    # with no fuse above there is nothing to blow: what hangs on the shorted wire itself is pulled down
    fuses = circuit.first_fuses_above(name)
    tops = fuses or ((name,) if circuit.fed_by(name) or circuit.feeds(name) else ())
    return frozenset(tops).union(*(circuit.downstream(top) for top in tops))


def _fuses_blown(circuit: Circuit, hypothesis: Hypothesis) -> tuple[tuple[str, FuseRow], ...]:
    name, mode = hypothesis.node, hypothesis.mode
    assert name is not None
    if mode is FaultMode.OPEN and circuit.node(name).kind is NodeKind.FUSE:
        return ((name, WEAK_FUSE),)
    if mode in FUSE_ROWS:
        row = FUSE_ROWS[mode][hypothesis.intermittent]
        return tuple((fuse, row) for fuse in circuit.first_fuses_above(name))
    return ()
