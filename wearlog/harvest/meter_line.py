"""The meter line: per machine and kind of meter, a monotone cumulative curve through time. Headers are in header_line.

Readings are anchors and the curve passes through each of them exactly. Between two anchors of one leg the gain is spread
over the runs between them in proportion to their usage (their own if they say it, else area times the machine's own
usage per area), a run that straddles an anchor being split by time; with no such run, evenly over time. Before the first
anchor, after the last, and across a replaced meter the usage follows the runs. With no reading it is the sum of runs.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from wearlog.harvest.anchors import (
    SMALLEST_USAGE,
    Learned,
    LearnedFrom,
    Spans,
    learn_meter_per_usage,
    learn_per_area,
    per_line,
    spans_between,
)
from wearlog.harvest.by_line import Floats, Ints, first_of_each, last_before, sum_before
from wearlog.harvest.line_inputs import (
    ReadingFault,
    Readings,
    Runs,
    check_lines,
    check_readings,
    refuse_impossible,
    same_length,
    whole,
)
from wearlog.harvest.run_clock import RunClock, run_clock

__all__ = ["Learned", "LearnedFrom", "MeterLine", "MeterLines", "ReadingFault", "Readings", "Runs", "check_readings"]


@dataclass(frozen=True, slots=True, eq=False)
class SpanRates:
    """How each span turns what runs do into usage of the meter; one entry per span (see Spans).

    Attributes
    ----------
    per_usage : (s,) float64
        Meter usage per unit of the runs' usage.
    per_busy : (s,) float64
        Meter usage per microsecond of running, where the runs of the span account for no usage of their own.
    per_elapsed : (s,) float64
        Meter usage per microsecond of time, where no run lies in the span.
    """

    per_usage: Floats
    per_busy: Floats
    per_elapsed: Floats


@dataclass(frozen=True, slots=True, eq=False)
class MeterLines:
    """The lines of many machines at once; made by `build`.

    Attributes
    ----------
    first_knot : (count + 1,) int64
        Line k owns the knots first_knot[k]:first_knot[k + 1]; a line about which nothing is known has none.
    knot_time : (m,) int64
        Microseconds since the epoch, UTC.
    knot_usage : (m,) float64
        Usage since the first knot of the line.
    readings : Readings
        The anchors in order of line and time.
    first_reading : (count + 1,) int64
    reading_usage : (r,) float64
        Usage since the first knot at each anchor.
    spans, rates : Spans, SpanRates
        What lies between the anchors.
    learned : Learned
        The machines' own ratios and what they rest on.
    """

    first_knot: Ints
    knot_time: Ints
    knot_usage: Floats
    readings: Readings
    first_reading: Ints
    reading_usage: Floats
    spans: Spans
    rates: SpanRates
    learned: Learned

    @classmethod
    def build(
        cls,
        count: int,
        readings: Readings,
        runs: Runs,
        *,
        default_per_area: npt.ArrayLike = 0.0,
        learn_factor: bool = False,
        default_factor: npt.ArrayLike = 1.0,
    ) -> MeterLines:
        """Build `count` lines.

        Parameters
        ----------
        count : int
            How many lines; the rows name them from 0 on.
        readings, runs : Readings, Runs
            Rows of all lines, in any order; the order changes nothing.
        default_per_area : float or (count,) float64
            Usage per square metre for runs that do not say their usage, until the machine's own is known.
        learn_factor : bool
            True where the runs say their usage in another unit of truth than the meter (separator hours for an engine
            meter): the machine's own ratio is learned from anchored spans, and used where no reading says otherwise.
        default_factor : float or (count,) float64
            That ratio until it is known; used only with `learn_factor`.

        Raises
        ------
        DataError
            A reading that `check_readings` names, or a row that belongs to no line.

        Examples
        --------
        Two readings ten days and 60 hours apart, and two runs of 40 and 20 ha between them: each run has its share of the
        hours by its area, and the meter stands still where nothing was cut.

        >>> hour, day = 3600, 24 * 3600 * 1_000_000
        >>> readings = Readings(
        ...     np.array([0, 0]), np.array([0, 10 * day]), np.array([100.0, 160]) * hour, np.array([False, False])
        ... )
        >>> start, unknown = np.array([1, 3]) * day, np.array([np.nan, np.nan])
        >>> runs = Runs(np.array([0, 0]), start, start + day // 4, unknown, np.array([400_000.0, 200_000]))
        >>> lines = MeterLines.build(1, readings, runs)
        >>> (lines.displayed_at([0, 0, 0], [0, 2 * day, 4 * day]) / hour).round(6).tolist()
        [100.0, 140.0, 160.0]
        """
        check_lines(readings.line, count, "readings")
        check_lines(runs.line, count, "runs")
        refuse_impossible(readings)
        readings = readings.take(readings.order())
        clock = run_clock(count, runs, readings)
        spans = spans_between(clock, readings)
        ratio, ratio_from = learn_per_area(
            runs,
            clock,
            spans,
            per_line(default_per_area, count, "default usage per area"),
            readings_count_too=not learn_factor,
        )
        runs_usage = clock.usage(ratio)
        in_spans = spans.total(runs_usage)
        factor, factor_from = np.ones(count), np.full(count, LearnedFrom.DEFAULT, dtype=np.int8)
        if learn_factor:
            factor, factor_from = learn_meter_per_usage(
                spans, in_spans, per_line(default_factor, count, "default factor")
            )
        rates = _span_rates(clock, spans, in_spans, factor[spans.line])
        usage = _usage_at_knots(clock, spans, rates, runs_usage)
        return cls(
            first_knot=clock.first,
            knot_time=clock.time,
            knot_usage=usage,
            readings=readings,
            first_reading=first_of_each(readings.line, count),
            reading_usage=usage[clock.at_reading],
            spans=spans,
            rates=rates,
            learned=Learned(ratio, ratio_from, factor, factor_from),
        )

    @property
    def count(self) -> int:
        """How many lines there are."""
        return self.first_knot.size - 1

    def at(self, line: npt.ArrayLike, times: npt.ArrayLike) -> Floats:
        """Return usage since the first knot, 0 before it and constant after the last.

        Parameters
        ----------
        line, times : (n,) int64
            Which line is asked, and when (microseconds since the epoch, UTC), in any order.
        """
        lines, asked = whole(line, "line numbers"), whole(times, "times")
        same_length("questions to the meter lines", lines, asked)
        check_lines(lines, self.count, "questions to the meter lines")
        if not self.knot_time.size:
            return np.zeros(asked.size)
        found = last_before(self.knot_time, self.first_knot, lines, asked, "right")
        inside = (found >= self.first_knot[lines]) & (found < self.first_knot[lines + 1] - 1)
        here = np.clip(found, 0, self.knot_time.size - 1)
        after = np.minimum(here + inside, self.knot_time.size - 1)
        # differences are taken in whole microseconds; only their ratio is a float
        passed = np.where(inside, asked - self.knot_time[here], 0)
        share = passed / np.where(inside, self.knot_time[after] - self.knot_time[here], 1)
        low, high = self.knot_usage[here], self.knot_usage[after]
        return np.where(found >= self.first_knot[lines], low + (high - low) * share, 0.0)

    def usage(self, line: npt.ArrayLike, from_: npt.ArrayLike, to: npt.ArrayLike) -> Floats:
        """Return the usage in [from_, to) on each asked line, across replaced meters; negative if `to` is earlier.

        Parameters
        ----------
        line : array_like of int
            Numbers of the lines.
        from_ : array_like of int
            Microseconds since 1970.
        to : array_like of int
            Microseconds since 1970.
        """
        return self.at(line, to) - self.at(line, from_)

    def displayed_at(self, line: npt.ArrayLike, times: npt.ArrayLike) -> Floats:
        """Return what the counter shows: its leg's last reading and the usage since then.

        Before the first reading it is counted backwards from it, but not below zero; a line without readings shows its
        usage since the first knot.

        Parameters
        ----------
        line : array_like of int
            Numbers of the lines.
        times : array_like of int
            Microseconds since 1970.
        """
        lines, asked = whole(line, "line numbers"), whole(times, "times")
        usage = self.at(lines, asked)
        if not self.readings.at.size:
            return usage
        found = last_before(self.readings.at, self.first_reading, lines, asked, "right")
        reading = np.clip(np.maximum(found, self.first_reading[lines]), 0, self.readings.at.size - 1)
        shown = np.maximum(self.readings.value[reading] + (usage - self.reading_usage[reading]), 0.0)
        return np.where(self.first_reading[lines + 1] > self.first_reading[lines], shown, usage)

    def runs_usage(self, runs: Runs) -> Floats:
        """Return what each run accounts for in the runs' own unit: what it says, else area times the machine's ratio.

        Parameters
        ----------
        runs : Runs
            In any order.
        """
        return np.where(np.isnan(runs.usage), runs.area * self.learned.per_area[runs.line], runs.usage)

    def line(self, k: int) -> MeterLine:
        """Return line k by itself.

        Parameters
        ----------
        k : int
            Number of the line.
        """
        return MeterLine(self, k)


@dataclass(frozen=True, slots=True, eq=False)
class MeterLine:
    """One line of a MeterLines, with the same questions and no line number to give."""

    lines: MeterLines
    number: int

    @property
    def knot_time(self) -> Ints:
        """Microseconds since the epoch, UTC; (m,) int64."""
        return self.lines.knot_time[self._knots]

    @property
    def knot_usage(self) -> Floats:
        """Usage since the first knot; (m,) float64."""
        return self.lines.knot_usage[self._knots]

    def at(self, times: npt.ArrayLike) -> Floats:
        """Return usage since the first knot at the given times; see MeterLines.at.

        Parameters
        ----------
        times : array_like of int
            Microseconds since 1970.
        """
        asked = whole(times, "times")
        return self.lines.at(np.full(asked.size, self.number), asked)

    def usage(self, from_: npt.ArrayLike, to: npt.ArrayLike) -> Floats:
        """Return the usage in [from_, to); see MeterLines.usage.

        Parameters
        ----------
        from_ : array_like of int
            Microseconds since 1970.
        to : array_like of int
            Microseconds since 1970.
        """
        return self.at(to) - self.at(from_)

    def displayed_at(self, times: npt.ArrayLike) -> Floats:
        """Return what the counter shows at the given times; see MeterLines.displayed_at.

        Parameters
        ----------
        times : array_like of int
            Microseconds since 1970.
        """
        asked = whole(times, "times")
        return self.lines.displayed_at(np.full(asked.size, self.number), asked)

    @property
    def _knots(self) -> slice:
        first = self.lines.first_knot
        return slice(int(first[self.number]), int(first[self.number + 1]))


def _span_rates(clock: RunClock, spans: Spans, runs_usage: Floats, factor: Floats) -> SpanRates:
    if not spans.anchored.any():
        return SpanRates(factor, np.zeros(factor.size), np.zeros(factor.size))
    gain = np.where(spans.anchored, spans.gain, 0.0)
    busy, elapsed = spans.total(clock.busy), spans.total(clock.elapsed)
    by_usage = spans.anchored & (runs_usage > SMALLEST_USAGE)
    by_busy = spans.anchored & ~by_usage & (busy > 0)
    evenly = spans.anchored & ~by_usage & ~by_busy
    return SpanRates(
        per_usage=np.where(by_usage, gain / np.where(by_usage, runs_usage, 1.0), np.where(spans.anchored, 0.0, factor)),
        per_busy=np.where(by_busy, gain / np.where(by_busy, busy, 1.0), 0.0),
        per_elapsed=np.where(evenly, gain / np.where(evenly, elapsed, 1.0), 0.0),
    )


def _usage_at_knots(clock: RunClock, spans: Spans, rates: SpanRates, runs_usage: Floats) -> Floats:
    span = spans.of_step
    gained = rates.per_usage[span]
    gained *= runs_usage
    if rates.per_busy.any():
        gained += rates.per_busy[span] * clock.busy
    if rates.per_elapsed.any():
        gained += rates.per_elapsed[span] * clock.elapsed
    usage = sum_before(gained, clock.first)
    if clock.at_reading.size:
        total = np.where(spans.anchored, spans.gain, spans.total(gained))
        # readings, not sums of steps, say where a span begins, so that every anchor is met to the last digit
        usage -= usage[spans.opens][span]
        np.clip(usage, 0.0, total[span], out=usage)
        usage += sum_before(total, spans.first)[span]
    return usage
