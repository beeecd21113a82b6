"""Part numbers of a kind that live unlike lives: each has its own, partly pooled with the others."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from wearlog.reckoning.farm.whole_farm import Farm
from wearlog.reckoning.wear.split_rows import LifeRows, split_lives
from wearlog.store.histories import NONE, Floats, Ints
from wearlog.wear.lives import Lives
from wearlog.wear.own_life import OwnLife
from wearlog.wear.posterior import Posterior
from wearlog.wear.prior import Prior
from wearlog.wear.speeds import Speeds, SplitLives, at_pace, fit_speeds

#: ln(life) of one number against another beforehand: its sd (two of tau about 0.3, as where numbers are compared)
_SD = 0.4
#: so many numbers have lives of their own beside the newest; what others ran counts with it
_MOST = 2
_ROUNDS = 50


@dataclass(frozen=True, slots=True, eq=False)
class PartWear:
    """How much faster other part numbers wear than the one that is fitted now.

    Attributes
    ----------
    newest : str
        The number that the life of the kind is of, empty for parts whose number nobody noted.
    others : tuple of str
        Those with a speed of their own, in the order of `speeds`; likewise.
    places : tuple of int
        The same as places in `LogHistories.parts`, NONE for parts whose number nobody noted.
    speeds : Speeds
    split : SplitLives
    numbers : tuple of int
        Places in the histories of the machines of `split`.
    failures : tuple of float
        Of the newest, then of each of the others.
    clock : three arrays of shape (lives,)
        Age of each life at entry, at exit and when last seen whole, as the newest number would have had it.
    """

    newest: str
    others: tuple[str, ...]
    places: tuple[int, ...]
    speeds: Speeds
    split: SplitLives
    numbers: tuple[int, ...]
    failures: tuple[float, ...]
    clock: tuple[Floats, Floats, Floats]

    def lives(self) -> Lives:
        """Return all lives as the newest number would have had them."""
        return self.split.on_clock(self.speeds.mean, as_usual=False)

    def by_machine(self) -> dict[int, Lives]:
        """Return the same by machine, by its place in the histories."""
        lives = self.lives()
        return {one: lives.take(self.split.machine == place) for place, one in enumerate(self.numbers)}

    def doubted(self, law: Posterior | OwnLife) -> OwnLife:
        """Return a life with what is not known of the ratios: the more of its records are of other numbers, the more."""
        return at_pace(law, 1.0, float(self.speeds.doubt(np.zeros(len(self.others)))))

    def paces(self, farm: Farm, rows: Ints) -> Floats:
        """Return how fast fittings wear beside the newest number, (n,)."""
        part, found = farm.histories.fittings.part[rows], np.ones(rows.size)
        for way, other in enumerate(self.places):
            found[part == other] = np.exp(self.speeds.mean[way])
        return found


def age_alike(age: Floats, usage: Floats, pace: Floats, shape: float) -> Floats:
    """Return the ages at which parts that wear at pace 1 would be as likely to last a usage as others at their ages and paces.

    Parameters
    ----------
    age, usage, pace : arrays of shape (n,)
        Ages, usage ahead in the same unit, and how fast each wears.
    shape : float
        Weibull shape. With a hazard that does not rise no age is alike; the age times the pace stands in.
    """
    if shape <= 1.05:
        return np.asarray(age * pace)
    changed = (pace != 1.0) & (usage > 0)
    found = np.where(usage > 0, age, age * pace)
    if changed.any():
        found[changed] = _sought(age[changed], usage[changed], pace[changed], shape)
    return found


def _sought(age: Floats, usage: Floats, pace: Floats, shape: float) -> Floats:
    """Look for the ages by halving; the hazard rises, so there is one."""
    wanted = pace**shape * ((age + usage) ** shape - age**shape)
    low, high = np.zeros_like(age), (age + usage) * np.maximum(pace, 1.0) ** (shape / (shape - 1)) + usage
    for _ in range(_ROUNDS):
        middle = (low + high) / 2
        below = (middle + usage) ** shape - middle**shape < wanted
        low, high = np.where(below, middle, low), np.where(below, high, middle)
    return low


def part_wear(
    farm: Farm,
    rows: LifeRows,
    ages: tuple[Floats, Floats, Floats],
    guess: Prior,
    posterior: Posterior,
) -> PartWear | None:
    """Return how unlike the part numbers of a kind wear; None where less than two are noted.

    Parameters
    ----------
    ages : three arrays of shape (n,)
        Of the lives at entry, at exit and when last seen whole, on the clock that they are reckoned on.
    guess, posterior : Prior, Posterior
        Of the same lives.
    """
    part = rows.part
    found = np.unique(part)
    # a number that nobody noted may be the one that is noted
    if found[found != NONE].size < 2 or posterior.failures < 1:
        return None
    entry, leaving, seen = ages
    ran = {int(one): float((leaving - entry)[part == one].sum()) for one in found}
    # what was fitted last is what is bought now
    last = part[np.argsort(rows.fitted_at, kind="stable")][-max(part.size // 4, 1) :]
    newest = int(max(found, key=lambda one: (int((last == one).sum()), one != NONE)))
    others = sorted((one for one in ran if one != newest), key=lambda one: -ran[one])[:_MOST]
    of = np.stack([part == one for one in others], axis=1)
    parts = tuple(of * age[:, None] for age in (entry, leaving, seen))
    way = np.where(of.any(axis=1), of.argmax(axis=1), NONE)
    split, numbers = split_lives(rows, ages, (parts[0], parts[1], parts[2]), way)
    speeds = fit_speeds(split, guess, posterior, beforehand=(0.0, _SD))
    failed = tuple(float((rows.failed & (part == one)).sum()) for one in (newest, *others))
    pace = np.ones(part.size)
    for place, other in enumerate(others):
        pace[part == other] = np.exp(speeds.mean[place])
    clock = entry * pace, leaving * pace, seen * pace
    first, *rest = ("" if one == NONE else farm.histories.parts[one] for one in (newest, *others))
    return PartWear(first, tuple(rest), tuple(others), speeds, split, numbers, failed, clock)
