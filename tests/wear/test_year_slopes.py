"""One slope over the years of a farm: the score against differences, slopes given back, and what chances are worth in worlds."""

from __future__ import annotations

import numpy as np
import pytest

from tests.wear.farm_worlds import GUESS, World, farm, split_by_years
from tests.wear.ground_worlds import farms_by_years
from wearlog.errors import DataError
from wearlog.wear import Lives, log_likelihood, starting_guess
from wearlog.wear.speed_evidence import SplitLives
from wearlog.wear.speeds import score_of
from wearlog.wear.years import FARM_SD, KindYears, fit_years, likely_shape, years_alike

PRIOR = starting_guess(*GUESS)


def a_kind() -> SplitLives:
    """Four lives, one that entered late, in two years."""
    lives = Lives.of([900.0, 1400.0, 2000.0, 700.0], [True, True, False, True], entry=[0.0, 0.0, 500.0, 0.0])
    parts = np.array([[800.0, 100.0], [300.0, 1100.0], [900.0, 1100.0], [0.0, 700.0]])
    entry = np.array([[0.0, 0.0], [0.0, 0.0], [500.0, 0.0], [0.0, 0.0]])
    ended = np.array([[0.0, 1.0], [0.0, 1.0], [0.0, 0.0], [0.0, 1.0]])
    return SplitLives(lives, np.zeros(4, dtype=np.int64), entry, parts, parts, ended)


def test_the_score_is_the_difference_of_log_likelihoods() -> None:
    given, shape = a_kind(), 2.2
    lives = given.lives
    scale = float(((lives.exit**shape - lives.entry**shape).sum() / lives.failures) ** (1 / shape))

    def likely(speeds: np.ndarray) -> float:
        read = given.on_clock(speeds, as_usual=False)
        return log_likelihood(read, shape, scale) + float((given.ended @ speeds).sum())

    score, _ = score_of(given, shape)
    for way in (0, 1):
        step = np.zeros(2)
        step[way] = 1e-5
        assert score[way] == pytest.approx((likely(step) - likely(-step)) / 2e-5, rel=1e-5)


def test_the_likeliest_shape_is_about_that_of_the_lives() -> None:
    lives = Lives.of(1000 * np.random.default_rng(1).weibull(3.0, 400), True)
    none = np.zeros((400, 1))
    given = SplitLives(lives, np.zeros(400, dtype=np.int64), none, none, none, none)
    assert likely_shape(given.lives, PRIOR) == pytest.approx(3.0, rel=0.12)


def test_kinds_that_say_nothing_leave_what_was_thought_beforehand() -> None:
    none = SplitLives(
        Lives.of([100.0], [False]),
        np.zeros(1, dtype=np.int64),
        np.zeros((1, 2)),
        np.array([[50.0, 50.0]]),
        np.array([[50.0, 50.0]]),
        np.zeros((1, 2)),
    )
    offset = np.array([-2.0, -1.0])
    with pytest.raises(DataError, match="Nothing has failed"):
        fit_years([KindYears(none, offset, PRIOR)])
    assert years_alike([KindYears(none, offset, PRIOR)]) == 1.0
    few = fit_years([KindYears(none, offset, PRIOR), KindYears(a_kind(), offset, PRIOR)])
    assert few.farm.sd == pytest.approx(FARM_SD, rel=0.1)
    assert few.kinds[0].sd > few.farm.sd  # the farm's, and its own way about it


@pytest.mark.parametrize(("per_year", "low", "high"), [(0.0, -0.035, 0.035), (0.083, 0.045, 0.115)])
def test_thirty_kinds_give_the_slope_of_a_farm_back(per_year: float, low: float, high: float) -> None:
    rng = np.random.default_rng(21)
    world = World("", per_year=per_year)
    offset = np.arange(-world.seasons, 0).astype(float)
    found = fit_years([KindYears(split_by_years(farm(world, rng)), offset, PRIOR) for _ in range(30)])
    print(per_year, found.farm.mean, found.farm.sd, found.unlike)
    assert low < found.farm.mean < high
    assert all(abs(one.mean - found.farm.mean) < 0.04 for one in found.kinds)
    assert (found.unlike < 0.05) == (per_year > 0)
    shorter = found.farm.shorter()
    assert shorter.low < shorter.median < shorter.high


@pytest.mark.parametrize(
    "world",
    [
        World("as the model"),
        World("lives 8 % shorter each year", per_year=0.083),
        World("8 % shorter, machines that differ", per_year=0.083, machines_apart=0.3),
    ],
    ids=lambda one: one.name,
)
def test_chances_hold_and_sums_come_true_over_the_years(world: World) -> None:
    """4 farms of 20 kinds; standard error about 3 in 100; the long form: tests/bench/test_bench_farm_worlds.py."""
    found = farms_by_years(world, 4, 20, 8, PRIOR)
    print(world.name, found)
    assert found.held >= 0.8
    assert 1 / 1.1 < found.came_by_said < 1.1
    if world.per_year:
        assert found.plain_came_by_said > 1.12
        assert found.held > found.plain_held + 0.1
