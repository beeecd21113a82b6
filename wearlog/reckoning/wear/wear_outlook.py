"""What the coming acres threaten: every kind with its life, every component with its age, its chance and expected breakages."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from functools import cached_property
from uuid import UUID

import numpy as np

from wearlog.facts.closed_lists import Ground
from wearlog.progress import counted
from wearlog.reckoning.farm import Farm
from wearlog.reckoning.wear.age_groups import (
    AgeGroup,
    LifeLaw,
    OutlookBasis,
    PlacesTaken,
    age_groups,
    outlook_basis,
)
from wearlog.reckoning.wear.kind_life import KindLife, kind_lives, life_here
from wearlog.reckoning.wear.season_ahead import SeasonAhead, usual_season
from wearlog.store.connection import Connection
from wearlog.store.histories import NONE, Bools, Floats, Ints, code_of


@dataclass(frozen=True)
class ComponentOutlook:
    """One component in the season ahead.

    Attributes
    ----------
    usage : float
        What the season asks on the kind's meter (seconds or square metres).
    expected_wear, expected_impacts : float
        Breakages expected; wear counts each part now fitted at most once. Positions without a chance (unknown age, or no idea of
        the life) are not in `expected_wear`; `not_reckoned` says how many they are.
    expected_steady : float or None
        Breakages by wear expected of the positions of unknown age, as if each were met at a chance moment of its life (about
        usage / mean life); in no other figure. None where no age is unknown, or nobody has an idea of the life.
    area_by_ground : (4,) tuple of float
        Square metres that its machine is to cut, by Ground.
    season : float or None
        What its machine runs in a usual season, on the kind's meter; None where no season says.
    last_breakage : int or None
        Microseconds since 1970.
    law : Posterior, OwnLife or None
        The life that its parts go by: that of its machine where machines differ, in acres of the ground ahead where ground has
        a speed of its own, else that of the kind.
    usual_law : Posterior, OwnLife or None
        The same in acres of the usual mix of ground: components of machines that are alike share it, so that their parts fail
        many together or few together.
    pace : float
        What an acre of the ground ahead counts in acres of the usual mix; 1 where ground has no speed of its own.
    pace_later : float
        The same of the ground that its machine has cut.
    """

    component_id: UUID
    machine_id: UUID
    place: str
    positions: int
    usage: float
    groups: tuple[AgeGroup, ...]
    expected_wear: float
    expected_impacts: float
    breakages: int
    last_breakage: int | None
    expected_steady: float | None
    area_by_ground: tuple[float, ...]
    season: float | None = None
    law: LifeLaw | None = None
    usual_law: LifeLaw | None = None
    pace: float = 1.0
    pace_later: float = 1.0
    taken: PlacesTaken = field(default=PlacesTaken(None), compare=False, repr=False)

    @cached_property
    def successors(self) -> tuple[float, ...]:
        """For each of the groups the breakages by wear expected of what takes the place of one of its parts once it has failed."""
        return self.taken.breaking(self.groups, self.usage)

    @cached_property
    def failures_by_wear(self) -> float:
        """Breakages by wear with the successors of what fails, which may fail too: what the season asks of these places."""
        return sum(
            len(group.positions) * (1 - group.survives + later)
            for group, later in zip(self.groups, self.successors, strict=True)
            if group.survives is not None
        )

    @property
    def expected(self) -> float:
        return self.expected_wear + self.expected_impacts

    @property
    def failures(self) -> float:
        """Failures expected with the successors of what fails, by wear and by stones."""
        return self.failures_by_wear + self.expected_impacts

    @property
    def failures_known(self) -> float | None:
        """The same, None where nothing is known of what is expected."""
        return None if self.expected_known is None else self.failures

    @property
    def not_reckoned(self) -> int:
        """Positions whose chance nobody can say: their age is unknown, or the life of their kind."""
        return sum(len(group.positions) for group in self.groups if group.survives is None)

    @property
    def expected_known(self) -> float | None:
        """What is expected, None where no position could be reckoned and no stone is expected."""
        reckoned = any(group.survives is not None for group in self.groups) or self.expected_impacts > 0
        return self.expected if reckoned or not self.groups else None

    @property
    def threat(self) -> float:
        """What it is ordered by: what is expected, and what the steady rate says of unknown ages."""
        return self.expected + (self.expected_steady or 0.0)

    @property
    def oldest(self) -> float | None:
        ages = [group.age for group in self.groups if group.age is not None]
        return max(ages) if ages else None

    @property
    def unknown(self) -> int:
        """Positions whose age nobody knows."""
        return sum(len(group.positions) for group in self.groups if group.age is None)

    @property
    def worst(self) -> float | None:
        """The smallest chance of a single position to last the season."""
        chances = [group.survives for group in self.groups if group.survives is not None]
        return min(chances) if chances else None


@dataclass(frozen=True, slots=True)
class CountRange:
    """A count to come: its mean, and the counts that are not undershot or exceeded but with the tails of `level`."""

    mean: float
    low: int
    high: int
    level: float


@dataclass(frozen=True, slots=True, eq=False)
class KindOutlook:
    """A kind: how long it lasts, what it rests on, and its components, the most threatened first.

    `season` is what the machines that it sits on run in a usual season, on its meter: their mean, None where no season says.
    """

    life: KindLife
    components: tuple[ComponentOutlook, ...]
    breakages: int
    impacts: int
    season: float | None = None

    @property
    def expected(self) -> float:
        return sum(component.expected for component in self.components)

    @property
    def failures(self) -> float:
        """Failures expected with the successors of what fails."""
        return sum(component.failures for component in self.components)

    @property
    def expected_known(self) -> float | None:
        """What is expected of all components, None where of none of them anything can be said."""
        known = [one.expected_known for one in self.components if one.expected_known is not None]
        return sum(known) if known or not self.components else None

    @property
    def failures_known(self) -> float | None:
        """Failures expected of all components with the successors of what fails; None where nothing can be said of any."""
        known = [one.failures for one in self.components if one.failures_known is not None]
        return sum(known) if known or not self.components else None

    @property
    def expected_steady(self) -> float | None:
        """Breakages by wear of the positions of unknown age at the steady rate; None where there are none."""
        steady = [one.expected_steady for one in self.components if one.expected_steady is not None]
        return sum(steady) if steady else None

    @property
    def unknown(self) -> int:
        """Positions whose age nobody knows."""
        return sum(component.unknown for component in self.components)

    @property
    def not_reckoned(self) -> int:
        """Positions that are in no sum."""
        return sum(component.not_reckoned for component in self.components)

    @property
    def threat(self) -> float:
        """What kinds are ordered by."""
        return sum(component.threat for component in self.components)

    def impact_counts(self, level: float = 0.9) -> CountRange | None:
        """Return how many positions stones will break in the season ahead, all components together.

        The rates are those of the kind, so that all components break more together or fewer together; None for what stones do
        not break.
        """
        broken = self.life.broken_by_stones
        if broken is None:
            return None
        area = (
            np.sum([one.area_by_ground for one in self.components], axis=0)
            if self.components
            else np.zeros(len(Ground))
        )
        law = broken.predict(area)
        tail = 0.5 - level / 2
        return CountRange(law.mean, law.quantile(tail), law.quantile(1 - tail), level)


@dataclass(frozen=True, slots=True, eq=False)
class WearOutlook:
    """All kinds on the fleet, those that the season ahead threatens most first."""

    basis: OutlookBasis
    kinds: tuple[KindOutlook, ...]

    @property
    def farm(self) -> Farm:
        return self.basis.farm

    @property
    def ahead(self) -> SeasonAhead:
        return self.basis.ahead


def wear_outlook(
    connection: Connection, farm: Farm, machine: int = NONE, *, every: bool = False, intervals: bool = True
) -> WearOutlook:
    """Reckon the outlook of the whole fleet, or of the kinds on one machine.

    With `every` the kinds that sit on no machine are in it too, by their starting guess; without `intervals` the chances of parts
    stand without theirs.
    """
    basis = outlook_basis(connection, farm, intervals=intervals)
    components = farm.histories.components
    numbers = basis.lives.kinds(every=every)
    if machine != NONE:
        numbers = sorted(set(components.part_kind[components.machine == machine].tolist()) - {NONE})
    kinds = [
        kind_outlook(basis, number, machine, life=replace(life, machine=machine))
        for number, life in zip(counted(numbers, of=len(numbers)), kind_lives(basis.lives, numbers), strict=True)
    ]
    # unknown ages at the steady rate: on the first day of a log the oldest fleet must not look the safest
    kinds.sort(key=lambda row: (-row.threat, row.life.kind.name))
    return WearOutlook(basis, tuple(kinds))


def kind_outlook(basis: OutlookBasis, number: int, machine: int = NONE, *, life: KindLife | None = None) -> KindOutlook:
    """Reckon the outlook of one kind on the fleet or on one machine; every part by the law of its machine where they differ.

    With the `life` of the fleet the components of one machine are reckoned as in the outlook of the fleet, stones too.
    """
    farm, lives = basis.farm, basis.lives
    life = life_here(lives, number, machine) if life is None else life
    on = farm.histories.components.part_kind == number
    if machine != NONE:
        on &= farm.histories.components.machine == machine
    places = np.flatnonzero(on)
    broken, last = _breakages_of(farm, on)
    usage = _usage_ahead(basis, life, places)
    taken, groups, steady = _by_law(basis, life, number, places, usage)
    components = [
        _component(
            basis,
            life,
            int(place),
            float(usage[order]),
            groups[order],
            steady[order],
            int(broken[place]),
            int(last[place]),
            taken[order],
        )
        for order, place in enumerate(places)
    ]
    components.sort(key=lambda row: -row.threat)
    impacts = round(float(lives.impacts[on].sum()))
    season = usual_season(basis.usual, farm.histories.components.machine[places], life.kind.meter_kind)
    return KindOutlook(life, tuple(components), int(broken.sum()), impacts, season)


def _breakages_of(farm: Farm, on: Bools) -> tuple[Ints, Ints]:
    """Positions broken on each component, and when the last broke (0 where nothing did); other components have none."""
    breakages = farm.histories.breakages
    rows = np.flatnonzero(on[breakages.component] & (breakages.at <= farm.now_microseconds))
    broken, last = np.zeros(on.size, dtype=np.int64), np.zeros(on.size, dtype=np.int64)
    np.add.at(broken, breakages.component[rows], [len(breakages.positions[row]) for row in rows])
    np.maximum.at(last, breakages.component[rows], breakages.at[rows])
    return broken, last


def _component(
    basis: OutlookBasis,
    life: KindLife,
    number: int,
    usage: float,
    groups: tuple[AgeGroup, ...],
    steady: float | None,
    breakages: int,
    last_breakage: int,
    taken: PlacesTaken,
) -> ComponentOutlook:
    farm = basis.farm
    component = farm.components[number]
    machine = int(farm.histories.components.machine[number])
    area = np.zeros(len(Ground)) if machine == NONE else basis.ahead.area_by_ground[machine]
    pace, later = _paces(basis, life, machine)
    broken = life.broken_by_stones
    impacts = 0.0 if broken is None else float(np.dot(broken.means, area))
    return ComponentOutlook(
        component_id=component.id,
        machine_id=component.machine_id,
        place=component.place,
        positions=component.positions,
        usage=usage,
        groups=groups,
        expected_wear=sum(group.expected for group in groups if group.expected is not None),
        expected_impacts=impacts,
        breakages=breakages,
        last_breakage=last_breakage or None,
        expected_steady=steady,
        area_by_ground=tuple(area.tolist()),
        season=usual_season(basis.usual, np.array([machine]), life.kind.meter_kind),
        law=taken.law,
        usual_law=taken.law if life.ground is None else life.usual_law_on(machine),
        pace=pace,
        pace_later=later,
        taken=taken,
    )


def _paces(basis: OutlookBasis, life: KindLife, machine: int) -> tuple[float, float]:
    """Return what an acre of the ground ahead of a machine, and of the ground it has cut, counts in acres of the usual mix."""
    if life.ground is None or machine == NONE:
        return 1.0, 1.0
    ahead = life.ground.mix_of(basis.ahead.area_by_ground[machine])
    return float(life.ground.speeds.pace(ahead)), float(life.ground.speeds.pace(life.ground.mixes[machine]))


Groups = tuple[AgeGroup, ...]


def _by_law(
    basis: OutlookBasis, life: KindLife, number: int, places: Ints, usage: Floats
) -> tuple[list[PlacesTaken], list[Groups], list[float | None]]:
    """Return for each component what takes its places and by which law, its parts in groups, its unknown ages at a steady rate."""
    machine = basis.farm.histories.components.machine[places]
    # one law for all at once where machines are alike
    asked = np.zeros_like(machine) if life.is_one_for_all else machine
    numbers, own = np.unique(asked, return_inverse=True)
    each = [life.law if life.is_one_for_all else _law_ahead(basis, life, one) for one in numbers.tolist()]
    laws = [each[one] for one in own.tolist()]
    groups = age_groups(basis, laws, number, places, usage, life.clock, life.entered)
    ahead = [PlacesTaken(law) for law in each]
    steady: list[float | None] = [None] * places.size
    for one, law in enumerate(each):
        rows = np.flatnonzero(own == one)
        rates = _at_steady_rate(law, [groups[row] for row in rows], usage[rows])
        for row, rate in zip(rows.tolist(), rates, strict=True):
            steady[row] = rate
    return [ahead[one] for one in own.tolist()], groups, steady


def _law_ahead(basis: OutlookBasis, life: KindLife, machine: int) -> LifeLaw | None:
    """Return the life on a machine in what it has ahead of it."""
    if life.ground is None or machine == NONE:
        return life.law_on(machine)
    return life.law_on(machine, life.ground.mix_of(basis.ahead.area_by_ground[machine]))


def _at_steady_rate(law: LifeLaw | None, groups: list[Groups], usage: Floats) -> list[float | None]:
    """Return for each component what is expected of the positions of unknown age that nothing else speaks for."""
    unknown = [
        sum(len(group.positions) for group in mine if group.age is None and group.survives is None) for mine in groups
    ]
    if law is None or not any(unknown):
        return [None] * len(groups)
    chances = law.few_nodes().failing_within(usage).tolist()
    return [count * chance if count else None for count, chance in zip(unknown, chances, strict=True)]


def _usage_ahead(basis: OutlookBasis, life: KindLife, places: Ints) -> Floats:
    """Return what the season asks of each component on the kind's meter."""
    machine = basis.farm.histories.components.machine[places]
    usage = basis.ahead.usage[machine, code_of(life.kind.meter_kind)]
    return np.where(machine == NONE, 0.0, usage)
