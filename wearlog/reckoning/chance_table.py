"""The chance of parts to last a stretch of usage: exact for all, with the interval only where there are few enough to show."""

from __future__ import annotations

import numpy as np

from wearlog.store.histories import Floats
from wearlog.wear.posterior import Nodes, Posterior

#: up to so many different stretches the interval is worked out too; nobody reads more, and it costs ten times the chance itself
WITH_INTERVAL = 400
_BLOCK = 512
_LARGEST = 700.0


def chances_to_last(posterior: Posterior, age: Floats, usage: Floats, level: float = 0.9) -> Floats:
    """Return the chance that parts of these ages last these usages.

    Parameters
    ----------
    posterior : Posterior
        The life of the kind.
    age, usage : (n,) float64
        Age now and usage ahead, in the unit of the lives, 0 or more.
    level : float
        Level of the interval.

    Returns
    -------
    (3, n) float64
        The chance, and the low and high end of its interval; the ends are NaN when there are more than `WITH_INTERVAL` different
        stretches.
    """
    stretches, place = np.unique(age + 1j * usage, return_inverse=True)
    start, ahead = stretches.real, stretches.imag
    found = np.full((3, stretches.size), np.nan)
    if stretches.size <= WITH_INTERVAL:
        exact = posterior.survival_between(start, start + ahead, level)
        found[:] = exact.mean, exact.low, exact.high
    else:
        nodes = posterior.nodes
        for begin in range(0, stretches.size, _BLOCK):
            block = slice(begin, begin + _BLOCK)
            found[0, block] = _mean_chance(nodes, start[block], start[block] + ahead[block])
    return np.asarray(found[:, place])


def _mean_chance(nodes: Nodes, start: Floats, end: Floats) -> Floats:
    """Return R(end) / R(start) averaged over the laws; a stretch of no length is lasted for sure."""
    with np.errstate(divide="ignore", invalid="ignore"):
        log_end = np.log(end)[:, None]
        hazard = np.exp(np.minimum(nodes.shape * (log_end - np.log(nodes.scale)), _LARGEST))
        hazard *= -np.expm1(nodes.shape * np.log(start / end)[:, None])
        chance = np.exp(-hazard) @ nodes.weight
    return np.where(end > start, chance, 1.0)
