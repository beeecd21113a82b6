"""How many fitted parts will wear out over the usage ahead; renewals within that stretch are the plan's business."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from wearlog.errors import DataError
from wearlog.wear import law
from wearlog.wear.arrays import FloatArray, float_column
from wearlog.wear.counts import Counts, counts_of
from wearlog.wear.posterior import Nodes


def count_first_failures(nodes: Nodes, ages: ArrayLike, usage: ArrayLike) -> Counts:
    """Return the law of how many of the parts now fitted fail over the usage ahead, each counted once.

    Parameters
    ----------
    nodes : Nodes
        Laws with weights, from `Posterior.nodes` or `few_nodes`.
    ages : array of shape (parts,)
        Age of each part now.
    usage : number or array of shape (parts,)
        Usage ahead of each.

    Returns
    -------
    Counts

    Notes
    -----
    Given the law the parts fail independently; over the posterior parts of one age move together, so that the count
    scatters more than a single law would have it.
    """
    now = float_column(ages, "age")
    ahead = float_column(usage, "usage", len(now))
    if not ((now >= 0).all() and (ahead >= 0).all()):
        raise DataError("A part has an age or a usage below 0.", "Check the meter readings.")
    return counts_of(nodes.weight @ _counts_given_law(nodes, now, now + ahead))


def _counts_given_law(nodes: Nodes, start: FloatArray, end: FloatArray) -> FloatArray:
    """Return the chance of 0 ... parts failures under each law, shape (laws, parts + 1)."""
    chance = np.zeros((len(nodes), len(start) + 1))
    chance[:, 0] = 1.0
    # one part after the other: it fails and moves the count up by one, or it does not
    for number, (begin, finish) in enumerate(zip(start, end, strict=True), start=1):
        if finish == begin:
            continue
        whole = law.survival_between(begin, finish, nodes.shape, nodes.scale)[:, None]
        chance[:, 1 : number + 1] = chance[:, 1 : number + 1] * whole + chance[:, :number] * (1 - whole)
        chance[:, :1] *= whole
    return chance
