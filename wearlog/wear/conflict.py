"""Whether records contradict a starting guess: how far out in what the guess alone foretells they lie. Fits nothing."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from scipy.special import gammainc, ndtri

from wearlog.wear.arrays import FloatArray
from wearlog.wear.counts import sum_of_counts
from wearlog.wear.lives import Lives
from wearlog.wear.posterior_rows import LOG_LN2, LifeEvidence
from wearlog.wear.prior import Prior
from wearlog.wear.rates import GammaRate

#: below it people are told that guess and records do not agree
TELLING = 0.05
#: below it the answer names the side on which the guess seems to be off
LEANING = 0.2
_NODES = 24
_LARGEST = 700.0


@dataclass(frozen=True, slots=True)
class Conflict:
    """How records lie in what the guess alone foretells.

    Attributes
    ----------
    p : float
        Two-sided tail: small where the guess hardly foretells such records.
    above : bool
        For lives: they last longer than foretold; for counts: there are more.
    """

    p: float
    above: bool

    @property
    def is_told(self) -> bool:
        """Whether it is worth a sentence."""
        return self.p < TELLING

    @property
    def leans(self) -> bool:
        """Whether it is worth naming a side."""
        return self.p < LEANING


def life_conflict(lives: Lives, prior: Prior) -> Conflict | None:
    """Return how the lives lie in what the guess alone foretells; None where no life was guessed.

    Parameters
    ----------
    lives : Lives
        Lives of any kind; those that failed between two inspections count, for this test only, as failed in the middle.
    prior : Prior
        The guess; its wide part is left aside.

    Notes
    -----
    By the change of time the cumulative hazard run through at the r-th failure is gamma distributed with shape r. Averaged
    over 24 x 24 laws of the guess of equal weight, U = mean of [P(r, H) + P(r + 1, H)] / 2 with H = sum of ln 2
    [(exit / m)^b - (entry / m)^b]; small where lives are shorter than guessed, near 1 where they are longer;
    p = 2 min(U, 1 - U). Below about one failure for each fleet the test is cautious.

    References
    ----------
    M. Evans and H. Moshonov, Bayesian Analysis 1 (2006) 893; G. E. P. Box, JRSS A 143 (1980) 383; both from memory.
    """
    if not prior.knows_life:
        return None
    evidence = LifeEvidence(_exact(lives), prior)
    steps = ndtri((np.arange(_NODES) + 0.5) / _NODES)
    shape = np.exp(prior.log_shape_mean + prior.log_shape_sd * steps)
    # inside everything is in units of the oldest age
    log_life = evidence.life_mean + prior.log_life_sd * steps
    with np.errstate(divide="ignore"):
        log_powers = np.log(np.maximum(evidence.power_sums(shape), 0.0)) + LOG_LN2
    hazard = np.exp(np.minimum(log_powers[:, None] - shape[:, None] * log_life, _LARGEST))
    return _two_sided(float(_middle_tail(lives.failures, hazard).mean()))


def rate_conflict(guess: Sequence[GammaRate], exposure: Sequence[float], breakages: float) -> Conflict:
    """Return how a count of breakages lies in what the guessed rates alone foretell.

    Parameters
    ----------
    guess : sequence of GammaRate
        The guessed rate of each class of ground.
    exposure : sequence of float
        Usage on each.
    breakages : float
        Breakages on all of them together.

    Notes
    -----
    The mid-p of the sum of negative binomials. Pieces broken by one stone come in bunches, so that the p-value of pieces
    counted singly is somewhat too small.
    """
    law = sum_of_counts([rate.predict(float(usage)) for rate, usage in zip(guess, exposure, strict=True)])
    count = round(breakages)
    below, upto = law.at_most(count - 1), law.at_most(count)
    return _two_sided(0.5 * (below + upto))


def _exact(lives: Lives) -> Lives:
    """Return the lives with failures between two inspections set to the middle."""
    if lives.last_seen is None:
        return lives
    middle = np.where(lives.between_inspections, 0.5 * (lives.last_seen + lives.exit), lives.exit)
    return Lives.of(middle, lives.event, entry=lives.entry, weight=lives.weight)


def _middle_tail(failures: float, hazard: FloatArray) -> FloatArray:
    reached = gammainc(failures, hazard) if failures else np.ones_like(hazard)
    return np.asarray(0.5 * (reached + gammainc(failures + 1, hazard)))


def _two_sided(level: float) -> Conflict:
    return Conflict(min(1.0, 2 * min(level, 1 - level)), level > 0.5)
