"""What this farm's lives tell its neighbours, and what theirs tell it: lives by kind and ground, laws learned from sums."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from wearlog.facts.bookkeeping import Setting
from wearlog.facts.closed_lists import Evidence, Ground, MeterKind
from wearlog.facts.neighbours import GROUNDS, MIXED, FarmSums, NeighbourLife, every_sums, learned_key
from wearlog.facts.parts import PartKind
from wearlog.reckoning.farm import Farm, is_library_guess, library_name
from wearlog.reckoning.wear.kind_life import fleet_lives
from wearlog.reckoning.work.ground import area_since
from wearlog.store.connection import Connection
from wearlog.store.finding import find_all
from wearlog.store.histories import Bools, Floats, Ints
from wearlog.wear.lives import Lives
from wearlog.wear.neighbours import FarmsLaw, farms_law, grouped_sums
from wearlog.wear.part_lives import GROUND_SPREAD
from wearlog.wear.prior import SHAPE_LIMITS, TENTH

#: fewer lives of a kind stay at home
FEWEST_LIVES: Final = 5
#: so many farms must have seen a ground before it speaks for itself
FARMS_FOR_GROUND: Final = 5
_ONE_GROUND: Final = 0.6
#: ages in a file: hectares, hours, days; in stored units
AGE_UNITS: Final[Mapping[MeterKind, float]] = {
    MeterKind.AREA: 1e4,
    MeterKind.SEPARATOR_HOURS: 3600.0,
    MeterKind.ENGINE_HOURS: 3600.0,
    MeterKind.CALENDAR: 86_400.0,
}
#: sums are taken over so many of these
THOUSAND: Final = 1000.0
_DIGITS: Final = 2
_CLOSE: Final = 1e-3


@dataclass(frozen=True, slots=True, eq=False)
class SharedLives:
    """Lives of one kind on one ground, as they may leave the farm: equal ones joined, ages rounded to two digits.

    Attributes
    ----------
    entry, leaving : (n,) float64
        In hectares, hours or days.
    failed : (n,) float64
        1 or 0.
    count : (n,) float64
    """

    kind: str
    ground: str
    meter: MeterKind
    entry: Floats
    leaving: Floats
    failed: Floats
    count: Floats

    @property
    def lives(self) -> int:
        return int(self.count.sum())

    @property
    def failures(self) -> int:
        return int(self.count @ self.failed)

    @property
    def sums(self) -> tuple[float, ...]:
        """The eighteen numbers over 1,000 units."""
        group = np.zeros(self.entry.size, dtype=np.int64)
        found = grouped_sums(group, 1, self.entry / THOUSAND, self.leaving / THOUSAND, self.failed, self.count)
        return tuple(found[0].tolist())


@dataclass(frozen=True, slots=True, eq=False)
class ToShare:
    """What this farm would write, and which kinds stay at home: too few lives, or a kind of the farm's own naming."""

    shared: tuple[SharedLives, ...]
    few: tuple[str, ...]
    own_names: tuple[str, ...]


def lives_to_share(farm: Farm) -> ToShare:
    """Return the lives that may leave the farm: kinds of the library with five lives of known age or more."""
    records = fleet_lives(farm).records
    ground = _ground_of(farm, records.fitting)
    shared, few, own = [], [], []
    for number, kind in enumerate(farm.part_kinds):
        mine = records.part_kind == number
        lives = records.of_wear(mine)
        if not len(lives):
            continue
        name = library_name(kind)
        if name is None:
            own.append(kind.name)
        elif lives.count < FEWEST_LIVES:
            few.append(kind.name)
        else:
            where = _many_on(ground, mine & ~np.isnan(records.exit) & (records.exit > records.entry))
            shared += [
                _rounded(name, on, kind.meter_kind, here)
                for place, on in enumerate(GROUNDS)
                if len(here := records.of_wear(mine & (where == place)))
            ]
    return ToShare(tuple(shared), tuple(few), tuple(own))


def _many_on(ground: Ints, mine: Bools) -> Ints:
    """Return the ground of each life; where fewer than five lay on one they count as mixed, so that no sum is of one life."""
    mixed = GROUNDS.index(MIXED)
    lives = np.bincount(ground[mine], minlength=len(GROUNDS))
    where = np.where(lives[ground] < FEWEST_LIVES, mixed, ground)
    left = int((where[mine] == mixed).sum())
    return np.full_like(where, mixed) if 0 < left < FEWEST_LIVES else where


def _rounded(kind: str, ground: str, meter: MeterKind, lives: Lives) -> SharedLives:
    leaving = lives.exit
    if lives.last_seen is not None:
        leaving = np.where(lives.between_inspections, 0.5 * (lives.last_seen + lives.exit), lives.exit)
    unit = AGE_UNITS[meter]
    entry, leaving = two_digits(lives.entry / unit), two_digits(leaving / unit)
    # what was watched for less than the second digit shows was watched for one step of it
    leaving = np.where(leaving > entry, leaving, entry + 10.0 ** (np.floor(np.log10(np.maximum(entry, 1e-9))) - 1))
    rows, place = np.unique(np.stack([entry, leaving, lives.event * 1.0]), axis=1, return_inverse=True)
    count = np.bincount(place.ravel(), lives.weight).astype(np.float64)
    return SharedLives(kind, ground, meter, rows[0], rows[1], rows[2], count)


def two_digits(ages: Floats) -> Floats:
    """Return ages rounded to two significant digits, so that none of them tells one machine from another.

    Parameters
    ----------
    ages : (n,) float64
        Above 0 or 0.
    """
    with np.errstate(divide="ignore"):
        step = 10.0 ** (np.floor(np.log10(np.where(ages > 0, ages, 1.0))) - (_DIGITS - 1))
    return np.asarray(np.where(ages > 0, np.round(ages / step) * step, 0.0))


def _ground_of(farm: Farm, fitting: Ints) -> Ints:
    """Return the ground on which six tenths of a life's area lay, by its place in `GROUNDS`."""
    fittings, now = farm.histories.fittings, farm.now_microseconds
    machine = farm.histories.components.machine[fittings.component[fitting]]
    until = np.minimum(fittings.removed_at[fitting], now)
    area = area_since(farm, machine, fittings.fitted_at[fitting], now) - area_since(farm, machine, until, now)
    known = area[:, : len(Ground)]
    share = known.max(axis=1, initial=0.0) / np.maximum(area.sum(axis=1), 1e-9)
    return np.where(share >= _ONE_GROUND, known.argmax(axis=1), GROUNDS.index(MIXED))


def usual_ground(farm: Farm) -> str:
    """Return the ground on which most of the farm's own area lies; mixed where none has six tenths of it."""
    runs = farm.histories.runs
    if not runs.start.size:
        return MIXED
    known = runs.ground >= 0
    area = np.bincount(runs.ground[known], runs.area[known], len(Ground))
    most = int(area.argmax())
    return GROUNDS[most] if area[most] >= _ONE_GROUND * max(float(runs.area.sum()), 1.0) else MIXED


@dataclass(frozen=True, slots=True)
class KindPool:
    """What other farms say of one kind (on one ground, or on all); `law` is None where fewer than three of them saw a failure.

    Attributes
    ----------
    here : PartKind or None
        The kind in this log, None where it has none of that name and meter.
    life : NeighbourLife or None
        The guess that comes of it.
    speaks : bool
        It stands in place of the library's guess; it does not where the farm typed its own.
    """

    kind: str
    meter: MeterKind
    ground: str | None
    farms: int
    lives: int
    failures: int
    law: FarmsLaw | None
    here: PartKind | None
    life: NeighbourLife | None
    speaks: bool


@dataclass(frozen=True, slots=True)
class Pools:
    """All that was read of other farms; `is_new`: it was merged or read since the guesses in use were learned."""

    pools: tuple[KindPool, ...]
    farms: int
    is_new: bool


def pools_of(connection: Connection, farm: Farm) -> Pools:
    """Reckon what other farms' sums say of each kind, those in use here first."""
    rows = find_all(connection, Setting)
    sums = every_sums(rows)
    pools = learned_from(sums, farm)
    learned = {one.life.key: one.life for one in pools if one.life is not None}
    kept = {one.key: one for one in farm.settings.neighbours}
    return Pools(pools, len({one.farm for one in sums}), not _same(kept, learned))


def _same(kept: Mapping[str, NeighbourLife], learned: Mapping[str, NeighbourLife]) -> bool:
    """Whether guesses are the same but for the last digits, which another machine may round otherwise."""
    return kept.keys() == learned.keys() and all(
        kept[key].farms == one.farms
        and kept[key].ground == one.ground
        and math.isclose(kept[key].life_low_usage, one.life_low_usage, rel_tol=_CLOSE)
        and math.isclose(kept[key].life_high_usage, one.life_high_usage, rel_tol=_CLOSE)
        for key, one in learned.items()
    )


def learned_from(sums: Iterable[FarmSums], farm: Farm) -> tuple[KindPool, ...]:
    """Return what farms' sums say of each kind, on the ground of this farm where five farms have seen it."""
    kinds: dict[tuple[str, MeterKind], list[FarmSums]] = defaultdict(list)
    for one in sums:
        kinds[one.kind, one.meter].append(one)
    own_ground = usual_ground(farm)
    found = [_pool(kind, meter, told, farm, own_ground) for (kind, meter), told in kinds.items()]
    return tuple(sorted(found, key=lambda one: (not one.speaks, one.here is None, one.kind, one.meter)))


def _pool(kind: str, meter: MeterKind, told: Sequence[FarmSums], farm: Farm, own_ground: str) -> KindPool:
    on_it = [one for one in told if own_ground in one.by_ground]
    alone = own_ground != MIXED and len(on_it) >= FARMS_FOR_GROUND
    grounds = (own_ground,) if alone else GROUNDS
    farms = [
        [one.by_ground[ground] for ground in grounds if ground in one.by_ground] for one in (on_it if alone else told)
    ]
    rows = np.array([np.sum([sums for _, sums in one], axis=0) for one in farms])
    law = farms_law(rows, THOUSAND * AGE_UNITS[meter])
    if law is None and alone:
        return _pool(kind, meter, told, farm, MIXED)
    if law is not None and not alone and own_ground != _most_seen(told):
        # their lives lay on another ground: as much as that may change a life (common practice, no source)
        law = replace(law, log_life_sd=math.hypot(law.log_life_sd, GROUND_SPREAD))
    here = next((one for one in farm.part_kinds if library_name(one) == kind and one.meter_kind is meter), None)
    lives, failures = sum(count for one in farms for count, _ in one), round(float(rows[:, 0].sum()))
    ground = own_ground if alone else None
    life = None if law is None else _guess(kind, meter, ground, law, lives, failures)
    speaks = life is not None and here is not None and _gives_way(here, farm)
    return KindPool(kind, meter, ground, len(farms), lives, failures, law, here, life, speaks)


def _gives_way(kind: PartKind, farm: Farm) -> bool:
    """Whether the guess of a kind is the library's, or neighbours' that stand for it already."""
    learned = kind.guess_evidence is Evidence.NEIGHBOURS and any(
        one.key == learned_key(kind.name) for one in farm.settings.neighbours
    )
    return learned or is_library_guess(kind)


def _most_seen(told: Sequence[FarmSums]) -> str:
    seen = {ground: sum(one.by_ground[ground][0] for one in told if ground in one.by_ground) for ground in GROUNDS}
    return max(GROUNDS, key=lambda ground: seen[ground])


def _guess(kind: str, meter: MeterKind, ground: str | None, law: FarmsLaw, lives: int, failures: int) -> NeighbourLife:
    guess = law.prior
    life = [round(math.exp(guess.log_life_mean + side * TENTH * guess.log_life_sd)) for side in (-1, 1)]
    flattest, steepest = SHAPE_LIMITS
    shape = [
        round(1000 * min(max(math.exp(guess.log_shape_mean + side * TENTH * guess.log_shape_sd), flattest), steepest))
        for side in (-1, 1)
    ]
    return NeighbourLife(kind, meter, ground, law.farms, lives, failures, life[0], life[1], shape[0], shape[1])
