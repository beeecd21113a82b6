"""A short between the two wires of a data line is halved: a plug is opened, and both sides are measured. Chooses nothing.

Halving m equal pieces takes log2 m openings in the mean (4: 2.0 against 2.25 one by one, 8: 3.0 and 4.4, 16: 4.0 and 8.4;
computed). What is split is the weight of the suspects, not their count. Which side shows 0 ohm under which short is common
practice, without a source.
"""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import NDArray

from wearlog.facts.closed_lists import CheckVerdict, FaultMode, NodeKind
from wearlog.faults.both_ways import Both
from wearlog.faults.checks import Check, line_check
from wearlog.faults.circuit import Circuit
from wearlog.faults.circuit_matrix import CircuitMatrix
from wearlog.faults.data_line import Spot
from wearlog.faults.line_sides import sides_by
from wearlog.faults.sized_hypotheses import FaultTable

Array = NDArray[np.float64]

EXPECTED_OPENED: Final = "all off, this plug opened: not 0 ohm between the two data wires on either side"
#: a plug opened and both sides measured (common practice, no source)
_OPENED_MINUTES: Final = 7.0
#: readings that fall on any side alike
_SLIP_SHARE: Final = 0.03
#: a short inside the plug itself stays in one of its halves as often as it is gone while the plug is open
_STAYS_IN_A_HALF: Final = 0.50


def sides_of(matrix: CircuitMatrix, plug: int) -> tuple[tuple[int, frozenset[int]], ...]:
    """Return what is left of a data line on each side of a plug that is opened.

    Parameters
    ----------
    matrix : CircuitMatrix
    plug : int
        Index of the plug.

    Returns
    -------
    tuple of (int, frozenset of int)
        The place next to the plug that names the side, and all that hangs on it. A ring has one side.
    """
    return sides_by(lambda place: sorted(matrix.bus[place]), plug)


def opened_outcomes(table: FaultTable, check: Check) -> Both:
    """Return the chances of what an opened plug shows.

    Parameters
    ----------
    table : FaultTable
        (h,) suspects.
    check : Check
        With the spot `opened`.

    Returns
    -------
    Both of (h, 1 + sides) arrays
        Column 0: neither side shows 0 ohm. A short that comes and goes shows on neither while it is away.
    """
    plug = table.matrix.index[check.node]
    sides = sides_of(table.matrix, plug)
    count = max(len(sides), 1)
    away = np.tile(np.append(1 - _SLIP_SHARE, np.full(count, _SLIP_SHARE / count)), (len(table.hypotheses), 1))
    there = away.copy()
    shorted = table.is_mode(FaultMode.SHORT_TO_GROUND)
    for column, (_, side) in enumerate(sides, start=1):
        row = np.full(1 + count, _SLIP_SHARE / count)
        row[column] = 1 - _SLIP_SHARE
        there[shorted & np.isin(table.node, sorted(side))] = row
    if table.matrix.kinds[plug] is NodeKind.CONNECTOR:
        row = np.append(1 - _STAYS_IN_A_HALF, np.full(count, _STAYS_IN_A_HALF / count))
        there[shorted & (table.node == plug)] = row
    return Both(there, np.where(table.moving[:, None], away, there))


def likelihood_of_opened(table: FaultTable, check: Check, verdict: CheckVerdict) -> Both:
    """Return how likely each suspect makes what an opened plug showed: 0 ohm on the side that the check names, or on neither.

    Parameters
    ----------
    table : FaultTable
        (h,) suspects.
    check : Check
        `second` names the side with 0 ohm; empty: which of them was not said.
    verdict : CheckVerdict
        Good: on neither.
    """
    both = opened_outcomes(table, check)
    sides = sides_of(table.matrix, table.matrix.index[check.node])
    named = table.matrix.index.get(check.second, -1)
    column = next((number for number, (_, side) in enumerate(sides, start=1) if named in side), 0)
    if verdict is CheckVerdict.BAD and column:
        return Both(both.there[:, column], both.away[:, column])
    good = Both(both.there[:, 0], both.away[:, 0])
    return good if verdict is CheckVerdict.GOOD else Both(1 - good.there, 1 - good.away)


def shorts_alone(table: FaultTable, node: int, weight: Array) -> Array:
    """Return the chances of shorts on the data line of a node alone, as those that add up to 1; all 0 where there is none.

    Parameters
    ----------
    table : FaultTable
        (h,) suspects.
    node : int
        Index of a node on the line.
    weight : (h,) array
        The chance of each suspect.
    """
    on_line = (table.node >= 0) & (table.matrix.line[table.node] == table.matrix.line[node])
    short: Array = np.where(on_line & table.is_mode(FaultMode.SHORT_TO_GROUND), weight, 0.0)
    total = float(short.sum())
    return short / total if total > 0 else short


def side_chances(table: FaultTable, check: Check, weight: Array, present: Array) -> tuple[tuple[str, float], ...]:
    """Return the chance that each side of an opened plug shows 0 ohm, by the name of the place next to it; last, "" for neither.

    Parameters
    ----------
    table : FaultTable
        (h,) suspects.
    check : Check
        With the spot `opened`.
    weight, present : (h,) arrays
        The chance of each suspect, and that it is there now; shorts of this line alone are weighed.
    """
    names = list(table.matrix.index)
    weight = shorts_alone(table, table.matrix.index[check.node], weight)
    neither, *chances = (weight @ opened_outcomes(table, check).mixed(present)).tolist()
    sides = [names[side] for side, _ in sides_of(table.matrix, table.matrix.index[check.node])]
    return (*zip(sides, chances, strict=True), ("", neither))


def opened_check(circuit: Circuit, name: str) -> Check:
    """Return the check that opens a plug of a data line and measures on each side of it.

    Parameters
    ----------
    circuit : Circuit
    name : str
        Of the plug.
    """
    return line_check(circuit.node(name), Spot.OPENED, _OPENED_MINUTES, EXPECTED_OPENED)


def is_opened(check: Check) -> bool:
    """Return whether a check opens a plug of a data line and measures both sides.

    Parameters
    ----------
    check : Check
    """
    return check.is_of_line and check.spot is Spot.OPENED


def bits_of_opened(table: FaultTable, check: Check, weight: Array, present: Array) -> float:
    """Return how many bits about the place an opened plug is expected to give.

    Parameters
    ----------
    table : FaultTable
        (h,) suspects.
    check : Check
        With the spot `opened`.
    weight, present : (h,) arrays
        The chance of each suspect, and that it is there now.
    """
    joint = weight[:, None] * opened_outcomes(table, check).mixed(present)
    place = np.where(table.node < 0, len(table.matrix.kinds), table.node)
    parts: Array = np.stack(
        [np.bincount(place, weights=column, minlength=len(table.matrix.kinds) + 1) for column in joint.T]
    ).astype(np.float64)
    return _entropy(parts.sum(axis=0)) + _entropy(parts.sum(axis=1)) - _entropy(parts.ravel())


def _entropy(chances: Array) -> float:
    some = chances[chances > 0]
    return -float(some @ np.log2(some))
