"""A season planned on the small farm, by ground: for tests of what is ahead."""

from __future__ import annotations

from datetime import date

from tests.small_farm import ACRE, SmallFarm
from wearlog.facts.closed_lists import Ground
from wearlog.facts.work import PlannedArea, Season, SeasonPlan
from wearlog.logbook.files.importing import bring_in


def plan(farm: SmallFarm, year: int, *areas: tuple[float, Ground | None]) -> None:
    """Enter a season and its plan: acres and their ground (None: nobody noted it), shared over all machines."""
    season = Season(harvest_year=year, starts_on=date(year, 1, 1), ends_on=date(year + 1, 1, 1))
    chosen = SeasonPlan(season_id=season.id)
    rows = [
        PlannedArea(season_plan_id=chosen.id, area_square_metres=round(acres * ACRE), ground=ground)
        for acres, ground in areas
    ]
    bring_in(farm.store, (season, chosen, *rows), source="test", digest=str(year))
