"""The meter line against the same rule written out slowly in exact fractions, and what must hold for any farm."""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import pairwise

import numpy as np
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from wearlog.harvest.meter_line import MeterLines, Readings, Runs

MINUTE = 60_000_000
steady = settings(max_examples=60, deadline=None)


@dataclass(frozen=True)
class Run:
    start: int
    end: int
    usage: int

    def within(self, low: int, high: int) -> Fraction:
        """Usage of the run that lies in [low, high)."""
        length = max(0, min(self.end, high) - max(self.start, low))
        return Fraction(self.usage * length, self.end - self.start)


@dataclass(frozen=True)
class Reading:
    at: int
    value: int
    new_leg: bool = False


@dataclass(frozen=True)
class Farm:
    """One machine: runs in minutes and seconds of usage, readings in order of time."""

    readings: tuple[Reading, ...]
    runs: tuple[Run, ...]

    def lines(self) -> MeterLines:
        return MeterLines.build(1, *self.columns())

    def columns(self, line: int = 0) -> tuple[Readings, Runs]:
        given, done = self.readings, self.runs
        return (
            Readings(
                np.full(len(given), line),
                np.array([reading.at * MINUTE for reading in given], dtype=np.int64),
                np.array([reading.value for reading in given], dtype=np.float64),
                np.array([reading.new_leg for reading in given], dtype=np.bool_),
            ),
            Runs(
                np.full(len(done), line),
                np.array([run.start * MINUTE for run in done], dtype=np.int64),
                np.array([run.end * MINUTE for run in done], dtype=np.int64),
                np.array([run.usage for run in done], dtype=np.float64),
                np.zeros(len(done)),
            ),
        )

    def usage_by_the_rule(self, low: int, high: int) -> Fraction:
        """Usage in [low, high) minutes, the rule written out piece by piece."""
        cuts = [-(10**9), *(reading.at for reading in self.readings), 10**9]
        total = Fraction(0)
        for k, (begin, end) in enumerate(pairwise(cuts)):
            part_low, part_high = max(low, begin), min(high, end)
            if part_low >= part_high:
                continue
            done = sum((run.within(part_low, part_high) for run in self.runs), Fraction(0))
            anchored = 0 < k < len(self.readings) and not self.readings[k].new_leg
            if not anchored:
                total += done
                continue
            gain = self.readings[k].value - self.readings[k - 1].value
            in_span = sum((run.within(begin, end) for run in self.runs), Fraction(0))
            busy = [run for run in self.runs if run.start < end and run.end > begin]
            if in_span:
                total += gain * done / in_span
            elif busy:
                time = sum(Fraction(min(run.end, end) - max(run.start, begin)) for run in busy)
                here = sum(Fraction(max(0, min(run.end, part_high) - max(run.start, part_low))) for run in busy)
                total += gain * here / time
            else:
                total += Fraction(gain * (part_high - part_low), end - begin)
        return total


@st.composite
def farms(draw: st.DrawFn, *, replaced: bool = True) -> Farm:
    starts = draw(st.lists(st.tuples(st.integers(0, 300), st.integers(1, 90), st.integers(0, 9000)), max_size=7))
    runs = tuple(Run(start, start + length, usage) for start, length, usage in starts)
    moments = sorted(draw(st.sets(st.integers(0, 400), max_size=5)))
    readings, value = [], draw(st.integers(0, 10**7))
    for moment in moments:
        new_leg = replaced and bool(readings) and draw(st.booleans())
        value = draw(st.integers(0, 9000)) if new_leg else value + draw(st.integers(0, 20000))
        readings.append(Reading(moment, value, new_leg))
    return Farm(tuple(readings), runs)


minutes = st.lists(st.integers(-10, 420), min_size=1, max_size=12)


def close(one: np.ndarray, other: np.ndarray) -> bool:
    return bool(np.allclose(one, other, rtol=1e-12, atol=1e-8))


@steady
@given(farms(), minutes)
def test_the_line_is_the_rule_in_exact_fractions(farm: Farm, asked: list[int]) -> None:
    expected = [float(farm.usage_by_the_rule(-20, moment)) for moment in asked]
    assert close(farm.lines().at(np.zeros(len(asked), dtype=int), np.array(asked) * MINUTE), np.array(expected))


@steady
@given(farms(), st.lists(st.integers(-10 * MINUTE, 420 * MINUTE), min_size=2, max_size=40))
def test_usage_never_runs_backwards_at_any_microsecond(farm: Farm, asked: list[int]) -> None:
    assert (np.diff(farm.lines().line(0).at(sorted(asked))) >= 0).all()
    knots = farm.lines().line(0)
    assert (np.diff(knots.knot_usage) >= 0).all()
    assert (np.diff(knots.knot_time) > 0).all()


@steady
@given(farms(), st.tuples(*[st.integers(-10 * MINUTE, 420 * MINUTE)] * 3))
def test_usage_of_two_intervals_that_touch_adds_up(farm: Farm, moments: tuple[int, int, int]) -> None:
    low, middle, high = sorted(moments)
    curve = farm.lines().line(0)
    parts = curve.usage([low, middle], [middle, high])
    assert close(parts.sum(keepdims=True), curve.usage([low], [high]))


@steady
@given(farms())
def test_the_line_passes_through_every_anchor_to_the_last_digit(farm: Farm) -> None:
    assume(farm.readings)
    curve = farm.lines().line(0)
    at = np.array([reading.at * MINUTE for reading in farm.readings])
    value = np.array([reading.value for reading in farm.readings], dtype=float)
    assert curve.displayed_at(at).tolist() == value.tolist()
    same_leg = ~np.array([reading.new_leg for reading in farm.readings])[1:]
    assert close(curve.usage(at[:-1], at[1:])[same_leg], np.diff(value)[same_leg])


@steady
@given(farms(replaced=False), st.data())
def test_a_corrected_or_late_reading_corrects_all_ages_at_once(farm: Farm, data: st.DataObject) -> None:
    """One reading is changed or comes late: the line is the one built as if it had been known from the first."""
    assume(len(farm.readings) >= 2)
    k = data.draw(st.integers(0, len(farm.readings) - 1))
    late = farm.readings[k]
    without = replace(farm, readings=farm.readings[:k] + farm.readings[k + 1 :])
    corrected = replace(farm, readings=(*without.readings, late))
    asked = np.array(data.draw(minutes)) * MINUTE
    assert corrected.lines().line(0).at(asked).tolist() == farm.lines().line(0).at(asked).tolist()
    assert corrected.lines().line(0).displayed_at([late.at * MINUTE]).tolist() == [late.value]
    # before the reading that precedes it nothing changes
    before = asked[asked <= farm.readings[k - 1].at * MINUTE] if k else asked[:0]
    assert close(without.lines().line(0).at(before), farm.lines().line(0).at(before))


@steady
@given(farms(), st.randoms(use_true_random=False), minutes)
def test_the_order_of_rows_changes_nothing(farm: Farm, random: object, asked: list[int]) -> None:
    given_rows, done_rows = list(farm.readings), list(farm.runs)
    random.shuffle(given_rows)  # type: ignore[attr-defined]
    random.shuffle(done_rows)  # type: ignore[attr-defined]
    mixed = Farm(tuple(given_rows), tuple(done_rows))
    times = np.array(asked) * MINUTE
    assert close(mixed.lines().line(0).at(times), farm.lines().line(0).at(times))
    assert close(mixed.lines().line(0).displayed_at(times), farm.lines().line(0).displayed_at(times))


@steady
@given(st.lists(farms(), min_size=2, max_size=4), minutes)
def test_a_line_among_others_is_the_same_as_alone(fleet: list[Farm], asked: list[int]) -> None:
    columns = [farm.columns(k) for k, farm in enumerate(fleet)]
    given_columns, done_columns = zip(*columns, strict=True)
    together = MeterLines.build(
        len(fleet),
        Readings(*(np.concatenate([getattr(r, name) for r in given_columns]) for name in Readings.__slots__)),
        Runs(*(np.concatenate([getattr(r, name) for r in done_columns]) for name in Runs.__slots__)),
    )
    times = np.array(asked) * MINUTE
    for k, farm in enumerate(fleet):
        assert close(together.line(k).at(times), farm.lines().line(0).at(times))
        assert close(together.line(k).displayed_at(times), farm.lines().line(0).displayed_at(times))


@steady
@given(farms())
def test_without_readings_all_usage_of_all_runs_is_there(farm: Farm) -> None:
    curve = replace(farm, readings=()).lines().line(0)
    total = float(sum(run.usage for run in farm.runs))
    assert close(curve.usage([-(10**15)], [10**15]), np.array([total]))


@steady
@given(farms())
def test_ends_are_half_open(farm: Farm) -> None:
    """A run's last moment belongs to nothing: cut there, each side has exactly its own runs."""
    alone = replace(farm, readings=())
    for run in alone.runs:
        before = float(sum(other.within(-100, run.end) for other in alone.runs))
        after = float(sum(other.within(run.end, 10**6) for other in alone.runs))
        end = run.end * MINUTE
        halves = alone.lines().line(0).usage([-(10**15), end], [end, 10**15])
        assert close(halves, np.array([before, after]))
