"""What was published of rates, repairs and values, with the farm's own figure beside it where the log has one."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum, unique

from wearlog.costs.own_curve import OwnCurve
from wearlog.costs.published_curves import COMBINE, HEADER_CUTTING, HEADER_PLATFORM, PUBLISHED_CURVES, RepairCurve
from wearlog.costs.published_rates import CUSTOM_RATES, LOST_DAY_HOURS, LOST_DAYS, WAGES, PublishedRate
from wearlog.costs.remaining_value import VALUE_CURVES, ValueCurve, remaining_share
from wearlog.costs.repair_curve import repair_share
from wearlog.facts.closed_lists import Evidence
from wearlog.facts.farm_settings import FarmSettings
from wearlog.reckoning.costs.costs import CostTable
from wearlog.units import ACRE_SQUARE_METRES

#: machines are compared after so many years of so many hours
YEARS, HOURS_A_YEAR = 10, 200


@unique
class Measured(StrEnum):
    """What a published figure is in."""

    MONEY = "money"
    SHARE = "share_of_list_price"


@dataclass(frozen=True, slots=True)
class PublishedFigure:
    """A published figure and the farm's own: dollars in cents, or a share of list price. `own` is None where there is none."""

    about: str
    what: str
    per: str
    measured: Measured
    published: float
    own: float | None
    year: int | None
    source: str
    evidence: Evidence


def published_beside(settings: FarmSettings, costs: CostTable, fleet: OwnCurve | None) -> tuple[PublishedFigure, ...]:
    """Return every published figure that the program reckons with or compares by.

    Notes
    -----
    A farm that counts in another money has no own figure beside those in dollars. What an acre costs by the log has neither fuel
    nor the combine's own price in it, which a custom rate has.
    """
    in_dollars = settings.currency == "USD"
    each = costs.total.per_area_minor
    acre = None if each is None or not in_dollars else each * float(ACRE_SQUARE_METRES)
    labour = float(settings.labour_rate_minor) if in_dollars else None
    day = float(settings.downtime_minor * LOST_DAY_HOURS) if in_dollars and settings.downtime_minor else None
    return (
        *(_rate("having it cut", rate, acre) for rate in CUSTOM_RATES),
        *(_rate("an hour's pay", rate, labour) for rate in WAGES),
        *(_rate("a lost day", rate, day if "harvest" in rate.what else None) for rate in LOST_DAYS),
        *(_repairs(curve, fleet) for curve in (*PUBLISHED_CURVES, HEADER_CUTTING, HEADER_PLATFORM)),
        *(_value(curve) for curve in VALUE_CURVES),
    )


def _rate(about: str, rate: PublishedRate, own: float | None) -> PublishedFigure:
    return PublishedFigure(
        about, rate.what, rate.per, Measured.MONEY, rate.cents, own, rate.year, rate.source, rate.evidence
    )


def _repairs(curve: RepairCurve, fleet: OwnCurve | None) -> PublishedFigure:
    """Repairs of a whole life; the farm's own curve beside that of combines."""
    own = None
    if fleet is not None and curve is COMBINE:
        mine = fleet.as_repair_curve(curve.machine, curve.life_hours)
        own = float(repair_share(mine, curve.life_hours))
    source = f"{curve.source} {curve.note}".strip()
    per = f"{curve.life_hours:,.0f} h"
    return PublishedFigure(
        "repairs",
        curve.machine,
        per,
        Measured.SHARE,
        curve.life_repair_percent / 100,
        own,
        None,
        source,
        curve.evidence,
    )


def _value(curve: ValueCurve) -> PublishedFigure:
    share = float(remaining_share(curve, float(YEARS), HOURS_A_YEAR))
    per = f"{YEARS} y of {HOURS_A_YEAR} h"
    return PublishedFigure(
        "value left", curve.machine, per, Measured.SHARE, share, None, None, curve.source, curve.evidence
    )
