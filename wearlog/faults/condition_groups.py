"""How well a fault explains under which conditions it came; rain, dew and a wash are one cause. Common practice, no source."""

from __future__ import annotations

from collections.abc import Collection
from enum import StrEnum, unique
from typing import Final

from wearlog.facts.closed_lists import Condition
from wearlog.faults.circuit import Mark


@unique
class ConditionGroup(StrEnum):
    WET = "wet"
    SHAKEN = "shaken"
    HEIGHT = "height"
    WEIGHT = "weight"
    HEAT = "heat"
    COLD = "cold"
    DUST = "dust"


GROUPS: Final[dict[ConditionGroup, frozenset[Condition]]] = {
    ConditionGroup.WET: frozenset({Condition.RAIN, Condition.DEW, Condition.AFTER_WASH}),
    ConditionGroup.SHAKEN: frozenset({Condition.ROUGH_GROUND, Condition.TURNING}),
    ConditionGroup.HEIGHT: frozenset({Condition.HEADER_RAISED}),
    ConditionGroup.WEIGHT: frozenset({Condition.TANK_FULL}),
    ConditionGroup.HEAT: frozenset({Condition.HOT}),
    ConditionGroup.COLD: frozenset({Condition.COLD}),
    ConditionGroup.DUST: frozenset({Condition.DUST}),
}
#: the marks of a place on which the cause works
WORKS_ON: Final[dict[ConditionGroup, frozenset[Mark]]] = {
    ConditionGroup.WET: frozenset({Mark.OUTSIDE}),
    ConditionGroup.SHAKEN: frozenset({Mark.PASSES_EDGE, Mark.MOVES_WITH_HEADER}),
    ConditionGroup.HEIGHT: frozenset({Mark.MOVES_WITH_HEADER}),
    ConditionGroup.WEIGHT: frozenset({Mark.PASSES_EDGE}),
    ConditionGroup.HEAT: frozenset({Mark.NEAR_HEAT}),
    ConditionGroup.COLD: frozenset(),
    ConditionGroup.DUST: frozenset({Mark.OUTSIDE}),
}
AS_A_RULE: Final = 0.15
WHERE_IT_WORKS: Final = 0.60
WHERE_IT_WORKS_STEADY: Final = 0.25
#: each word of a group is said so often when the cause is there, and when it is not
_SAID_IF_THERE: Final = 0.5
_SAID_IF_NOT: Final = 0.02


def group_of(condition: Condition) -> ConditionGroup:
    """Return the group of a condition; every condition has one.

    Parameters
    ----------
    condition : Condition
    """
    return next(group for group, members in GROUPS.items() if condition in members)


def groups_said(conditions: Collection[Condition]) -> frozenset[ConditionGroup]:
    """Return the groups that were noted, several words of one counting once.

    Parameters
    ----------
    conditions : collection of Condition
    """
    return frozenset(group_of(condition) for condition in conditions)


def cause_chance(marks: Collection[Mark], group: ConditionGroup, *, comes_and_goes: bool) -> float:
    """Return the chance that a cause was there when a fault at such a place showed.

    Parameters
    ----------
    marks : collection of Mark
        Of the place.
    group : ConditionGroup
    comes_and_goes : bool
        A steady fault shows whatever the weather.
    """
    if not WORKS_ON[group] & set(marks):
        return AS_A_RULE
    return WHERE_IT_WORKS if comes_and_goes else WHERE_IT_WORKS_STEADY


def group_factor(chance: float, said: int, of: int) -> float:
    """Return how much likelier the words said of one group are than for a place where the cause means nothing.

    Parameters
    ----------
    chance : float
        That the cause was there, as `cause_chance`.
    said : int
        Words of the group that were said.
    of : int
        Words of the group that were asked for; as many as were said where nobody asked.
    """
    return _words(chance, said, of) / _words(AS_A_RULE, said, of)


def _words(chance: float, said: int, of: int) -> float:
    there = _SAID_IF_THERE**said * (1 - _SAID_IF_THERE) ** (of - said)
    away = _SAID_IF_NOT**said * (1 - _SAID_IF_NOT) ** (of - said)
    return chance * there + (1 - chance) * away
