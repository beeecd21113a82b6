"""Has the fix held? The chance from how long it has been quiet, the hours still needed, the limit on a rate. Links no episodes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from scipy.special import gammaincinv

from wearlog.errors import DataError

TARGET: Final = 0.95


@dataclass(frozen=True, slots=True)
class ReturnRate:
    """Gamma belief about how often an unfixed fault comes back: `shape` events in `hours`.

    The starting belief, one return in 40 machine hours, is common practice without a source and is soon outweighed.
    """

    shape: float = 1.0
    hours: float = 40.0

    def after_gaps(self, gaps_hours: Sequence[float]) -> ReturnRate:
        """Return the belief after the gaps of the trail so far: each ended with a return (conjugate gamma-exponential).

        Parameters
        ----------
        gaps_hours : sequence of float
            Hours from each repair to the return.
        """
        if any(not gap >= 0 for gap in gaps_hours):
            raise DataError("A gap between episodes is below zero.", "Check the hours at which they closed and opened.")
        return ReturnRate(self.shape + len(gaps_hours), self.hours + sum(gaps_hours))

    def quiet_chance(self, hours: float) -> float:
        """Return the chance that an unfixed fault stays quiet so long: E[exp(-rate x hours)].

        Parameters
        ----------
        hours : float
            Hours without a return.
        """
        # mixed over what the rate may be: long quiet is likelier than exp(-mean rate x hours), since the rate may be low
        return float((self.hours / (self.hours + hours)) ** self.shape)


@dataclass(frozen=True, slots=True)
class Held:
    """Whether a fix has held.

    Attributes
    ----------
    quiet_hours : float
    chance : float
        That it has.
    target : float
    hours_to_target : float
        Quiet hours still needed until the chance reaches the target; 0 once it has.
    """

    quiet_hours: float
    chance: float
    target: float
    hours_to_target: float


def chance_held(before: float, quiet_hours: float, rate: ReturnRate) -> float:
    """Return P(fixed | quiet), from the chance before it ran and the belief about the rate of an unfixed fault.

    Parameters
    ----------
    before : float
        Chance that the fix was right, before it ran; 0 to 1.
    quiet_hours : float
        Hours run since the fix without the fault.
    rate : ReturnRate
        Gamma belief about the returns of an unfixed fault per hour.
    """
    return before / (before + (1 - before) * rate.quiet_chance(quiet_hours))


def hours_until(before: float, target: float, rate: ReturnRate) -> float:
    """Return the quiet hours, counted from the fix, at which the chance reaches a target; 0 if it starts there.

    Parameters
    ----------
    before : float
        Chance that the fix was right, before it ran; 0 to 1.
    target : float
        The chance to be reached, 0 to 1.
    rate : ReturnRate
        Gamma belief about the returns of an unfixed fault per hour.

    Notes
    -----
    Solved from `chance_held`: (b / (b + u))^a = p0 (1 - t) / (t (1 - p0)). Infinite for p0 = 0.
    """
    if before >= target:
        return 0.0
    if before <= 0:
        return float("inf")
    # what the chance of staying quiet unfixed must have fallen to, by the odds; then solved for the hours
    needed = before * (1 - target) / (target * (1 - before))
    return float(rate.hours * (needed ** (-1 / rate.shape) - 1))


def rate_limit_per_hour(quiet_hours: float, *, confidence: float = 0.95, returns: int = 0) -> float:
    """Return the highest rate still credible after so many hours with so few returns, from a flat prior.

    Parameters
    ----------
    quiet_hours : float
        Hours run since the fix without the fault.
    confidence : float
        Chance that the rate lies below the answer, 0 to 1.
    returns : int
        How often the fault came back.

    Notes
    -----
    Upper quantile of gamma(returns + 1, hours). With none it is -ln(0.05) / hours, the rule of three: at most 3 / hours (J. A.
    Hanley and A. Lippman-Hand 1983, JAMA 249; from memory).
    """
    if not quiet_hours > 0 or not 0 < confidence < 1 or returns < 0:
        raise DataError("A limit needs hours above zero and a confidence between 0 and 1.", "Run some hours first.")
    return float(gammaincinv(returns + 1, confidence) / quiet_hours)
