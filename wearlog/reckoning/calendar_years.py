"""Years for which nobody entered a season: the calendar year stands for each, everywhere alike. Says nothing by itself."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, date, datetime

import numpy as np

from wearlog.facts.work import Season
from wearlog.store.histories import LogHistories


def calendar_years(entered: Sequence[Season], histories: LogHistories, now: datetime) -> tuple[Season, ...]:
    """Return the calendar years into which no entered season falls, as seasons, in their order.

    They go from the year of the first run or reading to that of the last one until now: a year of which nothing is noted yet is
    no season.
    """
    noted = np.concatenate((histories.runs.start, histories.readings.at))
    noted = noted[noted <= int(now.timestamp() * 1_000_000)]
    if not noted.size:
        return ()
    first, last = (datetime.fromtimestamp(int(one) // 1_000_000, tz=UTC).year for one in (noted.min(), noted.max()))
    years = (
        Season(harvest_year=year, starts_on=date(year, 1, 1), ends_on=date(year + 1, 1, 1))
        for year in range(first, last + 1)
    )
    return tuple(
        year
        for year in years
        if not any(season.starts_on < year.ends_on and year.starts_on < season.ends_on for season in entered)
    )
