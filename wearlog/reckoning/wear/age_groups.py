"""Parts now on each component by age and state, their chance to last a stretch of usage, what a season asks of its places."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from weakref import WeakKeyDictionary

import numpy as np

from wearlog.plan.life_nodes import LifeNodes, condense
from wearlog.plan.season_kernel import Successors, successors
from wearlog.reckoning.farm import Farm
from wearlog.reckoning.wear.kind_life import FleetLives, fleet_lives
from wearlog.reckoning.wear.measured_wear import MeasuredPart, measured_parts
from wearlog.reckoning.wear.own_laws import WearClock, age_alike
from wearlog.reckoning.wear.season_ahead import SeasonAhead, season_ahead, seasons_of_use
from wearlog.store.connection import Connection
from wearlog.store.histories import NONE, Bools, Floats, Ints
from wearlog.wear.hidden import chances_if_younger
from wearlog.wear.own_life import OwnLife
from wearlog.wear.posterior import Nodes, Posterior

#: what is believed of a life: of a kind, or of it on one machine
LifeLaw = Posterior | OwnLife

#: up to so many different stretches the interval is worked out too; nobody reads more, and it costs ten times the chance itself
WITH_INTERVAL = 400
#: so many stretches are reckoned at once: of all laws and all stretches the sums would wait for memory
_BLOCK = 64
_LARGEST = 700.0


def chances_to_last(
    posterior: LifeLaw, age: Floats, usage: Floats, level: float = 0.9, *, intervals: bool = True
) -> Floats:
    """Return the chance that parts of these ages last these usages.

    Parameters
    ----------
    posterior : Posterior or OwnLife
        The life of the kind, or of it on one machine.
    age, usage : (n,) float64
        Age now and usage ahead, in the unit of the lives, 0 or more.
    level : float
        Level of the interval.
    intervals : bool
        Whether anybody asks for the interval.

    Returns
    -------
    (3, n) float64
        The chance, and the low and high end of its interval; the ends are NaN when nobody asks for them, or when there are more
        than `WITH_INTERVAL` different stretches.
    """
    if not intervals and age.size <= _BLOCK:
        found = np.full((3, age.size), np.nan)
        found[0] = _mean_chance(posterior.nodes, age, age + usage)
        return found
    stretches, place = np.unique(age + 1j * usage, return_inverse=True)
    start, ahead = stretches.real, stretches.imag
    found = np.full((3, stretches.size), np.nan)
    if intervals and stretches.size <= WITH_INTERVAL:
        exact = posterior.survival_between(start, start + ahead, level)
        found[:] = exact.mean, exact.low, exact.high
    else:
        nodes = posterior.nodes
        for begin in range(0, stretches.size, _BLOCK):
            block = slice(begin, begin + _BLOCK)
            found[0, block] = _mean_chance(nodes, start[block], start[block] + ahead[block])
    return np.asarray(found[:, place])


def _mean_chance(nodes: Nodes, start: Floats, end: Floats) -> Floats:
    """Return R(end) / R(start) averaged over the laws; a stretch of no length is lasted for sure."""
    with np.errstate(divide="ignore", invalid="ignore"):
        log_end = np.log(end)[:, None]
        hazard = np.exp(np.minimum(nodes.shape * (log_end - np.log(nodes.scale)), _LARGEST))
        hazard *= -np.expm1(nodes.shape * np.log(start / end)[:, None])
        chance = np.exp(-hazard) @ nodes.weight
    return np.where(end > start, chance, 1.0)


@dataclass(frozen=True, slots=True)
class AgeGroup:
    """Positions of one component whose parts are of one age and one state.

    Attributes
    ----------
    positions : tuple of int
    age : float or None
        In seconds or square metres; None when nobody knows.
    survives : float or None
        Chance that such a part does not wear out in the season ahead; None without an age or any idea of its life.
    survives_low, survives_high : float or None
        90 % interval of that chance; None where it comes from a measurement, and on fleets too large to show them all.
    failed : bool
        It broke and was left in service, or was measured past its limit: it needs its successor now, and survives with chance 0.
    by_measurement : bool
        The measured wear gives it less chance than its age does, and speaks.
    past_by_line : bool
        Last measured within its limit, which the line through its readings has met since: it should be measured.
    counts_as : float or None
        Its age in acres of the ground and the year that are ahead of it, where these have speeds of their own: the age that the
        law of its place goes by. None: the same as `age`.
    """

    positions: tuple[int, ...]
    age: float | None
    survives: float | None
    survives_low: float | None = None
    survives_high: float | None = None
    failed: bool = False
    by_measurement: bool = False
    past_by_line: bool = False
    counts_as: float | None = None

    @property
    def worn_age(self) -> float | None:
        """The age by which its chances are reckoned."""
        return self.age if self.counts_as is None else self.counts_as

    @property
    def expected(self) -> float | None:
        """How many of these parts are expected to wear out in the season ahead; None where nobody can say."""
        return None if self.survives is None else len(self.positions) * (1 - self.survives)


@dataclass(frozen=True, eq=False)
class OutlookBasis:
    """What every outlook rests on, read once; what is looked up in it by kind is put in order when it is first asked for."""

    lives: FleetLives
    ahead: SeasonAhead
    measured: tuple[MeasuredPart, ...]
    #: what every machine runs in a usual season, (machines, meters); see `seasons_of_use`
    usual: Floats
    #: whether anybody asks how well the chances of single parts are known; finding out takes longer than the chances themselves
    intervals: bool = True

    @property
    def farm(self) -> Farm:
        return self.lives.farm

    def measured_of(self, number: int, machine: int = NONE) -> tuple[MeasuredPart, ...]:
        """Return the measured parts of a kind, of the whole fleet or of one machine."""
        return tuple(part for part in self._measured_by_kind.get(number, ()) if machine in (NONE, part.machine))

    def fittings_of(self, number: int) -> Ints:
        """Return the fittings of a kind whose parts sit there now, by their places in the histories."""
        return self._fittings_by_kind.get(number, np.zeros(0, dtype=np.int64))

    @cached_property
    def _measured_by_kind(self) -> dict[int, list[MeasuredPart]]:
        found: dict[int, list[MeasuredPart]] = defaultdict(list)
        for part in self.measured:
            found[part.part_kind].append(part)
        return found

    @cached_property
    def _fittings_by_kind(self) -> dict[int, Ints]:
        histories = self.farm.histories
        fittings = histories.fittings
        rows = np.flatnonzero(self.lives.ages.on & (fittings.fitted_at <= self.farm.now_microseconds))
        kind = histories.components.part_kind[fittings.component[rows]]
        order = np.argsort(kind, kind="stable")
        numbers, starts = np.unique(kind[order], return_index=True)
        return dict(zip(numbers.tolist(), np.split(rows[order], starts[1:]), strict=True)) if rows.size else {}


def outlook_basis(connection: Connection, farm: Farm, *, intervals: bool = True) -> OutlookBasis:
    """Read the lives, the season ahead and the measured parts of a farm; without `intervals` only the chances are asked for."""
    lives, ahead = fleet_lives(farm), season_ahead(connection, farm)
    return OutlookBasis(lives, ahead, measured_parts(lives, ahead), seasons_of_use(farm, ahead), intervals)


@dataclass(frozen=True, slots=True, eq=False)
class _Fitted:
    """The parts now on the components of a kind, ordered by component, age (oldest first, unknown last) and position.

    `place` counts the components in the order in which they were asked for; `chance` is that of a measurement, NaN without;
    `past` are those whose line has met their limit since they were measured. `counted` are their ages as the law takes them,
    `pace` how fast their part number wears beside the newest.
    """

    place: Ints
    position: Ints
    age: Floats
    failed: Bools
    chance: Floats
    past: Bools
    counted: Floats
    pace: Floats

    def starts(self) -> Ints:
        """Return where each group of like parts begins, and one past the end."""
        age, chance = np.nan_to_num(self.age, nan=-1.0), np.nan_to_num(self.chance, nan=-1.0)
        new = np.ones(self.place.size + 1, dtype=bool)
        new[1:-1] = False
        counted = np.nan_to_num(self.counted, nan=-1.0)
        for column in (self.place, age, self.failed, chance, self.past, counted, self.pace):
            new[1:-1] |= column[1:] != column[:-1]
        return np.flatnonzero(new) if self.place.size else np.zeros(1, dtype=np.int64)


def _fitted(basis: OutlookBasis, number: int, places: Ints, clock: WearClock | None) -> _Fitted:
    farm, lives = basis.farm, basis.lives
    fittings = farm.histories.fittings
    order_of = np.full(len(farm.components), NONE, dtype=np.int64)
    order_of[places] = np.arange(places.size)
    rows = basis.fittings_of(number)
    rows = rows[order_of[fittings.component[rows]] != NONE]
    chance = np.full(rows.size, np.nan)
    past = np.zeros(rows.size, dtype=bool)
    for part in basis.measured_of(number):
        if order_of[part.component] != NONE:
            at = np.searchsorted(rows, part.fitting)
            past[at] = part.past_by_line
            if part.chance is not None:
                chance[at] = part.chance
    age = np.maximum(np.round(lives.ages.exit[rows]), 0.0)
    place, position = order_of[fittings.component[rows]], fittings.position[rows]
    failed = lives.records.failed_fitting[rows]
    counted, pace = age, np.ones(rows.size)
    if clock is not None:
        meter = farm.part_kinds[number].meter_kind
        counted = clock.ages(farm, lives.ages, meter, rows, basis.ahead.area_by_ground)
        pace = clock.paces(farm, rows)
    order = np.lexsort(
        (position, failed, past, pace, counted, np.nan_to_num(chance, nan=-1.0), -np.nan_to_num(age, nan=-1.0), place)
    )
    return _Fitted(
        place[order],
        position[order],
        age[order],
        failed[order],
        chance[order],
        past[order],
        counted[order],
        pace[order],
    )


def age_groups(
    basis: OutlookBasis,
    laws: Sequence[LifeLaw | None],
    number: int,
    places: Ints,
    usage: Floats,
    clock: WearClock | None = None,
    entered: float = 1.0,
) -> list[tuple[AgeGroup, ...]]:
    """The parts now on each component in groups, each by the law of its component; all that go by one law are reckoned in one go.

    With a `clock` of wear the laws are in acres of the ground and the year ahead, and so are the ages they are asked about. Where
    only a share of the breakages was `entered`, a part may be younger than it looks.
    """
    fitted = _fitted(basis, number, places, clock)
    starts = fitted.starts()
    first = starts[:-1]
    place, counted = fitted.place[first], fitted.counted[first].copy()
    chances = np.full((3, first.size), np.nan)
    known = ~np.isnan(fitted.age[first])
    by_parts = clock is not None and clock.parts is not None
    for law, rows in _by_law(laws, place, known):
        age, pace, ahead = counted[rows], fitted.pace[first[rows]], usage[place[rows]]
        chances[:, rows] = chances_to_last(law, age * pace, ahead * pace, intervals=basis.intervals)
        if by_parts and (pace != 1).any():
            counted[rows] = age_alike(age, ahead, pace, law.shape().median)
        if entered < 1:
            chances[:, rows], counted[rows] = chances_if_younger(
                law.nodes, counted[rows], ahead, entered, intervals=basis.intervals
            )
    counts_otherwise = known if clock is not None or entered < 1 else np.zeros_like(known)
    found: list[list[AgeGroup]] = [[] for _ in places]
    columns = (
        place,
        starts[1:],
        first,
        fitted.age[first],
        fitted.failed[first],
        fitted.chance[first],
        fitted.past[first],
        np.where(counts_otherwise, counted, np.nan),
        *chances,
    )
    for its, stop, start, age, failed, crossing, past, worn, *chance in zip(
        *(column.tolist() for column in columns), strict=True
    ):
        positions = tuple(fitted.position[start:stop].tolist())
        known_age, counts_as = (None if math.isnan(one) else one for one in (age, worn))
        found[its].append(
            _group(positions, known_age, chance, failed=failed, crossing=crossing, past=past, counts_as=counts_as)
        )
    return [tuple(groups) for groups in found]


def _by_law(laws: Sequence[LifeLaw | None], place: Ints, known: Bools) -> Iterator[tuple[LifeLaw, Ints]]:
    """Yield each law with the groups of known age that go by it; `place` (groups,) says of which component each is."""
    number_of: dict[int, int] = {}
    number = np.array([number_of.setdefault(id(law), len(number_of)) for law in laws], dtype=np.int64)
    by_number = {number_of[id(law)]: law for law in laws if law is not None}
    rows = np.flatnonzero(known)
    rows = rows[np.argsort(number[place[rows]], kind="stable")]
    numbers, starts = np.unique(number[place[rows]], return_index=True)
    for one, mine in zip(numbers.tolist(), np.split(rows, starts[1:]), strict=False):
        if one in by_number:
            yield by_number[one], mine


def _group(
    positions: tuple[int, ...],
    age: float | None,
    chance: Sequence[float],
    *,
    failed: bool,
    crossing: float,
    past: bool,
    counts_as: float | None,
) -> AgeGroup:
    """Put what the age says and what was measured together: the smaller chance to last speaks."""
    if failed:
        return AgeGroup(positions, age, 0.0, failed=True, counts_as=counts_as)
    if not math.isnan(crossing) and not chance[0] <= 1 - crossing:
        return AgeGroup(positions, age, 1 - crossing, by_measurement=True, past_by_line=past, counts_as=counts_as)
    survives, low, high = (None if math.isnan(one) else one for one in chance)
    return AgeGroup(positions, age, survives, low, high, past_by_line=past, counts_as=counts_as)


#: a law is asked for its few nodes by the outlook, and by the plan and the day that stand on it
_CONDENSED: WeakKeyDictionary[LifeLaw, LifeNodes] = WeakKeyDictionary()


def condensed(posterior: LifeLaw) -> LifeNodes:
    """Return what is believed of a life as the few laws that the plan reckons with; the same object for the same life."""
    few = _CONDENSED.get(posterior)
    if few is None:
        nodes = posterior.nodes
        few = _CONDENSED[posterior] = condense(LifeNodes.of(nodes.shape, nodes.scale, nodes.weight))
    return few


@dataclass(frozen=True, eq=False)
class PlacesTaken:
    """What takes the place of the parts that fail in the season ahead, by one law: worked out for what is asked of it.

    Attributes
    ----------
    law : Posterior, OwnLife or None
        The life of the kind, or of it on one machine; without one nothing is said of successors.
    """

    law: LifeLaw | None

    def breaking(self, groups: Sequence[AgeGroup], usage: float) -> tuple[float, ...]:
        """Return for each group the breakages by wear expected of what takes the place of one of its parts.

        Parameters
        ----------
        groups : sequence of AgeGroup
            The parts of one component.
        usage : float
            What the season asks of it.

        Notes
        -----
        A part that has failed is renewed as the season begins; one whose measured wear speaks fails at any time of it; any other
        at the times that its age makes likely.
        """
        if self.law is None or usage <= 0 or not groups:
            return (0.0,) * len(groups)
        law = self._by_usage.get(usage)
        if law is None:
            law = self._by_usage[usage] = successors(condensed(self.law), usage)
        by_age = law.of_ages([group.worn_age or 0.0 for group in groups]).tolist()
        return tuple(_later(group, law, aged) for group, aged in zip(groups, by_age, strict=True))

    @cached_property
    def _by_usage(self) -> dict[float, Successors]:
        return {}


def _later(group: AgeGroup, law: Successors, by_age: float) -> float:
    if group.survives is None:
        return 0.0
    if group.failed:
        return law.of_failed
    return (1 - group.survives) * law.of_any_time if group.by_measurement else by_age
