"""Lines of headers: which header cut what, and that nothing is counted twice or lost."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from wearlog.errors import DataError
from wearlog.harvest.header_line import STILL_HITCHED, UNNAMED, Hitches, header_lines, runs_of_headers
from wearlog.harvest.meter_line import MeterLines, Readings, Runs

SECOND = 1_000_000
NAN = float("nan")


def runs(*rows: tuple[int, int, int, float]) -> Runs:
    """Runs as (combine, start second, end second, usage)."""
    table = np.array(rows, dtype=np.float64).reshape(-1, 4)
    whole = table[:, :3].astype(np.int64)
    return Runs(whole[:, 0], whole[:, 1] * SECOND, whole[:, 2] * SECOND, table[:, 3], np.zeros(len(rows)))


def hitches(*rows: tuple[int, int, int, int | None]) -> Hitches:
    """Hitches as (header, combine, start second, end second or None while it hangs)."""
    ends = [STILL_HITCHED if row[3] is None else row[3] * SECOND for row in rows]
    columns = np.array([row[:3] for row in rows], dtype=np.int64).reshape(-1, 3)
    return Hitches(columns[:, 0], columns[:, 1], columns[:, 2] * SECOND, np.array(ends, dtype=np.int64))


def readings(*rows: tuple[int, int, float]) -> Readings:
    """Readings as (combine, second, value)."""
    table = np.array(rows, dtype=np.float64).reshape(-1, 3)
    whole = table[:, :2].astype(np.int64)
    return Readings(whole[:, 0], whole[:, 1] * SECOND, table[:, 2], np.zeros(len(rows), dtype=np.bool_))


def unnamed(done: Runs) -> np.ndarray:
    return np.full(done.line.size, UNNAMED)


def pieces(done: Runs, header: list[int] | np.ndarray, hung: Hitches) -> list[tuple[int, int, int, int]]:
    """Stretches as (run, header, start second, end second)."""
    found = runs_of_headers(done, np.asarray(header), hung)
    columns = (found.run, found.header, found.start // SECOND, found.end // SECOND)
    return list(zip(*(column.tolist() for column in columns), strict=True))


def test_a_run_that_names_its_header_is_its_own_whatever_was_hitched() -> None:
    assert pieces(runs((0, 0, 10, 1)), [5], hitches((3, 0, 0, None))) == [(0, 5, 0, 10)]


def test_a_run_without_a_name_belongs_to_the_header_hitched_at_the_time() -> None:
    done = runs((0, 0, 10, 1), (0, 30, 40, 1), (1, 30, 40, 1))
    hung = hitches((7, 0, 0, 20), (8, 0, 20, None), (9, 1, 35, None))
    assert pieces(done, unnamed(done), hung) == [(0, 7, 0, 10), (1, 8, 30, 40), (2, 9, 35, 40)]


def test_a_run_split_by_a_change_of_header_is_shared_by_time() -> None:
    done = runs((0, 0, 40, 100))
    found = runs_of_headers(done, unnamed(done), hitches((0, 0, -5, 10), (1, 0, 10, None)))
    lines = header_lines(2, found, done)
    assert lines.at([0, 1, 0, 1], np.array([5, 5, 99, 99]) * SECOND).tolist() == [12.5, 0, 25, 75]


def test_time_without_a_header_belongs_to_none() -> None:
    done = runs((0, 0, 40, 100))
    assert pieces(done, unnamed(done), hitches((0, 0, 5, 10), (1, 0, 30, 35))) == [(0, 0, 5, 10), (0, 1, 30, 35)]
    assert pieces(done, unnamed(done), Hitches.none()) == []


def test_hitching_another_header_ends_the_hitch_that_was_left_open() -> None:
    done = runs((0, 0, 40, 1))
    assert pieces(done, unnamed(done), hitches((0, 0, 0, None), (1, 0, 10, None))) == [(0, 0, 0, 10), (0, 1, 10, 40)]


def test_a_header_moved_to_another_combine_has_left_the_first() -> None:
    done = runs((0, 0, 40, 1), (1, 0, 40, 1))
    assert pieces(done, unnamed(done), hitches((0, 0, 0, None), (0, 1, 15, None))) == [(0, 0, 0, 15), (1, 0, 15, 40)]


def test_a_headers_hours_are_its_combines_meter_hours_not_what_the_runs_said() -> None:
    done = runs((0, 0, 10, 100), (0, 20, 30, 300), (0, 40, 50, 7))
    combine = MeterLines.build(1, readings((0, 0, 1000), (0, 35, 1800)), done)
    found = runs_of_headers(done, np.array([0, 1, 0]), Hitches.none())
    lines = header_lines(2, found, done, combine)
    assert lines.at([0, 1, 0], np.array([35, 35, 99]) * SECOND).tolist() == [200, 600, 207]


def test_a_headers_hours_follow_a_reading_inside_the_run() -> None:
    """The same ten seconds before and after the reading count 10 and 90."""
    done = runs((0, 0, 20, 50))
    combine = MeterLines.build(1, readings((0, 0, 0), (0, 10, 10), (0, 20, 100)), done)
    lines = header_lines(1, runs_of_headers(done, np.array([0]), Hitches.none()), done, combine)
    assert lines.at([0] * 4, np.array([5, 10, 15, 20]) * SECOND).tolist() == [5, 10, 55, 100]


def test_two_headers_whose_runs_were_entered_for_the_same_days_share_the_meter() -> None:
    """Whole-season totals: the meter gained 800 while the runs said 100 and 300."""
    done = runs((0, 0, 100, 100), (0, 0, 100, 300))
    combine = MeterLines.build(1, readings((0, 0, 0), (0, 100, 800)), done)
    lines = header_lines(2, runs_of_headers(done, np.array([0, 1]), Hitches.none()), done, combine)
    assert lines.at([0, 1], [100 * SECOND] * 2).tolist() == [200, 600]


def test_runs_that_say_only_area_bring_the_headers_hours_too() -> None:
    done = Runs(
        np.array([0, 0]), np.array([0, 20]), np.array([10, 30]), np.array([NAN, NAN]), np.array([1000.0, 3000.0])
    )
    combine = MeterLines.build(
        1, Readings(*(np.array(c) for c in ([0, 0], [0, 40], [0.0, 800.0], [False, False]))), done
    )
    lines = header_lines(2, runs_of_headers(done, np.array([0, 1]), Hitches.none()), done, combine)
    assert lines.at([0, 1], [40, 40]).tolist() == [200, 600]


def test_runs_that_say_nothing_share_the_meter_by_their_time() -> None:
    done = runs((0, 0, 10, NAN), (0, 20, 50, NAN))
    combine = MeterLines.build(1, readings((0, 0, 0), (0, 60, 800)), done)
    lines = header_lines(2, runs_of_headers(done, np.array([0, 1]), Hitches.none()), done, combine)
    assert lines.at([0, 1], [60 * SECOND] * 2).tolist() == pytest.approx([200, 600])


def test_a_header_that_never_cut_stays_at_zero() -> None:
    lines = header_lines(2, runs_of_headers(Runs.none(), np.empty(0, dtype=int), Hitches.none()), Runs.none())
    assert lines.at([0, 1], [0, 9]).tolist() == [0, 0]


def test_a_header_that_is_not_there_is_refused() -> None:
    done = runs((0, 0, 10, 1))
    with pytest.raises(DataError, match="stretches of headers"):
        header_lines(1, runs_of_headers(done, np.array([1]), Hitches.none()), done)


def test_headers_of_runs_must_be_as_many_as_the_runs() -> None:
    with pytest.raises(DataError, match="runs and their headers"):
        runs_of_headers(runs((0, 0, 10, 1)), np.array([1, 2]), Hitches.none())


@st.composite
def seasons(draw: st.DrawFn) -> tuple[Runs, np.ndarray, Hitches, Readings]:
    """Two combines, three headers, runs that may overlap, readings that may cut them, hitches that may be left open."""
    row = st.tuples(st.integers(0, 1), st.integers(0, 200), st.integers(1, 60), st.integers(0, 500))
    rows = draw(st.lists(row, max_size=8))
    done = runs(*((combine, start, start + length, usage) for combine, start, length, usage in rows))
    header = np.array(draw(st.lists(st.integers(-1, 2), min_size=len(rows), max_size=len(rows))), dtype=np.int64)
    hitch = st.tuples(st.integers(0, 2), st.integers(0, 1), st.integers(-10, 200), st.integers(1, 80) | st.none())
    hung = [(h, c, start, None if n is None else start + n) for h, c, start, n in draw(st.lists(hitch, max_size=6))]
    marks = draw(st.sets(st.tuples(st.integers(0, 1), st.integers(0, 260)), max_size=6))
    read, value = [], 0
    for combine, moment in sorted(marks):
        value += draw(st.integers(0, 4000))
        read.append((combine, moment, value))
    return done, header, hitches(*hung), readings(*read)


@settings(max_examples=80, deadline=None)
@given(seasons())
def test_what_the_headers_used_and_what_no_header_used_is_what_the_combines_used(
    season: tuple[Runs, np.ndarray, Hitches, Readings],
) -> None:
    """No-header usage is counted on its own way: the unhitched parts of runs as a fourth header, idle gain from a line
    built without runs in the spans that have none."""
    done, header, hung, read = season
    combine = MeterLines.build(2, read, done)
    found = runs_of_headers(done, header, hung)
    everything = runs_of_headers(done, np.zeros(done.line.size, dtype=int), hung)
    of_runs = header_lines(1, everything, done, combine)
    lines = header_lines(3, found, done, combine)
    end = np.full(3, 10**12)
    hitched_time = np.bincount(found.run, weights=found.end - found.start, minlength=done.line.size)
    assert (hitched_time <= (done.end - done.start)).all()
    gaps = _gaps(done, found)
    unhitched = header_lines(1, gaps, done, combine).at([0], end[:1])[0]
    idle = sum(
        combine.rates.per_elapsed[k] * combine_span for k, combine_span in enumerate(_span_lengths(combine).tolist())
    )
    headers = lines.at(np.arange(3), end).sum()
    np.testing.assert_allclose(headers + unhitched, of_runs.at([0], end[:1])[0], rtol=1e-9, atol=1e-6)
    np.testing.assert_allclose(headers + unhitched + idle, combine.at([0, 1], end[:2]).sum(), rtol=1e-9, atol=1e-6)


def _gaps(done: Runs, found: object) -> object:
    """The parts of runs that no header cut, as stretches of header 0."""
    rows = []
    for run in range(done.line.size):
        mine = np.flatnonzero(found.run == run)  # type: ignore[attr-defined]
        cursor = int(done.start[run])
        for k in mine[np.argsort(found.start[mine])].tolist():  # type: ignore[attr-defined]
            rows.append((run, 0, cursor, int(found.start[k])))  # type: ignore[attr-defined]
            cursor = int(found.end[k])  # type: ignore[attr-defined]
        rows.append((run, 0, cursor, int(done.end[run])))
    columns = np.array([row for row in rows if row[3] > row[2]], dtype=np.int64).reshape(-1, 4)
    return type(found)(*columns.T)


def _span_lengths(lines: MeterLines) -> np.ndarray:
    opens = lines.knot_time[lines.spans.opens]
    last = np.array([lines.knot_time[lines.first_knot[k + 1] - 1] for k in lines.spans.line.tolist()], dtype=np.int64)
    following = np.append(opens[1:], 0)
    same = np.append(lines.spans.line[1:] == lines.spans.line[:-1], [False])[: opens.size]
    return np.where(same, following[: opens.size], last) - opens


@settings(max_examples=60, deadline=None)
@given(seasons(), st.lists(st.integers(-10, 300), min_size=2, max_size=10))
def test_a_headers_line_never_runs_backwards_and_its_area_is_its_runs_own(
    season: tuple[Runs, np.ndarray, Hitches, Readings], seconds: list[int]
) -> None:
    done, header, hung, read = season
    found = runs_of_headers(done, header, hung)
    lines = header_lines(3, found, done, MeterLines.build(2, read, done))
    times = np.array(sorted(seconds)) * SECOND
    for k in range(3):
        assert (np.diff(lines.line(k).at(times)) >= 0).all()
    areas = header_lines(3, found, done).at(np.arange(3), np.full(3, 10**12))
    share = (found.end - found.start) / (done.end - done.start)[found.run]
    np.testing.assert_allclose(
        areas, np.bincount(found.header, weights=share * done.usage[found.run], minlength=3), rtol=1e-12
    )
