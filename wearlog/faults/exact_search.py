"""The best possible search by dynamic programming, for small problems only. The rule for every-day sizes is in lookahead.py."""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import NDArray

from wearlog.errors import DataError
from wearlog.faults.search_problem import SearchProblem, Step

Array = NDArray[np.float64]
Whole = NDArray[np.int64]

#: 3 ** checks x 2 ** places states above this are refused
MOST_STATES: Final = 2_000_000


def states(problem: SearchProblem) -> int:
    """Return how many states the exact search would have to value.

    Parameters
    ----------
    problem : SearchProblem
        Suspects with their chances, checks and minutes.
    """
    return int(3**problem.check_minutes.size * 2**problem.repair_minutes.size)


def exact_step(problem: SearchProblem) -> Step:
    """Return the best next step and the least expected minutes to a found and repaired fault.

    Parameters
    ----------
    problem : SearchProblem
        Each check is made at most once.

    Raises
    ------
    DataError
        If there are more than `MOST_STATES` states.

    Notes
    -----
    The value of an unnormalised belief w is homogeneous: V(w) = min over checks of minutes x |w| + V(w bad) + V(w good), and
    over repairs of minutes x |w| + V(w without that place). A state is what each check has shown (base 3: not made, good, bad) and
    which places are still open (base 2).
    """
    if states(problem) > MOST_STATES:
        raise DataError(
            f"{problem.check_minutes.size} checks and {problem.repair_minutes.size} places are too many to search exactly.",
            "Use two steps of lookahead.",
        )
    left, value = (
        _weights_left(problem),
        np.full((3**problem.check_minutes.size, 2**problem.repair_minutes.size), np.inf),
    )
    shown = _digits(problem.check_minutes.size)
    # the more checks were made, the sooner a state is valued: what follows from it is then known
    for made in range(problem.check_minutes.size, -1, -1):
        codes = np.flatnonzero((shown > 0).sum(axis=1) == made)
        for check, minutes in enumerate(problem.check_minutes):
            here = codes[shown[codes, check] == 0]
            value[here] = np.minimum(value[here], minutes * left[here] + _after(value, here, check))
        value[codes] = _with_repairs(problem, left[codes], value[codes])
    return _best_first_step(problem, value)


def _digits(checks: int) -> Whole:
    """Return the (3 ** checks, checks) array of what each check has shown in each state."""
    codes = np.arange(3**checks)
    return np.asarray(codes[:, None] // 3 ** np.arange(checks) % 3)


def _after(value: Array, codes: Whole, check: int) -> Array:
    step: int = 3**check
    return np.asarray(value[codes + step] + value[codes + 2 * step])


def _weights_left(problem: SearchProblem) -> Array:
    """Return the weight left in every state: (3 ** checks, 2 ** places); bit k of the column: place k is open."""
    by_outcome = problem.weight[None, :]
    for row in problem.bad:
        by_outcome = np.concatenate((by_outcome, by_outcome * (1 - row), by_outcome * row))
    by_place = by_outcome @ problem.membership()
    is_open = (np.arange(2**problem.repair_minutes.size) >> np.arange(problem.repair_minutes.size)[:, None]) & 1
    return np.asarray(by_place @ is_open)


def _with_repairs(problem: SearchProblem, left: Array, value: Array) -> Array:
    """Lower each state's value by what repairing a place first would cost; sets of open places from small to large."""
    places = np.arange(problem.repair_minutes.size)
    value = np.where(left <= 0, 0.0, value)
    sets = np.arange(value.shape[1])
    sizes = ((sets[:, None] >> places) & 1).sum(axis=1)
    for size in range(1, places.size + 1):
        for place in places:
            here = sets[(sizes == size) & ((sets >> place) & 1 == 1)]
            tried = problem.repair_minutes[place] * left[:, here] + value[:, here ^ (1 << int(place))]
            value[:, here] = np.minimum(value[:, here], tried)
    return value


def _best_first_step(problem: SearchProblem, value: Array) -> Step:
    total, everything = problem.weight.sum(), value.shape[1] - 1
    start = np.zeros(1, dtype=np.int64)
    options = [
        Step(check, None, float(minutes + _after(value, start, check)[0, -1] / total))
        for check, minutes in enumerate(problem.check_minutes)
    ]
    options += [
        Step(None, place, float(minutes + value[0, everything ^ (1 << place)] / total))
        for place, minutes in enumerate(problem.repair_minutes)
        if problem.weight[problem.place == place].sum() > 0
    ]
    return min(options, key=lambda step: step.expected_minutes)
