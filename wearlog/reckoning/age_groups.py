"""The parts now on each component by age and state, each group with its chance to last the season ahead."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from wearlog.reckoning.chance_table import chances_to_last
from wearlog.reckoning.farm import Farm
from wearlog.reckoning.kind_life import FleetLives, KindLife, fleet_lives
from wearlog.reckoning.measured_wear import MeasuredPart, measured_parts
from wearlog.reckoning.season_ahead import SeasonAhead, season_ahead
from wearlog.reckoning.season_of_use import seasons_of_use
from wearlog.store.connection import Connection
from wearlog.store.histories import NONE, Bools, Floats, Ints


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
    successors : float
        Breakages by wear expected in the season ahead of what takes the place of such a part once it has failed.
    """

    positions: tuple[int, ...]
    age: float | None
    survives: float | None
    survives_low: float | None = None
    survives_high: float | None = None
    failed: bool = False
    by_measurement: bool = False
    past_by_line: bool = False
    successors: float = 0.0

    @property
    def expected(self) -> float | None:
        """How many of these parts are expected to wear out in the season ahead; None where nobody can say."""
        return None if self.survives is None else len(self.positions) * (1 - self.survives)

    @property
    def expected_with_successors(self) -> float | None:
        """How many failures by wear these places are expected to see in the season ahead, successors counted too."""
        return None if self.survives is None else len(self.positions) * (1 - self.survives + self.successors)


@dataclass(frozen=True, slots=True, eq=False)
class OutlookBasis:
    """What every outlook rests on, read once."""

    lives: FleetLives
    ahead: SeasonAhead
    measured: tuple[MeasuredPart, ...]
    #: what every machine runs in a usual season, (machines, meters); see `seasons_of_use`
    usual: Floats

    @property
    def farm(self) -> Farm:
        return self.lives.farm

    def measured_of(self, number: int, machine: int = NONE) -> tuple[MeasuredPart, ...]:
        """Return the measured parts of a kind, of the whole fleet or of one machine."""
        return tuple(part for part in self.measured if part.part_kind == number and machine in (NONE, part.machine))


def outlook_basis(connection: Connection, farm: Farm) -> OutlookBasis:
    """Read the lives, the season ahead and the measured parts of a farm."""
    lives, ahead = fleet_lives(farm), season_ahead(connection, farm)
    return OutlookBasis(lives, ahead, measured_parts(lives, ahead), seasons_of_use(farm, ahead))


@dataclass(frozen=True, slots=True, eq=False)
class _Fitted:
    """The parts now on the components of a kind, ordered by component, age (oldest first, unknown last) and position.

    `place` counts the components in the order in which they were asked for; `chance` is that of a measurement, NaN without;
    `past` are those whose line has met their limit since they were measured.
    """

    place: Ints
    position: Ints
    age: Floats
    failed: Bools
    chance: Floats
    past: Bools

    def starts(self) -> Ints:
        """Return where each group of like parts begins, and one past the end."""
        age, chance = np.nan_to_num(self.age, nan=-1.0), np.nan_to_num(self.chance, nan=-1.0)
        new = np.ones(self.place.size + 1, dtype=bool)
        new[1:-1] = False
        for column in (self.place, age, self.failed, chance, self.past):
            new[1:-1] |= column[1:] != column[:-1]
        return np.flatnonzero(new) if self.place.size else np.zeros(1, dtype=np.int64)


def _fitted(basis: OutlookBasis, number: int, places: Ints) -> _Fitted:
    farm, lives = basis.farm, basis.lives
    fittings = farm.histories.fittings
    order_of = np.full(len(farm.components), NONE, dtype=np.int64)
    order_of[places] = np.arange(places.size)
    rows = np.flatnonzero(
        (order_of[fittings.component] != NONE) & lives.ages.on & (fittings.fitted_at <= farm.now_microseconds)
    )
    chance = np.full(fittings.component.size, np.nan)
    past = np.zeros(fittings.component.size, dtype=bool)
    for part in basis.measured_of(number):
        past[part.fitting] = part.past_by_line
        if part.chance is not None:
            chance[part.fitting] = part.chance
    age = np.maximum(np.round(lives.ages.exit[rows]), 0.0)
    place, position = order_of[fittings.component[rows]], fittings.position[rows]
    failed = lives.records.failed_fitting[rows]
    chance, past = chance[rows], past[rows]
    order = np.lexsort((position, failed, past, np.nan_to_num(chance, nan=-1.0), -np.nan_to_num(age, nan=-1.0), place))
    return _Fitted(place[order], position[order], age[order], failed[order], chance[order], past[order])


def age_groups(
    basis: OutlookBasis, life: KindLife, number: int, places: Ints, usage: Floats
) -> list[tuple[AgeGroup, ...]]:
    """The parts now on each component in groups; all chances of a kind are worked out in one go."""
    fitted = _fitted(basis, number, places)
    starts = fitted.starts()
    first = starts[:-1]
    age, place = fitted.age[first], fitted.place[first]
    chances = np.full((3, first.size), np.nan)
    known = ~np.isnan(age)
    if life.posterior is not None and known.any():
        chances[:, known] = chances_to_last(life.posterior, age[known], usage[place[known]])
    found_groups: list[list[AgeGroup]] = [[] for _ in places]
    for group, (start, stop) in enumerate(zip(starts[:-1].tolist(), starts[1:].tolist(), strict=True)):
        one = _group(
            tuple(fitted.position[start:stop].tolist()),
            float(age[group]),
            chances[:, group],
            failed=bool(fitted.failed[start]),
            crossing=float(fitted.chance[start]),
        )
        past = bool(fitted.past[start]) and not one.failed
        found_groups[place[group]].append(replace(one, past_by_line=True) if past else one)
    return [tuple(groups) for groups in found_groups]


def _group(positions: tuple[int, ...], age: float, chance: Floats, *, failed: bool, crossing: float) -> AgeGroup:
    """Put what the age says and what was measured together: the smaller chance to last speaks."""
    known_age = None if np.isnan(age) else age
    if failed:
        return AgeGroup(positions, known_age, 0.0, failed=True)
    if not np.isnan(crossing) and not chance[0] <= 1 - crossing:
        return AgeGroup(positions, known_age, 1 - crossing, by_measurement=True)
    if np.isnan(chance[0]):
        return AgeGroup(positions, known_age, None)
    low, high = (None if np.isnan(end) else float(end) for end in chance[1:])
    return AgeGroup(positions, known_age, float(chance[0]), low, high)
