"""What lies between two readings: how much the meter gained there and what the machine's own ratios are; no curve yet.

A span runs from one reading to the next, from the first moment of a line to its first reading, or from the last reading
to the end. It is anchored when readings of one leg stand at both its ends: then its gain is known.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import IntEnum
from typing import Final

import numpy as np
import numpy.typing as npt

from wearlog.errors import DataError
from wearlog.harvest.by_line import Bools, Floats, Ints, first_of_each, sum_per
from wearlog.harvest.line_inputs import Readings, Runs
from wearlog.harvest.run_clock import RunClock

#: usage of less than a millionth of a second or square metre is rounding, not a share to divide by
SMALLEST_USAGE: Final = 1e-6


class LearnedFrom(IntEnum):
    """What a ratio of a machine rests on."""

    DEFAULT = 0
    RUNS = 1
    READINGS = 2


@dataclass(frozen=True, slots=True, eq=False)
class Learned:
    """The machine's own ratios, one entry per line, each with what it rests on (LearnedFrom).

    Attributes
    ----------
    per_area : (count,) float64
        Usage per square metre for runs that do not say their usage.
    per_area_from : (count,) int8
    factor : (count,) float64
        Meter usage per unit of the runs' usage where no reading says otherwise; 1 unless it was to be learned.
    factor_from : (count,) int8
    """

    per_area: Floats
    per_area_from: npt.NDArray[np.int8]
    factor: Floats
    factor_from: npt.NDArray[np.int8]


@dataclass(frozen=True, slots=True, eq=False)
class Spans:
    """The spans of every line, sorted; a span ends where the next of its line begins.

    Attributes
    ----------
    first : (count + 1,) int64
        Where each line's spans begin.
    line, opens : (s,) int64
        Line, and the step of the clock at which the span begins.
    of_step : (m,) int64
        The span in which each step lies.
    gain : (s,) float64
        What the readings say was gained; NaN unless anchored.
    """

    first: Ints
    line: Ints
    opens: Ints
    of_step: Ints
    gain: Floats

    @property
    def anchored(self) -> Bools:
        """True where the gain is known."""
        return ~np.isnan(self.gain)

    def total(self, per_step: Floats) -> Floats:
        """Return the sum of a quantity of steps over each span.

        Parameters
        ----------
        per_step : array, shape (steps,)
            The quantity of each step.
        """
        return sum_per(self.of_step, per_step, self.line.size)


def spans_between(clock: RunClock, readings: Readings) -> Spans:
    """Cut the clock at its readings, which must be in their order of time.

    Parameters
    ----------
    clock : RunClock
        The steps of time with what the runs do in each.
    readings : Readings
        Meter readings with line, time (microseconds) and value.
    """
    steps, count = clock.time.size, clock.first.size - 1
    begins = np.zeros(steps, dtype=np.bool_)
    begins[clock.first[:-1][clock.first[:-1] < clock.first[1:]]] = True
    begins[clock.at_reading] = True
    opens = np.flatnonzero(begins)
    line = clock.line[opens]
    # at one instant an old meter's last reading closes the span and the new meter's first one opens the next
    opening, closing = np.full(opens.size, -1), np.full(opens.size, -1)
    opened = np.searchsorted(opens, clock.at_reading)
    opening[opened] = np.arange(opened.size)
    closing[opened[::-1]] = np.arange(opened.size)[::-1]
    gain = np.full(opens.size, np.nan)
    before, after = opening[:-1], closing[1:]
    between = np.flatnonzero((line[:-1] == line[1:]) & (before >= 0))
    known = between[~readings.new_leg[after[between]]]
    gain[known] = readings.value[after[known]] - readings.value[before[known]]
    return Spans(first_of_each(line, count), line, opens, np.cumsum(begins) - 1, gain)


def per_line(number: npt.ArrayLike, count: int, what: str) -> Floats:
    """Return one number per line; DataError unless it is one number, or one per line, finite and not below zero.

    Parameters
    ----------
    number : array_like
        One number, or (count,).
    count : int
        Number of lines.
    what : str
        What the column is called in an error.
    """
    given = np.asarray(number, dtype=np.float64)
    if given.ndim > 1 or (given.ndim == 1 and given.size != count):
        raise DataError(f"The {what} fits neither one machine nor all.", f"Give one number, or {count} of them.")
    if not (np.isfinite(given) & (given >= 0)).all():
        raise DataError(f"The {what} is missing or below zero.", "Give a number that is zero or more.")
    return np.broadcast_to(given, count).astype(np.float64)


def learn_per_area(
    runs: Runs, clock: RunClock, spans: Spans, default: Floats, *, readings_count_too: bool
) -> tuple[Floats, npt.NDArray[np.int8]]:
    """Learn each line's usage per square metre.

    From the runs that say both usage and area, or from anchored spans (gain less what runs say themselves, over the
    area of the runs that do not say), whichever rests on more area; else the default.

    Parameters
    ----------
    runs : Runs
        The runs, with their area (square metres) and usage (seconds), where they say it.
    clock : RunClock
        Steps of time with what the runs do in each.
    spans : Spans
        Stretches between readings, by line.
    default : (lines,) float64
        Seconds per square metre where nothing is learnt.
    readings_count_too : bool
        False where the runs' usage is in another unit of truth than the readings (engine against separator hours).
    """
    count = default.size
    both = ~np.isnan(runs.usage) & (runs.area > 0)
    usage = sum_per(runs.line[both], runs.usage[both], count)
    area = sum_per(runs.line[both], runs.area[both], count)
    ratio, source = default.copy(), np.full(count, LearnedFrom.DEFAULT, dtype=np.int8)
    _adopt(ratio, source, usage, area, LearnedFrom.RUNS)
    if readings_count_too and clock.untold_area.any():
        untold = spans.total(clock.untold_area)
        use = spans.anchored & (untold > 0)
        gain = np.where(use, spans.gain - spans.total(clock.told), 0.0)
        read_usage = sum_per(spans.line, gain, count)
        read_area = sum_per(spans.line, np.where(use, untold, 0.0), count)
        more = (read_area > area) | (source == LearnedFrom.DEFAULT)
        _adopt(ratio, source, read_usage, np.where(more, read_area, 0.0), LearnedFrom.READINGS)
    return ratio, source


def learn_meter_per_usage(spans: Spans, runs_usage: Floats, default: Floats) -> tuple[Floats, npt.NDArray[np.int8]]:
    """Learn each line's meter usage per unit of the runs' usage from its anchored spans, else the default.

    `runs_usage` is what the runs account for in each span. Spans without runs say nothing about the ratio.

    Parameters
    ----------
    spans : Spans
        The stretches between readings, by line.
    runs_usage : array
        (spans,), what the runs account for, seconds or square metres.
    default : array
        (lines,), meter usage per unit of the runs' usage.
    """
    count = default.size
    use = spans.anchored & (runs_usage > SMALLEST_USAGE)
    gain = sum_per(spans.line, np.where(use, spans.gain, 0.0), count)
    told = sum_per(spans.line, np.where(use, runs_usage, 0.0), count)
    factor, source = default.copy(), np.full(count, LearnedFrom.DEFAULT, dtype=np.int8)
    _adopt(factor, source, gain, told, LearnedFrom.READINGS)
    return factor, source


def _adopt(ratio: Floats, source: npt.NDArray[np.int8], above: Floats, below: Floats, origin: LearnedFrom) -> None:
    known = (above > SMALLEST_USAGE) & (below > SMALLEST_USAGE)
    ratio[known] = above[known] / below[known]
    source[known] = origin
