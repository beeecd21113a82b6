"""The sums of one decision each, in processor time, against what they may take (what each is stands in `decision_work`)."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from tests.bench.decision_work import checking, comparing, growing, raining, stopping

pytestmark = pytest.mark.bench


@pytest.mark.parametrize(
    ("what", "work", "at_most"),
    [
        ("run on or stop, 8 ways and mending first", stopping, 5.0),
        ("31 lives of 3 part numbers on 2 grounds", comparing(3, 31, 2), 46.0),
        ("400 lives of 20 part numbers on 3 grounds", comparing(20, 400, 3), 280.0),
        ("loss against wear, 200 checks", growing, 30.0),
        ("what one more check is worth after 200", checking, 5.0),
        ("what one more check is worth after 6", lambda: checking(6, 1), 5.0),
        ("a rainy day: 120 jobs with 25 openings", raining, 120.0),
        ("a long rainy day of three people", lambda: raining(1440), 120.0),
    ],
)
def test_a_decision_takes_no_longer_than_asked(what: str, work: Callable[[], float], at_most: float) -> None:
    taken = work()
    print(f"{what}: {taken:.1f} ms of {at_most:.0f}")
    assert taken <= at_most
