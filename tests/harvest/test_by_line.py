"""Searching, ordering and summing inside the lines of one long array, against the plain way to do it."""

from __future__ import annotations

from typing import Literal

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from wearlog.harvest.by_line import cumsum_by_line, first_of_each, last_before, order_by_line_and_time, sum_before

ROWS = st.lists(st.tuples(st.integers(0, 4), st.integers(-3, 12)), max_size=40)


@given(entries=ROWS, asked=ROWS)
@pytest.mark.parametrize("side", ["left", "right"])
def test_the_last_entry_before_is_that_of_a_plain_search(
    side: Literal["left", "right"], entries: list[tuple[int, int]], asked: list[tuple[int, int]]
) -> None:
    line, time = (np.array(column, dtype=np.int64) for column in _columns(sorted(entries)))
    first = first_of_each(line, 5)
    lines, at = (np.array(column, dtype=np.int64) for column in _columns(asked))
    found = last_before(time, first, lines, at, side)
    for k, when, place in zip(lines.tolist(), at.tolist(), found.tolist(), strict=True):
        earlier = [
            entry for entry in entries if entry[0] == k and (entry[1] < when or (side, entry[1]) == ("right", when))
        ]
        assert place == first[k] - 1 + len(earlier)


@pytest.mark.parametrize("lines", [3, 3000])
def test_few_long_lines_and_many_short_ones_are_searched_alike(lines: int) -> None:
    """The first are searched one by one, the second all at once; 3,000 entries and questions each."""
    rng = np.random.default_rng(7)
    line, time = rng.integers(0, lines, 3000), rng.integers(0, 500, 3000)
    order = order_by_line_and_time(line, time)
    line, time = line[order], time[order]
    asked, at = rng.integers(0, lines, 3000), rng.integers(-5, 505, 3000)
    found = last_before(time, first_of_each(line, lines), asked, at, "right")
    earlier = np.array([((line == k) & (time <= when)).sum() for k, when in zip(asked, at, strict=True)])
    assert (found == np.searchsorted(line, asked) - 1 + earlier).all()


@given(rows=ROWS)
def test_rows_are_ordered_by_line_then_time_and_equal_ones_stay_in_turn(rows: list[tuple[int, int]]) -> None:
    line, time = (np.array(column, dtype=np.int64) for column in _columns(rows))
    assert order_by_line_and_time(line, time).tolist() == sorted(range(len(rows)), key=lambda row: rows[row])


def test_times_too_far_apart_for_one_number_are_ordered_all_the_same() -> None:
    far = np.iinfo(np.int64).max
    order = order_by_line_and_time(np.array([1, 0, 1, 0]), np.array([far, far, 0, 5]))
    assert order.tolist() == [3, 1, 2, 0]


def test_running_totals_begin_again_in_each_line() -> None:
    values, first = np.array([1.0, 2.0, 4.0, 8.0]), np.array([0, 2, 2, 4])
    assert cumsum_by_line(values, first).tolist() == [1, 3, 4, 12]
    assert sum_before(values, first).tolist() == [0, 1, 0, 4]


def _columns(rows: list[tuple[int, int]]) -> tuple[list[int], list[int]]:
    return [row[0] for row in rows], [row[1] for row in rows]
