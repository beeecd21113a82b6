"""Lines on which no two runs overlap have the same clock, to the last digit, as the general way gives them."""

from __future__ import annotations

from dataclasses import fields

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from wearlog.harvest import run_clock as general
from wearlog.harvest.line_inputs import Readings, Runs
from wearlog.harvest.run_clock import RunClock, run_clock, turns_of

LINES = 3
#: gap before it, length, and usage (None: it does not say) of a run
RUN = st.tuples(st.integers(0, 3), st.integers(1, 5), st.none() | st.integers(0, 9))


def runs_in_turn(each: list[list[tuple[int, int, int | None]]], order: np.random.Generator) -> Runs:
    """The runs of each line one after the other, given in any order."""
    rows = []
    for line, runs in enumerate(each):
        time = 0
        for gap, length, usage in runs:
            start, time = time + gap, time + gap + length
            rows.append((line, start, time, np.nan if usage is None else usage / 7, 10.0 / 3))
    shuffled = [rows[place] for place in order.permutation(len(rows))]
    line, start, end = (np.array([row[place] for row in shuffled], dtype=np.int64) for place in range(3))
    usage, area = (np.array([row[place] for row in shuffled], dtype=np.float64) for place in (3, 4))
    return Runs(line, start, end, usage, area)


def read_at(rows: list[tuple[int, int]]) -> Readings:
    line, at = (np.array([row[place] for row in rows], dtype=np.int64) for place in (0, 1))
    given = Readings(line, at, np.zeros(line.size), np.zeros(line.size, dtype=np.bool_))
    return given.take(given.order())


def general_clock(runs: Runs, readings: Readings) -> RunClock:
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(general, "turns_of", lambda *_: None)
        return run_clock(LINES, runs, readings)


@given(
    each=st.lists(st.lists(RUN, max_size=6), min_size=LINES, max_size=LINES),
    rows=st.lists(st.tuples(st.integers(0, LINES - 1), st.integers(-2, 30)), max_size=12),
    seed=st.integers(0, 9),
)
def test_the_clock_is_that_of_the_general_way(
    each: list[list[tuple[int, int, int | None]]], rows: list[tuple[int, int]], seed: int
) -> None:
    """Readings before, between, within and after runs, at their ends, and several at one instant."""
    runs, readings = runs_in_turn(each, np.random.default_rng(seed)), read_at(rows)
    assert turns_of(LINES, runs, readings) is not None
    found, expected = run_clock(LINES, runs, readings), general_clock(runs, readings)
    for field in fields(RunClock):
        np.testing.assert_array_equal(getattr(found, field.name), getattr(expected, field.name), field.name)


def test_a_run_cut_by_two_readings_is_active_in_three_steps() -> None:
    runs = Runs(np.array([0]), np.array([10]), np.array([40]), np.array([6.0]), np.array([0.0]))
    clock = run_clock(1, runs, read_at([(0, 20), (0, 35)]))
    assert clock.time.tolist() == [10, 20, 35, 40]
    assert clock.busy.tolist() == [10, 15, 5, 0]
    assert clock.told.tolist() == [2, 3, 1, 0]
    assert clock.at_reading.tolist() == [1, 2]


def test_runs_that_overlap_are_not_taken_in_turn() -> None:
    start, end, nothing = np.array([0, 5]), np.array([6, 9]), np.zeros(2)
    readings = Readings.none()
    assert turns_of(1, Runs(np.array([0, 0]), start, end, nothing, nothing), readings) is None
    assert turns_of(2, Runs(np.array([0, 1]), start, end, nothing, nothing), readings) is not None
