"""Whether years have grown harder on the parts of a farm: the lives of all kinds on a clock that runs faster from year to year."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime

import numpy as np

from wearlog.facts.closed_lists import MeterKind
from wearlog.reckoning.farm.whole_farm import Farm
from wearlog.reckoning.parts.fitted_now import FittingAges
from wearlog.reckoning.parts.life_records import LifeRecords
from wearlog.reckoning.wear.split_rows import LifeRows, life_rows, split_lives
from wearlog.store.histories import Floats, Ints
from wearlog.store.schema.types import microseconds
from wearlog.wear.lives import Lives
from wearlog.wear.own_life import OwnLife
from wearlog.wear.posterior import Posterior
from wearlog.wear.prior import Prior
from wearlog.wear.speeds import SplitLives, at_pace
from wearlog.wear.years import Slope, YearSlopes, fit_years, years_alike

#: slopes are weighed below the first, and gone by below the second: one question for the whole farm
ASKED_YEARS, UNLIKE_YEARS = 0.2, 0.05

#: years further back count with the first of these
_MOST_YEARS = 12


@dataclass(frozen=True, slots=True, eq=False)
class YearLines:
    """The years on record: `begins` (y + 1,) microseconds, and how many years each lies after the year ahead, `offset` (y,)."""

    begins: Ints
    offset: Floats

    @classmethod
    def of(cls, farm: Farm) -> YearLines | None:
        """Return them; None where less than two are behind the farm."""
        runs, readings = farm.histories.runs, farm.histories.readings
        noted = np.concatenate((runs.start, readings.at, farm.histories.fittings.fitted_at))
        noted = noted[(noted > 0) & (noted <= farm.now_microseconds)]
        if not noted.size:
            return None
        last = datetime.fromtimestamp(farm.now_microseconds / 1e6, UTC).year
        first = max(datetime.fromtimestamp(int(noted.min()) / 1e6, UTC).year, last - _MOST_YEARS + 1)
        if first >= last:
            return None
        ahead = next((one.harvest_year for one in farm.seasons if not farm.is_over(one)), last + 1)
        years = np.arange(first, last + 1)
        begins = [microseconds(datetime(int(year), 1, 1, tzinfo=UTC)) for year in (*years, last + 1)]
        begins[0] = 0
        return cls(np.array(begins, dtype=np.int64), (years - max(ahead, last)).astype(float))

    def parts(self, farm: Farm, meter: MeterKind, machine: Ints, start: Ints, end: Ints) -> Floats:
        """Return what machines used in each year of [start, end), (n, y), in the unit of the meter."""
        lines = farm.lines
        at_start, at_end = lines.at(meter, machine, start), lines.at(meter, machine, end)
        own, place = np.unique(machine, return_inverse=True)
        edges = np.stack([lines.at(meter, own, np.full(own.size, edge)) for edge in self.begins], axis=1)[place]
        edges[:, 0], edges[:, -1] = -np.inf, np.inf
        inside = np.minimum(at_end[:, None], edges[:, 1:]) - np.maximum(at_start[:, None], edges[:, :-1])
        return np.asarray(np.maximum(inside, 0.0))

    def year_of(self, at: Ints) -> Ints:
        """Return the place of the year of each instant."""
        return np.asarray(np.clip(np.searchsorted(self.begins, at, "right") - 1, 0, self.offset.size - 1))


@dataclass(frozen=True, slots=True, eq=False)
class FarmYears:
    """The slope of the farm's years and that of each kind, by its number."""

    lines: YearLines
    slopes: YearSlopes
    numbers: tuple[int, ...]

    def of(self, number: int) -> Slope:
        """Return the slope of a kind; of one that nothing is known of, the farm's."""
        return self.slopes.kinds[self.numbers.index(number)] if number in self.numbers else self.slopes.farm


def farm_years(farm: Farm, records: LifeRecords, guesses: dict[int, Prior]) -> FarmYears | None:
    """Return the slope of years; None where the records of no two years are there, or no year is unlike another.

    Parameters
    ----------
    guesses : dict
        The starting guess of each kind that is fitted, by its number.
    """
    lines = YearLines.of(farm)
    if lines is None:
        return None
    asked = []
    for number, guess in guesses.items():
        mine = records.part_kind == number
        if (mine & (records.ended_by == 1)).any():
            rows = life_rows(farm, records, mine)
            if rows.failed.any():
                split, _ = by_years(farm, rows.apart_by_number(), lines, farm.part_kinds[number].meter_kind)
                asked.append((number, split, guess))
    given = [(split, lines.offset, guess) for _, split, guess in asked]
    if not given or years_alike(given) > ASKED_YEARS:
        return None
    slopes = fit_years(given)
    return FarmYears(lines, slopes, tuple(number for number, _, _ in asked)) if slopes.unlike <= UNLIKE_YEARS else None


def by_years(
    farm: Farm, rows: LifeRows, lines: YearLines, meter: MeterKind, ages: tuple[Floats, Floats, Floats] | None = None
) -> tuple[SplitLives, tuple[int, ...]]:
    """Return lives split by the years in which they were run, and their machines.

    Parameters
    ----------
    rows : LifeRows
    ages : three arrays of shape (n,), optional
        Ages at entry, at exit and when last seen whole on another clock, on which the years share as on the meter.
    """
    # arrays of lives x years are the largest of all: none is kept beside what is made of it
    before = _age_before(rows, lines)
    leaving = before + lines.parts(farm, meter, rows.machine, rows.fitted_at, rows.exit_at)
    entry, seen = before.copy(), leaving.copy()
    for place, at, found in ((rows.late, rows.entry_at, entry), (rows.between, rows.seen_at, seen)):
        ran = lines.parts(farm, meter, rows.machine[place], rows.fitted_at[place], at[place])
        found[place] = ran + before[place]
    del before
    plain = rows.entry, rows.exit, rows.seen
    shown = plain if ages is None else ages
    for one, age in zip((entry, leaving, seen), shown, strict=True):
        one *= (age / np.maximum(one.sum(axis=1), 1e-9))[:, None]
    return split_lives(rows, shown, (entry, leaving, seen), lines.year_of(rows.exit_at))


def _age_before(rows: LifeRows, lines: YearLines) -> Floats:
    """What a used part had run when it was fitted counts with the year in which it was, (n, y)."""
    found = np.zeros((rows.used.size, lines.offset.size))
    found[np.arange(rows.used.size), lines.year_of(rows.fitted_at)] = rows.used
    return found


@dataclass(frozen=True, slots=True, eq=False)
class YearWear:
    """How much faster a kind wears from year to year.

    Attributes
    ----------
    slope, farm : Slope
        Of the kind, and of the farm.
    split : SplitLives
        The lives by years.
    numbers : tuple of int
        Places in the histories of the machines of `split`.
    """

    lines: YearLines
    slope: Slope
    farm: Slope
    split: SplitLives
    numbers: tuple[int, ...]

    @property
    def _log_speed(self) -> Floats:
        return self.slope.mean * self.lines.offset

    def lives(self) -> Lives:
        """Return all lives as they would be at the wear of the year ahead."""
        return self.split.on_clock(self._log_speed, as_usual=False)

    def by_machine(self) -> dict[int, Lives]:
        """Return the same by machine, by its place in the histories."""
        lives = self.lives()
        return {one: lives.take(self.split.machine == place) for place, one in enumerate(self.numbers)}

    def doubted(self, law: Posterior | OwnLife) -> OwnLife:
        """Return a life with what is not known of the slope: the further back its records lie, the more."""
        return at_pace(law, 1.0, self.slope.sd * abs(float(self.split.shares() @ self.lines.offset)))

    def factor(self, farm: Farm, meter: MeterKind, ages: FittingAges, rows: Ints) -> Floats:
        """Return what the ages of fittings count at the wear of the year ahead, over what they are."""
        fitted = farm.histories.fittings.fitted_at[rows]
        now = np.full(rows.size, farm.now_microseconds)
        parts = self.lines.parts(farm, meter, ages.machine[rows], fitted, now)
        before = np.nan_to_num(ages.entry[rows])
        np.add.at(parts, (np.arange(rows.size), self.lines.year_of(fitted)), before)
        whole = parts.sum(axis=1)
        return np.asarray(np.where(whole > 0, parts @ np.exp(self._log_speed) / np.where(whole > 0, whole, 1.0), 1.0))


def year_wear(years: FarmYears, number: int, split: SplitLives, numbers: tuple[int, ...]) -> YearWear:
    """Return how much faster a kind wears from year to year.

    Parameters
    ----------
    number : int
        Of the kind.
    split, numbers : SplitLives, tuple of int
        Its lives by years, and their machines.
    """
    return YearWear(years.lines, years.of(number), years.slopes.farm, split, numbers)
