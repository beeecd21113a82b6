"""Usage that counts for more or less than itself: how fast parts wear on one ground and another, and what is believed of it."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import ArrayLike
from scipy.special import chdtrc

from wearlog.errors import DataError
from wearlog.wear.arrays import FloatArray, fixed
from wearlog.wear.intervals import Estimate
from wearlog.wear.own_life import OwnLife, weighted_quantiles
from wearlog.wear.posterior import Posterior
from wearlog.wear.prior import Prior
from wearlog.wear.speed_evidence import SplitLives, log_evidence

#: ln(speed) of wear on rough ground beforehand: mean and sd (common practice, no source)
ROUGH_MEAN, ROUGH_SD = 0.2, 0.4
_REACH = 2.6
_ONE_WAY, _TWO_WAYS = 11, 7
_FEWEST = 3.0
_FAINT = 0.01
_SAID = np.array([0.1, 0.5, 0.9])


@dataclass(frozen=True, slots=True, eq=False)
class Speeds:
    """What is believed of the speeds of wear: nodes of their logarithms.

    Attributes
    ----------
    log_speed : array of shape (k, c)
        ln(speed) of each way at each node.
    weight : array of shape (k,)
        Posterior weights, sum 1.
    shares : array of shape (c,)
        The usual mix: which share of the records was run in each way.
    unlike : float
        How likely so unlike lives would be if all ways wore alike (likelihood ratio, chi-squared).
    """

    log_speed: FloatArray
    weight: FloatArray
    shares: FloatArray
    unlike: float

    @property
    def mean(self) -> FloatArray:
        """ln(speed) of each way that the clock goes by, (c,)."""
        return np.asarray(self.weight @ self.log_speed)

    def speed(self, way: int) -> Estimate:
        """Return the speed in one way, with its 80 % interval: 1.4 says that an acre there counts 1.4.

        Parameters
        ----------
        way : int
            0 and up.
        """
        values = np.exp(self.log_speed[:, way])
        found, place = np.unique(values, return_inverse=True)
        weight = np.asarray(np.bincount(place.ravel(), self.weight), dtype=float)
        low, median, high = np.exp(weighted_quantiles(np.log(found), weight, _SAID))
        return Estimate(float(median), float(low), float(high), 0.8, float(values @ self.weight))

    def pace(self, shares: ArrayLike) -> FloatArray:
        """Return how fast a mix of ways wears beside the usual mix, at the middle of what is believed.

        Parameters
        ----------
        shares : array_like, shape (..., c)
            Share of each way in the mix; the rest goes the usual way.
        """
        return np.asarray(self._paces(np.asarray(shares, float), self.mean[None])[0])

    def paces(self, shares: ArrayLike) -> FloatArray:
        """Return how fast one mix of ways wears beside the usual mix by each node, (k,); their weights are `weight`.

        Parameters
        ----------
        shares : array_like, shape (c,)
            Share of each way in the mix.
        """
        return self._paces(np.asarray(shares, float), self.log_speed)

    def doubt(self, shares: ArrayLike) -> FloatArray:
        """Return the sd of ln(pace) of a mix: nothing for the usual one, more the further a mix lies from it.

        Parameters
        ----------
        shares : array_like, shape (..., c)
            Share of each way in the mix.
        """
        paces = np.log(self._paces(np.asarray(shares, float), self.log_speed))
        middle = np.tensordot(self.weight, paces, axes=1)
        return np.asarray(np.sqrt(np.tensordot(self.weight, (paces - middle) ** 2, axes=1)))

    def _paces(self, shares: FloatArray, log_speed: FloatArray) -> FloatArray:
        more = np.expm1(log_speed)
        usual = 1 + more @ self.shares
        mixed = 1 + np.moveaxis(np.tensordot(shares, more, axes=(-1, 1)), -1, 0)
        return np.asarray(mixed / usual.reshape((-1,) + (1,) * (mixed.ndim - 1)))

    def age(self, plain: FloatArray, parts: FloatArray) -> FloatArray:
        """Return ages on the clock of wear.

        Parameters
        ----------
        plain : array of shape (n,)
            Ages on the plain meter.
        parts : array of shape (n, c)
            How much of them was run in each way.
        """
        more = np.expm1(self.mean)
        return np.asarray((plain + parts @ more) / (1 + float(self.shares @ more)))


def ways_alike(split: SplitLives, pooled: Posterior) -> float:
    """Return how likely so unlike failures in one way and another would be if all wore alike; 1 where nothing can be told.

    Parameters
    ----------
    split : SplitLives
    pooled : Posterior
        Of the same lives on the plain meter.

    Notes
    -----
    Score test of all ln(speed) = 0 at the middle of the pooled posterior, ln(scale) estimated beside them, shape and machines as
    they are; one pass over the lives. It stands in for the law of speeds where the records do not ask for it.

    References
    ----------
    D. R. Cox and D. V. Hinkley, Theoretical Statistics, Chapman and Hall 1974, sec. 9.3 (score test), from memory.
    """
    if not split.ways or split.lives.failures < _FEWEST:
        return 1.0
    score, information = score_of(split, pooled.shape().median)
    seen = np.diag(information) > 1e-9 * split.lives.failures
    if not seen.any():
        return 1.0
    score, information = score[seen], information[np.ix_(seen, seen)]
    return float(chdtrc(int(seen.sum()), float(score @ np.linalg.pinv(information) @ score)))


def score_of(split: SplitLives, shape: float) -> tuple[FloatArray, FloatArray]:
    """Return the slope of the log-likelihood in ln(speed) where all are 0, (c,), and what it would vary by chance, (c, c).

    Parameters
    ----------
    split : SplitLives
        With at least one failure.
    shape : float
        Weibull shape; the scale is taken at its best.
    """
    lives = split.lives
    failed = lives.weight * lives.event
    scale = float(((lives.weight @ (lives.exit**shape - lives.entry**shape)) / lives.failures) ** (1 / shape))
    end = shape * lives.exit ** (shape - 1) / scale**shape
    begun = np.where(lives.entry > 0, shape * np.maximum(lives.entry, 1e-300) ** (shape - 1) / scale**shape, 0.0)
    ran = end[:, None] * split.exit - begun[:, None] * split.entry
    at_end = split.ended + (shape - 1) * split.exit / lives.exit[:, None]
    # what each failure adds about its mean stands for the information, ln(scale) taken off
    spread = (at_end - failed @ at_end / lives.failures) * np.sqrt(failed)[:, None]
    return np.asarray(failed @ at_end - lives.weight @ ran), np.asarray(spread.T @ spread)


def fit_speeds(
    split: SplitLives, prior: Prior, pooled: Posterior, beforehand: tuple[float, float] = (ROUGH_MEAN, ROUGH_SD)
) -> Speeds:
    """Return what the lives say of the speeds of wear.

    Parameters
    ----------
    split : SplitLives
    prior : Prior
        The starting guess of the kind; of it the shape speaks here, where the life lies is left open.
    pooled : Posterior
        Of the same lives on the plain meter; it says where to look.
    beforehand : tuple of float
        Mean and sd of ln(speed) of each way.

    Raises
    ------
    DataError
        If nothing has failed.

    Notes
    -----
    ln(speed) of each way is normal beforehand, on rough ground N(0.2, 0.4^2) (common practice, no source), on 11 nodes where there
    is one way, on 7 x 7 where there are two. At each node the lives are read on that clock, the speed at which a life ended stands
    in its density, and what is left is summed over: 6 shapes, the rate of failing with 1/rate beforehand, and machines that differ
    (gamma frailties whose ln(life) has an sd of 0, 0.2 or 0.5, likely .5 .3 .2 beforehand), in closed form but for the rate. A
    failure between two looks counts at the second. Cost: nodes x shapes x lives.

    References
    ----------
    D. R. Cox and D. Oakes, Analysis of Survival Data, Chapman and Hall 1984, sec. 5.2 and 8.2 (accelerated life with
    explanatory variables that change), P. Hougaard, Analysis of Multivariate Survival Data, Springer 2000 (frailty), from memory.
    """
    if not split.lives.failures:
        raise DataError("Nothing has failed.", "Wait for the first failure.")
    steps = np.linspace(-_REACH, _REACH, _ONE_WAY if split.ways == 1 else _TWO_WAYS)
    mean, sd = beforehand
    one = mean + sd * steps
    nodes = np.stack([axis.ravel() for axis in np.meshgrid(*([one] * split.ways), indexing="ij")], axis=1)
    near = pooled.shape(0.95)
    # on the plain clock unlike speeds look like a flatter law: shapes reach further up
    shapes = 0.85 * near.low, 1.5 * near.high
    found = log_evidence(split, np.vstack([np.zeros((1, split.ways)), nodes]), prior, shapes)
    weight = found[1:] - 0.5 * (((nodes - mean) / sd) ** 2).sum(axis=1)
    weight = np.exp(weight - weight.max())
    weight /= weight.sum()
    fixed(nodes)
    fixed(weight)
    better = max(2 * float(found.max() - found[0]), 0.0)
    return Speeds(nodes, weight, split.shares(), float(chdtrc(split.ways, better)))


def at_pace(law: OwnLife | Posterior, pace: float, doubt: float = 0.0) -> OwnLife:
    """Return a law of life in the usage of a mix that wears `pace` times as fast as the usual one.

    Parameters
    ----------
    law : OwnLife or Posterior
        The life on the usual mix.
    pace : float
        Above 0.
    doubt : float
        sd of ln(pace).
    """
    if isinstance(law, Posterior):
        law = OwnLife(law.nodes, Estimate(1.0, 1.0, 1.0, 0.8, 1.0), law.failures, law.lives)
    doubts = (*law.doubts, doubt) if doubt > _FAINT else law.doubts
    return replace(law, pace=law.pace * pace, doubts=doubts)
