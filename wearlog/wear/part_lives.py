"""Lives by part number on the same ground: how long each lasts and the chance that one is cheaper than the other. Knows no prices.

Weibull lives with one shape b for the kind; ln(median) of a life is th of its part number + ga of its ground. th ~ N(mu, tau^2)
with mu the kind's guess N(m0, s0^2) and tau half-normal; ga ~ N(0, 0.4^2) against the ground with most lives.

References
----------
J. F. Lawless, Statistical Models and Methods for Lifetime Data, 2nd ed., Wiley 2003, ch. 6.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from scipy.special import gammaln, logsumexp, ndtri

from wearlog.errors import DataError
from wearlog.wear.arrays import FloatArray, IntArray, product
from wearlog.wear.lives import Lives
from wearlog.wear.part_model import PartModel
from wearlog.wear.prior import Prior
from wearlog.wear.replacement import age_replacement

#: spread between part numbers of a kind, and between grounds, in ln(life) (common practice, no source)
PART_SPREAD: Final = 0.3
GROUND_SPREAD: Final = 0.4
_TAUS: Final = 8
_DRAWS: Final = 1000
_MORE_DRAWS: Final = 4000
#: fewer effective draws and the step is repeated with more
ENOUGH_DRAWS: Final = 200
_FREEDOM: Final = 6.0
#: amounts paid back between which costs are read; no part costs less than a hundredth in the end
_LEVELS: Final = 5
_ALL_BACK: Final = 0.99
_LN_LN2: Final = float(np.log(np.log(2.0)))
#: one-sided 95 % and 80 % power
_SURE: Final = float(ndtri(0.95))
_POWER: Final = float(ndtri(0.80))


@dataclass(frozen=True, slots=True, eq=False)
class PartLives:
    """Draws from the belief.

    Attributes
    ----------
    shape : (d,) float64
    median : (parts, d) float64
        Median life on the ground with most lives, in the units of the lives.
    ground : (grounds, d) float64
        ln(life) there less that on the ground with most lives.
    weight : (d,) float64
        Adds up to 1.
    effective : float
        As many equal draws they are worth.
    """

    shape: FloatArray
    median: FloatArray
    ground: FloatArray
    weight: FloatArray
    effective: float

    @property
    def mean_life(self) -> FloatArray:
        """Mean life by part and draw, (parts, d)."""
        return np.asarray(self.median * np.exp(gammaln(1 + 1 / self.shape) - _LN_LN2 / self.shape))

    def quantile(self, values: FloatArray, chance: float) -> float:
        """Return what a quantity with one value for each draw does not exceed with a chance.

        Parameters
        ----------
        values : (d,) float64
        chance : float
            Strictly between 0 and 1.
        """
        order = np.argsort(values)
        return float(np.interp(chance, np.cumsum(self.weight[order]) - self.weight[order] / 2, values[order]))


def part_lives(lives: Lives, part: IntArray, ground: IntArray, guess: Prior, *, seed: int = 1) -> PartLives:
    """Return what lives by part number and ground say.

    Parameters
    ----------
    lives : Lives
        Rows of lives; only wear ends one. A failure found by measuring counts at the middle of its interval.
    part, ground : (n,) int64
        Of each row, from 0. Ground 0 is the one with most lives: against it the others are measured.
    guess : Prior
        Of the kind's ln(median life) and ln(shape).
    seed : int
        Of the fixed generator.

    Raises
    ------
    DataError
        Neither a guess nor a failure says how long such a part lasts.

    Notes
    -----
    mu is integrated by hand: th ~ N(m0, tau^2 I + s0^2 11'). For each of eight equal-weight values of tau the mode over (ln b, th,
    ga), its curvature, and draws of a t law with 6 degrees of freedom, weighed by density / proposal; so the taus weigh themselves.
    """
    if not guess.knows_life and not lives.failures:
        raise DataError("Nobody has an idea how long such a part lasts.", "Enter a starting guess, or a failure.")
    model = PartModel.of(lives, part, ground, guess, GROUND_SPREAD)
    found = _drawn(model, _DRAWS, np.random.default_rng(seed))
    if found.effective < ENOUGH_DRAWS:
        found = _drawn(model, _MORE_DRAWS, np.random.default_rng(seed))
    return found


def failures_needed(shape: float, ratio: float) -> float:
    """Return the failures of each of two parts that it takes to be sure which costs less.

    Parameters
    ----------
    shape : float
        Weibull shape of both.
    ratio : float
        Of their costs per unit of usage, above 0 and not 1.

    Returns
    -------
    float
        2 ((1.645 + 0.842) / (shape ln ratio))^2: 95 % one-sided, found in four cases of five; infinite where the ratio is 1.
    """
    apart = shape * abs(float(np.log(ratio)))
    return np.inf if apart == 0 else 2 * ((_SURE + _POWER) / apart) ** 2


def cost_rates(
    shape: FloatArray, median: FloatArray, planned_cost: float, failure_cost: float, off: FloatArray | None = None
) -> FloatArray:
    """Return what keeping such a part going costs for each unit of usage, replaced at the age that costs least, by draw.

    Parameters
    ----------
    shape, median : (d,) float64
        Weibull shape, and median life in units of usage.
    planned_cost, failure_cost : float
        As for `age_replacement`; both above 0.
    off : (d,) float64, optional
        What is paid back of each part by draw, taken off both costs.

    Notes
    -----
    For given costs the rate times the scale goes by the shape alone: it is reckoned at 60 shapes and read between them, and
    between five amounts that are paid back.
    """
    if off is None or not off.any():
        return _cost_rates(shape, median, planned_cost, failure_cost)
    most = min(planned_cost, failure_cost) * _ALL_BACK
    paid = np.minimum(off, most)
    levels = np.linspace(float(paid.min()), float(paid.max()), _LEVELS)
    rates = np.stack([_cost_rates(shape, median, planned_cost - one, failure_cost - one) for one in levels])
    place = (paid - levels[0]) / max(levels[-1] - levels[0], 1e-300) * (_LEVELS - 1)
    below = np.minimum(place.astype(np.int64), _LEVELS - 2)
    draw, share = np.arange(paid.size), place - below
    return np.asarray(rates[below, draw] * (1 - share) + rates[below + 1, draw] * share)


def _cost_rates(shape: FloatArray, median: FloatArray, planned_cost: float, failure_cost: float) -> FloatArray:
    shapes = np.geomspace(max(float(shape.min()), 0.05), min(float(shape.max()), 60.0) * 1.0001, 60)
    rates = [
        age_replacement(float(one), 1.0, planned_cost=planned_cost, failure_cost=failure_cost).cost_rate
        for one in shapes
    ]
    by_scale = np.exp(np.interp(np.log(shape), np.log(shapes), np.log(rates)))
    return np.asarray(by_scale / (median * np.exp(-_LN_LN2 / shape)))


def _drawn(model: PartModel, draws: int, rng: np.random.Generator) -> PartLives:
    points, log_weights = [], []
    taus = PART_SPREAD * ndtri(0.5 + (np.arange(_TAUS) + 0.5) / (2 * _TAUS))
    start = np.concatenate(([0.7], np.full(model.parts, model.life_mean), np.zeros(model.grounds - 1)))
    for tau in taus:
        covariance = tau**2 * np.eye(model.parts) + model.life_sd**2
        inverse = np.linalg.inv(covariance)
        mode, root = model.mode(inverse, start)
        start = mode
        size = mode.size
        normal = rng.standard_normal((draws, size))
        stretch = np.sqrt(_FREEDOM / rng.chisquare(_FREEDOM, draws))
        z = mode + stretch[:, None] * product(normal, root.T)
        distance = (stretch[:, None] * normal) ** 2
        log_proposal = -(_FREEDOM + size) / 2 * np.log1p(distance.sum(axis=1) / _FREEDOM)
        log_proposal -= np.log(np.abs(np.diag(root))).sum()
        log_prior = -0.5 * np.linalg.slogdet(covariance)[1]
        points.append(z)
        log_weights.append(model.log_density(z, inverse) + log_prior - log_proposal)
    z, log_weight = np.concatenate(points), np.concatenate(log_weights)
    weight = np.exp(log_weight - logsumexp(log_weight))
    ground = np.concatenate((np.zeros((1, z.shape[0])), z[:, 1 + model.parts :].T))
    return PartLives(
        shape=np.exp(z[:, 0]),
        median=np.exp(z[:, 1 : 1 + model.parts]).T,
        ground=ground,
        weight=weight,
        effective=float(1 / (weight**2).sum()),
    )
