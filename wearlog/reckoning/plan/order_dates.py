"""By which day an order must go out so that it is there before the first acre: past first days, and how long orders take."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from math import ceil
from typing import Final

import numpy as np

from wearlog.facts.work import Season
from wearlog.plan.lead_time import lead_time
from wearlog.reckoning.farm.whole_farm import Farm
from wearlog.store.schema.types import instant

#: so sure it is to be there
IN_TIME: Final = 0.9


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
    days : int
        In how many days it is there, 9 times in 10.
    quoted : int or None
        What is written down; None: a guess stands in.
    chance : float
        That it is there before the first acre if it is ordered today; 1 is never reached.
    is_late : bool
    """

    day: date
    days: int
    quoted: int | None
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


def order_by(first: FirstAcre | None, quoted_days: int | None, today: date) -> OrderBy | None:
    """Return the last day to order a part that is quoted so many days; None where nobody knows when cutting begins.

    What is quoted counts as two deliveries that took so long; deliveries of orders are on no record yet.
    """
    if first is None:
        return None
    # what is on the counter today is there today
    lead = lead_time((), float(quoted_days)) if quoted_days else lead_time(()) if quoted_days is None else None
    days = 0 if lead is None else ceil(lead.days(IN_TIME))
    left = (first.day - today).days
    chance = 1.0 if lead is None else 1 - lead.later_than(left) if left > 0 else 0.0
    day = first.day - timedelta(days=days)
    return OrderBy(day, days, quoted_days, chance, day < today)
