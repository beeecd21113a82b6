"""How many days the harvest still takes, as a distribution: weather and breakdowns. Knows day numbers, no dates."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil, inf
from typing import Final

import numpy as np
from scipy.special import betaincinv, gammainc, gammaln

from wearlog.errors import DataError
from wearlog.harvest.by_line import Floats

#: no harvest is foretold beyond this many days
HORIZON_DAYS: Final = 400
_SHARE_NODES: Final = 60
_SURE: Final = 1e-12


@dataclass(frozen=True, slots=True)
class Weather:
    """How often a day is fit for cutting.

    Parameters
    ----------
    workable_share : float
        Share of days on which the crop can be cut (above 0, at most 1).
    known_from_days : float
        How many days' experience that share rests on: the share itself is uncertain like a beta distribution of as many
        days. Infinite: taken as exact.
    mean_unfit_spell_days : float or None
        How many days in a row are unfit on average; None: each day for itself.
    """

    workable_share: float
    known_from_days: float = inf
    mean_unfit_spell_days: float | None = None

    def __post_init__(self) -> None:
        if not 0 < self.workable_share <= 1:
            raise DataError(
                f"A workable-day share of {self.workable_share:g} is no share above 0.",
                "Give 0.75 for three days of four.",
            )
        if self.known_from_days <= 0:
            raise DataError(
                "The workable-day share rests on no days.", "Leave the number of days out, or give at least 1."
            )
        if self.mean_unfit_spell_days is not None and self.mean_unfit_spell_days < 1:
            raise DataError(
                "A spell of unfit weather is shorter than a day.", "Give its mean length in days, 1 or more."
            )


@dataclass(frozen=True, slots=True)
class Breakdowns:
    """How often a machine stops and for how long.

    The rate is gamma distributed: as if `failures` had been seen in `hours` of running (posterior of wear/impact or of the
    farm's own count). Each stop lasts a gamma-distributed time.

    Parameters
    ----------
    failures, hours : float
        Shape and exposure (running hours of one machine).
    repair_hours : float
        Mean hours lost per stop.
    repair_variation : float
        Standard deviation over mean of those hours.
    """

    failures: float
    hours: float
    repair_hours: float
    repair_variation: float = 1.0

    def __post_init__(self) -> None:
        if min(self.failures, self.hours, self.repair_hours, self.repair_variation) <= 0:
            raise DataError(
                "Breakdowns need a rate, hours and a variation above zero.", "Leave breakdowns out if none count."
            )

    def count_chances(self, running_hours: float) -> Floats:
        """Return the chance of 0, 1, 2, ... stops in so many running hours (negative binomial), its far tail left out.

        Parameters
        ----------
        running_hours : float
            Hours in which the machines run.
        """
        mean = self.failures * running_hours / self.hours
        # twelve standard deviations on, and some where the mean is small: what lies beyond shows in no digit
        widest = mean + 12 * np.sqrt(mean + mean**2 / self.failures) + 30
        n = np.arange(ceil(widest) + 1)
        a, odds = self.failures, self.hours / (self.hours + running_hours)
        log = gammaln(a + n) - gammaln(a) - gammaln(n + 1) + a * np.log(odds) + n * np.log1p(-odds)
        chances = np.exp(log)
        # the tail is cut, so what is left is brought to one again
        return np.asarray(chances / chances.sum(), dtype=np.float64)


@dataclass(frozen=True, slots=True, eq=False)
class DaysToFinish:
    """The answer.

    Attributes
    ----------
    finished : (d + 1,) float64
        Chance to be finished by the end of day 0, 1, 2, ..., counted from today's end; day 1 is the next day.
    field_days : float
        Days of cutting without a breakdown.
    expected_stops, expected_lost_hours : float
        Breakdowns on the way and the machine hours they take.
    """

    finished: Floats
    field_days: float
    expected_stops: float
    expected_lost_hours: float

    def day_by(self, chance: float) -> int | None:
        """Return the first day by whose end the work is done with this chance; None if not within the horizon.

        Parameters
        ----------
        chance : float
            Between 0 and 1.
        """
        if not 0 < chance < 1:
            raise DataError(f"{chance:g} is no chance between 0 and 1.", "Give 0.8 for 80 %.")
        reached = np.flatnonzero(self.finished >= chance - _SURE)
        return int(reached[0]) if reached.size else None

    def chance_by(self, day: int) -> float:
        """Return the chance to be finished by the end of a day.

        Parameters
        ----------
        day : int
            0 is today, 1 the next day.
        """
        return float(self.finished[min(day, self.finished.size - 1)]) if day >= 0 else 0.0


def field_days(area: float, capacity: float, hours_per_day: float) -> float:
    """Return days of cutting: area / (effective field capacity x hours a day); any unit of area, capacity per hour.

    Parameters
    ----------
    area : float
        Area still to cut, any unit.
    capacity : float
        Effective field capacity, units of that area per hour.
    hours_per_day : float
        Hours of cutting in a suitable day.
    """
    if capacity <= 0 or hours_per_day <= 0 or area < 0:
        raise DataError(
            "Days to finish need a capacity and hours a day above zero.", "Enter a run, or set the capacity."
        )
    return area / (capacity * hours_per_day)


def calendar_days(area: float, capacity: float, hours_per_day: float, workable_share: float) -> float:
    """Return mean calendar days without breakdowns: field days / share of workable days (Iowa State A3-25).

    Parameters
    ----------
    area : float
        Area still to cut, any unit.
    capacity : float
        Effective field capacity, units of that area per hour.
    hours_per_day : float
        Hours of cutting in a suitable day.
    workable_share : float
        Share of the days that are suitable, 0 to 1.
    """
    return field_days(area, capacity, hours_per_day) / Weather(workable_share).workable_share


def required_capacity(area: float, days: float, hours_per_day: float) -> float:
    """Return the capacity per hour that finishes the area in so many suitable days (Iowa State A3-25).

    Parameters
    ----------
    area : float
        Area still to cut, any unit.
    days : float
        Suitable days.
    hours_per_day : float
        Hours of cutting in a suitable day.
    """
    if days <= 0 or hours_per_day <= 0:
        raise DataError(
            "A required rate needs days and hours a day above zero.", "Give the suitable days that are left."
        )
    return area / (days * hours_per_day)


def days_to_finish(
    area: float,
    capacity: float,
    hours_per_day: float,
    weather: Weather,
    breakdowns: Breakdowns | None = None,
    *,
    machines: int = 1,
) -> DaysToFinish:
    """Foretell how long the rest of the harvest takes.

    Parameters
    ----------
    area : float
        Left to cut, in any unit.
    capacity : float
        Effective field capacity of one machine per hour, breakdowns not taken off.
    hours_per_day : float
        Hours in the field on a workable day.
    weather : Weather
        How often a day is fit for cutting.
    breakdowns : Breakdowns, optional
        Of one machine; None counts none.
    machines : int
        Equal machines that share the work to the end.

    Returns
    -------
    DaysToFinish
        Up to the day by which it is practically sure, at most HORIZON_DAYS.

    Notes
    -----
    The machine hours needed are area / capacity plus the repair time of the stops in those running hours (compound
    negative binomial); hours lost are made up on workable days. Workable days come as a two-state chain of days with
    the given share and mean unfit spell, the first day as likely fit as any. Not handled: a yield or capacity that
    changes, repairs finished overnight, days off (lower the share for them).
    """
    if machines < 1:
        raise DataError("There is no machine to cut with.", "Give at least one machine.")
    alone = field_days(area, capacity, hours_per_day)
    running_hours = area / capacity
    needed = _chance_enough(running_hours, hours_per_day * machines, breakdowns)
    stops = breakdowns.failures * running_hours / breakdowns.hours if breakdowns else 0.0
    return DaysToFinish(
        finished=_finished(needed, weather),
        field_days=alone / machines,
        expected_stops=stops,
        expected_lost_hours=stops * breakdowns.repair_hours if breakdowns else 0.0,
    )


def _chance_enough(running_hours: float, hours_a_day: float, breakdowns: Breakdowns | None) -> Floats:
    """Return the chance that 0, 1, 2, ... workable days are enough."""
    clear = ceil(running_hours / hours_a_day - _SURE)
    days = np.arange(HORIZON_DAYS + 1)
    if breakdowns is None or running_hours == 0:
        return (days >= clear).astype(np.float64)
    spare = np.maximum(days * hours_a_day - running_hours, 0.0)
    chances = breakdowns.count_chances(running_hours)
    shape = 1 / breakdowns.repair_variation**2
    scaled = spare / (breakdowns.repair_hours / shape)
    # n repairs of one gamma law last as long as one with n times the shape
    lost_less = gammainc(shape * np.arange(1, chances.size)[:, None], scaled[None, :])
    enough: Floats = chances[0] + chances[1:] @ lost_less
    return np.where(days >= clear, np.minimum(enough, 1.0), 0.0)


def _finished(enough: Floats, weather: Weather) -> Floats:
    """Mix over how many of the first c days are workable, for c = 0, 1, 2, ... and over what the share may be."""
    share = _share_nodes(weather)
    spell = weather.mean_unfit_spell_days
    # a day's chance to be fit after a fit one and after an unfit one, so that fit days have the wanted share
    odds = share / np.maximum(1 - share, _SURE)
    after_unfit = share if spell is None else np.minimum(1 / spell, odds)
    after_fit = np.maximum(1 - after_unfit * (1 - share) / share, 0.0)
    # before the first day lies an unknown one; count[i, k] is the chance of k workable days so far
    fit, unfit = np.zeros((2, share.size, enough.size))
    fit[:, 0], unfit[:, 0] = share, 1 - share
    finished = [float(enough[0])]
    while finished[-1] < 1 - 1e-6 and len(finished) <= HORIZON_DAYS:
        to_fit = fit * after_fit[:, None] + unfit * after_unfit[:, None]
        unfit = fit + unfit - to_fit
        fit = np.zeros_like(fit)
        fit[:, 1:] = to_fit[:, :-1]
        finished.append(float(((fit + unfit) @ enough).mean()))
    return np.maximum.accumulate(np.array(finished))


def _share_nodes(weather: Weather) -> Floats:
    """Return equally likely values of the workable share."""
    share, days = weather.workable_share, weather.known_from_days
    if days == inf or share == 1:
        return np.array([share])
    middle = (np.arange(_SHARE_NODES) + 0.5) / _SHARE_NODES
    nodes: Floats = betaincinv(share * days, (1 - share) * days, middle)
    return np.maximum(nodes, 1e-3)
