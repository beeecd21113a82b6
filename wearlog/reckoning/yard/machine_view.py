"""What the machine screen answers: components by age against life, positions, where breakages bunch, what breaks next."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from math import exp, expm1, inf, log
from uuid import UUID

import numpy as np

from wearlog.errors import NotFoundError
from wearlog.facts.closed_lists import Cause, Dimension, Evidence, Subsystem
from wearlog.facts.electrics import Fault
from wearlog.facts.farm_settings import FarmSettings
from wearlog.facts.machines import Hitch, Machine, partners
from wearlog.facts.parts import PartKind
from wearlog.facts.wearing import Breakage, Component, Measurement
from wearlog.reckoning.farm import Farm
from wearlog.reckoning.harvest.field_time import MachineShown, progress
from wearlog.reckoning.parts.fitted_now import left_in_service
from wearlog.reckoning.wear.age_groups import AgeGroup, chances_to_last, outlook_basis
from wearlog.reckoning.wear.kind_life import FleetLives, KindLife, life_here
from wearlog.reckoning.wear.kind_view import hot_windows
from wearlog.reckoning.wear.season_ahead import SeasonAhead, TakenFrom
from wearlog.reckoning.wear.wear_outlook import ComponentOutlook, KindOutlook, WearOutlook, kind_outlook
from wearlog.reckoning.work.services_due import DueStanding, ServiceDue, services_due
from wearlog.store.connection import Connection
from wearlog.store.finding import find_all, find_in_order
from wearlog.store.histories import code_of

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


#: breakages listed on the screen itself
LAST_SHOWN = 20


@dataclass(frozen=True, slots=True)
class PositionNow:
    """One position as it stands; `age` is None where nobody knows or nothing is fitted, in seconds or square metres."""

    position: int
    age: float | None
    fitted: bool
    breakages: int
    impacts: int
    left: bool


@dataclass(frozen=True, slots=True)
class LifeSpan:
    """The interval of a kind's median life on the kind's meter; None where nothing failed and nobody guessed.

    It is the 90 % interval of guess and records together, as the list of kinds and the kind's own page say it: parts that have
    lasted move it before the first has failed. `median` is what lies in its middle.
    """

    low: float | None
    high: float | None
    failures: int
    evidence: Evidence
    median: float | None = None


@dataclass(frozen=True, slots=True)
class HotSpan:
    """Stones hit the positions first to last, ends included, more than an even spread explains; `chance` is that of such a spread.

    It is the window of the kind's own page: one component is hot on all faces or on none.
    """

    first: int
    last: int
    breakages: int
    chance: float


@dataclass(frozen=True, slots=True)
class ComponentNow:
    """A component as it stands.

    Attributes
    ----------
    oldest : float or None
        Age of the oldest position whose age is known, on the kind's meter.
    life : LifeSpan
        How long its kind lasts, and what that rests on.
    breakages : int
        Broken positions since the log began.
    measured : Measurement or None
        The last wear measurement.
    season : float or None
        What the machine runs in a usual season, on the kind's meter; None where nothing says it.
    """

    component: Component
    kind: PartKind
    oldest: float | None
    unknown: int
    life: LifeSpan
    breakages: int
    last_broke: int | None
    measured: Measurement | None
    positions: tuple[PositionNow, ...]
    hot: HotSpan | None
    season: float | None = None


@dataclass(frozen=True, slots=True)
class MachineView:
    """A machine with its components in the order of the subsystems, its last breakages, latest first, and what else waits on it.

    `overdue` are its services that are past, the most pressing first; `faults` those that nobody has closed, the latest first;
    `next` is what most likely breaks first.
    """

    as_of: datetime
    settings: FarmSettings
    machine: Machine
    hitched_to: Machine | None
    shown: MachineShown
    components: tuple[ComponentNow, ...]
    last: tuple[Breakage, ...]
    overdue: tuple[ServiceDue, ...] = ()
    faults: tuple[Fault, ...] = ()
    next: NextStop | None = None


def machine_view(connection: Connection, farm: Farm, machine_id: UUID, fleet: WearOutlook | None = None) -> MachineView:
    """Answer the machine screen. NotFoundError when there is no such machine any more.

    Parameters
    ----------
    fleet : WearOutlook, optional
        The outlook of the whole fleet on this very farm, where it was reckoned already: the lives of its kinds are taken from it.
    """
    machine = next((one for one in farm.machines if one.id == machine_id), None)
    if machine is None:
        raise NotFoundError("This machine is not in the log any more.", "Choose another one in the yard.")
    basis, histories = outlook_basis(connection, farm) if fleet is None else fleet.basis, farm.histories
    kinds = {kind.id: kind for kind in farm.part_kinds}
    left = {one.component.id: frozenset(one.positions) for one in left_in_service(farm)}
    own = [number for number, component in enumerate(farm.components) if component.machine_id == machine_id]
    hot = _hot_spans(farm, own)
    here = int(farm.machine_number(machine_id))
    mine = {int(histories.components.part_kind[one]) for one in own}
    # the machine's own life where machines differ, as its page of the kind says it
    known = {} if fleet is None else {one.life.kind.id: one.life for one in fleet.kinds}
    lives = {one: known.get(farm.part_kinds[one].id) or life_here(basis.lives, one) for one in mine}
    outlooks = {one: kind_outlook(basis, one, here, life=replace(life, machine=here)) for one, life in lives.items()}
    found = [
        _component_now(
            *(connection, farm, basis.lives, number, kinds[farm.components[number].part_kind_id]),
            outlooks[int(histories.components.part_kind[number])],
            left.get(farm.components[number].id, frozenset()),
            hot.get(farm.components[number].id),
        )
        for number in own
    ]
    order = list(Subsystem)
    found.sort(key=lambda one: (order.index(one.kind.subsystem), -one.component.positions, one.component.place))
    return MachineView(
        as_of=farm.now,
        settings=farm.settings,
        machine=machine,
        hitched_to=_hitched_to(connection, farm, machine),
        shown=next(one for one in progress(connection, farm).machines if one.machine_id == machine_id),
        components=tuple(found),
        last=_last_breakages(connection, [one.component.id for one in found]),
        overdue=tuple(
            one
            for one in services_due(connection, farm)
            if one.machine_id == machine_id and one.standing is DueStanding.OVERDUE
        ),
        faults=tuple(
            find_in_order(connection, Fault, "opened_at", latest_first=True, machine_id=machine_id, closed_at=None)
        ),
        next=next_stop(outlooks.values(), basis.ahead),
    )


def _hitched_to(connection: Connection, farm: Farm, machine: Machine) -> Machine | None:
    partner = partners(find_all(connection, Hitch), farm.now).get(machine.id)
    return next((one for one in farm.machines if one.id == partner), None)


def _last_breakages(connection: Connection, component_ids: list[UUID]) -> tuple[Breakage, ...]:
    found: list[Breakage] = []
    for component_id in component_ids:
        found += find_in_order(
            connection, Breakage, "at", latest_first=True, limit=LAST_SHOWN, component_id=component_id
        )
    return tuple(sorted(found, key=lambda one: one.at, reverse=True)[:LAST_SHOWN])


def _life(found: KindLife) -> LifeSpan:
    kind = found.kind
    failures, median = round(found.lives.failures), found.median_life
    evidence = Evidence.OWN_RECORDS if failures else kind.guess_evidence
    if median is not None:
        return LifeSpan(median.low, median.high, failures, evidence, median.median)
    return LifeSpan(kind.life_low_usage, kind.life_high_usage, failures, evidence)


def _component_now(
    connection: Connection,
    farm: Farm,
    lives: FleetLives,
    number: int,
    kind: PartKind,
    outlook: KindOutlook,
    left: frozenset[int],
    hot: HotSpan | None,
) -> ComponentNow:
    component, histories, ages = farm.components[number], farm.histories, lives.ages
    on = np.flatnonzero((histories.fittings.component == number) & ages.on)
    age_of = dict(zip(histories.fittings.position[on].tolist(), ages.exit[on].tolist(), strict=True))
    events = np.flatnonzero(histories.breakages.component == number)
    broken, impacts = _counts(farm, events.tolist())
    positions = tuple(
        PositionNow(
            position=position,
            age=_known(age_of.get(position)),
            fitted=position in age_of,
            breakages=broken[position],
            impacts=impacts[position],
            left=position in left,
        )
        for position in range(1, component.positions + 1)
    )
    known = [one.age for one in positions if one.age is not None]
    measured = ()
    if kind.dimension is not Dimension.NONE:
        measured = find_in_order(connection, Measurement, "at", latest_first=True, limit=1, component_id=component.id)  # type: ignore[assignment]
    return ComponentNow(
        component=component,
        kind=kind,
        oldest=max(known, default=None),
        unknown=sum(one.fitted and one.age is None for one in positions),
        life=_life(outlook.life),
        breakages=sum(broken.values()),
        last_broke=int(histories.breakages.at[events].max()) if events.size else None,
        measured=measured[0] if measured else None,
        positions=positions,
        hot=hot,
        season=outlook.season,
    )


def _known(age: float | None) -> float | None:
    return None if age is None or np.isnan(age) else age


def _counts(farm: Farm, events: list[int]) -> tuple[Counter[int], Counter[int]]:
    """Breakages at each position, and those by impact."""
    breakages = farm.histories.breakages
    broken: Counter[int] = Counter()
    impacts: Counter[int] = Counter()
    impact = code_of(Cause.IMPACT)
    for event in events:
        broken.update(breakages.positions[event])
        if breakages.cause[event] == impact:
            impacts.update(breakages.positions[event])
    return broken, impacts


def _hot_spans(farm: Farm, own: Sequence[int]) -> dict[UUID, HotSpan]:
    """Where stones bunch on these components, each scanned beside all others of its kind."""
    kinds = {int(farm.histories.components.part_kind[number]) for number in own}
    return {
        place.component.id: HotSpan(
            place.window.first, place.window.last, place.window.breakages, place.window.p_value * place.looked_at
        )
        for kind in kinds
        for place in hot_windows(farm, kind, int(farm.histories.components.machine[own[0]]))
        if place.is_hot
    }
