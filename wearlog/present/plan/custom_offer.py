"""An offer of work for others as somebody writes it: how much, which ground, what for each acre, what fuel costs."""

from __future__ import annotations

import re
from typing import Final

from wearlog.costs.downtime import graded_custom_rate
from wearlog.errors import UsageError
from wearlog.facts.closed_lists import Ground
from wearlog.facts.farm_settings import FarmSettings
from wearlog.facts.plain_text import one_line
from wearlog.logbook.said.amounts import custom_rate
from wearlog.logbook.said.choices import choice_said
from wearlog.logbook.said.measures import FarmReader, money
from wearlog.reckoning.harvest.hour_value import CropWorth
from wearlog.reckoning.plan.custom_basis import AskedWork, Deal
from wearlog.reckoning.plan.custom_work import USUAL_FUEL_MINOR, USUAL_GALLONS
from wearlog.units import ACRE_SQUARE_METRES, HECTARE_SQUARE_METRES

_GALLON_LITRES = 3.785411784
#: how a rate by the hour ends
_AN_HOUR: Final = re.compile(r"\s*(?:/|\ban?\b|\bper\b)\s*(?:h|hr|hour)\s*$", re.IGNORECASE)


def offer_of(
    settings: FarmSettings,
    *,
    area: str,
    ground: str,
    rate: str = "",
    grain: float | None = None,
    combine: str = "",
    deal: Deal = Deal.CUT_FOR_OTHERS,
    fuel_minor: float | None = None,
    burns: float | None = None,
    road_hours: float = 0.0,
    road_minor: float = 0.0,
    waits: bool | None = None,
    interest: float = 0.06,
    crop: CropWorth | None = None,
) -> AskedWork:
    """Read an offer in the farm's units. A rate of three parts without a yield takes that which the crop had on the farm.

    Raises
    ------
    UsageError
        How much, on which ground, or a rate of three parts without a yield: what is missing and how it is written.
    """
    if not area:
        raise UsageError("How much is to be cut?", f"Write it like 300, or 300 {settings.area_unit}.")
    square_metres = FarmReader(settings).area(area)
    if not square_metres:
        raise UsageError(f"'{one_line(area)}' is nothing to cut.", f"Write it like 300 {settings.area_unit}.")
    on = choice_said(ground, Ground) if ground else None
    if on is None:
        said = f"'{one_line(ground)}' is no ground." if ground else "On which ground?"
        raise UsageError(said, "Choose clean, few stones, stony or very stony.")
    hourly = _AN_HOUR.search(rate)
    return AskedWork(
        area=float(square_metres),
        ground=on,
        rate=None if hourly else _rate(settings, rate, grain if grain is not None else _usual_yield(settings, crop)),
        rate_per_hour=float(money(rate[: hourly.start()])) if hourly else None,
        crop=None if crop is None else crop.crop.id,
        deal=deal,
        combine=combine,
        fuel_minor_per_hour=_fuel(settings, fuel_minor, burns),
        road_hours=road_hours,
        road_minor=road_minor,
        waits=waits,
        interest=interest,
    )


def _usual_yield(settings: FarmSettings, crop: CropWorth | None) -> float | None:
    """Return what the crop brought on the mean, in tonnes a hectare or bushels an acre; None where nobody can say."""
    if crop is None or crop.grams is None:
        return None
    if settings.is_metric:
        return crop.grams * float(HECTARE_SQUARE_METRES) / 1e6
    weight = crop.crop.bushel_grams
    return crop.grams * float(ACRE_SQUARE_METRES) / weight if weight else None


def _rate(settings: FarmSettings, text: str, grain: float | None) -> float | None:
    if not text:
        return None
    said = custom_rate(text)
    if said.haul_minor and grain is None:
        raise UsageError(
            f"A rate of three parts needs a yield: '{one_line(text)}'.",
            f"Add --yield {6 if settings.is_metric else 35}, for example.",
        )
    each = float(HECTARE_SQUARE_METRES if settings.is_metric else ACRE_SQUARE_METRES)
    whole = graded_custom_rate(said.base_minor, said.haul_minor, said.haul_minor, said.threshold, grain or 0.0)
    return whole / each


def _fuel(settings: FarmSettings, minor: float | None, burns: float | None) -> float | None:
    """Return what an hour's fuel costs; None where nothing was said of it."""
    if minor is None and burns is None:
        return None
    litres = _GALLON_LITRES if settings.is_metric else 1.0
    usual = USUAL_FUEL_MINOR / litres if settings.currency == "USD" else None
    price = minor if minor is not None else usual
    if price is None:
        raise UsageError("What does fuel cost?", "Add --fuel-price 1.05, for example.")
    return price * (burns if burns is not None else USUAL_GALLONS * litres)
