"""One slope of a farm's years: whether lives have grown shorter or longer, over all kinds of part, and of each kind."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from scipy.special import chdtrc

from wearlog.errors import DataError
from wearlog.wear.arrays import FloatArray, fixed
from wearlog.wear.intervals import Estimate
from wearlog.wear.own_life import weighted_quantiles
from wearlog.wear.prior import Prior
from wearlog.wear.speeds import SplitLives, log_evidence, score_of

#: sd of the farm's slope, and of a kind's about it, in ln(speed) a year (common practice, no source)
FARM_SD, KIND_SD = 0.05, 0.02
#: where the likelihood is worked out, and the even steps between
_ASKED = 0.02 - 0.26 * np.cos(np.pi * (np.arange(8) + 0.5) / 8)
_STEPS = np.linspace(-0.24, 0.28, 105)
_SAID = np.array([0.05, 0.5, 0.95])
#: a polynomial through eight Chebyshev points carries a smooth likelihood from them to the steps, (105, 8)
_BETWEEN = np.prod(
    [
        [
            [1.0 if other == one else (step - _ASKED[other]) / (_ASKED[one] - _ASKED[other]) for one in range(8)]
            for step in _STEPS
        ]
        for other in range(8)
    ],
    axis=0,
)
_SHAPES = np.exp(np.linspace(np.log(0.7), np.log(7.0), 12))


@dataclass(frozen=True, slots=True, eq=False)
class Slope:
    """What is believed of ln(speed of wear) more each year: a law on even steps.

    Attributes
    ----------
    weight : array of shape (105,)
        Chances of the steps from -0.24 to 0.28, sum 1.
    """

    weight: FloatArray

    @property
    def mean(self) -> float:
        return float(self.weight @ _STEPS)

    @property
    def sd(self) -> float:
        return float(np.sqrt(self.weight @ (_STEPS - self.mean) ** 2))

    def shorter(self) -> Estimate:
        """Return by which share lives grow shorter each year, with the 90 % interval; below 0 where they grow longer."""
        low, median, high = -np.expm1(-weighted_quantiles(_STEPS, self.weight, _SAID))
        return Estimate(float(median), float(low), float(high), 0.9, float(-np.expm1(-_STEPS) @ self.weight))


@dataclass(frozen=True, slots=True, eq=False)
class YearSlopes:
    """The slope of a farm, and that of each kind.

    Attributes
    ----------
    farm : Slope
    kinds : tuple of Slope
        One for each kind, in the order in which they were given.
    unlike : float
        How likely such lives would be if no year were unlike another (likelihood ratio, chi-squared).
    """

    farm: Slope
    kinds: tuple[Slope, ...]
    unlike: float


def years_alike(kinds: Sequence[tuple[SplitLives, FloatArray, Prior]]) -> float:
    """Return how likely so unlike years would be if no year were unlike another; small says that there is a slope.

    Parameters
    ----------
    kinds : sequence of (SplitLives, array of shape (c,), Prior)
        The lives of each kind split by years, how many years each lies after the year ahead (below 0), and its guess.

    Notes
    -----
    Score test of one slope for all kinds, at the likeliest shape of each; one pass over the lives. See `speeds.score_of`.
    """
    score, information = 0.0, 0.0
    for split, offset, prior in kinds:
        if split.lives.failures < 2:
            continue
        along = SplitLives(
            split.lives,
            split.machine,
            *((one @ offset)[:, None] for one in (split.entry, split.exit, split.seen, split.ended)),
        )
        own, seen = score_of(along, likely_shape(split, prior))
        score, information = score + float(own[0]), information + float(seen[0, 0])
    return float(chdtrc(1, score**2 / information)) if information > 0 else 1.0


def likely_shape(split: SplitLives, prior: Prior) -> float:
    """Return the likeliest of a dozen shapes, with what is guessed of it, the scale at its best for each.

    Parameters
    ----------
    split : SplitLives
    prior : Prior
    """
    lives = split.lives
    if prior.log_shape_sd == 0:
        return float(np.exp(prior.log_shape_mean))
    unit = float(lives.exit.max())
    failed = lives.weight * lives.event
    with np.errstate(divide="ignore"):
        end, begun = np.log(lives.exit / unit), np.log(lives.entry / unit)
    ran = (np.exp(_SHAPES[:, None] * end) - np.exp(_SHAPES[:, None] * begun)) @ lives.weight
    found = lives.failures * (np.log(_SHAPES) - np.log(ran)) + (_SHAPES - 1) * float(
        failed[lives.event] @ end[lives.event]
    )
    if np.isfinite(prior.log_shape_sd):
        found = found - 0.5 * ((np.log(_SHAPES) - prior.log_shape_mean) / prior.log_shape_sd) ** 2
    return float(_SHAPES[int(np.argmax(found))])


def fit_years(kinds: Sequence[tuple[SplitLives, FloatArray, Prior]]) -> YearSlopes:
    """Return the slope of the farm and of each kind.

    Parameters
    ----------
    kinds : sequence of (SplitLives, array of shape (c,), Prior)
        As for `years_alike`.

    Raises
    ------
    DataError
        If nothing has failed of any kind.

    Notes
    -----
    An acre or hour t years after the year ahead counts exp(slope x t). The slope of a kind is normal about that of the farm with
    an sd of 0.02, that of the farm normal about 0 with 0.05 (common practice, no source). The likelihood of each kind, shape, rate
    and unlike machines summed over (`speeds.log_evidence`), is worked out at 8 slopes and joined by their polynomial.

    References
    ----------
    A. Gelman et al., Bayesian Data Analysis, 3rd ed., CRC 2013, ch. 5 (exchangeable groups), from memory.
    """
    if not any(split.lives.failures for split, _, _ in kinds):
        raise DataError("Nothing has failed.", "Wait for the first failure.")
    blur = np.exp(-0.5 * ((_STEPS[:, None] - _STEPS) / KIND_SD) ** 2)
    blur /= blur.sum(axis=1, keepdims=True)
    own, smeared = [], []
    for split, offset, prior in kinds:
        likely = np.zeros(len(_STEPS))
        if split.lives.failures:
            shape = likely_shape(split, prior)
            found = log_evidence(split, _ASKED[:, None] * offset, prior, (0.7 * shape, 1.4 * shape))
            likely = _BETWEEN @ found
        own.append(np.exp(likely - likely.max()))
        smeared.append(blur @ own[-1])
    total = np.log(np.maximum(smeared, 1e-300)).sum(axis=0)
    law = total - 0.5 * (_STEPS / FARM_SD) ** 2
    weight = np.exp(law - law.max())
    weight /= weight.sum()
    none = int(np.argmin(np.abs(_STEPS)))
    slopes = []
    for plain, smooth in zip(own, smeared, strict=True):
        others = weight / np.maximum(smooth, 1e-300)
        mine = plain * (others @ blur)
        slopes.append(_slope(mine))
    better = max(2 * float(total.max() - total[none]), 0.0)
    return YearSlopes(_slope(weight), tuple(slopes), float(chdtrc(1, better)))


def _slope(weight: FloatArray) -> Slope:
    found = weight / weight.sum()
    fixed(found)
    return Slope(found)
