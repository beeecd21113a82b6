"""What each fault, with its size, makes of loads and fuses: arrays over many suspects at once. No evidence here.

The tables are those of effects.py; what a high resistance does depends on its size (severity.py). Common practice, no source.
"""

from __future__ import annotations

from enum import IntEnum, unique
from itertools import product
from typing import Final

import numpy as np
from numpy.typing import NDArray

from wearlog.facts.closed_lists import FaultMode, NodeKind
from wearlog.faults.effects import (
    BUS_MODES,
    FUSE_ROWS,
    FUSE_SOUND,
    FUSE_UNKNOWN,
    SOUND,
    STATUS,
    UNKNOWN,
    WEAK_FUSE,
    Reach,
    Row,
)
from wearlog.faults.severity import SIZES, Variant, sized_status
from wearlog.faults.sized_hypotheses import GROUPS, MODES, VARIANTS, FaultTable

Array = NDArray[np.float64]
Mask = NDArray[np.bool_]
Whole = NDArray[np.int64]

_CUTTING: Final = (FaultMode.OPEN, FaultMode.HIGH_RESISTANCE)
_SHORTING: Final = (FaultMode.SHORT_TO_GROUND, FaultMode.OVERLOAD)
#: a resistance that comes and goes: works, dead, weak or comes and goes
_SIZED_MOVING: Final[dict[Variant, Row]] = {
    Variant.MILD: (0.75, 0.03, 0.22),
    Variant.MEDIUM: (0.20, 0.10, 0.70),
    Variant.SEVERE: (0.08, 0.25, 0.67),
}
#: behind an alternator that fails the battery runs down in time; few notice at once
_BEHIND_ALTERNATOR: Final[dict[Variant, Row]] = {
    Variant.GIVES_NOTHING: (0.45, 0.15, 0.40),
    Variant.GIVES_TOO_LITTLE: (0.75, 0.05, 0.20),
    Variant.OVERCHARGES: (0.85, 0.05, 0.10),
}
#: loads of two sorts: those that glow on, and those that let go
_SORTS: Final = (NodeKind.DEVICE, NodeKind.CONTROLLER)
_LETS_GO: Final = (NodeKind.RELAY, NodeKind.CONTROLLER, NodeKind.SENSOR)


@unique
class Way(IntEnum):
    """How a fault gets at a node; the first that holds counts."""

    NONE = 0
    SELF = 1
    UNDER_BLOWN_FUSE = 2
    FEED = 3
    GROUND = 4
    BUS = 5


_REACH: Final = {
    Way.SELF: Reach.SELF,
    Way.UNDER_BLOWN_FUSE: Reach.UNDER_BLOWN_FUSE,
    Way.FEED: Reach.FEED,
    Way.GROUND: Reach.GROUND,
    Way.BUS: Reach.BUS,
}


def ways_to(table: FaultTable, nodes: Whole) -> NDArray[np.int8]:
    """Return the way by which each suspect gets at each of some nodes.

    Parameters
    ----------
    table : FaultTable
        (h,) suspects.
    nodes : array of int
        (k,) indices of nodes.

    Returns
    -------
    (h, k) array of `Way`
    """
    matrix = table.matrix
    ways = np.zeros((len(table.hypotheses), len(nodes)), dtype=np.int8)
    on_line = (matrix.line[table.node][:, None] == matrix.line[nodes]) & (matrix.line[nodes] >= 0)
    carries = table.is_mode(*BUS_MODES) & ~table.wire & (table.node >= 0)
    ways[on_line & carries[:, None]] = Way.BUS
    ways[table.ground_cut[np.ix_(table.cut, nodes)] & table.is_mode(*_CUTTING)[:, None]] = Way.GROUND
    feeding = ~table.is_mode(*_SHORTING, FaultMode.REVERSED) & ~table.of_kind(NodeKind.ALTERNATOR)
    ways[table.feed_cut[np.ix_(table.cut, nodes)] & feeding[:, None]] = Way.FEED
    ways[table.feed_cut[np.ix_(table.cut, nodes)] & table.of_kind(NodeKind.ALTERNATOR)[:, None]] = Way.FEED
    ways[table.under_fuse[np.ix_(table.node, nodes)] & table.is_mode(*_SHORTING)[:, None]] = Way.UNDER_BLOWN_FUSE
    shows_itself = np.append(matrix.is_load | matrix.of_kind(_LETS_GO) | matrix.of_kind([NodeKind.SWITCH]), False)
    itself = (table.node[:, None] == nodes) & (_IS_OWN[table.group] & shows_itself[table.node])[:, None]
    ways[itself] = Way.SELF
    return ways


def status_of(table: FaultTable, node: int) -> Array:
    """Return how a node shows under every suspect.

    Parameters
    ----------
    table : FaultTable
        (h,) suspects.
    node : int
        Index of the node.

    Returns
    -------
    (h, 3) array
        Chances of working, dead, weak or coming and going.
    """
    return np.asarray(statuses_of(table, np.array([node]))[:, 0])


def statuses_of(table: FaultTable, nodes: Whole) -> Array:
    """Return how each of some nodes shows under every suspect: (h, k, 3).

    Parameters
    ----------
    table : FaultTable
        (h,) suspects.
    nodes : array of int
        (k,) indices of nodes.
    """
    sorts = np.array([sort_of(table.matrix.kinds[node]) for node in nodes], dtype=np.int64)
    status: Array = _ROWS[ways_to(table, nodes), table.group[:, None], sorts]
    status[table.node < 0] = UNKNOWN
    return status


def rows_by_way(table: FaultTable) -> Array:
    """Return (h, ways, sorts, 3): how a load of each sort would show under each suspect, by the way it is reached.

    Parameters
    ----------
    table : FaultTable
        Of h suspects.
    """
    return np.ascontiguousarray(np.moveaxis(_ROWS[:, table.group], 0, 1))


def sort_of(kind: NodeKind) -> int:
    """Return 1 for what lets go at a medium loss, 0 for what glows on.

    Parameters
    ----------
    kind : NodeKind
    """
    return int(kind in _LETS_GO)


def fuse_states(table: FaultTable, fuse: int) -> Array:
    """Return what a fuse shows under every suspect: whole, blew at once, later, on movement.

    Parameters
    ----------
    table : FaultTable
        (h,) suspects.
    fuse : int
        Index of the fuse.

    Returns
    -------
    (h, 4) array
    """
    states = np.tile(np.array(FUSE_SOUND), (len(table.hypotheses), 1))
    guards = np.array([fuse in above for above in table.matrix.fuses_above] + [False])[table.node]
    for mode, (steady, moving) in FUSE_ROWS.items():
        blown = guards & table.is_mode(mode)
        states[blown & ~table.moving], states[blown & table.moving] = steady, moving
    states[(table.node == fuse) & table.is_mode(FaultMode.OPEN)] = WEAK_FUSE
    states[table.node < 0] = FUSE_UNKNOWN
    return states


def _row(way: Way, mode: FaultMode, variant: Variant, sort: NodeKind, *, moving: bool) -> Row:
    if way is Way.NONE:
        return SOUND
    if mode is FaultMode.HIGH_RESISTANCE and way in (Way.FEED, Way.GROUND) and variant in SIZES:
        return _SIZED_MOVING[variant] if moving else sized_status(variant, sort)
    if mode is FaultMode.FAILED_DEVICE and way is Way.FEED and variant in _BEHIND_ALTERNATOR:
        return _BEHIND_ALTERNATOR[variant]
    if mode is FaultMode.REVERSED and way is Way.SELF:
        return (0.10, 0.55, 0.35)
    known = STATUS.get((_REACH[way], mode))
    return known[moving] if known else SOUND


_ROWS: Final[Array] = np.array(
    [
        [
            [_row(way, mode, variant, sort, moving=moving) for sort in _SORTS]
            for mode, moving, variant in product(MODES, (False, True), VARIANTS)
        ]
        for way in Way
    ]
)
#: groups that show at the node itself
_IS_OWN: Final[Mask] = (_ROWS[Way.SELF, :, 0] != np.array(SOUND)).any(axis=1)
assert _ROWS.shape == (len(Way), GROUPS, len(_SORTS), 3)
