"""What the crop and the time of the year say of work that is offered: the pace, the worth of an hour, by when it is done."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from math import ceil
from typing import Final

from wearlog.costs.downtime import hour_by_timeliness
from wearlog.facts.farm_settings import USUAL_DOWNTIME_SOURCE
from wearlog.reckoning.farm import Farm, season_period
from wearlog.reckoning.harvest.field_time import cutting_days, field_time
from wearlog.reckoning.harvest.harvest_view import ENOUGH_SECONDS
from wearlog.reckoning.plan.custom_basis import WorkBasis

#: seasons that tell the pace in a crop, and until which day is cut
_SEASONS: Final = 3
_HOUR: Final = 3600.0
#: of the own acres: by then they are in with this chance
OWN_DONE: Final = 0.8
#: on the mean of a job half of it still stands
_STANDS: Final = 0.5


@dataclass(frozen=True, slots=True)
class JobDays:
    """By when the work is done, and the day until which is cut in other years.

    Attributes
    ----------
    after_own : date or None
        The own acres are in by then with 80 %; None where nothing of them is left, or the work comes first.
    days : int
        What it takes one combine.
    done_by : date
    last_day : date
        The latest day of cutting of the last seasons, in this year.
    season_days : int
        From the first day to the last of the longest of them.
    """

    after_own: date | None
    days: int
    done_by: date
    last_day: date
    season_days: int

    @property
    def is_too_late(self) -> bool:
        """No season has so many days."""
        return self.days > self.season_days


def pace_in_crop(basis: WorkBasis, place: int) -> float | None:
    """Return what a combine cut of the asked crop, square metres an hour; None without a crop, or with too few hours in it."""
    farm, crop = basis.farm, basis.asked.crop
    if crop is None or crop not in farm.histories.crops:
        return None
    number = farm.histories.crops.index(crop)
    begun = [one for one in farm.seasons if one.starts_on <= farm.now.date()]
    stops = basis.stops.get(place, [])
    found = [field_time(farm, place, one, stops, number) for one in begun[-_SEASONS:]]
    seconds = sum(one.seconds for one in found if one is not None)
    area = sum(one.area for one in found if one is not None)
    return area / (seconds / _HOUR) if seconds >= ENOUGH_SECONDS and area > 0 else None


def hour_in_crop(basis: WorkBasis) -> float | None:
    """Return what an hour of standing in the asked crop costs, in minor units, on own acres; None where the farm's own hour stands.

    That is where the farm set one itself, where the acres are another's, and where yield, price or days are not known.
    """
    settings, asked, worth, finish = basis.farm.settings, basis.asked, basis.crop, basis.harvest.finish
    if not asked.deal.is_taken_in or worth is None or finish is None:
        return None
    if settings.downtime_source != USUAL_DOWNTIME_SOURCE and settings.downtime_minor:
        return None
    price = worth.minor_per_gram
    if worth.grams is None or price is None:
        return None
    value = hour_by_timeliness(
        loss_per_day=worth.loss_per_day,
        area_standing=asked.area * _STANDS,
        yield_per_area=worth.grams,
        price_minor=price,
        hours_per_day=finish.hours_per_day,
        workable_share=finish.weather.share,
    )
    return float(value.minor_per_hour)


def job_days(basis: WorkBasis, hours: float, *, first: bool) -> JobDays | None:
    """Return by when so many hours of field time are over, one combine at it; None without a finish or a season on record.

    `first`: before the own acres; else after them.
    """
    finish, seasons = basis.harvest.finish, _cut_days(basis.farm)
    if not seasons or finish is None or basis.asked.deal.is_taken_in:
        return None
    begins = finish.first_day or finish.usual_first_day
    if begins is None:
        return None
    own = None if first else finish.date_by(OWN_DONE) or finish.usual_date_by(OWN_DONE)
    days = ceil(hours / (finish.hours_per_day * finish.weather.share))
    ends = max(_in_season_of(begins, start, end) for start, end in seasons)
    longest = max((end - start).days + 1 for start, end in seasons)
    return JobDays(own, days, (own or begins) + timedelta(days=days), ends, longest)


def _in_season_of(begins: date, start: date, end: date) -> date:
    """Return the end of another season as a day of the one that begins there, which may run over New Year."""
    year = end.year + round((begins - start).days / 365.2425)
    return end.replace(year=year, day=min(end.day, 28) if end.month == 2 else end.day)


def _cut_days(farm: Farm) -> list[tuple[date, date]]:
    """Return the first day of cutting and the last of each of the last seasons that are over."""
    over = [one for one in farm.seasons if one.ends_on <= farm.now.date() or one.harvest_year < farm.now.year]
    numbers = [found for one in over[-_SEASONS:] if (found := cutting_days(farm, season_period(farm, one))).size]
    epoch = date(1970, 1, 1)
    return [(epoch + timedelta(days=int(one[0])), epoch + timedelta(days=int(one[-1]))) for one in numbers]
