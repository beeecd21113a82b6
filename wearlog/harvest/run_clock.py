"""How fast the runs drive a meter between any two moments at which something begins, ends or is read; no readings' values.

The time of each line is cut at every start and end of a run and at every reading. Inside one such step all rates are constant, so
a few sums over steps answer everything. Rates of overlapping runs add; on lines where no two runs overlap, as on most farms, the
moments are found run by run, without sorting every start and end.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from wearlog.harvest.by_line import Bools, Floats, Ints, first_of_each, last_before, order_by_line_and_time, sum_per
from wearlog.harvest.line_inputs import Readings, Runs

#: the run of a reading, which is none
_NO_RUN = -1


@dataclass(frozen=True, slots=True, eq=False)
class Turns:
    """Distinct moments sorted by line and time, and the one run that is active after some of them.

    Attributes
    ----------
    line, time : (m,) int64
    at_reading : (r,) int64
        The moment at which each reading stands.
    step, run : (p,) int64
        The steps in which a run is active, in order, and which; a run is cut into several by readings within it.
    """

    line: Ints
    time: Ints
    at_reading: Ints
    step: Ints
    run: Ints

    def load(self, runs: Runs, elapsed: Floats) -> TurnsLoad:
        """Return what spreads quantities of the runs over the steps.

        Parameters
        ----------
        runs : Runs
            Those that the turns were made of.
        elapsed : array, shape (steps,)
            How long each step lasts, microseconds.
        """
        length = (runs.end - runs.start).astype(np.float64)
        return TurnsLoad(self, elapsed, elapsed[self.step] / length[self.run])


@dataclass(frozen=True, slots=True, eq=False)
class TurnsLoad:
    """Spreads quantities of runs evenly over their time; `share` is how much of its run each step with a run takes."""

    turns: Turns
    elapsed: Floats
    share: Floats

    def busy(self) -> Floats:
        """Return the microseconds of running in each step."""
        busy = np.zeros(self.elapsed.size)
        busy[self.turns.step] = self.elapsed[self.turns.step]
        return busy

    def spread(self, quantity: Floats) -> Floats:
        """Return the quantity per step.

        Parameters
        ----------
        quantity : array, shape (runs,)
            What each run brings.
        """
        spread = np.zeros(self.elapsed.size)
        if quantity.any():
            spread[self.turns.step] = quantity[self.turns.run] * self.share
        return spread


def turns_of(count: int, runs: Runs, readings: Readings) -> Turns | None:
    """Return the moments of `count` lines, or None where two runs of a line overlap.

    Parameters
    ----------
    count : int
        Number of lines.
    runs : Runs
        In any order.
    readings : Readings
        In their order of time.
    """
    run = order_by_line_and_time(runs.line, runs.start)
    line, start = runs.line[run], runs.start[run]
    end = runs.end[run]
    if ((line[1:] == line[:-1]) & (end[:-1] > start[1:])).any():
        return None
    if readings.at.size:
        before = last_before(start, first_of_each(line, count), readings.line, readings.at, "left")
        line, start, end, run = _with_readings(line, start, end, run, before, readings)
    return _turns(line, start, end, run)


def _with_readings(
    line: Ints, start: Ints, end: Ints, run: Ints, before: Ints, readings: Readings
) -> tuple[Ints, Ints, Ints, Ints]:
    """Put each reading, as a piece of no length, after the run `before` it, and the rest of that run after a reading within it."""
    inside = before >= 0
    inside[inside] = (line[before[inside]] == readings.line[inside]) & (readings.at[inside] < end[before[inside]])
    each = 1 + inside
    rest = (np.cumsum(each) - 1)[inside]
    place, of_reading = np.repeat(before + 1, each), np.repeat(np.arange(each.size), each)
    inserted_run = np.full(place.size, _NO_RUN)
    inserted_run[rest] = run[before[inside]]
    inserted_end = readings.at[of_reading]
    inserted_end[rest] = end[before[inside]]
    line = np.insert(line, place, readings.line[of_reading])
    start = np.insert(start, place, readings.at[of_reading])
    end = np.insert(end, place, inserted_end)
    # a run that is cut goes on only to its first cut, and a rest to the next
    end[:-1] = np.where(line[1:] == line[:-1], np.minimum(end[:-1], start[1:]), end[:-1])
    return line, start, end, np.insert(run, place, inserted_run)


def _turns(line: Ints, start: Ints, end: Ints, run: Ints) -> Turns:
    """Number the moments of pieces that follow each other: an end always, a start where the piece before did not end there."""
    lasts = end > start
    moments = np.ones(line.size, dtype=np.int8)
    moments[1:] = (line[1:] != line[:-1]) | (start[1:] != end[:-1])
    moments += lasts
    ends = np.cumsum(moments, dtype=np.int64) - 1
    begins = ends - lasts
    count = int(ends[-1]) + 1 if ends.size else 0
    moment_line, time = np.empty(count, dtype=np.int64), np.empty(count, dtype=np.int64)
    for place, at in ((begins, start), (ends, end)):
        moment_line[place], time[place] = line, at
    read = run == _NO_RUN
    if not read.any():
        return Turns(moment_line, time, begins[:0], begins, run)
    works = lasts & ~read
    return Turns(moment_line, time, begins[read], begins[works], run[works])


@dataclass(frozen=True, slots=True, eq=False)
class RunClock:
    """The steps of every line; entry j covers [time[j], time[j + 1]), the last entry of a line covers nothing.

    Attributes
    ----------
    first : (count + 1,) int64
        Where each line begins.
    line, time : (m,) int64
        Sorted by line, then time; no time twice within a line.
    elapsed : (m,) float64
        Microseconds in the step.
    busy : (m,) float64
        Microseconds of running in the step, every run counted.
    told : (m,) float64
        Usage that runs themselves say, in the step.
    untold_area : (m,) float64
        Square metres cut in the step by runs that do not say their usage.
    at_reading : (r,) int64
        The entry at which each reading stands.
    """

    first: Ints
    line: Ints
    time: Ints
    elapsed: Floats
    busy: Floats
    told: Floats
    untold_area: Floats
    at_reading: Ints

    def usage(self, per_area: Floats) -> Floats:
        """Return the usage of the runs in each step, with each line's own usage per square metre where they do not say it.

        Parameters
        ----------
        per_area : array, shape (lines,)
            Usage per square metre of each line.
        """
        return self.told + per_area[self.line] * self.untold_area if self.untold_area.any() else self.told


def run_clock(count: int, runs: Runs, readings: Readings) -> RunClock:
    """Cut the time of `count` lines into steps and add up what the runs do in each; the readings in their order of time.

    Parameters
    ----------
    count : int
        Number of lines.
    runs : Runs
        The runs, with line, begin and end (microseconds), area and usage.
    readings : Readings
        Meter readings with line, time (microseconds) and value.
    """
    turns = turns_of(count, runs, readings)
    if turns is not None:
        line, time, at_reading = turns.line, turns.time, turns.at_reading
    else:
        line, time, place = _distinct_moments(runs, readings)
        at_reading = place[2 * runs.start.size :]
    first = first_of_each(line, count)
    elapsed = np.zeros(time.size)
    elapsed[:-1] = np.diff(time)
    elapsed[first[1:][first[1:] > first[:-1]] - 1] = 0.0
    load = _Load(runs, place, elapsed) if turns is None else turns.load(runs, elapsed)
    told = ~np.isnan(runs.usage)
    return RunClock(
        first=first,
        line=line,
        time=time,
        elapsed=elapsed,
        busy=load.busy(),
        told=load.spread(np.where(told, runs.usage, 0.0)),
        untold_area=load.spread(np.where(told, 0.0, runs.area)),
        at_reading=at_reading,
    )


def _distinct_moments(runs: Runs, readings: Readings) -> tuple[Ints, Ints, Ints]:
    """Line and time of each moment, and which moment each start of a run, each end and each reading is."""
    line = np.concatenate((runs.line, runs.line, readings.line))
    time = np.concatenate((runs.start, runs.end, readings.at))
    order = order_by_line_and_time(line, time)
    line, time = line[order], time[order]
    fresh = np.ones(time.size, dtype=np.bool_)
    fresh[1:] = (line[1:] != line[:-1]) | (time[1:] != time[:-1])
    place = np.empty(time.size, dtype=np.int64)
    place[order] = np.cumsum(fresh) - 1
    return line[fresh], time[fresh], place


class _Load:
    """Spreads quantities of runs that overlap evenly over their time and adds them up step by step."""

    def __init__(self, runs: Runs, place: Ints, elapsed: Floats) -> None:
        self._began, self._ended = place[: runs.start.size], place[runs.start.size : 2 * runs.start.size]
        self._elapsed, self._length = elapsed, (runs.end - runs.start).astype(np.float64)
        steps = elapsed.size
        self._active = np.cumsum(np.bincount(self._began, minlength=steps) - np.bincount(self._ended, minlength=steps))
        at_rest: Bools = self._active == 0
        resting = np.where(at_rest, np.arange(steps), -1)
        self._last_rest: Ints = np.maximum.accumulate(resting) if steps else resting
        self._alone = np.flatnonzero(self._active == 1)
        # where one run is active, the running sum of the run numbers is that run's number
        numbers = self._running(np.arange(self._began.size, dtype=np.float64))
        self._run = numbers[self._alone].astype(np.int64)

    def busy(self) -> Floats:
        """Return the microseconds of running in each step, every run counted."""
        busy: Floats = self._active * self._elapsed
        return busy

    def spread(self, quantity: Floats) -> Floats:
        """Return the quantity per step: a run alone in a step to the last digit, never below zero for several."""
        if not quantity.any():
            return np.zeros(self._elapsed.size)
        running = self._running(quantity / self._length)
        # what is left over at rest is rounding; each cluster of runs starts from a clean zero
        left_over = np.where(self._last_rest >= 0, running[self._last_rest], 0.0)
        spread = np.where(self._active > 0, np.maximum(running - left_over, 0.0), 0.0) * self._elapsed
        spread[self._alone] = quantity[self._run] * (self._elapsed[self._alone] / self._length[self._run])
        return spread

    def _running(self, rate: Floats) -> Floats:
        steps = self._elapsed.size
        return np.cumsum(sum_per(self._began, rate, steps) - sum_per(self._ended, rate, steps))
