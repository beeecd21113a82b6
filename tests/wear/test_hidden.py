"""Breakages that nobody entered: lives shared among themselves and their pieces against sums by hand and simulated farms."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.stats import weibull_min

from tests.wear.farm_worlds import SPREAD
from wearlog.errors import DataError
from wearlog.wear import Lives, fit_posterior, starting_guess
from wearlog.wear.hidden import chances_if_younger, fit_with_hidden, split_with_hidden, with_hidden
from wearlog.wear.posterior import Nodes
from wearlog.wear.speed_evidence import SplitLives

GUESS = ((1500.0, 6000.0), (1.5, 4.0))
LAW = weibull_min(2.5, scale=1000.0)


def one_law() -> Nodes:
    return Nodes(np.array([2.5]), np.array([1000.0]), np.array([1.0]))


@pytest.mark.parametrize("failed", [True, False])
def test_a_life_is_shared_among_one_and_two_as_likely_as_each_is(failed: bool) -> None:
    """With almost all entered two hidden breakages in one life are out of the question, and one is the integral by hand."""
    gone = 1e-3
    last = LAW.pdf if failed else LAW.sf
    two = gone * quad(lambda age: LAW.pdf(age) * last(2200.0 - age), 0.0, 2200.0)[0]
    share = two / (last(2200.0) + two)
    (found,) = with_hidden([Lives.of([2200.0], [failed])], 1 - gone, 2.5, 1000.0)
    whole = found.exit == 2200.0
    of_whole = float(found.weight[whole].sum())
    first = found.event & ~whole if not failed else (found.entry == 0) & ~whole
    pieces = float(found.weight[first].sum()) / (2 if failed else 1)
    assert pieces / (pieces + of_whole) == pytest.approx(share, rel=0.03)


def test_pieces_of_a_life_add_up_to_it_and_what_nobody_saw_adds_no_failures() -> None:
    told = Lives.of([900.0, 2600.0, 1500.0], [True, True, False], entry=[0.0, 0.0, 300.0], weight=[1.0, 2.0, 3.0])
    (found,) = with_hidden([told], 0.7, 2.5, 1000.0)
    assert found.failures == pytest.approx(told.failures)
    lowered = told.failures / (found.exposure / told.exposure)
    # lowered alike: as much usage for each failure as there truly was, less than was told
    assert found.exposure < told.exposure
    assert lowered > told.failures


def test_a_failure_between_two_looks_stays_between_them_in_its_last_piece() -> None:
    told = Lives.of([2600.0], [True], last_seen=[2300.0])
    (found,) = with_hidden([told], 0.7, 2.5, 1000.0)
    assert found.last_seen is not None
    wide = found.exit - found.last_seen
    unsure = wide[found.between_inspections]
    assert (unsure < 300.0 + 1e-6).all()
    assert np.isclose(unsure, 300.0).sum() > 1
    assert (wide[~found.between_inspections] == 0).all()


def test_everything_entered_is_the_same_lives_and_no_share_is_refused() -> None:
    told = Lives.of([900.0, 2600.0])
    assert with_hidden([told], 1.0, 2.5, 1000.0) == [told]
    with pytest.raises(DataError, match="not above 0"):
        with_hidden([told], 0.0, 2.5, 1000.0)


def test_a_part_that_may_have_been_renewed_lasts_as_often_as_in_a_simulation() -> None:
    rng = np.random.default_rng(5)
    age, usage, entered = 1800.0, 500.0, 0.8
    lasted = seen = 0
    for _ in range(60_000):
        at, is_told = 0.0, False
        while (ends := at + 1000.0 * rng.weibull(2.5)) < age:
            at, is_told = ends, is_told or rng.uniform() < entered
        if not is_told:
            seen, lasted = seen + 1, lasted + (ends >= age + usage)
    (mean, low, high), alike = chances_if_younger(one_law(), np.array([age]), np.array([usage]), entered)
    error = math.sqrt(lasted / seen * (1 - lasted / seen) / seen)
    # a third hidden breakage is left out
    assert mean[0] == pytest.approx(lasted / seen, abs=3 * error + 0.01)
    assert low[0] < mean[0] < high[0]
    again = LAW.sf(alike[0] + usage) / LAW.sf(alike[0])
    assert alike[0] < age
    assert again == pytest.approx(mean[0], abs=1e-6)


def test_a_new_part_and_no_usage_are_what_they_are() -> None:
    chance, alike = chances_if_younger(one_law(), np.array([0.0, 700.0]), np.array([400.0, 0.0]), 0.8)
    assert chance[0] == pytest.approx([LAW.sf(400.0), 1.0])
    assert alike[0] == pytest.approx(0.0, abs=1e-3)


def test_lives_and_shapes_are_found_again_where_a_sixth_was_never_entered() -> None:
    """60 kinds of 12 places each: the median life holds nine in ten, the plain fit calls it a twelfth too long."""
    rng = np.random.default_rng(12)
    prior = starting_guess(*GUESS)
    off: dict[str, list[float]] = {"plain": [], "mended": []}
    held = []
    for _ in range(60):
        shape, median = _drawn(rng)
        lives = _told(rng, shape, median, entered=0.85)
        plain, mended = fit_posterior(lives, prior), fit_with_hidden(lives, prior, 0.85)
        for name, law in (("plain", plain), ("mended", mended)):
            off[name].append(math.log(law.median_life().median / median))
        said = mended.median_life()
        held.append(said.low <= median <= said.high)
    assert np.mean(off["plain"]) > 0.06
    assert abs(np.mean(off["mended"])) < 0.04
    assert np.mean(held) >= 0.83


def _drawn(rng: np.random.Generator) -> tuple[float, float]:
    (low, high), (flat, steep) = GUESS
    median = math.sqrt(low * high) * math.exp(rng.standard_normal() * math.log(high / low) / (2 * SPREAD))
    return math.sqrt(flat * steep) * math.exp(rng.standard_normal() * math.log(steep / flat) / (2 * SPREAD)), median


def _told(rng: np.random.Generator, shape: float, median: float, entered: float) -> Lives:
    scale, now = median / math.log(2) ** (1 / shape), 4800.0
    ages, failed = [], []
    for _ in range(12):
        at = last = 0.0
        while (ends := at + scale * rng.weibull(shape)) < now:
            at = ends
            if rng.uniform() < entered:
                ages.append(at - last)
                failed.append(True)
                last = at
        ages.append(now - last)
        failed.append(False)
    return Lives.of(ages, failed)


def test_pieces_of_a_life_have_the_years_in_which_they_ran() -> None:
    """Two lives on one machine: 900 run in three years and broken, 500 in the last two and whole."""
    by_year = np.array([[300.0, 400.0, 200.0], [0.0, 300.0, 200.0]])
    ended = np.array([[0.0, 0.0, 1.0], [0.0, 0.0, 0.0]])
    lives = Lives.of(by_year.sum(axis=1), np.array([True, False]))
    nothing = np.zeros_like(by_year)
    split = SplitLives(lives, np.zeros(2, dtype=np.int64), nothing, by_year, by_year, ended)
    prior = starting_guess((300.0, 900.0), (2.0, 4.0))
    assert split_with_hidden(split, np.zeros(3), prior, 1.0) is split
    for speed in (np.zeros(3), np.array([-0.3, -0.2, -0.1])):
        found = split_with_hidden(split, speed, prior, 0.7)
        np.testing.assert_allclose(found.exit.sum(axis=1), found.lives.exit, rtol=1e-12)
        assert found.lives.failures == pytest.approx(lives.failures)
        # first pieces begin where the life does and end in a year that they ran in, second pieces have what is left of each year
        count = (len(found.lives) - 2) // 2
        first, second = slice(2, 2 + count), slice(2 + count, None)
        of = np.where(found.exit[first, 0] + found.exit[second, 0] > 0, 0, 1)
        np.testing.assert_allclose(found.exit[first] + found.exit[second], by_year[of], atol=1e-9)
        np.testing.assert_allclose(found.lives.weight[first], found.lives.weight[second])
        assert found.lives.event[first].all()
        reached = found.ended[first].argmax(axis=1)
        assert (found.exit[first][np.arange(count), reached] > 0).all()
        assert all((row[place + 1 :] == 0).all() for row, place in zip(found.exit[first], reached, strict=True))
        assert (found.lives.event[second] == (of == 0)).all()
