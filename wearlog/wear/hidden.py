"""Breakages that nobody entered, inside lives: a life may be two of them, and a part younger than it looks."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from wearlog.errors import DataError
from wearlog.wear.arrays import BoolArray, FloatArray, IntArray
from wearlog.wear.lives import Lives
from wearlog.wear.own_life import weighted_quantiles
from wearlog.wear.posterior import Nodes, Posterior, fit_posterior
from wearlog.wear.prior import Prior
from wearlog.wear.speed_evidence import SplitLives
from wearlog.wear.years import likely_shape

#: a breakage that was not entered is looked for at so many places of a life
_PLACES: Final = 8
#: what is less likely is left away
_FAINT: Final = 1e-4
_DEEP: Final = 2
_ROUNDS: Final = 6
_LOOKS: Final = 3
#: the age alike is looked for by so many halvings, and then nearer and nearer, to this share of the age by the entries
_HALVINGS: Final = 5
_ROUNDS_ALIKE: Final = 12
_NEAR: Final = 1e-9
#: so many parts are reckoned at once
_BLOCK: Final = 16
_LARGEST: Final = 600.0


def with_hidden(each: Sequence[Lives], entered: float, shape: float, scale: float) -> list[Lives]:
    """Return lives as they are likely to have been where breakages inside each may not have been entered.

    Parameters
    ----------
    each : sequence of Lives
        As they are told, machine by machine, each (n,) rows; each keeps as many failures as were entered of it.
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
    if entered == 1 or not any(len(lives) for lives in each):
        return list(each)
    found, row = _split(Lives.joined(each), _Law(shape, scale, 1 - entered), _DEEP)
    owner = np.repeat(np.arange(len(each)), [len(lives) for lives in each])[row]
    told = np.array([lives.failures for lives in each])
    now = np.bincount(owner, found.weight * found.event, len(each))
    fewer = np.where(told > 0, told / np.where(now > 0, now, 1.0), 1.0)
    likely = replace(found, weight=found.weight * fewer[owner]).by_group(owner)
    own = [likely.get(place, lives) for place, lives in enumerate(each)]
    return [replace(one, left_out=lives.left_out) for one, lives in zip(own, each, strict=True)]


def likely_lives(each: Sequence[Lives], law: Posterior, entered: float) -> list[Lives]:
    """Return lives as they are likely to have been by the middle of what is believed of the life; see `with_hidden`.

    Parameters
    ----------
    each : sequence of Lives
        Of the fleet, or of one machine after the other.
    law : Posterior
    entered : float
        Share of the breakages that was entered, above 0, at most 1.
    """
    if entered == 1:
        return list(each)
    shape = law.shape().median
    scale = law.median_life().median / math.log(2) ** (1 / shape)
    return with_hidden(each, entered, shape, scale)


def split_with_hidden(split: SplitLives, log_speed: FloatArray, prior: Prior, entered: float) -> SplitLives:
    """Return lives split by ways as they are likely to have been where breakages inside each may not have been entered.

    Parameters
    ----------
    split : SplitLives
        All usage is in one of the ways, and a life runs them in their order, as with years.
    log_speed : array of shape (c,)
        ln(speed of wear) in each way, on whose clock breakages are looked for.
    prior : Prior
        Its shape speaks.
    entered : float
        Share of the breakages that was entered, above 0, at most 1.

    Notes
    -----
    As `with_hidden`, but with one hidden breakage at most, by the likeliest law of what the look before gave, three times. Each
    piece has the ways of its part of the life. Without that, lives seem to lengthen from year to year: in the first year no life
    can be two yet.
    """
    if entered == 1 or not split.lives.failures:
        return split
    pace = np.exp(log_speed)
    parts = split.entry * pace, split.exit * pace, split.seen * pace
    clock = SplitLives(split.on_clock(log_speed, as_usual=False), split.machine, *parts, split.ended)
    lives, row, first = clock.lives, np.zeros(0, dtype=np.int64), np.zeros(0)
    for _ in range(_LOOKS):
        shape = likely_shape(lives, prior)
        ran = float(lives.weight @ (lives.exit**shape - lives.entry**shape))
        lives, row, first = _broken_once(clock.lives, _Law(shape, (ran / lives.failures) ** (1 / shape), 1 - entered))
    found = _with_ways(clock, lives, row, first)
    parts = found.entry / pace, found.exit / pace, found.seen / pace
    entry, leaving, seen = (one.sum(axis=1) for one in parts)
    between = None if found.lives.last_seen is None else np.clip(seen, entry, leaving)
    lives = Lives(entry, leaving, found.lives.event, found.lives.weight, between, split.lives.left_out)
    return SplitLives(lives, found.machine, *parts, found.ended)


def _broken_once(lives: Lives, law: _Law) -> tuple[Lives, IntArray, FloatArray]:
    """Return all rows, the first pieces of some and the second, as likely as each is; of which rows (k,), where they broke (k,)."""
    broke, likely = law.hidden(lives.entry, lives.exit, lives.event, 1)
    hidden = likely / (1 + likely.sum(axis=1, keepdims=True))
    hidden = np.where(hidden > _FAINT, hidden, 0.0)
    row, place = np.nonzero(hidden)
    first = broke[row, place]
    event = np.concatenate([lives.event, np.ones(row.size, dtype=bool), lives.event[row]])
    weight = np.concatenate([lives.weight * (1 - hidden.sum(axis=1)), *[hidden[row, place] * lives.weight[row]] * 2])
    second, seen = lives.exit[row] - first, None
    if lives.last_seen is not None:
        seen = np.concatenate([lives.last_seen, first, np.clip(lives.last_seen[row] - first, 0.0, second)])
    pieces = Lives(
        np.concatenate([lives.entry, lives.entry[row], np.zeros(row.size)]),
        np.concatenate([lives.exit, first, second]),
        event,
        # what was never seen adds no knowledge: as many failures as were entered
        weight * (lives.failures / float(weight @ event)),
        seen,
    )
    return pieces, row, first


def _with_ways(split: SplitLives, pieces: Lives, row: IntArray, first: FloatArray) -> SplitLives:
    """Return what `_broken_once` gives with the ways of its parts of the lives; usage fills the ways one after the other."""
    before = np.cumsum(split.exit[row], axis=1) - split.exit[row]
    inside = np.clip(first[:, None] - before, 0.0, split.exit[row])
    reached = np.where(inside > 0, np.arange(split.ways), 0).max(axis=1)
    return SplitLives(
        pieces,
        np.concatenate([split.machine, split.machine[row], split.machine[row]]),
        np.concatenate([split.entry, split.entry[row], np.zeros_like(inside)]),
        np.concatenate([split.exit, inside, split.exit[row] - inside]),
        np.concatenate([split.seen, inside, np.maximum(split.seen[row] - inside, 0.0)]),
        np.concatenate([split.ended, (reached[:, None] == np.arange(split.ways)).astype(float), split.ended[row]]),
    )


def fit_with_hidden(lives: Lives, prior: Prior, entered: float, told: Posterior | None = None) -> Posterior:
    """Return what is believed of a life of which only a share of the breakages was entered.

    Parameters
    ----------
    lives, prior : Lives, Prior
        As they are told, and the guess of the kind.
    entered : float
        Above 0; at 1 this is `fit_posterior`.
    told : Posterior, optional
        What `fit_posterior` gives, where that is known already.

    Notes
    -----
    The lives are looked at by the middle of the law that the look before gave, six times (EM).
    """
    found = fit_posterior(lives, prior) if told is None else told
    for _ in range(_ROUNDS if entered < 1 else 0):
        (likely,) = likely_lives([lives], found, entered)
        found = fit_posterior(likely, prior)
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


def _split(lives: Lives, law: _Law, deep: int) -> tuple[Lives, IntArray]:
    """Return each row as itself and as its pieces, with a first hidden breakage and up to so many, and of which row each is."""
    if not deep or not len(lives):
        return lives, np.arange(len(lives))
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
    rest, of = _split(Lives(np.zeros(row.size), second, lives.event[row], share, seen), law, deep - 1)
    pieces = Lives.joined(
        [
            Lives(told.entry, told.exit, told.event, alone[kept], told.last_seen),
            Lives(lives.entry[row], first, np.ones(row.size, dtype=bool), share),
            rest,
        ]
    )
    return pieces, np.concatenate([np.flatnonzero(kept), row, row[of]])


def chances_if_younger(
    nodes: Nodes, age: FloatArray, usage: FloatArray, entered: float, level: float = 0.9, *, intervals: bool = True
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
    intervals : bool
        Whether anybody asks for the interval.

    Returns
    -------
    chance : (3, n) float64
        Mean, low and high end; the ends are NaN where nobody asks for them.
    alike : (n,) float64
        The age at which a part would be as likely to last the usage; at most `age`.

    Notes
    -----
    A part of age a by the entries is that old as likely as it lasts so long, R(a), or a - s old as likely as (1 - entered) f(s)
    R(a - s) says, at eight places, with one breakage more before s or none; both the law and the age are summed over.
    """
    tails = np.array([0.5 - level / 2, 0.5 + level / 2])
    log_scale = np.log(nodes.scale)
    chance = np.ones((3, age.size))
    rows = _YoungerLaws(nodes, log_scale, 1 - entered)
    for place, (old, ahead) in enumerate(zip(age.tolist(), usage.tolist(), strict=True)):
        if ahead > 0:
            weight, lasts = rows.laws(old, ahead)
            ends = weighted_quantiles(lasts, weight, tails) if intervals else np.full(tails.size, np.nan)
            chance[:, place] = weight @ lasts, *ends
    return chance, _ages_alike(nodes, log_scale, age, usage, chance[0])


def _ages_alike(
    nodes: Nodes, log_scale: FloatArray, age: FloatArray, usage: FloatArray, chance: FloatArray
) -> FloatArray:
    """Return the ages up to `age` at which parts last the usages with these chances; shapes (n,)."""
    alike = np.empty(age.size)
    for begin in range(0, age.size, _BLOCK):
        # a few at a time: of all laws and all parts at once the sums would wait for memory
        few = slice(begin, begin + _BLOCK)

        def over(middle: FloatArray, few: slice = few) -> FloatArray:
            begun, ended = _ran(middle, nodes.shape, log_scale), _ran(middle + usage[few], nodes.shape, log_scale)
            return np.asarray(np.exp(np.subtract(begun, ended, out=ended), out=ended) @ nodes.weight - chance[few])

        alike[few] = _last_above(over, age[few].astype(float))
    return alike


def _last_above(over: Callable[[FloatArray], FloatArray], most: FloatArray) -> FloatArray:
    """Return where functions that fall pass below zero between 0 and `most`, (n,); `most` where they stay above it.

    A few halvings, then each line through the ends of what is left, whose end that stays behind counts half (the Illinois way:
    Dowell and Jarratt, BIT 11 (1971) 168, from memory).
    """
    low, high = np.zeros(most.size), most.copy()
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        above = over(middle) > 0
        low, high = np.where(above, middle, low), np.where(above, high, middle)
    at_low, at_high = over(low), over(high)
    stayed = np.zeros(most.size)
    for _ in range(_ROUNDS_ALIKE):
        # without a change of sign what is sought lies at the upper end
        inside = (at_low > 0) & (at_high < 0) & (high - low > _NEAR * most)
        if not inside.any():
            break
        with np.errstate(divide="ignore", invalid="ignore"):
            middle = np.where(inside, (low * at_high - high * at_low) / (at_high - at_low), high)
        at = over(middle)
        above = inside & (at > 0)
        below = inside & ~above
        at_low = np.where(below & (stayed < 0), at_low / 2, at_low)
        at_high = np.where(above & (stayed > 0), at_high / 2, at_high)
        low, at_low = np.where(above, middle, low), np.where(above, at, at_low)
        high, at_high = np.where(below, middle, high), np.where(below, at, at_high)
        stayed = np.where(above, 1.0, np.where(below, -1.0, stayed))
    return high


def _ran(age: FloatArray, shape: FloatArray, log_scale: FloatArray) -> FloatArray:
    """Return the cumulative hazard at ages (n,) by law, (n, laws): one logarithm for all laws is cheaper than a power for each."""
    with np.errstate(divide="ignore"):
        ran = np.log(age)[:, None] - log_scale
    ran *= shape
    return np.asarray(np.exp(ran, out=ran))


#: what runs up to the first of two breakages, and from it to the second, as shares of an age: eight places of the second, eight of
#: the first. They lie evenly, so that each share stands for several of them
_AT = (np.arange(_PLACES) + 0.5) / _PLACES
_AGES = np.append(1.0, _AT)
_SHARES, _FIRST_OF = np.unique(np.round(_AT[:, None] * _AT, 12), return_inverse=True)
_FIRST_OF = _FIRST_OF.reshape(_PLACES, _PLACES)


class _YoungerLaws:
    """Where the laws and the ages that a part may have are reckoned, part after part in the same room: new room costs more."""

    def __init__(self, nodes: Nodes, log_scale: FloatArray, gone: float) -> None:
        self._nodes, self._log_scale, self._gone = nodes, log_scale, gone
        # what an age has run of the hazard, a share of it has run that share to the power of the shape: no logarithm is needed
        self._power, self._power_at = (np.exp(nodes.shape * np.log(one)[:, None]) for one in (_SHARES, _AGES))
        self._shares = np.empty((_SHARES.size, len(nodes)))
        self._product = np.empty(len(nodes))

    def laws(self, old: float, ahead: float) -> tuple[FloatArray, FloatArray]:
        """Return the weight of each law at each age that a part of an age by the entries may have, and its chance to last `ahead`.

        The age itself stands first, then what is left of it behind eight places; both (9 x laws,).
        """
        whole = _ran(np.array([old]), self._nodes.shape, self._log_scale)
        begun, ended = whole * self._power_at, _ran(old * _AGES + ahead, self._nodes.shape, self._log_scale)
        likely = np.exp(-begun)
        if old > 0:
            # a part that broke at one place is as old as the place opposite says
            used = old / self._nodes.scale
            steep = self._nodes.shape / used
            renewed = begun[1:] * likely[1:] * steep / _AT[:, None]
            renewed += self._gone * used / _PLACES * _AT[:, None] * self._twice(whole, steep)
            likely[1:] *= self._gone / _PLACES * used * renewed[::-1]
        weight = np.maximum(likely, 1e-300, out=likely)
        weight *= self._nodes.weight / weight.sum(axis=0)
        np.subtract(begun, ended, out=ended)
        return weight.ravel(), np.exp(ended, out=ended).ravel()

    def _twice(self, whole: FloatArray, steep: FloatArray) -> FloatArray:
        """Return the density of two breakages up to each of eight places of an age, over the scale, (8, laws).

        `whole` is what the age has run of the hazard, `steep` the shape over the age.
        """
        ran = np.multiply(whole, self._power)
        density = np.exp(np.negative(ran, out=self._shares), out=self._shares)
        density *= ran
        density *= steep
        density /= _SHARES[:, None]
        found = np.zeros((_PLACES, len(self._nodes)))
        for place, first in zip(found, _FIRST_OF.tolist(), strict=True):
            # the second runs from the first on: as long as the first runs at the place opposite
            for one, other in zip(first[: _PLACES // 2], first[::-1], strict=False):
                place += np.multiply(density[one], density[other], out=self._product)
            place *= 2
        return found
