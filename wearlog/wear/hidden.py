"""Breakages that nobody entered, inside lives: a life may be two of them, and a part younger than it looks."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

import numpy as np

from wearlog.errors import DataError
from wearlog.wear.arrays import BoolArray, FloatArray
from wearlog.wear.lives import Lives
from wearlog.wear.own_life import weighted_quantiles
from wearlog.wear.posterior import Nodes, Posterior, fit_posterior
from wearlog.wear.prior import Prior

#: a breakage that was not entered is looked for at so many places of a life
_PLACES: Final = 8
#: what is less likely is left away
_FAINT: Final = 1e-4
_DEEP: Final = 2
_ROUNDS: Final = 6
_HALVINGS: Final = 30
#: so many parts are reckoned at once
_BLOCK: Final = 16
_LARGEST: Final = 600.0


def with_hidden(lives: Lives, entered: float, shape: float, scale: float) -> Lives:
    """Return lives as they are likely to have been where breakages inside each may not have been entered.

    Parameters
    ----------
    lives : Lives
        As they are told, (n,) rows.
    entered : float
        Share of the breakages that was entered, above 0, at most 1.
    shape, scale : float
        Of the Weibull law of a part.

    Raises
    ------
    DataError
        If the share is not above 0 and at most 1.

    Notes
    -----
    A life told as one of length t was one with density f(t), or two with (1 - entered) times the integral of f(s) f(t - s), or
    three; a part that is whole stands with its survival in place of the last density. Each row is shared among itself and its
    pieces, broken at eight places, as likely as each is (the expectation step of EM, Dempster, Laird and Rubin, JRSS B 39
    (1977) 1, from memory). More than two hidden breakages in a life are left out. The weights are then lowered until there are
    as many failures as were entered: what was never seen adds no knowledge.
    """
    if not 0 < entered <= 1:
        raise DataError(f"A share entered of {entered:g} is not above 0 and at most 1.", "Give a share such as 0.85.")
    if entered == 1 or not len(lives):
        return lives
    found = _split(lives, _Law(shape, scale, 1 - entered), _DEEP)
    told = lives.failures
    weight = found.weight * (told / found.failures) if told else found.weight
    return Lives(found.entry, found.exit, found.event, weight, found.last_seen, lives.left_out)


def likely_lives(lives: Lives, law: Posterior, entered: float) -> Lives:
    """Return lives as they are likely to have been by the middle of what is believed of the life; see `with_hidden`.

    Parameters
    ----------
    lives : Lives
    law : Posterior
    entered : float
        Share of the breakages that was entered, above 0, at most 1.
    """
    if entered == 1:
        return lives
    shape = law.shape().median
    return with_hidden(lives, entered, shape, law.median_life().median / math.log(2) ** (1 / shape))


def fit_with_hidden(lives: Lives, prior: Prior, entered: float) -> Posterior:
    """Return what is believed of a life of which only a share of the breakages was entered.

    Parameters
    ----------
    lives : Lives
        As they are told.
    prior : Prior
    entered : float
        Above 0; at 1 this is `fit_posterior`.

    Notes
    -----
    The lives are looked at by the middle of the law that the look before gave, six times (EM).
    """
    found = fit_posterior(lives, prior)
    for _ in range(_ROUNDS if entered < 1 else 0):
        found = fit_posterior(likely_lives(lives, found, entered), prior)
    return found


@dataclass(frozen=True, slots=True)
class _Law:
    """The Weibull law of a part, and the share of breakages that nobody entered."""

    shape: float
    scale: float
    gone: float

    def log_density(self, age: FloatArray, event: BoolArray) -> FloatArray:
        """Return ln of the density of a failure at an age, of being whole at it where `event` is False."""
        log_age = np.log(age / self.scale)
        density = math.log(self.shape / self.scale) + (self.shape - 1) * log_age
        return np.asarray(np.where(event, density, 0.0) - np.exp(self.shape * log_age))

    def hidden(
        self, entry: FloatArray, leaving: FloatArray, event: BoolArray, deep: int
    ) -> tuple[FloatArray, FloatArray]:
        """Return where a first hidden breakage may lie, (..., places), and how likely one there is against none."""
        width = ((leaving - entry) / _PLACES)[..., None]
        broke = entry[..., None] + width * (np.arange(_PLACES) + 0.5)
        rest, its = leaving[..., None] - broke, event[..., None]
        two = self.log_density(broke, np.ones(1, dtype=bool)) + self.log_density(rest, its)
        likely = self.gone * width * np.exp(np.minimum(two - self.log_density(leaving, event)[..., None], _LARGEST))
        if deep > 1:
            _, more = self.hidden(np.zeros_like(rest), rest, np.broadcast_to(its, rest.shape), deep - 1)
            likely = likely * (1 + more.sum(axis=-1))
        return broke, likely


def _split(lives: Lives, law: _Law, deep: int) -> Lives:
    """Return each row as itself and as its pieces, with a first hidden breakage and up to so many."""
    if not deep or not len(lives):
        return lives
    broke, likely = law.hidden(lives.entry, lives.exit, lives.event, deep)
    hidden = likely / (1 + likely.sum(axis=1, keepdims=True))
    hidden = np.where(hidden > _FAINT, hidden, 0.0)
    row, place = np.nonzero(hidden)
    first, share = broke[row, place], hidden[row, place] * lives.weight[row]
    alone = (1 - hidden.sum(axis=1)) * lives.weight
    kept = alone > 0
    told, second, seen = lives.take(kept), lives.exit[row] - first, None
    if lives.last_seen is not None:
        seen = np.clip(lives.last_seen[row] - first, 0.0, second)
    return Lives.joined(
        [
            Lives(told.entry, told.exit, told.event, alone[kept], told.last_seen),
            Lives(lives.entry[row], first, np.ones(row.size, dtype=bool), share),
            _split(Lives(np.zeros(row.size), second, lives.event[row], share, seen), law, deep - 1),
        ]
    )


def chances_if_younger(
    nodes: Nodes, age: FloatArray, usage: FloatArray, entered: float, level: float = 0.9
) -> tuple[FloatArray, FloatArray]:
    """Return the chance that parts last a usage where each may have been renewed without an entry, and the age alike.

    Parameters
    ----------
    nodes : Nodes
        What is believed of the life.
    age, usage : arrays of shape (n,)
        Age by the entries and usage ahead, 0 or more, in the unit of the life.
    entered : float
        Share of the breakages that was entered, above 0, at most 1.
    level : float
        Level of the interval.

    Returns
    -------
    chance : (3, n) float64
        Mean, low and high end.
    alike : (n,) float64
        The age at which a part would be as likely to last the usage; at most `age`.

    Notes
    -----
    A part of age a by the entries is that old as likely as it lasts so long, R(a), or a - s old as likely as (1 - entered) f(s)
    R(a - s) says, at eight places, with one breakage more before s or none; both the law and the age are summed over.
    """
    at = (np.arange(_PLACES) + 0.5) / _PLACES
    tails = np.array([0.5 - level / 2, 0.5 + level / 2])
    shape, scale = nodes.shape[:, None], nodes.scale[:, None]
    log_scale = np.log(scale)
    chance = np.ones((3, age.size))
    for place, (old, ahead) in enumerate(zip(age.tolist(), usage.tolist(), strict=True)):
        if ahead <= 0:
            continue
        ages = np.concatenate([[old], old * (1 - at)])
        begun, ended = _ran(ages, shape, log_scale), _ran(ages + ahead, shape, log_scale)
        likely = np.exp(-begun)
        if old > 0:
            broke = old * at / scale
            renewed = _density(broke, shape) + (1 - entered) * broke / _PLACES * _twice(old / scale, shape)
            likely[:, 1:] *= (1 - entered) * old / (_PLACES * scale) * renewed
        weight = np.maximum(likely, 1e-300)
        weight = (weight / weight.sum(axis=1, keepdims=True) * nodes.weight[:, None]).ravel()
        lasts = np.exp(begun - ended).ravel()
        chance[:, place] = weight @ lasts, *weighted_quantiles(lasts, weight, tails)
    alike = np.empty(age.size)
    for begin in range(0, age.size, _BLOCK):
        # a few at a time: of all laws and all parts at once the sums would wait for memory
        few = slice(begin, begin + _BLOCK)
        ahead_of, low, high = usage[few], np.zeros(age[few].size), age[few].astype(float)
        for _ in range(_HALVINGS):
            middle = (low + high) / 2
            lasts = np.exp(_ran(middle, shape, log_scale) - _ran(middle + ahead_of, shape, log_scale))
            younger = nodes.weight @ lasts > chance[0, few]
            low, high = np.where(younger, middle, low), np.where(younger, high, middle)
        alike[few] = high
    return chance, alike


def _ran(age: FloatArray, shape: FloatArray, log_scale: FloatArray) -> FloatArray:
    """Return the cumulative hazard at ages (n,) by law, (laws, n): one logarithm for all laws is cheaper than a power for each."""
    with np.errstate(divide="ignore"):
        return np.asarray(np.exp(shape * (np.log(age) - log_scale)))


#: what runs up to the first of two breakages, and from it to the second, as shares of an age: eight places of the second, eight of
#: the first. They lie evenly, so that each share stands for several of them
_AT = (np.arange(_PLACES) + 0.5) / _PLACES
_SHARES, _FIRST_OF = np.unique(np.round(_AT[:, None] * _AT, 12), return_inverse=True)
_FIRST_OF = _FIRST_OF.reshape(_PLACES, _PLACES)


def _twice(age: FloatArray, shape: FloatArray) -> FloatArray:
    """Return the density of two breakages up to each of eight places of an age over the scale (laws, 1), the first anywhere."""
    log_age = np.log(age) + np.log(_SHARES)
    ran = np.exp(shape * log_age)
    density = shape * np.exp((shape - 1) * log_age - ran)
    # the second runs from the first on: as long as the first runs at the place opposite
    return np.asarray((density[:, _FIRST_OF] * density[:, _FIRST_OF[:, ::-1]]).sum(axis=2))


def _density(age: FloatArray, shape: FloatArray) -> FloatArray:
    """Return the Weibull density at ages over the scale."""
    return np.asarray(shape * age ** (shape - 1) * np.exp(-(age**shape)))
