"""The moments of lines on which no two runs overlap, as on most farms: found run by run, without sorting every start and end."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from wearlog.harvest.by_line import Floats, Ints, first_of_each, last_before, order_by_line_and_time
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
