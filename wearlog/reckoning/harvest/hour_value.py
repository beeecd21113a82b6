"""What an hour of a standing combine is worth by everything that is known: the crop that waits, people, hiring, lost days."""

from __future__ import annotations

from dataclasses import dataclass
from uuid import UUID

import numpy as np

from wearlog.costs.downtime import (
    DowntimeValue,
    HourValue,
    downtime_value,
    graded_custom_rate,
    hour_as_set,
    hour_by_hired_capacity,
    hour_by_idle_crew,
    hour_by_lost_day,
    hour_by_timeliness,
    timeliness_cost_of_season,
)
from wearlog.costs.published_rates import CUSTOM_RATES, LOST_DAYS, TIMELINESS_SMALL_GRAIN
from wearlog.facts.closed_lists import Evidence
from wearlog.facts.farm_settings import USUAL_DOWNTIME_SOURCE, FarmSettings
from wearlog.facts.work import Crop, Run
from wearlog.reckoning.farm import Farm
from wearlog.reckoning.harvest.harvest_view import Finish, harvest_view
from wearlog.store.connection import Connection
from wearlog.store.finding import find_all
from wearlog.store.histories import NONE
from wearlog.units import ACRE_SQUARE_METRES

_MILLION = 1e6
#: published sums of money are dollars
PUBLISHED_CURRENCY = "USD"


@dataclass(frozen=True, slots=True)
class HiringRate:
    """What cutting for others costs for each square metre: a base, and where it is told hauling and more above a yield."""

    base_minor: float
    haul_minor_per_grain: float = 0.0
    surplus_minor_per_grain: float = 0.0
    threshold: float = 0.0


@dataclass(frozen=True, slots=True)
class AskedHour:
    """What a person says beside the log. Areas in square metres; grain in any one unit, the price for that unit.

    Attributes
    ----------
    grain_per_area, grain_minor : float or None
        Yield for each square metre, and what a unit of it brings.
    people : float
        How many wait.
    hiring : HiringRate or None
    """

    grain_per_area: float | None = None
    grain_minor: float | None = None
    people: float = 1.0
    hiring: HiringRate | None = None


@dataclass(frozen=True, slots=True)
class CropWorth:
    """A crop of the log, and its mean yield in grams a square metre; None where no run says one."""

    crop: Crop
    grams: float | None

    @property
    def loss_per_day(self) -> float:
        """Share of it that a day of delay costs: its own, else that of small grain."""
        own = self.crop.loss_per_day_millionths
        return TIMELINESS_SMALL_GRAIN if own is None else own / _MILLION

    @property
    def minor_per_gram(self) -> float | None:
        """What a gram of it brings; None where nobody said."""
        price = self.crop.price_minor_per_tonne
        return None if price is None else price / _MILLION


@dataclass(frozen=True, slots=True)
class HourWorth:
    """The answer.

    Attributes
    ----------
    settings : FarmSettings
        With the value that costs and plan reckon with.
    found : DowntimeValue
        What the figures say, and all that were looked at.
    season_minor : int or None
        What the crop loses over the season because cutting takes its time; None where the crop's worth is not known.
    loss_per_day : float
        Share of the standing crop lost with each day.
    crop_is_known : bool
        Whether yield and price are known, by the log or by who asks.
    finish : Finish or None
        What is left to cut, the capacity and the days; None where nothing is.
    """

    settings: FarmSettings
    found: DowntimeValue
    season_minor: int | None
    loss_per_day: float
    crop_is_known: bool
    finish: Finish | None


def hour_worth(connection: Connection, farm: Farm, asked: AskedHour | None = None) -> HourWorth:
    """Reckon what an hour of standing is worth in every way that the log, or who asks, has figures for."""
    asked = asked or AskedHour()
    finish = harvest_view(connection, farm).finish
    grain, price, loss = crop_worth(connection, farm, asked)
    season, considered = None, _without_crop(farm, asked, finish, grain)
    if finish is not None and grain is not None and price is not None:
        # a stop of one combine holds up its share of what stands; over a season half of it stands on the mean
        standing = finish.left / finish.machines * (0.5 if finish.first_day is None else 1.0)
        considered.append(
            hour_by_timeliness(
                loss_per_day=loss,
                area_standing=standing,
                yield_per_area=grain,
                price_minor=price,
                hours_per_day=finish.hours_per_day,
                workable_share=finish.weather.share,
            )
        )
        season = timeliness_cost_of_season(
            loss_per_day=loss,
            area=finish.left,
            yield_per_area=grain,
            price_minor=price,
            hours_per_day=finish.hours_per_day,
            workable_share=finish.weather.share,
            area_per_hour=finish.capacity * finish.machines,
        )
    known = grain is not None and price is not None
    return HourWorth(farm.settings, downtime_value(considered), season, loss, known, finish)


def _without_crop(farm: Farm, asked: AskedHour, finish: Finish | None, grain: float | None) -> list[HourValue]:
    settings = farm.settings
    found = []
    if settings.downtime_source != USUAL_DOWNTIME_SOURCE and settings.downtime_minor:
        found.append(hour_as_set(settings.downtime_minor))
    found.append(hour_by_idle_crew(asked.people, settings.labour_rate_minor))
    if settings.currency == PUBLISHED_CURRENCY:
        latest = max((rate for rate in LOST_DAYS if "harvest" in rate.what), key=lambda rate: rate.year)
        found.append(hour_by_lost_day(latest))
    hiring = _hiring(settings, asked, grain)
    if finish is not None and hiring is not None:
        rate, source, evidence = hiring
        found.append(hour_by_hired_capacity(rate, finish.capacity, rate_source=source, evidence=evidence))
    return found


def _hiring(settings: FarmSettings, asked: AskedHour, grain: float | None) -> tuple[float, str, Evidence] | None:
    """Return what having a square metre cut costs, in minor units, and where that is from."""
    if asked.hiring is not None:
        rate = asked.hiring
        # the rate of three parts is rounded to whole coins: reckoned for a hectare and brought back
        hectare = graded_custom_rate(
            10_000 * rate.base_minor,
            rate.haul_minor_per_grain,
            rate.surplus_minor_per_grain,
            10_000 * rate.threshold,
            10_000 * (grain or 0.0),
        )
        return hectare / 10_000, "the rate that was offered", Evidence.OWN_RECORDS
    if settings.currency != PUBLISHED_CURRENCY:
        return None
    usual = CUSTOM_RATES[0]
    source = f"{usual.what} {usual.cents / 100:g} an acre, {usual.source} ({usual.year})"
    return usual.cents / float(ACRE_SQUARE_METRES), source, usual.evidence


def crop_worth(
    connection: Connection, farm: Farm, asked: AskedHour | None = None
) -> tuple[float | None, float | None, float]:
    """Return yield, price and loss per day: what was said, else what the crop that was cut most has in the log.

    The yield is in grams a square metre, the price in minor units a gram.
    """
    asked = asked or AskedHour()
    main = _main_crop(connection, farm)
    loss = TIMELINESS_SMALL_GRAIN if main is None else main.loss_per_day
    if asked.grain_per_area is not None or asked.grain_minor is not None:
        return asked.grain_per_area, asked.grain_minor, loss
    if main is None or main.minor_per_gram is None:
        return None, None, loss
    return main.grams, main.minor_per_gram, loss


def _main_crop(connection: Connection, farm: Farm) -> CropWorth | None:
    """Return the crop of the largest area on record."""
    runs = farm.histories.runs
    known = runs.crop != NONE
    if not known.any():
        return None
    area = np.bincount(runs.crop[known], runs.area[known])
    return worth_of_crop(connection, farm.histories.crops[int(area.argmax())])


def worth_of_crop(connection: Connection, crop_id: UUID) -> CropWorth | None:
    """Return a crop with its mean yield over all runs that say one; None when it is gone."""
    crop = next((one for one in find_all(connection, Crop) if one.id == crop_id), None)
    if crop is None:
        return None
    said = [run for run in find_all(connection, Run, crop_id=crop_id) if run.yield_grams_per_hectare is not None]
    cut = sum(run.area_square_metres for run in said)
    grams = sum((run.yield_grams_per_hectare or 0) * run.area_square_metres for run in said)
    return CropWorth(crop, grams / cut / 10_000 if cut else None)
