"""What on a machine will most likely break next: which component, how likely in the season ahead, and when as likely as not."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from math import exp, expm1, inf, log
from uuid import UUID

import numpy as np

from wearlog.reckoning.wear.age_groups import AgeGroup, chances_to_last
from wearlog.reckoning.wear.season_ahead import SeasonAhead, TakenFrom
from wearlog.reckoning.wear.wear_outlook import ComponentOutlook, KindOutlook

#: halvings of the season: closer than a two-hundredth nobody can say
_HALVINGS = 8


@dataclass(frozen=True, slots=True)
class NextStop:
    """The component of a machine that is likeliest to break first.

    Attributes
    ----------
    component_id : UUID
    chance : float
        That at least one of its parts breaks in the season ahead, by wear or by stones, each independent of the others. Parts that
        are broken already and parts whose chance nobody can say are not in it.
    within : float or None
        Usage of the kind's meter (seconds or square metres) from now by which that has happened as likely as not; None where the
        season ends before.
    harvest_year : int or None
        The season ahead; None where it is taken from past ones.
    """

    component_id: UUID
    chance: float
    within: float | None
    harvest_year: int | None


def next_stop(kinds: Iterable[KindOutlook], ahead: SeasonAhead) -> NextStop | None:
    """Return what most likely breaks first; None where nothing says what is to come, or nothing can be said of any part."""
    if ahead.taken_from is TakenFrom.NOTHING:
        return None
    hazards = [(_hazard(one, one.usage), one) for kind in kinds for one in kind.components]
    hazard, one = max(hazards, key=lambda found: found[0], default=(0.0, None))
    if one is None or hazard <= 0:
        return None
    year = None if ahead.season is None else ahead.season.harvest_year
    return NextStop(one.component_id, -expm1(-hazard), _half_way(one, hazard), year)


def _hazard(one: ComponentOutlook, usage: float) -> float:
    """Minus the logarithm of the chance that nothing of it breaks within a usage of the season; stones lie evenly over it."""
    share = usage / one.usage if one.usage > 0 else 1.0
    whole = [group for group in one.groups if group.survives is not None and not group.failed]
    lasts = _lasts_now(one, whole, usage) if share < 1 else [group.survives or 0.0 for group in whole]
    by_wear = sum(
        len(group.positions) * (-log(chance) if chance > 0 else inf) for group, chance in zip(whole, lasts, strict=True)
    )
    return by_wear + share * one.expected_impacts


def _lasts_now(one: ComponentOutlook, groups: list[AgeGroup], usage: float) -> list[float]:
    """The chance of a part of each group to last so much of the season: by its age, by a measurement as the whole of the season."""
    share = usage / one.usage
    steady = [(group.survives or 0.0) ** share for group in groups]
    if one.law is None or not groups:
        return steady
    ages = np.array([group.age or 0.0 for group in groups])
    by_age = chances_to_last(one.law, ages, np.full(ages.size, usage))[0].tolist()
    return [
        evenly if group.by_measurement or group.age is None else aged
        for group, evenly, aged in zip(groups, steady, by_age, strict=True)
    ]


def _half_way(one: ComponentOutlook, hazard: float) -> float | None:
    if exp(-hazard) > 0.5 or one.usage <= 0:
        return None
    low, high = 0.0, one.usage
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        low, high = (low, middle) if _hazard(one, middle) >= log(2) else (middle, high)
    return high
