"""Breakage by impact: rates by class of ground, and how many to expect over planned ground; age plays no part here."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from numpy.typing import ArrayLike

from wearlog.errors import DataError
from wearlog.wear.arrays import float_column
from wearlog.wear.counts import Counts, sum_of_counts
from wearlog.wear.intervals import Estimate
from wearlog.wear.rates import GammaRate, rate_from_guess

_SHARE_OF_NONE = 0.1  # a rate of exactly 0 could never learn from a first breakage


@dataclass(frozen=True, slots=True)
class GroundRates:
    """Rates of breakage by class of ground, in the order the caller gave.

    Attributes
    ----------
    rates : tuple of GammaRate
        Posterior of each class.
    breakages, exposure : tuples of float
        What each rests on besides the starting guess.
    """

    rates: tuple[GammaRate, ...]
    breakages: tuple[float, ...]
    exposure: tuple[float, ...]

    @property
    def means(self) -> tuple[float, ...]:
        """Breakages expected per unit of usage, by class of ground."""
        return tuple(rate.mean for rate in self.rates)

    def estimates(self, level: float = 0.9) -> tuple[Estimate, ...]:
        """Return the rate of each class of ground: median, mean, interval.

        Parameters
        ----------
        level : float
            Chance that the interval holds, between 0 and 1.
        """
        return tuple(rate.estimate(level) for rate in self.rates)

    def predict(self, planned: ArrayLike) -> Counts:
        """Return the law of the breakages over planned usage.

        Parameters
        ----------
        planned : array of shape (classes,)
            Usage to come on each class of ground.

        Notes
        -----
        The classes are independent given their rates; each count is negative binomial and the sum their convolution.
        """
        usage = float_column(planned, "planned usage", len(self.rates))
        return sum_of_counts([rate.predict(float(part)) for rate, part in zip(self.rates, usage, strict=True)])


def impact_prior(guesses: Sequence[float]) -> tuple[GammaRate, ...]:
    """Return the prior of each class of ground from one guess of breakages per unit of usage for each.

    Parameters
    ----------
    guesses : sequence of float
        One for each class of ground, breakages per unit of usage.

    Notes
    -----
    Each guess g means 10 % below g/3 and 10 % above 3 g. A guess of 0 says "hardly ever", not "never": it stands for
    a tenth of the smallest other guess.
    """
    some = [guess for guess in guesses if guess > 0]
    if not some or min(guesses) < 0:
        raise DataError("The starting guesses of impacts are all 0, or below 0.", "Give at least one above 0.")
    return tuple(rate_from_guess(guess if guess > 0 else _SHARE_OF_NONE * min(some)) for guess in guesses)


def fit_impact(breakages: ArrayLike, exposure: ArrayLike, prior: Sequence[GammaRate]) -> GroundRates:
    """Return the rates of breakage by class of ground.

    Parameters
    ----------
    breakages, exposure : arrays of shape (classes,)
        Breakages by impact, and usage, on each class of ground.
    prior : sequence of GammaRate
        One per class; see `impact_prior`.

    Returns
    -------
    GroundRates

    Notes
    -----
    Gamma prior, Poisson count: the posterior adds breakages and usage. Several positions broken by one stone are
    several breakages here, since each needs a part; they come in bunches, so that counts scatter a little more than
    this law says.
    """
    seen = float_column(breakages, "breakages", len(prior))
    usage = float_column(exposure, "usage", len(prior))
    rates = tuple(law.after(float(n), float(t)) for law, n, t in zip(prior, seen, usage, strict=True))
    return GroundRates(rates, tuple(seen.tolist()), tuple(usage.tolist()))
