"""How many hours of cutting a wait takes: for a part that is sent, and for one that somebody fetches; and who drives."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Final

import numpy as np
from numpy.typing import ArrayLike

from wearlog.facts.wearing import Component
from wearlog.plan.residual_life import Floats
from wearlog.reckoning.farm import Farm
from wearlog.reckoning.parts.deliveries import PartTimes
from wearlog.reckoning.plan.order_dates import lead_of
from wearlog.reckoning.plan.spares import FIELD_HOURS_A_DAY, HURRY_HOURS
from wearlog.store.schema.types import microseconds

#: hours of the day in which cutting is possible, and the share of days that are fit for it (common practice, no source)
_CUTTING: Final = (11, 21)
_WORKABLE: Final = FIELD_HOURS_A_DAY / (_CUTTING[1] - _CUTTING[0])


@dataclass(frozen=True, slots=True)
class PartWait:
    """How long a part is waited for that is not on the shelf.

    Attributes
    ----------
    delivery_hours : float
        Hours of cutting until its delivery is here, one time in two.
    days : float
        Within which the delivery is here, one time in two.
    late_days : float
        And nine times in ten.
    quoted : int or None
        Days that are quoted; None: a guess stands in.
    taken : tuple of float
        Days that its deliveries took.
    """

    delivery_hours: float
    days: float
    late_days: float
    quoted: int | None
    taken: Sequence[float]

    @property
    def hours(self) -> float:
        """Hours of cutting until it is here, fetched in a hurry where that is sooner."""
        return min(self.delivery_hours, HURRY_HOURS)

    def hurried(self, later: ArrayLike) -> Floats:
        """Return whether a part that is needed so many hours from now must be fetched in a hurry; shape as given.

        Parameters
        ----------
        later : array_like
            Hours of cutting.
        """
        return np.asarray(self.delivery_hours - np.asarray(later) > HURRY_HOURS)

    def hours_at(self, later: ArrayLike) -> Floats:
        """Return the hours of cutting that are waited when it is needed so many hours from now; shape as given.

        Parameters
        ----------
        later : array_like
            Hours of cutting.
        """
        return np.clip(self.delivery_hours - np.asarray(later), 0.0, HURRY_HOURS)


def wait_of(times: PartTimes, now: datetime) -> PartWait:
    """Return how long a part is waited for that is ordered now: by the same law of its deliveries as its last day to order."""
    lead = lead_of(times)
    if lead is None:
        return PartWait(0.0, 0.0, 0.0, times.quoted, times.taken)
    middle = lead.days(0.5)
    hours = field_hours(now, now + timedelta(days=middle))
    return PartWait(hours, middle, lead.days(0.9), times.quoted, times.taken)


def field_hours(now: datetime, until: datetime, dark: float | None = None, night: float = 0.0) -> float:
    """Return the hours of standing that keep from cutting: of later days those alone in which cutting is possible at all.

    Parameters
    ----------
    dark : float, optional
        Hours until it is too dark to cut today.
    night : float
        Hours after dark that are counted in where it stands until a later day.
    """
    hours = (until - now).total_seconds() / 3600
    if dark is not None:
        today = min(hours, dark)
    else:
        evening = now.replace(hour=_CUTTING[1], minute=0, second=0, microsecond=0)
        today = min(hours, max((evening - now).total_seconds() / 3600, 0.0))
    later, day = 0.0, now.date() + timedelta(days=1)
    while day <= until.date():
        opens, closes = (datetime.combine(day, now.timetz()).replace(hour=one, minute=0, second=0) for one in _CUTTING)
        later += _WORKABLE * max((min(closes, until) - opens).total_seconds() / 3600, 0.0)
        day += timedelta(days=1)
    return today + later + (night if later else 0.0)


def idle_drives(farm: Farm, component: Component) -> bool:
    """Tell whether the machine's operator stands idle while another combine goes on cutting: both cut today."""
    now = farm.now_microseconds
    midnight = microseconds(farm.now.replace(hour=0, minute=0, second=0, microsecond=0))
    runs, hitches = farm.histories.runs, farm.histories.hitches
    today = (runs.start <= now) & (runs.end >= midnight)
    out = set(runs.combine[today].tolist())
    place = farm.machine_number(component.machine_id)
    carries = (hitches.header == place) & (hitches.start <= now) & (now < hitches.end)
    mine = {place, *hitches.combine[carries].tolist(), *runs.combine[today & (runs.header == place)].tolist()}
    return bool(out & mine) and bool(out - mine)
