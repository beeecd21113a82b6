"""The life of a kind where it is not one for all: on machines that differ, on ground with a speed of its own, by part number."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from wearlog.errors import DataError
from wearlog.facts.closed_lists import Ground, MeterKind
from wearlog.facts.parts import PartKind
from wearlog.reckoning.farm import Farm
from wearlog.reckoning.parts.fitted_now import FittingAges
from wearlog.reckoning.wear.farm_trends import StepBefore
from wearlog.reckoning.wear.farm_years import Ages, LifeRows, YearWear, split_lives
from wearlog.reckoning.work.ground import ROUGH, GroundLines
from wearlog.store.histories import NONE, Floats, Ints, code_of
from wearlog.wear.lives import Lives
from wearlog.wear.machines import MachineLives, fit_machines, machines_alike
from wearlog.wear.own_life import OwnLife
from wearlog.wear.posterior import Posterior
from wearlog.wear.prior import Prior
from wearlog.wear.speed_evidence import SplitLives
from wearlog.wear.speeds import Speeds, at_pace, fit_speeds, ways_alike

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
    before : StepBefore
        What the other kinds of the farm foretell of it.
    doubt : float
        What is not known of the ratios: sd of ln(pace) of the newest number.
    """

    newest: str
    others: tuple[str, ...]
    places: tuple[int, ...]
    speeds: Speeds
    split: SplitLives
    numbers: tuple[int, ...]
    failures: tuple[float, ...]
    before: StepBefore
    doubt: float

    def lives(self) -> Lives:
        """Return all lives as the newest number would have had them."""
        return self.split.on_clock(self.speeds.mean, as_usual=False)

    def by_machine(self) -> dict[int, Lives]:
        """Return the same by machine, by its place in the histories."""
        each = self.lives().by_group(self.split.machine)
        return {one: each[place] for place, one in enumerate(self.numbers)}

    def doubted(self, law: Posterior | OwnLife) -> OwnLife:
        """Return a life with what is not known of the ratios: the more of its records are of other numbers, the more."""
        return at_pace(law, 1.0, self.doubt)

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
    rows: LifeRows, ages: Ages | None, names: Sequence[str], guess: Prior, posterior: Posterior, before: StepBefore
) -> PartWear | None:
    """Return how unlike the part numbers of a kind wear; None where less than two are noted.

    Parameters
    ----------
    ages : three arrays of shape (n,) or None
        Of the lives at entry, at exit and when last seen whole, on the clock that they are reckoned on; None: on the meter.
    names : sequence of str
        The part numbers of the histories.
    guess, posterior : Prior, Posterior
        Of the same lives.
    before : StepBefore
        What is believed of the step beforehand.
    """
    part, newest = rows.part, rows.newest
    if newest is None or posterior.failures < 1:
        return None
    entry, leaving, seen = plain = ages or (rows.entry, rows.exit, rows.seen)
    ran = {int(one): float(((leaving - entry) * rows.weight)[part == one].sum()) for one in np.unique(part)}
    others = sorted((one for one in ran if one != newest), key=lambda one: -ran[one])[:_MOST]
    of = np.stack([part == one for one in others], axis=1)
    parts = tuple(of * age[:, None] for age in (entry, leaving, seen))
    way = np.where(of.any(axis=1), of.argmax(axis=1), NONE)
    split, numbers = split_lives(rows, plain, (parts[0], parts[1], parts[2]), way)
    speeds = fit_speeds(split, guess, posterior, beforehand=(before.mean, before.sd))
    failed = tuple(float(rows.weight[rows.failed & (part == one)].sum()) for one in (newest, *others))
    first, *rest = ("" if one == NONE else names[one] for one in (newest, *others))
    doubt = float(speeds.doubt(np.zeros(len(others))))
    return PartWear(first, tuple(rest), tuple(others), speeds, split, numbers, failed, before, doubt)


#: machines that lie apart so by chance at most this often are looked at one by one; with less, a spread of a third is missed
UNLIKE_MACHINES = 0.35
#: with fewer failures than these the test sees little, and machines are looked at sooner
FEW_FAILURES, UNLIKE_WITH_FEW = 10, 0.6
#: grounds are weighed one by one below the first, and go by their own speeds below the second, which sees what the first cannot:
#: that machines differ on them
ASKED_GROUND, UNLIKE_GROUND = 0.35, 0.15
#: ground on which less of the usage was run says nothing, nor does what is left beside ground with nearly all
_LEAST_SHARE = 0.02


@dataclass(frozen=True, slots=True, eq=False)
class OwnMachines:
    """The life of a kind on each machine of a fleet whose machines differ; `numbers` are their places in the histories."""

    numbers: tuple[int, ...]
    names: tuple[str, ...]
    fitted: MachineLives

    def on(self, machine: int) -> OwnLife:
        """Return the life on one machine; of one without records that of a machine nobody has watched."""
        if machine not in self.numbers:
            return self.fitted.unseen
        return self.fitted.laws[self.numbers.index(machine)]


def looks_unlike(machines: Sequence[Lives], posterior: Posterior) -> bool:
    """Return whether the cheap test asks for a look at each machine; `posterior` is of all of them together."""
    most = UNLIKE_MACHINES if posterior.failures >= FEW_FAILURES else UNLIKE_WITH_FEW
    return machines_alike(machines, posterior) <= most


def own_machines(farm: Farm, each: dict[int, Lives], guess: Prior, posterior: Posterior) -> OwnMachines | None:
    """Return the life on each machine (by its place); None where there is one only, or a cheap test sees no difference."""
    numbers = tuple(each)
    if len(numbers) < 2 or posterior.failures < 2:
        return None
    if not looks_unlike(list(each.values()), posterior):
        return None
    try:
        names = tuple(farm.machines[one].name for one in numbers)
        return OwnMachines(numbers, names, fit_machines(list(each.values()), guess, posterior))
    except DataError:
        return None


@dataclass(frozen=True, slots=True, eq=False)
class GroundWear:
    """How fast a kind wears on rough ground.

    Attributes
    ----------
    grounds : tuple of Ground
        Those with a speed of their own, in the order of `speeds`.
    speeds : Speeds
    split : SplitLives
        The lives that say so, machine by machine.
    numbers : tuple of int
        Places in the histories of the machines of `split`.
    mixes : (machines, c) float64
        What of its acres each machine of the farm has cut on them.
    lines : GroundLines
    clock : three arrays of shape (lives,)
        Age of each life of `life_rows` at entry, at exit and when last seen whole, in acres of the usual mix.
    """

    grounds: tuple[Ground, ...]
    speeds: Speeds
    split: SplitLives
    numbers: tuple[int, ...]
    mixes: Floats
    lines: GroundLines
    clock: tuple[Floats, Floats, Floats]

    @property
    def _columns(self) -> list[int]:
        return [ROUGH.index(one) for one in self.grounds]

    def lives(self) -> Lives:
        """Return all lives on the clock of wear: their ages in acres of the usual mix."""
        return self.split.on_clock(self.speeds.mean)

    def by_machine(self) -> dict[int, Lives]:
        """Return the same by machine, by its place in the histories."""
        each = self.lives().by_group(self.split.machine)
        return {one: each[place] for place, one in enumerate(self.numbers)}

    def mix_of(self, area_by_ground: Floats) -> Floats:
        """Return which share of an area (..., 4, by Ground) lies on each of the grounds."""
        whole = area_by_ground.sum(axis=-1, keepdims=True)
        rough = area_by_ground[..., [code_of(one) for one in self.grounds]]
        return np.where(whole > 0, rough / np.where(whole > 0, whole, 1.0), self.speeds.shares)

    def law_at(self, law: Posterior | OwnLife, mix: Floats) -> OwnLife:
        """Return a life in acres of a mix, shape (c,)."""
        return at_pace(law, float(self.speeds.pace(mix)), float(self.speeds.doubt(mix)))

    def ages(self, ages: FittingAges, fitted_at: Ints, rows: Ints, now: int, mixes: Floats) -> Floats:
        """Return the ages that fittings have now, in acres of the mix to come, (n, c), for each.

        Parameters
        ----------
        fitted_at : (fittings,) int64
        rows : (n,) int64
            Which fittings.
        """
        machine = ages.machine[rows]
        begun, _ = self.lines.cut(machine, fitted_at[rows])
        ended, _ = self.lines.cut(machine, np.full(rows.size, now))
        rough = _rough(ages.used[rows], ended - begun)[:, self._columns]
        rough += ages.entry[rows][:, None] * self.speeds.shares
        return np.asarray(self.speeds.age(ages.exit[rows], rough) / self.speeds.pace(mixes))


@dataclass(frozen=True, slots=True, eq=False)
class WearClock:
    """What ages count where an acre is not an acre on every ground, in every year and for every part number."""

    ground: GroundWear | None
    years: YearWear | None
    parts: PartWear | None

    def ages(self, farm: Farm, ages: FittingAges, meter: MeterKind, rows: Ints, area_by_ground: Floats) -> Floats:
        """Return the ages that fittings have now as the law of their place takes them, but for the pace of their part number.

        Parameters
        ----------
        rows : (n,) int64
            Which fittings.
        area_by_ground : (machines, 4) float64
            What each machine has ahead.
        """
        found = ages.exit[rows]
        if self.ground is not None:
            mixes = self.ground.mix_of(area_by_ground[ages.machine[rows]])
            fitted_at = farm.histories.fittings.fitted_at
            found = self.ground.ages(ages, fitted_at, rows, farm.now_microseconds, mixes)
        if self.years is not None:
            found = found * self.years.factor(farm, meter, ages, rows)
        return np.asarray(np.maximum(np.round(found), 0.0))

    def paces(self, farm: Farm, rows: Ints) -> Floats:
        """Return how fast fittings wear beside the newest part number, (n,)."""
        return np.ones(rows.size) if self.parts is None else self.parts.paces(farm, rows)


def _rough(usage: Floats, cut: Floats) -> Floats:
    """Return how much of usages (n,) was run on each rough ground, by what was cut meanwhile, (n, 3)."""
    share = cut[:, 1:] / np.where(cut[:, :1] > 0, cut[:, :1], 1.0)
    return np.asarray(usage[:, None] * np.clip(share, 0.0, 1.0))


def ground_wear(
    farm: Farm,
    lines: GroundLines | None,
    kind: PartKind,
    mine: LifeRows,
    guess: Prior,
    posterior: Posterior,
) -> GroundWear | None:
    """Return how fast a kind wears on rough ground; None where its meter counts no acres or the records do not ask for it.

    Parameters
    ----------
    mine : LifeRows
        Of the kind.
    guess, posterior : Prior, Posterior
        Of the same lives on the plain meter.
    """
    if lines is None or kind.meter_kind is not MeterKind.AREA or posterior.failures < 3:
        return None
    (entry, leaving, seen), way = _rough_parts(lines, mine)
    run = float(mine.weight @ (mine.exit - mine.entry))
    share = mine.weight @ (leaving - entry) / run if run > 0 else np.zeros(len(ROUGH))
    columns = [one for one in range(len(ROUGH)) if _LEAST_SHARE < share[one] < 1 - _LEAST_SHARE]
    if not columns:
        return None
    # on which ground a used part ran before nobody knows: on the usual mix
    before = mine.used[:, None] * share
    parts = ((entry + before)[:, columns], (leaving + before)[:, columns], (seen + before)[:, columns])
    place = np.full(len(ROUGH) + 1, NONE, dtype=np.int64)
    place[columns] = np.arange(len(columns))
    split, numbers = split_lives(mine, (mine.entry, mine.exit, mine.seen), parts, place[way])
    if ways_alike(split, posterior) > ASKED_GROUND:
        return None
    speeds = fit_speeds(split, guess, posterior)
    if speeds.unlike > UNLIKE_GROUND:
        return None
    machines = np.arange(len(farm.machines))
    cut, _ = lines.cut(machines, np.full(machines.size, farm.now_microseconds))
    mixes = np.where(cut[:, :1] > 0, _rough(np.ones(machines.size), cut)[:, columns], speeds.shares)
    on_clock = tuple(speeds.age(age, part) for age, part in zip((mine.entry, mine.exit, mine.seen), parts, strict=True))
    clock = on_clock[0], on_clock[1], on_clock[2]
    return GroundWear(tuple(ROUGH[one] for one in columns), speeds, split, numbers, mixes, lines, clock)


def _rough_parts(lines: GroundLines, rows: LifeRows) -> tuple[tuple[Floats, Floats, Floats], Ints]:
    """Return what of the ages at entry, at exit and when last seen whole was run on each of `ROUGH`, and where each life ended."""
    begun, _ = lines.cut(rows.machine, rows.fitted_at)
    ended, way = lines.cut(rows.machine, rows.exit_at)
    leaving = _rough(rows.exit - rows.used, ended - begun)
    entry, seen = np.zeros_like(leaving), leaving.copy()
    late, between = rows.late, rows.between
    at, _ = lines.cut(rows.machine[late], rows.entry_at[late])
    entry[late] = _rough(rows.entry[late] - rows.used[late], at - begun[late])
    at, _ = lines.cut(rows.machine[between], rows.seen_at[between])
    seen[between] = _rough(np.maximum(rows.seen[between] - rows.used[between], 0.0), at - begun[between])
    return (entry, leaving, seen), way
