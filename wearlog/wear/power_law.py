"""Power-law process of repairs, expected count = coefficient x age^shape (Crow-AMSAA); the tests of trend are in trend."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import ArrayLike
from scipy.special import chdtri, gammainc, gammaincinv, gammaln, ive, ndtri, xlogy

from wearlog.errors import DataError
from wearlog.wear.arrays import FloatArray, checked_level
from wearlog.wear.intervals import Interval
from wearlog.wear.quadrature import panel
from wearlog.wear.recurrence import Ended, Histories
from wearlog.wear.roots import positive_root
from wearlog.wear.weibull import best_of_a_ladder, root_of_profile

_FARTHEST = 709.0  # exp of a little more is no float any longer


@dataclass(frozen=True, slots=True)
class PowerLaw:
    """Repairs of one system by age, coefficient x age^shape; shape above 1 means that they come ever closer.

    Attributes
    ----------
    shape : float
        Of the expected count.
    count_at_oldest : float
        Expected count of one system at the age `oldest`: it is near the events seen, where the coefficient of a steep law is
        too small for a number.
    oldest : float
        The greatest age any system has reached.
    events : int
        Events it rests on.
    systems : int
        Systems watched.
    age : float
        The age all systems have reached; nan if they differ.
    log_sum : float
        Sum of ln(end / age) over the events; nan if a system was not watched from new.
    free_events : int
        Events that are free to fall anywhere: all, or all but each system's last if failures ended the watch.
    variance_log_shape : float
        Inverse observed information of ln(shape).
    ended : Ended
    log_centre : float
        Mean ln(age) of the watch, ends less starts, each weighted with its expected count: ln(end) for systems from new.
    """

    shape: float
    count_at_oldest: float
    oldest: float
    events: int
    systems: int
    age: float
    log_sum: float
    free_events: int
    variance_log_shape: float
    ended: Ended
    log_centre: float

    @property
    def coefficient(self) -> float:
        """Expected count at age 1; 0 or infinite where that is beyond the numbers, and nothing is reckoned from it."""
        return _power_of_e(math.log(self.count_at_oldest) - self.shape * math.log(self.oldest))

    def expected_count(self, age: ArrayLike) -> FloatArray:
        """Return the expected number of events of one system up to each age.

        Parameters
        ----------
        age : array_like
            Ages in the units of usage of the fit, any shape.
        """
        logs = math.log(self.count_at_oldest) + xlogy(self.shape, np.asarray(age, float) / self.oldest)
        with np.errstate(over="ignore"):
            return np.asarray(np.exp(logs))

    def usage_between(self, age: ArrayLike) -> FloatArray:
        """Return the instantaneous usage between events at each age, 1 / intensity; infinite where it is beyond the numbers.

        Parameters
        ----------
        age : array_like
            Ages in the units of usage of the fit, any shape.
        """
        with np.errstate(over="ignore"):
            return np.asarray(np.exp(self._log_usage_between(age)))

    def _log_usage_between(self, age: ArrayLike) -> FloatArray:
        """Return its logarithm: powers of ages in square metres overflow long before the answer does."""
        at_oldest = math.log(self.oldest) - math.log(self.shape) - math.log(self.count_at_oldest)
        return np.asarray(at_oldest + xlogy(1 - self.shape, np.asarray(age, float) / self.oldest))

    def unbiased(self) -> PowerLaw:
        """Return the law with the shape freed of its bias, (free events - 1) / log sum, and its coefficient to fit.

        Raises
        ------
        DataError
            If the systems were not all watched from new to one age, or there are fewer than 2 free events.
        """
        self._check_one_age()
        if self.free_events < 2:
            raise DataError("One repair is too few to free the shape of its bias.", "Wait for the next ones.")
        shape = (self.free_events - 1) / self.log_sum
        return replace(self, shape=shape, count_at_oldest=self.events / self.systems)

    def shape_interval(self, level: float = 0.9) -> Interval:
        """Return the interval of the shape: exact if all were watched from new, else normal on ln(shape).

        Parameters
        ----------
        level : float
            Chance that the interval holds, between 0 and 1.

        Notes
        -----
        Given the counts, 2 x shape x log sum is chi-square with 2 x free events degrees, however the ends differ.
        """
        tail = 0.5 - checked_level(level) / 2
        # a late start leaves no statistic whose law is free of the shape
        if math.isnan(self.log_sum):
            reach = math.exp(-float(ndtri(tail)) * math.sqrt(self.variance_log_shape))
            return Interval(self.shape / reach, self.shape * reach, level)
        degrees = 2 * self.free_events
        low, high = (float(chdtri(degrees, upper)) / (2 * self.log_sum) for upper in (1 - tail, tail))
        return Interval(low, high, level)

    def usage_between_interval(self, level: float = 0.9) -> Interval:
        """Return the exact interval of the usage between events at the end of the watch.

        Parameters
        ----------
        level : float
            Chance that the interval holds, between 0 and 1.

        Raises
        ------
        DataError
            If the systems were not all watched from new to one age, or there are too few events.

        Notes
        -----
        Ended by time: given the log sum, the count n has chances proportional to z^n / (n! (n - 1)!), where
        z = intensity x age x log sum; their sum is sqrt(z) I1(2 sqrt(z)). Ended by failure: the ratio of the estimated to the
        true usage is a product of two independent chi-squares, 2n and 2(n - 1) degrees, over 4 n^2.

        References
        ----------
        L. H. Crow, Technometrics 24 (1982) 67.
        """
        self._check_one_age()
        tail = 0.5 - checked_level(level) / 2
        n = self.events
        if self.free_events < 1:
            raise DataError("One failure that ended the watch gives no interval.", "Use the form ended by time.")
        estimate = self.systems * self.age * self.log_sum / n**2
        if self.ended is Ended.BY_TIME:
            highest = positive_root(lambda z: tail - _count_chance(n, z), float(n * n))
            lowest = positive_root(lambda z: 1 - _count_chance(n - 1, z) - tail, float(n * n))
        else:
            lowest, highest = (
                positive_root(lambda z, at=at: _product_chance(n, z) - at, float(n * n))  # type: ignore[misc]
                for at in (tail, 1 - tail)
            )
        # a first event by time bounds the usage from below only
        longest = estimate * n * n / lowest if lowest > 0 else math.inf
        return Interval(estimate * n * n / highest, longest, level)

    def rough_usage_between_interval(self, age: float, level: float = 0.9) -> Interval:
        """Return the approximate interval of the usage between events at an age, however the systems were watched.

        Parameters
        ----------
        age : float
            Age of a system, in the units of usage of the fit.
        level : float
            Chance that the interval holds, between 0 and 1.

        Notes
        -----
        Normal on the logarithm with the variance of the observed information: 1 / events for the level of the law, and
        that of ln(shape) times (1 + shape x (ln age - log_centre))^2 for its slope; 2 / events at the end of a watch from
        new. Rough below about 5 events; how often it holds the truth is simulated in the tests.
        """
        pull = 1 + self.shape * (math.log(age) - self.log_centre)
        sd = math.sqrt(1 / self.events + self.variance_log_shape * pull * pull)
        reach = float(ndtri(0.5 + checked_level(level) / 2)) * sd
        middle = float(self._log_usage_between(age))
        return Interval(_power_of_e(middle - reach), _power_of_e(middle + reach), level)

    def normal_usage_between_interval(self, level: float = 0.9) -> Interval:
        """Return the approximate interval of the usage between events at the end, as in NIST e-Handbook 8.4.5.2.

        Parameters
        ----------
        level : float
            Chance that the interval holds, between 0 and 1.
        """
        self._check_one_age()
        n, z = self.events, -float(ndtri(0.5 - checked_level(level) / 2))
        middle = float(self.usage_between(self.age))
        low = n * (n - 1) / (n + z * z / 4 + math.sqrt(n * z * z / 2 + z**4 / 16)) ** 2
        room = n - z * math.sqrt(n / 2)
        high = n * (n - 1) / room**2 if room > 0 else math.inf
        return Interval(middle * low, middle * high, level)

    def _check_one_age(self) -> None:
        """Refuse what is exact only for systems watched from new to one age."""
        if math.isnan(self.age) or math.isnan(self.log_sum):
            raise DataError(
                "These systems were not all watched from new to one and the same age.",
                "Ask for one machine, or use the interval of the shape.",
            )
        if self.ended is Ended.BY_FAILURE and self.systems > 1:
            raise DataError(
                "Several systems whose watch ended by failure have no exact law together.",
                "Ask for one machine, or use the form ended by time.",
            )


def fit_power_law(watched: Histories) -> PowerLaw:
    """Fit the power-law process by greatest likelihood.

    Parameters
    ----------
    watched : Histories
        Systems that share one law; their starts and ends may differ.

    Returns
    -------
    PowerLaw

    Raises
    ------
    DataError
        No event, or events that leave the shape without a bound.

    Notes
    -----
    Repairs are taken as minimal: the system runs on as worn as it was.

    References
    ----------
    NIST/SEMATECH e-Handbook of Statistical Methods, 8.1.7.2 and 8.4.5.2; MIL-HDBK-189C.
    """
    n = len(watched.age)
    if n == 0:
        raise DataError("Nothing has happened yet, so no law of repairs can be fitted.", "Wait for the first repair.")
    ages, system = watched.trend_events()
    oldest = float(watched.end.max())
    late = watched.start > 0
    y = np.log(np.concatenate([watched.end, watched.start[late]]) / oldest)
    weight = np.concatenate([np.ones(len(watched.end)), -np.ones(int(late.sum()))])
    mean_event = float(np.log(watched.age / oldest).mean())
    log_sum = math.nan if late.any() else float(np.log(watched.end[system] / ages).sum())
    if mean_event > -1e-13 or log_sum == 0:
        raise DataError("Every repair came at the very end, so no trend can be told.", "Wait for more repairs.")
    start = (
        best_of_a_ladder(y, weight, mean_event)
        if late.any()
        else n / float(np.log(watched.end[watched.system] / watched.age).sum())
    )
    shape, total, centre, variance = root_of_profile(y, weight, mean_event, start)
    age = oldest if (watched.end == oldest).all() else math.nan
    return PowerLaw(
        shape,
        n / total,
        oldest,
        n,
        len(watched.end),
        age,
        log_sum,
        len(ages),
        1 / (n + n * shape * shape * variance),
        watched.ended,
        centre + math.log(oldest),
    )


def _power_of_e(exponent: float) -> float:
    """Return e to the exponent, infinite where Python's own would refuse."""
    return math.exp(exponent) if exponent < _FARTHEST else math.inf


def _count_chance(most: int, z: float) -> float:
    """Return the chance of at most `most` events given the log sum, for Bessel's law of the count."""
    n = np.arange(1, most + 1)
    root = 2 * math.sqrt(z)
    # ive is I1 without its exp(root): the count of a busy machine would overflow the plain one
    logs = n * math.log(z) - gammaln(n + 1) - gammaln(n) - 0.5 * math.log(z) - math.log(ive(1, root)) - root
    return float(np.exp(logs).sum())


def _product_chance(n: int, z: float) -> float:
    """Return the chance that a product of independent Gamma(n) and Gamma(n - 1) variables is at most z."""
    # integrated over the logarithm of the second variable, where its density is smooth and dies away on both sides
    rule = panel(96, 2)
    low, high = np.log(gammaincinv(n - 1, 1e-15)), np.log(gammaincinv(n - 1, 1 - 1e-15))
    logs = low + (high - low) * rule.nodes
    density = np.exp((n - 1) * logs - np.exp(logs) - gammaln(n - 1)) * (high - low)
    return float(rule.weights @ (density * gammainc(n, z * np.exp(-logs))))
