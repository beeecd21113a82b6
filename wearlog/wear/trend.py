"""Tests whether repairs come ever closer or ever rarer; each form for time-ended and failure-ended watches apart."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import ArrayLike
from scipy.special import chdtr, chdtrc, ndtr

from wearlog.errors import DataError
from wearlog.wear.arrays import FloatArray, float_column
from wearlog.wear.recurrence import Histories

EXACT_TO = 30  # gaps up to which the null law of reverse arrangements is counted out


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

    Returns
    -------
    TrendTest
        The statistic is about standard normal without trend, for gaps of any law.

    Notes
    -----
    Gaps run from the start of a watch to its first event and from event to event; their coefficient of variation
    is the sample's own (divisor n - 1).

    References
    ----------
    P. A. W. Lewis and D. W. Robinson, in: Reliability and Biometry, SIAM 1974, 163.
    """
    statistic, count = _laplace_statistic(watched)
    spaces = gaps(watched)
    variation = float(spaces.std(ddof=1) / spaces.mean())
    if variation < 1e-12:
        raise DataError(
            "All gaps are equal, so this test has nothing to weigh.", "Use the test against a constant rate."
        )
    return TrendTest(
        statistic / variation, count, float(ndtr(-statistic / variation)), float(ndtr(statistic / variation))
    )


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
    Without trend all n! orders are equally likely. Up to 30 gaps they are counted; beyond, a normal law with mean
    n (n - 1) / 4, variance n (n - 1)(2n + 5) / 72 and a half step of continuity takes over.

    References
    ----------
    NIST/SEMATECH e-Handbook of Statistical Methods, 8.2.3.4 (whose normal form always adds a half: see the tests).
    """
    order = float_column(between, "gap")
    n = len(order)
    if n < 3:
        raise DataError(f"{n} gaps are too few to tell a trend.", "Wait for at least 3 repairs.")
    signs = np.sign(order[None, :] - order[:, None])[np.triu_indices(n, 1)]
    longer, not_shorter = int(np.sum(signs > 0)), int(np.sum(signs >= 0))
    if n <= EXACT_TO:
        chance = _arrangement_chances(n)
        rarer = float(chance[longer:].sum())
        closer = float(chance[: not_shorter + 1].sum())
    else:
        middle, sd = n * (n - 1) / 4, math.sqrt(n * (n - 1) * (2 * n + 5) / 72)
        rarer = float(ndtr(-(longer - 0.5 - middle) / sd))
        closer = float(ndtr((not_shorter + 0.5 - middle) / sd))
    return TrendTest(float(longer), n, min(1.0, closer), min(1.0, rarer))


def gaps(watched: Histories) -> FloatArray:
    """Return the gaps of all systems in order: from start of watch to first event, then from event to event."""
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


@lru_cache(maxsize=EXACT_TO)
def _arrangement_chances(n: int) -> FloatArray:
    """Return the chance of 0, 1, ... n (n - 1) / 2 pairs in rising order, each order of n being equally likely."""
    chance = np.ones(1)
    # the next gap takes any rank among those before it with equal chance, and adds that many pairs
    for size in range(2, n + 1):
        chance = np.convolve(chance, np.full(size, 1 / size))
    chance.setflags(write=False)
    return chance
