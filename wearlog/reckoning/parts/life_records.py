"""Lives out of the records: every fitting as one or more lives on the meter that wears it, with what ended each.

A mended part goes on as a new life that enters at its age; a part left in service has failed and lives no further until somebody
mends it; a part measured past its limit, and not found within it later, failed at some age since it was last found within it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, fields

import numpy as np
import numpy.typing as npt

from wearlog.facts.closed_lists import Action, Cause, Dimension, MeterKind, Removal
from wearlog.facts.parts import PartKind
from wearlog.harvest.by_line import first_of_each, last_before
from wearlog.reckoning.farm import FleetLines
from wearlog.reckoning.parts.fitted_now import FittingAges
from wearlog.store.histories import NONE, OPEN, Bools, Floats, Ints, LogHistories, code_of
from wearlog.wear.lives import Lives


@dataclass(frozen=True, slots=True, eq=False)
class PastLimit:
    """Runs of measurements past the limit of a fitting, with none within it between them; ordered by fitting and time.

    Attributes
    ----------
    fitting : (n,) int64
    at : (n,) int64
        The first measurement of the run.
    seen_at : (n,) int64
        The measurement before it, which lay within the limit; 0 where there is none.
    within_at : (n,) int64
        The measurement after the run, which lay within the limit again; OPEN where there is none yet.
    """

    fitting: Ints
    at: Ints
    seen_at: Ints
    within_at: Ints

    @property
    def still(self) -> Bools:
        """Whether the part has not been found within its limit since."""
        return np.asarray(self.within_at == OPEN)

    def during(self, fitting: Ints, at: Ints, fittings: int) -> Ints:
        """Return the run that was going on when something happened to a fitting, -1 where none was."""
        if not self.at.size:
            return np.full(at.size, -1, dtype=np.int64)
        first = first_of_each(self.fitting, fittings)
        found = last_before(self.at, first, fitting, at, "left")
        inside = (found >= first[fitting]) & (at <= self.within_at[np.maximum(found, 0)])
        return np.where(inside, found, -1)

    def take(self, rows: Bools) -> PastLimit:
        return PastLimit(self.fitting[rows], self.at[rows], self.seen_at[rows], self.within_at[rows])


def past_limit(histories: LogHistories, kinds: tuple[PartKind, ...], fitting: Ints, now: int) -> PastLimit:
    """Return the runs until now.

    Parameters
    ----------
    fitting : (measurements,) int64
        The fitting that each measurement was of, -1 where none was on.
    """
    rows = histories.measurements
    limit = np.array(
        [np.nan if kind.limit_micrometres is None else kind.limit_micrometres for kind in kinds] or [np.nan]
    )
    grows = np.array([kind.dimension is not Dimension.THICKNESS for kind in kinds] or [True])
    kind = histories.components.part_kind[rows.component]
    past = np.where(grows[kind], rows.micrometres >= limit[kind], rows.micrometres <= limit[kind])
    order = np.lexsort((rows.at, fitting))
    order = order[(fitting[order] >= 0) & (rows.at[order] <= now)]
    fitting, at, past = fitting[order], rows.at[order], past[order]
    # one row more on either side, of no fitting, so that the first and the last have neighbours too
    of, when, over = np.r_[-1, fitting, -1], np.r_[0, at, 0], np.r_[False, past, False]
    has_before, has_after = of[:-2] == fitting, of[2:] == fitting
    first = past & ~(has_before & over[:-2])
    last = past & ~(has_after & over[2:])
    seen_at, within_at = np.where(has_before, when[:-2], 0), np.where(has_after, when[2:], OPEN)
    return PastLimit(fitting[first], at[first], seen_at[first], within_at[last])


#: how a life ended, beside 0 for what goes on; what depends on age is worn, fatigue, loosened and what nobody knows
_WEAR, _IMPACT, _SECONDARY = range(1, 4)


@dataclass(frozen=True, slots=True, eq=False)
class LifeRecords:
    """One row for each life; ages in seconds or square metres.

    Attributes
    ----------
    fitting, component, part_kind, machine : (n,) int64
    entry, exit : (n,) float64
        NaN where the age is not known.
    ended_by : (n,) int64
        0 censored, 1 wear, 2 impact, 3 secondary.
    last_seen : (n,) float64
        For a failure found by measuring: the age at which it was last within its limit; else the same as `exit`.
    entry_at, exit_at, seen_at : (n,) int64
        When it had these ages, microseconds since 1970 UTC.
    failed_fitting : (fittings,) bool
        Fittings that failed and were not mended since; one of these that is still on runs broken or past its limit.
    """

    fitting: Ints
    component: Ints
    part_kind: Ints
    machine: Ints
    entry: Floats
    exit: Floats
    ended_by: Ints
    last_seen: Floats
    entry_at: Ints
    exit_at: Ints
    seen_at: Ints
    failed_fitting: Bools

    def of_wear(self, rows: Bools | Ints) -> Lives:
        """Return the chosen lives as the wear law sees them: only wear ends a life, the rest is censored.

        Equal lives are joined into one row with its weight: 160 sections that have lasted alike cost as much as one. What wore out
        before its meter moved is left out like an unknown age: the log does not know what it had done, and a life of nothing would
        pass for early breakage.
        """
        mine = np.flatnonzero(rows) if rows.dtype == np.bool_ else rows
        known = mine[~np.isnan(self.exit[mine])]
        failed = self.ended_by[known] == _WEAR
        entry, exit_age = self.entry[known], self.exit[known]
        lived = exit_age > entry
        left_out = mine.size - known.size + int((failed & ~lived).sum())
        seen = np.minimum(self.last_seen[known], exit_age)
        columns = np.stack((entry, exit_age, failed, seen))[:, lived]
        (entry, exit_age, failed, seen), weight = joined_rows(columns)
        between = bool((seen < exit_age)[failed == 1].any())
        return Lives.of(
            exit_age,
            failed == 1,
            entry=entry,
            weight=weight,
            last_seen=seen if between else None,
            left_out=left_out,
        )

    def of_wear_on(self, rows: Bools) -> dict[int, Lives]:
        """Return the chosen lives machine by machine, by its place in the histories; see `of_wear`."""
        mine = np.flatnonzero(rows & (self.machine != NONE))
        numbers, place = np.unique(self.machine[mine], return_inverse=True)
        known = ~np.isnan(self.exit[mine])
        failed = self.ended_by[mine] == _WEAR
        lived = known & (self.exit[mine] > self.entry[mine])
        left_out = np.bincount(place[~known | (failed & ~lived)], minlength=numbers.size).tolist()
        used, place = mine[lived], place[lived]
        exit_age = self.exit[used]
        columns = np.stack((self.entry[used], exit_age, failed[lived], np.minimum(self.last_seen[used], exit_age)))
        key = row_keys(columns)
        order = np.lexsort((key, place))
        new = np.r_[True, (key[order[1:]] != key[order[:-1]]) | (place[order[1:]] != place[order[:-1]])][: order.size]
        starts = np.flatnonzero(new)
        first = order[starts]
        entry, exit_age, failed_so, seen = distinct = columns[:, first]
        weight = np.diff(np.r_[starts, order.size]).astype(float)
        if not np.array_equal(np.repeat(distinct, weight.astype(np.int64), axis=1), columns[:, order]):
            # two unlike lives met in one number
            return {one: self.of_wear(rows & (self.machine == one)) for one in numbers.tolist()}
        event = failed_so == 1
        between = np.bincount(place[first], event & (seen < exit_age), numbers.size) > 0
        ends = np.searchsorted(place[first], np.arange(numbers.size + 1)).tolist()
        found = {}
        for at, (one, begin, end) in enumerate(zip(numbers.tolist(), ends[:-1], ends[1:], strict=True)):
            of = slice(begin, end)
            last_seen = seen[of] if between[at] else None
            found[one] = Lives(entry[of], exit_age[of], event[of], weight[of], last_seen, left_out[at])
        return found


@dataclass(frozen=True, slots=True, eq=False)
class _Events:
    """What happened to fittings, ordered by fitting and time.

    A fitting is whole until its first event, and after each event that `goes_on`. What happens to one that is not whole ends no
    life: a second break of what was left in service is dropped, mending it begins a life.
    """

    fitting: Ints
    at: Ints
    ended_by: Ints
    goes_on: Bools
    seen_at: Ints

    @property
    def follows(self) -> Bools:
        """Whether an event before it happened to the same fitting."""
        return np.asarray(np.r_[False, self.fitting[1:] == self.fitting[:-1]][: self.fitting.size])

    @property
    def ends_a_life(self) -> Bools:
        return np.asarray(~self.follows | np.r_[True, self.goes_on[:-1]][: self.fitting.size])

    def take(self, rows: Ints | Bools) -> _Events:
        return _Events(self.fitting[rows], self.at[rows], self.ended_by[rows], self.goes_on[rows], self.seen_at[rows])


def life_records(
    histories: LogHistories, lines: FleetLines, ages: FittingAges, kinds: tuple[PartKind, ...], now: int
) -> LifeRecords:
    """Return the lives of every fitting; cost is linear in fittings and breakages, and their sorting."""
    events = _events(histories, kinds, now)
    fittings = histories.fittings
    end_of_fitting = np.minimum(fittings.removed_at, now)
    has_event = np.zeros(fittings.component.size, dtype=bool)
    has_event[events.fitting] = True
    # a life for every event that ends one, from the event before it or the fitting; and one that goes on to the end of the fitting
    follows, ends = events.follows, events.ends_a_life
    last = np.r_[~follows[1:], True][: events.fitting.size]
    goes_on = last & events.goes_on & (events.at < end_of_fitting[events.fitting])
    whole = np.flatnonzero(~has_event & (fittings.fitted_at < end_of_fitting))
    age_then = _ages_at(histories, lines, ages, events.fitting, events.at)
    # most fittings have no event at all: their ages stand in `ages` already
    entry = np.where(follows, np.r_[np.nan, age_then[:-1]][: age_then.size], ages.entry[events.fitting])[ends]
    ended = events.take(ends)
    seen = _ages_at(histories, lines, ages, ended.fitting, np.maximum(ended.seen_at, fittings.fitted_at[ended.fitting]))
    seen = np.where(ended.seen_at < ended.at, np.maximum(seen, entry), age_then[ends])
    fitting = np.concatenate((ended.fitting, events.fitting[goes_on], whole))
    exit_age = np.concatenate((age_then[ends], ages.exit[events.fitting[goes_on]], ages.exit[whole]))
    ended_by = np.concatenate((ended.ended_by, np.zeros(fitting.size - ended.fitting.size, dtype=np.int64)))
    entry = np.concatenate((entry, age_then[goes_on], ages.entry[whole]))
    last_seen = exit_age.copy()
    last_seen[: seen.size] = seen
    begun_at, end_at = fittings.fitted_at, np.asarray(end_of_fitting)
    before = np.where(follows, np.r_[0, events.at[:-1]][: events.at.size], begun_at[events.fitting])[ends]
    entry_at = np.concatenate((before, events.at[goes_on], begun_at[whole]))
    exit_at = np.concatenate((ended.at, end_at[events.fitting[goes_on]], end_at[whole]))
    seen_at = exit_at.copy()
    seen_at[: seen.size] = np.where(
        ended.seen_at < ended.at, np.maximum(ended.seen_at, begun_at[ended.fitting]), ended.at
    )
    failed = np.zeros(fittings.component.size, dtype=bool)
    failed[events.fitting[last & ~events.goes_on]] = True
    return LifeRecords(
        fitting=fitting,
        component=fittings.component[fitting],
        part_kind=histories.components.part_kind[fittings.component[fitting]],
        machine=ages.machine[fitting],
        entry=entry,
        exit=exit_age,
        ended_by=ended_by,
        last_seen=last_seen,
        entry_at=entry_at,
        exit_at=exit_at,
        seen_at=seen_at,
        failed_fitting=failed,
    )


def joined_rows(columns: Floats) -> tuple[Floats, Ints]:
    """Return the distinct columns of (k, n) numbers and how often each occurs."""
    first, count = like_rows(columns)
    return columns[:, first], count.astype(np.int64)


def like_rows(columns: Sequence[Floats | Ints | Bools] | Floats, weight: Floats | None = None) -> tuple[Ints, Floats]:
    """Return where each distinct row of several columns (n,) stands first, and how much all like it weigh.

    Without a `weight` (n,) each row weighs 1.

    Each row is hashed into one number, which sorts ten times faster than rows do; should two different ones ever meet in one
    number, the slow way is taken.
    """
    _, first, place = np.unique(row_keys(columns), return_index=True, return_inverse=True)
    if not all(np.array_equal(column[first[place]], column) for column in columns):
        table = np.stack([np.asarray(column, dtype=float) for column in columns])
        _, first, place = np.unique(table, axis=1, return_index=True, return_inverse=True)
    return first, np.bincount(place.ravel(), weight, first.size).astype(float)


def row_keys(columns: Sequence[Floats | Ints | Bools] | Floats) -> npt.NDArray[np.uint64]:
    """Return one number for each row of several columns (n,), the same for like rows."""
    key = np.zeros(len(columns[0]), dtype=np.uint64)
    for column in columns:
        # a zero below is one above; a column at a time, the whole table lies there already
        row = column.view(np.uint64) if column.dtype == np.int64 else (column + 0.0).view(np.uint64)
        key = (key ^ (row >> np.uint64(29)) ^ row) * np.uint64(0x9E3779B97F4A7C15)
    return key


def _ages_at(histories: LogHistories, lines: FleetLines, ages: FittingAges, fitting: Ints, at: Ints) -> Floats:
    """Return the ages that fittings had at instants, NaN where nobody knows."""
    machine, meter = ages.machine[fitting], ages.meter_kind[fitting]
    used = np.zeros(fitting.size)
    for kind in MeterKind:
        mine = meter == code_of(kind)
        used[mine] = lines.usage(kind, machine[mine], histories.fittings.fitted_at[fitting[mine]], at[mine])
    return np.asarray(ages.entry[fitting] + used)


def _events(histories: LogHistories, kinds: tuple[PartKind, ...], now: int) -> _Events:
    """Breakages and limits passed until now, on the fitting that was on."""
    broken = _breakages(histories, now)
    rows = histories.measurements
    runs = past_limit(histories, kinds, fitting_on(histories, rows.component, rows.position, rows.at), now)
    during = runs.during(broken.fitting, broken.at, histories.fittings.component.size)
    inside = np.flatnonzero(during >= 0)
    # a later reading within the limit takes the failure back as misread, unless the part was mended in between
    believed = runs.still
    believed[during[inside[broken.goes_on[inside]]]] = True
    # mending a broken link shortens no chain: what is past its limit stays so until it is found within it
    broken.goes_on[inside[runs.still[during[inside]]]] = False
    passed = runs.take(believed)
    wear, lasting = np.full(passed.at.size, _WEAR, dtype=np.int64), np.zeros(passed.at.size, dtype=bool)
    worn = _Events(passed.fitting, passed.at, wear, lasting, passed.seen_at)
    columns = [np.concatenate((getattr(broken, one.name), getattr(worn, one.name))) for one in fields(_Events)]
    order = np.lexsort((columns[1], columns[0]))
    return _with_unexplained_ends(histories, _Events(*(column[order] for column in columns)), now)


def _breakages(histories: LogHistories, now: int) -> _Events:
    """One row for each broken position of a fitting that was on; in no order."""
    breakages = histories.breakages
    each = np.array([len(positions) for positions in breakages.positions], dtype=np.int64)
    position = np.array([one for positions in breakages.positions for one in positions], dtype=np.int64)
    by_cause = np.full(len(Cause), _WEAR, dtype=np.int64)
    by_cause[code_of(Cause.IMPACT)] = _IMPACT
    by_cause[code_of(Cause.SECONDARY)] = _SECONDARY
    at = np.repeat(breakages.at, each)
    goes_on = np.repeat(breakages.action == code_of(Action.MENDED), each)
    # which fitting it was is known where somebody entered it so; elsewhere it is the one that was on
    noted = np.array([one for fitted in breakages.broke_fitted_at for one in fitted], dtype=np.int64)
    is_noted = noted != OPEN
    component = np.repeat(breakages.component, each)
    entered_so = fitting_on(histories, component, position, np.where(is_noted, np.where(is_noted, noted, 0) + 1, at))
    on_then = fitting_on(histories, component, position, at)
    # a change that was entered late may have taken off before what was noted: what came off at that very time is what broke then
    came_off = np.r_[histories.fittings.removed_at, OPEN]
    is_noted &= (came_off[entered_so] == at) | (came_off[on_then] != at)
    fitting = np.where(is_noted, entered_so, on_then)
    is_noted &= fitting >= 0
    # a time that was corrected later must not carry the failure beyond the life of its fitting
    ends = histories.fittings.removed_at[fitting[is_noted]]
    begins = histories.fittings.fitted_at[fitting[is_noted]]
    at[is_noted] = np.clip(at[is_noted], begins + 1, np.maximum(ends, begins + 1))
    found = _Events(fitting, at, np.repeat(by_cause[breakages.cause], each), goes_on, at)
    return found.take((fitting >= 0) & (at <= now))


def fitting_on(histories: LogHistories, component: Ints, position: Ints, at: Ints) -> Ints:
    """The fitting that was on at (just before) each instant; -1 where none was."""
    fittings = histories.fittings
    nowhere = np.full(at.size, -1, dtype=np.int64)
    if not fittings.component.size:
        return nowhere
    places = int(max(fittings.position.max(), position.max(initial=0))) + 1
    key, wanted = fittings.component * places + fittings.position, component * places + position
    # most places never see an event: only the fittings of those that do are looked through
    rows = np.flatnonzero(np.isin(key, wanted))
    order = rows[np.lexsort((fittings.fitted_at[rows], key[rows]))]
    if not order.size:
        return nowhere
    # rank the events among the fittings: the last one of the same place that began before
    ranked = np.lexsort(
        (np.r_[np.ones(order.size), np.zeros(at.size)], np.r_[fittings.fitted_at[order], at], np.r_[key[order], wanted])
    )
    is_fitting = ranked < order.size
    seen = np.cumsum(is_fitting) - 1
    rank = np.empty(at.size, dtype=np.int64)
    rank[ranked[~is_fitting] - order.size] = seen[~is_fitting]
    found = order[np.maximum(rank, 0)]
    right = (rank >= 0) & (key[found] == wanted) & (fittings.fitted_at[found] < at) & (at <= fittings.removed_at[found])
    return np.where(right, found, -1)


def _with_unexplained_ends(histories: LogHistories, events: _Events, now: int) -> _Events:
    """A fitting that is said to have broken without a breakage beside it failed of an unknown cause, which counts as wear."""
    fittings = histories.fittings
    broke = np.flatnonzero((fittings.removal == code_of(Removal.BROKE)) & (fittings.removed_at <= now))
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
