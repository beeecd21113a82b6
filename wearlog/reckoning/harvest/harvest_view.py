"""The harvest as the log knows it: how far it has come, what each combine does in an hour, and the days it still takes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from math import isfinite
from typing import Final
from uuid import UUID

import numpy as np

from wearlog.facts.farm_settings import FarmSettings
from wearlog.facts.quality import Calibration
from wearlog.facts.work import Season, Stoppage
from wearlog.harvest.capacity import Availability, availability_of
from wearlog.harvest.days_to_finish import (
    Breakdowns,
    DaysToFinish,
    Weather,
    calendar_days,
    days_to_finish,
    required_capacity,
)
from wearlog.reckoning.farm import Farm, season_period
from wearlog.reckoning.harvest.field_time import (
    FieldPace,
    FieldTime,
    GuessedPace,
    combines_of,
    current_season,
    cutting_days,
    field_pace,
    field_time,
    guessed_pace,
    progress,
    stops_of_combines,
    today_number,
)
from wearlog.store.connection import Connection
from wearlog.store.finding import find_all, find_in_order

HOUR: Final = 3600.0
#: less field time than this says too little of a combine's pace; an older season speaks then
ENOUGH_SECONDS: Final = 10 * HOUR
#: 5.5 to 6.5 of 7 days in July to September, northern plains (from memory); weighs as one week's experience
GUESS_FIT, GUESS_DAYS = 6.0, 7.0
#: 8 to 12 h a day (from memory)
GUESS_HOURS: Final = 10.0
#: days on record from which the share of workable days is the farm's own
ENOUGH_DAYS: Final = 14
#: one stop of an hour in 40 h of cutting, until records say (common practice, no source)
GUESS_BREAKDOWNS: Final = Breakdowns(failures=0.5, hours=20.0, repair_hours=1.0)
#: seasons whose days count
_SEASONS: Final = 3
#: days without cutting after which a season counts as over
_PAUSE: Final = 21
#: as many days sooner, what would that take?
_SOONER: Final = 7.0
#: a planned season of which less is left is over
_OVER: Final = 0.02


@dataclass(frozen=True, slots=True, eq=False)
class CombineWork:
    """What one combine does, by the latest season that says enough. `capacity` is square metres an hour of field time.

    `pace` is None while nobody knows the width of cut or the speed.
    """

    machine_id: UUID
    name: str
    time: FieldTime
    availability: Availability
    pace: FieldPace | None

    @property
    def capacity(self) -> float:
        return self.time.area / (self.time.seconds / HOUR)


@dataclass(frozen=True, slots=True)
class WorkableDays:
    """Share of days on which the crop could be cut.

    Attributes
    ----------
    share : float
    cut, days : int
        Days on which somebody cut, out of the days from the first to the last of each season looked at.
    rests_on_days : float
        Days' experience that the share is worth, the guess's week among them; infinite where a person gave it.
    spell : float or None
        Mean days in a row without cutting.
    """

    share: float
    cut: int
    days: int
    rests_on_days: float
    spell: float | None

    @property
    def is_guess(self) -> bool:
        return self.days < ENOUGH_DAYS and isfinite(self.rests_on_days)

    @property
    def is_given(self) -> bool:
        return not isfinite(self.rests_on_days)


@dataclass(frozen=True, slots=True, eq=False)
class Finish:
    """When the work is done.

    Attributes
    ----------
    left : float
        Square metres still to cut.
    season : Season or None
    machines : int
    capacity, hours_per_day : float
        Of one combine, square metres an hour; hours in the field on a workable day.
    guess : GuessedPace or None
        Where the capacity is from, until something is cut.
    hours_are_guess, breakdowns_are_guess : bool
    failures : int
        Breakdowns that the rate rests on.
    first_day : date or None
        Day 0 of the answer; None while the season has not begun: then days count from its first day.
    usual_first_day : date or None
        The day on which the season would begin if it began as the last ones did (the middle one of up to three); None where it
        has begun, or nothing was cut before.
    mean_days : float
        Days in the mean, with the weather and without breakdowns.
    wanted_days, needed_capacity : float or None
        Days in which it shall be done (a week sooner than the mean unless somebody said them; None: that is no time), and what
        each combine would have to cut in an hour for that, breakdowns not counted.
    """

    left: float
    season: Season | None
    machines: int
    capacity: float
    guess: GuessedPace | None
    hours_per_day: float
    hours_are_guess: bool
    weather: WorkableDays
    breakdowns: Breakdowns
    breakdowns_are_guess: bool
    failures: int
    first_day: date | None
    answer: DaysToFinish
    mean_days: float
    wanted_days: float | None
    needed_capacity: float | None
    usual_first_day: date | None = None

    @property
    def capacity_is_guess(self) -> bool:
        return self.guess is not None

    def date_by(self, chance: float) -> date | None:
        """Return the date by which it is done with this chance; None while the season has not begun."""
        day = self.answer.day_by(chance)
        return None if day is None or self.first_day is None else self.first_day + timedelta(days=day)

    def usual_date_by(self, chance: float) -> date | None:
        """Return the date by which it is done with this chance if the season begins on the usual day; None without such a day."""
        day = self.answer.day_by(chance)
        return None if day is None or self.usual_first_day is None else self.usual_first_day + timedelta(days=day)


@dataclass(frozen=True, slots=True)
class Given:
    """What a person says instead of the log: area in square metres, hours, a share, metres per second, days to be done in."""

    left: float | None = None
    hours_per_day: float | None = None
    workable_share: float | None = None
    speed: float | None = None
    days: float | None = None


@dataclass(frozen=True, slots=True, eq=False)
class HarvestView:
    """`planned` is None when nobody planned the season; `finish` None when there is nothing to cut, or nobody said how much.

    `by_calendar`: nobody entered the season, so the calendar year stands for it.
    """

    settings: FarmSettings
    season: Season | None
    cut: float
    planned: float | None
    combines: tuple[CombineWork, ...]
    finish: Finish | None
    by_calendar: bool = False


def harvest_view(connection: Connection, farm: Farm, given: Given | None = None) -> HarvestView:
    """Answer how the harvest stands."""
    given = given or Given()
    stops = stops_of_combines(farm, find_all(connection, Stoppage))
    checks = find_in_order(connection, Calibration, "at")
    found = [_combine_work(farm, int(place), stops[int(place)], checks, given) for place in combines_of(farm)]
    combines = tuple(one for one in found if one is not None)
    now = progress(connection, farm)
    season, left, begun = _left(connection, farm, given)
    finish = None
    if left is not None and left > 0 and combines_of(farm).size:
        finish = _finish(farm, combines, given, season, left, begun=begun)
    by_calendar = now.season is not None and now.season.harvest_year in farm.calendar_years
    return HarvestView(farm.settings, now.season, now.cut, now.planned, combines, finish, by_calendar)


def _combine_work(
    farm: Farm, place: int, stops: Sequence[Stoppage], checks: Sequence[Calibration], given: Given
) -> CombineWork | None:
    best: FieldTime | None = None
    for season in reversed(farm.seasons):
        found = field_time(farm, place, season, stops)
        if found is None or not found.seconds:
            continue
        if best is None or (best.seconds < ENOUGH_SECONDS < found.seconds):
            best = found
        if best.seconds >= ENOUGH_SECONDS:
            break
    if best is None:
        return None
    machine = farm.machines[place]
    pace = field_pace(farm, place, best, checks, given.speed)
    return CombineWork(machine.id, machine.name, best, availability_of(best.seconds, best.repair_seconds), pace)


def _left(connection: Connection, farm: Farm, given: Given) -> tuple[Season | None, float | None, bool]:
    """Return the season that is to be finished, what is left of it, and whether it has begun."""
    season = current_season(farm)
    now = progress(connection, farm)
    if given.left is not None:
        return season, given.left, True
    if now.planned is not None and now.planned - now.cut > _OVER * now.planned:
        return season, now.planned - now.cut, now.cut > 0
    for ahead in farm.seasons:
        if season is None or ahead.harvest_year > season.harvest_year:
            planned = progress(connection, farm, ahead).planned
            if planned:
                return ahead, planned, False
    return season, None, False


def _finish(
    farm: Farm, combines: Sequence[CombineWork], given: Given, season: Season | None, left: float, *, begun: bool
) -> Finish:
    latest = max((one.time.season.harvest_year for one in combines), default=0)
    working = [one for one in combines if one.time.season.harvest_year == latest]
    machines = len(working) or int(combines_of(farm).size)
    guess = None if working else guessed_pace(farm)
    capacity = guess.capacity if guess else sum(one.capacity for one in working) / machines
    days = [one.time.day_seconds for one in working if one.time.day_seconds.size]
    measured = float(np.concatenate(days).mean()) / HOUR if days else None
    hours = given.hours_per_day or measured or GUESS_HOURS
    breakdowns, failures = _breakdowns(working)
    weather = _workable(farm, given, begun=begun)
    answer = days_to_finish(
        left,
        capacity,
        hours,
        Weather(weather.share, weather.rests_on_days, weather.spell),
        breakdowns,
        machines=machines,
    )
    mean = calendar_days(left, capacity * machines, hours, weather.share)
    wanted = given.days or (mean - _SOONER if mean >= 2 * _SOONER else None)
    return Finish(
        left=left,
        season=season,
        machines=machines,
        capacity=capacity,
        guess=guess,
        hours_per_day=hours,
        hours_are_guess=given.hours_per_day is None and measured is None,
        weather=weather,
        breakdowns=breakdowns,
        breakdowns_are_guess=not failures,
        failures=failures,
        first_day=farm.now.date() if begun else None,
        usual_first_day=None if begun or season is None else _usual_first_day(farm, season),
        answer=answer,
        mean_days=mean,
        wanted_days=wanted,
        needed_capacity=None if wanted is None else required_capacity(left / machines, wanted * weather.share, hours),
    )


def _usual_first_day(farm: Farm, season: Season) -> date | None:
    """Return the middle first day of cutting of the last seasons, in the year of this one."""
    before = [one for one in farm.seasons if one.harvest_year < season.harvest_year]
    first = [numbers[0] for one in before if (numbers := cutting_days(farm, season_period(farm, one))).size]
    if not first:
        return None
    begun = [date(1970, 1, 1) + timedelta(days=int(number)) for number in first[-_SEASONS:]]
    days = sorted((one - date(one.year, 1, 1)).days for one in begun)
    return date(season.harvest_year, 1, 1) + timedelta(days=days[len(days) // 2])


def _breakdowns(working: Sequence[CombineWork]) -> tuple[Breakdowns, int]:
    """Return the rate and length of stops over all combines, and how many stops they rest on."""
    repairs = np.concatenate([one.time.repair_seconds for one in working] or [np.zeros(0)]) / HOUR
    hours = sum(one.time.seconds for one in working) / HOUR
    if not repairs.size or hours <= 0:
        guess = GUESS_BREAKDOWNS
        return Breakdowns(guess.failures, max(hours, guess.hours), guess.repair_hours), 0
    mean = float(repairs.mean())
    # fewer stops do not tell how much their lengths differ: as much as chance would have it
    variation = float(repairs.std(ddof=1)) / mean if repairs.size >= 5 else 1.0
    return Breakdowns(repairs.size + 0.5, hours, mean, max(variation, 0.05)), int(repairs.size)


def _workable(farm: Farm, given: Given, *, begun: bool) -> WorkableDays:
    if given.workable_share is not None:
        return WorkableDays(given.workable_share, 0, 0, float("inf"), None)
    cut, days, gaps = 0, 0, []
    season = current_season(farm)
    worked = [one for one in farm.seasons if season is not None and one.harvest_year <= season.harvest_year]
    for one in worked[-_SEASONS:]:
        numbers = cutting_days(farm, season_period(farm, one))
        if not numbers.size:
            continue
        last, yesterday = int(numbers[-1]), today_number(farm) - 1
        # in a season under way the days since somebody last cut count as well; after weeks of them it is over
        if begun and one is season and last < yesterday <= last + _PAUSE:
            last = yesterday
        cut += numbers.size
        days += last - int(numbers[0]) + 1
        gaps += [int(gap) for gap in np.diff(np.append(numbers, last + 1)) - 1 if gap > 0]
    share = (GUESS_FIT + cut) / (GUESS_DAYS + days)
    spell = float(np.mean(gaps)) if len(gaps) >= 3 else None
    return WorkableDays(share, cut, days, GUESS_DAYS + days, spell)
