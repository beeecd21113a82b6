"""The life of a kind on many farms at once, by sums that hold no single life; what the next farm may expect. Reads no file.

A farm's lives enter a Weibull likelihood through their failures, the sum of ln(age at failure), and for a few fixed shapes the
sum of exit^shape - entry^shape. These numbers add up over lives, machines and files.

References
----------
A. P. Dempster, N. M. Laird, D. B. Rubin, JRSS B 39 (1977) 1 (EM); A. Gelman et al., Bayesian Data Analysis, 3rd ed., CRC 2013,
ch. 5 (farms as draws from a law of farms); both from memory.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

import numpy as np
from scipy.special import stdtrit

from wearlog.errors import DataError
from wearlog.wear.arrays import FloatArray, IntArray
from wearlog.wear.prior import TENTH, WIDE_WEIGHT, Prior

#: the shapes at which the powers of the ages are added up, evenly apart in the logarithm
SHAPES: Final[FloatArray] = np.geomspace(0.7, 6.0, 16)
#: failures, sum of ln(age at failure), and a sum of powers for each shape
NUMBERS: Final = 2 + SHAPES.size
#: what is supposed of the spread of ln(median) and of ln(shape) between farms, and how many farms that counts for (common practice)
LIFE_SPREAD: Final = 0.45
SHAPE_SPREAD: Final = 0.2
_SUPPOSED_FARMS: Final = 2.0
#: fewer farms with a failure say nothing of the next
FEWEST_FARMS: Final = 3
_STEPS: Final = 81
_REACH: Final = 6.0
_WIDE: Final = 1.5
_ROUNDS: Final = 400
_STILL: Final = 1e-5
_BLOCK: Final = 1 << 16


@dataclass(frozen=True, slots=True)
class FarmsLaw:
    """How a kind lives on farms of which each differs: ln(median) ~ N(log_life_mean, log_life_sd^2), ln(shape) likewise.

    Attributes
    ----------
    log_life_mean, log_life_sd : float
        Of ln(median life in units of usage) between farms.
    log_shape_mean, log_shape_sd : float
        Of ln(shape) between farms.
    farms : int
        Farms that it was learned from, with a failure or without.
    """

    log_life_mean: float
    log_life_sd: float
    log_shape_mean: float
    log_shape_sd: float
    farms: int

    @property
    def median_life(self) -> float:
        """Median life on the farm in the middle, in units of usage."""
        return math.exp(self.log_life_mean)

    @property
    def median_shape(self) -> float:
        """Shape on the farm in the middle."""
        return math.exp(self.log_shape_mean)

    @property
    def between_farms(self) -> float:
        """By what factor a farm at one sd lies beside the middle."""
        return math.exp(self.log_life_sd)

    @property
    def prior(self) -> Prior:
        """The guess of the next farm.

        A Student t range stands for the spread, which few farms tell badly; by the wide second part own lives overrule it.
        """
        wider = math.sqrt(1 + 1 / self.farms)
        few = float(stdtrit(self.farms - 1, 0.9)) / TENTH
        return Prior(
            self.log_life_mean,
            self.log_life_sd * wider * few,
            self.log_shape_mean,
            self.log_shape_sd * wider,
            wide_weight=WIDE_WEIGHT,
        )


def grouped_sums(
    group: IntArray, groups: int, entry: FloatArray, leaving: FloatArray, failed: FloatArray, count: FloatArray
) -> FloatArray:
    """Return the numbers of many groups of lives at once, (groups, 18).

    Parameters
    ----------
    group : (n,) int64
        Of each row, from 0 to groups - 1.
    groups : int
    entry, leaving : (n,) float64
        Ages over the unit; an entry of 0 adds nothing at any shape.
    failed : (n,) float64
        1 where the life ended in failure, else 0.
    count : (n,) float64
        How many lives the row stands for.
    """
    found = np.zeros((groups, NUMBERS))
    for start in range(0, group.size, _BLOCK):
        rows = slice(start, start + _BLOCK)
        mine, weight = group[rows], count[rows]
        log_leaving = np.log(leaving[rows])
        late = np.flatnonzero(entry[rows] > 0)
        log_entry = np.log(entry[rows][late])
        ended = weight * failed[rows]
        found[:, 0] += np.bincount(mine, ended, groups)
        found[:, 1] += np.bincount(mine, ended * log_leaving, groups)
        for place, shape in enumerate(SHAPES):
            run = np.exp(shape * log_leaving)
            run[late] -= np.exp(shape * log_entry)
            found[:, 2 + place] += np.bincount(mine, weight * run, groups)
    return found


def farms_law(sums: FloatArray, unit: float = 1.0) -> FarmsLaw | None:
    """Return how a kind lives on farms; None where fewer than three of them saw a failure.

    Parameters
    ----------
    sums : (farms, 18) float64
        The numbers of each farm, as `grouped_sums` gives them.
    unit : float
        What the ages were divided by.

    Raises
    ------
    DataError
        Numbers that no lives can have.

    Notes
    -----
    ln L(b, m) = r (ln b + ln ln 2 - b m) + (b - 1) sum ln t - ln 2 S_b exp(-b m) on 16 shapes and, for each farm, 81 values of
    m where its likelihood lies. EM: mu is the mean of E(m); tau^2 = (sum E(m - mu)^2 + 2 x 0.45^2) / (F + 2); of ln(shape)
    likewise with 0.2.
    A farm on which nothing failed counts, and draws mu up.
    """
    if sums.ndim != 2 or sums.shape[1] != NUMBERS or not np.isfinite(sums).all() or (sums[:, 0] < 0).any():
        raise DataError("These are no sums of lives.", f"Each farm has {NUMBERS} numbers, none of them below nothing.")
    used = sums[(sums[:, 2:] > 0).all(axis=1)]
    if (used[:, 0] > 0).sum() < FEWEST_FARMS:
        return None
    log_shape = np.log(SHAPES)
    middle = _common_middle(used)
    log_life = _own_grids(used, middle)
    density = _likelihood(used, log_life)
    mu, tau, nu, om = middle, LIFE_SPREAD, float(np.log(2.3)), SHAPE_SPREAD
    farms = used.shape[0]
    for _ in range(_ROUNDS):
        by_life = np.exp(-0.5 * ((log_life - mu) / tau) ** 2)
        by_shape = np.exp(-0.5 * ((log_shape - nu) / om) ** 2)
        life_weight = by_life * np.einsum("fsm,s->fm", density, by_shape)
        shape_weight = by_shape * np.einsum("fsm,fm->fs", density, by_life)
        life_weight /= life_weight.sum(axis=1, keepdims=True)
        shape_weight /= shape_weight.sum(axis=1, keepdims=True)
        before = np.array([mu, tau, nu, om])
        mu = float((life_weight * log_life).sum() / farms)
        nu = float((shape_weight * log_shape).sum() / farms)
        tau = _spread(float((life_weight * (log_life - mu) ** 2).sum()), LIFE_SPREAD, farms)
        om = _spread(float((shape_weight * (log_shape - nu) ** 2).sum()), SHAPE_SPREAD, farms)
        if np.abs(before - [mu, tau, nu, om]).max() < _STILL:
            break
    return FarmsLaw(mu + math.log(unit), tau, nu, om, farms)


def _spread(squares: float, supposed: float, farms: int) -> float:
    return math.sqrt((squares + _SUPPOSED_FARMS * supposed**2) / (farms + _SUPPOSED_FARMS))


def _log_likelihood(sums: FloatArray, log_life: FloatArray) -> FloatArray:
    """Return ln L, (farms, shapes, steps); `log_life` is (farms, steps)."""
    failures, sum_log, powers = sums[:, 0, None, None], sums[:, 1, None, None], sums[:, 2:, None]
    shape = SHAPES[None, :, None]
    step = shape * log_life[:, None, :]
    known = failures * (np.log(shape) - step) + (shape - 1) * sum_log
    return np.asarray(known - math.log(2.0) * np.exp(np.minimum(np.log(powers) - step, 700.0)))


def _likelihood(sums: FloatArray, log_life: FloatArray) -> FloatArray:
    found = _log_likelihood(sums, log_life)
    return np.asarray(np.exp(found - found.max(axis=(1, 2), keepdims=True)))


def _common_middle(sums: FloatArray) -> float:
    """Return about where ln(median) of all farms taken as one lies, at the likeliest shape."""
    total = sums.sum(axis=0)
    failures = total[0]
    log_life = (np.log(math.log(2.0) * total[2:]) - math.log(failures)) / SHAPES
    gain = failures * (np.log(SHAPES) - SHAPES * log_life) + (SHAPES - 1) * total[1]
    return float(log_life[int(gain.argmax())])


def _own_grids(sums: FloatArray, middle: float) -> FloatArray:
    """Return values of ln(median) for each farm where its likelihood, under a wide guess, lies: (farms, 81)."""
    centre = np.full(sums.shape[0], middle)
    reach = np.full(sums.shape[0], 3 * _WIDE)
    steps = np.linspace(-1.0, 1.0, _STEPS)
    by_shape = -0.5 * ((np.log(SHAPES) - math.log(2.3)) / (3 * SHAPE_SPREAD)) ** 2
    # twice: the first look is coarse where a farm has hundreds of failures
    for _ in range(2):
        log_life = centre[:, None] + reach[:, None] * steps
        found = _log_likelihood(sums, log_life) + by_shape[:, None]
        found -= 0.5 * ((log_life - middle)[:, None, :] / _WIDE) ** 2
        weight = np.exp(found - found.max(axis=(1, 2), keepdims=True)).sum(axis=1)
        weight /= weight.sum(axis=1, keepdims=True)
        mean = (weight * log_life).sum(axis=1)
        spread = np.sqrt((weight * (log_life - mean[:, None]) ** 2).sum(axis=1))
        centre, reach = mean, _REACH * np.maximum(spread, reach / _STEPS)
    return np.asarray(centre[:, None] + reach[:, None] * steps)
