"""How complete a log is: the Beta law against scipy's own, what kinds lend each other, how often a whole log is called short."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import stats

from wearlog.errors import DataError
from wearlog.wear.completeness import LogShare, UsedAndEntered, log_shares


def shares(*pairs: tuple[float, float]) -> tuple[LogShare, ...]:
    return log_shares([UsedAndEntered(used, entered) for used, entered in pairs])


def test_one_kind_alone_begins_with_nineteen_of_twenty() -> None:
    (one,) = shares((40, 34))
    law = stats.beta(19 + 34, 1 + 6)
    assert one.mean == pytest.approx(law.mean())
    for chance in (0.05, 0.5, 0.95):
        assert one.quantile(chance) == pytest.approx(law.ppf(chance))
    assert one.is_short
    assert one.times == pytest.approx(60 / 53)


def test_a_few_pieces_less_say_nothing_alone_and_much_where_other_kinds_lack_as_many() -> None:
    (alone,) = shares((20, 17))
    among = shares((20, 17), *[(40, 34)] * 10)[0]
    assert not alone.is_short
    assert among.is_short
    assert among.mean == pytest.approx(0.85, abs=0.01)


def test_a_kind_that_is_whole_is_not_called_short_by_the_others() -> None:
    whole, *others = shares((40, 40), *[(40, 34)] * 10)
    assert not whole.is_short
    assert all(one.is_short for one in others)


def test_what_counts_find_too_much_and_too_little_cancels_between_kinds() -> None:
    first, *_ = shares((20, 18), *[(20, 18), (20, 22)] * 10)
    assert first.quantile(0.95) > 0.95
    assert not first.is_short


def test_more_entered_than_used_is_a_complete_log() -> None:
    (one,) = shares((10, 25))
    assert one.mean == pytest.approx(29 / 30)
    assert not one.is_short


def test_one_piece_of_a_few_or_a_hundredth_of_many_is_a_wrong_count() -> None:
    found = log_shares([UsedAndEntered(3, 2), *[UsedAndEntered(30, 20)] * 9, UsedAndEntered(40, 34, counted=900)])
    assert found[0].quantile(0.95) < 0.95
    assert not found[0].is_short
    assert found[1].is_short
    assert not found[-1].is_short


def test_a_kind_of_which_nothing_was_used_is_refused() -> None:
    with pytest.raises(DataError, match="Nothing was used"):
        shares((0, 0))


def test_the_interval_of_the_share_holds_nine_times_in_ten() -> None:
    rng = np.random.default_rng(8)
    held = []
    for _ in range(60):
        true = rng.beta(20 * 0.85, 20 * 0.15, size=12)
        used = rng.integers(10, 40, size=12)
        found = shares(*zip(used.tolist(), rng.binomial(used, true).tolist(), strict=True))
        held += [one.quantile(0.05) <= share <= one.quantile(0.95) for one, share in zip(found, true, strict=True)]
    assert 0.87 <= np.mean(held) <= 0.95


def test_wrong_counts_alone_call_one_log_in_a_hundred_short() -> None:
    """Both counts one piece off in a third of all cases, everything entered."""
    rng = np.random.default_rng(9)
    short = []
    for _ in range(200):
        used = rng.integers(2, 40, size=8)
        off = rng.choice([-1, 0, 1], size=(2, 8), p=[1 / 6, 2 / 3, 1 / 6]).sum(axis=0)
        found = log_shares([UsedAndEntered(u + o, u, 20) for u, o in zip(used, off, strict=True) if u + o > 0])
        short += [one.is_short for one in found]
    assert np.mean(short) < 0.01
