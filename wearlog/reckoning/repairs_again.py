"""Repairs that come again: breakages of whole machines counted up over their usage, and whether they come ever closer.

A machine is mended and runs on as worn as it was, so its breakages are a series of events, not lives of parts.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from wearlog.errors import DataError
from wearlog.facts.closed_lists import MachineKind, MeterKind
from wearlog.facts.machines import Machine
from wearlog.reckoning.costs import season_period
from wearlog.reckoning.farm import Farm
from wearlog.store.histories import NONE, Floats, Ints, code_of
from wearlog.wear.power_law import PowerLaw, fit_power_law
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


@dataclass(frozen=True, slots=True)
class TrendTests:
    """The four tests of one series; None where there are too few events for one."""

    laplace: TrendTest | None
    mil_hdbk_189: TrendTest | None
    lewis_robinson: TrendTest | None
    reverse_arrangements: TrendTest | None


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
    tests : TrendTests
    """

    machine: Machine
    meter_kind: MeterKind
    usage: float
    at_usage: Floats
    by_season: tuple[tuple[int, int, int], ...]
    law: PowerLaw | None
    tests: TrendTests


@dataclass(frozen=True, slots=True, eq=False)
class RepairsAgain:
    """Machines of one kind, alone and together.

    Attributes
    ----------
    mean : MeanCumulative or None
        Mean count per machine over its usage since records began; None before the first breakage.
    law : PowerLaw or None
        One law for all of them.
    tests : TrendTests
        Of all of them together, each with a rate of its own; reverse arrangements are of one machine only.
    """

    kind: MachineKind
    meter_kind: MeterKind
    machines: tuple[MachineRepairs, ...]
    mean: MeanCumulative | None
    law: PowerLaw | None
    tests: TrendTests


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
    machines = tuple(
        _machine(farm, int(place), meter, at, used, float(end))
        for place, at, used, end in zip(places, broke, usage, total, strict=True)
    )
    together = histories(usage, total)
    return RepairsAgain(kind, meter, machines, _mean(together), _law(together), _tests(together, alone=False))


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


def _machine(farm: Farm, place: int, meter: MeterKind, at: Ints, usage: Floats, end: float) -> MachineRepairs:
    alone = histories([usage], end)
    by_season = []
    for season in farm.seasons:
        period = season_period(farm, season)
        if period.end > period.start:
            until = int(np.searchsorted(at, period.end))
            by_season.append((season.harvest_year, until - int(np.searchsorted(at, period.start)), until))
    return MachineRepairs(
        farm.machines[place], meter, end, usage, tuple(by_season), _law(alone), _tests(alone, alone=True)
    )


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
    try:
        return fit_power_law(watched)
    except DataError:
        # nothing has broken yet, or all of it at the very end
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
