"""The 0/1 programme behind a choice within limits, exact in whole numbers. What is chosen, and why, stands in budget.py."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import numpy as np
from numpy.typing import NDArray

from wearlog.plan.choice_core import cheapest_within

if TYPE_CHECKING:
    from scipy.optimize import LinearConstraint

_ROUNDS: Final = 20
#: branches the solver may try; real lists need a few dozen, only lists made to be hard need more
_MOST_NODES: Final = 200


def least_cost(
    cost: NDArray[np.float64],
    rows: list[tuple[NDArray[np.int64], int | None]],
    group: NDArray[np.int64],
    *,
    at_least: tuple[NDArray[np.int64], int] | None = None,
) -> tuple[NDArray[np.bool_] | None, bool]:
    """Find the 0/1 choice that costs least.

    Parameters
    ----------
    cost : ndarray of float, shape (wishes,)
    rows : list of (ndarray of int64, int or None)
        What each wish takes of something, and how much of it there is; None: no limit.
    group : ndarray of int64
        At most one of each group is chosen.
    at_least : (ndarray of int64, int), optional
        What each wish gives of something, and how much of it is asked for.

    Returns
    -------
    ndarray of bool or None
        None when there is no way.
    bool
        Whether it is proved that nothing costs less.

    Notes
    -----
    What `cheapest_within` settles needs no solver. The rest is asked of scipy.optimize.milp without a gap, up to a number of
    branches. The solver works to 1e-6 in floating point: where its rounded answer breaks a limit in whole numbers, the limit is
    drawn in by that much and it is asked again.
    """
    if cost.size == 0:
        return None, True
    # what is asked for stands first: of choices that cost the same the one that gives most of it
    asked = [] if at_least is None else [(-at_least[0], -at_least[1])]
    asked += [(row, room) for row, room in rows if room is not None]
    takes = np.array([row for row, _ in asked], dtype=np.int64).reshape(len(asked), cost.size)
    room = np.array([room for _, room in asked], dtype=np.int64)
    found = cheapest_within(np.rint(cost).astype(np.int64), takes, room, group)
    if found is not None:
        return found, True
    # loaded only where that leaves too much: the solver takes longer to load than most plans to reckon
    from scipy.optimize import Bounds, LinearConstraint, milp

    rooms = [room for _, room in rows]
    one_of_each = _one_of_each(group)
    wanted = None if at_least is None else at_least[1]
    for _ in range(_ROUNDS):
        limits = [
            LinearConstraint(row.astype(np.float64)[None, :], -np.inf, float(room))
            for (row, _), room in zip(rows, rooms, strict=True)
            if room is not None
        ]
        if one_of_each is not None:
            limits.append(one_of_each)
        if at_least is not None and wanted is not None:
            limits.append(LinearConstraint(at_least[0].astype(np.float64)[None, :], float(wanted), np.inf))
        answer = milp(
            cost,
            integrality=np.ones(cost.size),
            bounds=Bounds(0.0, 1.0),
            constraints=limits,
            options={"mip_rel_gap": 0.0, "node_limit": _MOST_NODES},
        )
        if answer.x is None:
            return None, bool(answer.status == 2)
        picked = np.asarray(answer.x > 0.5)
        over = [0 if room is None else int(row[picked].sum()) - room for row, room in rows]
        under = 0 if at_least is None else at_least[1] - int(at_least[0][picked].sum())
        if max(over) <= 0 and under <= 0:
            return picked, bool(answer.status == 0)
        rooms = [None if room is None else room - max(beyond, 0) for room, beyond in zip(rooms, over, strict=True)]
        wanted = None if wanted is None else wanted + max(under, 0)
    return None, False


def _one_of_each(group: NDArray[np.int64]) -> LinearConstraint | None:
    """At most one of each group; None where every wish is for itself."""
    from scipy.optimize import LinearConstraint
    from scipy.sparse import csr_array

    names, number, size = np.unique(group, return_inverse=True, return_counts=True)
    if names.size == group.size:
        return None
    several = size > 1
    row = np.cumsum(several) - 1
    wishes = np.flatnonzero(several[number])
    table = csr_array(
        (np.ones(wishes.size), (row[number[wishes]], wishes)), shape=(int(several.sum()), group.size), dtype=np.float64
    )
    return LinearConstraint(table, -np.inf, 1.0)
