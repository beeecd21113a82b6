"""What an acre cut for others costs this farm on that ground: each kind once, stones, repairs, fuel, time, standing, value."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Final
from uuid import UUID

import numpy as np
from numpy.typing import ArrayLike

from wearlog.costs.custom_work import AreaCost, CustomWork, RateVerdict, custom_cost, rate_verdict
from wearlog.costs.published_curves import COMBINE
from wearlog.costs.remaining_value import COMBINE_VALUE, remaining_value, value_lost_by_use
from wearlog.costs.repair_curve import repair_per_hour
from wearlog.errors import NotFoundError
from wearlog.facts.closed_lists import Cause, Ground, MachineKind, StopReason
from wearlog.facts.machines import Machine
from wearlog.reckoning.costs.own_costs import ENOUGH_SEASONS
from wearlog.reckoning.farm import Farm
from wearlog.reckoning.harvest.field_time import guessed_pace
from wearlog.reckoning.harvest.hour_value import PUBLISHED_CURRENCY
from wearlog.reckoning.plan.custom_basis import DRAWS, AskedWork, KindsGathered, WorkBasis, gathered, paid_for
from wearlog.reckoning.plan.custom_crop import JobDays, hour_in_crop, job_days, pace_in_crop
from wearlog.reckoning.work.stops import seconds_alone
from wearlog.store.connection import Connection
from wearlog.store.histories import Floats, code_of

_SEED: Final = 11
_HOUR: Final = 3600.0
#: capacity and repairs on eight farms of ten: a tenth and a quarter either way (from memory)
_CAPACITY_SPREAD: Final = float(np.log(1.1) / 1.2815515655446004)
_REPAIR_SPREAD: Final = float(np.log(1.25) / 1.2815515655446004)
#: a large combine: gallons an hour, dollars a gallon (from memory)
USUAL_GALLONS: Final = 13.0
USUAL_FUEL_MINOR: Final = 380.0
#: a year, of what a combine is worth: shelter and insurance (ASAE EP496, from memory)
SHELTER_AND_INSURANCE: Final = 0.01
LEVEL: Final = (0.1, 0.9)


@dataclass(frozen=True, slots=True, eq=False)
class CustomView:
    """What the work costs on one combine.

    Attributes
    ----------
    cost : AreaCost
        Minor units for each square metre, over draws of what is not known.
    capacity : float
        Square metres an hour.
    waiting : float or None
        Minor units for each square metre, because own crop stands meanwhile; None where it does and nobody knows its worth.
    days_later, days_sooner : float
        By so many days the own acres are done later; sooner, where what is taken in cuts beside the own combines.
    sooner : float or None
        What that is worth in minor units; None where nobody knows. It is no part of the costs.
    pace_is_of_crop : bool
        The capacity is that in the crop that was asked for.
    hour_minor : float
        An hour of standing.
    job : JobDays or None
        By when it is done.
    in_wear, in_repairs, by_time : tuple of str
        Kinds whose wear is reckoned by their life; those in the machine's own repairs; those that age without work.
    left_out : tuple of str
        What is not in it, since nobody entered it.
    """

    farm: Farm
    machine: Machine
    header: Machine | None
    asked: AskedWork
    cost: AreaCost
    capacity: float
    capacity_is_guess: bool
    ground_is_new: bool
    waiting: float | None
    days_later: float
    days_sooner: float
    sooner: float | None
    pace_is_of_crop: bool
    hour_minor: float
    job: JobDays | None
    crop_name: str
    road: float
    in_wear: tuple[str, ...]
    in_repairs: tuple[str, ...]
    by_time: tuple[str, ...]
    left_out: tuple[str, ...]

    @property
    def outlay(self) -> Floats:
        """What is spent because of the deal, for each square metre: the short run, the road and the own crop that waits."""
        spent = self.cost.short_run
        if self.asked.deal.is_bare:
            spent = spent - self.cost.parts["fuel"] - self.cost.parts["labour"]
        return np.asarray(spent + self.road + (self.waiting or 0.0))

    @property
    def full(self) -> Floats:
        """The same with the share of owning."""
        return np.asarray(self.outlay + self.cost.parts["owning"])

    @property
    def verdict(self) -> RateVerdict | None:
        """What the rate is worth on the mean; None without one."""
        rate = self.asked.rate
        return None if rate is None else rate_verdict(rate, float(self.outlay.mean()), float(self.full.mean()))

    @property
    def is_sure(self) -> bool:
        """Whether the 80 % of neither cost hold the rate; of own acres the share of owning is paid whoever cuts them."""
        rate, costs = self.asked.rate or 0.0, [self.outlay]
        if not self.asked.deal.is_taken_in:
            costs.append(self.full)
        return all(not np.quantile(one, LEVEL[0]) <= rate <= np.quantile(one, LEVEL[1]) for one in costs)


def custom_work(connection: Connection, farm: Farm, asked: AskedWork) -> CustomView:
    """Reckon what the work costs on the combine of a name, else on the one on which it costs least.

    Raises
    ------
    NotFoundError
        There is no combine.
    """
    places = [
        place
        for place, one in enumerate(farm.machines)
        if one.kind is MachineKind.COMBINE and asked.combine in ("", one.name)
    ]
    if not places:
        raise NotFoundError("No combine is in the log.", "Add one: wearlog add combine NAME")
    basis = WorkBasis.read(connection, farm, asked)
    views = [_view(basis, place) for place in places]
    best = min(views, key=lambda one: float(one.outlay.mean()))
    if asked.rate_per_hour is None:
        return best
    return replace(best, asked=replace(asked, rate=asked.rate_per_hour / best.capacity))


def _view(basis: WorkBasis, place: int) -> CustomView:
    farm, asked, rng = basis.farm, basis.asked, np.random.default_rng(_SEED)
    machine = farm.machines[place]
    header_id = basis.header_of.get(machine.id)
    header = next((one for one in farm.machines if one.id == header_id), None)
    found = gathered(basis, {machine.id, *([header_id] if header_id else [])}, machine.id, rng)
    work = next((one for one in basis.harvest.combines if one.machine_id == machine.id), None)
    in_crop = pace_in_crop(basis, place)
    capacity = in_crop or (work.capacity if work is not None else guessed_pace(farm).capacity)
    draws = capacity * np.exp(_CAPACITY_SPREAD * rng.standard_normal(DRAWS))
    hours = asked.area / capacity
    left_out: list[str] = []
    fuel = _fuel(farm, asked, left_out)
    value_lost, owning = _value(basis, machine, hours, left_out)
    hour = hour_in_crop(basis)
    hour = farm.settings.downtime_minor if hour is None else hour
    if not hour:
        left_out.append("an hour of standing, as the farm set it")
    cost = custom_cost(
        CustomWork(
            capacity=draws,
            wear_per_area=found.per_area,
            wear_per_hour=found.per_hour,
            stones_per_area=found.stones,
            stone_cost=found.stone_cost,
            stone_hours=found.stone_hours,
            repairs_per_hour=_repairs(basis, place, header, found, capacity, left_out)
            * np.exp(_REPAIR_SPREAD * rng.standard_normal(DRAWS)),
            fuel_per_hour=fuel,
            labour_per_hour=farm.settings.labour_rate_minor,
            standing_hours_per_area=_standing(basis, place, found, rng),
            hour_worth=hour,
            value_lost_per_hour=value_lost,
            owning_per_hour=owning,
        )
    )
    waiting, days = _waiting(basis, hours, left_out)
    sooner, days_sooner = _sooner(basis, hours)
    road = (asked.road_minor + asked.road_hours * (farm.settings.labour_rate_minor + fuel)) / asked.area
    return CustomView(
        farm=farm,
        machine=machine,
        header=header,
        asked=asked,
        cost=cost,
        capacity=capacity,
        capacity_is_guess=work is None and in_crop is None,
        ground_is_new=not _has_cut(farm, asked.ground),
        waiting=waiting,
        days_later=days,
        days_sooner=days_sooner,
        sooner=sooner,
        pace_is_of_crop=in_crop is not None,
        hour_minor=hour,
        job=job_days(basis, hours, first=bool(asked.waits)),
        crop_name=basis.crop.crop.name if basis.crop else "",
        # the road of what is hired or rented in is in its rate
        road=0.0 if asked.deal.is_taken_in else road,
        in_wear=_names(found.in_wear),
        in_repairs=_names(found.in_repairs),
        by_time=_names(found.by_time),
        left_out=tuple(dict.fromkeys(left_out)),
    )


def _names(kinds: Mapping[UUID, str]) -> tuple[str, ...]:
    return tuple(sorted(kinds.values()))


def _repairs(
    basis: WorkBasis, place: int, header: Machine | None, found: KindsGathered, capacity: float, left_out: list[str]
) -> float:
    """Return what the kinds that are not in the wear cost an hour: the combine's marginal repairs, as far as they were theirs."""
    farm, machine = basis.farm, basis.farm.machines[place]
    curve = next(one for one in basis.curves.machines if one.name == machine.name)
    own = curve.own
    trusted = own is not None and own.intervals >= ENOUGH_SEASONS and not own.is_unusual
    use = own.as_repair_curve(machine.name, COMBINE.life_hours) if own is not None and trusted else COMBINE
    per_hour = 0.0
    if machine.list_price_minor:
        per_hour = float(repair_per_hour(use, machine.list_price_minor, max(curve.hours, 1.0)))
    else:
        left_out.append(f"repairs beside wear (no list price of {machine.name})")
    other, whole = paid_for(basis, machine.id, found)
    # without bills nobody knows the share: what the curve foretells beyond the wear that is reckoned
    mine = per_hour * other / whole if whole else max(per_hour - found.wear_of_combine, 0.0)
    if header is None:
        return mine
    beside, _ = paid_for(basis, header.id, found)
    runs = farm.histories.runs
    cut = float(runs.area[runs.combine == place].sum())
    return mine + (beside / cut * capacity if cut else 0.0)


def _standing(basis: WorkBasis, place: int, found: KindsGathered, rng: np.random.Generator) -> ArrayLike:
    """Hours stood for breakdowns that no stone made, for each square metre that the combine has cut."""
    farm = basis.farm
    runs, breakages = farm.histories.runs, farm.histories.breakages
    cut = float(runs.area[runs.combine == place].sum())
    stops = [
        one for one in basis.stops.get(place, []) if one.reason is StopReason.BREAKDOWN and one.started_at <= farm.now
    ]
    hours = sum(seconds_alone(farm, stops)) / _HOUR
    if not cut:
        return 0.0
    on = farm.histories.components.machine[breakages.component] == place
    by_stones = int((on & (breakages.cause == code_of(Cause.IMPACT))).sum()) * float(np.mean(found.stone_hours))
    shape = len(stops) + 0.5
    return max(hours - by_stones, 0.0) / cut * rng.gamma(shape, size=DRAWS) / shape


def _fuel(farm: Farm, asked: AskedWork, left_out: list[str]) -> float:
    if asked.fuel_minor_per_hour is not None:
        return asked.fuel_minor_per_hour
    if farm.settings.currency == PUBLISHED_CURRENCY:
        return USUAL_GALLONS * USUAL_FUEL_MINOR
    left_out.append("fuel (say --fuel-price)")
    return 0.0


def _value(basis: WorkBasis, machine: Machine, hours: float, left_out: list[str]) -> tuple[float, float]:
    """Return what an hour of use takes off the value, and what owning costs an hour with these hours on top of the usual."""
    life = basis.lives.get(machine.name)
    list_price = machine.list_price_minor
    if life is None or life.missing or life.age_years is None or not list_price or life.worth_minor is None:
        missing = life.missing if life is not None and life.missing else "list price"
        left_out.append(f"owning and value lost (no {missing} of {machine.name})")
        return 0.0, 0.0
    age, yearly = max(life.age_years, 1.0), life.hours_per_year
    by_use = value_lost_by_use(COMBINE_VALUE, list_price, age, yearly)
    by_age = life.worth_minor - remaining_value(COMBINE_VALUE, list_price, age + 1, yearly)
    kept = life.worth_minor * (basis.asked.interest + SHELTER_AND_INSURANCE)
    return by_use, (max(by_age, 0) + kept) / (yearly + hours)


def _waiting(basis: WorkBasis, hours: float, left_out: list[str]) -> tuple[float | None, float]:
    """Return what own crop that stands meanwhile loses, for each square metre of the work, and by how many days it is later."""
    finish, asked = basis.harvest.finish, basis.asked
    standing = finish is not None and finish.left > 0
    waits = (standing and finish is not None and finish.first_day is not None) if asked.waits is None else asked.waits
    if asked.deal.is_taken_in or not waits or not standing or finish is None:
        return 0.0, 0.0
    hours += asked.road_hours
    days = hours / (finish.hours_per_day * finish.weather.share * finish.machines)
    if basis.crop_hour is None:
        left_out.append(
            "what the own crop loses while it waits (its price: wearlog add crop NAME --price N; its yield: on its runs)"
        )
        return None, days
    return hours * basis.crop_hour / asked.area, days


def _sooner(basis: WorkBasis, hours: float) -> tuple[float | None, float]:
    """Return what it is worth that the own acres are in sooner when what is taken in cuts beside the own, and by how many days."""
    finish, asked = basis.harvest.finish, basis.asked
    if not asked.deal.is_taken_in or finish is None or finish.left <= 0:
        return None, 0.0
    hours = min(hours, hours * finish.left / asked.area)
    days = hours / (finish.hours_per_day * finish.weather.share * finish.machines)
    return (None if basis.crop_hour is None else hours * basis.crop_hour), days


def _has_cut(farm: Farm, ground: Ground) -> bool:
    return bool((farm.histories.runs.ground == code_of(ground)).any())
