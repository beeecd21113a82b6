"""One slope of a farm's years, over all kinds of part and of each kind; and the step that new part numbers bring, beside it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import repeat
from typing import NamedTuple

import numpy as np
from scipy.special import chdtrc

from wearlog.errors import DataError
from wearlog.wear.arrays import FloatArray, fixed
from wearlog.wear.intervals import Estimate
from wearlog.wear.lives import Lives
from wearlog.wear.own_life import weighted_quantiles
from wearlog.wear.prior import Prior
from wearlog.wear.speed_evidence import SplitLives, log_evidence, stepped_evidence
from wearlog.wear.speeds import score_of
from wearlog.wear.steps import ASKED_STEPS, FarmSteps

#: sd of the farm's slope, and of a kind's about it, in ln(speed) a year (common practice, no source)
FARM_SD, KIND_SD = 0.05, 0.02
#: where the likelihood is worked out, and the even steps between
_ASKED = 0.02 - 0.26 * np.cos(np.pi * (np.arange(8) + 0.5) / 8)
_STEPS = np.linspace(-0.24, 0.28, 105)
_NONE = int(np.argmin(np.abs(_STEPS)))
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


class KindYears(NamedTuple):
    """The lives of one kind split by years.

    Attributes
    ----------
    split : SplitLives
    offset : array of shape (c,)
        How many years each way lies after the year ahead (below 0).
    prior : Prior
        The guess of the kind.
    other : array of shape (c,) or None
        1 for ways in which parts of another number ran than the one that is fitted now, else 0; None where there is one only.
    """

    split: SplitLives
    offset: FloatArray
    prior: Prior
    other: FloatArray | None = None


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
    steps : FarmSteps
        What is believed beforehand of the step of each kind that has one.
    """

    farm: Slope
    kinds: tuple[Slope, ...]
    unlike: float
    steps: FarmSteps

    @property
    def nearest(self) -> int:
        """Place in `steps` of the slope nearest to that of the farm."""
        return int(np.argmin(np.abs(_STEPS - self.farm.mean))) if len(self.steps.before) > 1 else 0

    @property
    def none(self) -> int:
        """Place in `steps` of no slope."""
        return _NONE if len(self.steps.before) > 1 else 0


def years_alike(kinds: Iterable[KindYears]) -> float:
    """Return how likely so unlike years would be if no year were unlike another; small says that there is a slope.

    Parameters
    ----------
    kinds : iterable of KindYears
        One for each kind.

    Notes
    -----
    Score test of one slope for all kinds, at the likeliest shape of each, one step for all kinds with several part numbers
    estimated beside it; one pass over the lives. See `speeds.score_of`.
    """
    score, information = np.zeros(2), np.zeros((2, 2))
    for kind in kinds:
        split = kind.split
        if split.lives.failures < 2:
            continue
        other = np.zeros(len(kind.offset)) if kind.other is None else kind.other
        ways = np.stack([kind.offset, other], axis=1)
        along = SplitLives(
            split.lives,
            split.machine,
            *(one @ ways for one in (split.entry, split.exit, split.seen, split.ended)),
        )
        own, seen = score_of(along, likely_shape(split.lives, kind.prior))
        score, information = score + own, information + seen
    slope, known = float(score[0]), float(information[0, 0])
    if information[1, 1] > 0:
        # what a step explains is no slope
        lean = float(information[0, 1] / information[1, 1])
        slope, known = slope - lean * float(score[1]), known - lean * float(information[0, 1])
    return float(chdtrc(1, slope**2 / known)) if known > 0 else 1.0


def likely_shape(lives: Lives, prior: Prior) -> float:
    """Return the likeliest of a dozen shapes, with what is guessed of it, the scale at its best for each.

    Parameters
    ----------
    lives : Lives
    prior : Prior
    """
    if prior.log_shape_sd == 0:
        return float(np.exp(prior.log_shape_mean))
    unit = float(lives.exit.max())
    failed = lives.weight * lives.event
    late = lives.entry > 0
    end, begun = np.log(lives.exit / unit), np.log(lives.entry[late] / unit)
    ran = np.exp(_SHAPES[:, None] * end) @ lives.weight - np.exp(_SHAPES[:, None] * begun) @ lives.weight[late]
    found = lives.failures * (np.log(_SHAPES) - np.log(ran)) + (_SHAPES - 1) * float(
        failed[lives.event] @ end[lives.event]
    )
    if np.isfinite(prior.log_shape_sd):
        found = found - 0.5 * ((np.log(_SHAPES) - prior.log_shape_mean) / prior.log_shape_sd) ** 2
    return float(_SHAPES[int(np.argmax(found))])


def fit_years(
    kinds: Iterable[KindYears], *, with_slope: bool = True, own: Sequence[FloatArray | None] | None = None
) -> YearSlopes:
    """Return the slope of the farm and of each kind, and what is believed of steps between part numbers.

    Parameters
    ----------
    kinds : iterable of KindYears
        One for each kind; of a large farm they need not all lie in memory at once.
    with_slope : bool
        Whether years are weighed; else no year is unlike another, and kinds with one part number say nothing.
    own : sequence of arrays, optional
        For each kind ln of its likelihood, as `steps.own` of an earlier fit to the same lives has it, or None; worked out if not
        given.

    Raises
    ------
    DataError
        If nothing has failed of any kind.

    Notes
    -----
    An acre or hour t years after the year ahead counts exp(slope x t), of a part of another number than the one that is fitted
    now exp(step) besides. The slope of a kind is normal about that of the farm with an sd of 0.02, that of the farm normal about
    0 with 0.05 (common practice, no source); for steps see `steps`. The likelihood of each kind, shape, rate and unlike machines
    summed over (`speeds.log_evidence`), is worked out at 8 slopes, for kinds with several part numbers at 9 steps for each, and
    joined by their polynomial and a spline. Slope and steps are believed together: years that take what a new number brought, or
    a number that takes what the years did, weigh as the lives of all kinds say.

    References
    ----------
    A. Gelman et al., Bayesian Data Analysis, 3rd ed., CRC 2013, ch. 5 (exchangeable groups), from memory.
    """
    asked, between, blur, before = np.zeros(1), np.eye(1), np.eye(1), np.zeros(1)
    if with_slope:
        asked, between, before = _ASKED, _BETWEEN, -0.5 * (_STEPS / FARM_SD) ** 2
        blur = np.exp(-0.5 * ((_STEPS[:, None] - _STEPS) / KIND_SD) ** 2)
        blur /= blur.sum(axis=1, keepdims=True)
    told, failures = [], 0.0
    for kind, its in zip(kinds, repeat(None) if own is None else own, strict=own is not None):
        told.append(_likely(kind, asked) @ between.T if its is None else its)
        failures += kind.split.lives.failures
    if not failures:
        raise DataError("Nothing has failed.", "Wait for the first failure.")
    steps = FarmSteps.of(told, blur, before)
    if not with_slope:
        none = _slope((np.arange(len(_STEPS)) == _NONE).astype(float))
        return YearSlopes(none, (none,) * len(told), 1.0, steps)
    by_slope = steps.by_slope
    weight = np.exp(by_slope + before - (by_slope + before).max())
    slopes = tuple(_slope(steps.slope_law(place)) for place in range(len(told)))
    better = max(2 * float(by_slope.max() - by_slope[_NONE]), 0.0)
    return YearSlopes(_slope(weight), slopes, float(chdtrc(1, better)), steps)


def _likely(kind: KindYears, slopes: FloatArray) -> FloatArray:
    """Return ln of the likelihood of a kind at slopes, (steps, slopes); one row where it has one part number."""
    steps = np.zeros(1) if kind.other is None else ASKED_STEPS
    if not kind.split.lives.failures or (kind.other is None and len(slopes) == 1):
        return np.zeros((len(steps), len(slopes)))
    shape = likely_shape(kind.split.lives, kind.prior)
    rows = slopes[:, None] * kind.offset
    if kind.other is None:
        return log_evidence(kind.split, rows, kind.prior, (0.7 * shape, 1.4 * shape))[None]
    return stepped_evidence(kind.split, rows, steps, kind.other, kind.prior, (0.7 * shape, 1.7 * shape))


def _slope(weight: FloatArray) -> Slope:
    found = weight / weight.sum()
    fixed(found)
    return Slope(found)
