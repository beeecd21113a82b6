"""Lives out of the records: every fitting as one or more lives on the meter that wears it, with what ended each.

A mended part goes on as a new life that enters at its age; a part left in service has failed and lives no further; a part measured
past its limit failed at some age since it was last found within it.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from wearlog.facts.closed_lists import Action, Cause, Dimension, MeterKind, Removal
from wearlog.facts.parts import PartKind
from wearlog.reckoning.ages import FittingAges
from wearlog.reckoning.meters import FleetLines
from wearlog.store.histories import Bools, Floats, Histories, Ints, code_of
from wearlog.wear.lives import Lives

#: what depends on age: worn, fatigue, loosened, and what nobody knows
WEAR_CAUSES = (Cause.WEAR, Cause.FATIGUE, Cause.LOOSE, Cause.UNKNOWN)
_CENSORED, _WEAR, _IMPACT, _SECONDARY = range(4)
_PAST_LIMIT = -2


@dataclass(frozen=True, slots=True, eq=False)
class LifeRecords:
    """One row for each life; ages in seconds or square metres.

    Attributes
    ----------
    component, part_kind, machine : (n,) int64
    entry, exit : (n,) float64
        NaN where the age is not known.
    ended_by : (n,) int64
        0 censored, 1 wear, 2 impact, 3 secondary.
    last_seen : (n,) float64
        For a failure found by measuring: the age at which it was last within its limit; else the same as `exit`.
    """

    component: Ints
    part_kind: Ints
    machine: Ints
    entry: Floats
    exit: Floats
    ended_by: Ints
    last_seen: Floats

    def of_wear(self, rows: Bools) -> Lives:
        """Return the chosen lives as the wear law sees them: only wear ends a life, the rest is censored.

        Equal lives are joined into one row with its weight: 160 sections that have lasted alike cost as much as one.
        """
        known = rows & ~np.isnan(self.exit)
        left_out = int((rows & np.isnan(self.exit)).sum())
        failed = self.ended_by[known] == _WEAR
        entry, exit_age = self.entry[known], self.exit[known]
        # something that broke before the meter moved has lived one unit of it
        exit_age = np.where(failed & (exit_age <= entry), entry + 1.0, exit_age)
        lived = exit_age > entry
        seen = np.minimum(self.last_seen[known], exit_age)
        columns = np.stack((entry, exit_age, failed, seen))[:, lived]
        distinct, weight = np.unique(columns, axis=1, return_counts=True)
        entry, exit_age, failed, seen = distinct
        between = bool((seen < exit_age)[failed == 1].any())
        return Lives.of(
            exit_age,
            failed == 1,
            entry=entry,
            weight=weight,
            last_seen=seen if between else None,
            left_out=left_out,
        )


@dataclass(frozen=True, slots=True, eq=False)
class _Events:
    """What happened to fittings, ordered by fitting and time."""

    fitting: Ints
    at: Ints
    ended_by: Ints
    goes_on: Bools
    seen_at: Ints


def life_records(
    histories: Histories, lines: FleetLines, ages: FittingAges, kinds: tuple[PartKind, ...], now: int
) -> LifeRecords:
    """Return the lives of every fitting; cost is linear in fittings and breakages, and their sorting."""
    events = _events(histories, kinds)
    fittings = histories.fittings
    end_of_fitting = np.minimum(fittings.removed_at, now)
    first = np.searchsorted(events.fitting, np.arange(fittings.component.size))
    has_event = np.searchsorted(events.fitting, np.arange(fittings.component.size), "right") > first
    # a life for every event, from the event before it or the fitting; and one that goes on to the end of the fitting
    before = np.r_[-1, events.fitting[:-1]] == events.fitting
    start = np.where(before, np.r_[0, events.at[:-1]], fittings.fitted_at[events.fitting])
    last = np.r_[events.fitting[1:] != events.fitting[:-1], True] if events.fitting.size else np.zeros(0, dtype=bool)
    goes_on = last & events.goes_on & (events.at < end_of_fitting[events.fitting])
    whole = np.flatnonzero(~has_event & (fittings.fitted_at < end_of_fitting))
    fitting = np.concatenate((events.fitting, events.fitting[goes_on], whole))
    begin = np.concatenate((start, events.at[goes_on], fittings.fitted_at[whole]))
    end = np.concatenate((events.at, end_of_fitting[events.fitting[goes_on]], end_of_fitting[whole]))
    ended_by = np.concatenate((events.ended_by, np.zeros(goes_on.sum() + whole.size, dtype=np.int64)))
    seen_at = np.concatenate((events.seen_at, end[events.fitting.size :]))
    age_at = _age_reader(histories, lines, ages, fitting)
    exit_age = age_at(end)
    return LifeRecords(
        component=fittings.component[fitting],
        part_kind=histories.components.part_kind[fittings.component[fitting]],
        machine=ages.machine[fitting],
        entry=age_at(begin),
        exit=exit_age,
        ended_by=ended_by,
        last_seen=np.where(seen_at < end, age_at(np.maximum(seen_at, begin)), exit_age),
    )


def _age_reader(histories: Histories, lines: FleetLines, ages: FittingAges, fitting: Ints) -> Callable[[Ints], Floats]:
    """Return a function from instants to the ages that these fittings had then."""
    machine, meter = ages.machine[fitting], ages.meter_kind[fitting]
    fitted_at, entry = histories.fittings.fitted_at[fitting], ages.entry[fitting]

    def age_at(times: Ints) -> Floats:
        used = np.zeros(times.size)
        for kind in MeterKind:
            mine = meter == code_of(kind)
            used[mine] = lines.usage(kind, machine[mine], fitted_at[mine], times[mine])
        return np.asarray(entry + used)

    return age_at


def _events(histories: Histories, kinds: tuple[PartKind, ...]) -> _Events:
    """Breakages and limits passed, on the fitting that was on; nothing after a part has failed for good."""
    broken = _broken_positions(histories)
    measured = _limits_passed(histories, kinds)
    columns = [np.concatenate(pair) for pair in zip(broken, measured, strict=True)]
    component, position, at, ended_by, goes_on, seen_at = columns
    fitting = _fitting_on(histories, component, position, at)
    there = fitting >= 0
    order = np.lexsort((at[there], fitting[there]))
    fitting, at, ended_by, goes_on, seen_at = (
        column[there][order] for column in (fitting, at, ended_by, goes_on, seen_at)
    )
    events = _Events(fitting, at, ended_by, goes_on == 1, seen_at)
    events = _with_unexplained_ends(histories, events)
    # what failed for good cannot fail again: an event counts only if everything before it on that fitting went on
    stopped = np.cumsum(~events.goes_on)
    begins = np.searchsorted(events.fitting, events.fitting)
    stopped_before = np.r_[0, stopped][np.arange(events.fitting.size)] - np.r_[0, stopped][begins]
    kept = stopped_before == 0
    return _Events(
        events.fitting[kept], events.at[kept], events.ended_by[kept], events.goes_on[kept], events.seen_at[kept]
    )


def _broken_positions(histories: Histories) -> tuple[Ints, Ints, Ints, Ints, Ints, Ints]:
    breakages = histories.breakages
    each = np.array([len(positions) for positions in breakages.positions], dtype=np.int64)
    position = np.array([one for positions in breakages.positions for one in positions], dtype=np.int64)
    by_cause = np.full(len(Cause), _WEAR, dtype=np.int64)
    by_cause[code_of(Cause.IMPACT)] = _IMPACT
    by_cause[code_of(Cause.SECONDARY)] = _SECONDARY
    at = np.repeat(breakages.at, each)
    goes_on = np.repeat(breakages.action == code_of(Action.MENDED), each).astype(np.int64)
    return np.repeat(breakages.component, each), position, at, np.repeat(by_cause[breakages.cause], each), goes_on, at


def _limits_passed(histories: Histories, kinds: tuple[PartKind, ...]) -> tuple[Ints, Ints, Ints, Ints, Ints, Ints]:
    """The first measurement past its limit on each position since something else was measured there."""
    rows = histories.measurements
    limit = np.array(
        [np.nan if kind.limit_micrometres is None else kind.limit_micrometres for kind in kinds] or [np.nan]
    )
    grows = np.array([kind.dimension is not Dimension.THICKNESS for kind in kinds] or [True])
    kind = histories.components.part_kind[rows.component]
    past = np.where(grows[kind], rows.micrometres >= limit[kind], rows.micrometres <= limit[kind])
    order = np.lexsort((rows.at, rows.position, rows.component))
    component, position, at, past = (column[order] for column in (rows.component, rows.position, rows.at, past))
    same = np.r_[False, (component[1:] == component[:-1]) & (position[1:] == position[:-1])][: at.size]
    before = np.r_[False, past[:-1]][: at.size]
    seen_at = np.where(same & ~before, np.r_[0, at[:-1]][: at.size], 0)
    new = past & ~(same & before)
    wear = np.full(int(new.sum()), _WEAR, dtype=np.int64)
    return component[new], position[new], at[new], wear, np.zeros(wear.size, dtype=np.int64), seen_at[new]


def _fitting_on(histories: Histories, component: Ints, position: Ints, at: Ints) -> Ints:
    """The fitting that was on at (just before) each instant; -1 where none was."""
    fittings = histories.fittings
    if not fittings.component.size:
        return np.full(at.size, -1, dtype=np.int64)
    places = int(max(fittings.position.max(), position.max(initial=0))) + 1
    key, wanted = fittings.component * places + fittings.position, component * places + position
    order = np.lexsort((fittings.fitted_at, key))
    # rank the events among the fittings: the last one of the same place that began before
    ranked = np.lexsort(
        (np.r_[np.ones(key.size), np.zeros(at.size)], np.r_[fittings.fitted_at[order], at], np.r_[key[order], wanted])
    )
    is_fitting = ranked < key.size
    seen = np.cumsum(is_fitting) - 1
    rank = np.empty(at.size, dtype=np.int64)
    rank[ranked[~is_fitting] - key.size] = seen[~is_fitting]
    found = order[np.maximum(rank, 0)]
    right = (rank >= 0) & (key[found] == wanted) & (fittings.fitted_at[found] < at) & (at <= fittings.removed_at[found])
    return np.where(right, found, -1)


def _with_unexplained_ends(histories: Histories, events: _Events) -> _Events:
    """A fitting that is said to have broken without a breakage beside it failed of an unknown cause, which counts as wear."""
    fittings = histories.fittings
    broke = np.flatnonzero(fittings.removal == code_of(Removal.BROKE))
    last = np.searchsorted(events.fitting, broke, "right") - 1
    told = np.zeros(broke.size, dtype=bool)
    inside = last >= 0
    told[inside] = (events.fitting[last[inside]] == broke[inside]) & (
        events.at[last[inside]] == fittings.removed_at[broke[inside]]
    )
    extra = broke[~told]
    at = fittings.removed_at[extra]
    fitting = np.concatenate((events.fitting, extra))
    times = np.concatenate((events.at, at))
    order = np.lexsort((times, fitting))
    return _Events(
        fitting[order],
        times[order],
        np.concatenate((events.ended_by, np.full(extra.size, _WEAR, dtype=np.int64)))[order],
        np.concatenate((events.goes_on, np.zeros(extra.size, dtype=bool)))[order],
        np.concatenate((events.seen_at, at))[order],
    )
