"""One line of the season plan: a component, what it costs to run or replace it, and all that this rests on. Frozen; no sums."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum, unique
from typing import Final

import numpy as np

from wearlog.facts.closed_lists import Choice
from wearlog.facts.machines import Machine
from wearlog.facts.parts import PartKind
from wearlog.facts.wearing import Component
from wearlog.plan.decide import Verdict
from wearlog.plan.demand import PositionGroup
from wearlog.plan.life_nodes import LifeNodes
from wearlog.plan.positions import Saving, SetChoice, SetCosts, SetDecision
from wearlog.reckoning.parts.repair_habits import RepairHabits
from wearlog.reckoning.parts.stock import ShelfPart
from wearlog.wear.intervals import Estimate

#: so many times the longest life believed in: no part of that age lasts a season
_ENDLESS: Final = 1e4


@unique
class Undecided(StrEnum):
    """Why the figures say nothing about a component."""

    NO_LIFE = "no_life"
    NO_AGE = "no_age"
    EMPTY = "empty"
    NO_PRICE = "no_price"
    NO_TIME = "no_time"
    NO_USAGE = "no_usage"


@dataclass(frozen=True, slots=True)
class CostBasis:
    """What a line's costs are made of, in whole minor units.

    Attributes
    ----------
    costs : SetCosts or None
        Opening, each position, one failure; None when a price or a time is missing.
    labour_each_minor, labour_opening_minor, labour_field_minor, standing_minor : int
        Labour of each position and of opening up in the shop; labour and standing of one failure in the field.
    habits : RepairHabits
        The times behind them.
    """

    costs: SetCosts | None
    labour_each_minor: int
    labour_opening_minor: int
    labour_field_minor: int
    standing_minor: int
    habits: RepairHabits


@dataclass(frozen=True, slots=True)
class LifeBasis:
    """What is believed of the life: median and its 90 % interval, failures and lives on record, whether a guess is in it.

    Where `measured` readings of the part itself say when its wear meets the limit, that speaks instead, and `median` is that usage.
    """

    median: Estimate | None
    failures: float
    lives: float
    has_guess: bool
    measured: int


@dataclass(frozen=True, slots=True, eq=False)
class PlanLine:
    """A component of the fleet in the season plan.

    Attributes
    ----------
    machine, component, kind : Machine, Component, PartKind
    part : ShelfPart or None
        What is fitted; None when no part in the log fits.
    positions : tuple of int
        Those whose age is known, in the order of `ages` and of the decision's positions.
    ages : tuple of float
        Seconds or square metres of the kind's meter.
    counted_ages : tuple of float
        What they count in acres of the usual mix of ground, where ground wears at speeds of its own: `nodes` and `decision` are
        in these. Empty: the same as `ages`.
    pace, pace_later : float
        What an acre of the season planned, and of a usual one, counts in acres of the usual mix.
    unknown : tuple of int
        Positions of unknown age.
    failed : tuple of int
        Positions of known age whose part broke and was left in service, or is past its limit: they need a successor.
    usage_now, usage_later : float
        Of the season planned, and the mean of a season.
    impacts : float
        Breakages by impact expected on it in the season.
    nodes : LifeNodes or None
    life : LifeBasis
    basis : CostBasis
    decision : SetDecision or None
        None where `undecided` says why.
    undecided : Undecided or None
    worth_below_minor : int or None
        Where only the price is missing: replacing saves if a part costs less than this; None when it never does.
    by_hand_replace, by_hand_run : tuple of int
        Positions chosen by hand.
    by_hand_done : tuple of int
        Positions that were chosen to be replaced and have a part that has not run yet.
    failures_by_wear : float
        Failures by wear expected in the season where nothing is decided, successors counted, of positions that can be reckoned.
    """

    machine: Machine
    component: Component
    kind: PartKind
    part: ShelfPart | None
    positions: tuple[int, ...]
    ages: tuple[float, ...]
    unknown: tuple[int, ...]
    usage_now: float
    usage_later: float
    impacts: float
    nodes: LifeNodes | None
    life: LifeBasis
    basis: CostBasis
    decision: SetDecision | None
    undecided: Undecided | None
    worth_below_minor: int | None = None
    failed: tuple[int, ...] = ()
    by_hand_replace: tuple[int, ...] = ()
    by_hand_run: tuple[int, ...] = ()
    by_hand_done: tuple[int, ...] = ()
    failures_by_wear: float = 0.0
    counted_ages: tuple[float, ...] = ()
    pace: float = 1.0
    pace_later: float = 1.0

    @property
    def by_hand(self) -> Choice | None:
        """What a person chose; None where the figures decide."""
        if self.by_hand_replace:
            return Choice.REPLACE
        return Choice.RUN if self.by_hand_run and not self.proposed else None

    @property
    def proposed(self) -> tuple[int, ...]:
        """Positions that are replaced if the line is: those chosen by hand, else those that pay best."""
        if self.by_hand_replace:
            return self.by_hand_replace
        return tuple(position for position in self.best if position not in self.by_hand_run)

    @property
    def best(self) -> tuple[int, ...]:
        """Positions whose replacement saves most, or loses least where running is cheaper."""
        decision = self.decision
        if decision is None:
            return ()
        return tuple(self.positions[place] for place in decision.best)

    @property
    def worth_weighing(self) -> tuple[tuple[int, ...], ...]:
        """Sets of positions that save by themselves, the best first; fewer of them follow, for when money or time is short.

        What is chosen by hand is in every one of them: the figures decide on the rest.
        """
        hand = self.by_hand_replace
        few = () if self.decision is None else tuple(self.positions[place] for place in self.decision.some)
        found: list[tuple[int, ...]] = []
        for positions in (self.best, few, self.failed):
            free = tuple(sorted({*hand, *positions} - set(self.by_hand_run)))
            if free and free not in found and self.saving_minor(free) > self.saving_minor(hand):
                found.append(free)
        return tuple(found)

    @property
    def verdict(self) -> Verdict | None:
        """What the figures say of replacing the positions proposed."""
        saving = self.saving(self.proposed or self.best)
        return None if saving is None else saving.verdict

    @property
    def do(self) -> Choice:
        """What costs less on the mean, however close it is."""
        paying = self.decision is not None and self.decision.choice is not SetChoice.RUN
        return Choice.REPLACE if paying else Choice.RUN

    @property
    def limit_age(self) -> float | None:
        """Past this age one position alone is worth replacing before the season."""
        return None if self.decision is None or self.decision.limit_age is None else self.decision.limit_age / self.pace

    @property
    def worn_ages(self) -> tuple[float, ...]:
        """The ages by which failures are reckoned: a part that failed already is as good as endlessly old."""
        if self.nodes is None or not self.failed:
            return self.counted_ages or self.ages
        endless = _ENDLESS * float(self.nodes.scale.max())
        return tuple(
            endless if position in self.failed else age
            for position, age in zip(self.positions, self.counted_ages or self.ages, strict=True)
        )

    def saving_minor(self, positions: tuple[int, ...]) -> int:
        """Return what replacing just these positions saves on the mean; those of unknown age count for nothing."""
        saving = self.saving(positions)
        return 0 if saving is None else saving.mean_minor

    def saving(self, positions: tuple[int, ...]) -> Saving | None:
        """Return what replacing just these positions saves, with its interval; None where nothing is decided or replaced."""
        if self.decision is None or not positions:
            return None
        if positions == self.best:
            return self.decision.saving
        place = {position: number for number, position in enumerate(self.positions)}
        places = [place[position] for position in positions if position in place]
        return self.decision.saving_of(places) if places else None

    def stops(self, replaced: tuple[int, ...]) -> float:
        """Return the failures expected in the season when these positions are replaced before it."""
        if self.decision is None:
            return self.impacts + (0.0 if replaced else self.failures_by_wear)
        new = set(replaced)
        return sum(
            one.stops_replace if position in new else one.stops_keep
            for position, one in zip(self.positions, self.decision.by_position, strict=True)
        )

    def shop_seconds(self, positions: tuple[int, ...]) -> int:
        """Return the man-time of replacing these positions."""
        opening, each = self.basis.habits.shop_opening.seconds, self.basis.habits.shop_each.seconds
        return round((opening or 0.0) + (each or 0.0) * len(positions)) if positions else 0

    def group(self, replaced: tuple[int, ...], assumed_age: float | None) -> PositionGroup:
        """Return the positions as the season begins: replaced ones new, those of unknown age at an assumed one."""
        new = set(replaced)
        pairs = zip(self.positions, self.worn_ages, strict=True)
        ages = [0.0 if position in new else age for position, age in pairs]
        if assumed_age is not None:
            ages += [0.0 if position in new else assumed_age for position in self.unknown]
        return PositionGroup(np.array(ages, dtype=np.float64), self.usage_now * self.pace)
