"""Lives split by ways of use that may wear at speeds of their own: their clock, and how likely speeds are by them."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike
from scipy.special import gammaln

from wearlog.wear.arrays import FloatArray, IntArray
from wearlog.wear.lives import Lives
from wearlog.wear.prior import Prior

#: sd of machines' ln(life) that speeds are weighed under, and how likely each is beforehand
_SPREADS = ((0.0, 0.5), (0.2, 0.3), (0.5, 0.2))
_SHAPES, _RATES = 6, 21
#: from so many failures on rates are looked at about the middle first, so many to each side, then by so many more; e to the minus
#: so much is nothing
_MANY, _MIDDLE, _FURTHER, _NOTHING = 40.0, 3, 2, 40.0
#: so many numbers at once stay in the cache
_AT_ONCE = 1 << 15
#: of an age less is rounding
_ROUNDING = 1e-12


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
    one_each = np.arange(split.ways) + 1
    group = _whole_in(split, one_each)
    if group is not None and len(log_speed) > 1:
        start = np.zeros((1, split.ways))
        return _evidence(split, start, log_speed, group, one_each, prior, between)[:, 0]
    return np.asarray(_evidence(split, log_speed, np.zeros((1, 0)), None, np.zeros(split.ways, int), prior, between)[0])


def stepped_evidence(
    split: SplitLives,
    log_speed: FloatArray,
    steps: FloatArray,
    other: FloatArray,
    prior: Prior,
    between: tuple[float, float],
) -> FloatArray:
    """Return the same for speeds with each of several steps on top in some of the ways, (j, k).

    Parameters
    ----------
    split : SplitLives
    log_speed : array of shape (k, c)
        ln of the speeds of the ways without a step.
    steps : array of shape (j,)
        ln of how many times as fast the others wear.
    other : array of shape (c,)
        1 for ways that a step lies on, else 0.
    prior : Prior
        Its shape speaks.
    between : tuple of float
        Smallest and largest shape.

    Notes
    -----
    A life that ran in such ways only has its power sum at a step from that without one, so that the lives are gone through once
    for each of `log_speed`.
    """
    of_way = (other > 0).astype(int)
    group = _whole_in(split, of_way)
    if group is not None:
        return _evidence(split, log_speed, steps[:, None], group, of_way, prior, between)
    rows = np.tile(log_speed, (len(steps), 1)) + np.repeat(steps, len(log_speed))[:, None] * other
    return log_evidence(split, rows, prior, between).reshape(len(steps), len(log_speed))


def _whole_in(split: SplitLives, of_way: IntArray) -> IntArray | None:
    """Return in which group of ways each life ran, (n,): 0 that of no group; None where any ran in ways of several.

    `of_way` (c,) has the group of each way. What a life ran in no way at all is of group 0 too.
    """
    lives, groups = split.lives, int(of_way.max(initial=0)) + 1
    ran = np.stack([(split.exit + split.entry)[:, of_way == one].sum(axis=1) for one in range(groups)], axis=1)
    ran[:, 0] = np.maximum(lives.exit + lives.entry - ran[:, 1:].sum(axis=1), 0.0)
    ran[:, 0] = np.where(ran[:, 0] > _ROUNDING * (lives.exit + lives.entry), ran[:, 0], 0.0)
    return None if ((ran > 0).sum(axis=1) > 1).any() else np.asarray(ran.argmax(axis=1))


def _evidence(
    split: SplitLives,
    start: FloatArray,
    shift: FloatArray,
    group: IntArray | None,
    of_way: IntArray,
    prior: Prior,
    between: tuple[float, float],
) -> FloatArray:
    """Return the log-likelihood of speeds `start` (k, c) with shifts (j, g - 1) of the groups of ways but the first on top, (j, k).

    `group` (n,) has the group in which each life ran, None: all the first; `of_way` (c,) that of each way.
    """
    lives, machines = split.lives, int(split.machine.max()) + 1
    groups = shift.shape[1] + 1
    place = split.machine if group is None else group * machines + split.machine
    shapes = np.exp(np.linspace(math.log(between[0]), math.log(between[1]), _SHAPES))
    shape_law = np.zeros(_SHAPES)
    if prior.log_shape_sd == 0:
        shapes, shape_law = np.exp(np.array([prior.log_shape_mean])), np.zeros(1)
    elif prior.log_shape_sd < math.inf:
        shape_law = -0.5 * ((np.log(shapes) - prior.log_shape_mean) / prior.log_shape_sd) ** 2
    failed = lives.weight * lives.event
    by_machine = np.asarray(np.bincount(split.machine, failed, machines), dtype=float)
    by_group = np.array([lives.failures]) if group is None else np.bincount(group, failed, groups)
    unit = float(lives.exit.max())
    late = np.flatnonzero(lives.entry > 0)
    event = np.flatnonzero(lives.event)
    ended_in = failed @ split.ended
    moved = np.hstack([np.zeros((len(shift), 1)), shift])
    stretch = np.exp(shapes[:, None] * moved[:, None, :])
    out = np.empty((len(shift), len(start), len(shapes)))
    ran = np.empty((len(start), len(shapes), groups, machines))
    own = np.empty((len(start), len(shapes)))
    some = max(_AT_ONCE // (len(shapes) * len(lives)), 1)
    cells = np.arange(min(some, len(start)) * len(shapes))[:, None] * (groups * machines) + place
    for begin in range(0, len(start), some):
        asked_now = start[begin : begin + some]
        end, begun = np.empty((len(asked_now), len(lives))), np.empty((len(asked_now), late.size))
        for row, speeds in enumerate(asked_now):
            more = np.expm1(speeds)
            end[row] = lives.exit + split.exit @ more
            begun[row] = lives.entry[late] + split.entry[late] @ more
        with np.errstate(divide="ignore"):
            end, begun = np.log(np.maximum(end, 0.0) / unit), np.log(np.maximum(begun, 0.0) / unit)
        for row, speeds in enumerate(asked_now):
            log_age = float(failed[event] @ end[row, event])
            ended = float(ended_in @ speeds)
            own[begin + row] = lives.failures * np.log(shapes) + (shapes - 1) * log_age + ended + shape_law
        powers = np.exp(shapes[:, None] * end[:, None]) * lives.weight
        powers[..., late] -= np.exp(shapes[:, None] * begun[:, None]) * lives.weight[late]
        here = np.bincount(cells[: len(asked_now) * len(shapes)].ravel(), powers.ravel(), len(asked_now) * ran[0].size)
        ran[begin : begin + some] = here.reshape(-1, *ran.shape[1:])
    for asked in range(len(shift)):
        # a life all of whose usage counts e^x times itself: its power e^(shape x) times, its ln(age) at the end x more
        later = float(ended_in @ moved[asked, of_way]) + (shapes - 1) * float(by_group @ moved[asked])
        each = np.einsum("ksgm,sg->ksm", ran, stretch[asked]) if groups > 1 else ran[:, :, 0]
        out[asked] = own + later + _over_rates(by_machine, np.maximum(each, 1e-300), shapes)
    top = out.max(axis=2, keepdims=True)
    return np.asarray(top[..., 0] + np.log(np.exp(out - top).sum(axis=2)))


def _over_rates(failed: FloatArray, ran: FloatArray, shapes: FloatArray) -> FloatArray:
    """Return ln of the likelihood of counts given what each machine ran (k, s, m), rates and machines summed over, (k, s)."""
    count = float(failed.sum())
    total = ran.sum(axis=2)
    alike = gammaln(count) - count * np.log(total)
    terms = [alike + math.log(_SPREADS[0][1])]
    if len(failed) > 1:
        steps = np.linspace(-1, 1, _RATES) * (1.6 + 3 / math.sqrt(count))
        for spread, chance in _SPREADS[1:]:
            tight = 1 / (shapes * spread) ** 2
            log_rate = math.log(count) - np.log(total)[..., None] + shapes[:, None] * steps
            powers = tight[:, None] + failed
            some = max(_AT_ONCE // (len(shapes) * (2 * _MIDDLE + 1) * len(failed)), 1)
            joint = np.concatenate(
                [
                    _joint(count, powers, tight, log_rate[begin : begin + some], ran[begin : begin + some])
                    for begin in range(0, len(ran), some)
                ]
            )
            top = joint.max(axis=2)
            apart = (gammaln(powers) - gammaln(tight)[:, None]).sum(axis=1)
            apart = apart + len(failed) * tight * np.log(tight)
            width = shapes * (steps[1] - steps[0])
            terms.append(top + np.log(np.exp(joint - top[..., None]).sum(axis=2) * width) + apart + math.log(chance))
    top = np.max(terms, axis=0)
    return np.asarray(top + np.log(np.exp(np.array(terms) - top).sum(axis=0)))


def _joint(count: float, powers: FloatArray, tight: FloatArray, log_rate: FloatArray, ran: FloatArray) -> FloatArray:
    """Return ln of the likelihood at rates (k, s, r) of machines with gamma frailties, `powers` (s, m); -inf where it is nothing.

    It is concave in ln(rate): where many failed it is looked at in the middle first, and further out only on a side whose end is
    not yet nothing beside the top.
    """
    found = np.full(log_rate.shape, -np.inf)

    def look(rates: slice) -> None:
        each = np.exp(log_rate[..., rates])[..., None] * ran[:, :, None, :]
        each += tight[:, None, None]
        np.log(each, out=each)
        each *= powers[:, None, :]
        found[..., rates] = count * log_rate[..., rates] - each.sum(axis=3)

    first, last = (0, _RATES) if count < _MANY else (_RATES // 2 - _MIDDLE, _RATES // 2 + _MIDDLE + 1)
    look(slice(first, last))
    least = found[..., first:last].max(axis=2) - _NOTHING
    while first > 0 and (found[..., first] > least).any():
        first, before = max(first - _FURTHER, 0), first
        look(slice(first, before))
    while last < _RATES and (found[..., last - 1] > least).any():
        last, before = min(last + _FURTHER, _RATES), last
        look(slice(before, last))
    return found
