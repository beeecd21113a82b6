"""Hot windows along the cutterbar: found where they are, not found where there are none, the same each time."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from wearlog.errors import DataError
from wearlog.wear import scan_positions


def test_a_hot_stretch_is_found_where_it_is() -> None:
    """Twelve positions that break four times as often as the other sixty."""
    counts = np.ones(72)
    counts[60:72] = 4
    window = scan_positions(counts, np.random.default_rng(1))
    assert (window.first, window.last) == (61, 72)
    assert (window.breakages, window.expected) == (48, 108 * 12 / 72)
    assert window.ratio == pytest.approx(4.0)
    assert window.p_value == 0.001


def test_the_same_log_and_seed_give_the_same_answer() -> None:
    """The generator is the caller's."""
    counts = np.random.default_rng(0).poisson(0.5, 40)
    one, other = (scan_positions(counts, np.random.default_rng(9)) for _ in range(2))
    assert one == other


def test_p_is_uniform_on_an_even_bar() -> None:
    """Having looked at every window is allowed for: 300 even bars, p no smaller than it should be."""
    rng = np.random.default_rng(8)
    found = [scan_positions(rng.multinomial(40, np.full(60, 1 / 60)), rng, simulations=199).p_value for _ in range(300)]
    # ties of the discrete maximum make p a little large, never small
    assert stats.kstest(found, "uniform", alternative="greater").pvalue > 0.01
    assert 0.02 < np.mean(np.array(found) <= 0.1) < 0.15


def test_all_in_one_place_leaves_no_ratio() -> None:
    """Nothing breaks outside."""
    counts = np.zeros(20)
    counts[7] = 6
    window = scan_positions(counts, np.random.default_rng(2))
    assert (window.first, window.last, window.ratio) == (8, 8, np.inf)
    assert window.p_value == 0.001


@settings(deadline=None, max_examples=40)
@given(st.lists(st.integers(0, 4), min_size=3, max_size=30).filter(lambda row: sum(row) >= 2), st.integers(1, 12))
def test_every_bar_has_a_window(counts: list[int], widest: int) -> None:
    """Within the bar, no wider than asked, with the breakages it says."""
    window = scan_positions(counts, np.random.default_rng(3), widest=widest, simulations=19)
    assert 1 <= window.first <= window.last <= len(counts)
    assert window.last - window.first + 1 <= widest
    assert window.breakages == sum(counts[window.first - 1 : window.last])
    assert 0.05 <= window.p_value <= 1


@pytest.mark.parametrize(
    ("counts", "sentence"),
    [
        ([0, 1, 0, 0], "1 breakages over 4 positions are too few"),
        ([3, 3], "6 breakages over 2 positions are too few"),
        ([1, 0.5, 1], "must be whole numbers"),
        ([1, -1, 5], "must be whole numbers"),
    ],
)
def test_bars_that_cannot_be_scanned_are_refused(counts: list[float], sentence: str) -> None:
    """In words."""
    with pytest.raises(DataError, match=sentence):
        scan_positions(counts, np.random.default_rng(0))
