"""What new part numbers bring is learned by kinds from each other, and told from what the years bring."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from scipy.interpolate import CubicSpline

from tests.long_worlds.farms import draw_farm
from tests.long_worlds.log import NOW, write_log
from tests.long_worlds.worlds import World
from wearlog.reckoning.farm import read_farm
from wearlog.reckoning.wear import farm_trends
from wearlog.reckoning.wear.farm_trends import FarmTrends
from wearlog.reckoning.wear.guessed_kinds import guess_of
from wearlog.reckoning.wear.kind_life import fleet_lives
from wearlog.wear.steps import (
    _BETWEEN,
    _FINE,
    ASKED_STEPS,
    FARM_STEP_SD,
    KIND_STEP_CHANCES,
    KIND_STEP_SDS,
    STEP_ALONE,
    FarmSteps,
)

KINDS = 20
STEP, SLOPE = np.log(1.6), 0.083


def trends_of(world: World, folder: Path, kinds: int = KINDS) -> FarmTrends:
    """What the kinds of a drawn farm say together."""
    store = write_log(draw_farm(world, 3, kinds=kinds, rows=0), folder / "farm.db", 3)
    known = read_farm(store, NOW)
    store.close()
    return fleet_lives(known).trends


def test_a_kind_that_no_other_says_much_of_is_believed_to_step_by_what_is_usual() -> None:
    silent = np.zeros((9, 1))
    mean, sd = FarmSteps.of((silent, silent), np.eye(1), np.zeros(1)).beforehand(0)
    assert mean == pytest.approx(0.0, abs=1e-12)
    usual = np.sqrt(FARM_STEP_SD**2 + np.square(KIND_STEP_SDS) @ KIND_STEP_CHANCES)
    assert 0.85 * usual < sd <= usual
    # alone it has the sd that two lives have which lie 0.3 about the kind's
    assert np.hypot(0.3, 0.3) * 0.9 < STEP_ALONE[1] < usual


def test_kinds_that_step_alike_foretell_the_next_one_and_no_year_takes_it(tmp_path: Path) -> None:
    found = trends_of(World("a new number", new_number=1.6), tmp_path)
    assert found.years is None
    step = found.step_of(0)
    # a kind of which no part of the new number was fitted yet has one number
    assert KINDS / 2 < step.kinds < KINDS
    assert step.mean == pytest.approx(STEP, abs=0.2)
    assert step.sd < 0.25
    assert found.step_of(99) == (*STEP_ALONE, 0)


def test_kinds_that_step_each_in_its_own_way_foretell_little(tmp_path: Path) -> None:
    step = trends_of(World("each its own", new_apart=0.5), tmp_path).step_of(0)
    assert abs(step.mean) < 0.3
    assert step.sd > 0.3


def test_years_that_shorten_lives_are_seen_behind_a_new_number_that_lengthens_them(tmp_path: Path) -> None:
    found = trends_of(World("both", per_year=0.15, new_number=1.6), tmp_path, 40)
    assert found.years is not None
    assert found.years.slopes.farm.mean == pytest.approx(0.15, abs=0.08)
    assert found.step_of(0).mean == pytest.approx(STEP, abs=0.25)


def test_years_alone_are_no_step(tmp_path: Path) -> None:
    found = trends_of(World("years alone", per_year=SLOPE), tmp_path, 40)
    assert found.years is not None
    assert found.years.slopes.farm.mean > 0.03
    assert found.step_of(0) == (*STEP_ALONE, 0)


def test_what_was_never_entered_does_not_pass_for_years_that_grow_easier(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """In the first year no life can be two that were told as one; later many are, and lives seem to lengthen."""
    monkeypatch.setattr(farm_trends, "ASKED_YEARS", 1.0)
    monkeypatch.setattr(farm_trends, "UNLIKE_YEARS", 1.0)
    store = write_log(draw_farm(World("lost", missing=0.25, shelf=True), 3, kinds=30, rows=0), tmp_path / "farm.db", 3)
    lives = fleet_lives(read_farm(store, NOW))
    store.close()
    rows = {number: lives.rows_of(number) for number in lives.kinds()}
    guesses = {number: guess_of(lives.farm.part_kinds[number]) for number in rows}
    as_told = farm_trends.farm_trends(lives.farm, rows, guesses, {}).years
    likely = farm_trends.farm_trends(lives.farm, rows, guesses, dict.fromkeys(rows, 0.75)).years
    assert as_told is not None
    assert likely is not None
    assert as_told.slopes.farm.mean < -0.02
    assert abs(likely.slopes.farm.mean) < 0.5 * abs(as_told.slopes.farm.mean)
    # the farm itself takes the shares from its shelf
    shares = {number: one.share.mean for number, one in lives.shares.items()}
    assert any(one.share.is_short for one in lives.shares.values())
    by_shelf = farm_trends.farm_trends(lives.farm, rows, guesses, shares).years
    assert by_shelf is not None
    assert lives.years is not None
    assert lives.years.slopes.farm.mean == by_shelf.slopes.farm.mean


def test_between_the_steps_that_are_asked_the_likelihood_is_a_natural_spline() -> None:
    values = np.sin(3 * ASKED_STEPS)
    theirs = CubicSpline(ASKED_STEPS, values, bc_type="natural")(_FINE)
    np.testing.assert_allclose(_BETWEEN @ values, theirs, atol=1e-12)


def test_what_a_kind_says_itself_is_not_counted_twice() -> None:
    """Of two kinds each is foretold by the other alone: whatever one says, what is foretold of it stays."""
    steps = np.linspace(-1.1, 1.1, 9)[:, None]
    sure, other = -40 * (steps - 0.6) ** 2, -40 * (steps + 0.3) ** 2
    here = [FarmSteps.of((one, other), np.eye(1), np.zeros(1)).beforehand(0) for one in (sure, other)]
    assert here[0] == pytest.approx(here[1])
    assert here[0][0] < -0.05
    assert FarmSteps.of((sure, other), np.eye(1), np.zeros(1)).beforehand(1)[0] > 0.1
