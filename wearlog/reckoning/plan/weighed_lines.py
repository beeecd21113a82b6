"""The lines of the season plan: from ages, lives, prices and times to "replace or run" for every component. Sums nothing up."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Final
from uuid import UUID

import numpy as np

from wearlog.facts.closed_lists import Choice, MeterKind
from wearlog.facts.work import PlanChoice
from wearlog.plan.age_table import Seasons
from wearlog.plan.life_nodes import LifeNodes
from wearlog.plan.positions import SetCosts, decide_positions
from wearlog.reckoning.farm import YEAR_SECONDS, Farm, season_period
from wearlog.reckoning.parts.repair_habits import Habit, RepairHabits, TimeSource
from wearlog.reckoning.parts.stock import PartChoices, ShelfPart
from wearlog.reckoning.plan.line import CostBasis, LifeBasis, PlanLine, Undecided
from wearlog.reckoning.wear.age_groups import LifeLaw, condensed
from wearlog.reckoning.wear.kind_life import KindLife
from wearlog.reckoning.wear.measured_wear import MeasuredPart, as_known
from wearlog.reckoning.wear.season_ahead import PAST_SEASONS, usage_by_meter
from wearlog.reckoning.wear.wear_outlook import ComponentOutlook, KindOutlook, WearOutlook
from wearlog.store.histories import Floats, code_of
from wearlog.wear.intervals import Estimate

#: a line says when the limit is met, and parts fitted there after it wear nearly alike: far sharper than lives of a kind
SHARPNESS: Final = 12.0
#: two readings on a line can lie on it by chance and would then seem quite sure
_ENOUGH_DEGREES: Final = 2
_LEVELS: Final = (0.9, 0.7, 0.5, 0.3, 0.1)
_SHORTEST, _LONGEST = 0.5, 20.0


@dataclass(frozen=True, slots=True, eq=False)
class MeasuredLife:
    """A belief of one component's life: nodes, the usage at the limit with its 90 % interval, and how many readings.

    The upper end of the interval is infinite where the readings do not say that the limit is ever met.
    """

    nodes: LifeNodes
    crossing: Estimate
    readings: int


def measured_lives(outlook: WearOutlook) -> dict[UUID, MeasuredLife]:
    """Return the measured lives, by id of the component.

    Only components of one position whose part has a known age and readings to spare beyond its line: of a set some positions
    are measured and others not, and there the lives of the kind say more.
    """
    farm, found = outlook.farm, {}
    for part in outlook.basis.measured:
        component = farm.components[part.component]
        if component.positions == 1 and part.age_known and part.usage_now > 0:
            life = _life(part)
            if life is not None:
                found[component.id] = life
    return found


def _life(part: MeasuredPart) -> MeasuredLife | None:
    path = part.path
    if path is None or path.degrees < _ENOUGH_DEGREES:
        return None
    found = path.crossings(_LEVELS)
    shown = part.crossing(found[0].level) if part.past_limit else as_known(found[0])
    if shown is None or shown.low is None or shown.high is None or np.isinf(shown.usage):
        # no wear toward the limit: the lives of the kind say more
        return None
    ends = [end for one in found for end in (one.low, one.high) if end is not None]
    # a limit met long ago or never is as good as half the age, or many times it: the figures stay within reach
    usage = np.clip(np.array(ends), _SHORTEST * part.usage_now, _LONGEST * part.usage_now)
    nodes = LifeNodes.of(
        np.full(usage.size, SHARPNESS), usage / np.log(2.0) ** (1 / SHARPNESS), np.full(usage.size, 1.0)
    )
    return MeasuredLife(nodes, Estimate(shown.usage, shown.low, shown.high, shown.level), part.usage.size)


#: a cost one season later counts for so much: 5 % a year (common practice, no source)
DISCOUNT: Final = 0.95
_PRICE_ROUNDS: Final = 11
#: no part is dearer than so many times what its failure costs besides
_DEAREST: Final = 50
_UNKNOWN_TIMES: Final = RepairHabits(*(Habit(None, 0, TimeSource.UNKNOWN) for _ in range(4)))


@dataclass(frozen=True, slots=True, eq=False)
class LineInputs:
    """What the lines are made of, read once."""

    farm: Farm
    outlook: WearOutlook
    parts: PartChoices
    habits: Mapping[UUID, RepairHabits]
    choices: Sequence[PlanChoice]
    done: Mapping[UUID, frozenset[int]]
    measured: Mapping[UUID, MeasuredLife]


def plan_lines(given: LineInputs) -> tuple[PlanLine, ...]:
    """Decide on every component of the fleet, the largest saving first."""
    later = usage_of_a_season(given.farm)
    by_component: dict[UUID, list[PlanChoice]] = defaultdict(list)
    for choice in given.choices:
        by_component[choice.component_id].append(choice)
    lines = []
    for kind in given.outlook.kinds:
        # components that go by one life share its nodes: their parts fail many together or few together
        lines += [
            _line(
                given,
                kind,
                one,
                None if one.usual_law is None else condensed(one.usual_law),
                later,
                by_component[one.component_id],
            )
            for one in kind.components
        ]
    return tuple(sorted(lines, key=_order))


def usage_of_a_season(farm: Farm) -> Floats:
    """Return the mean usage of the last seasons, (machines, meters) by MeterKind; 0 where a machine has no season behind it."""
    machines = np.arange(len(farm.machines))
    worked = []
    for season in farm.seasons:
        period = season_period(farm, season)
        # the season that runs now is not whole yet
        if farm.is_over(season) and period.end > period.start:
            worked.append(usage_by_meter(farm, machines, period.start, period.end))
    if not worked:
        none = np.zeros((machines.size, len(MeterKind)))
        none[:, code_of(MeterKind.CALENDAR)] = YEAR_SECONDS
        return none
    last = np.stack(worked[-PAST_SEASONS:])
    counted = (last > 0).sum(axis=0)
    return np.asarray(last.sum(axis=0) / np.maximum(counted, 1))


def _order(line: PlanLine) -> tuple[bool, int, str, str]:
    saving = 0 if line.decision is None else line.saving_minor(line.best)
    return (line.decision is None, -saving, line.machine.name, line.component.place)


def _line(
    given: LineInputs,
    kind: KindOutlook,
    outlook: ComponentOutlook,
    nodes: LifeNodes | None,
    later: Floats,
    choices: Sequence[PlanChoice],
) -> PlanLine:
    farm = given.farm
    component = farm.component(outlook.component_id)
    machine = farm.machine_number(component.machine_id)
    aged = [(position, group) for group in outlook.groups if group.age is not None for position in group.positions]
    aged.sort(key=lambda one: one[0])
    part = given.parts.part_of(component.id)
    basis = _basis(farm, given.habits.get(kind.life.kind.id, _UNKNOWN_TIMES), part)
    own = given.measured.get(component.id) if aged else None
    wanted = _by_hand(choices, Choice.REPLACE)
    new = given.done.get(component.id, frozenset())
    past = float(later[machine, code_of(kind.life.kind.meter_kind)])
    line = PlanLine(
        machine=farm.machines[machine],
        component=component,
        kind=kind.life.kind,
        part=part,
        positions=tuple(position for position, _ in aged),
        ages=tuple(group.age or 0.0 for _, group in aged),
        unknown=tuple(sorted(p for group in outlook.groups if group.age is None for p in group.positions)),
        usage_now=outlook.usage,
        usage_later=past if past > 0 else outlook.usage,
        impacts=outlook.expected_impacts,
        nodes=nodes if own is None else own.nodes,
        life=_life_basis(kind.life, outlook.law, own),
        basis=basis,
        decision=None,
        undecided=None,
        failed=tuple(
            sorted(p for group in outlook.groups if group.failed and group.age is not None for p in group.positions)
        ),
        by_hand_replace=tuple(position for position in wanted if position not in new),
        by_hand_run=_by_hand(choices, Choice.RUN),
        by_hand_done=tuple(position for position in wanted if position in new),
        failures_by_wear=outlook.failures_by_wear,
    )
    if own is None and (kind.life.clock is not None or kind.life.missing is not None):
        counted = tuple((group.worn_age or 0.0) * outlook.pace for _, group in aged)
        line = replace(line, counted_ages=counted, pace=outlook.pace, pace_later=outlook.pace_later)
    return _decided(line)


def _by_hand(choices: Sequence[PlanChoice], wanted: Choice) -> tuple[int, ...]:
    """Positions chosen so by hand; of two choices for one position (after a merge) the one entered later counts: the last."""
    latest: dict[int, Choice] = {}
    for choice in choices:
        latest.update(dict.fromkeys(choice.positions, choice.choice))
    return tuple(sorted(position for position, choice in latest.items() if choice is wanted))


def _life_basis(life: KindLife, law: LifeLaw | None, measured: MeasuredLife | None) -> LifeBasis:
    posterior = life.posterior
    usual = life.median_life if law is posterior or law is None else law.median_life()
    return LifeBasis(
        usual if measured is None else measured.crossing,
        0.0 if posterior is None else posterior.failures,
        0.0 if posterior is None else posterior.lives,
        life.has_guess,
        0 if measured is None else measured.readings,
    )


def _basis(farm: Farm, habits: RepairHabits, part: ShelfPart | None) -> CostBasis:
    rate, hour = farm.settings.labour_rate_minor, farm.settings.downtime_minor
    each, opening, in_field = (
        habit.minor(rate) for habit in (habits.shop_each, habits.shop_opening, habits.field_labour)
    )
    standing = habits.standing.minor(hour)
    price = None if part is None else part.price_minor
    known = habits.shop_each.seconds is not None and habits.standing.seconds is not None
    costs = SetCosts(opening, price + each, price + in_field + standing) if known and price is not None else None
    return CostBasis(costs, each, opening, in_field, standing, habits)


def _decided(line: PlanLine) -> PlanLine:
    """The line with its decision, or why there is none."""
    reason = _missing(line)
    if reason is Undecided.NO_PRICE:
        return replace(line, undecided=reason, worth_below_minor=_worth_below(line))
    if reason is not None or line.nodes is None or line.basis.costs is None:
        return replace(line, undecided=reason)
    decision = decide_positions(line.nodes, line.worn_ages, line.basis.costs, _seasons(line))
    return replace(line, decision=decision)


def _missing(line: PlanLine) -> Undecided | None:
    checks = (
        (line.usage_later <= 0, Undecided.NO_USAGE),
        (line.nodes is None, Undecided.NO_LIFE),
        (not line.positions and not line.unknown, Undecided.EMPTY),
        (not line.positions, Undecided.NO_AGE),
        (line.basis.habits.standing.seconds is None, Undecided.NO_TIME),
        (line.basis.costs is None, Undecided.NO_PRICE),
    )
    return next((reason for failed, reason in checks if failed), None)


def _seasons(line: PlanLine) -> Seasons:
    now, later = line.usage_now * line.pace, line.usage_later * line.pace_later
    share = line.impacts / line.component.positions / now if now > 0 else 0.0
    return Seasons(now, later, DISCOUNT, share)


def _worth_below(line: PlanLine) -> int | None:
    """The price of a part below which replacing the oldest position saves; found by halving, None when none does."""
    nodes, basis, oldest = line.nodes, line.basis, max(line.counted_ages or line.ages)
    if nodes is None:
        return None
    stop = basis.labour_field_minor + basis.standing_minor

    def saves(price: float) -> bool:
        each, failure = round(price) + basis.labour_each_minor, round(price) + stop
        costs = SetCosts(basis.labour_opening_minor, each, failure)
        return decide_positions(nodes, [oldest], costs, _seasons(line)).saving.mean_minor > 0

    # by ratios: what a part costs is known to a per cent or two, whether it is a bolt or a drive
    low, high = 1.0, float(_DEAREST * (stop + 1))
    if not saves(low):
        return None
    for _ in range(_PRICE_ROUNDS):
        middle = (low * high) ** 0.5
        low, high = (middle, high) if saves(middle) else (low, middle)
    return round(low)
