"""How many fitted parts will wear out over the usage ahead; renewals within that stretch are the plan's business."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike
from scipy.special import ndtr

from wearlog.errors import DataError
from wearlog.wear import law
from wearlog.wear.arrays import FloatArray, float_column
from wearlog.wear.counts import Counts, counts_of
from wearlog.wear.posterior import Nodes

#: parts up to which the count is worked out one by one: beyond, that takes the square of their number
_MANY = 500


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
    scatters more than a single law would have it. Exact up to 500 parts; beyond, the count under each law is taken as normal
    with its own mean and variance.
    """
    now = float_column(ages, "age")
    ahead = float_column(usage, "usage", len(now))
    if not ((now >= 0).all() and (ahead >= 0).all()):
        raise DataError("A part has an age or a usage below 0.", "Check the meter readings.")
    given_law = _counts_given_law if len(now) <= _MANY else _normal_counts_given_law
    return counts_of(nodes.weight @ given_law(nodes, now, now + ahead))


def _normal_counts_given_law(nodes: Nodes, start: FloatArray, end: FloatArray) -> FloatArray:
    """Return the same for so many parts that the count under one law is normal; equal parts are taken together."""
    moved = end > start
    stretches, many = np.unique(np.stack([start[moved], end[moved]]), axis=1, return_counts=True)
    mean, variance = np.zeros(len(nodes)), np.zeros(len(nodes))
    for begin, finish, count in zip(*stretches, many, strict=True):
        whole = law.survival_between(begin, finish, nodes.shape, nodes.scale)
        mean += count * (1 - whole)
        variance += count * whole * (1 - whole)
    edges = np.arange(len(start)) + 0.5
    sd = np.sqrt(np.maximum(variance, 1e-12))[:, None]
    below = np.concatenate(
        [np.zeros((len(nodes), 1)), ndtr((edges - mean[:, None]) / sd), np.ones((len(nodes), 1))], axis=1
    )
    return np.asarray(np.diff(below, axis=1))


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
