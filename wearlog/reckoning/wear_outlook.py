"""What the coming acres threaten: every kind with its life, every component with its age, its chance and expected breakages."""

from __future__ import annotations

from dataclasses import dataclass
from uuid import UUID

import numpy as np

from wearlog.reckoning.age_groups import AgeGroup, OutlookBasis, age_groups, outlook_basis
from wearlog.reckoning.farm import Farm
from wearlog.reckoning.kind_life import KindLife, kind_life
from wearlog.reckoning.season_ahead import SeasonAhead
from wearlog.store.connection import Connection
from wearlog.store.histories import NONE, Bools, Floats, Ints, code_of


@dataclass(frozen=True, slots=True)
class ComponentOutlook:
    """One component in the season ahead.

    Attributes
    ----------
    usage : float
        What the season asks on the kind's meter (seconds or square metres).
    expected_wear, expected_impacts : float
        Breakages expected; wear counts each part now fitted at most once. Positions of unknown age are in none of them.
    last_breakage : int or None
        Microseconds since 1970.
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

    @property
    def expected(self) -> float:
        return self.expected_wear + self.expected_impacts

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


@dataclass(frozen=True, slots=True, eq=False)
class KindOutlook:
    """A kind: how long it lasts, what it rests on, and its components, the most threatened first."""

    life: KindLife
    components: tuple[ComponentOutlook, ...]
    breakages: int
    impacts: int

    @property
    def expected(self) -> float:
        return sum(component.expected for component in self.components)


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


def wear_outlook(connection: Connection, farm: Farm, machine: int = NONE) -> WearOutlook:
    """Reckon the outlook of the whole fleet, or of the kinds on one machine from its records alone."""
    basis = outlook_basis(connection, farm)
    components = farm.histories.components
    numbers = basis.lives.kinds()
    if machine != NONE:
        numbers = sorted(set(components.part_kind[components.machine == machine].tolist()) - {NONE})
    kinds = [kind_outlook(basis, number, machine) for number in numbers]
    kinds.sort(key=lambda row: (-row.expected, row.life.kind.name))
    return WearOutlook(basis, tuple(kinds))


def kind_outlook(basis: OutlookBasis, number: int, machine: int = NONE) -> KindOutlook:
    """Reckon the outlook of one kind, with the life of the whole fleet or of one machine alone."""
    farm, lives = basis.farm, basis.lives
    life = kind_life(lives, number, machine)
    on = farm.histories.components.part_kind == number
    if machine != NONE:
        on &= farm.histories.components.machine == machine
    places = np.flatnonzero(on)
    broken, last = _breakages_of(farm, on)
    usage = _usage_ahead(basis, life, places)
    groups = age_groups(basis, life, number, places, usage)
    components = [
        _component(basis, life, int(place), float(usage[order]), groups[order], int(broken[place]), int(last[place]))
        for order, place in enumerate(places)
    ]
    components.sort(key=lambda row: -row.expected)
    impacts = round(float(lives.impacts[on].sum()))
    return KindOutlook(life, tuple(components), int(broken.sum()), impacts)


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
    breakages: int,
    last_breakage: int,
) -> ComponentOutlook:
    farm = basis.farm
    component = farm.components[number]
    machine = int(farm.histories.components.machine[number])
    impacts = 0.0
    if life.impacts is not None and machine != NONE:
        impacts = float(np.dot([rate.mean for rate in life.impacts.rates], basis.ahead.area_by_ground[machine]))
    return ComponentOutlook(
        component_id=component.id,
        machine_id=component.machine_id,
        place=component.place,
        positions=component.positions,
        usage=usage,
        groups=groups,
        expected_wear=sum(
            len(group.positions) * (1 - group.survives) for group in groups if group.survives is not None
        ),
        expected_impacts=impacts,
        breakages=breakages,
        last_breakage=last_breakage or None,
    )


def _usage_ahead(basis: OutlookBasis, life: KindLife, places: Ints) -> Floats:
    """Return what the season asks of each component on the kind's meter."""
    machine = basis.farm.histories.components.machine[places]
    usage = basis.ahead.usage[machine, code_of(life.kind.meter_kind)]
    return np.where(machine == NONE, 0.0, usage)
