"""The power law of repairs where powers of the ages themselves are no numbers: late breakages, square metres, seconds."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from wearlog.errors import DataError
from wearlog.wear import Ended, PowerLaw, fit_power_law, histories

ACRE = 4046.8564224
GREATEST = 1e13  # square metres or seconds: far beyond any farm

WATCHES = st.tuples(
    st.floats(1.0, GREATEST, allow_subnormal=False),  # end
    st.sampled_from([0.0, 0.0, 1e-6, 0.3, 0.9]),  # start, as a share of it
    st.lists(
        st.one_of(
            st.floats(1e-9, 1.0, allow_subnormal=False),
            # in the last stretch, where the shape is steepest
            st.integers(-13, -1).map(lambda power: 1 - 10.0**power),
        ),
        max_size=6,
    ),
)


def law_of(watches: list[tuple[float, float, list[float]]]) -> tuple[PowerLaw, np.ndarray, np.ndarray]:
    end = np.array([watch[0] for watch in watches])
    start = np.array([watch[0] * watch[1] for watch in watches])
    events = [
        [age for share in shares if begin < (age := begin + (finish - begin) * share) <= finish]
        for (_, _, shares), begin, finish in zip(watches, start, end, strict=True)
    ]
    return fit_power_law(histories(events, end, start=start)), start, end


@settings(deadline=None, derandomize=True, max_examples=150)
@given(st.lists(WATCHES, min_size=1, max_size=4))
def test_every_law_that_is_fitted_answers_with_numbers(watches: list[tuple[float, float, list[float]]]) -> None:
    """Nothing overflows; it explains as many repairs as there were; each interval has its ends in order."""
    try:
        law, start, end = law_of(watches)
    except DataError:
        return
    gained = law.expected_count(end) - law.expected_count(start)
    # rounding of an age moves the count by as much as the law is steep there
    assert float(gained.sum()) == pytest.approx(law.events, rel=1e-6 + 1e-15 * law.shape)
    assert 0 < law.shape < math.inf
    assert law.coefficient >= 0
    oldest = float(end.max())
    assert 0 < float(law.usage_between(oldest)) < math.inf
    assert (law.usage_between(np.array([0.0, *start, *end])) >= 0).all()
    for interval in (law.shape_interval(), law.rough_usage_between_interval(float(end.mean()))):
        assert 0 <= interval.low <= interval.high
    if len(watches) == 1 and start[0] == 0:
        now, exact = float(law.usage_between(oldest)), law.usage_between_interval()
        assert 0 < exact.low < now < exact.high


@settings(deadline=None, derandomize=True, max_examples=80)
@given(st.floats(1.0, GREATEST, allow_subnormal=False), st.integers(1, 9))
def test_one_late_breakage_has_the_law_of_its_formula(end: float, power: int) -> None:
    """Shape 1 / ln(end / age), one breakage by the end, and there end x ln(end / age) between them; in any unit."""
    age = end * (1 - 10.0**-power)
    law = fit_power_law(histories([[age]], end))
    room = -math.log(age / end)
    assert law.shape == pytest.approx(1 / room, rel=1e-9)
    assert float(law.expected_count(end)) == pytest.approx(1, rel=1e-9)
    assert float(law.usage_between(end)) == pytest.approx(end * room, rel=1e-9)
    assert float(law.expected_count(age)) == pytest.approx(math.exp(-1), rel=1e-6)


def test_a_header_that_first_broke_in_the_last_fiftieth_of_its_use() -> None:
    """2,000 acres in square metres, one breakage 10 acres before their end: shape 199.5, once an overflow."""
    law = fit_power_law(histories([[1990 * ACRE]], 2000 * ACRE))
    assert law.shape == pytest.approx(1 / math.log(2000 / 1990), rel=1e-12)
    assert law.coefficient == 0.0
    assert float(law.usage_between(2000 * ACRE)) / ACRE == pytest.approx(2000 * math.log(2000 / 1990), rel=1e-9)
    acres = fit_power_law(histories([[1990.0]], 2000.0))
    assert acres.shape == pytest.approx(law.shape, rel=1e-9)
    assert law.usage_between_interval().low / ACRE == pytest.approx(acres.usage_between_interval().low, rel=1e-9)


def test_a_steep_law_says_never_long_before_its_ages() -> None:
    """At half the age nothing is expected for longer than a number can say; the rough interval stays open, not wrong."""
    law = fit_power_law(histories([[0.999e13, 0.9995e13]], 1e13))
    assert float(law.expected_count(5e12)) == 0.0
    assert float(law.usage_between(5e12)) == math.inf
    assert law.rough_usage_between_interval(5e12).high == math.inf
    assert float(law.expected_count(0.0)) == 0.0


def test_the_unbiased_law_of_a_late_watch_keeps_its_count() -> None:
    """(n - 1) / n of the shape, the same count at the end; ended by failure too."""
    for ended in Ended:
        law = fit_power_law(histories([[9.7e12, 9.9e12, 9.99e12, 1e13]], 1e13, ended=ended))
        better = law.unbiased()
        assert better.shape == pytest.approx((law.free_events - 1) / law.log_sum, rel=1e-12)
        assert float(better.expected_count(1e13)) == pytest.approx(4, rel=1e-12)
