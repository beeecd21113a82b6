"""The law of a sum of clusters: so many stones, so many pieces each, the shares of the sizes known only as records tell."""

from __future__ import annotations

import numpy as np
from numpy.polynomial.hermite_e import hermegauss
from numpy.typing import ArrayLike, NDArray
from scipy.special import gammaln

from wearlog.errors import DataError
from wearlog.wear.arrays import FloatArray, IntArray, float_column
from wearlog.wear.counts import Counts, counts_of

ComplexArray = NDArray[np.complex128]

#: up to so many stones the shares are summed out exactly; beyond it the mean size alone matters
_EXACT_UP_TO = 60
_FAINT = 1e-12
_NODES = 9
_TILT_STEPS = 60


def compound_counts(stones: Counts, sizes: ArrayLike, weight: ArrayLike) -> Counts:
    """Return the law of the pieces when so many stones come.

    Parameters
    ----------
    stones : Counts
        Law of the number of stones.
    sizes : array_like of int, shape (k,)
        Pieces that a stone may take, each 1 or more.
    weight : array_like, shape (k,)
        Dirichlet law of the shares of these sizes, each above 0. The stones to come share the one unknown set of shares.

    Raises
    ------
    DataError
        If sizes or weights cannot be.

    Notes
    -----
    Up to 60 stones exact: n_1, n_2 ... of N stones have the Dirichlet-multinomial chance N! G(A)/G(A + N) times the product
    of G(a_k + n_k)/(n_k! G(a_k)), and the sum over all with the same total of pieces is a convolution, size by size. Beyond,
    the shares are moved along their mean size (exponential tilting) to nine nodes with the mean and variance that the
    Dirichlet law gives it, and each node's compound law comes by the fast Fourier transform.

    References
    ----------
    N. L. Johnson, A. W. Kemp and S. Kotz, Univariate Discrete Distributions, 3rd ed., Wiley 2005, sec. 9.1 (from memory).
    """
    width, share = float_column(sizes, "size"), float_column(weight, "weight")
    if len(width) != len(share) or not len(width) or not ((width >= 1) & (width == np.round(width))).all():
        raise DataError("The sizes of stones are not whole numbers of pieces with a weight each.", "Give 1, 2, 3 ...")
    if not ((share > 0) & (share < np.inf)).all():
        raise DataError("A weight of a size is not above 0.", "Give every size a weight above 0.")
    chance = stones.chance
    last = int(np.flatnonzero(np.cumsum(chance[::-1])[::-1] > _FAINT)[-1])
    pieces = width.astype(np.int64)
    if last <= _EXACT_UP_TO:
        return counts_of(_exactly(chance[: last + 1], pieces, share))
    return counts_of(_by_mean_size(chance[: last + 1], pieces, share))


def _exactly(chance: FloatArray, sizes: IntArray, weight: FloatArray) -> FloatArray:
    most = len(chance) - 1
    n = np.arange(most + 1)
    # table[n, t]: sum over all ways in which n stones of the sizes so far take t pieces
    table = np.zeros((most + 1, most * int(sizes.max()) + 1))
    table[0, 0] = 1.0
    for size, a in zip(sizes.tolist(), weight.tolist(), strict=True):
        factor = np.exp(gammaln(a + n) - gammaln(a) - gammaln(n + 1))
        grown = np.zeros_like(table)
        for more in range(most + 1):
            width = table.shape[1] - more * size
            grown[more:, more * size :] += factor[more] * table[: most + 1 - more, :width]
        table = grown
    total = float(weight.sum())
    norm = np.exp(gammaln(n + 1) + gammaln(total) - gammaln(total + n))
    return np.asarray((chance * norm) @ table)


def _by_mean_size(chance: FloatArray, sizes: IntArray, weight: FloatArray) -> FloatArray:
    shares = weight / weight.sum()
    mean = float(shares @ sizes)
    sd = np.sqrt(float(shares @ (sizes - mean) ** 2) / (weight.sum() + 1))
    points, of_point = hermegauss(_NODES)
    # a mean size lies between the smallest and the largest
    means = np.clip(mean + sd * points, sizes.min() + 1e-6, sizes.max() - 1e-6)
    length = 1 << int(np.ceil(np.log2((len(chance) - 1) * int(sizes.max()) + 1)))
    total = np.zeros(length)
    for middle, part in zip(means.tolist(), (of_point / of_point.sum()).tolist(), strict=True):
        law = np.zeros(length)
        np.add.at(law, sizes, _tilted(shares, sizes, middle))
        total += part * np.fft.irfft(_composed(chance, np.fft.rfft(law)), length)
    return np.maximum(total, 0.0)


def _composed(chance: FloatArray, at: ComplexArray) -> ComplexArray:
    """Return sum of chance_n x at^n: Horner's scheme over stretches of about the square root of the terms."""
    step = int(np.ceil(np.sqrt(len(chance))))
    powers = np.cumprod(np.vstack([np.ones_like(at)[None], np.broadcast_to(at, (step, len(at)))]), axis=0)
    stretches = np.resize(np.append(chance, np.zeros(step)), (-(-len(chance) // step), step))
    parts = stretches @ powers[:-1]
    value = parts[-1]
    for one in parts[-2::-1]:
        value = value * powers[-1] + one
    return np.asarray(value)


def _tilted(shares: FloatArray, sizes: IntArray, mean: float) -> FloatArray:
    """Return shares in proportion to shares x exp(tilt x size) with this mean size, by bisection on the tilt."""
    low, high = -30.0, 30.0
    for _ in range(_TILT_STEPS):
        middle = 0.5 * (low + high)
        logs = np.log(shares) + middle * sizes
        found = np.exp(logs - logs.max())
        found /= found.sum()
        low, high = (middle, high) if float(found @ sizes) < mean else (low, middle)
    return np.asarray(found)
