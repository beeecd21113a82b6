"""Repairs that come again on the same system: histories, and their mean cumulative count; no law and no test of trend."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import ArrayLike
from scipy.special import ndtri

from wearlog.errors import DataError
from wearlog.wear.arrays import FloatArray, IntArray, checked_level, fixed, float_column


class Ended(StrEnum):
    """Why observation stopped; the exact laws of the tests and intervals differ."""

    BY_TIME = "by_time"  # at a given age, whatever happened
    BY_FAILURE = "by_failure"  # with the last event itself


@dataclass(frozen=True, slots=True, eq=False)
class Histories:
    """Events on systems, each watched from `start` to `end`.

    Attributes
    ----------
    start, end : arrays of shape (systems,)
        Ages between which each system was watched.
    age : array of shape (events,)
        Ages at events, ascending within a system; start < age <= end.
    system : int array of shape (events,)
        Which system each event belongs to.
    ended : Ended
        Why observation stopped, the same for all.
    """

    start: FloatArray
    end: FloatArray
    age: FloatArray
    system: IntArray
    ended: Ended

    @property
    def counts(self) -> IntArray:
        """Events of each system."""
        return np.bincount(self.system, minlength=len(self.end))

    def trend_events(self) -> tuple[FloatArray, IntArray]:
        """Return ages and systems of the events that are free to fall anywhere: all, or all but each system's last."""
        if self.ended is Ended.BY_TIME:
            return self.age, self.system
        last = np.append(self.system[1:] != self.system[:-1], [True])[: len(self.system)]
        return self.age[~last], self.system[~last]


def histories(
    events: Sequence[ArrayLike], end: ArrayLike, *, start: ArrayLike = 0.0, ended: Ended = Ended.BY_TIME
) -> Histories:
    """Return the histories of systems.

    Parameters
    ----------
    events : sequence of arrays
        For each system the ages at its events; may be empty.
    end : number or array of shape (systems,)
        Age at which each was last watched.
    start : number or array of shape (systems,)
        Age from which it was watched.
    ended : Ended
        BY_FAILURE if each system's observation stopped with its last event.

    Raises
    ------
    DataError
        No system, or an event outside the ages watched.
    """
    if not len(events):
        raise DataError("There is no system to look at.", "Name at least one machine.")
    ages = [np.sort(float_column(list(np.atleast_1d(np.asarray(e, float))), "event")) for e in events]
    first = float_column(start, "start", len(ages))
    last = float_column(end, "end", len(ages))
    if not ((first >= 0) & (last > first) & (last < np.inf)).all():
        raise DataError("A system was watched for no time at all.", "Check the ages at which watching began and ended.")
    for number, (row, begin, finish) in enumerate(zip(ages, first, last, strict=True), start=1):
        if not ((row > begin) & (row <= finish)).all():
            raise DataError(
                f"System {number} has an event outside the ages {begin:g} to {finish:g} at which it was watched.",
                "Check the meter readings.",
            )
        if ended is Ended.BY_FAILURE and len(row) and row[-1] != finish:
            raise DataError(
                f"System {number} is said to end with a failure, but its last one came before age {finish:g}.",
                "Use the form for observation that ended by time.",
            )
    system = np.repeat(np.arange(len(ages)), [len(row) for row in ages])
    found = Histories(first, last, np.concatenate(ages), system, ended)
    for array in (found.start, found.end, found.age, found.system):
        fixed(array)
    return found


@dataclass(frozen=True, slots=True, eq=False)
class MeanCumulative:
    """Mean number of events per system up to each age.

    Attributes
    ----------
    age : array of shape (k,)
        Distinct ages at events.
    at_risk : array of shape (k,)
        Systems watched at that age.
    count : array of shape (k,)
        Mean cumulative count just after that age.
    robust_variance : array of shape (k,)
        Lawless-Nadeau: holds whatever the law of the events.
    nelson_variance : array of shape (k,)
        Nelson: unbiased; nan from the first age with a single system at risk, and can be negative.
    """

    age: FloatArray
    at_risk: FloatArray
    count: FloatArray
    robust_variance: FloatArray
    nelson_variance: FloatArray

    def bounds(self, level: float = 0.9) -> tuple[FloatArray, FloatArray]:
        """Return low and high mean count, normal on the logarithm with the robust variance.

        Parameters
        ----------
        level : float
            Chance that the interval holds, between 0 and 1.
        """
        z = float(ndtri(0.5 + checked_level(level) / 2))
        reach = np.exp(z * np.sqrt(self.robust_variance) / self.count)
        return self.count / reach, self.count * reach


def mean_cumulative(watched: Histories) -> MeanCumulative:
    """Return the mean cumulative function with both variances.

    Parameters
    ----------
    watched : Histories
        At least one event.

    Raises
    ------
    DataError
        If there is no event.

    Notes
    -----
    A system counts at age t if start < t <= end. The robust variance is that of J. F. Lawless and C. Nadeau,
    Technometrics 37 (1995) 158; Nelson's is that of W. Nelson, J. Quality Technology 27 (1995) 147, in which the
    covariance of two increments is estimated from the systems at risk at both.
    """
    if not len(watched.age):
        raise DataError("Nothing has happened yet, so there is no count to draw.", "Come back after the first repair.")
    age, place = np.unique(watched.age, return_inverse=True)
    happened = np.zeros((len(watched.end), len(age)))
    np.add.at(happened, (watched.system, place), 1.0)
    risk = ((watched.start[:, None] < age) & (age <= watched.end[:, None])).astype(float)
    at_risk = risk.sum(axis=0)
    step = happened.sum(axis=0) / at_risk
    # what each system did beyond the mean; its running sum is what makes neighbouring ages correlate
    residual = risk * (happened - step)
    robust = ((np.cumsum(residual / at_risk, axis=1)) ** 2).sum(axis=0)
    return MeanCumulative(age, at_risk, np.cumsum(step), robust, _nelson_variance(residual, risk, at_risk))


def _nelson_variance(residual: FloatArray, risk: FloatArray, at_risk: FloatArray) -> FloatArray:
    """Return the running sum of the covariances of all pairs of increments."""
    shared = risk.T @ risk  # systems at risk at both of two ages
    with np.errstate(divide="ignore", invalid="ignore"):
        inflated = np.where(shared > 1, shared / (shared - 1), 0.0)
    covariance = inflated * (residual.T @ residual) / np.outer(at_risk, at_risk)
    running = np.diagonal(np.cumsum(np.cumsum(covariance, axis=0), axis=1)).copy()
    lone = np.flatnonzero(at_risk < 2)
    if len(lone):
        running[lone[0] :] = np.nan
    return running
