"""A guessed rate with a wide second part, so that counts can overrule a guess that was typed too narrow and wrong."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from scipy.special import gammainc, gammaln

from wearlog.errors import DataError
from wearlog.wear.arrays import checked_level
from wearlog.wear.counts import Counts, mixed_counts
from wearlog.wear.intervals import Estimate
from wearlog.wear.prior import WIDE_WEIGHT
from wearlog.wear.rates import GammaRate
from wearlog.wear.roots import positive_root

#: a guess of one number (10 and 90 % points a factor of nine apart) has a shape below it and is wide enough by itself
_NARROW_FROM = 2.0


@dataclass(frozen=True, slots=True)
class RateMixture:
    """Breakages per unit of usage: one of several gamma laws, each with its weight.

    Attributes
    ----------
    laws : tuple of GammaRate
        The guess's own law first.
    weight : tuple of float
        Sums to 1.
    """

    laws: tuple[GammaRate, ...]
    weight: tuple[float, ...]

    @property
    def mean(self) -> float:
        """Expected breakages per unit of usage."""
        return sum(share * law.mean for share, law in zip(self.weight, self.laws, strict=True))

    def after(self, breakages: float, exposure: float) -> RateMixture:
        """Return the laws once `breakages` have been seen in `exposure` units of usage, with the weights that leaves them.

        Parameters
        ----------
        breakages : float
            How many were seen.
        exposure : float
            Units of usage, those of the rate.

        Notes
        -----
        Given a part the count is negative binomial: ln Z = lnG(a + n) - lnG(a) + a ln b - (a + n) ln(b + A), but for what
        all parts share.
        """
        logs = np.array(
            [
                math.log(share) + _log_evidence(law, breakages, exposure) if share else -math.inf
                for share, law in zip(self.weight, self.laws, strict=True)
            ]
        )
        weight = np.exp(logs - logs.max())
        laws = tuple(law.after(breakages, exposure) for law in self.laws)
        return RateMixture(laws, tuple((weight / weight.sum()).tolist()))

    def estimate(self, level: float = 0.9) -> Estimate:
        """Return the rate: median, mean, equal-tailed interval.

        Parameters
        ----------
        level : float
            Chance that the interval holds, between 0 and 1.
        """
        if len(self.laws) == 1:
            return self.laws[0].estimate(level)
        tails = (0.5 - checked_level(level) / 2, 0.5, 0.5 + level / 2)
        low, median, high = (self._quantile(tail) for tail in tails)
        return Estimate(median, low, high, level, self.mean)

    def predict(self, exposure: float) -> Counts:
        """Return the law of the breakages in `exposure` units of usage to come.

        Parameters
        ----------
        exposure : float
            Units of usage, those of the rate.
        """
        if len(self.laws) == 1:
            return self.laws[0].predict(exposure)
        return mixed_counts([law.predict(exposure) for law in self.laws], self.weight)

    def _quantile(self, probability: float) -> float:
        def excess(rate: float) -> float:
            reached = (float(gammainc(law.shape, law.exposure * rate)) for law in self.laws)
            return sum(share * one for share, one in zip(self.weight, reached, strict=True)) - probability

        return positive_root(excess, self.mean)


def two_part_rate(guess: GammaRate, wide_weight: float = WIDE_WEIGHT) -> RateMixture:
    """Return a guess with a second part Gamma(1, b / a), of the same mean and as wide as one breakage would tell.

    Parameters
    ----------
    guess : GammaRate
        Gamma(a, b).
    wide_weight : float
        Weight of the second part; 0 leaves the guess alone, and so does a guess that is wide itself.

    References
    ----------
    H. Schmidli et al., Biometrics 70 (2014) 1023 (robust mixture priors), from memory.
    """
    if not 0 <= wide_weight < 1:
        raise DataError(f"A weight of {wide_weight:g} cannot be.", "Give 0 or more and less than 1.")
    if not wide_weight or guess.shape < _NARROW_FROM:
        return RateMixture((guess,), (1.0,))
    return RateMixture((guess, GammaRate(1.0, guess.exposure / guess.shape)), (1 - wide_weight, wide_weight))


def _log_evidence(law: GammaRate, breakages: float, exposure: float) -> float:
    a, b = law.shape, law.exposure
    return float(gammaln(a + breakages) - gammaln(a) + a * math.log(b) - (a + breakages) * math.log(b + exposure))
