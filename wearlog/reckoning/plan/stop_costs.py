"""What changing a part costs at different times, and what it costs when it goes first: prices, standing, what it takes along."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from enum import StrEnum, unique
from typing import Final, TypeAlias

import numpy as np
from numpy.typing import ArrayLike

from wearlog.costs.tonight import Tonight, late_minor
from wearlog.facts.closed_lists import Action, Cause, MeterKind
from wearlog.facts.wearing import Breakage, Component
from wearlog.plan.collateral import Collateral, collateral_of
from wearlog.plan.residual_life import Floats
from wearlog.reckoning.farm import Farm
from wearlog.reckoning.harvest.field_time import guessed_pace
from wearlog.reckoning.harvest.harvest_view import HarvestView
from wearlog.reckoning.harvest.hour_value import crop_worth
from wearlog.reckoning.parts.deliveries import PartTimes
from wearlog.reckoning.parts.repair_habits import RepairHabits
from wearlog.reckoning.parts.stock import PartChoices, ShelfPart, part_choices
from wearlog.reckoning.plan.field_wait import PartWait, wait_of
from wearlog.reckoning.plan.spares import HURRY_PREMIUM
from wearlog.reckoning.wear.age_groups import LifeLaw
from wearlog.store.connection import Connection
from wearlog.store.finding import find_all
from wearlog.wear.replacement import age_replacement_over

_HOUR: Final = 3600.0
#: a fuel stop (common practice, no source)
USUAL_IDLE_SECONDS: Final = 1200
#: days that rain keeps from cutting, until records say (common practice, no source)
RAIN_DAYS: Final = 2.0
#: hours after dark in which work on a machine keeps nobody from cutting (common practice, no source)
NIGHT_HOURS: Final = 2.0
#: hours of standing and the usage from now at which they begin -> minor units
Standing: TypeAlias = Callable[[Floats, Floats], Floats]


@unique
class Missing(StrEnum):
    """What the log does not know; the answer is made without it and says so."""

    PRICE = "price"
    PART = "part"
    STANDING = "value_of_an_hour"
    CROP = "worth_of_the_crop"
    LIFE = "life"


@dataclass(frozen=True, slots=True)
class AskedStop:
    """What a person says beside the log. Times in hours from now, areas in square metres.

    Attributes
    ----------
    left : float or None
        Area still to cut tonight.
    dark : float or None
        Hours until dark.
    rain : float
        Chance of rain after dark, 0 to 1.
    next_stop : float or None
        Hours until the next stop that is made anyway.
    idle_seconds : int
        How long that one is.
    lasts : (float, float) or None
        "It should last so much to so much", in the units of the kind's meter.
    mend_seconds : int or None
        How long mending it takes; None: as it took before.
    """

    left: float | None = None
    dark: float | None = None
    rain: float = 0.0
    next_stop: float | None = None
    idle_seconds: int = USUAL_IDLE_SECONDS
    lasts: tuple[float, float] | None = None
    mend_seconds: int | None = None


@dataclass(slots=True)
class Prices:
    """What one change costs at different times, in minor units; `stands` in hours."""

    price: float
    in_field: float
    in_shop: float
    stands: float
    hour: float
    wait: PartWait | None
    missing: list[Missing] = field(default_factory=list)

    @property
    def wait_hours(self) -> float:
        """Hours of cutting until the part is here; 0 for what is on the shelf."""
        return 0.0 if self.wait is None else self.wait.hours

    def hurry_minor(self, later: ArrayLike) -> Floats:
        """Return what fetching the part in a hurry adds where it is needed so many field hours from now; shape as given."""
        if self.wait is None:
            return np.zeros(np.shape(later))
        return self.wait.hurried(later) * HURRY_PREMIUM * self.price


def change_prices(
    farm: Farm, habits: RepairHabits | None, part: ShelfPart | None, times: PartTimes | None = None
) -> Prices:
    """Return what one change costs; with `times`, of a part that is not on the shelf, the wait for it counted in."""
    rate, hour = farm.settings.labour_rate_minor, farm.settings.downtime_minor
    missing = [
        what
        for what, is_missing in (
            (Missing.PART, part is None),
            (Missing.PRICE, part is not None and part.price_minor is None),
            (Missing.STANDING, not hour),
        )
        if is_missing
    ]
    price = float((part.price_minor if part else None) or 0)
    wait = wait_of(times, farm.now) if part is not None and not part.on_hand and times is not None else None
    if habits is None:
        return Prices(price, price, price, 0.0, hour, wait, missing)
    in_field = price + habits.field_labour.minor(rate)
    in_shop = price + habits.shop_each.minor(rate) + habits.shop_opening.minor(rate)
    stands = (habits.standing.seconds or 0.0) / _HOUR
    return Prices(price, in_field, in_shop, stands, hour, wait, missing)


def collateral_record(connection: Connection, farm: Farm, number: int, prices: Prices) -> Collateral:
    """What breakages of the kind took along, where somebody noted which took which."""
    return taken_along(find_all(connection, Breakage), part_choices(connection, farm), farm, number, prices)


def taken_along(
    breakages: Iterable[Breakage], choices: PartChoices, farm: Farm, number: int, prices: Prices
) -> Collateral:
    """Return the same where all breakages and parts have been read already."""
    kind_of = {one.id: one.part_kind_id for one in farm.components}
    mine = farm.part_kinds[number].id
    rows = [one for one in breakages if one.at <= farm.now]
    own = {one.id for one in rows if kind_of.get(one.component_id) == mine and one.cause is not Cause.SECONDARY}
    taken = [one for one in rows if one.caused_by_id in own]
    by = {one.caused_by_id for one in taken}
    cost = 0.0
    for one in taken:
        part = choices.part_of(one.component_id)
        if one.action is Action.REPLACED and part is not None:
            cost += (part.price_minor or 0) * len(one.positions)
    return collateral_of(len(own), len(by), cost, prices.price)


@dataclass(frozen=True, slots=True)
class Pace:
    """Usage on the part's meter an hour, and square metres an hour."""

    usage: float
    area: float


def pace_of(view: HarvestView, farm: Farm, component: Component, meter: MeterKind) -> Pace:
    hitches, now = farm.histories.hitches, farm.now_microseconds
    place = farm.machine_number(component.machine_id)
    carries = hitches.combine[(hitches.header == place) & (hitches.start <= now) & (now < hitches.end)].tolist()
    ids = {farm.machines[one].id for one in (place, *carries)}
    capacities = [one.capacity for one in view.combines if one.machine_id in ids] or [
        one.capacity for one in view.combines
    ]
    area = float(np.mean(capacities)) if capacities else guessed_pace(farm).capacity
    return Pace(area if meter is MeterKind.AREA else _HOUR, area)


def standing_cost(
    connection: Connection, farm: Farm, asked: AskedStop, prices: Prices, pace: Pace, view: HarvestView
) -> Standing:
    """Return what standing so many hours costs that begins so much usage from now.

    With the area left tonight and the dark known the evening is worth what it then loses; what is not ready by the end of the night
    costs hours of the days that follow at the farm's usual value. Without them every hour is worth that.
    """
    if asked.left is None or asked.dark is None:
        return lambda hours, usage: np.asarray((hours + 0.0 * usage) * prices.hour)
    tonight = _tonight(connection, farm, asked, asked.left, asked.dark, prices, pace, view)

    def minor(hours: Floats, usage: Floats) -> Floats:
        begins = usage / pace.usage
        evening = np.maximum(tonight.hours_to_dark - begins, 0.0)
        before_dark = np.minimum(hours, evening)
        at_night = np.where(begins < tonight.hours_to_dark, NIGHT_HOURS, 0.0)
        days = np.maximum(hours - before_dark - at_night, 0.0)
        return np.asarray(tonight.standing_later_minor(before_dark, begins * pace.area) + days * prices.hour)

    return minor


def _tonight(
    connection: Connection,
    farm: Farm,
    asked: AskedStop,
    left: float,
    dark: float,
    prices: Prices,
    pace: Pace,
    view: HarvestView,
) -> Tonight:
    grain, price, loss = crop_worth(connection, farm)
    if grain is None or price is None:
        prices.missing.append(Missing.CROP)
    worth = 0.0 if grain is None or price is None else grain * price
    spell = view.finish.weather.spell if view.finish is not None else None
    late = late_minor(
        grain_minor_per_area=worth,
        loss_per_day=loss,
        days_of_delay=1.0 + asked.rain * (spell or RAIN_DAYS),
        rain_chance=asked.rain,
    )
    return Tonight(dark, left, pace.area, farm.settings.labour_rate_minor, late)


def long_run_rate(posterior: LifeLaw | None, prices: Prices) -> float:
    """Long-run cost of keeping a position going, per unit of usage; 0 where nothing is known of the life or the costs."""
    failure = prices.in_field + prices.stands * prices.hour
    if posterior is None or prices.in_shop <= 0 or failure <= 0:
        return 0.0
    return age_replacement_over(posterior.few_nodes(), planned_cost=prices.in_shop, failure_cost=failure).cost_rate
