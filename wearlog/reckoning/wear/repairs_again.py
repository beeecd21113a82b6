"""Repairs that come again: breakages of whole machines counted up over their usage, and whether they come ever closer.

A machine is mended and runs on as worn as it was, so its breakages are a series of events, not lives of parts.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from scipy.special import ndtri

from wearlog.errors import DataError
from wearlog.facts.closed_lists import MachineKind, MeterKind
from wearlog.facts.machines import Machine
from wearlog.reckoning.farm import Farm, season_period
from wearlog.reckoning.wear.wear_outlook import CountRange
from wearlog.store.histories import NONE, Floats, Ints, code_of
from wearlog.wear.counts import mixed_counts, negative_binomial_counts, poisson_counts
from wearlog.wear.power_law import PowerLaw, fit_power_law
from wearlog.wear.rates import constant_rate_interval
from wearlog.wear.recurrence import Histories, MeanCumulative, histories, mean_cumulative
from wearlog.wear.trend import (
    TrendTest,
    gaps,
    laplace_test,
    lewis_robinson_test,
    mil_hdbk_189_test,
    reverse_arrangements_test,
)

#: the meter over which a machine's breakages are counted
METER_OF = {MachineKind.COMBINE: MeterKind.SEPARATOR_HOURS, MachineKind.HEADER: MeterKind.AREA}
#: beyond so many different ages the mean count is drawn over rounded ones: its variance takes the square of them
MOST_AGES = 1000
#: breakages from which on the power law speaks: the slope of fewer is mostly chance, and the present rate hangs on it
FEWEST_FOR_A_LAW = 5
#: equal steps in which the law of a present rate is run through
_STEPS = 15
#: a trend that would bring so many times the breakages on record over as much work again is too steep to be carried on
_FURTHEST = 10


@dataclass(frozen=True, slots=True)
class TrendTests:
    """The four tests of one series; None where there are too few events for one."""

    laplace: TrendTest | None
    mil_hdbk_189: TrendTest | None
    lewis_robinson: TrendTest | None
    reverse_arrangements: TrendTest | None


class RateFrom(StrEnum):
    """What a present rate rests on."""

    COUNT = "count"  # breakages and what was worked, as if the rate had always been the same
    POWER_LAW = "power_law"  # the trend of the breakages, taken at the end of the watch


@dataclass(frozen=True, slots=True)
class UsageBetween:
    """Seconds or square metres between breakages by now, with its interval; `high` may be infinite.

    `exact` when the interval is that of a count, or Crow's for machines watched from new to one age; else it is normal on the
    logarithm.
    """

    usage: float
    low: float
    high: float
    level: float
    exact: bool
    rests_on: RateFrom


@dataclass(frozen=True, slots=True)
class BreakagesAhead:
    """Breakages over `usage` more (seconds or square metres), as much as was done in `harvest_year`, and their 90 % range."""

    harvest_year: int
    usage: float
    count: CountRange


@dataclass(frozen=True, slots=True, eq=False)
class MachineRepairs:
    """The breakages of one machine since its records began.

    Attributes
    ----------
    usage : float
        What it has done since, in seconds or square metres.
    at_usage : (n,) float64
        That usage at each breakage, ascending.
    by_season : tuple of (harvest year, breakages of that season, breakages up to its end)
    law : PowerLaw or None
        Over what the meter stands at, `start` + usage: a machine that came under watch old is not taken for new. None below
        5 breakages.
    tests : TrendTests
    start : float
        What the meter stood at when records began; 0 where nobody read one (headers have none).
    now_between : UsageBetween or None
        Usage between breakages at the end of the watch: by the law, or by the count where there is none.
    ahead : BreakagesAhead or None
        Breakages in as much work as the last season's; None where no season is entered, or no rate is known.
    """

    machine: Machine
    meter_kind: MeterKind
    usage: float
    at_usage: Floats
    by_season: tuple[tuple[int, int, int], ...]
    law: PowerLaw | None
    tests: TrendTests
    start: float
    now_between: UsageBetween | None
    ahead: BreakagesAhead | None


@dataclass(frozen=True, slots=True, eq=False)
class RepairsAgain:
    """Machines of one kind, alone and together.

    Attributes
    ----------
    mean : MeanCumulative or None
        Mean count per machine over its usage since records began; None before the first breakage.
    law : PowerLaw or None
        One law for all of them, over what their meters stand at; None below 5 breakages.
    now_between : UsageBetween or None
        By that law, at the mean of what they stand at now, or by the count of all where there is none.
    tests : TrendTests
        Of all of them together, each with a rate of its own; reverse arrangements are of one machine only.
    """

    kind: MachineKind
    meter_kind: MeterKind
    machines: tuple[MachineRepairs, ...]
    mean: MeanCumulative | None
    law: PowerLaw | None
    tests: TrendTests
    now_between: UsageBetween | None


def repairs_again(farm: Farm, kind: MachineKind, number: int = NONE) -> RepairsAgain | None:
    """Count up the breakages of the machines of a kind.

    Parameters
    ----------
    kind : MachineKind
        Combines count over separator hours, headers over the area they cut.
    number : int
        Place of a part kind in the histories: only its breakages; NONE for all.

    Returns
    -------
    RepairsAgain or None
        None when no machine of that kind has worked.
    """
    meter = METER_OF.get(kind, MeterKind.ENGINE_HOURS)
    places = np.flatnonzero(farm.histories.machines.kind == code_of(kind))
    total = farm.lines.usage(meter, places, np.zeros(places.size, dtype=np.int64), farm.now_microseconds)
    places, total = places[total > 0], total[total > 0]
    if not places.size:
        return None
    broke = [_broke_at(farm, int(place), number) for place in places]
    usage = [
        _inside(farm.lines.usage(meter, np.full(at.size, place), np.zeros(at.size, dtype=np.int64), at), float(end))
        for place, at, end in zip(places, broke, total, strict=True)
    ]
    # what a counter shows before the first that is known of it is where it stood when records began
    start = np.array([farm.lines.shown(meter, int(place), 0) for place in places])
    machines = tuple(
        _machine(farm, int(place), meter, at, used, float(begin), float(end))
        for place, at, used, begin, end in zip(places, broke, usage, start, total, strict=True)
    )
    together = _by_meter(usage, total, start)
    law = _law(together)
    return RepairsAgain(
        kind,
        meter,
        machines,
        _mean(histories(usage, total)),
        law,
        _tests(together, alone=False),
        present_rate(together, law, float((start + total).mean())),
    )


def _by_meter(usage: list[Floats], total: Floats, start: Floats) -> Histories:
    """Return the histories over what the meters stood at."""
    return histories([begin + used for begin, used in zip(start, usage, strict=True)], start + total, start=start)


def _broke_at(farm: Farm, machine: int, number: int) -> Ints:
    """Return the instants at which something broke on a machine; what broke together is one event."""
    breakages, components = farm.histories.breakages, farm.histories.components
    on = components.machine == machine
    if number != NONE:
        on &= components.part_kind == number
    return np.unique(breakages.at[on[breakages.component] & (breakages.at <= farm.now_microseconds)])


def _inside(usage: Floats, end: float) -> Floats:
    """Return usages within (0, end]: what broke before the meter moved has seen one unit of it."""
    return np.sort(np.clip(usage, min(1.0, end), end))


def _machine(
    farm: Farm, place: int, meter: MeterKind, at: Ints, usage: Floats, start: float, end: float
) -> MachineRepairs:
    alone = _by_meter([usage], np.array([end]), np.array([start]))
    law = _law(alone)
    by_season, worked = [], []
    for season in farm.seasons:
        period = season_period(farm, season)
        if period.end > period.start:
            until = int(np.searchsorted(at, period.end))
            by_season.append((season.harvest_year, until - int(np.searchsorted(at, period.start)), until))
            used = float(farm.lines.usage(meter, np.array([place]), period.start, period.end)[0])
            worked.append((season.harvest_year, used))
    now = present_rate(alone, law, start + end)
    year, again = next(((year, used) for year, used in reversed(worked) if used > 0), (0, 0.0))
    count = count_ahead(alone, law, now, again)
    return MachineRepairs(
        farm.machines[place],
        meter,
        end,
        usage,
        tuple(by_season),
        law,
        _tests(alone, alone=True),
        start,
        now,
        None if count is None else BreakagesAhead(year, again, count),
    )


def count_ahead(watched: Histories, law: PowerLaw | None, now: UsageBetween | None, usage: float) -> CountRange | None:
    """Return the breakages over the usage ahead, with their 90 % range; None where none is ahead or the trend is too steep.

    Notes
    -----
    Poisson about what the trend asks for, run through the law of its present rate (normal on the logarithm, as wide as the
    interval in `now`); without a trend negative binomial, half a breakage beforehand.
    """
    if usage <= 0:
        return None
    end = float(watched.end[0])
    if law is None or now is None or now.low <= 0 or not math.isfinite(now.high):
        # without a trend: half a breakage beforehand over what was worked
        laws = [negative_binomial_counts(len(watched.age) + 0.5, end - float(watched.start[0]), usage)]
    else:
        asked = float(law.expected_count(end + usage) - law.expected_count(end))
        reach = math.log(now.high / now.low) / (2 * float(ndtri(0.5 + now.level / 2)))
        asked_at = asked * np.exp(reach * ndtri((np.arange(_STEPS) + 0.5) / _STEPS))
        if not asked_at[-1] <= _FURTHEST * len(watched.age):
            return None
        laws = [poisson_counts(float(one)) for one in asked_at]
    found, tail = mixed_counts(laws, [1.0] * len(laws)), 0.05
    return CountRange(found.mean, found.quantile(tail), found.quantile(1 - tail), 1 - 2 * tail)


def present_rate(watched: Histories, law: PowerLaw | None, age: float) -> UsageBetween | None:
    """Return the usage between breakages by now; None before the first breakage."""
    if law is None:
        return _by_count(len(watched.age), float((watched.end - watched.start).sum()))
    try:
        found, exact = law.usage_between_interval(), True
    except DataError:
        # some machine came under watch old, or they stand at different ages
        found, exact = law.rough_usage_between_interval(age), False
    return UsageBetween(float(law.usage_between(age)), found.low, found.high, found.level, exact, RateFrom.POWER_LAW)


def _by_count(breakages: int, worked: float) -> UsageBetween | None:
    if not breakages:
        return None
    found = constant_rate_interval(breakages, worked)
    return UsageBetween(worked / breakages, found.low, found.high, found.level, exact=True, rests_on=RateFrom.COUNT)


def _mean(watched: Histories) -> MeanCumulative | None:
    if not len(watched.age):
        return None
    if np.unique(watched.age).size > MOST_AGES:
        step = float(watched.end.max()) / MOST_AGES
        events = [watched.age[watched.system == one] for one in range(len(watched.end))]
        rounded = [np.minimum(np.ceil(age / step) * step, end) for age, end in zip(events, watched.end, strict=True)]
        watched = histories(rounded, watched.end)
    return mean_cumulative(watched)


def _law(watched: Histories) -> PowerLaw | None:
    if len(watched.age) < FEWEST_FOR_A_LAW:
        return None
    try:
        return fit_power_law(watched)
    except DataError:
        # all of it broke at the very end
        return None


def _tests(watched: Histories, *, alone: bool) -> TrendTests:
    def told(test: Callable[[], TrendTest]) -> TrendTest | None:
        try:
            return test()
        except DataError:
            return None

    return TrendTests(
        told(lambda: laplace_test(watched)),
        told(lambda: mil_hdbk_189_test(watched)),
        told(lambda: lewis_robinson_test(watched)),
        told(lambda: reverse_arrangements_test(gaps(watched))) if alone else None,
    )
