"""Stones and the pieces they take: which breakages are one stone, how many stones come, and the law of the pieces that makes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.polynomial.hermite_e import hermegauss
from numpy.typing import ArrayLike, NDArray
from scipy.special import gammaln

from wearlog.errors import DataError
from wearlog.wear.arrays import FloatArray, IntArray, fixed, float_column
from wearlog.wear.counts import Counts, counts_of, sum_of_counts
from wearlog.wear.intervals import Estimate
from wearlog.wear.rates import GammaRate

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


#: what a stone takes beforehand: 1, 2, 3, 4, 5 or more pieces, as if so many stones had been seen (common practice, no source)
PIECES_BEFORE = (6.0, 2.0, 1.0, 0.5, 0.5)
#: the mean of that
USUAL_PIECES = sum(size * weight for size, weight in enumerate(PIECES_BEFORE, 1)) / sum(PIECES_BEFORE)
#: breakages of neighbouring positions within a quarter of an hour are one stone
SAME_STONE_SECONDS = 900.0
_NEIGHBOUR = 1


@dataclass(frozen=True, slots=True, eq=False)
class StoneRates:
    """Stones by class of ground, and the pieces that one takes.

    Attributes
    ----------
    rates : tuple of GammaRate
        Posterior of stones per unit of usage on each class of ground.
    pieces : array of shape (k,)
        Dirichlet posterior of the pieces a stone takes, by the sizes in `sizes`.
    sizes : array of shape (k,)
        1, 2, 3, 4 and what 5 or more came to in the mean.
    stones : tuple of float
        Seen on each class.
    exposure : tuple of float
        Usage on each class.
    """

    rates: tuple[GammaRate, ...]
    pieces: FloatArray
    sizes: IntArray
    stones: tuple[float, ...]
    exposure: tuple[float, ...]

    @property
    def per_stone(self) -> float:
        """Pieces a stone takes in the mean."""
        return float(self.sizes @ self.pieces / self.pieces.sum())

    @property
    def means(self) -> tuple[float, ...]:
        """Pieces expected per unit of usage, by class of ground."""
        return tuple(rate.mean * self.per_stone for rate in self.rates)

    def predict(self, planned: ArrayLike) -> Counts:
        """Return the law of the pieces broken over planned usage: stones by class, and what each takes.

        Parameters
        ----------
        planned : array of shape (classes,)
            Usage to come on each class of ground.
        """
        usage = float_column(planned, "planned usage", len(self.rates))
        stones = sum_of_counts([rate.predict(float(part)) for rate, part in zip(self.rates, usage, strict=True)])
        return compound_counts(stones, self.sizes, self.pieces)

    def estimates(self, level: float = 0.9) -> tuple[Estimate, ...]:
        """Return the pieces per unit of usage on each class of ground: median, mean, interval.

        Parameters
        ----------
        level : float
            Chance that the interval holds, between 0 and 1.

        Notes
        -----
        Rate of stones times mean pieces per stone, which are independent: the gamma law that has the mean and the variance of
        that product stands for it.
        """
        total, mean = float(self.pieces.sum()), self.per_stone
        apart = float(self.sizes**2 @ self.pieces / total - mean**2) / (total + 1)
        found = []
        for rate in self.rates:
            # relative variances of independent factors: (1 + v)(1 + w) - 1
            relative = (1 + 1 / rate.shape) * (1 + apart / mean**2) - 1
            found.append(GammaRate(1 / relative, 1 / (relative * rate.mean * mean)).estimate(level))
        return tuple(found)


def fit_stones(stones: ArrayLike, pieces: ArrayLike, exposure: ArrayLike, prior: Sequence[GammaRate]) -> StoneRates:
    """Return the rates of stones by class of ground and the pieces that one takes.

    Parameters
    ----------
    stones : array of shape (classes,)
        Stones on each class of ground.
    pieces : array of shape (stones seen,)
        How many pieces each stone took, 1 or more, of whatever ground.
    exposure : array of shape (classes,)
        Usage on each class of ground.
    prior : sequence of GammaRate
        One per class, of pieces broken per unit of usage, as `impact_prior` gives them; a stone takes 1.75 beforehand.

    Raises
    ------
    DataError
        If a stone took no piece.

    Notes
    -----
    Stones are Poisson with a gamma prior; the pieces of a stone are 1, 2, 3, 4, 5 or more with a Dirichlet prior of 6, 2, 1,
    0.5, 0.5. A guess is of pieces: divided by 1.75 it is one of stones, as wide as it was.
    """
    took = float_column(pieces, "pieces")
    if not ((took >= 1) & (took == np.round(took))).all():
        raise DataError("A stone took no whole number of pieces.", "Count the pieces of each stone, 1 or more.")
    top = len(PIECES_BEFORE)
    before, many = np.array(PIECES_BEFORE), took[took >= top]
    sizes = np.arange(1, top + 1)
    sizes[-1] = max(top, round(float(many.mean()))) if many.size else top
    seen = np.asarray(before + np.bincount(np.minimum(took, top).astype(np.int64) - 1, minlength=top), dtype=float)
    came, usage = float_column(stones, "stones", len(prior)), float_column(exposure, "usage", len(prior))
    rates = tuple(law.after(float(n), float(t)) for law, n, t in zip(stone_prior(prior), came, usage, strict=True))
    for one in (seen, sizes):
        fixed(one)
    return StoneRates(rates, seen, sizes, tuple(came.tolist()), tuple(usage.tolist()))


def stone_prior(prior: Sequence[GammaRate]) -> tuple[GammaRate, ...]:
    """Return guesses of stones out of guesses of pieces, as wide as they were: a stone takes 1.75 beforehand.

    Parameters
    ----------
    prior : sequence of GammaRate
        One per class of ground, of pieces per unit of usage.
    """
    return tuple(GammaRate(law.shape, law.exposure * USUAL_PIECES) for law in prior)


def stones_of(component: ArrayLike, seconds: ArrayLike, position: ArrayLike) -> IntArray:
    """Return which stone broke each piece, numbered from 0 in the order of their first piece.

    Parameters
    ----------
    component : array_like of int, shape (n,)
        What each broken piece sat on.
    seconds : array_like, shape (n,)
        When it broke.
    position : array_like of int, shape (n,)
        Where along it.

    Returns
    -------
    array of shape (n,)

    Notes
    -----
    Pieces of one component within 15 minutes at neighbouring positions are one stone, and so is what hangs together by such
    steps, in however many entries it was written down. Pieces of one entry that are no neighbours are several stones.
    """
    where, at, along = (
        float_column(one, name) for one, name in ((component, "component"), (seconds, "time"), (position, "position"))
    )
    if not len(where) == len(at) == len(along):
        raise DataError("Component, time and position differ in length.", "Give one of each for every piece.")
    order = np.lexsort((along, at, where))
    hangs, on = _hanging_together(where[order], at[order], along[order])
    found = np.empty(len(order), dtype=np.int64)
    found[order] = _joined(len(order), hangs, on)
    _, first, place = np.unique(found, return_index=True, return_inverse=True)
    rank = np.empty(len(first), dtype=np.int64)
    rank[np.argsort(first)] = np.arange(len(first))
    return rank[place.ravel()]


def _hanging_together(where: FloatArray, at: FloatArray, along: FloatArray) -> tuple[IntArray, IntArray]:
    """Return the pairs of pieces that one step joins; the columns are ordered by component and time."""
    later, earlier = [], []
    row, back = np.arange(1, len(where)), 1
    # most pieces have none before them within a quarter of an hour: each round looks one further back for those that still have
    while row.size:
        other = row - back
        near = (where[row] == where[other]) & (at[row] - at[other] <= SAME_STONE_SECONDS)
        row, other = row[near], other[near]
        beside = np.abs(along[row] - along[other]) <= _NEIGHBOUR
        later.append(row[beside])
        earlier.append(other[beside])
        back += 1
        row = row[row >= back]
    none = np.zeros(0, dtype=np.int64)
    return np.concatenate([none, *later]), np.concatenate([none, *earlier])


def _joined(count: int, one: IntArray, other: IntArray) -> IntArray:
    """Return for each piece the smallest of all that hang together with it."""
    leader = np.arange(count)
    while True:
        lowest = np.minimum(leader[one], leader[other])
        before = leader.copy()
        for end in (one, other):
            np.minimum.at(leader, leader[end], lowest)
            np.minimum.at(leader, end, lowest)
        leader = leader[leader]
        if np.array_equal(before, leader):
            return leader
