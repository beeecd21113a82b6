"""The part by dusk: on the shelf, on a machine that stands, at suppliers, by delivery; what each way costs. Words are not here."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from enum import StrEnum, unique
from typing import Final, TypeAlias
from uuid import UUID

import numpy as np

from wearlog.facts.closed_lists import StockChange
from wearlog.facts.machines import Machine
from wearlog.facts.parts import PartOrder, StockMove, Supplier, SupplierHours, Supply, SupplyAsked
from wearlog.facts.plain_text import folded
from wearlog.facts.wearing import Component
from wearlog.plan.fetch import (
    BELIEVED_AT,
    Floats,
    Ringing,
    Trip,
    are_told_apart,
    has_it,
    ring_order,
    trip_minor,
    worth_believed,
)
from wearlog.plan.residual_life import AgedPart
from wearlog.plan.run_or_stop import weighted_quantile
from wearlog.reckoning.farm import Farm
from wearlog.reckoning.harvest.harvest_view import harvest_view
from wearlog.reckoning.parts.deliveries import PartTimes, deliveries, part_times
from wearlog.reckoning.parts.repair_habits import RepairHabits, repair_habits
from wearlog.reckoning.parts.stock import ShelfPart, part_choices
from wearlog.reckoning.plan.field_wait import field_hours, idle_drives
from wearlog.reckoning.plan.mend_first import Mendable
from wearlog.reckoning.plan.mend_way import Evening, mend_way
from wearlog.reckoning.plan.order_dates import lead_of
from wearlog.reckoning.plan.stop_costs import NIGHT_HOURS, AskedStop, Missing, change_prices, pace_of, standing_cost
from wearlog.reckoning.wear.age_groups import condensed
from wearlog.reckoning.wear.wear_outlook import wear_outlook
from wearlog.store.connection import Connection
from wearlog.store.finding import find_all
from wearlog.store.histories import OPEN
from wearlog.store.schema.types import microseconds

#: at the counter, and on the phone (common practice, no source)
COUNTER_HOURS: Final = 0.25
CALL_HOURS: Final = 5 / 60
#: where nobody wrote the hours of a supplier: on weekdays (common practice, no source)
USUAL_OPENING: Final = (8 * 3600, 17 * 3600)

#: until when it stands -> what that costs, in minor units
Stood: TypeAlias = Callable[[datetime], float]


@unique
class Source(StrEnum):
    """Where a part can come from."""

    SHELF = "shelf"
    DONOR = "donor"
    SUPPLIER = "supplier"
    DELIVERY = "delivery"
    MEND = "mend"


@dataclass(frozen=True, slots=True)
class FetchWay:
    """One way to the part.

    Attributes
    ----------
    name : str
        The machine or supplier; empty for the shelf.
    minor : float or None
        What it costs beyond the part's usual price, standing until it is here counted in; None where the road is not known.
    here_at : datetime or None
        When the part is here.
    chance : float
        That the supplier has it; 1 for what needs no call.
    answers : int
        Calls on record that the chance rests on.
    price_minor : int or None
        Of one there, where that is known.
    distance : float or None
        In metres.
    phone, late_phone : str
        In its hours, and after them.
    late_fee_minor : int or None
        What opening after hours costs.
    waits : bool
        It is closed on arrival if one leaves now: one drives so as to be there when it opens.
    opened_late : bool
        It is closed on arrival, and having it opened for the fee costs less than waiting.
    counted : (int, int)
        Answers yes and no, those about this part double.
    believed : tuple of float
        Equally believed costs, where they are not known for certain: how long a delivery takes, how long what is old lasts.
    nine_in_ten_days : float or None
        Of a delivery: within so many days it is here 9 times in 10.
    """

    source: Source
    name: str
    minor: float | None
    here_at: datetime | None
    chance: float = 1.0
    answers: int = 0
    price_minor: int | None = None
    distance: float | None = None
    phone: str = ""
    waits: bool = False
    nine_in_ten_days: float | None = None
    late_phone: str = ""
    late_fee_minor: int | None = None
    opened_late: bool = False
    counted: tuple[int, int] = (0, 0)
    believed: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True)
class FetchView:
    """The ways to one part, the cheapest first, those without a road last.

    Attributes
    ----------
    ringing : Ringing or None
        Whom to ring, by the places of `rung`; None where no supplier with a road is known. Without a sure way its mean is infinite.
    rung : tuple of FetchWay
        Suppliers with a road.
    sure : FetchWay or None
        The cheapest way that needs no call.
    either : FetchWay or None
        The way that may be as good a first one as the first: within 80 % of what is believed of calls, deliveries and lives.
    still_cut : float or None
        Square metres that still fit before dark on the best way; None without dark.
    deliveries : int
        Of this part on record.
    idle_drives : bool
        The operator of the machine that stands drives while others cut: his hours cost nothing.
    mending : Mendable or None
    missing : tuple of Missing
    """

    farm: Farm
    machine: Machine
    component: Component
    part: ShelfPart | None
    ways: tuple[FetchWay, ...]
    ringing: Ringing | None
    rung: tuple[FetchWay, ...]
    sure: FetchWay | None
    either: FetchWay | None
    still_cut: float | None
    deliveries: int
    idle_drives: bool
    mending: Mendable | None
    asked: AskedStop
    missing: tuple[Missing, ...]


def fetch_part(connection: Connection, farm: Farm, component: Component, asked: AskedStop | None = None) -> FetchView:
    """Weigh the ways to the part that a component takes, from now until it is here."""
    asked = asked or AskedStop()
    kind = next(one for one in farm.part_kinds if one.id == component.part_kind_id)
    part = part_choices(connection, farm).part_of(component.id)
    habits = repair_habits(connection, farm).get(kind.id)
    prices = change_prices(farm, habits, part)
    view = harvest_view(connection, farm)
    pace = pace_of(view, farm, component, kind.meter_kind)
    standing = standing_cost(connection, farm, asked, prices, pace, view)
    idle = idle_drives(farm, component)
    rate = 0 if idle else farm.settings.labour_rate_minor

    def stood(until: datetime) -> float:
        # the standing of an evening leaves its first hours of the night out by itself
        hours = field_hours(farm.now, until, asked.dark, 0.0 if asked.dark is None else NIGHT_HOURS)
        return float(standing(np.array([hours]), np.zeros(1))[0])

    ways: list[FetchWay] = []
    if part is not None and part.on_hand:
        ways.append(FetchWay(Source.SHELF, "", 0.0, farm.now))
    ways += _donors(connection, farm, component, habits, stood, prices.in_field)
    times, rung = PartTimes(None), list[FetchWay]()
    if part is not None:
        rung, unplaced = _suppliers(connection, farm, part, stood, rate)
        times = part_times(connection)[part.part.id]
        ways += [*rung, *unplaced]
        lead = lead_of(times)
        if lead is not None:
            middle, late = lead.days(0.5), lead.days(0.9)
            here = farm.now + timedelta(days=middle)
            each = tuple(stood(farm.now + timedelta(days=lead.days(chance))) for chance in BELIEVED_AT.tolist())
            ways.append(
                FetchWay(Source.DELIVERY, part.part.supplier, stood(here), here, nine_in_ten_days=late, believed=each)
            )
    evening = Evening(prices, pace, standing, asked)
    mended = mend_way(connection, farm, component, change_prices(farm, habits, part, times), evening, view)
    if mended is not None:
        ways.append(FetchWay(Source.MEND, "", mended.minor, mended.runs_at))
    priced = [one for one in ways if one.minor is not None]
    sure = min((one for one in priced if one.source is not Source.SUPPLIER), key=_minor, default=None)
    ringing, call = None, CALL_HOURS * prices.hour
    if rung:
        # where no way is sure, every supplier is worth a call
        last = math.inf if sure is None else _minor(sure)
        ringing = ring_order([_minor(one) for one in rung], [one.chance for one in rung], call, last)
    best = rung[ringing.order[0]] if ringing is not None and ringing.order else sure
    return FetchView(
        farm=farm,
        machine=farm.machines[farm.machine_number(component.machine_id)],
        component=component,
        part=part,
        ways=tuple(sorted(ways, key=lambda one: (one.minor is None, one.minor or 0.0))),
        ringing=ringing,
        rung=tuple(rung),
        sure=sure,
        either=_as_good(priced, call),
        still_cut=_still_cut(farm, asked, best, pace.area, prices.stands),
        deliveries=len(times.taken),
        idle_drives=idle,
        mending=None if mended is None else mended.mendable,
        asked=asked,
        missing=tuple(prices.missing),
    )


def _minor(way: FetchWay) -> float:
    return way.minor or 0.0


def _as_good(ways: Sequence[FetchWay], call: float) -> FetchWay | None:
    """The next way where it is not told apart from the first: both by the cost up to which they are worth trying."""

    def worth(way: FetchWay) -> float:
        return _minor(way) + (call / way.chance if way.source is Source.SUPPLIER else 0.0)

    def believed(way: FetchWay) -> Floats:
        if way.source is Source.SUPPLIER:
            return worth_believed(_minor(way), call, *way.counted)
        return np.array(way.believed or (_minor(way),))

    ranked = sorted(ways, key=worth)
    if len(ranked) < 2 or are_told_apart(believed(ranked[0]), believed(ranked[1])):
        return None
    return ranked[1]


def _still_cut(farm: Farm, asked: AskedStop, best: FetchWay | None, capacity: float, stands: float) -> float | None:
    if asked.dark is None or best is None or best.here_at is None:
        return None
    # a mended part runs again at once, another is fitted first
    fits_in = 0.0 if best.source is Source.MEND else stands
    hours = asked.dark - (best.here_at - farm.now).total_seconds() / 3600 - fits_in
    fits = max(hours, 0.0) * capacity
    return fits if asked.left is None else min(fits, asked.left)


def _donors(
    connection: Connection,
    farm: Farm,
    component: Component,
    habits: RepairHabits | None,
    stood: Stood,
    failure_minor: float,
) -> list[FetchWay]:
    """The same kind on another machine that stands: no run today, and on no combine now."""
    now = farm.now_microseconds
    midnight = microseconds(farm.now.replace(hour=0, minute=0, second=0, microsecond=0))
    runs, hitches = farm.histories.runs, farm.histories.hitches
    today = (runs.start <= now) & (runs.end >= midnight)
    busy = {*runs.combine[today].tolist(), *runs.header[today].tolist()}
    on = (hitches.start <= now) & ((hitches.end == OPEN) | (hitches.end > now))
    busy |= set(hitches.header[on].tolist())
    rate = farm.settings.labour_rate_minor
    each = 0.0 if habits is None else (habits.shop_each.seconds or 0.0) / 3600
    opening = 0.0 if habits is None else (habits.shop_opening.seconds or 0.0) / 3600
    hours = 2 * each + opening
    found = []
    for row in wear_outlook(connection, farm).kinds:
        if row.life.kind.id != component.part_kind_id:
            continue
        for one in row.components:
            other = next(it for it in farm.components if it.id == one.component_id)
            place = farm.machine_number(other.machine_id)
            sound = [group for group in one.groups if not group.failed and group.age is not None]
            if other.machine_id == component.machine_id or place in busy or not sound or one.law is None:
                continue
            young = min(sound, key=lambda group: group.worn_age or 0.0)
            nodes = condensed(one.law)
            ahead = max(one.usage, 0.0)
            aged, fresh = AgedPart(nodes, young.worn_age or 0.0), AgedPart(nodes, 0.0)
            here = farm.now + timedelta(hours=hours)
            # the place on the donor is filled again: part and labour once more; and what is older fails sooner
            again = stood(here) + 2 * hours * rate
            minor = again + max(_lasts(fresh, ahead) - _lasts(aged, ahead), 0.0) * failure_minor
            sooner = np.maximum(fresh.survival_by_node(ahead) - aged.survival_by_node(ahead), 0.0)
            dearer = again + failure_minor * weighted_quantile(sooner, aged.weight, BELIEVED_AT)
            name = farm.machines[place].name
            found.append(FetchWay(Source.DONOR, name, minor, here, believed=tuple(dearer.tolist())))
    return sorted(found, key=_minor)[:1]


def _lasts(part: AgedPart, ahead: float) -> float:
    return float(part.weight @ part.survival_by_node(ahead))


def _suppliers(
    connection: Connection, farm: Farm, part: ShelfPart, stood: Stood, rate: int
) -> tuple[list[FetchWay], list[FetchWay]]:
    """Suppliers that list the part, delivered it, or are written with it; those without a road apart."""
    suppliers = find_all(connection, Supplier)
    supplies = {one.supplier_id: one for one in find_all(connection, Supply, part_id=part.part.id)}
    orders = find_all(connection, PartOrder, part_id=part.part.id)
    receipts = find_all(connection, StockMove, part_id=part.part.id, change=StockChange.RECEIVED)
    came, _ = deliveries(orders, receipts)
    paid = {one.order.supplier_id: one.order.unit_price_minor for one in came}
    opening = _openings(find_all(connection, SupplierHours))
    calls = [one for one in find_all(connection, SupplyAsked) if one.at <= farm.now]
    own = folded(part.part.supplier)
    rung: list[FetchWay] = []
    unplaced: list[FetchWay] = []
    for one in suppliers:
        supply = supplies.get(one.id)
        if supply is None and one.id not in paid and folded(one.name) != own:
            continue
        price = supply.price_minor if supply is not None and supply.price_minor is not None else paid.get(one.id)
        asked, answers = _answers(calls, one.id, part.part.id)
        chance = has_it(*asked)
        if one.distance_metres is None:
            unplaced.append(_told(FetchWay(Source.SUPPLIER, one.name, None, None, chance, answers, price), one))
            continue
        trip = Trip(float(one.distance_metres), farm.settings.driving_metres_an_hour, COUNTER_HOURS)
        over = float((price or 0) - part.price_minor) if price is not None and part.price_minor else 0.0
        there, waits = _when_open(farm.now, trip.one_way, opening.get(one.id))

        def fetched(there: datetime, fee: int, trip: Trip = trip, over: float = over) -> tuple[float, datetime]:
            here = there + timedelta(hours=COUNTER_HOURS + trip.one_way)
            road = farm.settings.driving_minor_a_metre
            return trip_minor(
                trip, standing_minor=stood(here), labour_minor=rate, road_minor=road, over_price_minor=over + fee
            ), here

        minor, here = fetched(there, 0)
        late = False
        if waits and one.after_hours_fee_minor is not None:
            at_once = fetched(farm.now + timedelta(hours=trip.one_way), one.after_hours_fee_minor)
            late = at_once[0] < minor
            minor, here = min((minor, here), at_once)
        way = FetchWay(Source.SUPPLIER, one.name, minor, here, chance, answers, price, trip.distance, counted=asked)
        rung.append(replace(_told(way, one), waits=waits and not late, opened_late=late))
    names = {one.id: folded(one.name) for one in suppliers}
    if own and own not in names.values():
        unplaced.append(FetchWay(Source.SUPPLIER, part.part.supplier, None, None, 0.5))
    return rung, unplaced


def _told(way: FetchWay, supplier: Supplier) -> FetchWay:
    """A way with whom to ring for it."""
    return replace(
        way,
        phone=supplier.phone,
        late_phone=supplier.after_hours_phone,
        late_fee_minor=supplier.after_hours_fee_minor,
    )


def _openings(rows: Sequence[SupplierHours]) -> dict[UUID, dict[int, tuple[int, int]]]:
    found: dict[UUID, dict[int, tuple[int, int]]] = {}
    for one in rows:
        found.setdefault(one.supplier_id, {})[one.weekday] = (one.opens_seconds, one.closes_seconds)
    return found


def _answers(calls: Sequence[SupplyAsked], supplier: UUID, part: UUID) -> tuple[tuple[int, int], int]:
    """Answers yes and no, those about this part counted double; and how many there are."""
    mine = [one for one in calls if one.supplier_id == supplier]
    twice = [*mine, *(one for one in mine if one.part_id == part)]
    yes = sum(one.had_it for one in twice)
    return (yes, len(twice) - yes), len(mine)


def _when_open(now: datetime, drive: float, hours: dict[int, tuple[int, int]] | None) -> tuple[datetime, bool]:
    """When one is served who leaves now, or so as to be there when it opens; whether one must wait for that."""
    arrives = now + timedelta(hours=drive)
    usual = dict.fromkeys(range(5), USUAL_OPENING)
    for ahead in range(8):
        day = (arrives + timedelta(days=ahead)).replace(hour=0, minute=0, second=0, microsecond=0)
        if day.weekday() not in (hours or usual):
            continue
        opens, closes = (day + timedelta(seconds=one) for one in (hours or usual)[day.weekday()])
        if arrives < closes:
            return max(arrives, opens), arrives < opens
    return arrives, False
