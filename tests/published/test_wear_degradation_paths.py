"""Measured wear on open degradation data: where nothing is known but the first half of a path, the rest lies in the intervals."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import pytest

from tests.published.degradation_paths import LASER_HOURS, LASERS, PATHS
from wearlog.wear import WearCourse, fit_path
from wearlog.wear.arrays import FloatArray

#: a crossing between two readings is taken to lie on the straight between them
Half = tuple[FloatArray, FloatArray, float, float]


def first_crossing(usage: FloatArray, wear: FloatArray, limit: float) -> float:
    """Return where the path first meets the limit."""
    usage, wear = np.r_[0.0, usage], np.r_[0.0, wear]
    after = int(np.argmax(wear >= limit))
    share = (limit - wear[after - 1]) / (wear[after] - wear[after - 1])
    return float(usage[after - 1] + share * (usage[after] - usage[after - 1]))


def halves(name: str) -> Iterator[Half]:
    """Yield the first readings of every unit, two or more, with the wear at twice the last one as the limit, and its age."""
    for usage, wear in PATHS[name]:
        for readings in range(2, usage.size):
            if 2 * usage[readings - 1] > usage[-1] * 1.0001:
                break
            limit = float(np.interp(2 * usage[readings - 1], usage, wear))
            if wear[:readings].max() < limit:
                yield usage[:readings], wear[:readings], limit, first_crossing(usage, wear, limit)


@pytest.mark.parametrize(("name", "cases"), [("lasers", 105), ("cracks", 96), ("metal wear", 70), ("devices", 84)])
def test_nine_of_ten_crossings_at_twice_the_last_reading_lie_in_their_intervals(name: str, cases: int) -> None:
    """At least 85 % on each set (measured: 92, 90, 91, 90); lines through new with a scatter of their own hold 22 to 68 %."""
    held = []
    for usage, wear, limit, crosses in halves(name):
        found = fit_path(usage, wear, new_value=0.0, limit=limit).crossing()
        assert found.low is not None
        assert found.high is not None
        assert usage[-1] <= found.low <= found.usage <= found.high
        held.append(found.low <= crosses <= found.high)
    assert len(held) == cases
    assert np.mean(held) >= 0.85


@pytest.mark.parametrize(
    ("name", "limit"), [("lasers", 6.0), ("cracks", 0.35), ("devices", 7000.0)], ids=["lasers", "cracks", "devices"]
)
def test_a_limit_that_is_the_same_for_all_units_is_met_in_the_intervals_read_to_half_of_the_way(
    name: str, limit: float
) -> None:
    held = []
    for usage, wear in PATHS[name]:
        if wear.max() < limit:
            continue
        crosses = first_crossing(usage, wear, limit)
        seen = usage <= crosses / 2
        if seen.sum() >= 3:
            found = fit_path(usage[seen], wear[seen], new_value=0.0, limit=limit).crossing()
            held.append(found.low is not None and found.high is not None and found.low <= crosses <= found.high)
    assert len(held) >= 10
    assert np.mean(held) >= 0.85


@pytest.mark.parametrize(
    ("name", "course"),
    [("lasers", WearCourse.STRAIGHT), ("cracks", WearCourse.FASTER), ("metal wear", WearCourse.SLOWER)],
)
def test_the_form_of_each_set_is_found_from_whole_paths(name: str, course: WearCourse) -> None:
    """In the median unit; single lasers bend a little either way."""
    chances = [
        fit_path(usage, wear, new_value=0.0, limit=2 * float(wear.max())).course_chances[course]
        for usage, wear in PATHS[name]
    ]
    assert np.median(chances) > 0.5


def test_the_laser_of_the_textbook_meets_ten_percent_where_it_did() -> None:
    """Read to 3,750 h it lies at 9.87; the reading at 4,000 h is 10.94, so that 10 is met at 3,781 h."""
    found = fit_path(LASER_HOURS[:-1], LASERS[0][:-1], new_value=0.0, limit=10.0).crossing()
    assert found.low is not None
    assert found.high is not None
    assert 3750 <= found.low <= 3781 <= found.high <= 4200
