"""Lives one by one on clocks of their own: whether years have grown harder on a farm's parts, and rows split by ways of use."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any

import numpy as np

from wearlog.facts.closed_lists import MeterKind
from wearlog.reckoning.farm import Farm
from wearlog.reckoning.parts.fitted_now import FittingAges
from wearlog.reckoning.parts.life_records import LifeRecords, like_rows
from wearlog.store.histories import NONE, Bools, Floats, Ints
from wearlog.store.schema.types import microseconds
from wearlog.wear.lives import Lives
from wearlog.wear.own_life import OwnLife
from wearlog.wear.posterior import Posterior
from wearlog.wear.speed_evidence import SplitLives
from wearlog.wear.speeds import at_pace
from wearlog.wear.years import Slope, YearSlopes

_WEAR = 1

#: ages of lives at entry, at exit and when last seen whole, or what of them was run in each of several ways
Ages = tuple[Floats, Floats, Floats]


@dataclass(frozen=True, slots=True, eq=False)
class LifeRows:
    """Lives of known age on a machine, those alike in everything in one row; ages in the unit of the kind's meter.

    Attributes
    ----------
    machine, part, fitted_at, entry_at, exit_at, seen_at : (n,) int64
        Places of the machine and of the part number in the histories (NONE: not noted), and microseconds since 1970.
    used : (n,) float64
        Age when fitted.
    entry, exit, seen : (n,) float64
    failed : (n,) bool
        Worn out.
    weight : (n,) float64
        How many lives a row is.
    fitted_last : dict
        How many of the quarter of all lives that began last are of each part number.
    left_out : int
    """

    machine: Ints
    part: Ints
    fitted_at: Ints
    entry_at: Ints
    exit_at: Ints
    seen_at: Ints
    used: Floats
    entry: Floats
    exit: Floats
    seen: Floats
    failed: Bools
    weight: Floats
    fitted_last: dict[int, int]
    left_out: int

    @property
    def newest(self) -> int | None:
        """The part number of now, which most of the last quarter of the fittings have; NONE for parts without one.

        None where less than two are noted: a number that nobody noted may be the one that is.
        """
        found = np.unique(self.part)
        if found[found != NONE].size < 2:
            return None
        return int(max(found, key=lambda one: (self.fitted_last.get(int(one), 0), one != NONE)))

    @property
    def late(self) -> Ints:
        """Rows that entered at a later age than they were fitted at."""
        return np.flatnonzero(self.entry > self.used)

    @property
    def between(self) -> Ints:
        """Rows that were last seen whole before they ended."""
        return np.flatnonzero(self.seen < self.exit)


def life_rows(farm: Farm, records: LifeRecords, rows: Bools) -> LifeRows:
    """Return the chosen lives, but for those that no age is known of or that lasted no time, as the wear law sees them."""
    fittings = farm.histories.fittings
    mine = np.flatnonzero(rows & ~np.isnan(records.exit) & (records.machine != NONE))
    failed = records.ended_by[mine] == _WEAR
    lived = records.exit[mine] > records.entry[mine]
    left_out = int(rows.sum()) - mine.size + int((failed & ~lived).sum())
    mine, failed = mine[lived], failed[lived]
    fitting = records.fitting[mine]
    part, fitted_at = fittings.part[fitting], fittings.fitted_at[fitting]
    columns = {
        "machine": records.machine[mine],
        "part": part,
        "fitted_at": fitted_at,
        "entry_at": records.entry_at[mine],
        "exit_at": records.exit_at[mine],
        "seen_at": records.seen_at[mine],
        "used": fittings.age_when_fitted[fitting],
        "entry": records.entry[mine],
        "exit": records.exit[mine],
        "seen": np.minimum(records.last_seen[mine], records.exit[mine]),
        "failed": failed,
    }
    # the sections of a knife that were fitted and taken off together are one row: of a hundred farms an eighth of the lives
    first, weight = like_rows(list(columns.values()))
    alike: dict[str, Any] = {name: column[first] for name, column in columns.items()}
    return LifeRows(**alike, weight=weight, fitted_last=_fitted_last(part, fitted_at), left_out=left_out)


def _fitted_last(part: Ints, fitted_at: Ints) -> dict[int, int]:
    """Return how many of the quarter of lives that began last are of each part number."""
    last = part[np.argsort(fitted_at, kind="stable")][-max(part.size // 4, 1) :]
    return dict(zip(*(one.tolist() for one in np.unique(last, return_counts=True)), strict=True))


def split_lives(rows: LifeRows, ages: Ages, parts: Ages, way: Ints) -> tuple[SplitLives, tuple[int, ...]]:
    """Return lives split by ways, equal ones joined, and the machines they were on, by their places in the histories.

    Parameters
    ----------
    ages : three arrays of shape (n,)
        At entry, at exit, and when last seen whole.
    parts : three arrays of shape (n, c)
        What of these was run in each way.
    way : (n,) int64
        In which it ended; NONE for none.
    """
    entry, leaving, seen = ages
    count = parts[0].shape[1]
    ended_in = np.where(rows.failed, way, NONE)
    table = np.vstack([entry, leaving, rows.failed, seen, rows.machine, ended_in, *(one.T for one in parts)])
    first, weight = like_rows(table, rows.weight)
    distinct = table[:, first]
    start, leave, event, whole = distinct[:4]
    numbers, place = np.unique(distinct[4].astype(np.int64), return_inverse=True)
    between = bool((whole < leave)[event == 1].any())
    lives = Lives.of(
        leave, event == 1, entry=start, weight=weight, last_seen=whole if between else None, left_out=rows.left_out
    )
    of_way = distinct[5].astype(np.int64)
    ended = (of_way[:, None] == np.arange(count)).astype(float)
    at_entry, at_exit, at_seen = (distinct[6 + k * count : 6 + (k + 1) * count].T for k in range(3))
    return SplitLives(lives, place.astype(np.int64).ravel(), at_entry, at_exit, at_seen, ended), tuple(numbers.tolist())


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
        every = lines.at(meter, np.tile(own, self.begins.size), np.repeat(self.begins, own.size))
        edges = every.reshape(self.begins.size, own.size).T[place]
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


def year_parts(
    farm: Farm, rows: LifeRows, lines: YearLines, meter: MeterKind, ages: Ages | None = None
) -> tuple[Ages, Ages]:
    """Return ages at entry, at exit and when last seen whole, (n,) each, and what of them was run in each year, (n, y).

    Parameters
    ----------
    ages : three arrays of shape (n,), optional
        Such ages on another clock, on which the years share as on the meter.
    """
    # arrays of lives x years are the largest of all: none is kept beside what is made of it
    before = _age_before(rows, lines)
    leaving = before + lines.parts(farm, meter, rows.machine, rows.fitted_at, rows.exit_at)
    entry, seen = before.copy(), leaving.copy()
    for place, at, found in ((rows.late, rows.entry_at, entry), (rows.between, rows.seen_at, seen)):
        ran = lines.parts(farm, meter, rows.machine[place], rows.fitted_at[place], at[place])
        found[place] = ran + before[place]
    del before
    shown = (rows.entry, rows.exit, rows.seen) if ages is None else ages
    for one, age in zip((entry, leaving, seen), shown, strict=True):
        one *= (age / np.maximum(one.sum(axis=1), 1e-9))[:, None]
    return shown, (entry, leaving, seen)


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
    clock : three arrays of shape (lives,)
        Age of each life at entry, at exit and when last seen whole, as it would be at the wear of the year ahead.
    """

    lines: YearLines
    slope: Slope
    farm: Slope
    split: SplitLives
    numbers: tuple[int, ...]
    clock: Ages

    @property
    def _log_speed(self) -> Floats:
        return self.slope.mean * self.lines.offset

    def lives(self) -> Lives:
        """Return all lives as they would be at the wear of the year ahead."""
        return self.split.on_clock(self._log_speed, as_usual=False)

    def by_machine(self) -> dict[int, Lives]:
        """Return the same by machine, by its place in the histories."""
        each = self.lives().by_group(self.split.machine)
        return {one: each[place] for place, one in enumerate(self.numbers)}

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


def year_wear(
    years: FarmYears, number: int, farm: Farm, rows: LifeRows, meter: MeterKind, ages: Ages | None = None
) -> YearWear:
    """Return how much faster a kind wears from year to year.

    Parameters
    ----------
    number : int
        Of the kind.
    rows : LifeRows
        Its lives.
    ages : three arrays of shape (n,), optional
        Their ages on another clock.
    """
    slope = years.of(number)
    shown, parts = year_parts(farm, rows, years.lines, meter, ages)
    more = np.expm1(slope.mean * years.lines.offset)
    entry, leaving, seen = (np.maximum(age + part @ more, 0.0) for age, part in zip(shown, parts, strict=True))
    split, machines = split_lives(rows, shown, parts, years.lines.year_of(rows.exit_at))
    return YearWear(years.lines, slope, years.slopes.farm, split, machines, (entry, leaving, seen))
