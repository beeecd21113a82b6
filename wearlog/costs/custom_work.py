"""What an acre cut for others costs: what the work itself brings about, what owning adds, and what a rate leaves over."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum, unique
from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from wearlog.errors import DataError

#: oil and grease beside the fuel (ASAE EP496, from memory)
LUBRICATION: Final = 1.15
#: man-hours for each hour of the machine (common practice, no source)
LABOUR_SHARE: Final = 1.1

#: what the work brings about, in the order in which it is told
SHORT_RUN: Final = ("wear", "stones", "repairs", "fuel", "labour", "standing", "value_lost")
#: what is paid whether it is done or not
OWNING: Final = "owning"


@unique
class RateVerdict(StrEnum):
    """What a rate is worth."""

    LOSES = "loses"
    HELPS = "helps"
    PAYS = "pays"


@dataclass(frozen=True, slots=True)
class CustomWork:
    """Work for others on one ground, in minor units of money; every figure a number or draws of one shape.

    Attributes
    ----------
    capacity : float or (n,) array
        Area an hour of field time, above 0; areas in any one unit.
    wear_per_area, wear_per_hour : float or (n,) array
        Parts and labour that wear of kinds with a known life brings about, by what wears them; standing left out.
    stones_per_area : float or (n,) array
        Breakages by stones on that ground.
    stone_cost, stone_hours : float or (n,) array
        Of one of them: parts and labour, and hours stood.
    repairs_per_hour : float or (n,) array
        Of all kinds that are not in the wear.
    fuel_per_hour : float
        Fuel alone; oil and grease are put on top.
    labour_per_hour : float
        An hour of a person.
    standing_hours_per_area : float or (n,) array
        Stood for other breakdowns.
    hour_worth : float
        An hour of standing.
    value_lost_per_hour : float
        What an hour of use takes off the machine's value.
    owning_per_hour : float
        Interest, shelter, insurance and the value lost by age, for each hour of a year's use.
    """

    capacity: ArrayLike
    wear_per_area: ArrayLike = 0.0
    wear_per_hour: ArrayLike = 0.0
    stones_per_area: ArrayLike = 0.0
    stone_cost: ArrayLike = 0.0
    stone_hours: ArrayLike = 0.0
    repairs_per_hour: ArrayLike = 0.0
    fuel_per_hour: float = 0.0
    labour_per_hour: float = 0.0
    standing_hours_per_area: ArrayLike = 0.0
    hour_worth: float = 0.0
    value_lost_per_hour: float = 0.0
    owning_per_hour: float = 0.0


@dataclass(frozen=True, slots=True, eq=False)
class AreaCost:
    """What a unit of area costs in minor units, by part; arrays over the draws.

    Attributes
    ----------
    parts : mapping of str to (n,) float64
        `SHORT_RUN` and `OWNING`.
    """

    parts: dict[str, NDArray[np.float64]]

    @property
    def short_run(self) -> NDArray[np.float64]:
        """What would not be spent without the work."""
        return np.asarray(sum(self.parts[name] for name in SHORT_RUN))

    @property
    def full(self) -> NDArray[np.float64]:
        """The same with the share of owning."""
        return np.asarray(self.short_run + self.parts[OWNING])


def custom_cost(work: CustomWork) -> AreaCost:
    """Return what a unit of area costs when it is cut for others.

    Parameters
    ----------
    work : CustomWork
        Numbers, or draws of one shape.

    Raises
    ------
    DataError
        Nothing is cut in an hour, or a figure is below 0.

    Notes
    -----
    wear + stones + (repairs + fuel x 1.15 + labour x 1.1 + value lost) / capacity + standing is the short run; owning / capacity
    more is the full cost. Stops by stones stand at `hour_worth` and are told with the stones.

    Examples
    --------
    A combine with a list price of 500,000, in money and acres: on few stones an acre costs 14.94, with owning 19.43.

    >>> stones = {"stones_per_area": 1.4 / 1000, "stone_cost": 60, "stone_hours": 0.75}
    >>> hours = {"wear_per_hour": 18, "repairs_per_hour": 80.18, "fuel_per_hour": 13 * 3.80, "labour_per_hour": 18.53}
    >>> owned = {"value_lost_per_hour": 15.99, "owning_per_hour": 60}
    >>> found = custom_cost(
    ...     CustomWork(13.36, standing_hours_per_area=0.00367, hour_worth=112.50, **stones, **hours, **owned)
    ... )
    >>> f"{found.short_run:.2f} {found.full:.2f}"
    '14.94 19.43'
    """
    figures = {name: np.asarray(getattr(work, name), dtype=np.float64) for name in CustomWork.__dataclass_fields__}
    if not (figures["capacity"] > 0).all():
        raise DataError("Nothing is cut in an hour, so an acre has no cost.", "Give acres an hour above 0.")
    below = [name for name, figure in figures.items() if not (figure >= 0).all()]
    if below:
        raise DataError(f"{below[0].replace('_', ' ').capitalize()} cannot be below 0.", "Look at the figure again.")
    capacity, hour = figures["capacity"], figures["hour_worth"]
    parts = {
        "wear": figures["wear_per_area"] + figures["wear_per_hour"] / capacity,
        "stones": figures["stones_per_area"] * (figures["stone_cost"] + figures["stone_hours"] * hour),
        "repairs": figures["repairs_per_hour"] / capacity,
        "fuel": LUBRICATION * figures["fuel_per_hour"] / capacity,
        "labour": LABOUR_SHARE * figures["labour_per_hour"] / capacity,
        "standing": figures["standing_hours_per_area"] * hour,
        "value_lost": figures["value_lost_per_hour"] / capacity,
        OWNING: figures["owning_per_hour"] / capacity,
    }
    return AreaCost({name: np.asarray(part) for name, part in parts.items()})


def rate_verdict(rate: float, short_run: float, full: float) -> RateVerdict:
    """Return what a rate is worth beside what the area costs, all in one unit of money for one of area.

    Parameters
    ----------
    rate : float
        Offered.
    short_run, full : float
        What the work brings about, and that with its share of owning.
    """
    if rate < short_run:
        return RateVerdict.LOSES
    return RateVerdict.HELPS if rate < full else RateVerdict.PAYS
