"""By which day an order must go out so that it is there before its work and before the first acre, and how sure that is."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from math import ceil
from typing import Final

import numpy as np

from wearlog.facts.work import Season
from wearlog.plan.orders import LeadTime, lead_time
from wearlog.reckoning.farm import Farm
from wearlog.reckoning.parts.deliveries import PartTimes
from wearlog.store.schema.types import instant

#: so sure it is to be there
IN_TIME: Final = 0.9
#: a day in the shop, and how many of seven there are (common practice, no source)
SHOP_DAY_SECONDS: Final = 8 * 3600
SHOP_DAYS_OF_WEEK: Final = 5
#: days that what is on the counter is taken to have been quoted, where deliveries say that it takes some
_AT_ONCE_DAYS: Final = 0.5


@dataclass(frozen=True, slots=True)
class FirstAcre:
    """The day on which cutting may begin in the season planned: the earliest of so many past seasons, counted from their begin."""

    day: date
    seasons: int


@dataclass(frozen=True, slots=True)
class OrderBy:
    """One part's last day to order.

    Attributes
    ----------
    day : date
        May lie before today: then it is late.
    needed : date
        The day on which it must be there.
    for_work : bool
        That is the day on which the work of the plan must begin, and not the first acre.
    taken : int
        Deliveries of it on record.
    days : int
        In how many days it is there, 9 times in 10.
    quoted : int or None
        What is written down; None: a guess stands in.
    chance : float
        That it is there in time if it is ordered today; 1 is never reached.
    is_late : bool
    """

    day: date
    needed: date
    for_work: bool
    days: int
    quoted: int | None
    taken: int
    chance: float
    is_late: bool


def first_acre(farm: Farm, season: Season | None) -> FirstAcre | None:
    """Return the earliest day on which cutting may begin in a season to come; None where no past season says."""
    if season is None:
        return None
    starts = farm.histories.runs.start
    days = np.array([farm.settings.local(instant(one)).date().toordinal() for one in np.unique(starts).tolist()])
    begins = []
    for past in farm.seasons:
        if past.starts_on >= season.starts_on:
            continue
        mine = days[(days >= past.starts_on.toordinal()) & (days < past.ends_on.toordinal())]
        if mine.size:
            begins.append(int(mine.min()) - past.starts_on.toordinal())
    # the earliest and not the mean, by which the order would be late in every other season
    return FirstAcre(season.starts_on + timedelta(days=min(begins)), len(begins)) if begins else None


def work_begins(first: FirstAcre, shop_seconds: int) -> date:
    """Return the last day on which so much work in the shop can begin and still be done before the first acre, by one person."""
    days = ceil(shop_seconds / SHOP_DAY_SECONDS * 7 / SHOP_DAYS_OF_WEEK)
    return first.day - timedelta(days=days)


def order_by(
    first: FirstAcre | None, times: PartTimes, today: date, *, shop_seconds: int | None = None
) -> OrderBy | None:
    """Return the last day to order a part; None where nobody knows when cutting begins.

    Parameters
    ----------
    times : PartTimes
        What is quoted counts as two deliveries that took so long, beside those on record.
    shop_seconds : int, optional
        The work of the plan, for a part that it takes: it is there before that must begin. None: a spare for the season.
    """
    if first is None:
        return None
    lead = lead_of(times)
    days = 0 if lead is None else ceil(lead.days(IN_TIME))
    needed = first.day if shop_seconds is None else work_begins(first, shop_seconds)
    left = (needed - today).days
    chance = 1.0 if lead is None else 1 - lead.later_than(left) if left > 0 else 0.0
    day = needed - timedelta(days=days)
    return OrderBy(day, needed, needed < first.day, days, times.quoted, len(times.taken), chance, day < today)


def lead_of(times: PartTimes) -> LeadTime | None:
    """Return how long the next order takes; None for what is on the counter today, which is there today."""
    if times.quoted == 0 and not times.taken:
        return None
    return lead_time(times.taken, None if times.quoted is None else times.quoted or _AT_ONCE_DAYS)
