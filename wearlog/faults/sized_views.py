"""What stands between a meter's probes under each suspect: the view from a point, and across a part. Arrays; no readings here.

A view is a mixture of what may be seen (`reading_mass.Seen`). The mixtures are common practice, without a source.
"""

from __future__ import annotations

from enum import IntEnum, unique
from typing import Final

import numpy as np
from numpy.typing import NDArray

from wearlog.facts.closed_lists import FaultMode, NodeKind
from wearlog.faults.circuit_matrix import CircuitMatrix
from wearlog.faults.reading_mass import Seen
from wearlog.faults.severity import Variant
from wearlog.faults.sized_hypotheses import VARIANTS, FaultTable

Mask = NDArray[np.bool_]
Whole = NDArray[np.int64]
Views = NDArray[np.int8]


@unique
class PointView(IntEnum):
    """From a point: what its voltage to ground tells."""

    SOUND = 0
    NOTHING = 1
    MILD = 2
    MEDIUM = 3
    SEVERE = 4
    #: under a fuse that a short, or an overload, has blown
    UNDER_SHORT = 5
    UNDER_OVERLOAD = 6


@unique
class PartView(IntEnum):
    """Across a part, the load on: what its drop tells."""

    AGED = 0
    NO_CURRENT = 1
    WHOLE_SUPPLY = 2
    MILD = 3
    MEDIUM = 4
    SEVERE = 5
    #: the load itself is burnt open: as a rule no current
    LOAD_OPEN = 6
    #: only one of several wires through the part has failed, and the probe may be on another
    WIRE_OPEN = 7
    WIRE_MILD = 8
    WIRE_MEDIUM = 9
    WIRE_SEVERE = 10


_BLOWN_BY_SHORT: Final = 0.93
_BLOWN_BY_OVERLOAD: Final = 0.60
_LOAD_OPEN: Final = 0.75
_ON_ONE_WIRE: Final = 0.75

POINT_MIX: Final[dict[PointView, dict[Seen, float]]] = {
    PointView.SOUND: {Seen.SOUND: 1.0},
    PointView.NOTHING: {Seen.NOTHING: 1.0},
    PointView.MILD: {Seen.MILD: 1.0},
    PointView.MEDIUM: {Seen.MEDIUM: 1.0},
    PointView.SEVERE: {Seen.SEVERE: 1.0},
    PointView.UNDER_SHORT: {Seen.NOTHING: _BLOWN_BY_SHORT, Seen.SOUND: 1 - _BLOWN_BY_SHORT},
    PointView.UNDER_OVERLOAD: {Seen.NOTHING: _BLOWN_BY_OVERLOAD, Seen.SOUND: 1 - _BLOWN_BY_OVERLOAD},
}


def _one_wire(seen: Seen) -> dict[Seen, float]:
    return {seen: _ON_ONE_WIRE, Seen.AGED: 1 - _ON_ONE_WIRE}


PART_MIX: Final[dict[PartView, dict[Seen, float]]] = {
    PartView.AGED: {Seen.AGED: 1.0},
    PartView.NO_CURRENT: {Seen.NO_CURRENT: 1.0},
    PartView.WHOLE_SUPPLY: {Seen.WHOLE_SUPPLY: 1.0},
    PartView.MILD: {Seen.MILD: 1.0},
    PartView.MEDIUM: {Seen.MEDIUM: 1.0},
    PartView.SEVERE: {Seen.SEVERE: 1.0},
    PartView.LOAD_OPEN: {Seen.NO_CURRENT: _LOAD_OPEN, Seen.AGED: 1 - _LOAD_OPEN},
    PartView.WIRE_OPEN: _one_wire(Seen.WHOLE_SUPPLY),
    PartView.WIRE_MILD: _one_wire(Seen.MILD),
    PartView.WIRE_MEDIUM: _one_wire(Seen.MEDIUM),
    PartView.WIRE_SEVERE: _one_wire(Seen.SEVERE),
}

_POINT_OF: Final = {
    Variant.MILD: PointView.MILD,
    Variant.MEDIUM: PointView.MEDIUM,
    Variant.SEVERE: PointView.SEVERE,
}
_PART_OF: Final = {
    Variant.MILD: (PartView.MILD, PartView.WIRE_MILD),
    Variant.MEDIUM: (PartView.MEDIUM, PartView.WIRE_MEDIUM),
    Variant.SEVERE: (PartView.SEVERE, PartView.WIRE_SEVERE),
}
_SHORTING: Final = (FaultMode.SHORT_TO_GROUND, FaultMode.OVERLOAD)
_SOURCES: Final = frozenset({NodeKind.BATTERY, NodeKind.ALTERNATOR})


def views_from_points(table: FaultTable, nodes: Whole) -> Views:
    """Return what is seen from each point, measured on the far side of a part and at the plug of a load.

    Parameters
    ----------
    table : FaultTable
        (h,) suspects, each there at the moment.
    nodes : array of int
        (k,) indices of nodes.

    Returns
    -------
    (h, k) array of `PointView`

    Notes
    -----
    A battery that is low lowers its own reading too, from which the point is judged: from there it looks sound.
    """
    views = np.zeros((len(table.hypotheses), len(nodes)), dtype=np.int8)
    matrix = table.matrix
    own_side = np.append(matrix.feeds & ~matrix.of_kind([NodeKind.CONTROLLER]), False)
    itself = (table.node[:, None] == nodes) & (own_side[table.node] & ~table.wire)[:, None]
    lost = table.feed_cut[np.ix_(table.cut, nodes)] | itself
    source = table.of_kind(*_SOURCES)
    failed = table.is_mode(FaultMode.FAILED_DEVICE) & ~source
    views[lost & (table.is_mode(FaultMode.OPEN) | failed)[:, None]] = PointView.NOTHING
    for variant, view in _POINT_OF.items():
        sized = (table.variant == VARIANTS.index(variant)) & ~table.of_kind(NodeKind.ALTERNATOR)
        views[lost & sized[:, None]] = view
    under = table.under_fuse[np.ix_(table.node, nodes)]
    views[under & table.is_mode(FaultMode.SHORT_TO_GROUND)[:, None]] = PointView.UNDER_SHORT
    views[under & table.is_mode(FaultMode.OVERLOAD)[:, None]] = PointView.UNDER_OVERLOAD
    return views


def views_across_parts(table: FaultTable, nodes: Whole) -> Views:
    """Return what is seen across each part while its loads are on.

    Parameters
    ----------
    table : FaultTable
        (h,) suspects, each there at the moment.
    nodes : array of int
        (k,) indices of nodes.

    Returns
    -------
    (h, k) array of `PartView`
    """
    views = np.zeros((len(table.hypotheses), len(nodes)), dtype=np.int8)
    loads = uses_of(table.matrix)[nodes]
    cut = table.feed_cut[table.cut] | table.ground_cut[table.cut]
    cut = cut & (table.is_mode(FaultMode.OPEN) | table.is_mode(FaultMode.FAILED_DEVICE))[:, None]
    cut[table.is_mode(*_SHORTING)] = table.under_fuse[table.node[table.is_mode(*_SHORTING)]]
    views[_all_cut(cut, loads)] = PartView.NO_CURRENT
    rows = np.flatnonzero(table.is_mode(FaultMode.FAILED_DEVICE) & (table.node >= 0))
    dead = np.zeros_like(cut)
    dead[rows, table.node[rows]] = np.append(table.matrix.is_load, False)[table.node[rows]]
    views[_all_cut(dead, loads)] = PartView.LOAD_OPEN
    itself = table.node[:, None] == nodes
    views[itself & (table.is_mode(FaultMode.OPEN) & ~table.wire)[:, None]] = PartView.WHOLE_SUPPLY
    views[itself & (table.is_mode(FaultMode.OPEN) & table.wire)[:, None]] = PartView.WIRE_OPEN
    switching = table.is_mode(FaultMode.FAILED_DEVICE) & table.of_kind(NodeKind.RELAY, NodeKind.SWITCH)
    views[itself & switching[:, None]] = PartView.WHOLE_SUPPLY
    for variant, (whole, wire) in _PART_OF.items():
        sized = table.variant == VARIANTS.index(variant)
        views[itself & (sized & ~table.wire)[:, None]] = whole
        views[itself & (sized & table.wire)[:, None]] = wire
    return views


def uses_of(matrix: CircuitMatrix) -> Mask:
    """Return (n, n): [a, b] whether the current of load b passes through a, on its way there or back.

    Parameters
    ----------
    matrix : CircuitMatrix
        Of n nodes.
    """
    passes = (matrix.below | matrix.behind) & matrix.is_load
    return np.asarray(passes, dtype=bool)


def _all_cut(cut: Mask, loads: Mask) -> Mask:
    """Return (h, k): whether every load of each part is cut; a part without loads carries no current to miss."""
    met = cut.astype(np.float32) @ loads.T.astype(np.float32)
    of = loads.sum(axis=1)
    return np.asarray((met >= of - 0.5) & (of > 0), dtype=bool)
