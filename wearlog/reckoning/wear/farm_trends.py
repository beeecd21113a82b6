"""What the kinds of a farm say together: whether years have grown harder on parts, and what new part numbers have brought."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from wearlog.facts.closed_lists import MeterKind
from wearlog.facts.departures import Departure
from wearlog.reckoning.farm import Farm
from wearlog.reckoning.parts.shelf_shares import KindShare
from wearlog.reckoning.wear.farm_years import FarmYears, LifeRows, YearLines, split_lives, year_parts
from wearlog.store.histories import NONE, Floats
from wearlog.wear.hidden import split_with_hidden
from wearlog.wear.intervals import Estimate
from wearlog.wear.prior import Prior
from wearlog.wear.steps import STEP_ALONE, FarmSteps
from wearlog.wear.years import KindYears, fit_years, years_alike

#: slopes are weighed below the first, and gone by below the second: one question for the whole farm
ASKED_YEARS, UNLIKE_YEARS = 0.2, 0.05


_LOOKS = 3
#: so many sd about the middle hold 80 % of a normal law
_EIGHTY = 1.2815515655446004


class StepBefore(NamedTuple):
    """ln(speed of wear) of another part number beside the one of now, beforehand: mean and sd; how many other kinds say so."""

    mean: float
    sd: float
    kinds: int

    @property
    def lasts(self) -> Estimate:
        """How many times as long as another the number of now is expected to last, with its 80 % interval."""
        low, median, high = np.exp(self.mean + self.sd * np.array([-_EIGHTY, 0.0, _EIGHTY]))
        return Estimate(float(median), float(low), float(high), 0.8, math.exp(self.mean + self.sd**2 / 2))


@dataclass(frozen=True, slots=True, eq=False)
class FarmTrends:
    """What the kinds of a farm say together.

    Attributes
    ----------
    years : FarmYears or None
        None where no year is unlike another.
    steps : FarmSteps or None
        Of part numbers; None where no kind has two.
    slope : int
        At which slope of `steps` the farm stands.
    numbers : tuple of int
        The kinds of `steps`.
    """

    years: FarmYears | None = None
    steps: FarmSteps | None = None
    slope: int = 0
    numbers: tuple[int, ...] = ()

    def step_of(self, number: int) -> StepBefore:
        """Return what is believed of the step between the part numbers of a kind, before its own lives speak."""
        place = self.numbers.index(number) if number in self.numbers else NONE
        if self.steps is None or place == NONE or not self.steps.has_step(place):
            return StepBefore(*STEP_ALONE, 0)
        return StepBefore(*self.steps.beforehand(place, self.slope), self.steps.kinds - 1)


def farm_trends(
    farm: Farm, lives: Mapping[int, LifeRows], guesses: Mapping[int, Prior], entered: Mapping[int, float]
) -> FarmTrends:
    """Return the slope of years, and what new part numbers have brought, over all kinds.

    Parameters
    ----------
    lives, guesses : dict
        The lives and the starting guess of each kind that is fitted, by its number.
    entered : dict
        Which share of the breakages of a kind was entered, where that is told and not all were.
    """
    lines = YearLines.of(farm)
    given, numbers = [], []
    for number, rows in lives.items():
        as_one = Departure.PARTS in farm.settings.without(farm.part_kinds[number].name)
        newest = None if as_one else rows.newest
        if rows.failed.any() and (lines is not None or newest is not None):
            meter = farm.part_kinds[number].meter_kind
            given.append(_kind_years(farm, rows, lines, meter, newest, guesses[number]))
            numbers.append(number)
    shares = [entered.get(number, 1.0) for number in numbers]
    with_slope = lines is not None and bool(given) and years_alike(_as_likely(given, shares, 0.0)) <= ASKED_YEARS
    if not with_slope and sum(one.other is not None for one in given) < 2:
        return FarmTrends()
    found, years = fit_years(_as_likely(given, shares, 0.0), with_slope=with_slope), None
    for _ in range(_LOOKS if with_slope and any(one < 1 for one in shares) else 0):
        # where breakages are missing hangs on the slope, and the slope on where they are
        known = [own if share == 1 else None for own, share in zip(found.steps.own, shares, strict=True)]
        found = fit_years(_as_likely(given, shares, found.farm.mean), own=known)
    if lines is not None and with_slope and found.unlike <= UNLIKE_YEARS:
        years = FarmYears(lines, found, tuple(numbers))
    return FarmTrends(years, found.steps, found.nearest if years is not None else found.none, tuple(numbers))


def shares_entered(farm: Farm, shares: Mapping[int, KindShare]) -> dict[int, float]:
    """Return which share of the breakages of each kind was entered, as far as its shelf was counted and nobody set that aside.

    Where the log of one kind is surely short, those that lack less than can be told of one alone count too.
    """
    carried = {
        number: one.share
        for number, one in shares.items()
        if Departure.MISSING not in farm.settings.without(farm.part_kinds[number].name)
    }
    is_short = any(one.is_short for one in carried.values())
    return {number: one.mean for number, one in carried.items()} if is_short else {}


def _as_likely(kinds: Sequence[KindYears], entered: Sequence[float], slope: float) -> Iterator[KindYears]:
    """Yield lives as they are likely to have been where breakages were not entered: of a hundred farms one kind at a time."""
    for kind, share in zip(kinds, entered, strict=True):
        yield kind._replace(split=split_with_hidden(kind.split, slope * kind.offset, kind.prior, share))


def _kind_years(
    farm: Farm, rows: LifeRows, lines: YearLines | None, meter: MeterKind, newest: int | None, guess: Prior
) -> KindYears:
    """Return the lives of a kind split by years, and those of other part numbers than the newest apart from these."""
    plain = rows.entry, rows.exit, rows.seen
    if lines is None:
        parts: Sequence[Floats] = [one[:, None] for one in plain]
        way, offset = np.zeros(rows.used.size, dtype=np.int64), np.zeros(1)
    else:
        _, parts = year_parts(farm, rows, lines, meter)
        way, offset = lines.year_of(rows.exit_at), lines.offset
    other = None
    if newest is not None:
        is_other = rows.part != newest
        parts = [np.hstack([one * ~is_other[:, None], one * is_other[:, None]]) for one in parts]
        way = way + len(offset) * is_other
        other = np.repeat([0.0, 1.0], len(offset))
        offset = np.tile(offset, 2)
    split, _ = split_lives(rows, plain, (parts[0], parts[1], parts[2]), way)
    return KindYears(split, offset, guess, other)
