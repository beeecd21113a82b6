"""Measured wear averaged over its forms: coverage by simulation, what the last reading says, few readings, refusals."""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from wearlog.errors import DataError
from wearlog.wear import WearCourse, fit_path
from wearlog.wear.arrays import FloatArray

#: 200 steps to the last reading, 600 in all
STEPS, READ, ALL = 200, 200, 600
FINE = np.arange(1, ALL + 1) / STEPS
HOURS = np.array([100.0, 250, 400, 600, 800])

Truth = Callable[[np.random.Generator], tuple[FloatArray, FloatArray]]


def power(exponent: float, scatter: float = 0.05) -> Truth:
    """Wear that is a power of usage, readings that scatter by themselves."""
    return lambda rng: (FINE**exponent, rng.normal(0, scatter, READ))


def own_scatter(rng: np.random.Generator) -> tuple[FloatArray, FloatArray]:
    """Parts with levels of their own, from 1 % to 25 % of the wear so far."""
    return FINE, rng.normal(0, 0.05 * math.exp(rng.normal(0, 1)), READ)


def random_walk(rng: np.random.Generator) -> tuple[FloatArray, FloatArray]:
    """The wear itself wanders."""
    return FINE + 0.12 * np.cumsum(rng.normal(0, STEPS**-0.5, ALL)), rng.normal(0, 0.05, READ)


def pace_walk(rng: np.random.Generator) -> tuple[FloatArray, FloatArray]:
    """The pace wanders: after twice the usage it differs by about 40 %."""
    pace = np.exp(np.cumsum(rng.normal(0, 0.3 * STEPS**-0.5, ALL)))
    return np.cumsum(pace) / STEPS, rng.normal(0, 0.05, READ)


def autoregressive(rng: np.random.Generator) -> tuple[FloatArray, FloatArray]:
    """Readings near each other err alike."""
    shocks, error = rng.normal(0, 1, READ), np.zeros(READ)
    error[0] = shocks[0]
    for step in range(1, READ):
        error[step] = 0.98 * error[step - 1] + math.sqrt(1 - 0.98**2) * shocks[step]
    return FINE, 0.06 * error


TRUTHS: dict[str, Truth] = {
    "straight": power(1.0),
    "ever slower": power(0.6),
    "ever faster": power(1.5),
    "much faster": power(2.0),
    "level wanders": random_walk,
    "pace wanders": pace_walk,
    "errors alike": autoregressive,
    "scatter of its own": own_scatter,
}


def held(truth: Truth, rng: np.random.Generator, parts: int, *, through_new: bool = True) -> float:
    """Return how often the true crossing at twice the last of 3 to 8 readings lies in the 90 % interval."""
    found: list[bool] = []
    while len(found) < parts:
        path, error = truth(rng)
        at = np.r_[np.sort(rng.choice(np.arange(20, READ - 1), int(rng.integers(2, 8)), replace=False)), READ - 1]
        values, limit = path[at] + error[at], float(path[2 * READ - 1])
        if values.max() >= limit or values[-1] <= 0:
            continue
        # of an unknown age: what was run before the first reading is not told
        usage = FINE[at] if through_new else FINE[at] - 0.6 * FINE[at[0]]
        crosses = FINE[np.argmax(path >= limit)] - (FINE[at[-1]] - usage[-1])
        one = fit_path(usage, values, new_value=0.0, limit=limit, through_new=through_new).crossing()
        assert one.low is not None
        assert one.high is not None
        found.append(one.low <= crosses <= one.high)
    return float(np.mean(found))


@pytest.mark.parametrize("name", list(TRUTHS))
def test_nine_of_ten_simulated_crossings_lie_in_their_intervals(name: str) -> None:
    """At twice the last reading, whichever way wear runs and readings err; 120 seeded parts of each."""
    assert held(TRUTHS[name], np.random.default_rng(15), 120) >= 0.87


def test_nine_of_ten_hold_where_the_age_is_not_known() -> None:
    rng = np.random.default_rng(16)
    assert np.mean([held(truth, rng, 40, through_new=False) for truth in TRUTHS.values()]) >= 0.87


def test_the_chance_of_having_crossed_is_that_of_the_interval() -> None:
    line = fit_path(HOURS, 0.01 * HOURS + np.array([0.1, -0.2, 0.2, -0.1, 0.1]), new_value=0.0, limit=12.0)
    for level in (0.5, 0.9, 0.98):
        found = line.crossing(level)
        ends = [(found.low, (1 - level) / 2), (found.usage, 0.5), (found.high, (1 + level) / 2)]
        for usage, chance in ends:
            assert usage is not None
            assert line.chance_of_crossing(usage) == pytest.approx(chance, abs=0.003)
    chances = [line.chance_of_crossing(then) for then in (100.0, 800.0, 900.0, 1200.0, 2000.0)]
    assert chances[:2] == [0.0, 0.0]
    assert chances == sorted(chances)


def test_several_levels_at_once_are_those_one_by_one() -> None:
    path = fit_path(HOURS, 10 - 0.004 * HOURS, new_value=10.0, limit=5.0)
    levels = (0.5, 0.8, 0.95)
    found = path.crossings(levels)
    assert found == [path.crossing(level) for level in levels]
    assert found[0].low > found[1].low > found[2].low


def test_a_part_found_whole_meets_its_limit_after_that_reading() -> None:
    """Five readings about nothing at 80 to 410 h: not from 0, and no end is known."""
    usage, gap = np.array([80.0, 160, 240, 330, 410]), np.array([0.4, -0.3, 0.2, 0.6, 0.1])
    found = fit_path(usage, gap, new_value=0.0, limit=1.0).crossing()
    assert found.low is not None
    assert found.low >= 410
    assert found.high == math.inf


def test_a_last_reading_within_the_limit_does_not_make_a_part_safe_that_should_be_past_it() -> None:
    """Straight to 6 of 7, and then a reading that seems to have worn back; what comes after it is likely all the same."""
    usage = np.array([10.0, 20, 30, 40, 50, 60, 70])
    path = fit_path(usage, 0.1 * np.array([10, 20, 30, 40, 50, 60, 62.0]), new_value=0.0, limit=7.0)
    assert path.chance_of_crossing(70.0) == 0.0
    assert path.chance_of_crossing(90.0) > 0.6
    fallen = fit_path([100.0, 200, 300], [3.0, 2.0, 1.0], new_value=0.0, limit=4.0)
    assert np.diff(fallen.value_at([300.0, 600.0, 3000.0])).min() >= 0


def test_a_reading_past_the_limit_leaves_the_crossing_before_or_about_it() -> None:
    path = fit_path(HOURS, 0.01 * HOURS + np.array([0.1, -0.1, 0.1, -0.1, 0.1]), new_value=0.0, limit=5.0)
    found = path.crossing()
    assert path.within is False
    assert found.low is not None
    assert found.high is not None
    assert 350 < found.low < 500 < found.high < 650


@settings(deadline=None, max_examples=40)
@given(st.floats(0.001, 10), st.floats(-100, 100), st.floats(1e-3, 1e9), st.booleans())
def test_units_and_direction_do_not_matter(slope: float, new: float, unit: float, through_new: bool) -> None:
    """A height that shrinks crosses where a gap that grows by as much does, counted in hours or in seconds."""
    wear = HOURS * np.array([1.01, 0.98, 1.0, 1.02, 0.99])
    one = fit_path(HOURS, wear, new_value=0.0, limit=900.0, through_new=through_new).crossing()
    other = fit_path(
        HOURS * unit, new - slope * wear, new_value=new, limit=new - 900 * slope, through_new=through_new
    ).crossing()
    for end in ("usage", "low", "high"):
        assert getattr(other, end) / unit == pytest.approx(getattr(one, end), rel=1e-4)


@pytest.mark.parametrize(
    ("exponent", "course"), [(1.0, WearCourse.STRAIGHT), (0.5, WearCourse.SLOWER), (1.8, WearCourse.FASTER)]
)
def test_clear_readings_say_how_wear_runs(exponent: float, course: WearCourse) -> None:
    usage = np.arange(50.0, 850.0, 100.0)
    error = np.array([0.01, -0.01, 0.02, -0.02, 0.01, 0.0, -0.01, 0.01])
    path = fit_path(usage, (usage / 800) ** exponent + error / 4, new_value=0.0, limit=1.5)
    assert path.course is course
    assert path.course_chances[course] > 0.9
    assert sum(path.course_chances.values()) == pytest.approx(1.0)
    assert path.value_at([400.0, 1600.0]).tolist() == pytest.approx([0.5**exponent, 2**exponent], rel=0.12)


def test_few_readings_say_little() -> None:
    """Two on a line are not sure of it: the interval is far wider than that of eight."""
    two = fit_path([400.0, 800.0], [4.0, 8.0], new_value=0.0, limit=16.0)
    eight = fit_path(np.arange(100.0, 900.0, 100.0), np.arange(1.0, 9.0), new_value=0.0, limit=16.0)
    assert two.course_chances[WearCourse.STRAIGHT] < eight.course_chances[WearCourse.STRAIGHT]
    wide, narrow = two.crossing(), eight.crossing()
    assert wide.low is not None
    assert narrow.low is not None
    assert narrow.high is not None
    assert wide.low < narrow.low < 1600 < narrow.high
    assert wide.high is not None
    assert wide.high - wide.low > 2 * (narrow.high - narrow.low)


def test_many_readings_are_weighed_like_their_means() -> None:
    rng = np.random.default_rng(17)
    usage = np.sort(rng.uniform(1, 1000, 400))
    path = fit_path(usage, 0.01 * usage + rng.normal(0, 0.3, 400), new_value=0.0, limit=20.0)
    found = path.crossing()
    assert found.low is not None
    assert found.high is not None
    assert found.low < 2000 < found.high
    assert path.degrees == 399


@pytest.mark.parametrize(
    ("ask", "sentence"),
    [
        (lambda: fit_path([200.0], [2.0], new_value=0.0, limit=9.0), "1 reading.s. are too few"),
        (lambda: fit_path([0.0, 0.0], [0.0, 0.1], new_value=0.0, limit=9.0), "2 reading.s. are too few"),
        (
            lambda: fit_path([5.0, 5.0, 5.0], [1.0, 2.0, 1.0], new_value=0.0, limit=9.0, through_new=False),
            "are too few",
        ),
        (lambda: fit_path([1.0, 2.0], [1.0, math.inf], new_value=0.0, limit=2.0), "is missing, endless or below 0"),
        (lambda: fit_path([1.0, 2.0], [1.0, 1.5], new_value=2.0, limit=2.0), "leave no room to wear"),
    ],
)
def test_readings_that_tell_nothing_are_refused(ask: object, sentence: str) -> None:
    with pytest.raises(DataError, match=sentence) as caught:
        ask()  # type: ignore[operator]
    assert caught.value.hint
