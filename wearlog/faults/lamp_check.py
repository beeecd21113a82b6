"""The lamp in the place of a blown fuse: what bright, dark and going out say of each suspect. Common practice, without a source.

A fuse further down guards its own branch: a short there blows that fuse first, so this lamp says nothing of it.
"""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import NDArray

from wearlog.facts.closed_lists import FaultMode, NodeKind
from wearlog.faults.circuit_matrix import CircuitMatrix
from wearlog.faults.sized_hypotheses import FaultTable

Array = NDArray[np.float64]
Mask = NDArray[np.bool_]

LIT_BY_SHORT: Final = 0.97
#: as long as a short that comes and goes is there
LIT_BY_SHORT_THAT_MOVES: Final = 0.35
FALSE_ALARM: Final = 0.03
#: the short may sit on either side of the very plug that is opened
OUT_AT_THE_PLUG: Final = 0.66
NOT_DRAWN: Final = 0.30
#: of what is no short under this fuse an opened plug tells nothing
TELLS_NOTHING: Final = 0.50


def guarded_by(matrix: CircuitMatrix, fuse: int) -> Mask:
    """Return which nodes this fuse guards itself: no other fuse stands between.

    Parameters
    ----------
    matrix : CircuitMatrix
        The circuit.
    fuse : int
        Index of the fuse.
    """
    return np.array([fuse in above for above in matrix.fuses_above], dtype=bool)


def bright_at_start(table: FaultTable, fuse: int) -> Array:
    """Return the chance that the lamp is bright with every load of the fuse unplugged.

    Parameters
    ----------
    table : FaultTable
        (h,) suspects.
    fuse : int
        Index of the fuse in whose place the lamp is.

    Returns
    -------
    (h,) array
    """
    harness = _short_under(table, fuse) & ~np.append(table.matrix.is_load, False)[table.node]
    return _shares(table, np.where(harness, _lit(table), FALSE_ALARM))


def out_at_plug(table: FaultTable, fuse: int, plug: int) -> Array:
    """Return the chance that a bright lamp goes out when a plug is opened.

    Parameters
    ----------
    table : FaultTable
        (h,) suspects.
    fuse : int
        Index of the fuse in whose place the lamp is.
    plug : int
        Index of the plug.

    Returns
    -------
    (h,) array
    """
    shorted = _short_under(table, fuse) & ~np.append(table.matrix.is_load, False)[table.node]
    beyond = shorted & np.append(table.matrix.below[plug], False)[table.node]
    at_plug = shorted & (table.node == plug)
    chance = np.where(shorted, FALSE_ALARM, TELLS_NOTHING)
    chance = np.where(beyond, LIT_BY_SHORT, np.where(at_plug, OUT_AT_THE_PLUG, chance))
    return _shares(table, chance)


def bright_when_plugged(table: FaultTable, fuse: int, load: int) -> Array:
    """Return the chance that a dark lamp lights when one load, its switch off, is plugged back in.

    Parameters
    ----------
    table : FaultTable
        (h,) suspects.
    fuse : int
        Index of the fuse in whose place the lamp is.
    load : int
        Index of the load.

    Returns
    -------
    (h,) array
    """
    own = _short_under(table, fuse) & (table.node == load)
    return np.asarray(np.where(own, _lit(table), FALSE_ALARM))


def plugs_of(matrix: CircuitMatrix, fuse: int) -> tuple[int, ...]:
    """Return the plugs at which a harness under this fuse can be halved, and no plug beyond a further fuse.

    Parameters
    ----------
    matrix : CircuitMatrix
        The circuit.
    fuse : int
        Index of the fuse.
    """
    own = guarded_by(matrix, fuse)
    return tuple(i for i, kind in enumerate(matrix.kinds) if own[i] and kind is NodeKind.CONNECTOR)


def _short_under(table: FaultTable, fuse: int) -> Mask:
    guarded = np.append(guarded_by(table.matrix, fuse), False)[table.node]
    return np.asarray(table.is_mode(FaultMode.SHORT_TO_GROUND) & guarded, dtype=bool)


def _lit(table: FaultTable) -> Array:
    return np.where(table.moving, LIT_BY_SHORT_THAT_MOVES, LIT_BY_SHORT)


def _shares(table: FaultTable, chance: Array) -> Array:
    return np.asarray(np.where(table.node < 0, NOT_DRAWN, chance))
