"""What nobody said: people tell what fails and seldom what works. Turns told and silent loads into factors. Knows no circuit.

The shares are common practice, without a source; a wrong one shows in the simulations of tests/bench.
"""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import NDArray

from wearlog.facts.electrics import OthersTried

Array = NDArray[np.float64]

#: chance that a load which works is told unasked
WORKING_TOLD: Final = 0.10
#: chance that a load which fails is told, by what the operator says of having tried the others; None: not asked
FAILING_TOLD: Final[dict[OthersTried | None, float]] = {
    OthersTried.ALL_FINE: 0.95,
    OthersTried.SOME_FAIL: 0.50,
    OthersTried.NOT_TRIED: 0.10,
    None: 0.35,
}


def silent_factor(fails: Array, failing_told: float, working_told: float = WORKING_TOLD) -> Array:
    """Return how well each hypothesis explains that nobody spoke of a load.

    Parameters
    ----------
    fails : array of float
        (hypotheses, silent loads) or (hypotheses,): chance that each load does not work, misreading mixed in.
    failing_told, working_told : float
        Chance that a load that fails, and one that works, is told.

    Returns
    -------
    array
        Of the same shape.
    """
    return np.asarray(fails * (1 - failing_told) + (1 - fails) * (1 - working_told))


def first_told_factor(silent_fails: Array, told_failing: int) -> Array:
    """Return how likely it was that just this load was the first to be told, among all that fail.

    Parameters
    ----------
    silent_fails : array of float
        (hypotheses, loads): chance that each of the other silent loads does not work.
    told_failing : int
        Other loads that were told or tried and do not work.

    Returns
    -------
    (hypotheses,) array
        What kills many loads is not to be credited for each of them.
    """
    return np.asarray(1 / (1 + silent_fails.sum(axis=1) + told_failing))
