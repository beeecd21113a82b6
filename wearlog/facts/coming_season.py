"""Which season a plan is for: one rule for the plan, the wear ahead, the areas to cut and the commands. Reads nothing."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from datetime import date, timedelta
from typing import Final
from uuid import UUID

from wearlog.facts.work import Season

#: after this day of its year a harvest is over, unless something was cut lately (common practice, no source)
LAST_HARVEST_DAY: Final = (9, 30)
#: what was cut so lately says that a late harvest still goes on
STILL_CUTTING: Final = timedelta(days=30)


def is_over(season: Season, today: date, last_cut: date | None) -> bool:
    """Tell whether nothing of a season is to come: its days are over, or its harvest is.

    Parameters
    ----------
    last_cut : date or None
        The last day on which anything was cut; None when nothing ever was.

    Notes
    -----
    A season that is the calendar year runs to New Year, but a plan made in November is for the next one. A season that begins
    only after September has its harvest over the turn of the year and ends by its days alone.
    """
    if season.ends_on <= today:
        return True
    harvest_ends = date(season.harvest_year, *LAST_HARVEST_DAY)
    if not season.starts_on <= harvest_ends < today:
        return False
    return last_cut is None or today - last_cut > STILL_CUTTING


def coming_season(
    seasons: Iterable[Season], today: date, last_cut: date | None, planned: Collection[UUID]
) -> Season | None:
    """Return the first season that is not over and has a plan, else the first that is not over, else None.

    Parameters
    ----------
    planned : collection of UUID
        Ids of the seasons that have a plan.
    """
    by_year = sorted(seasons, key=lambda season: season.harvest_year)
    to_come = [season for season in by_year if not is_over(season, today, last_cut)]
    return next((season for season in to_come if season.id in planned), next(iter(to_come), None))


def next_harvest(today: date, last_cut: date | None = None) -> int:
    """Return the year of the harvest to come where no season was entered for it."""
    this_year = Season(harvest_year=today.year, starts_on=date(today.year, 1, 1), ends_on=date(today.year + 1, 1, 1))
    return today.year + is_over(this_year, today, last_cut)
