"""The farm's own repair-cost curve of each combine and of all, and the age to which each is cheapest to keep."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from wearlog.costs.capital import capital_recovery
from wearlog.costs.economic_life import EconomicLife, economic_life_by_curves
from wearlog.costs.own_curve import OwnCurve, fit_cumulative, fit_own_curve
from wearlog.costs.published_curves import COMBINE, RepairCurve
from wearlog.costs.remaining_value import COMBINE_VALUE, remaining_value
from wearlog.costs.repair_curve import accumulated_repair, price_after_inflation, repair_between, repair_per_hour
from wearlog.errors import DataError
from wearlog.facts.closed_lists import MachineKind, MeterKind
from wearlog.facts.machines import Machine
from wearlog.reckoning.costs.cost_events import EventCosts, FieldHours, cost_events, field_hours_at, field_hours_of
from wearlog.reckoning.farm import Farm, season_period
from wearlog.store.connection import Connection
from wearlog.store.histories import Ints

#: a machine's own curve is used for its economic life from so many seasons on; below, that of all combines
ENOUGH_SEASONS: Final = 4
_HORIZON_YEARS: Final = 25
_NO_HOURS: Final = "No season with hours of use is on record."


@dataclass(frozen=True, slots=True)
class SeasonCost:
    """A stretch from one season's beginning to the next: hours in the field at both ends, and repairs (parts, labour, service)."""

    harvest_year: int
    from_hours: float
    to_hours: float
    repair_minor: int
    published_minor: int


@dataclass(frozen=True, slots=True)
class MachineCurve:
    """One combine's own curve beside the published one.

    Attributes
    ----------
    name : str
    list_price_minor : int or None
    engine_hours : float
        What its engine hour meter shows now.
    hours : float
        Its hours of use in the field, from new to now; all hours of curves are such.
    basis : FieldHours
        What those are read off.
    seasons : tuple of SeasonCost
    own : OwnCurve or None
    why_not : str
        Why there is no own curve; empty where there is one.
    published_to_date_minor : int or None
        What the published curve expects from new to now.
    published_per_hour_minor : int or None
        What it expects of the next hour in the field.
    """

    name: str
    list_price_minor: int | None
    engine_hours: float
    hours: float
    basis: FieldHours
    seasons: tuple[SeasonCost, ...]
    own: OwnCurve | None
    why_not: str
    published_to_date_minor: int | None
    published_per_hour_minor: int | None


@dataclass(frozen=True, slots=True)
class FleetCurves:
    """Every combine, and one curve through the records of all of them (in shares of list price)."""

    machines: tuple[MachineCurve, ...]
    fleet: OwnCurve | None
    fleet_why_not: str
    published: RepairCurve


@dataclass(frozen=True, slots=True)
class MachineLife:
    """The age to which one combine is cheapest to keep, by the published repair curve and by the farm's own.

    Attributes
    ----------
    name : str
    age_years, engine_hours, hours, hours_per_year : float or None
        `hours` and `hours_per_year` are of use in the field.
    basis : FieldHours
        What those are read off.
    published, own : EconomicLife or None
        From new on, at today's list price; None where something is missing.
    next_year_published_minor, next_year_own_minor : int or None
        What keeping it one more year costs: value lost and repairs. Above the mean of a whole life it is past its economic life.
    own_is_fleet : bool
        Whether the own curve is that of all combines together.
    worth_minor : int or None
        What it is worth today, by the published curve of values.
    owning_published_minor, owning_own_minor : int or None
        What of the mean yearly cost is owning: value lost and interest; the rest is repairs.
    missing : str
        What is missing; empty where nothing is.
    """

    name: str
    age_years: float | None
    engine_hours: float
    hours: float
    hours_per_year: float
    basis: FieldHours
    published: EconomicLife | None = None
    own: EconomicLife | None = None
    next_year_published_minor: int | None = None
    next_year_own_minor: int | None = None
    own_is_fleet: bool = False
    worth_minor: int | None = None
    owning_published_minor: int | None = None
    owning_own_minor: int | None = None
    missing: str = ""


def own_curves(connection: Connection, farm: Farm) -> FleetCurves:
    """Fit the farm's own repair curves."""
    found = cost_events(connection, farm)
    machines = tuple(
        _machine_curve(farm, found, place, machine)
        for place, machine in enumerate(farm.machines)
        if machine.kind is MachineKind.COMBINE
    )
    priced = [machine for machine in machines if machine.list_price_minor]
    fleet, why = _fitted_to_all([(machine.seasons, machine.list_price_minor or 1) for machine in priced])
    return FleetCurves(machines, fleet, why, COMBINE)


def at_todays_prices(farm: Farm, yearly_rise: float) -> Farm:
    """Return the farm with list prices of the model year carried to today.

    Parameters
    ----------
    yearly_rise : float
        By how much such machines became dearer each year since: 0.03 for 3 %. A machine without a model year keeps its price.
    """
    machines = tuple(
        replace(one, list_price_minor=price_after_inflation(one.list_price_minor, yearly_rise, years))
        if one.list_price_minor is not None
        and one.model_year is not None
        and (years := farm.now.year - one.model_year) > 0
        else one
        for one in farm.machines
    )
    return replace(farm, machines=machines)


def economic_lives(farm: Farm, curves: FleetCurves, *, yearly_rate: float = 0.0) -> tuple[MachineLife, ...]:
    """Find the age to which each combine is cheapest to keep.

    Parameters
    ----------
    yearly_rate : float
        Interest a year on what is tied up; 0 leaves it out.
    """
    by_name = {curve.name: curve for curve in curves.machines}
    return tuple(
        _machine_life(farm, place, by_name[machine.name], curves.fleet, yearly_rate)
        for place, machine in enumerate(farm.machines)
        if machine.name in by_name and machine.kind is MachineKind.COMBINE
    )


def _machine_curve(farm: Farm, found: EventCosts, place: int, machine: Machine) -> MachineCurve:
    shown = farm.lines.shown(MeterKind.ENGINE_HOURS, place, farm.now_microseconds) / 3600
    basis = field_hours_of(farm, place)
    hours = float(field_hours_at(farm, place, basis, np.array([farm.now_microseconds], dtype=np.int64))[0])
    price = machine.list_price_minor
    seasons = _season_costs(farm, found, place, machine, basis)
    to_date = None if price is None else accumulated_repair(COMBINE, price, hours)
    ahead = None if price is None else repair_per_hour(COMBINE, price, hours)
    own, why = _fitted_to_one(seasons, price) if price else (None, "It has no list price; enter one to compare.")
    return MachineCurve(machine.name, price, shown, hours, basis, seasons, own, why, to_date, ahead)


def _season_costs(
    farm: Farm, found: EventCosts, place: int, machine: Machine, basis: FieldHours
) -> tuple[SeasonCost, ...]:
    """Stretches between the beginnings of seasons: the winter's work counts with the season it follows."""
    starts = [season_period(farm, season).start for season in farm.seasons if season.starts_on <= farm.now.date()]
    if not starts:
        return ()
    edges: Ints = np.array([*starts, farm.now_microseconds], dtype=np.int64)
    hours = field_hours_at(farm, place, basis, edges)
    costs = found.costs
    repair = np.where(found.machine == place, costs.parts_minor + costs.labour_minor + costs.service_minor, 0)
    price = machine.list_price_minor or 0
    stretches = []
    for number, season in enumerate(farm.seasons[: len(starts)]):
        first, last = float(hours[number]), float(hours[number + 1])
        if last > first:
            inside = (found.at >= edges[number]) & (found.at < edges[number + 1])
            expected = repair_between(COMBINE, price, first, last)
            stretches.append(SeasonCost(season.harvest_year, first, last, int(repair[inside].sum()), expected))
    return tuple(stretches)


def _fitted_to_one(seasons: tuple[SeasonCost, ...], price: int) -> tuple[OwnCurve | None, str]:
    """Fit one machine: a season ends at the hours at which the next begins, so what was paid adds up along one line."""
    if not seasons:
        return None, _NO_HOURS
    marks = [seasons[0].from_hours, *(one.to_hours for one in seasons)]
    paid = np.cumsum([0, *(one.repair_minor for one in seasons)])
    return _tried(lambda: fit_cumulative(marks, paid, price))


def _fitted_to_all(records: list[tuple[tuple[SeasonCost, ...], int]]) -> tuple[OwnCurve | None, str]:
    rows = [(one.from_hours, one.to_hours, one.repair_minor / price) for seasons, price in records for one in seasons]
    if not rows:
        return None, _NO_HOURS
    start, stop, share = zip(*rows, strict=True)
    return _tried(lambda: fit_own_curve(start, stop, share))


def _tried(fit: Callable[[], OwnCurve]) -> tuple[OwnCurve | None, str]:
    try:
        return fit(), ""
    except DataError as error:
        # too few seasons, or costs that no power law meets: the published curve stands alone then
        return None, f"{error.message} {error.hint}".strip()


def _machine_life(
    farm: Farm, place: int, curve: MachineCurve, fleet: OwnCurve | None, yearly_rate: float
) -> MachineLife:
    machine = farm.machines[place]
    worked = [one.to_hours - one.from_hours for one in curve.seasons]
    per_year = sum(worked) / len(worked) if worked else 0.0
    age = None if machine.model_year is None else max(float(farm.now.year - machine.model_year), 0.0)
    missing = [
        name
        for name, lacks in (
            ("list price", not machine.list_price_minor),
            ("model year", age is None),
            ("seasons with hours of use", per_year <= 0),
        )
        if lacks
    ]
    bare = MachineLife(
        machine.name, age, curve.engine_hours, curve.hours, per_year, curve.basis, missing=" and ".join(missing)
    )
    if missing or age is None or not machine.list_price_minor:
        return bare
    enough = curve.own is not None and curve.own.intervals >= ENOUGH_SEASONS and not curve.own.is_unusual
    own = curve.own if enough else fleet
    price = machine.list_price_minor

    def lives(repairs: RepairCurve) -> tuple[EconomicLife, int, int]:
        ahead = _life(repairs, price, per_year, yearly_rate, age=age or 0.0, hours=curve.hours)
        whole = _life(repairs, price, per_year, yearly_rate)
        new, old = (remaining_value(COMBINE_VALUE, price, years, per_year) for years in (0.0, whole.best_years))
        return whole, ahead.yearly_cost_minor[0], capital_recovery(new, old, yearly_rate, whole.best_years)

    published, next_published, owning = lives(COMBINE)
    found = replace(
        bare,
        published=published,
        next_year_published_minor=next_published,
        owning_published_minor=owning,
        worth_minor=remaining_value(COMBINE_VALUE, price, age, per_year),
        own_is_fleet=not enough,
    )
    if own is None:
        return found
    by_own, next_own, owning = lives(own.as_repair_curve(machine.name, COMBINE.life_hours))
    return replace(found, own=by_own, next_year_own_minor=next_own, owning_own_minor=owning)


def _life(
    repairs: RepairCurve,
    list_price_minor: int,
    hours_per_year: float,
    yearly_rate: float,
    *,
    age: float = 0.0,
    hours: float = 0.0,
) -> EconomicLife:
    return economic_life_by_curves(
        COMBINE_VALUE,
        repairs,
        list_price_minor=list_price_minor,
        hours_per_year=hours_per_year,
        age_years=age,
        hours_now=hours,
        yearly_rate=yearly_rate,
        horizon_years=_HORIZON_YEARS,
    )
