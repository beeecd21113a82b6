"""Published custom rates, wages and lost-day costs, as starting values until the farm sets its own. Data with sources only."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from wearlog.facts.closed_lists import Evidence


@dataclass(frozen=True, slots=True)
class PublishedRate:
    """An amount that was printed somewhere: US dollars in whole cents, per `per`."""

    what: str
    cents: int
    per: str
    year: int
    source: str
    evidence: Evidence = Evidence.PUBLISHED


CUSTOM_RATES: Final = (
    PublishedRate("wheat and corn, combine and bin, over", 4_000, "ac", 2023, "Purdue custom rates, 81 replies"),
    PublishedRate("soybeans, about", 4_000, "ac", 2023, "Purdue custom rates, 81 replies"),
    PublishedRate("dryland corn", 4_500, "ac", 2024, "University of Nebraska custom rates"),
    PublishedRate("irrigated corn", 4_784, "ac", 2024, "University of Nebraska custom rates"),
    PublishedRate("soybeans", 4_600, "ac", 2024, "University of Nebraska custom rates"),
)

WAGES: Final = (
    PublishedRate("farm equipment mechanic, median", 2_366, "h", 2023, "US Department of Labor, SOC 49-3041"),
    PublishedRate("farm equipment mechanic, lowest tenth", 1_676, "h", 2023, "US Department of Labor, SOC 49-3041"),
    PublishedRate("farm equipment mechanic, highest tenth", 3_483, "h", 2023, "US Department of Labor, SOC 49-3041"),
    PublishedRate("hired farm worker, mean", 1_853, "h", 2023, "USDA NASS"),
    PublishedRate("field worker, mean", 1_788, "h", 2023, "USDA NASS"),
    PublishedRate("dealer shop, lower end", 12_000, "h", 2024, "from memory: ask the farm", Evidence.FROM_MEMORY),
    PublishedRate("dealer shop, upper end", 20_000, "h", 2024, "from memory: ask the farm", Evidence.FROM_MEMORY),
)

#: a day lost to a breakdown: corn belt, 12-row, 8-hour day; depends on the weather
LOST_DAYS: Final = (
    PublishedRate("lost day at harvest", 50_000, "day", 2012, "Iowa State University, Hanna"),
    PublishedRate("lost day at harvest", 90_000, "day", 2018, "Iowa State University, Hanna, updated"),
    PublishedRate("lost day at planting", 140_000, "day", 2012, "Iowa State University, Hanna"),
    PublishedRate("lost day at planting", 240_000, "day", 2018, "Iowa State University, Hanna, updated"),
)
LOST_DAY_HOURS: Final = 8

#: share of the crop's value lost for each day of delay, small-grain harvest (D497, from memory); field trials give 0.002-0.0075
TIMELINESS_SMALL_GRAIN: Final = 0.005
