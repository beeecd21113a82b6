"""What stands behind the cost of an acre cut for others: the offer, all that is read once, and each kind in one sum."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from enum import StrEnum, unique
from typing import Final
from uuid import UUID

import numpy as np
from scipy.special import gammaln

from wearlog.costs.downtime import Basis
from wearlog.facts.closed_lists import Ground, MeterKind
from wearlog.facts.work import Stoppage
from wearlog.reckoning.costs.cost_events import EventCosts, cost_events
from wearlog.reckoning.costs.own_costs import FleetCurves, MachineLife, economic_lives, own_curves
from wearlog.reckoning.farm import Farm
from wearlog.reckoning.harvest.field_time import stops_of_combines
from wearlog.reckoning.harvest.harvest_view import HarvestView, harvest_view
from wearlog.reckoning.harvest.hour_value import CropWorth, hour_worth, worth_of_crop
from wearlog.reckoning.parts.repair_habits import RepairHabits, repair_habits
from wearlog.reckoning.parts.stock import PartChoices, part_choices
from wearlog.reckoning.plan.stop_costs import change_prices
from wearlog.reckoning.wear.neighbours import usual_ground
from wearlog.reckoning.wear.own_laws import GroundWear
from wearlog.reckoning.wear.wear_outlook import ComponentOutlook, KindOutlook, wear_outlook
from wearlog.store.connection import Connection
from wearlog.store.finding import find_all
from wearlog.store.histories import Floats, code_of
from wearlog.wear.part_lives import GROUND_SPREAD
from wearlog.wear.posterior import Nodes
from wearlog.wear.replacement import age_replacement_over

DRAWS: Final = 1000
_HOUR: Final = 3600.0


@unique
class Deal(StrEnum):
    """Who cuts what with whose machine."""

    CUT_FOR_OTHERS = "cut_for_others"
    HIRE = "hire"
    RENT_OUT = "rent_out"
    RENT_IN = "rent_in"

    @property
    def is_taken_in(self) -> bool:
        """The farm's own acres, and somebody else's machine on them: its own work is what that stands against."""
        return self in (Deal.HIRE, Deal.RENT_IN)

    @property
    def is_bare(self) -> bool:
        """The machine alone goes over: driver and fuel are of him who cuts with it."""
        return self in (Deal.RENT_OUT, Deal.RENT_IN)


@dataclass(frozen=True, slots=True)
class AskedWork:
    """What is offered. Areas in square metres, money in minor units.

    Attributes
    ----------
    area : float
    ground : Ground
    rate, rate_per_hour : float or None
        For each square metre, all parts of the offer together; or for each hour of field time.
    deal : Deal
        Hired: somebody else cuts this farm's acres. Rented out, or in: the machine goes without driver and fuel.
    crop : UUID or None
        What is cut: the pace in it, and on own acres what an hour of it is worth.
    combine : str
        Empty: the one on which it costs least.
    fuel_minor_per_hour : float or None
        None: the usual one, where the currency is that of the published sums.
    road_hours, road_minor : float
        To get there and back.
    waits : bool or None
        Whether own crop stands meanwhile; None: as the season stands.
    interest : float
        A year.
    """

    area: float
    ground: Ground
    rate: float | None = None
    deal: Deal = Deal.CUT_FOR_OTHERS
    combine: str = ""
    crop: UUID | None = None
    rate_per_hour: float | None = None
    fuel_minor_per_hour: float | None = None
    road_hours: float = 0.0
    road_minor: float = 0.0
    waits: bool | None = None
    interest: float = 0.06


@dataclass(slots=True)
class KindsGathered:
    """What the kinds on a combine and its header bring, by draws; and in which sum each stands."""

    per_area: Floats
    per_hour: Floats
    stones: Floats
    stone_cost: Floats
    stone_hours: Floats
    in_wear: dict[UUID, str] = field(default_factory=dict)
    in_repairs: dict[UUID, str] = field(default_factory=dict)
    by_time: dict[UUID, str] = field(default_factory=dict)
    wear_of_combine: float = 0.0


@dataclass(frozen=True, slots=True, eq=False)
class WorkBasis:
    """All that is read once for every combine."""

    farm: Farm
    asked: AskedWork
    kinds: Sequence[KindOutlook]
    harvest: HarvestView
    curves: FleetCurves
    lives: Mapping[str, MachineLife]
    events: EventCosts
    habits: Mapping[UUID, RepairHabits]
    choices: PartChoices
    header_of: Mapping[UUID, UUID]
    stops: Mapping[int, list[Stoppage]]
    crop_hour: float | None
    crop: CropWorth | None

    @classmethod
    def read(cls, connection: Connection, farm: Farm, asked: AskedWork) -> WorkBasis:
        """Read it from the log."""
        curves = own_curves(connection, farm)
        worth = hour_worth(connection, farm)
        waiting = [one.minor_per_hour for one in worth.found.considered if one.basis is Basis.TIMELINESS]
        return cls(
            farm=farm,
            asked=asked,
            kinds=wear_outlook(connection, farm).kinds,
            harvest=harvest_view(connection, farm),
            curves=curves,
            lives={one.name: one for one in economic_lives(farm, curves, yearly_rate=asked.interest)},
            events=cost_events(connection, farm),
            habits=repair_habits(connection, farm),
            choices=part_choices(connection, farm),
            header_of=_headers(farm),
            stops=stops_of_combines(farm, find_all(connection, Stoppage)),
            crop_hour=float(waiting[0]) if waiting else None,
            crop=None if asked.crop is None else worth_of_crop(connection, asked.crop),
        )


def _headers(farm: Farm) -> dict[UUID, UUID]:
    """Return the header that hangs on each combine, or hung on it last."""
    hitches, found = farm.histories.hitches, {}
    for row in np.argsort(hitches.start, kind="stable").tolist():
        if hitches.start[row] <= farm.now_microseconds:
            combine, header = (farm.machines[int(one[row])].id for one in (hitches.combine, hitches.header))
            found[combine] = header
    return found


def gathered(basis: WorkBasis, machines: set[UUID], combine: UUID, rng: np.random.Generator) -> KindsGathered:
    """Every kind that sits on the machines, in one sum and no other: wear by its life, repairs of the machine, or time."""
    zero = np.zeros(DRAWS)
    out = KindsGathered(zero.copy(), zero.copy(), zero.copy(), zero.copy(), zero.copy())
    stone_minor, stone_hours = zero.copy(), zero.copy()
    farm = basis.farm
    # of kinds whose lives say nothing of ground
    offset = np.exp(GROUND_SPREAD * rng.standard_normal(DRAWS)) if usual_ground(farm) != basis.asked.ground else 1.0
    for row in basis.kinds:
        kind, mine = row.life.kind, [one for one in row.components if one.machine_id in machines]
        if not mine:
            continue
        if kind.meter_kind is MeterKind.CALENDAR:
            out.by_time[kind.id] = kind.name
            continue
        costed = [(one, _cost_of(basis, kind.id, one)) for one in mine]
        lives = all(one.law is not None and cost is not None for one, cost in costed)
        (out.in_wear if lives else out.in_repairs)[kind.id] = kind.name
        for one, cost in costed:
            if not lives or one.law is None or cost is None:
                continue
            shop, in_field, _ = cost
            rate = one.positions * _by_draws(one.law.few_nodes(), shop, in_field, rng)
            if kind.meter_kind is not MeterKind.AREA:
                out.per_hour += rate * _HOUR
            elif row.life.ground is None or one.usual_law is None:
                out.per_area += rate / offset
            else:
                usual = one.positions * _by_draws(one.usual_law.few_nodes(), shop, in_field, rng)
                out.per_area += usual * _paces(row.life.ground, basis.asked.ground, rng)
            if one.machine_id == combine:
                out.wear_of_combine += float(rate.mean()) * (1.0 if kind.meter_kind is MeterKind.AREA else _HOUR)
        if row.life.impact_rates is not None:
            broken = row.life.impact_rates[code_of(basis.asked.ground)]
            for _, cost in costed:
                drawn = _rates(broken.median, broken.low, broken.high, broken.mean or broken.median, rng)
                out.stones += drawn
                if cost is not None:
                    stone_minor += drawn * cost[1]
                    stone_hours += drawn * cost[2]
    seen = np.maximum(out.stones, 1e-30)
    out.stone_cost, out.stone_hours = stone_minor / seen, stone_hours / seen
    return out


def _cost_of(basis: WorkBasis, kind_id: UUID, one: ComponentOutlook) -> tuple[float, float, float] | None:
    """Return what a change in the shop and one in the field cost without standing, and hours stood; None without a price."""
    prices = change_prices(basis.farm, basis.habits.get(kind_id), basis.choices.part_of(one.component_id))
    return None if not prices.price else (prices.in_shop, prices.in_field, prices.stands)


def _paces(wear: GroundWear, asked: Ground, rng: np.random.Generator) -> Floats:
    """Draw what an acre of a ground counts in acres of the usual mix, where the kind's own lives say how fast it wears there."""
    alone = np.zeros(len(Ground))
    alone[code_of(asked)] = 1.0
    speeds = wear.speeds
    return np.asarray(rng.choice(speeds.paces(wear.mix_of(alone)), DRAWS, p=speeds.weight / speeds.weight.sum()))


def _by_draws(nodes: Nodes, shop: float, in_field: float, rng: np.random.Generator) -> Floats:
    """Draw the long-run cost for each unit of usage: that of the best age, as far as each law of the life lasts."""
    mean = age_replacement_over(nodes, planned_cost=shop, failure_cost=in_field).cost_rate
    lasts = nodes.scale * np.exp(gammaln(1 + 1 / nodes.shape))
    share = (1 / lasts) / float(nodes.weight @ (1 / lasts))
    return np.asarray(mean * rng.choice(share, DRAWS, p=nodes.weight / nodes.weight.sum()))


def _rates(median: float, low: float, high: float, mean: float, rng: np.random.Generator) -> Floats:
    """Draw a rate whose 90 % interval and mean are known."""
    if not 0 < low < high:
        return np.full(DRAWS, mean)
    drawn = median * np.exp(np.log(high / low) / (2 * 1.6448536269514722) * rng.standard_normal(DRAWS))
    return np.asarray(drawn * mean / drawn.mean())


def paid_for(basis: WorkBasis, machine_id: UUID, found: KindsGathered) -> tuple[float, float]:
    """Return what was paid for a machine for kinds in no other sum, and in all; standing is no part of it."""
    costs, component = basis.events.costs, basis.events.component
    paid = np.asarray(costs.parts_minor + costs.labour_minor + costs.service_minor, dtype=np.float64)
    mine = basis.events.machine == basis.farm.machine_number(machine_id)
    kinds = [place for place, kind in enumerate(basis.farm.part_kinds) if kind.id in found.in_wear | found.by_time]
    elsewhere = np.isin(component, np.flatnonzero(np.isin(basis.farm.histories.components.part_kind, kinds)))
    return (float(paid[mine & ~elsewhere].sum()), float(paid[mine].sum())) if paid.size else (0.0, 0.0)
