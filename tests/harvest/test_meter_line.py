"""The meter line by hand: spread between readings, what follows the last one, replaced meters, and what is refused."""

from __future__ import annotations

import numpy as np
import pytest

from wearlog.errors import DataError
from wearlog.harvest.meter_line import LearnedFrom, MeterLine, MeterLines, Readings, Runs, check_readings

HOUR = 3_600_000_000
NAN = float("nan")


def readings(*rows: tuple[int, float] | tuple[int, float, bool]) -> Readings:
    """Readings of line 0: (hour, value in seconds, first of a replaced meter)."""
    new_leg = [len(row) == 3 and row[2] for row in rows]
    return Readings(
        np.zeros(len(rows), dtype=np.int64),
        np.array([row[0] * HOUR for row in rows], dtype=np.int64),
        np.array([row[1] for row in rows], dtype=np.float64),
        np.array(new_leg, dtype=np.bool_),
    )


def runs(*rows: tuple[int, int, float, float]) -> Runs:
    """Runs of line 0: (start hour, end hour, own usage in seconds, area)."""
    return Runs(
        np.zeros(len(rows), dtype=np.int64),
        np.array([row[0] * HOUR for row in rows], dtype=np.int64),
        np.array([row[1] * HOUR for row in rows], dtype=np.int64),
        np.array([row[2] for row in rows], dtype=np.float64),
        np.array([row[3] for row in rows], dtype=np.float64),
    )


def line(given: Readings, done: Runs, **how: float | bool) -> MeterLine:
    return MeterLines.build(1, given, done, **how).line(0)


def at_hours(curve: MeterLine, *hours: float) -> list[float]:
    return curve.at(np.array([round(hour * HOUR) for hour in hours])).tolist()


def test_without_readings_the_line_is_the_sum_of_runs_from_zero() -> None:
    curve = line(Readings.none(), runs((10, 20, 3600, 0), (30, 34, 7200, 0)))
    assert at_hours(curve, 0, 10, 15, 20, 25, 30, 31, 34, 99) == [0, 0, 1800, 3600, 3600, 3600, 5400, 10800, 10800]


def test_a_gain_is_spread_over_the_runs_in_proportion_to_their_own_hours() -> None:
    curve = line(readings((0, 1000), (100, 13000)), runs((10, 20, 3000, 0), (50, 60, 1000, 0)))
    assert at_hours(curve, 0, 10, 15, 20, 50, 60, 100) == [0, 0, 4500, 9000, 9000, 12000, 12000]


def test_a_run_that_straddles_a_reading_is_split_by_time() -> None:
    """A quarter of the run lies before the reading and shares that gain with the run before it."""
    curve = line(readings((0, 0), (22, 4000), (40, 10000)), runs((10, 15, 1000, 0), (20, 28, 4000, 0)))
    assert at_hours(curve, 15, 20, 22, 25, 28, 40) == [2000, 2000, 4000, 7000, 10000, 10000]


def test_without_a_run_between_them_the_gain_is_spread_evenly_over_time() -> None:
    curve = line(readings((0, 100), (10, 700)), runs((20, 30, 5, 0)))
    assert at_hours(curve, 0, 5, 10, 20, 30) == [0, 300, 600, 600, 605]


def test_runs_that_say_neither_usage_nor_area_share_the_gain_by_their_time() -> None:
    curve = line(readings((0, 0), (100, 900)), runs((10, 20, NAN, NAN), (50, 55, NAN, 0)))
    assert at_hours(curve, 10, 15, 20, 50, 55, 100) == [0, 300, 600, 600, 900, 900]


def test_before_the_first_and_after_the_last_reading_usage_follows_the_runs() -> None:
    curve = line(readings((20, 5000), (30, 5500)), runs((0, 10, 100, 0), (22, 24, 50, 0), (40, 50, 700, 0)))
    assert at_hours(curve, 0, 5, 10, 20, 30, 45, 50) == [0, 50, 100, 100, 600, 950, 1300]


def test_area_stands_in_for_hours_at_the_machines_own_hours_per_area() -> None:
    """Two runs that say both give 7200 s on 40 000 m2: 0.18 s per m2."""
    done = runs((0, 10, 3600, 30000), (10, 20, 3600, 10000), (30, 40, NAN, 10000))
    lines = MeterLines.build(1, Readings.none(), done, default_per_area=9.0)
    assert lines.line(0).usage([30 * HOUR], [40 * HOUR]).tolist() == [1800]
    assert lines.learned.per_area.tolist() == [0.18]
    assert lines.learned.per_area_from.tolist() == [LearnedFrom.RUNS]


def test_hours_per_area_are_learned_from_readings_when_runs_give_only_area() -> None:
    lines = MeterLines.build(1, readings((0, 0), (50, 5000)), runs((10, 20, NAN, 25000), (60, 70, NAN, 10000)))
    assert lines.learned.per_area.tolist() == [0.2]
    assert lines.learned.per_area_from.tolist() == [LearnedFrom.READINGS]
    assert at_hours(lines.line(0), 20, 60, 65, 70) == [5000, 5000, 6000, 7000]


def test_readings_teach_what_is_left_after_the_runs_that_say_their_own_usage() -> None:
    done = runs((0, 10, 1000, 0), (10, 20, NAN, 4000), (60, 70, NAN, 1000))
    lines = MeterLines.build(1, readings((0, 0), (50, 3000)), done)
    assert lines.learned.per_area.tolist() == [0.5]
    assert at_hours(lines.line(0), 10, 20, 50, 70) == [1000, 3000, 3000, 3500]


def test_whichever_rests_on_more_area_teaches_the_hours_per_area() -> None:
    done = runs((0, 10, 100, 100), (20, 30, NAN, 5000))
    lines = MeterLines.build(1, readings((15, 0), (50, 10000)), done)
    assert lines.learned.per_area.tolist() == [2.0]
    assert lines.learned.per_area_from.tolist() == [LearnedFrom.READINGS]


def test_a_little_area_between_readings_does_not_outweigh_what_many_runs_said() -> None:
    done = runs((0, 10, 1000, 5000), (20, 30, NAN, 100))
    lines = MeterLines.build(1, readings((15, 0), (50, 90)), done)
    assert lines.learned.per_area.tolist() == [0.2]
    assert lines.learned.per_area_from.tolist() == [LearnedFrom.RUNS]


def test_the_starting_guess_stands_until_something_is_known_and_says_so() -> None:
    lines = MeterLines.build(1, Readings.none(), runs((0, 10, NAN, 1000)), default_per_area=0.25)
    assert at_hours(lines.line(0), 10) == [250]
    assert lines.learned.per_area_from.tolist() == [LearnedFrom.DEFAULT]


def test_engine_hours_follow_separator_hours_at_the_machines_own_ratio() -> None:
    given = readings((0, 100000), (50, 104000))
    done = runs((10, 20, 3200, 0), (60, 70, 800, 0))
    lines = MeterLines.build(1, given, done, learn_factor=True, default_factor=1.4)
    assert lines.learned.factor.tolist() == [1.25]
    assert lines.learned.factor_from.tolist() == [LearnedFrom.READINGS]
    assert at_hours(lines.line(0), 20, 50, 60, 70) == [4000, 4000, 4000, 5000]


def test_hours_between_readings_without_a_run_teach_no_ratio() -> None:
    """The engine ran 500 s in the yard; only the span with the run says 1.25."""
    given = readings((0, 0), (5, 500), (50, 4500))
    lines = MeterLines.build(1, given, runs((10, 20, 3200, 0)), learn_factor=True)
    assert lines.learned.factor.tolist() == [1.25]


def test_the_default_ratio_stands_until_two_readings_enclose_a_run() -> None:
    lines = MeterLines.build(1, readings((0, 50)), runs((10, 20, 1000, 0)), learn_factor=True, default_factor=1.5)
    assert at_hours(lines.line(0), 20) == [1500]
    assert lines.learned.factor_from.tolist() == [LearnedFrom.DEFAULT]


def test_the_ratio_is_not_learned_unless_asked_for() -> None:
    curve = line(readings((0, 0), (50, 4000)), runs((10, 20, 3200, 0), (60, 70, 800, 0)))
    assert at_hours(curve, 50, 70) == [4000, 4800]


def test_across_a_replaced_meter_usage_follows_the_runs_and_nothing_is_implied() -> None:
    given = readings((0, 9000), (10, 9500), (30, 0, True), (40, 600))
    curve = line(given, runs((12, 20, 250, 0), (32, 38, 1, 0)))
    assert at_hours(curve, 10, 16, 20, 30, 40) == [500, 625, 750, 750, 1350]


def test_the_counter_shows_its_legs_last_reading_and_the_usage_since() -> None:
    given = readings((0, 9000), (10, 9500), (30, 0, True), (40, 600))
    curve = line(given, runs((12, 20, 250, 0), (50, 60, 30, 0)))
    hours = [0, 5, 10, 16, 29, 30, 35, 40, 60]
    shown = curve.displayed_at(np.array(hours) * HOUR)
    assert shown.tolist() == [9000, 9250, 9500, 9625, 9750, 0, 300, 600, 630]


def test_the_last_reading_of_an_old_meter_and_the_first_of_the_new_may_share_an_instant() -> None:
    given = readings((0, 9000), (10, 12, True), (10, 9600), (20, 112))
    curve = line(given, Runs.none())
    assert at_hours(curve, 0, 10, 20) == [0, 600, 700]
    assert curve.displayed_at([10 * HOUR]).tolist() == [12]


def test_before_the_first_reading_the_counter_is_counted_backwards_but_not_below_zero() -> None:
    curve = line(readings((20, 150)), runs((0, 10, 200, 0)))
    assert curve.displayed_at(np.array([0, 5, 8, 10, 20, 30]) * HOUR).tolist() == [0, 50, 110, 150, 150, 150]


def test_without_readings_the_counter_shows_the_usage() -> None:
    curve = line(Readings.none(), runs((0, 10, 200, 0)))
    assert curve.displayed_at([5 * HOUR]).tolist() == [100]


def test_a_corrected_reading_corrects_every_age_at_once() -> None:
    done = runs((10, 20, 3000, 0), (50, 60, 1000, 0))
    wrong, right = readings((0, 0), (100, 12000)), readings((0, 0), (100, 16000))
    fitted, broke = np.array([10, 15, 20]) * HOUR, np.array([60, 60, 55]) * HOUR
    assert line(wrong, done).usage(fitted, broke).tolist() == [12000, 7500, 1500]
    assert line(right, done).usage(fitted, broke).tolist() == [16000, 10000, 2000]


def test_a_late_reading_corrects_what_lies_on_both_its_sides() -> None:
    done = runs((10, 20, 1000, 0), (50, 60, 1000, 0))
    assert at_hours(line(readings((0, 0), (100, 12000)), done), 20, 60) == [6000, 12000]
    assert at_hours(line(readings((0, 0), (100, 12000), (40, 2000)), done), 20, 60) == [2000, 12000]


def test_rates_of_overlapping_runs_add() -> None:
    curve = line(Readings.none(), runs((0, 10, 1000, 0), (5, 15, 2000, 0), (5, 10, 500, 0)))
    assert at_hours(curve, 5, 7.5, 10, 15) == [500, 1500, 2500, 3500]


def test_a_run_of_very_high_rate_leaves_no_rounding_in_later_runs() -> None:
    """A season's usage entered for one microsecond, inside another run; two overlapping runs a year later are exact."""
    start = np.array([0, 5, 9000 * HOUR, 9001 * HOUR])
    end = np.array([HOUR, 6, 9003 * HOUR, 9004 * HOUR])
    done = Runs(np.zeros(4, dtype=np.int64), start, end, np.array([0.1, 1e7, 0.3, 0.3]), np.zeros(4))
    curve = MeterLines.build(1, Readings.none(), done).line(0)
    assert curve.usage([9000 * HOUR], [9004 * HOUR])[0] == pytest.approx(0.6, abs=1e-8)


def test_intervals_are_half_open() -> None:
    """What a run uses up to its end belongs before the end; the next run begins there with nothing lost between."""
    curve = line(Readings.none(), runs((0, 10, 100, 0), (10, 20, 300, 0)))
    ten = 10 * HOUR
    assert curve.usage([0, ten, 0], [ten, 2 * ten, 2 * ten]).tolist() == [100, 300, 400]
    assert curve.usage([ten], [ten]).tolist() == [0]


def test_a_run_without_length_keeps_its_usage() -> None:
    curve = line(Readings.none(), runs((5, 5, 100, 0)))
    assert at_hours(curve, 5, 6) == [0, 100]


def test_microseconds_are_kept_at_the_end_of_the_century() -> None:
    start = 4_102_444_800_000_000
    done = Runs(np.array([0]), np.array([start + 1]), np.array([start + 3]), np.array([8.0]), np.array([0.0]))
    curve = MeterLines.build(1, Readings.none(), done).line(0)
    assert curve.at([start, start + 1, start + 2, start + 3, start + 4]).tolist() == [0, 0, 4, 8, 8]


def test_a_line_about_which_nothing_is_known_stays_at_zero() -> None:
    one = Runs(np.array([1]), np.array([0]), np.array([10]), np.array([7.0]), np.array([0.0]))
    lines = MeterLines.build(3, Readings.none(), one)
    assert lines.at([0, 1, 2, 1], [99, 99, -99, 5]).tolist() == [0, 7, 0, 3.5]
    assert lines.displayed_at([0, 2], [5, 5]).tolist() == [0, 0]
    assert MeterLines.build(2, Readings.none(), Runs.none()).at([0, 1], [1, 2]).tolist() == [0, 0]
    assert lines.line(0).knot_time.size == 0
    assert lines.line(1).knot_usage.tolist() == [0, 7]


def test_lines_are_asked_in_any_order_and_answer_each_for_itself() -> None:
    given = Readings(
        np.array([2, 0, 2, 0]), np.array([0, 0, 10, 10]), np.array([5.0, 0, 25, 40]), np.zeros(4, dtype=np.bool_)
    )
    lines = MeterLines.build(3, given, Runs.none())
    assert lines.at([2, 0, 1, 0, 2], [5, 5, 5, 10, 0]).tolist() == [10, 20, 0, 40, 0]
    assert lines.displayed_at([2, 0], [5, 5]).tolist() == [15, 20]


class TestWhatIsRefused:
    """Each refusal names the row."""

    def test_a_reading_lower_than_the_one_before_is_named_with_both_values(self) -> None:
        given = readings((20, 700), (0, 500), (10, 900))
        (fault,) = check_readings(given)
        assert (fault.index, fault.value, fault.earlier_index, fault.earlier_value) == (0, 700, 2, 900)
        assert (fault.at, fault.earlier_at, fault.same_instant, fault.line) == (20 * HOUR, 10 * HOUR, False, 0)
        with pytest.raises(DataError, match="700 comes after one of 900"):
            line(given, Runs.none())

    def test_two_values_at_one_instant_are_named(self) -> None:
        given = readings((5, 500), (5, 510))
        (fault,) = check_readings(given)
        assert (fault.earlier_value, fault.value, fault.same_instant) == (500, 510, True)
        with pytest.raises(DataError, match="at one instant differ: 500 and 510"):
            line(given, Runs.none())

    def test_the_same_reading_twice_is_no_fault(self) -> None:
        given = readings((0, 0), (5, 500), (5, 500), (10, 900))
        assert check_readings(given) == ()
        assert at_hours(line(given, Runs.none()), 5, 10) == [500, 900]

    def test_a_lower_reading_on_a_replaced_meter_or_another_machine_is_no_fault(self) -> None:
        assert check_readings(readings((0, 900), (5, 3, True), (10, 8))) == ()
        two = Readings(np.array([0, 1]), np.array([0, 1]), np.array([900.0, 3.0]), np.zeros(2, dtype=np.bool_))
        assert check_readings(two) == ()

    def test_every_fault_is_listed(self) -> None:
        assert [fault.index for fault in check_readings(readings((0, 9), (1, 8), (2, 7), (3, 8)))] == [1, 2]

    def test_a_run_that_ends_before_it_starts(self) -> None:
        with pytest.raises(DataError, match=r"ends before it starts \(run 1"):
            runs((0, 1, 1, 1), (5, 4, 1, 1))

    @pytest.mark.parametrize("usage", [-1.0, float("inf")])
    def test_usage_below_zero_or_without_bound(self, usage: float) -> None:
        with pytest.raises(DataError, match="usage of a run"):
            runs((0, 1, usage, 1))

    def test_an_area_below_zero(self) -> None:
        with pytest.raises(DataError, match="area of a run"):
            runs((0, 1, 1, -1))

    @pytest.mark.parametrize("value", [-1.0, NAN, float("inf")])
    def test_a_reading_that_is_no_number_of_hours(self, value: float) -> None:
        with pytest.raises(DataError, match="reading 1"):
            readings((0, 1), (1, value))

    def test_times_that_are_not_whole_microseconds(self) -> None:
        with pytest.raises(DataError, match="times are not whole numbers"):
            line(Readings.none(), Runs.none()).at([1.5])

    def test_columns_of_unequal_length(self) -> None:
        with pytest.raises(DataError, match="columns of runs"):
            Runs(np.array([0]), np.array([0]), np.array([1]), np.array([1.0, 2.0]), np.array([1.0]))

    def test_a_row_or_question_for_a_line_that_is_not_there(self) -> None:
        with pytest.raises(DataError, match="runs name a line"):
            MeterLines.build(1, Readings.none(), Runs(*np.array([[1], [0], [1]]), np.ones(1), np.ones(1)))
        with pytest.raises(DataError, match="questions"):
            MeterLines.build(1, Readings.none(), Runs.none()).at([1], [0])

    def test_a_default_that_fits_no_machine(self) -> None:
        with pytest.raises(DataError, match="default usage per area fits neither"):
            MeterLines.build(3, Readings.none(), Runs.none(), default_per_area=[1.0, 2.0])
        with pytest.raises(DataError, match="default usage per area is missing"):
            MeterLines.build(3, Readings.none(), Runs.none(), default_per_area=NAN)
