"""Tests whether repairs come ever closer or ever rarer; each form for time-ended and failure-ended watches apart."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import ArrayLike
from scipy.special import chdtr, chdtrc, ndtr

from wearlog.errors import DataError
from wearlog.wear.arrays import FloatArray, IntArray, float_column
from wearlog.wear.recurrence import Histories

EXACT_TO = 30  # gaps up to which the null law of reverse arrangements is counted out
_SAME = 1e-9  # of the longest gap: what is closer differs only through rounding


@dataclass(frozen=True, slots=True)
class TrendTest:
    """Outcome of a test against "no trend".

    Attributes
    ----------
    statistic : float
        In the test's own units.
    degrees : int
        Degrees of freedom, or the number of events or gaps used.
    p_worsening : float
        Chance, without trend, of events coming at least as much closer as they did.
    p_improving : float
        The same for events coming rarer.
    """

    statistic: float
    degrees: int
    p_worsening: float
    p_improving: float

    @property
    def p_value(self) -> float:
        """Two-sided."""
        return min(1.0, 2 * min(self.p_worsening, self.p_improving))


def laplace_test(watched: Histories) -> TrendTest:
    """Test against a constant rate by the mean age at events (Laplace).

    Parameters
    ----------
    watched : Histories
        At least 3 events that are free to fall anywhere.

    Returns
    -------
    TrendTest
        The statistic is standard normal without trend; above 0 means events come closer.

    Notes
    -----
    Without trend the events of a system are uniform between start and end; systems add up, each with its own
    rate. The normal law is good from 3 events on.

    References
    ----------
    D. R. Cox and P. A. W. Lewis, The Statistical Analysis of Series of Events, Methuen 1966, sec. 3.3.
    """
    statistic, count = _laplace_statistic(watched)
    return TrendTest(statistic, count, float(ndtr(-statistic)), float(ndtr(statistic)))


def mil_hdbk_189_test(watched: Histories) -> TrendTest:
    """Test against a constant rate by 2 x the sum of ln(end / age) (MIL-HDBK-189).

    Parameters
    ----------
    watched : Histories
        Events of systems and the ages between which each was watched.

    Returns
    -------
    TrendTest
        The statistic is chi-square without trend, with 2 degrees per event free to fall anywhere; small means
        that events come closer. Exact for any number of events.

    Notes
    -----
    For a system not watched from new, ages count from the start of the watch, which is exact too.
    """
    age, system = watched.trend_events()
    if not len(age):
        raise DataError("There is no event to test for a trend.", "Wait for the next repairs.")
    start = watched.start[system]  # without trend the events are even over any stretch, so it may begin anywhere
    statistic = 2 * float(np.log((watched.end[system] - start) / (age - start)).sum())
    degrees = 2 * len(age)
    return TrendTest(statistic, degrees, float(chdtr(degrees, statistic)), float(chdtrc(degrees, statistic)))


def lewis_robinson_test(watched: Histories) -> TrendTest:
    """Test against any renewal process: Laplace's statistic over the coefficient of variation of the gaps.

    Parameters
    ----------
    watched : Histories
        Events of systems and the ages between which each was watched.

    Returns
    -------
    TrendTest
        The statistic is about standard normal without trend, for gaps of any law.

    Notes
    -----
    Gaps run from the start of a watch to its first event and from event to event; each system's are divided by its own
    mean before they are thrown together, so that rates of their own do not pass for scatter. The variance of what is left
    has the divisor gaps less systems: of one system it is the sample's own.

    References
    ----------
    P. A. W. Lewis and D. W. Robinson, in: Reliability and Biometry, SIAM 1974, 163.
    """
    statistic, count = _laplace_statistic(watched)
    variation = _variation_within(watched)
    if variation < 1e-12:
        raise DataError(
            "All gaps are equal, so this test has nothing to weigh.", "Use the test against a constant rate."
        )
    return TrendTest(
        statistic / variation, count, float(ndtr(-statistic / variation)), float(ndtr(statistic / variation))
    )


def _variation_within(watched: Histories) -> float:
    """Return the coefficient of variation of the gaps, each over the mean of its own system."""
    counts = watched.counts
    free = len(watched.age) - int((counts > 0).sum())
    if free < 1:
        raise DataError(
            "No machine broke twice, so how its gaps scatter cannot be told.", "Use the test against a constant rate."
        )
    spaces = gaps(watched)
    mean = np.bincount(watched.system, weights=spaces, minlength=len(counts)) / np.maximum(counts, 1)
    return math.sqrt(float(((spaces / mean[watched.system] - 1) ** 2).sum()) / free)


def reverse_arrangements_test(between: ArrayLike) -> TrendTest:
    """Test the gaps of one system for a trend of any form by the pairs in which the later gap is the longer.

    Parameters
    ----------
    between : array of shape (n,)
        Gaps in their order, at least 3.

    Returns
    -------
    TrendTest
        The statistic is the number of such pairs; many mean that events come rarer. A tie speaks for neither side.

    Notes
    -----
    Without trend all orders of the gaps at hand are equally likely, equal ones left as they are. Up to 30 gaps they are
    counted; beyond, a normal law with a half step of continuity takes over, its middle half of the pairs that are no ties,
    its variance that of `arrangements_variance`. A single tie leaves the law of the published tables, for gaps that all
    differ: it is a little too careful then. Gaps closer than a billionth of the longest are ties: only rounding parts them.

    References
    ----------
    NIST/SEMATECH e-Handbook of Statistical Methods, 8.2.3.4 (whose normal form always adds a half: see the tests).
    M. G. Kendall, Rank Correlation Methods, 4th ed., Griffin 1970, ch. 4 (ties; from memory).
    """
    order = float_column(between, "gap")
    n = len(order)
    if n < 3:
        raise DataError(f"{n} gaps are too few to tell a trend.", "Wait for at least 3 repairs.")
    ranks = _ranks(order)
    signs = np.sign(ranks[None, :] - ranks[:, None])[np.triu_indices(n, 1)]
    longer, shorter = int(np.sum(signs > 0)), int(np.sum(signs < 0))
    pairs = n * (n - 1) // 2
    if pairs - longer - shorter > 1:
        tied, pairs = tuple(sorted(np.bincount(ranks).tolist())), longer + shorter
    else:
        tied = (1,) * n
    if n <= EXACT_TO:
        chance = _arrangement_chances(tied)
        rarer, closer = float(chance[longer:].sum()), float(chance[: pairs - shorter + 1].sum())
    elif pairs == 0:
        rarer = closer = 1.0
    else:
        sd = math.sqrt(arrangements_variance(tied))
        rarer = float(ndtr(-(longer - 0.5 - pairs / 2) / sd))
        closer = float(ndtr((pairs - shorter + 0.5 - pairs / 2) / sd))
    return TrendTest(float(longer), n, min(1.0, closer), min(1.0, rarer))


def arrangements_variance(tied: Sequence[int]) -> float:
    """Return the variance of the number of pairs in rising order, over all orders of gaps some of which are equal.

    Parameters
    ----------
    tied : sequence of int
        How many gaps share each length; all 1 without ties.

    Notes
    -----
    (n (n - 1)(2n + 5) - sum of t (t - 1)(2t + 5)) / 72, a quarter of Kendall's variance of pairs rising less falling.
    """
    n = sum(tied)
    return (n * (n - 1) * (2 * n + 5) - sum(t * (t - 1) * (2 * t + 5) for t in tied)) / 72


def gaps(watched: Histories) -> FloatArray:
    """Return the gaps of all systems in order: from start of watch to first event, then from event to event.

    Parameters
    ----------
    watched : Histories
        Events of systems and the ages between which each was watched.
    """
    first = np.append([True], watched.system[1:] != watched.system[:-1])[: len(watched.system)]
    before = np.where(first, watched.start[watched.system], np.append([0.0], watched.age[:-1])[: len(watched.age)])
    return np.asarray(watched.age - before)


def _laplace_statistic(watched: Histories) -> tuple[float, int]:
    """Return Laplace's statistic and the number of events in it."""
    age, system = watched.trend_events()
    if len(age) < 3:
        raise DataError(f"{len(age)} events are too few to tell a trend.", "Wait for at least 3 repairs.")
    # each event against the middle of its own system's watch: machines may run at rates of their own
    middle = 0.5 * (watched.start + watched.end)[system]
    width = (watched.end - watched.start)[system]
    return float((age - middle).sum() / math.sqrt(float((width * width).sum()) / 12)), len(age)


def _ranks(order: FloatArray) -> IntArray:
    """Return the rank of each gap among the different lengths, from 0."""
    by_length = np.argsort(order, kind="stable")
    ranks = np.empty(len(order), dtype=np.int64)
    ranks[by_length] = np.append(0, np.cumsum(np.diff(order[by_length]) > _SAME * np.abs(order).max()))
    return ranks


@lru_cache(maxsize=4 * EXACT_TO)
def _arrangement_chances(tied: tuple[int, ...]) -> FloatArray:
    """Return the chance of 0, 1, ... pairs in rising order, each order of the gaps at hand being equally likely.

    The number of orders with k such pairs is the coefficient of q^k in prod (1 - q^j), j to n, over the same product for each
    tie (MacMahon); whole numbers throughout, since the products change sign.
    """
    over = Counter(range(1, sum(tied) + 1))
    over.subtract(step for size in tied for step in range(1, size + 1))
    orders = [1]
    for step, times in over.items():
        for _ in range(times):
            orders = [a - b for a, b in zip(orders + [0] * step, [0] * step + orders, strict=True)]
    for step, times in over.items():
        for _ in range(-times):
            for place in range(step, len(orders)):
                orders[place] += orders[place - step]
            del orders[-step:]
    total = sum(orders)
    chance = np.array([count / total for count in orders])
    chance.setflags(write=False)
    return chance
