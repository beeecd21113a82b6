"""Keep or trade: each combine against a concrete offer, by its own repairs and stops where records say, else as published."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from wearlog.costs.published_curves import COMBINE, RepairCurve
from wearlog.costs.remaining_value import COMBINE_VALUE, remaining_share
from wearlog.costs.repair_curve import repair_share
from wearlog.costs.trade_offer import TradeWeighed, YearsAhead, weigh_trade
from wearlog.facts.closed_lists import MachineKind, StopReason
from wearlog.facts.work import Stoppage
from wearlog.plan.decide import Verdict
from wearlog.reckoning.costs.own_costs import (
    ENOUGH_SEASONS,
    FleetCurves,
    MachineCurve,
    MachineLife,
    economic_lives,
    own_curves,
)
from wearlog.reckoning.farm import Farm
from wearlog.reckoning.harvest.field_time import stops_of_combines
from wearlog.reckoning.wear.repairs_again import repairs_again
from wearlog.reckoning.work.stops import seconds_alone
from wearlog.store.connection import Connection
from wearlog.store.finding import find_all
from wearlog.store.histories import Floats

YEARS: Final = 15
_DRAWS: Final = 2000
#: repairs vary by a quarter either way on eight machines of ten (published, from memory), both machines alike
_REPAIR_SPREAD: Final = float(np.log(1.25) / 1.2815515655446004)


@dataclass(frozen=True, slots=True)
class OfferTerms:
    """What is offered, in minor units and hours of use in the field; None: not said.

    Attributes
    ----------
    price_minor : int or None
        Before the allowance; else the list price.
    allowance_minor : int or None
        For the old machine; else what the published curve says it is worth.
    list_price_minor : int or None
        Of the offered one when new today; else that of the old machine.
    hours, age_years, warranty_hours : float
    """

    price_minor: int | None = None
    allowance_minor: int | None = None
    list_price_minor: int | None = None
    hours: float = 0.0
    age_years: float = 0.0
    warranty_hours: float = 0.0


@dataclass(frozen=True, slots=True, eq=False)
class TradeRow:
    """One combine against the offer; `weighed` is by the middle of the belief, `missing` says why it is None.

    `difference` is the break-even price less the allowance as 10, 50 and 90 %; `chance` that trading costs less.
    """

    name: str
    offer: OfferTerms
    price_minor: int
    allowance_minor: int
    weighed: TradeWeighed | None
    difference: tuple[float, float, float]
    chance: float
    own_repairs: bool
    missing: str
    #: breakdowns of it on record, by which both stand
    stops: int = 0

    @property
    def asked_minor(self) -> int:
        return self.price_minor - self.allowance_minor

    @property
    def verdict(self) -> Verdict | None:
        """Trade (replace), keep (run), or either way where the 80 % of the difference hold what is asked."""
        if self.weighed is None:
            return None
        low, _, high = self.difference
        return (
            Verdict.REPLACE
            if low > self.asked_minor
            else Verdict.RUN
            if high < self.asked_minor
            else Verdict.EITHER_WAY
        )


@dataclass(frozen=True, slots=True, eq=False)
class _HoursStood:
    """Standing of a combine: hours over its counter as power law, what an hour costs, and on how many stops that rests."""

    hours: float
    from_hours: float
    to_hours: float
    shape: float
    stops: int


def trade(
    connection: Connection, farm: Farm, offer: OfferTerms, name: str = "", *, yearly_rate: float = 0.0
) -> tuple[TradeRow, ...]:
    """Weigh keeping every combine (or the one of a name) against the offer, the one that gains most by trading first."""
    curves = own_curves(connection, farm)
    lives = [one for one in economic_lives(farm, curves, yearly_rate=yearly_rate) if name in ("", one.name)]
    standing = _standing(connection, farm, curves)
    rows = [_row(farm, life, curves, standing[life.name], offer, yearly_rate) for life in lives]
    return tuple(sorted(rows, key=lambda row: (row.weighed is None, row.asked_minor - row.difference[1], row.name)))


def _standing(connection: Connection, farm: Farm, curves: FleetCurves) -> dict[str, _HoursStood]:
    by_place = stops_of_combines(farm, find_all(connection, Stoppage))
    again = repairs_again(farm, MachineKind.COMBINE)
    shape = 1.0 if again is None or again.law is None else again.law.shape
    stood: dict[str, list[float]] = {}
    for place, stops in by_place.items():
        mine = [one for one in stops if one.reason is StopReason.BREAKDOWN and one.started_at <= farm.now]
        stood[farm.machines[place].name] = [seconds / 3600 for seconds in seconds_alone(farm, mine)]
    found = {}
    for curve in curves.machines:
        hours = stood.get(curve.name, [])
        since = curve.seasons[0].from_hours if curve.seasons else 0.0
        found[curve.name] = _HoursStood(sum(hours), since, curve.hours, shape, len(hours))
    return found


def _row(
    farm: Farm, life: MachineLife, curves: FleetCurves, standing: _HoursStood, offer: OfferTerms, yearly_rate: float
) -> TradeRow:
    machine = next(one for one in farm.machines if one.name == life.name)
    own_list = machine.list_price_minor or 0
    new_list = offer.list_price_minor or own_list
    price = new_list if offer.price_minor is None else offer.price_minor
    allowance = (life.worth_minor or 0) if offer.allowance_minor is None else offer.allowance_minor
    if life.missing or life.age_years is None or not new_list:
        why = life.missing or "list price"
        return TradeRow(life.name, offer, price, allowance, None, (0.0, 0.0, 0.0), 0.0, own_repairs=False, missing=why)
    curve = next(one for one in curves.machines if one.name == life.name)
    repairs, is_own = _repairs(curve)
    yearly = np.arange(YEARS + 1) * life.hours_per_year
    old, new = life.hours + yearly, offer.hours + yearly
    values = own_list * remaining_share(COMBINE_VALUE, life.age_years + np.arange(YEARS + 1), life.hours_per_year)
    values = values * (allowance / values[0] if values[0] > 0 else 0.0)
    offered = new_list * remaining_share(COMBINE_VALUE, offer.age_years + np.arange(YEARS + 1), life.hours_per_year)
    paid = 1 - np.clip((offer.warranty_hours - new[:-1]) / life.hours_per_year, 0.0, 1.0)
    old_repairs = own_list * np.diff(repair_share(repairs, old))
    new_repairs = new_list * np.diff(repair_share(repairs, new)) * paid
    hour = float(farm.settings.downtime_minor)
    stands = [hour * np.diff(_stood(standing, np.asarray(hours, dtype=np.float64))) for hours in (old, new)]
    rng = np.random.default_rng(7)
    dearer = np.exp(_REPAIR_SPREAD * np.append(0.0, rng.standard_normal(_DRAWS)))[:, None]
    shape = standing.stops + 0.5
    more = (np.append(shape, rng.gamma(shape, size=_DRAWS)) / shape)[:, None]
    found = weigh_trade(
        YearsAhead(values[1:], dearer * old_repairs + more * stands[0]),
        YearsAhead(offered[1:], dearer * new_repairs + more * stands[1]),
        allowance=allowance,
        price=price,
        yearly_rate=yearly_rate,
    )
    gap = found.break_even[1:] - allowance
    low, middle, high = (float(end) for end in np.quantile(gap, (0.1, 0.5, 0.9)))
    return TradeRow(
        name=life.name,
        offer=offer,
        price_minor=price,
        allowance_minor=allowance,
        weighed=_first(found),
        difference=(low, middle, high),
        chance=float((gap > price - allowance).mean()),
        own_repairs=is_own,
        missing="",
        stops=standing.stops,
    )


def _repairs(curve: MachineCurve) -> tuple[RepairCurve, bool]:
    """The machine's own curve where its seasons are enough for one that is not unusual; else the published one."""
    own = curve.own
    if own is None or own.intervals < ENOUGH_SEASONS or own.is_unusual:
        return COMBINE, False
    return own.as_repair_curve(curve.name, COMBINE.life_hours), True


def _stood(standing: _HoursStood, hours: Floats) -> Floats:
    """Hours stood up to each of these hours of use: as much as was stood on record, as its power law runs."""
    worked = standing.to_hours**standing.shape - standing.from_hours**standing.shape
    return np.asarray(hours**standing.shape * (standing.hours / worked if worked > 0 else 0.0))


def _first(found: TradeWeighed) -> TradeWeighed:
    """The middle of the belief alone."""
    return TradeWeighed(
        *(
            np.asarray(getattr(found, name)[0])
            for name in ("keep_yearly", "offer_yearly", "break_even", "keep_years", "offer_years", "pays_years")
        )
    )
