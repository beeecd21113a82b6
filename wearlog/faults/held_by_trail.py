"""Has the fix held, as the trail teaches: fixes that failed before, and hours under the condition in which the fault shows.

The strengths and the starting rate are common practice, without a source. Beside `held.py`, which knows the evidence and raw hours.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from scipy.special import betaincinv

from wearlog.errors import DataError
from wearlog.facts.closed_lists import FixEvidence
from wearlog.faults.held import TARGET, Held, ReturnRate, chance_held, hours_until

#: fixes that held and that did not, worth four, by what they rest on
FIX_STRENGTH: Final[dict[FixEvidence, tuple[float, float]]] = {
    FixEvidence.SEEN: (3.8, 0.2),
    FixEvidence.INFERRED: (2.4, 1.6),
    FixEvidence.CLEARED_BY_ITSELF: (0.8, 3.2),
}
#: share of the hours under a condition where no run says it
USUAL_SHARE: Final = 0.1
#: how likely a fault is bound to one condition before any episode
_BOUND_BEFORE: Final = 0.5
#: hours that count once for the share of a condition: five spells of ten
_HOURS_WORTH_ONE: Final = 50.0
_STEPS: Final = 200
#: beyond this many quiet hours nobody waits
_MOST_HOURS: Final = 1e6


@dataclass(frozen=True, slots=True, kw_only=True)
class ConditionBound:
    """The condition in which the fault showed.

    Attributes
    ----------
    shown, episodes : int
        Episodes with it, of all so far.
    share : float
        Of all hours that are so, in (0, 1).
    hours : float or None
        Quiet hours under it since the fix; None: not known.
    gaps : sequence of float
        Of each earlier gap, the hours under it.
    """

    shown: int
    episodes: int
    share: float = USUAL_SHARE
    hours: float | None = None
    gaps: Sequence[float] = ()


@dataclass(frozen=True, slots=True)
class HeldByTrail(Held):
    """As `Held`, with the range from no hour under the condition to all of them."""

    lowest: float
    highest: float


def chance_fix_is_right(evidence: FixEvidence, failed_before: int) -> float:
    """Return the chance that a fix is right before it has run: a beta of strength four; each such fix that failed is one more.

    Parameters
    ----------
    evidence : FixEvidence
        What the fix rests on.
    failed_before : int
        Fixes of this trail on the same evidence after which the fault came back.
    """
    if failed_before < 0:
        raise DataError("Fixes that failed cannot be below zero.", "Count them again.")
    right, wrong = FIX_STRENGTH[evidence]
    return right / (right + wrong + failed_before)


def chance_bound(bound: ConditionBound) -> float:
    """Return the chance that the fault is bound to the condition: none once it showed without it.

    Parameters
    ----------
    bound : ConditionBound
        The condition and the episodes in it.
    """
    if not 0 < bound.share < 1:
        raise DataError(f"A share of {bound.share:g} of the hours cannot be.", "Give one between 0 and 1.")
    if bound.shown < bound.episodes:
        return 0.0
    by_chance = (1 - _BOUND_BEFORE) * bound.share**bound.episodes
    return _BOUND_BEFORE / (_BOUND_BEFORE + by_chance)


def held_by_trail(
    evidence: FixEvidence,
    quiet_hours: float,
    gaps_hours: Sequence[float] = (),
    *,
    failed_before: int = 0,
    bound: ConditionBound | None = None,
    starting_rate: ReturnRate | None = None,
    target: float = TARGET,
) -> HeldByTrail:
    """Return the chance that a fix has held, and the hours still needed.

    Parameters
    ----------
    evidence : FixEvidence
        What the fix rests on.
    quiet_hours : float
        Machine hours since the fix without the fault.
    gaps_hours : sequence of float
        Quiet stretches of the trail that ended with a return.
    failed_before : int
        Earlier fixes of the trail on the same evidence that failed.
    bound : ConditionBound, optional
        The condition in which the fault showed.
    starting_rate : ReturnRate, optional
    target : float
        In (0, 1).

    Raises
    ------
    DataError
        For hours below zero, more hours under a condition than hours, or a target that is no chance.

    Notes
    -----
    P(held) = p0 / (p0 + (1 - p0) [w (Be / (Be + e))^A + (1 - w) (Bu / (Bu + u))^A]), A = 1 + gaps, u quiet hours, e of them under
    the condition, w the chance that the fault is bound to it. Where e is not known it is averaged over a beta about the condition's
    share. Hours still needed keep e's share of u; for a fault that is bound and e = 0, the condition's usual share.
    """
    if not quiet_hours >= 0 or any(not gap >= 0 for gap in gaps_hours):
        raise DataError("Quiet hours cannot be below zero.", "Check the meter readings of the trail.")
    if not 0 < target < 1:
        raise DataError(f"A target of {target:g} is no chance.", "Give a share between 0 and 1, such as 0.95.")
    if bound is not None and bound.hours is not None and not 0 <= bound.hours <= quiet_hours + 1e-9:
        raise DataError("More hours under a condition than hours.", "Check what was noted with the runs.")
    before, rate = chance_fix_is_right(evidence, failed_before), starting_rate or ReturnRate()
    answer = _Answer(before, rate, tuple(gaps_hours), bound)
    chance = answer.chance(quiet_hours, None if bound is None else bound.hours)
    ends = [answer.chance(quiet_hours, hours) for hours in ((0.0, quiet_hours) if bound else (None, None))]
    return HeldByTrail(quiet_hours, chance, target, answer.hours_to(target, quiet_hours), min(ends), max(ends))


@dataclass(frozen=True, slots=True)
class _Answer:
    before: float
    rate: ReturnRate
    gaps: tuple[float, ...]
    bound: ConditionBound | None

    def chance(self, quiet: float, under: float | None) -> float:
        """Return P(held) after `quiet` hours, `under` of them under the condition (None: not known)."""
        rate, weight = self.rate.after_gaps(self.gaps), self._weight()
        if not weight:
            return chance_held(self.before, quiet, rate)
        still_quiet = weight * self._bound_quiet(quiet, under) + (1 - weight) * rate.quiet_chance(quiet)
        return self.before / (self.before + (1 - self.before) * still_quiet)

    def _weight(self) -> float:
        return 0.0 if self.bound is None else chance_bound(self.bound)

    def _bound_quiet(self, quiet: float, under: float | None) -> float:
        assert self.bound is not None
        gaps = tuple(self.bound.gaps) or tuple(gap * self.bound.share for gap in self.gaps)
        rate = self.rate.after_gaps(gaps)
        if under is not None:
            return rate.quiet_chance(under)
        return float(np.mean([rate.quiet_chance(hours) for hours in _hours_under(quiet, self.bound.share)]))

    def hours_to(self, target: float, quiet: float) -> float:
        """Return the quiet hours still needed to reach the target, more of them with the condition's share as so far."""
        if not self._weight():
            needed = hours_until(self.before, target, self.rate.after_gaps(self.gaps)) - quiet
            return max(0.0, needed) if needed <= _MOST_HOURS else float("inf")
        share = self._share_ahead(quiet)
        under = None if self.bound is None else self.bound.hours

        def after(more: float) -> float:
            return self.chance(quiet + more, None if under is None else under + more * share)

        if after(0.0) >= target:
            return 0.0
        if after(_MOST_HOURS) < target:
            return float("inf")
        low, high = 0.0, _MOST_HOURS
        while high - low > 1e-6 * (1 + high):
            middle = (low + high) / 2
            low, high = (low, middle) if after(middle) >= target else (middle, high)
        return high

    def _share_ahead(self, quiet: float) -> float:
        if self.bound is None or self.bound.hours is None:
            return 0.0
        return self.bound.hours / quiet if quiet > 0 and self.bound.hours > 0 else self.bound.share


def _hours_under(quiet: float, share: float) -> list[float]:
    """Return equally likely hours under a condition: a beta about its share, the surer the longer it ran."""
    worth = quiet / _HOURS_WORTH_ONE
    if worth <= 0:
        return [0.0]
    middles = (np.arange(_STEPS) + 0.5) / _STEPS
    shares = betaincinv(share * worth, (1 - share) * worth, middles)
    return [float(value) for value in quiet * np.nan_to_num(shares, nan=share)]
