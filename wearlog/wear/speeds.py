"""Usage that counts for more or less than itself: how fast parts wear on one ground and another, and lives on that clock."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import ArrayLike
from scipy.special import chdtrc, gammaln

from wearlog.errors import DataError
from wearlog.wear.arrays import FloatArray, IntArray, fixed
from wearlog.wear.intervals import Estimate
from wearlog.wear.lives import Lives
from wearlog.wear.own_life import OwnLife, weighted_quantiles
from wearlog.wear.posterior import Posterior
from wearlog.wear.prior import Prior

#: ln(speed) of wear on rough ground beforehand: mean and sd (common practice, no source)
ROUGH_MEAN, ROUGH_SD = 0.2, 0.4
#: sd of machines' ln(life) that a speed is weighed under, and how likely each is beforehand
_SPREADS = ((0.0, 0.5), (0.2, 0.3), (0.5, 0.2))
_REACH = 2.6
_ONE_WAY, _TWO_WAYS = 11, 7
_SHAPES, _RATES = 6, 21
_FEWEST = 3.0
_FAINT = 0.01
_SAID = np.array([0.1, 0.5, 0.9])


@dataclass(frozen=True, slots=True, eq=False)
class SplitLives:
    """Lives whose usage is split by what may change the speed of wear.

    Parameters
    ----------
    lives : Lives
        On the plain meter, (n,) rows.
    machine : int array of shape (n,)
        Which machine each life was on, 0 and up.
    entry, exit, seen : arrays of shape (n, c)
        How much of the age at entry, exit and when last seen whole was run in each of c ways, in the unit of the lives; what is
        in none of them was run the usual way, at speed 1.
    ended : array of shape (n, c)
        1 in the way in which it was running when it ended; all 0 for none of them.
    """

    lives: Lives
    machine: IntArray
    entry: FloatArray
    exit: FloatArray
    seen: FloatArray
    ended: FloatArray

    @property
    def ways(self) -> int:
        return int(self.exit.shape[1])

    def shares(self) -> FloatArray:
        """Return which share of all usage that was seen was run in each way, (c,)."""
        whole = self.lives.exposure
        ran = self.lives.weight @ (self.exit - self.entry)
        return np.asarray(ran / whole if whole > 0 else np.zeros(self.ways))

    def on_clock(self, log_speed: ArrayLike, *, as_usual: bool = True) -> Lives:
        """Return the lives on the clock of wear, on which usage in way k counts exp(log_speed[k]) times itself.

        Parameters
        ----------
        log_speed : array_like, shape (c,)
            ln of the speeds.
        as_usual : bool
            Whether the clock is set by the usual mix; else usage in none of the ways counts once.

        Notes
        -----
        Set by the usual mix, all usage that was seen comes to as much as on the plain meter: an age reads as usage on the
        usual mix of ways.
        """
        more = np.expm1(np.asarray(log_speed, float))
        usual = 1 + float(self.shares() @ more) if as_usual else 1.0
        plain = self.lives
        entry = np.maximum(plain.entry + self.entry @ more, 0.0) / usual
        leaving = (plain.exit + self.exit @ more) / usual
        seen = None
        if plain.last_seen is not None:
            seen = np.clip((plain.last_seen + self.seen @ more) / usual, entry, leaving)
        return Lives(entry, leaving, plain.event, plain.weight, seen, plain.left_out)


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


def log_evidence(split: SplitLives, log_speed: FloatArray, prior: Prior, between: tuple[float, float]) -> FloatArray:
    """Return the log-likelihood of speeds with shape, rate and machines summed over, but for a constant.

    Parameters
    ----------
    split : SplitLives
    log_speed : array of shape (k, c)
        ln of the speeds of the ways, one row for each asked about.
    prior : Prior
        Its shape speaks.
    between : tuple of float
        Smallest and largest shape.
    """
    lives, machines = split.lives, int(split.machine.max()) + 1
    shapes = np.exp(np.linspace(math.log(between[0]), math.log(between[1]), _SHAPES))
    shape_law = np.zeros(_SHAPES)
    if prior.log_shape_sd == 0:
        shapes, shape_law = np.exp(np.array([prior.log_shape_mean])), np.zeros(1)
    elif prior.log_shape_sd < math.inf:
        shape_law = -0.5 * ((np.log(shapes) - prior.log_shape_mean) / prior.log_shape_sd) ** 2
    failed = lives.weight * lives.event
    by_machine = np.asarray(np.bincount(split.machine, failed, machines), dtype=float)
    unit = float(lives.exit.max())
    late = np.flatnonzero(lives.entry > 0)
    out = np.empty((len(log_speed), len(shapes)))
    for place, speeds in enumerate(log_speed):
        more = np.expm1(speeds)
        with np.errstate(divide="ignore"):
            end = np.log(np.maximum(lives.exit + split.exit @ more, 0.0) / unit)
            begun = np.log(np.maximum(lives.entry[late] + split.entry[late] @ more, 0.0) / unit)
        ended = float(failed @ (split.ended @ speeds))
        log_age = float(failed[lives.event] @ end[lives.event])
        powers = np.exp(shapes[:, None] * end) * lives.weight
        powers[:, late] -= np.exp(shapes[:, None] * begun) * lives.weight[late]
        ran = np.stack([np.bincount(split.machine, row, machines).astype(float) for row in powers])
        own = np.asarray(lives.failures * np.log(shapes) + (shapes - 1) * log_age + ended + shape_law, dtype=float)
        out[place] = own + _over_rates(by_machine, np.maximum(ran, 1e-300), shapes)
    top = out.max(axis=1, keepdims=True)
    return np.asarray(top[:, 0] + np.log(np.exp(out - top).sum(axis=1)))


def _over_rates(failed: FloatArray, ran: FloatArray, shapes: FloatArray) -> FloatArray:
    """Return ln of the likelihood of counts given what each machine ran, (s, m), summed over the rate and unlike machines, (s,)."""
    count = float(failed.sum())
    total = ran.sum(axis=1)
    alike = gammaln(count) - count * np.log(total)
    terms = [alike + math.log(_SPREADS[0][1])]
    if len(failed) > 1:
        steps = np.linspace(-1, 1, _RATES) * (1.6 + 3 / math.sqrt(count))
        for spread, chance in _SPREADS[1:]:
            tight = 1 / (shapes * spread) ** 2
            log_rate = math.log(count) - np.log(total)[:, None] + shapes[:, None] * steps
            each = tight[:, None, None] + np.exp(log_rate)[:, :, None] * ran[:, None, :]
            joint = count * log_rate - ((tight[:, None] + failed)[:, None, :] * np.log(each)).sum(axis=2)
            top = joint.max(axis=1)
            apart = (gammaln(tight[:, None] + failed) - gammaln(tight)[:, None]).sum(axis=1)
            apart = apart + len(failed) * tight * np.log(tight)
            width = shapes * (steps[1] - steps[0])
            terms.append(top + np.log(np.exp(joint - top[:, None]).sum(axis=1) * width) + apart + math.log(chance))
    top = np.max(terms, axis=0)
    return np.asarray(top + np.log(np.exp(np.array(terms) - top).sum(axis=0)))


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
