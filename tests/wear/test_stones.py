"""Stones and pieces: which breakages are one stone, the law of the pieces against sums by hand, hot windows by stones."""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest

from wearlog.errors import DataError
from wearlog.wear import GammaRate, counts_of, poisson_counts, scan_positions
from wearlog.wear.scan import scan_stones
from wearlog.wear.stones import compound_counts, fit_stones, stones_of

MINUTE = 60.0


def test_neighbours_within_a_quarter_of_an_hour_are_one_stone_however_they_were_entered() -> None:
    component = [7, 7, 7, 7, 8]
    seconds = [0, 10 * MINUTE, 22 * MINUTE, 0, 0]
    position = [4, 5, 6, 20, 5]
    # 6 hangs on 5, which hangs on 4; 20 lies apart; 5 on another bar is another stone
    assert stones_of(component, seconds, position).tolist() == [0, 0, 0, 1, 2]


def test_the_same_place_an_hour_later_is_another_stone() -> None:
    assert stones_of([1, 1], [0, 61 * MINUTE], [4, 5]).tolist() == [0, 1]


def test_the_order_of_entry_does_not_matter() -> None:
    assert stones_of([1, 1, 1], [0, 0, 0], [5, 3, 4]).tolist() == [0, 0, 0]
    assert stones_of([2, 1, 2], [0, 0, 0], [5, 3, 6]).tolist() == [0, 1, 0]


def test_a_whole_row_in_any_order_is_one_stone() -> None:
    row = np.random.default_rng(4).permutation(40) + 1
    assert not stones_of(np.ones(40), np.zeros(40), row).any()
    assert stones_of([], [], []).tolist() == []


def _by_hand(stones: int, sizes: tuple[int, ...], weight: tuple[float, ...]) -> dict[int, float]:
    """Every order of sizes in turn, as Polya's urn draws it."""
    found: dict[int, float] = {}
    for drawn in itertools.product(range(len(sizes)), repeat=stones):
        urn, chance = list(weight), 1.0
        for one in drawn:
            chance *= urn[one] / sum(urn)
            urn[one] += 1
        pieces = sum(sizes[one] for one in drawn)
        found[pieces] = found.get(pieces, 0.0) + chance
    return found


def test_the_pieces_of_four_stones_are_those_of_polya_s_urn() -> None:
    law = compound_counts(counts_of(np.array([0.0, 0, 0, 0, 1])), [1, 2, 3], [6.0, 2.0, 0.5])
    for pieces, chance in _by_hand(4, (1, 2, 3), (6.0, 2.0, 0.5)).items():
        assert law.chance[pieces] == pytest.approx(chance, rel=1e-12)
    assert law.chance.sum() == pytest.approx(1.0)


def test_mean_and_variance_are_those_of_a_compound_law() -> None:
    sizes, weight = np.array([1, 2, 3, 4, 5]), np.array([6.0, 2, 1, 0.5, 0.5])
    share = weight / 10
    mean, square = float(share @ sizes), float(share @ sizes**2)
    law = compound_counts(poisson_counts(8.0), sizes, weight)
    assert law.mean == pytest.approx(8 * mean, rel=1e-9)
    # given shares p the variance is 8 E[k^2 | p]; the mean 8 E[k | p] scatters with the Dirichlet law
    assert law.variance == pytest.approx(8 * square + 64 * (square - mean**2) / 11, rel=1e-9)


def test_many_stones_go_by_their_mean_size_with_the_same_mean_and_variance() -> None:
    sizes, weight = np.array([1, 2, 3, 4, 5]), 20 * np.array([6.0, 2, 1, 0.5, 0.5])
    share = weight / weight.sum()
    mean, square = float(share @ sizes), float(share @ sizes**2)
    law = compound_counts(poisson_counts(200.0), sizes, weight)
    assert law.mean == pytest.approx(200 * mean, rel=1e-6)
    assert law.variance == pytest.approx(200 * square + 200**2 * (square - mean**2) / 201, rel=5e-3)


def test_a_guess_of_pieces_stays_the_guess_until_stones_are_seen() -> None:
    guess = GammaRate(2.0, 1000.0)
    found = fit_stones([0.0], [], [0.0], [guess])
    assert found.means[0] == pytest.approx(guess.mean)
    assert found.per_stone == pytest.approx(1.75)


def test_stones_and_pieces_are_learned_apart() -> None:
    found = fit_stones([3.0], [1, 1, 7], [500.0], [GammaRate(2.0, 1000.0)])
    assert found.rates[0] == GammaRate(5.0, 2250.0)
    assert found.pieces.tolist() == [8.0, 2.0, 1.0, 0.5, 1.5]
    assert found.sizes.tolist() == [1, 2, 3, 4, 7]
    (estimate,) = found.estimates()
    assert estimate.low < found.means[0] < estimate.high
    assert estimate.mean == pytest.approx(found.means[0])


def test_a_stone_that_took_nothing_is_refused() -> None:
    with pytest.raises(DataError, match="no whole number"):
        fit_stones([1.0], [0], [1.0], [GammaRate(1.0, 1.0)])


def _bar(rng: np.random.Generator, stones: int, positions: int) -> tuple[np.ndarray, np.ndarray]:
    width = rng.choice([1, 2, 3, 4], size=stones, p=[0.4, 0.3, 0.2, 0.1])
    first = rng.integers(0, positions - width + 1) + 1
    return first, first + width - 1


def test_the_count_of_pieces_to_come_holds_nine_times_in_ten_where_stones_take_neighbours() -> None:
    rng = np.random.default_rng(5)
    share = np.array([0.4, 0.3, 0.2, 0.1])
    held, singly = [], []
    prior = GammaRate(1.5, 1.0)
    for _ in range(400):
        rate = rng.gamma(1.5) / 1.75
        seen, ahead = rng.poisson(rate * 12), rng.poisson(rate * 4)
        took = rng.choice(4, size=seen, p=share) + 1
        came = int((rng.choice(4, size=ahead, p=share) + 1).sum())
        law = fit_stones([seen], took, [12.0], [prior]).predict([4.0])
        plain = prior.after(float(took.sum()), 12.0).predict(4.0)
        held.append(law.quantile(0.05) <= came <= law.quantile(0.95))
        singly.append(plain.quantile(0.05) <= came <= plain.quantile(0.95))
    assert 0.87 <= np.mean(held) <= 0.97  # whole numbers: such intervals hold somewhat more than they say
    assert np.mean(singly) < np.mean(held) - 0.05


def test_wide_stones_spread_evenly_make_no_hot_window_and_pieces_taken_singly_do() -> None:
    by_stone, by_piece = [], []
    for seed in range(200):
        rng = np.random.default_rng(seed)
        first, last = _bar(rng, 15, 60)
        counts = np.zeros(60, dtype=int)
        for low, high in zip(first, last, strict=True):
            counts[low - 1 : high] += 1
        by_stone.append(scan_stones(first, last, 60, rng, simulations=199).p_value <= 0.05)
        by_piece.append(scan_positions(counts, rng, simulations=199).p_value <= 0.05)
    assert np.mean(by_stone) <= 0.10
    assert np.mean(by_piece) > 0.25


def test_a_place_that_stones_do_hit_is_found() -> None:
    rng = np.random.default_rng(2)
    first, last = _bar(rng, 20, 72)
    first[:10], last[:10] = np.arange(61, 71), np.arange(62, 72)
    window = scan_stones(first, last, 72, rng, simulations=1999)
    assert window.p_value < 0.005
    assert window.first >= 58
    assert window.last <= 72
    assert window.ratio > 3


def test_the_p_value_of_two_stones_is_that_of_every_way_to_lay_them() -> None:
    # a window of one position: two stones of one piece meet by chance at 1 in 12 positions
    window = scan_stones([5, 5], [5, 5], 12, np.random.default_rng(1), widest=1, simulations=9999)
    assert window.p_value == pytest.approx(1 / 12, abs=4 * math.sqrt(1 / 12 * 11 / 12 / 9999))


def test_a_stone_beside_the_bar_is_refused() -> None:
    with pytest.raises(DataError, match="beside a bar"):
        scan_stones([5, 12], [5, 13], 12, np.random.default_rng(1))
