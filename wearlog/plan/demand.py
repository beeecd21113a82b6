"""How many of a part a season will take, as a distribution: wear of every position it fits, and impacts. It buys nothing."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.special import gammaln

from wearlog.errors import DataError
from wearlog.plan.life_nodes import LifeNodes, even_steps, survival
from wearlog.plan.season_kernel import reach, renewal_matrix, renewal_weights, season_steps

_NEGLIGIBLE: Final = 1e-14
_MOST_RENEWALS: Final = 200
#: a rate of so large a shape is known: the difference of two logarithms of gamma functions would hold no digit of it any more
_RATE_IS_KNOWN: Final = 1e9


@dataclass(frozen=True, slots=True)
class PositionGroup:
    """Positions that see the same usage in the coming season.

    Attributes
    ----------
    ages : ndarray of float, shape (positions,)
        Age of each at the start of the season; 0 where it is replaced before.
    usage : float
        Usage of the season on the meter that wears them.
    """

    ages: NDArray[np.float64]
    usage: float


@dataclass(frozen=True, slots=True)
class KindWear:
    """All positions of one kind: they share the one unknown life, so they fail many together or few together."""

    nodes: LifeNodes
    groups: tuple[PositionGroup, ...]


@dataclass(frozen=True, slots=True)
class ImpactRates:
    """Breakages by impact, by class of ground.

    Attributes
    ----------
    shape, rate : ndarray of float, shape (grounds,)
        Gamma posterior of the rate of one header (or machine): breakages, and the exposure they were seen in.
    exposure : ndarray of float, shape (grounds,)
        Planned exposure, of all headers together.
    counts : ndarray of float, shape (counts,), optional
        The law of the pieces itself, where one stone takes several; the rates are not asked then.
    """

    shape: NDArray[np.float64]
    rate: NDArray[np.float64]
    exposure: NDArray[np.float64]
    counts: NDArray[np.float64] | None = None


@dataclass(frozen=True, slots=True)
class Demand:
    """Chance of needing 0, 1, 2 ... of a part; `chance` has shape (counts,) and adds up to 1."""

    chance: NDArray[np.float64]

    @property
    def mean(self) -> float:
        """Expected number."""
        return float(self.chance @ np.arange(self.chance.size))

    @property
    def spread(self) -> float:
        """Standard deviation."""
        off = np.arange(self.chance.size) - self.mean
        return float(np.sqrt(self.chance @ off**2))

    def at_most(self, stock: ArrayLike) -> NDArray[np.float64]:
        """Chance that `stock` is enough.

        Parameters
        ----------
        stock : array_like of int
            Pieces on the shelf.
        """
        have = np.asarray(stock, dtype=np.int64)
        heaped = np.append(0.0, np.minimum(np.cumsum(self.chance), 1.0))
        return np.asarray(heaped[np.clip(have + 1, 0, self.chance.size)])

    def waits(self, stock: ArrayLike, pack: int = 1) -> NDArray[np.float64]:
        """Expected number of times one runs out and waits, when each wait brings a whole pack.

        With packs of one this is the expected number that `stock` falls short of.

        Parameters
        ----------
        stock : array_like of int
            Pieces on the shelf.
        pack : int
            Pieces that each order brings.
        """
        if pack < 1:
            raise DataError("A pack holds at least one.", "Check this part.")
        have = np.asarray(stock, dtype=np.int64)
        beyond = np.maximum(1.0 - np.cumsum(self.chance), 0.0)
        # below zero stock each missing pack is a wait for certain
        owed = -(-np.maximum(-have, 0) // pack)
        # the first wait comes when one more than s is wanted, the next one a pack later: P(N > s) + P(N > s + pack) + ...
        rows = -(-beyond.size // pack) + 1
        table = np.zeros(rows * pack)
        table[: beyond.size - 1] = beyond[:-1]
        heaped = np.cumsum(table.reshape(rows, pack)[::-1], axis=0)[::-1].ravel()
        return np.asarray(owed + heaped[np.minimum(have + owed * pack, heaped.size - 1)])

    def protection(self, wanted: float) -> int:
        """Smallest stock that is enough with at least this chance.

        Parameters
        ----------
        wanted : float
            Chance that the stock is enough, between 0 and 1.
        """
        heaped = np.cumsum(self.chance)
        # chances add up to a hair below 1: without the slack one piece more would be bought for the rounding
        return int(np.searchsorted(heaped, min(wanted, float(heaped[-1])) - 1e-12))


def season_demand(
    wear: Sequence[KindWear], impacts: Sequence[ImpactRates] = (), book: GroupBook | None = None
) -> Demand:
    """Return the demand of one part over the season.

    Parameters
    ----------
    wear : sequence of KindWear
        The kinds it fits.
    impacts : sequence of ImpactRates
    book : GroupBook, optional
        What was worked out before of the same groups and impacts.

    Notes
    -----
    Within a node, positions fail independently and a part that failed is replaced by a new one, which may fail too. The mixture
    over the nodes is taken after adding up the positions. Kinds, and impacts, are independent of each other.
    """
    known = GroupBook() if book is None else book
    demand = np.ones(1)
    for kind in wear:
        demand = np.convolve(demand, known.wear(kind))
    for impact in impacts:
        demand = np.convolve(demand, known.impacts(impact))
    return Demand(_trimmed(demand))


def wear_counts(kind: KindWear, book: GroupBook | None = None) -> NDArray[np.float64]:
    """Return the chance of 0, 1, 2 ... failures by wear over all positions of a kind.

    Parameters
    ----------
    kind : KindWear
        The positions of a kind with their chances.
    book : GroupBook, optional
        What was worked out before of the same groups.
    """
    known = GroupBook() if book is None else book
    groups = [group for group in kind.groups if group.ages.size and group.usage > 0]
    if not groups:
        return np.ones(1)
    lengths = known.lengths(kind.nodes, groups)
    total = np.zeros(int(lengths.max()))
    # a transform for each size that is needed: few nodes believe in the lives so short that they need a long one
    for length in np.unique(lengths):
        these = lengths == length
        spectrum = np.ones((int(these.sum()), int(length) // 2 + 1), dtype=np.complex128)
        for group in groups:
            spectrum *= known.spectrum(kind.nodes, group, int(length), these)
        # the nodes are mixed after the places are added up: all places share the one life that nobody knows
        total[:length] += np.fft.irfft(kind.nodes.weight[these] @ spectrum, int(length))
    return _trimmed(np.maximum(total, 0.0))


@dataclass(frozen=True, slots=True, eq=False)
class _GroupCounts:
    """Failures of one group: by node, age and number, how many positions are of each age, and what tells how long a sum gets."""

    single: NDArray[np.float64]
    count: NDArray[np.int64]
    most: int
    mean: NDArray[np.float64]
    variance: NDArray[np.float64]

    @classmethod
    def of(cls, nodes: LifeNodes, group: PositionGroup) -> _GroupCounts:
        ages, count = np.unique(group.ages, return_counts=True)
        single = renewal_counts(nodes, ages, group.usage)
        n = np.arange(single.shape[2])
        first, second = single @ n, single @ n**2
        most = int(count.sum()) * (single.shape[2] - 1)
        return cls(single, count, most, first @ count, (second - first**2) @ count)


class GroupBook:
    """What groups of positions and impacts bring over a season, each worked out once.

    The sets that a plan weighs differ in a line or two: all else brings in each of them what it brought before. Nodes, groups and
    impacts are known again by being the same objects.
    """

    def __init__(self) -> None:
        self._counts: dict[tuple[int, int], _GroupCounts] = {}
        self._spectra: dict[tuple[int, int, int, bytes], NDArray[np.complex128]] = {}
        self._impacts: dict[int, NDArray[np.float64]] = {}
        self._wear: dict[tuple[int, ...], NDArray[np.float64]] = {}
        # an object that was let go would give its number to another
        self._kept: list[object] = []

    def impacts(self, impact: ImpactRates) -> NDArray[np.float64]:
        """Return `impact_counts` of an impact.

        Parameters
        ----------
        impact : ImpactRates
        """
        if id(impact) not in self._impacts:
            self._kept.append(impact)
            self._impacts[id(impact)] = impact_counts(impact)
        return self._impacts[id(impact)]

    def wear(self, kind: KindWear) -> NDArray[np.float64]:
        """Return `wear_counts` of a kind: of a set that is weighed most kinds stand as they stood in the one before.

        Parameters
        ----------
        kind : KindWear
        """
        key = id(kind.nodes), *map(id, kind.groups)
        if key not in self._wear:
            self._kept += [kind.nodes, *kind.groups]
            self._wear[key] = wear_counts(kind, self)
        return self._wear[key]

    def lengths(self, nodes: LifeNodes, groups: Sequence[PositionGroup]) -> NDArray[np.int64]:
        """Return the length of the transform for the sum of these groups, by node.

        Parameters
        ----------
        nodes : LifeNodes
        groups : sequence of PositionGroup
            Those with positions and usage.
        """
        return _lengths_for([self._of(nodes, group) for group in groups])

    def spectrum(
        self, nodes: LifeNodes, group: PositionGroup, length: int, these: NDArray[np.bool_]
    ) -> NDArray[np.complex128]:
        """Return the transform of a group's failures; shape (nodes that are taken, frequencies).

        Parameters
        ----------
        nodes : LifeNodes
        group : PositionGroup
        length : int
            Of the transform.
        these : ndarray of bool, shape (nodes,)
            Which nodes are taken.
        """
        key = id(nodes), id(group), length, these.tobytes()
        if key not in self._spectra:
            known = self._of(nodes, group)
            self._spectra[key] = _all_together(np.fft.rfft(known.single[these], length, axis=2), known.count)
        return self._spectra[key]

    def _of(self, nodes: LifeNodes, group: PositionGroup) -> _GroupCounts:
        key = id(nodes), id(group)
        if key not in self._counts:
            self._kept += [nodes, group]
            self._counts[key] = _GroupCounts.of(nodes, group)
        return self._counts[key]


def renewal_counts(nodes: LifeNodes, ages: NDArray[np.float64], usage: float) -> NDArray[np.float64]:
    """Return the chance of 0, 1, 2 ... failures of one position in a season, by node and age.

    Parameters
    ----------
    nodes : LifeNodes
    ages : ndarray of float, shape (ages,)
    usage : float

    Returns
    -------
    ndarray of float, shape (nodes, ages, counts)
        Adds up to 1 over the counts.
    """
    if not np.all((ages >= 0) & np.isfinite(ages)):
        raise DataError("A part's age is not known or negative.", "Give the age of every part that is to be counted.")
    steps = season_steps(nodes, usage)
    whole = reach(nodes, ages, usage, steps)
    new_whole = survival(nodes, even_steps(usage, steps))
    first, again = renewal_weights(whole), renewal_matrix(new_whole)
    counts = [whole[..., -1]]
    rest = new_whole
    left = 1.0 - counts[0]
    while float(left.max()) > _NEGLIGIBLE and len(counts) < _MOST_RENEWALS:
        counts.append(np.einsum("nas,ns->na", first, rest))
        left = left - counts[-1]
        rest = np.einsum("nsj,nj->ns", again, rest)
    return np.stack(counts, axis=-1)


def impact_counts(impact: ImpactRates) -> NDArray[np.float64]:
    """Return the chance of 0, 1, 2 ... breakages by impact: a negative binomial for each ground, added up.

    Parameters
    ----------
    impact : ImpactRates
        Gamma law of the rate and the exposure of each ground.
    """
    if impact.counts is not None:
        return _trimmed(impact.counts)
    counts = np.ones(1)
    for shape, rate, exposure in zip(impact.shape, impact.rate, impact.exposure, strict=True):
        if exposure > 0 and shape > 0:
            counts = np.convolve(counts, gamma_poisson(float(shape), float(rate), float(exposure)))
    return _trimmed(counts)


def gamma_poisson(shape: float, rate: float, exposure: float) -> NDArray[np.float64]:
    """Return the chance of 0, 1, 2 ... events in `exposure` when their rate is gamma distributed (a negative binomial).

    P(n) = Gamma(a + n) / (Gamma(a) n!) (b / (b + x))^a (x / (b + x))^n, cut where next to nothing is left.

    Parameters
    ----------
    shape : float
        Shape of the gamma law of the rate, above 0.
    rate : float
        Exposure that the shape was seen in, in the unit of `exposure`.
    exposure : float
        What the season asks, at least 0.
    """
    if not (shape > 0 and rate > 0 and exposure >= 0):
        raise DataError("A rate of impacts needs a shape and a rate above zero.", "Check the starting guess by ground.")
    if exposure == 0:
        return np.ones(1)
    odds = exposure / rate
    if shape > _RATE_IS_KNOWN:
        return poisson(shape * odds).chance
    mean, spread = shape * odds, np.sqrt(shape * odds * (1 + odds))
    most = int(mean + 12 * spread + 40 * (1 + odds))
    n = np.arange(most + 1)
    logs = gammaln(shape + n) - gammaln(shape) - gammaln(n + 1.0)
    return _trimmed(np.exp(logs - shape * np.log1p(odds) + n * (np.log(odds) - np.log1p(odds))))


def poisson(mean: float) -> Demand:
    """Return a Poisson demand, for a rate that is known.

    Parameters
    ----------
    mean : float
        Expected use of a season, pieces.
    """
    if not mean >= 0:
        raise DataError("An expected demand cannot be negative.", "Check the usage that was planned.")
    n = np.arange(int(mean + 12 * np.sqrt(mean) + 40) + 1)
    return Demand(_trimmed(np.exp(n * np.log(mean) - mean - gammaln(n + 1.0)) if mean > 0 else np.ones(1)))


def _all_together(spectra: NDArray[np.complex128], count: NDArray[np.int64]) -> NDArray[np.complex128]:
    """Product over the ages, each as often as there are positions of it; shape (nodes, frequencies)."""
    more = count > 1
    once = np.prod(spectra[:, count == 1], axis=1)
    return np.asarray(once * np.prod(spectra[:, more] ** count[more, None], axis=1) if more.any() else once)


def _lengths_for(groups: Sequence[_GroupCounts]) -> NDArray[np.int64]:
    """Length of a transform for each node, long enough that what wraps around is negligible."""
    nodes = groups[0].single.shape[0]
    most, mean, variance = 0, np.zeros(nodes), np.zeros(nodes)
    for group in groups:
        most += group.most
        mean = mean + group.mean
        variance = variance + group.variance
    likely = mean + 12 * np.sqrt(np.maximum(variance, 0)) + 30
    # a power of two, for which a transform is quickest
    return np.asarray(2 ** np.ceil(np.log2(np.minimum(most, likely) + 2)), dtype=np.int64)


def _trimmed(chance: NDArray[np.float64]) -> NDArray[np.float64]:
    """Cut the tail where next to nothing is left, and bring the sum back to 1."""
    beyond = np.cumsum(chance[::-1])[::-1]
    last = int(np.flatnonzero(beyond > _NEGLIGIBLE)[-1]) + 1
    return np.asarray(chance[:last] / chance[:last].sum())
