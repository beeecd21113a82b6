"""What the coming acres threaten: every kind with its life, every component with its age, its chance and expected breakages."""

from __future__ import annotations

from dataclasses import dataclass
from uuid import UUID

import numpy as np

from wearlog.reckoning.farm import Farm
from wearlog.reckoning.kind_life import FleetLives, KindLife, fleet_lives, kind_life
from wearlog.reckoning.season_ahead import SeasonAhead, season_ahead
from wearlog.store.connection import Connection
from wearlog.store.histories import NONE, Bools, Floats, Ints, code_of
from wearlog.wear.posterior import SurvivalEstimate


@dataclass(frozen=True, slots=True)
class AgeGroup:
    """Positions of one component whose parts are of one age.

    Attributes
    ----------
    positions : tuple of int
    age : float or None
        In seconds or square metres; None when nobody knows.
    survives : float or None
        Chance that such a part does not wear out in the season ahead; None without an age or any idea of its life.
    survives_low, survives_high : float or None
        90 % interval of that chance.
    """

    positions: tuple[int, ...]
    age: float | None
    survives: float | None
    survives_low: float | None = None
    survives_high: float | None = None


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

    farm: Farm
    lives: FleetLives
    ahead: SeasonAhead
    kinds: tuple[KindOutlook, ...]


def wear_outlook(connection: Connection, farm: Farm) -> WearOutlook:
    """Reckon the outlook of the whole fleet."""
    lives, ahead = fleet_lives(farm), season_ahead(connection, farm)
    kinds = [kind_outlook(lives, ahead, number) for number in lives.kinds()]
    kinds.sort(key=lambda row: (-row.expected, row.life.kind.name))
    return WearOutlook(farm, lives, ahead, tuple(kinds))


def kind_outlook(lives: FleetLives, ahead: SeasonAhead, number: int, machine: int = NONE) -> KindOutlook:
    """Reckon the outlook of one kind, with the life of the whole fleet or of one machine alone."""
    farm = lives.farm
    life = kind_life(lives, number, machine)
    on = farm.histories.components.part_kind == number
    if machine != NONE:
        on &= farm.histories.components.machine == machine
    places = np.flatnonzero(on)
    broken, last = _breakages_of(farm, on)
    groups = _age_groups(lives, ahead, life, places)
    components = [
        _component(lives, ahead, life, int(place), groups[order], int(broken[place]), int(last[place]))
        for order, place in enumerate(places)
    ]
    components.sort(key=lambda row: -row.expected)
    impacts = round(float(lives.impacts[on].sum()))
    return KindOutlook(life, tuple(components), int(broken.sum()), impacts)


def _breakages_of(farm: Farm, on: Bools) -> tuple[Ints, Ints]:
    """Positions broken on each component, and when the last broke (0 where nothing did); other components have none."""
    breakages = farm.histories.breakages
    rows = np.flatnonzero(on[breakages.component])
    broken, last = np.zeros(on.size, dtype=np.int64), np.zeros(on.size, dtype=np.int64)
    np.add.at(broken, breakages.component[rows], [len(breakages.positions[row]) for row in rows])
    np.maximum.at(last, breakages.component[rows], breakages.at[rows])
    return broken, last


def _component(
    lives: FleetLives,
    ahead: SeasonAhead,
    life: KindLife,
    number: int,
    groups: tuple[AgeGroup, ...],
    breakages: int,
    last_breakage: int,
) -> ComponentOutlook:
    component = lives.farm.components[number]
    machine = int(lives.farm.histories.components.machine[number])
    impacts = 0.0
    if life.impacts is not None and machine != NONE:
        impacts = float(np.dot([rate.mean for rate in life.impacts.rates], ahead.area_by_ground[machine]))
    return ComponentOutlook(
        component_id=component.id,
        machine_id=component.machine_id,
        place=component.place,
        positions=component.positions,
        usage=_usage_ahead(lives, ahead, life, number),
        groups=groups,
        expected_wear=sum(
            len(group.positions) * (1 - group.survives) for group in groups if group.survives is not None
        ),
        expected_impacts=impacts,
        breakages=breakages,
        last_breakage=last_breakage or None,
    )


def _usage_ahead(lives: FleetLives, ahead: SeasonAhead, life: KindLife, number: int) -> float:
    machine = int(lives.farm.histories.components.machine[number])
    return float(ahead.usage[machine, code_of(life.kind.meter_kind)]) if machine != NONE else 0.0


def _age_groups(lives: FleetLives, ahead: SeasonAhead, life: KindLife, places: Ints) -> list[tuple[AgeGroup, ...]]:
    """The parts now on each component, by age, the oldest first; all chances of a kind are worked out in one go."""
    fittings, now = lives.farm.histories.fittings, lives.farm.now_microseconds
    raw: list[tuple[Floats, list[Ints], Ints]] = []
    for place in places:
        rows = lives.fittings_of(int(place))
        rows = rows[lives.ages.on[rows] & (fittings.fitted_at[rows] <= now)]
        age = lives.ages.exit[rows]
        known = ~np.isnan(age)
        distinct, group = np.unique(np.maximum(np.round(age[known]), 0.0), return_inverse=True)
        of_group = [np.sort(fittings.position[rows[known][group == one]]) for one in range(distinct.size)]
        raw.append((distinct, of_group, np.sort(fittings.position[rows[~known]])))
    starts = np.concatenate([distinct for distinct, _, _ in raw]) if raw else np.zeros(0)
    usage = np.repeat([_usage_ahead(lives, ahead, life, int(place)) for place in places], [row[0].size for row in raw])
    chance = (
        life.posterior.survival_between(starts, starts + usage) if life.posterior is not None and starts.size else None
    )
    found, at = [], 0
    for distinct, of_group, unknown in raw:
        groups = []
        for one in range(distinct.size):
            survives = (None, None, None) if chance is None else _row(chance, at)
            groups.append(AgeGroup(tuple(of_group[one].tolist()), float(distinct[one]), *survives))
            at += 1
        groups.reverse()
        if unknown.size:
            groups.append(AgeGroup(tuple(unknown.tolist()), None, None))
        found.append(tuple(groups))
    return found


def _row(chance: SurvivalEstimate, row: int) -> tuple[float, float, float]:
    return float(chance.mean[row]), float(chance.low[row]), float(chance.high[row])
